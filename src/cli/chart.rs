//! The chart for the wall, every weave at once.

use linkfold::answers::wall_chart::{WEAVES, WallChart};
use linkfold::documents::gauge::GaugeSystem;
use linkfold::math::map_indices;
use linkfold::render::wall_chart;

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

/// The chart, as HTML or CSV. Says on standard error how far it is.
pub fn chart(asked: &ChartArguments) -> String {
    let system = if asked.gauge == "swg" { GaugeSystem::Swg } else { GaugeSystem::Awg };
    let charts = map_indices(WEAVES.len(), |index| {
        let chart = WallChart::of(WEAVES[index], system);
        eprintln!("linkfold: the {} weave is done", chart.weave);
        chart
    });
    let text = if asked.csv { WallChart::csv(&charts) } else { wall_chart(&charts, system) };
    text.trim_end().to_owned()
}
