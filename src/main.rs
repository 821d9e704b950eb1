//! The command's door: what is asked, which room of `command` does it, how it ended.

mod command;

use clap::{Parser, Subcommand};
use command::{module, package, serve};
use std::error::Error;
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
    /// Build the page into www/pkg and stop
    Build,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let outcome = match cli.task {
        None => build_and_serve(cli.port),
        Some(Task::Build) => build(),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("linkfold: {}", with_causes(error.as_ref()));
            ExitCode::FAILURE
        }
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
