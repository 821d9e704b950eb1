//! Documents in and out: a design's report, its hand-out, and the schema of designs.

use linkfold::bench::{Bench, BenchError};
use linkfold::chain::Body;
use linkfold::design::{Design, DesignError, LONGEST_DOCUMENT};
use linkfold::picture::{Joining, Pace, Taught, handout_file};
use linkfold::report::{CAUTIONS, Report, hang, prove};
use linkfold::tune::{TuneError, Wishes};
use linkfold::units::LengthUnit;
use std::io::Read;
use std::path::Path;

/// Why there is no report.
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
    NoPage {
        /// What was asked for.
        wanted: usize,
        /// How many there are.
        count: usize,
    },
}

/// The report on the design in `file` (`-` for standard input), as JSON.
pub fn check(file: &Path) -> Result<String, FileError> {
    let report = Report::of(&read(file)?)?;
    Ok(serde_json::to_string_pretty(&report).expect("a report holds finite numbers and strings"))
}

/// The hand-out on the design in `file`, as one HTML file.
pub fn handout(file: &Path) -> Result<String, FileError> {
    let (design, unit) = (read(file)?, LengthUnit::Mm);
    let formings = design.formings()?;
    let bodies: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
    // Of each size, the join to its own kind.
    let known = |size: usize| {
        let proven = prove(&design, &formings, size, unit)?;
        Some((proven, hang(&design, &formings, &bodies, size, unit)))
    };
    let known: Vec<_> = (0..formings.len()).filter_map(known).collect();
    let taught: Vec<Taught> = known
        .iter()
        .enumerate()
        .map(|(size, (proven, hung))| {
            let (link, before, way) = (&formings[size], &proven.before[..], proven.ways.first());
            let joining = Joining { receiving: link, incoming: link, before, way };
            let measures = hung.as_ref().and_then(|hung| hung.measures.as_ref());
            Taught {
                pace: Pace::of(&joining),
                joining,
                join: &proven.report,
                chain: measures.map(|measures| (&bodies[size], measures)),
                unit,
            }
        })
        .collect();
    Ok(handout_file(&design, &taught, &CAUTIONS))
}

/// The design in `file` (`-` for standard input).
pub fn read(file: &Path) -> Result<Design, FileError> {
    Ok(Design::parse(&text(file)?)?)
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
