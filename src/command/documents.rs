//! Documents in and out: a design's report, and the schema of designs.

use linkfold::bench::{Bench, BenchError};
use linkfold::design::{Design, DesignError, LONGEST_DOCUMENT};
use linkfold::report::Report;
use linkfold::tune::{TuneError, Wishes};
use std::io::Read;
use std::path::Path;

/// Why a file gives no document.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file cannot be read.
    #[error("cannot be read: {0}")]
    Unreadable(#[from] std::io::Error),
    /// The file is no text.
    #[error("is not text in UTF-8")]
    NotText,
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// The bench is at fault.
    #[error(transparent)]
    Bench(#[from] BenchError),
    /// The wishes are at fault, or do not fit the design.
    #[error(transparent)]
    Tune(#[from] TuneError),
    /// The sheet has no such page.
    #[error("page {wanted} is not there; this sheet has pages 1 to {count}")]
    NoPage { wanted: usize, count: usize },
}

/// The text in `file` (`-` for standard input).
pub fn text(file: &Path) -> Result<String, FileError> {
    let source: Box<dyn Read> = if file.as_os_str() == "-" {
        Box::new(std::io::stdin())
    } else {
        Box::new(std::fs::File::open(file)?)
    };
    let mut bytes = Vec::new();
    // One byte more than allowed, so that a longer document is seen to be longer.
    source.take(LONGEST_DOCUMENT as u64 + 1).read_to_end(&mut bytes)?;
    String::from_utf8(bytes).map_err(|_| FileError::NotText)
}

/// The report on the design in `file`, as JSON.
pub fn check(file: &Path) -> Result<String, FileError> {
    let report = Report::of(&Design::parse(&text(file)?)?)?;
    Ok(serde_json::to_string_pretty(&report).expect("a report holds finite numbers and strings"))
}

/// Which document's schema.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Schema {
    /// A design.
    Design,
    /// A bench.
    Bench,
    /// A wish document.
    Wishes,
}

/// The JSON Schema of a document.
pub fn schema(of: Schema) -> String {
    let schema = match of {
        Schema::Design => schemars::schema_for!(Design),
        Schema::Bench => schemars::schema_for!(Bench),
        Schema::Wishes => schemars::schema_for!(Wishes),
    };
    serde_json::to_string_pretty(&schema).expect("a schema is JSON")
}
