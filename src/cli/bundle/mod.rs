//! The page as one file that needs no server and no network: everything it is made of stands
//! inside, and a policy in its head lets nothing else run or load.
//!
//! Scripts and style are allowed by their hashes alone. The worker is made of a `blob:` address,
//! since a file may not start one from another file. The module stands inside compressed; the
//! browser's own `DecompressionStream` opens it.

mod inline;
mod letters;

use super::module::{self, Alone, ModuleError};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use inline::{between, swapped, tags};
use letters::letters;
use sha2::{Digest, Sha256};
use std::io;
use std::path::{Path, PathBuf};

/// What stands before the page's own start: where its parts are.
const PARTS: &str = include_str!("page.js");

/// Why there is no such file.
#[derive(Debug, thiserror::Error)]
pub enum BundleError {
    /// The module could not be made.
    #[error(transparent)]
    Module(#[from] ModuleError),
    /// A file of the page is missing.
    #[error("cannot read {}", .file.display())]
    Unread {
        file: PathBuf,
        #[source]
        source: io::Error,
    },
    /// The file cannot be written.
    #[error("cannot write {}", .file.display())]
    Unwritten {
        file: PathBuf,
        #[source]
        source: io::Error,
    },
    /// The module cannot be compressed.
    #[error("cannot compress the module")]
    Uncompressed(#[source] io::Error),
    /// The page is not what this was made for.
    #[error("{file} does not hold \"{wanted}\" once, so it cannot be taken into one file")]
    Unlike { file: &'static str, wanted: String },
    /// The page loads what is not taken into the file.
    #[error("{file} loads \"{address}\", which would be missing in one file")]
    Loads { file: String, address: String },
}

/// Builds the page and writes it as one file.
pub fn bundle(package: &Path, file: &Path) -> Result<(), BundleError> {
    let text = page(&package.join("www"), &module::alone(package)?)?;
    std::fs::write(file, text)
        .map_err(|source| BundleError::Unwritten { file: file.into(), source })
}

/// The whole page of `www` with its module inside.
fn page(www: &Path, Alone { bindings, wasm }: &Alone) -> Result<String, BundleError> {
    let read = |name: &str| -> Result<String, BundleError> {
        let file = www.join(name);
        let text = std::fs::read_to_string(&file)
            .map_err(|source| BundleError::Unread { file, source })?;
        // Hashes are of what the browser reads, and it reads line ends so.
        Ok(text.replace("\r\n", "\n"))
    };
    // Without the opening design: its pictures weigh more than the module, which is at hand at once.
    let (mut html, style) = (read("index.html")?, read("style.css")?);
    let mut early = None;
    let mut styles = Vec::new();
    let mut loads_start = false;
    for tag in tags(&html) {
        let attribute = |name: &str| between(&tag, &format!("{name}=\""), "\"").unwrap_or_default();
        let replacement = match (attribute("rel"), attribute("src")) {
            ("stylesheet", _) if attribute("href") == "style.css" => {
                if let Some(address) = between(&style, "url(", ")") {
                    let file = attribute("href").into();
                    return Err(BundleError::Loads { file, address: address.into() });
                }
                styles.push(source(&style));
                format!("<style>{style}</style>")
            }
            ("icon", _) if attribute("href").ends_with(".svg") => {
                let drawn = STANDARD.encode(read(attribute("href"))?);
                format!("<link rel=\"icon\" href=\"data:image/svg+xml;base64,{drawn}\">")
            }
            // A file is no web app, has its policy from here, and its scripts at its end.
            ("icon" | "apple-touch-icon" | "manifest", _) => String::new(),
            ("modulepreload" | "preload", _) => String::new(),
            (_, "early.js") => {
                let script = early.insert(read("early.js")?);
                format!("<script>{script}</script>")
            }
            (_, "start.js") => {
                loads_start = true;
                String::new()
            }
            _ if tag.contains("http-equiv=\"Content-Security-Policy\"") => String::new(),
            (_, address) if !address.is_empty() => {
                let (file, address) = ("index.html".into(), address.into());
                return Err(BundleError::Loads { file, address });
            }
            _ => continue,
        };
        html = swapped("index.html", &html, &tag, &replacement)?;
    }
    if !loads_start {
        return Err(BundleError::Unlike { file: "index.html", wanted: "src=\"start.js\"".into() });
    }
    let fault = swapped("fault.js", &read("fault.js")?, "export function tell", "function tell")?;
    let start =
        swapped("start.js", &read("start.js")?, "import { tell } from './fault.js';\n", "")?;
    let start = format!("{PARTS}{fault}{start}");
    let worker = swapped(
        "worker.js",
        &read("worker.js")?,
        "import init, { answer } from './pkg/linkfold.js';",
        "const init = wasm_bindgen, { answer } = wasm_bindgen;",
    )?;
    let early = early.unwrap_or_default();
    let scripts = [source(&early), source(bindings), source(&start)];
    let packed = module::gzip(wasm).map_err(BundleError::Uncompressed)?;
    let (module, bytes) = (letters(&packed), packed.len());
    let inside = [("early.js", &early), ("the bindings", bindings), ("start.js", &start)];
    for (file, script) in inside.into_iter().chain([("worker.js", &worker)]) {
        if script.contains("</script") || script.contains("<!--") {
            return Err(BundleError::Unlike { file, wanted: "plain script".into() });
        }
    }
    // What is no script of a known type is never run, and asks for no hash.
    let parts = format!(
        "<script type=\"text/plain\" id=\"module\" data-bytes=\"{bytes}\">{module}</script>\n\
         <script type=\"text/plain\" id=\"worker\">{worker}</script>\n\
         <script id=\"bindings\">{bindings}</script>\n\
         <script type=\"module\">{start}</script>\n</body>"
    );
    let policy = format!(
        "<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">",
        policy(&scripts, &styles)
    );
    let html = swapped("index.html", &html, "<meta charset=\"utf-8\">", &policy)?;
    swapped("index.html", &html, "</body>", &parts)
}

/// What the file may run and load: itself.
fn policy(scripts: &[String], styles: &[String]) -> String {
    format!(
        "default-src 'none'; script-src {} 'wasm-unsafe-eval'; style-src {}; \
         img-src data: blob:; worker-src blob:; connect-src 'none'; base-uri 'none'; \
         form-action 'none'",
        scripts.join(" "),
        styles.join(" ")
    )
}

/// A source by which a policy knows just this text.
fn source(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn www() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("www")
    }

    fn module() -> Alone {
        Alone { bindings: "let wasm_bindgen = 1;".into(), wasm: b"\0asm1".to_vec() }
    }

    /// SHA-256 of "abc": FIPS 180-4's example (NIST, SHA256.pdf), in base 64.
    #[test]
    fn a_hash_is_the_published_one() {
        assert_eq!(source("abc"), "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='");
    }

    #[test]
    fn the_page_stands_in_one_file_and_loads_nothing() {
        let page = page(&www(), &module()).unwrap();
        for tag in tags(&page) {
            for attribute in [" src=\"", " href=\""] {
                if let Some(address) = between(&tag, attribute, "\"") {
                    assert!(address.starts_with("data:") || address.starts_with('#'), "{tag}");
                }
            }
        }
        assert_eq!(page.matches("Content-Security-Policy").count(), 1);
        let policy = between(&page, "http-equiv=\"Content-Security-Policy\" content=\"", "\"");
        let policy = policy.unwrap();
        assert!(policy.contains("connect-src 'none'") && !policy.contains("unsafe-inline"));
        // Every script that runs, and the style, is known by its hash.
        let mut known = 0;
        for (open, close) in [
            ("<script>", "</script>"),
            ("<script id=\"bindings\">", "</script>"),
            ("<script type=\"module\">", "</script>"),
            ("<style>", "</style>"),
        ] {
            assert!(policy.contains(&source(between(&page, open, close).unwrap())), "{open}");
            known += 1;
        }
        assert_eq!(policy.matches("sha256-").count(), known);
    }

    #[test]
    fn a_page_that_loads_more_is_refused() {
        let folder = std::env::temp_dir().join(format!("linkfold-bundle-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        for name in
            ["index.html", "style.css", "icon.svg", "early.js", "start.js", "fault.js", "worker.js"]
        {
            std::fs::copy(www().join(name), folder.join(name)).unwrap();
        }
        assert!(page(&folder, &module()).is_ok());
        let html = std::fs::read_to_string(folder.join("index.html")).unwrap();
        let more = html.replace("</body>", "<img src=\"far.png\" alt=\"\"></body>");
        std::fs::write(folder.join("index.html"), more).unwrap();
        let refused = page(&folder, &module());
        assert!(
            matches!(&refused, Err(BundleError::Loads { address, .. }) if address == "far.png")
        );
        std::fs::write(folder.join("index.html"), html).unwrap();
        std::fs::write(folder.join("style.css"), "a { background: url(far.png) }").unwrap();
        assert!(matches!(page(&folder, &module()), Err(BundleError::Loads { .. })));
        std::fs::remove_dir_all(folder).unwrap();
    }
}
