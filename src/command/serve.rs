//! Serves the page to this computer only.
//!
//! Promises: answers GET and HEAD, with files inside the served folder and no others;
//! the browser is told to run nothing that did not come from here.

use std::fs::File;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use tiny_http::{Header, Method, Request, Response, Server};

/// Threads answering, so that one stalled reader does not hold up the page.
const ANSWERERS: usize = 4;

/// What the page may load and run: its own files, its own module, no inline script or style.
/// The page's head says the same, for whoever else serves it; only frames cannot be spoken of there.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
    style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; \
    manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Why the page is not served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The folder is not there.
    #[error("no folder {} to serve", .folder.display())]
    NoFolder {
        folder: PathBuf,
        #[source]
        source: io::Error,
    },
    /// The port is taken, or not ours to take.
    #[error("cannot serve on port {port}; try another, or leave --port out")]
    NoPort {
        port: u16,
        #[source]
        source: io::Error,
    },
    /// The listener broke.
    #[error("the server stopped")]
    Stopped(#[source] Box<dyn std::error::Error + Send + Sync>),
}

/// Serves `folder` on 127.0.0.1 until the process ends; port 0 takes any free one.
pub fn serve(folder: &Path, port: u16) -> Result<(), ServeError> {
    let folder = folder
        .canonicalize()
        .map_err(|source| ServeError::NoFolder { folder: folder.into(), source })?;
    let no_port = |source| ServeError::NoPort { port, source };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(no_port)?;
    let address = listener.local_addr().map_err(no_port)?;
    let server = Server::from_listener(listener, None).map_err(ServeError::Stopped)?;
    println!("linkfold is at http://{address}/ (Ctrl-C stops it)");

    std::thread::scope(|scope| {
        let answer_all = || -> io::Result<()> {
            loop {
                // A reader who hung up is no reason to stop.
                let _ = answer(server.recv()?, &folder);
            }
        };
        for _ in 1..ANSWERERS {
            scope.spawn(answer_all);
        }
        answer_all().map_err(|error| ServeError::Stopped(error.into()))
    })
}

fn answer(request: Request, folder: &Path) -> io::Result<()> {
    if !matches!(request.method(), Method::Get | Method::Head) {
        let refusal = Response::from_string("only GET and HEAD\n").with_status_code(405);
        return request.respond(refusal.with_header(header("Allow", "GET, HEAD")));
    }
    let found =
        file_for(request.url(), folder).and_then(|path| Some((File::open(&path).ok()?, path)));
    let Some((file, path)) = found else {
        return request.respond(Response::from_string("not found\n").with_status_code(404));
    };
    let compressed = takes_gzip(&request).then(|| File::open(with_gz(&path)).ok()).flatten();
    let encoded = compressed.is_some();
    let mut response = Response::from_file(compressed.unwrap_or(file))
        .with_header(header("Content-Type", content_type(&path)))
        .with_header(header("Content-Security-Policy", POLICY))
        .with_header(header("X-Content-Type-Options", "nosniff"))
        .with_header(header("Referrer-Policy", "no-referrer"))
        .with_header(header("Vary", "Accept-Encoding"))
        // A new build must be seen.
        .with_header(header("Cache-Control", "no-cache"));
    if encoded {
        response.add_header(header("Content-Encoding", "gzip"));
    }
    request.respond(response)
}

fn takes_gzip(request: &Request) -> bool {
    let takes = |header: &&Header| header.field.equiv("Accept-Encoding");
    let named = request.headers().iter().find(takes);
    named.is_some_and(|header| header.value.as_str().split(',').any(|way| way.trim() == "gzip"))
}

/// Where a file's compressed copy is, if the build made one.
fn with_gz(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".gz");
    name.into()
}

/// The file a request names, if it is one of ours.
///
/// Our names need only letters, digits, `.`, `_` and `-`, with no dot in front. Whatever
/// else arrives (`..`, `%2e`, backslashes) names no file; nor does a link leading outside.
fn file_for(url: &str, folder: &Path) -> Option<PathBuf> {
    let path = url.split(['?', '#']).next()?.strip_prefix('/')?;
    let path = if path.is_empty() { "index.html" } else { path };
    let plain = |name: &str| {
        let allowed = |byte: u8| byte.is_ascii_alphanumeric() || b"._-".contains(&byte);
        !name.is_empty() && !name.starts_with('.') && name.bytes().all(allowed)
    };
    if !path.split('/').all(plain) {
        return None;
    }
    let file = folder.join(path).canonicalize().ok()?;
    (file.starts_with(folder) && file.is_file()).then_some(file)
}

fn content_type(path: &Path) -> &'static str {
    match path.extension().and_then(|extension| extension.to_str()) {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("png") => "image/png",
        Some("svg") => "image/svg+xml",
        Some("txt") => "text/plain; charset=utf-8",
        Some("wasm") => "application/wasm",
        Some("webmanifest") => "application/manifest+json",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    }
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("our own headers are plain ASCII")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn www() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("www").canonicalize().unwrap()
    }

    #[test]
    fn the_page_and_its_parts_are_found() {
        assert_eq!(file_for("/", &www()), Some(www().join("index.html")));
        assert_eq!(file_for("/start.js?again=1", &www()), Some(www().join("start.js")));
    }

    #[test]
    fn nothing_outside_the_folder_is_found() {
        for url in [
            "/../Cargo.toml",
            "/pkg/../../Cargo.toml",
            "/%2e%2e/Cargo.toml",
            "/..%2fCargo.toml",
            "/..\\Cargo.toml",
            "//etc/passwd",
            "/.git",
            "/pkg/",
            "/missing.html",
            "index.html",
            "",
            "http://elsewhere/index.html",
            "/index.html\0",
        ] {
            assert_eq!(file_for(url, &www()), None, "{url:?}");
        }
    }

    #[test]
    fn a_link_out_of_the_folder_is_not_followed() {
        let folder = std::env::temp_dir().join(format!("linkfold-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let folder = folder.canonicalize().unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(www().join("index.html"), folder.join("out.html")).unwrap();
        assert_eq!(file_for("/out.html", &folder), None);
        std::fs::remove_dir_all(folder).unwrap();
    }

    /// Wherever the page is served from, the same policy holds.
    #[test]
    fn the_page_states_the_policy_it_is_served_with() {
        let page = std::fs::read_to_string(www().join("index.html")).unwrap();
        let (stated, _) = POLICY.split_once("; frame-ancestors").unwrap();
        assert!(
            page.contains(&format!("http-equiv=\"Content-Security-Policy\" content=\"{stated}\""))
        );
        assert!(!page.contains(" style=\"") && !page.contains(" onclick="), "refused by it");
    }

    #[test]
    fn modules_and_scripts_have_the_types_browsers_insist_on() {
        assert_eq!(content_type(Path::new("a.wasm")), "application/wasm");
        assert_eq!(content_type(Path::new("a.js")), "text/javascript; charset=utf-8");
    }
}
