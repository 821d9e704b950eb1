//! The command's boundary: what is asked, which module of `cli` does it, how it ended.

mod cli;

use clap::{Parser, Subcommand};
use cli::documents::Schema;
use cli::module::Make;
use cli::{bundle, chart, documents, jig, mesh, optimise, package, picture, serve, sheet, site};
use linkfold::answers::plan::PlanTable;
use std::error::Error;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Loop-in-loop chain, answered before metal is cut.
///
/// Without a task: builds the page and serves it to this computer's browser.
#[derive(Parser)]
#[command(name = "linkfold", version, args_conflicts_with_subcommands = true)]
struct Cli {
    #[command(subcommand)]
    task: Option<Command>,
    /// Port to serve on; 0 takes any free one
    #[arg(long, default_value_t = 0)]
    port: u16,
    /// Build the page as it is handed out, smaller and faster, which takes longer
    #[arg(long)]
    full: bool,
    /// Threads to work with; 0 for as many as there are processors
    #[arg(long, global = true, default_value_t = 0)]
    threads: usize,
}

#[derive(Subcommand)]
enum Command {
    /// Report on a design, as JSON; wire is round, no other section is modelled
    Check {
        /// The design's file, or - for standard input
        file: PathBuf,
        /// Try to prove it, too, where no joined position of two links was found; seconds for each
        #[arg(long)]
        prove: bool,
    },
    /// Plan the whole chain: rings of each size, wire, metal, hours, as JSON
    Plan {
        /// The design's file, or - for standard input
        file: PathBuf,
        /// A bench's file, whose prices and minutes to reckon with
        #[arg(long)]
        bench: Option<PathBuf>,
        /// One table of it instead, comma-separated
        #[arg(long, value_enum, conflicts_with = "bench")]
        table: Option<WhichTable>,
    },
    /// Print the bench sheet of a design, true to scale, for the browser to print
    Sheet(sheet::SheetArguments),
    /// Write a link or a chain as a solid, for a printer or a viewer
    Mesh(mesh::MeshArguments),
    /// Write a gauge or a jig for the design, to print, cut or file
    Jig(jig::JigArguments),
    /// Print a chart for the wall: for each gauge and weave the smallest mandrel that joins
    Chart(chart::ChartArguments),
    /// Print a hand-out to a class on a design, as one HTML file
    Handout {
        /// The design's file, or - for standard input
        file: PathBuf,
        /// Where the page can be opened: a code of the design's link is drawn
        #[arg(long, value_name = "ADDRESS")]
        link: Option<String>,
    },
    /// Draw the steps from wire to chain with their tools, as SVG
    Picture(picture::PictureArguments),
    /// Write out how one link goes through the other, every pose and centreline, as JSON
    Path {
        /// The design's file, or - for standard input
        file: PathBuf,
        /// Which join, counted from 1 in the order of the report
        #[arg(long, default_value_t = 1)]
        join: usize,
    },
    /// Find the dimensions that give the chain wished for, as JSON
    Optimise(optimise::OptimiseArguments),
    /// Print the JSON Schema of a design
    Schema {
        /// That of a bench instead
        #[arg(long, conflicts_with = "wishes")]
        bench: bool,
        /// That of a wish document instead
        #[arg(long)]
        wishes: bool,
    },
    /// Build the page into the folder site, as it is handed out, and stop
    Build,
    /// Write the page as one file that runs without a server and without a network
    Bundle {
        /// Where to write it
        #[arg(short, long, default_value = "linkfold.html")]
        output: PathBuf,
    },
}

/// A table of the plan.
#[derive(Clone, Copy, clap::ValueEnum)]
enum WhichTable {
    /// The chain from end to end
    Chain,
    /// What to wind and saw
    Cuts,
}

impl From<WhichTable> for PlanTable {
    fn from(which: WhichTable) -> PlanTable {
        match which {
            WhichTable::Chain => PlanTable::Chain,
            WhichTable::Cuts => PlanTable::Cuts,
        }
    }
}

/// Exit status for a design that cannot be read or worked, and for bad usage.
const BAD_DESIGN: u8 = 2;

fn main() -> ExitCode {
    let cli = Cli::parse();
    linkfold::math::limit_threads(cli.threads);
    let outcome = match cli.task {
        None => build_and_serve(cli.port, cli.full),
        Some(Command::Build) => build(),
        Some(Command::Bundle { output }) => bundle_into(&output),
        Some(Command::Schema { bench, wishes }) => {
            show(&documents::schema(match (bench, wishes) {
                (true, _) => Schema::Bench,
                (_, true) => Schema::Wishes,
                _ => Schema::Design,
            }))
        }
        Some(Command::Optimise(asked)) => return answer(&asked.file, optimise::optimise(&asked)),
        Some(Command::Check { file, prove }) => {
            return answer(&file, documents::check(&file, prove));
        }
        Some(Command::Chart(asked)) => show(&chart::chart(&asked)),
        Some(Command::Path { file, join }) => return answer(&file, documents::path(&file, join)),
        Some(Command::Handout { file, link }) => {
            return answer(&file, documents::handout(&file, link.as_deref()));
        }
        Some(Command::Picture(asked)) => return answer(&asked.file, picture::picture(&asked)),
        Some(Command::Sheet(asked)) => return answer(&asked.file, sheet::sheet(&asked)),
        Some(Command::Mesh(asked)) => match mesh::mesh(&asked) {
            Err(error @ mesh::MeshCommandError::Unwritten { .. }) => Err(error.into()),
            made => return answer(&asked.file, made),
        },
        Some(Command::Jig(asked)) => match jig::jig(&asked) {
            Err(error @ jig::JigCommandError::Unwritten { .. }) => Err(error.into()),
            made => return answer(&asked.file, made),
        },
        Some(Command::Plan { file, bench, table }) => {
            let asked = match table {
                Some(table) => documents::table(&file, table.into()),
                None => documents::plan(&file, bench.as_deref()),
            };
            // The last line's end is written by `show`.
            return answer(&file, asked.map(|text| text.trim_end_matches('\n').to_owned()));
        }
    };
    ended(outcome)
}

fn ended(outcome: Result<(), Box<dyn Error>>) -> ExitCode {
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("linkfold: {}", with_causes(error.as_ref()));
            ExitCode::FAILURE
        }
    }
}

/// Prints what was made of a design's file, or why nothing was.
fn answer<E: Error>(file: &Path, made: Result<String, E>) -> ExitCode {
    match made {
        Ok(document) => ended(show(&document)),
        Err(error) => bad(file, &error),
    }
}

/// Says what is wrong with a file.
fn bad(file: &Path, error: &dyn Error) -> ExitCode {
    // Errors of documents say all in their own words.
    eprintln!("linkfold: {}: {error}", file.display());
    ExitCode::from(BAD_DESIGN)
}

/// Prints a document; a reader that has seen enough and gone is no failure.
fn show(document: &str) -> Result<(), Box<dyn Error>> {
    match writeln!(std::io::stdout(), "{document}") {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        written => Ok(written?),
    }
}

fn build() -> Result<(), Box<dyn Error>> {
    site::build(&package::folder()?, Make::Full)?;
    Ok(())
}

fn bundle_into(file: &Path) -> Result<(), Box<dyn Error>> {
    bundle::bundle(&package::folder()?, file)?;
    let bytes = std::fs::metadata(file)?.len();
    show(&format!("{}: {:.1} MB, opens in a browser as it is", file.display(), 1e-6 * bytes as f64))
}

fn build_and_serve(port: u16, full: bool) -> Result<(), Box<dyn Error>> {
    let package = package::folder()?;
    let site = site::build(&package, if full { Make::Full } else { Make::Quick })?;
    Ok(serve::serve(&site, port)?)
}

/// The error and what caused it, in one line.
fn with_causes(error: &dyn Error) -> String {
    let causes = std::iter::successors(Some(error), |&error| error.source());
    causes.map(ToString::to_string).collect::<Vec<_>>().join(": ")
}
