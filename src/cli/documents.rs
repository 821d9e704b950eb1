//! Documents in and out: a design's report, its hand-out, and the schema of designs.

use super::progress_line::ProgressLine;
use linkfold::answers::build::BuildError;
use linkfold::answers::optimise::Wishes;
use linkfold::answers::path::{PathDocument, PathError};
use linkfold::answers::plan::{Plan, PlanError, PlanTable};
use linkfold::answers::report::{
    CAUTIONS, PlanReport, Report, ReportStage, WholeAnswer, analyse_chain, plan_table, prove,
    prove_all,
};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::{Design, DesignError, LONGEST_DOCUMENT};
use linkfold::documents::units::LengthUnit;
use linkfold::documents::{json, share};
use linkfold::motion::chain::Body;
use linkfold::render::{Handout, Joining, Pace, Taught};
use std::io::Read;
use std::path::Path;

/// Why there is no report.
#[derive(Debug, thiserror::Error)]
pub enum CheckError {
    /// The file cannot be read.
    #[error("cannot be read: {0}")]
    Unreadable(#[from] std::io::Error),
    /// Far longer than any document.
    #[error("is {} bytes long; a document has at most {LONGEST_DOCUMENT}", long_words(*.0))]
    TooLong(Option<u64>),
    /// The file is no text.
    #[error("is not text in UTF-8")]
    NotText,
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// The design gives no links.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// There is no path to write.
    #[error(transparent)]
    Path(#[from] PathError),
    /// The chain cannot be planned.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// Another document that was named is at fault.
    #[error("the {what} {place}: {fault}")]
    Beside {
        /// What it should be.
        what: &'static str,
        /// Its file.
        place: String,
        /// What is wrong with it.
        fault: String,
    },
    /// There is no size whose join could be tried.
    #[error("no size of this design can be joined to its like, so that there is nothing to draw")]
    Unformed,
    /// The design goes into no link.
    #[error(transparent)]
    Link(#[from] share::LinkError),
    /// Pictures cannot be written.
    #[error("cannot write into {place}: {cause}")]
    Unwritten {
        /// The folder.
        place: String,
        /// Why not.
        cause: std::io::Error,
    },
    /// The sheet has no such page.
    #[error("page {wanted} is not there; this sheet has pages 1 to {count}")]
    NoPage {
        /// What was asked for.
        wanted: usize,
        /// How many there are.
        count: usize,
    },
}

/// The report on the design in `file`, as JSON; a refusal for want of a joined pose proven, if it can
/// be, where `proves`.
pub fn check(file: &Path, proves: bool) -> Result<String, CheckError> {
    let design = read(file)?;
    let line = ProgressLine::on_terminal();
    let count = ReportStage::ALL.len();
    let mut report = Report::by_stages(&design, |stage| {
        line.say(&format!("{} of {count}: {}", stage as usize + 1, stage.words()));
    })?;
    if proves {
        line.say("proving what was refused");
        report.prove_refusals(&design)?;
    }
    Ok(json::lines(&report))
}

/// The path of the join `join`, counted from 1 as the report has them, of the design in `file`, as
/// JSON.
pub fn path(file: &Path, join: usize) -> Result<String, CheckError> {
    let index = join.wrapping_sub(1);
    Ok(json::lines(&PathDocument::of(&read(file)?, index)?))
}

/// The hand-out on the design in `file`, as one HTML file; with a code of its link, where the page's
/// `address` is told.
pub fn handout(file: &Path, address: Option<&str>) -> Result<String, CheckError> {
    let design = read(file)?;
    let joins = prove_all(&design, &design.formings()?, LengthUnit::Mm);
    let verdict = WholeAnswer::of(&joins, 0).map_or_else(String::new, |whole| whole.line());
    let link = link(&design, address)?;
    let handout =
        Handout { design: &design, verdict: &verdict, link: link.as_deref(), cautions: &CAUTIONS };
    taught(&design, |taught| handout.file(taught))
}

/// The link that opens `design` on the page at `address`.
pub fn link(design: &Design, address: Option<&str>) -> Result<Option<String>, CheckError> {
    let link = |address| Ok(format!("{address}#{}", share::fragment(design)?));
    address.map(link).transpose()
}

/// What `with` makes of the sizes of `design`, each with the join to its own kind proven.
pub fn taught<T>(design: &Design, with: impl Fn(&[Taught]) -> T) -> Result<T, CheckError> {
    let unit = LengthUnit::Mm;
    let formings = design.formings()?;
    let bodies: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
    let known = |size: usize| {
        let proven = prove(design, &formings, size, unit)?;
        Some((proven, analyse_chain(design, &formings, &bodies, size, unit)))
    };
    let line = ProgressLine::on_terminal();
    line.say("proving the joins");
    let known: Vec<_> = (0..formings.len()).filter_map(known).collect();
    let taught: Vec<Taught> = known
        .iter()
        .enumerate()
        .map(|(size, (proven, hung))| {
            let (link, before, path) = (&formings[size], &proven.before[..], proven.paths.first());
            let joining = Joining { receiving: link, incoming: link, before, path };
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
    Ok(with(&taught))
}

/// The plan of the chain of the design in `file`, every join proven, as JSON; with cost and hours
/// by the bench in `bench`.
pub fn plan(file: &Path, bench: Option<&Path>) -> Result<String, CheckError> {
    let design = read(file)?;
    let bench = bench.map(bench_in).transpose()?;
    let line = ProgressLine::on_terminal();
    line.say("proving the joins, and how an uneven hand fares");
    let report = PlanReport::proven(&design, bench.as_ref())?;
    Ok(json::lines(&report))
}

/// A table of that plan, as comma-separated text.
pub fn table(file: &Path, table: PlanTable) -> Result<String, CheckError> {
    let design = read(file)?;
    let formings = design.formings()?;
    let plan = Plan::of(&design, &formings)?;
    Ok(plan_table(&design, &formings, &plan, table))
}

/// The bench in `file` (`-` for standard input).
pub fn bench_in(file: &Path) -> Result<Bench, CheckError> {
    beside("bench", file, Bench::parse)
}

/// What is in `file`, which was named beside a design.
pub fn beside<T, E: ToString>(
    what: &'static str,
    file: &Path,
    parse: impl Fn(&str) -> Result<T, E>,
) -> Result<T, CheckError> {
    let place = file.display().to_string();
    let read = text(file).map_err(|fault| fault.to_string());
    let parsed = read.and_then(|text| parse(&text).map_err(|fault| fault.to_string()));
    parsed.map_err(|fault| CheckError::Beside { what, place, fault })
}

/// The design in `file` (`-` for standard input).
pub fn read(file: &Path) -> Result<Design, CheckError> {
    Ok(Design::parse(&text(file)?)?)
}

fn text(file: &Path) -> Result<String, CheckError> {
    let (source, length): (Box<dyn Read>, _) = if file.as_os_str() == "-" {
        (Box::new(std::io::stdin()), None)
    } else {
        let file = std::fs::File::open(file)?;
        let length = file.metadata().ok().filter(|known| known.is_file()).map(|known| known.len());
        (Box::new(file), length)
    };
    let mut bytes = Vec::new();
    // One byte more than allowed, so that a longer document is seen to be longer.
    source.take(LONGEST_DOCUMENT as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > LONGEST_DOCUMENT {
        return Err(CheckError::TooLong(length));
    }
    String::from_utf8(bytes).map_err(|_| CheckError::NotText)
}

/// So many bytes, where it is known how many.
fn long_words(length: Option<u64>) -> String {
    length.map_or_else(|| format!("more than {LONGEST_DOCUMENT}"), |length| format!("{length}"))
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
    json::lines(&schema)
}
