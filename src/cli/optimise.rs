//! The designs that a maker's wishes ask for.

use super::documents::{CheckError, bench_in, beside, read};
use super::progress_line::ProgressLine;
use linkfold::answers::optimise::{OptimiseError, Optimiser, Wishes};
use linkfold::documents::json;
use std::path::PathBuf;

/// What is wished for, and from where.
#[derive(clap::Args)]
pub struct OptimiseArguments {
    /// The design's file to start from, or - for standard input
    pub file: PathBuf,
    /// The file of your wishes
    #[arg(long)]
    wishes: PathBuf,
    /// The file of your bench, for what is to be from there
    #[arg(long)]
    bench: Option<PathBuf>,
}

/// Designs looked at between two words on how far it is.
const AT_ONCE: usize = 10;

/// What is found, as JSON.
pub fn optimise(asked: &OptimiseArguments) -> Result<String, CheckError> {
    let design = read(&asked.file)?;
    let what = "wish document";
    let wishes = beside(what, &asked.wishes, Wishes::parse)?;
    let bench = asked.bench.as_deref().map(bench_in).transpose()?;
    let on_bench = bench.map_or(Ok(wishes.clone()), |bench| wishes.on_bench(&bench));
    let optimiser = on_bench.and_then(|wishes| Optimiser::new(&design, &wishes));
    let place = asked.wishes.display().to_string();
    let fault = |fault: OptimiseError| CheckError::Beside { what, place, fault: fault.to_string() };
    let mut optimiser = optimiser.map_err(fault)?;
    let line = ProgressLine::on_terminal();
    loop {
        let progress = optimiser.step(AT_ONCE);
        if progress.done {
            return Ok(json::lines(&optimiser.found()));
        }
        line.say(&format!("{} designs tried: {}", progress.looked_at, progress.doing));
    }
}
