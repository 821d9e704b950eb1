//! Documents in and out: a design's report, its hand-out, and the schema of designs.

use linkfold::chain::Body;
use linkfold::design::{Design, DesignError, LONGEST_DOCUMENT};
use linkfold::picture::{Joining, Pace, Taught, handout_file};
use linkfold::report::{CAUTIONS, Report, hang, prove};
use linkfold::units::LengthUnit;
use std::io::Read;
use std::path::Path;

/// Why there is no report.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// The file cannot be read.
    #[error("cannot be read: {0}")]
    Unreadable(#[from] std::io::Error),
    /// The file is no text.
    #[error("is not text in UTF-8")]
    NotText,
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] DesignError),
}

/// The report on the design in `file` (`-` for standard input), as JSON.
pub fn check(file: &Path) -> Result<String, CheckError> {
    let report = Report::of(&read(file)?)?;
    Ok(serde_json::to_string_pretty(&report).expect("a report holds finite numbers and strings"))
}

/// The hand-out on the design in `file`, as one HTML file.
pub fn handout(file: &Path) -> Result<String, CheckError> {
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
                seam: design.metal.seam_share,
                unit,
            }
        })
        .collect();
    Ok(handout_file(&design, &taught, &CAUTIONS))
}

/// The design in `file` (`-` for standard input).
pub fn read(file: &Path) -> Result<Design, CheckError> {
    let source: Box<dyn Read> = if file.as_os_str() == "-" {
        Box::new(std::io::stdin())
    } else {
        Box::new(std::fs::File::open(file)?)
    };
    let mut bytes = Vec::new();
    // One byte more than allowed, so that a longer document is seen to be longer.
    source.take(LONGEST_DOCUMENT as u64 + 1).read_to_end(&mut bytes)?;
    let text = String::from_utf8(bytes).map_err(|_| CheckError::NotText)?;
    Ok(Design::parse(&text)?)
}

/// The JSON Schema of a design.
pub fn schema() -> String {
    let schema = schemars::schema_for!(Design);
    serde_json::to_string_pretty(&schema).expect("a schema is JSON")
}
