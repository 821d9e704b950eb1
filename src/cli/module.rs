//! The browser's half: compiles the library to WebAssembly and writes its bindings.

use flate2::Compression;
use flate2::write::GzEncoder;
use std::collections::BTreeSet;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use wasm_bindgen_cli_support::Bindgen;

pub type AnyError = Box<dyn std::error::Error + Send + Sync>;

const TARGET: &str = "wasm32-unknown-unknown";

/// Why there is no module for the page.
#[derive(Debug, thiserror::Error)]
pub enum ModuleError {
    /// A program we need does not start.
    #[error("cannot run {program}")]
    NotRun {
        program: String,
        #[source]
        source: io::Error,
    },
    /// The compiler lacks the target and there is no rustup to add it.
    #[error(
        "this Rust cannot compile for the browser yet, and rustup is not here to add {TARGET}; \
         install rustup from https://rustup.rs, then try again"
    )]
    NoRustup,
    /// rustup ran and failed; its own message is on the screen.
    #[error("rustup could not add {TARGET}; is there a network?")]
    NoTarget,
    /// cargo ran and failed; its own message is on the screen.
    #[error("the module does not compile")]
    NotCompiled,
    /// cargo succeeded but named no module.
    #[error("cargo reported no .wasm file")]
    NoModule,
    /// What goes with the module could not be written.
    #[error("cannot write {what}")]
    Unwritten {
        what: &'static str,
        #[source]
        source: io::Error,
    },
    /// The page cannot be opened with its design.
    #[error("cannot write the opening design onto the page")]
    Opening(#[from] super::opening::OpeningError),
    /// The bindings could not be made or written.
    #[error("cannot write the module's bindings")]
    Bindings(#[source] AnyError),
}

/// Its file in `site/pkg` is this with `_bg.wasm`, its bindings this with `.js`.
const NAME: &str = "linkfold";

/// How the module is made.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Make {
    /// Soon, to run it here.
    Quick,
    /// Small and fast, to hand it out.
    Full,
}

impl Make {
    /// Its profile in `Cargo.toml`.
    fn profile(self) -> &'static str {
        match self {
            Make::Quick => "release",
            Make::Full => "wasm-release",
        }
    }
}

/// A module without a folder: bindings that make one plain script, and the module's bytes.
pub struct Alone {
    pub bindings: String,
    pub wasm: Vec<u8>,
}

/// The module of a page in one file.
pub fn alone(package: &Path) -> Result<Alone, ModuleError> {
    bind_alone(&compile(package, Make::Full)?).map_err(ModuleError::Bindings)
}

/// Compressed as well as gzip can.
pub fn gzip(bytes: &[u8]) -> io::Result<Vec<u8>> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes)?;
    encoder.finish()
}

/// Adds the browser target to the toolchain unless it is there, by whatever means it came.
fn ensure_target(package: &Path) -> Result<(), ModuleError> {
    let asked = Command::new("rustc")
        .args(["--print", "target-libdir", "--target", TARGET])
        .current_dir(package)
        .output()
        .map_err(not_run("rustc"))?;
    if Path::new(String::from_utf8_lossy(&asked.stdout).trim()).is_dir() {
        return Ok(());
    }
    eprintln!("linkfold: adding {TARGET} to this Rust");
    let added =
        Command::new("rustup").args(["target", "add", TARGET]).current_dir(package).status();
    match added {
        Ok(status) if status.success() => Ok(()),
        Ok(_) => Err(ModuleError::NoTarget),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Err(ModuleError::NoRustup),
        Err(error) => Err(not_run("rustup")(error)),
    }
}

/// Compiles the module and returns its path, wherever cargo's settings put it; says meanwhile how
/// far it is.
pub fn compile(package: &Path, make: Make) -> Result<PathBuf, ModuleError> {
    ensure_target(package)?;
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let all = packages(&cargo, package);
    let mut run = Command::new(&cargo)
        .args(["build", "--locked", "--lib", "--no-default-features"])
        .args(["--target", TARGET, "--profile", make.profile()])
        .arg("--message-format=json-render-diagnostics")
        .current_dir(package)
        .stderr(Stdio::inherit())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(not_run(&cargo))?;
    let mut progress = CompileProgress::new(all);
    let mut found = None;
    for line in run.stdout.take().into_iter().flat_map(|out| BufReader::new(out).lines()) {
        let line = line.map_err(not_run(&cargo))?;
        progress.hear(&line);
        found = found.or_else(|| module_in(&line));
    }
    if !run.wait().map_err(not_run(&cargo))?.success() {
        return Err(ModuleError::NotCompiled);
    }
    progress.end();
    found.ok_or(ModuleError::NoModule)
}

/// How many packages the module is made of; 0 where cargo does not say.
fn packages(cargo: &str, package: &Path) -> usize {
    let listed = Command::new(cargo)
        .args(["tree", "--locked", "--no-default-features", "--target", TARGET])
        .args(["--edges", "normal,build", "--prefix", "none", "--format", "{p}"])
        .current_dir(package)
        .stderr(Stdio::null())
        .output();
    let listed = listed.map(|out| String::from_utf8_lossy(&out.stdout).into_owned());
    // The same package once more is marked so.
    let names = listed.unwrap_or_default();
    names.lines().map(|name| name.trim_end_matches(" (*)")).collect::<BTreeSet<_>>().len()
}

/// Says how far cargo is with the module, by what it reports.
struct CompileProgress {
    all: usize,
    done: BTreeSet<String>,
    since: Instant,
    /// When last something was said; none before there was anything to do.
    said: Option<Instant>,
}

/// Between two sentences on the same.
const SAID_EVERY: Duration = Duration::from_secs(5);

impl CompileProgress {
    fn new(all: usize) -> CompileProgress {
        CompileProgress { all, done: BTreeSet::new(), since: Instant::now(), said: None }
    }

    fn hear(&mut self, message: &str) {
        let Ok(message) = serde_json::from_str::<serde_json::Value>(message) else { return };
        let (Some(id), Some(fresh)) = (message["package_id"].as_str(), message["fresh"].as_bool())
        else {
            return;
        };
        self.done.insert(id.to_string());
        let last = self.done.len() + 1 == self.all;
        let waited = self.said.is_none_or(|said| said.elapsed() >= SAID_EVERY);
        if fresh || !(waited || last) {
            return;
        }
        self.said = Some(Instant::now());
        let (done, all, seconds) = (self.done.len(), self.all, self.since.elapsed().as_secs());
        let then = if last { "; the last, linkfold itself, takes longest" } else { "" };
        eprintln!("linkfold: the page's module: {done} of {all} packages after {seconds} s{then}");
    }

    fn end(&self) {
        if self.said.is_some() {
            eprintln!("linkfold: the module is compiled, {} s", self.since.elapsed().as_secs());
        }
    }
}

/// The `.wasm` file among cargo's messages, one JSON object a line.
fn module_in(messages: &str) -> Option<PathBuf> {
    messages
        .lines()
        .filter_map(|line| serde_json::from_str::<serde_json::Value>(line).ok())
        .filter(|message| message["target"]["name"] == "linkfold")
        .filter_map(|message| message["filenames"].as_array().cloned())
        .flatten()
        .filter_map(|name| name.as_str().map(PathBuf::from))
        .find(|path| path.extension().is_some_and(|extension| extension == "wasm"))
}

/// Writes the compiled module with its bindings to `folder`.
pub fn bind(module: &Path, folder: &Path) -> Result<(), AnyError> {
    let mut bindgen = bindgen(module);
    bindgen.out_name(NAME).web(true)?.omit_default_module_path(false).generate(folder)?;
    Ok(())
}

fn bind_alone(module: &Path) -> Result<Alone, AnyError> {
    let mut made = bindgen(module).no_modules(true)?.generate_output()?;
    Ok(Alone { bindings: made.js().to_string(), wasm: made.wasm_mut().emit_wasm() })
}

/// Names are for reading a fault's trace only, and a tenth of the module.
fn bindgen(module: &Path) -> Bindgen {
    let mut bindgen = Bindgen::new();
    bindgen.input_path(module).typescript(false).remove_name_section(true);
    bindgen
}

fn not_run(program: &str) -> impl FnOnce(io::Error) -> ModuleError {
    let program = program.to_string();
    |source| ModuleError::NotRun { program, source }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_module_is_found_among_cargos_messages() {
        let messages = r#"{"target":{"name":"serde"},"filenames":["/x/other.wasm"]}
            not a message
            {"target":{"name":"linkfold"},"filenames":["/x/lib.rlib","/x/linkfold.wasm"]}
            {"reason":"build-finished","success":true}"#;
        assert_eq!(module_in(messages), Some(PathBuf::from("/x/linkfold.wasm")));
        assert_eq!(module_in(""), None);
    }
}
