//! The designs that a maker's wishes ask for.

use super::documents::{CheckError, bench_in, beside, read};
use linkfold::json;
use linkfold::tune::{Tuner, Wishes};
use std::path::PathBuf;

/// What is wished for, and from where.
#[derive(clap::Args)]
pub struct Asked {
    /// The design's file to start from, or - for standard input
    pub file: PathBuf,
    /// The file of your wishes
    #[arg(long)]
    wishes: PathBuf,
    /// The file of your bench, for what is to be from there
    #[arg(long)]
    bench: Option<PathBuf>,
}

/// What is found, as JSON.
pub fn tune(asked: &Asked) -> Result<String, CheckError> {
    let design = read(&asked.file)?;
    let mut wishes = beside("wish document", &asked.wishes, Wishes::parse)?;
    if let Some(bench) = &asked.bench {
        wishes = wishes.on_bench(&bench_in(bench)?)?;
    }
    let found = Tuner::new(&design, &wishes)?.settle();
    Ok(json::lines(&found))
}
