//! The command's door: what is asked, which room of `command` does it, how it ended.

mod command;

use clap::{Parser, Subcommand};
use command::documents::Schema;
use command::{documents, mesh, module, package, serve, sheet, tune};
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
    task: Option<Task>,
    /// Port to serve on; 0 takes any free one
    #[arg(long, default_value_t = 0)]
    port: u16,
}

#[derive(Subcommand)]
enum Task {
    /// Report on a design, as JSON
    Check {
        /// The design's file, or - for standard input
        file: PathBuf,
    },
    /// Write a link or a chain as a solid, for a printer or a viewer
    Mesh(mesh::Asked),
    /// Print a hand-out to a class on a design, as one HTML file
    Handout {
        /// The design's file, or - for standard input
        file: PathBuf,
    },
    /// Print the bench sheet of a design, true to scale: one HTML document for the browser to print
    Sheet {
        /// The design's file, or - for standard input
        file: PathBuf,
        /// The file of your bench, whose conical pliers get their stripes
        #[arg(long)]
        bench: Option<PathBuf>,
        /// What it is printed on
        #[arg(long, value_parser = ["a4", "letter"], default_value = "a4")]
        paper: String,
        /// Lengths in inches
        #[arg(long)]
        inches: bool,
        /// One page as an SVG file instead
        #[arg(long, value_name = "PAGE", num_args = 0..=1, default_missing_value = "1")]
        svg: Option<usize>,
    },
    /// Find the dimensions that give the chain wished for, as JSON
    Tune {
        /// The design's file to start from, or - for standard input
        file: PathBuf,
        /// The file of your wishes
        #[arg(long)]
        wishes: PathBuf,
        /// The file of your bench, for what is to be from there
        #[arg(long)]
        bench: Option<PathBuf>,
    },
    /// Print the JSON Schema of a design
    Schema {
        /// That of a bench instead
        #[arg(long, conflicts_with = "wishes")]
        bench: bool,
        /// That of a wish document instead
        #[arg(long)]
        wishes: bool,
    },
    /// Build the page into www/pkg and stop
    Build,
}

/// Exit status for a design that cannot be read or worked, and for bad usage.
const BAD_DESIGN: u8 = 2;

fn main() -> ExitCode {
    let cli = Cli::parse();
    let outcome = match cli.task {
        None => build_and_serve(cli.port),
        Some(Task::Build) => build(),
        Some(Task::Schema { bench, wishes }) => show(&documents::schema(match (bench, wishes) {
            (true, _) => Schema::Bench,
            (_, true) => Schema::Wishes,
            _ => Schema::Design,
        })),
        Some(Task::Sheet { file, bench, paper, inches, svg }) => {
            let bench = match read_with(bench, sheet::bench) {
                Ok(bench) => bench,
                Err(ended) => return ended,
            };
            let asked = sheet::Asked { paper, inches, svg };
            return answer(&file, sheet::sheet(&file, bench.as_ref(), &asked));
        }
        Some(Task::Tune { file, wishes, bench }) => {
            let bench = match read_with(bench, sheet::bench) {
                Ok(bench) => bench,
                Err(ended) => return ended,
            };
            return match tune::wishes(&wishes, bench.as_ref()) {
                Ok(wished) => answer(&file, tune::tune(&file, &wished)),
                Err(error) => bad(&wishes, &error),
            };
        }
        Some(Task::Check { file }) => return answer(&file, documents::check(&file)),
        Some(Task::Handout { file }) => return answer(&file, documents::handout(&file)),
        Some(Task::Mesh(asked)) => match mesh::mesh(&asked) {
            Err(error @ mesh::MeshError::Unwritten { .. }) => Err(error.into()),
            made => return answer(&asked.file, made),
        },
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

/// Reads a file where there is one; says what is wrong with it.
fn read_with<T, E: Error>(
    file: Option<PathBuf>,
    read: impl Fn(&Path) -> Result<T, E>,
) -> Result<Option<T>, ExitCode> {
    let Some(file) = file else { return Ok(None) };
    read(&file).map(Some).map_err(|error| bad(&file, &error))
}

/// Says what is wrong with a file.
fn bad(file: &Path, error: &dyn Error) -> ExitCode {
    eprintln!("linkfold: {}: {}", file.display(), with_causes(error));
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
    Ok(module::build(&package::folder()?)?)
}

fn build_and_serve(port: u16) -> Result<(), Box<dyn Error>> {
    let package = package::folder()?;
    module::build(&package)?;
    Ok(serve::serve(&package.join("www"), port)?)
}

/// The error and what caused it, in one line.
fn with_causes(error: &dyn Error) -> String {
    let causes = std::iter::successors(Some(error), |&error| error.source());
    causes.map(ToString::to_string).collect::<Vec<_>>().join(": ")
}
