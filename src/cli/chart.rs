//! The chart for the wall, every weave at once.

use linkfold::answers::wall_chart::{WEAVES, WallChart};
use linkfold::documents::gauge::GaugeSystem;
use linkfold::render::wall_chart;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Which chart is wanted, and how.
#[derive(clap::Args)]
pub struct ChartArguments {
    /// The gauges of the wire
    #[arg(long, value_parser = ["awg", "swg"], default_value = "awg")]
    gauge: String,
    /// As comma-separated text instead of a page to print
    #[arg(long)]
    csv: bool,
    /// How many weaves to work on at once; as many as there are processors
    #[arg(long)]
    threads: Option<usize>,
}

/// The chart, as HTML or CSV. Says on standard error how far it is.
pub fn chart(asked: &ChartArguments) -> String {
    let system = if asked.gauge == "swg" { GaugeSystem::Swg } else { GaugeSystem::Awg };
    let all = std::thread::available_parallelism().map_or(1, usize::from);
    let threads = asked.threads.unwrap_or(all).clamp(1, WEAVES.len());
    let next = AtomicUsize::new(0);
    let work = || {
        let mut made = Vec::new();
        while let Some(weave) = WEAVES.get(next.fetch_add(1, Ordering::Relaxed)) {
            let chart = WallChart::of(*weave, system);
            eprintln!("linkfold: {}", chart.weave);
            made.push(chart);
        }
        made
    };
    let mut charts: Vec<WallChart> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        workers.into_iter().flat_map(|worker| worker.join().unwrap_or_default()).collect()
    });
    let order =
        |chart: &WallChart| WEAVES.iter().position(|weave| weave.weave().name() == chart.weave);
    charts.sort_by_key(order);
    let text = if asked.csv { WallChart::csv(&charts) } else { wall_chart(&charts, system) };
    text.trim_end().to_owned()
}
