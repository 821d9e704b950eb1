//! The command, run as a maker's shell runs it.

use std::io::Write;
use std::process::{Command, Output, Stdio};

/// Runs the command with `input` on standard input.
pub fn run(arguments: &[&str], input: &[u8]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_linkfold"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The command may refuse before it has read everything.
    let _ = command.stdin.take().unwrap().write_all(input);
    command.wait_with_output().unwrap()
}
