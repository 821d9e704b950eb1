//! The designs that a maker's wishes ask for.

use super::documents::{FileError, text};
use linkfold::bench::Bench;
use linkfold::design::Design;
use linkfold::tune::{Tuner, Wishes};
use std::path::Path;

/// The wishes in `file`, their lists from `bench` where they ask for it.
pub fn wishes(file: &Path, bench: Option<&Bench>) -> Result<Wishes, FileError> {
    let wishes = Wishes::parse(&text(file)?)?;
    Ok(match bench {
        Some(bench) => wishes.on_bench(bench)?,
        None => wishes,
    })
}

/// What is found for the design in `file`, as JSON.
pub fn tune(file: &Path, wishes: &Wishes) -> Result<String, FileError> {
    let design = Design::parse(&text(file)?)?;
    let found = Tuner::new(&design, wishes)?.settle();
    Ok(serde_json::to_string_pretty(&found).expect("answers hold finite numbers and strings"))
}
