//! The command's door: what is asked, which room of `command` does it, how it ended.

mod command;

use clap::{Parser, Subcommand};
use command::{documents, module, package, serve, sheet, tune};
use command::documents::Schema;
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
    /// Print the JSON Schema of a design
    Schema {
        /// That of a bench instead
        #[arg(long, conflicts_with = "wishes")]
        bench: bool,
        /// That of a wish document instead
        #[arg(long)]
        wishes: bool,
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
        Some(Task::Tune { file, wishes, bench }) => {
            let bench = match bench.map(|file| (sheet::bench(&file), file)) {
                Some((Err(error), file)) => return bad(&file, &error),
                Some((Ok(bench), _)) => Some(bench),
                None => None,
            };
            let wished = match tune::wishes(&wishes, bench.as_ref()) {
                Err(error) => return bad(&wishes, &error),
                Ok(wished) => wished,
            };
            match tune::tune(&file, &wished) {
                Ok(found) => show(&found),
                Err(error) => return bad(&file, &error),
            }
        }
        Some(Task::Check { file }) => match documents::check(&file) {
            Ok(report) => show(&report),
            Err(error) => return bad(&file, &error),
        },
        Some(Task::Sheet { file, bench, paper, inches, svg }) => {
            let bench = match bench.map(|file| (sheet::bench(&file), file)) {
                Some((Err(error), file)) => return bad(&file, &error),
                Some((Ok(bench), _)) => Some(bench),
                None => None,
            };
            match sheet::sheet(&file, bench.as_ref(), &sheet::Asked { paper, inches, svg }) {
                Ok(sheet) => show(&sheet),
                Err(error) => return bad(&file, &error),
            }
        }
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("linkfold: {}", with_causes(error.as_ref()));
            ExitCode::FAILURE
        }
    }
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
