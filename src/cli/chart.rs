//! The chart for the wall, every weave at once.

use super::progress_line::ProgressLine;
use linkfold::answers::wall_chart::{WEAVES, WallChart};
use linkfold::documents::gauge::GaugeSystem;
use linkfold::math::map_indices;
use linkfold::render::wall_chart;
use std::sync::{Mutex, PoisonError};

/// Which chart is wanted, and how.
#[derive(clap::Args)]
pub struct ChartArguments {
    /// The gauges of the wire
    #[arg(long, value_parser = ["awg", "swg"], default_value = "awg")]
    gauge: String,
    /// As comma-separated text instead of a page to print
    #[arg(long)]
    csv: bool,
}

/// The chart, as HTML or CSV.
pub fn chart(asked: &ChartArguments) -> String {
    let system = if asked.gauge == "swg" { GaugeSystem::Swg } else { GaugeSystem::Awg };
    let line = ProgressLine::on_terminal();
    let done = Mutex::new(0);
    let say_done = |more: usize| {
        // One after the other, so that the count only rises.
        let mut done = done.lock().unwrap_or_else(PoisonError::into_inner);
        *done += more;
        line.say(&format!("{done} of {} weaves done", WEAVES.len()));
    };
    say_done(0);
    let charts = map_indices(WEAVES.len(), |index| {
        let chart = WallChart::of(WEAVES[index], system);
        say_done(1);
        chart
    });
    drop(line);
    let text = if asked.csv { WallChart::csv(&charts) } else { wall_chart(&charts, system) };
    text.trim_end().to_owned()
}
