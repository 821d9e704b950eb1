//! The browser's half: compiles the library to WebAssembly and writes its bindings.

use super::offline;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use wasm_bindgen_cli_support::Bindgen;

type AnyError = Box<dyn std::error::Error + Send + Sync>;

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
    /// The bindings could not be made or written.
    #[error("cannot write the module's bindings")]
    Bindings(#[source] AnyError),
}

/// Its file in `www/pkg` is this with `_bg.wasm`, its bindings this with `.js`.
const NAME: &str = "linkfold";

/// Compiles the module and writes it, with its bindings, to `www/pkg`, and beside the page what
/// keeps it working offline.
pub fn build(package: &Path) -> Result<(), ModuleError> {
    ensure_target(package)?;
    let www = package.join("www");
    let unwritten = |what| move |source| ModuleError::Unwritten { what, source };
    let compiled = compile(package)?;
    bind(&compiled, &www.join("pkg")).map_err(ModuleError::Bindings)?;
    compress(&www.join(format!("pkg/{NAME}_bg.wasm")))
        .map_err(unwritten("the compressed module"))?;
    offline::write(&www).map_err(unwritten("www/offline.js"))
}

/// A module without a folder: bindings that make one plain script, and the module's bytes.
pub struct Alone {
    pub bindings: String,
    pub wasm: Vec<u8>,
}

/// The module of a page in one file.
pub fn alone(package: &Path) -> Result<Alone, ModuleError> {
    ensure_target(package)?;
    bind_alone(&compile(package)?).map_err(ModuleError::Bindings)
}

/// Writes `file` once more, compressed, as `file.gz`: for whoever serves it.
fn compress(file: &Path) -> io::Result<()> {
    let mut name = file.as_os_str().to_owned();
    name.push(".gz");
    std::fs::write(name, gzip(&std::fs::read(file)?)?)
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

/// Runs cargo and returns the module's path, wherever cargo's settings put it.
fn compile(package: &Path) -> Result<PathBuf, ModuleError> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
    let ran = Command::new(&cargo)
        .args(["build", "--locked", "--lib", "--no-default-features"])
        .args(["--target", TARGET, "--profile", "wasm-release"])
        .arg("--message-format=json-render-diagnostics")
        .current_dir(package)
        .stderr(Stdio::inherit())
        .output()
        .map_err(not_run(&cargo))?;
    if !ran.status.success() {
        return Err(ModuleError::NotCompiled);
    }
    module_in(&String::from_utf8_lossy(&ran.stdout)).ok_or(ModuleError::NoModule)
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

fn bind(module: &Path, folder: &Path) -> Result<(), AnyError> {
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
