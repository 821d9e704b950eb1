//! Serves the page to this computer only.
//!
//! Promises: answers GET and HEAD, with files inside the served folder and no others, however
//! many ask at once and however slowly one of them reads; the browser is told to run nothing
//! that did not come from here.

use http_body_util::Full;
use hyper::body::{Bytes, Incoming};
use hyper::header::{
    ACCEPT_ENCODING, ALLOW, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_SECURITY_POLICY, CONTENT_TYPE,
    HeaderMap, HeaderValue, REFERRER_POLICY, VARY, X_CONTENT_TYPE_OPTIONS,
};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode};
use hyper_util::rt::TokioIo;
use std::convert::Infallible;
use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{fs, io};

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
    /// No answers can be given any more.
    #[error("the server stopped")]
    Stopped(#[source] io::Error),
}

/// Serves `folder` on 127.0.0.1 until the process ends; port 0 takes any free one.
pub fn serve(folder: &Path, port: u16) -> Result<(), ServeError> {
    let folder = folder
        .canonicalize()
        .map_err(|source| ServeError::NoFolder { folder: folder.into(), source })?;
    let no_port = |source| ServeError::NoPort { port, source };
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(no_port)?;
    let address = listener.local_addr().map_err(no_port)?;
    println!("linkfold is at http://{address}/ (Ctrl-C stops it)");
    answer_all(listener, folder).map_err(ServeError::Stopped)
}

/// A task for each connection, so that none waits for another.
fn answer_all(listener: TcpListener, folder: PathBuf) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let folder: Arc<Path> = folder.into();
        loop {
            let (stream, _) = listener.accept().await?;
            let folder = folder.clone();
            let answer = service_fn(move |request: Request<Incoming>| {
                let answer =
                    answer(request.method(), request.uri().path(), request.headers(), &folder);
                async { Ok::<_, Infallible>(answer) }
            });
            // A reader who hung up is no reason to stop.
            tokio::spawn(http1::Builder::new().serve_connection(TokioIo::new(stream), answer));
        }
    })
}

fn answer(
    method: &Method,
    path: &str,
    headers: &HeaderMap,
    folder: &Path,
) -> Response<Full<Bytes>> {
    if !matches!(*method, Method::GET | Method::HEAD) {
        let mut refusal = plain(StatusCode::METHOD_NOT_ALLOWED, "only GET and HEAD\n");
        refusal.headers_mut().insert(ALLOW, HeaderValue::from_static("GET, HEAD"));
        return refusal;
    }
    let file = file_for(path, folder);
    let found = file.and_then(|file| {
        let mut ways = CODINGS.iter().filter(|(coding, _)| takes(headers, coding));
        let packed = ways.find_map(|(coding, extension)| {
            Some((Some(*coding), fs::read(with_extension(&file, extension)).ok()?))
        });
        let (coding, bytes) = match packed {
            Some(packed) => packed,
            None => (None, fs::read(&file).ok()?),
        };
        Some((file, coding, bytes))
    });
    let Some((file, coding, bytes)) = found else {
        return plain(StatusCode::NOT_FOUND, "not found\n");
    };
    let mut response = Response::new(Full::from(bytes));
    let told = response.headers_mut();
    for (name, value) in [
        (CONTENT_TYPE, content_type(&file)),
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (VARY, "Accept-Encoding"),
        // A new build must be seen.
        (CACHE_CONTROL, "no-cache"),
    ] {
        told.insert(name, HeaderValue::from_static(value));
    }
    if let Some(coding) = coding {
        told.insert(CONTENT_ENCODING, HeaderValue::from_static(coding));
    }
    response
}

fn plain(status: StatusCode, words: &'static str) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::from(words));
    *response.status_mut() = status;
    response
}

/// How a file may be compressed, the smallest first, and what its copy's name ends in.
const CODINGS: [(&str, &str); 2] = [("br", "br"), ("gzip", "gz")];

/// Whether the browser takes what is compressed so: named, and not with the weight 0
/// (RFC 9110, §12.5.3).
fn takes(headers: &HeaderMap, coding: &str) -> bool {
    let named = headers.get(ACCEPT_ENCODING).and_then(|value| value.to_str().ok());
    named.is_some_and(|ways| {
        ways.split(',').any(|way| {
            let (name, weight) = way.split_once(';').unwrap_or((way, ""));
            let refused = weight.trim().strip_prefix("q=").and_then(|q| q.trim().parse().ok());
            name.trim().eq_ignore_ascii_case(coding) && refused != Some(0.0f32)
        })
    })
}

/// Where a file's compressed copy is, if the build made one.
fn with_extension(path: &Path, extension: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(extension);
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

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::{BufRead, BufReader, Read, Write};
    use std::net::TcpStream;
    use std::time::Duration;

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

    /// A browser opens several connections at once and keeps them. Of a pool of threads, one in
    /// ten to a hundred such bursts once left a connection that no one read.
    #[test]
    fn whoever_asks_at_once_is_answered() {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
        let address = listener.local_addr().unwrap();
        std::thread::spawn(|| answer_all(listener, www()));
        let style = fs::read(www().join("style.css")).unwrap();
        for _ in 0..200 {
            // Two say nothing, as connections opened in advance.
            let mut all: Vec<_> = (0..14).map(|_| TcpStream::connect(address).unwrap()).collect();
            for asking in &mut all[2..] {
                asking.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
                asking.write_all(b"GET /style.css HTTP/1.1\r\nHost: here\r\n\r\n").unwrap();
            }
            for asking in &mut all[2..] {
                let mut told = vec![0; style.len()];
                let mut read = BufReader::new(asking);
                let mut head = String::new();
                while !head.ends_with("\r\n\r\n") {
                    assert_ne!(read.read_line(&mut head).expect("an answer"), 0);
                }
                assert!(head.starts_with("HTTP/1.1 200"), "{head}");
                read.read_exact(&mut told).unwrap();
                assert_eq!(told, style);
            }
        }
    }

    #[test]
    fn what_cannot_be_had_is_refused() {
        let ask = |method, path| answer(&method, path, &HeaderMap::new(), &www());
        assert_eq!(ask(Method::POST, "/").status(), StatusCode::METHOD_NOT_ALLOWED);
        assert_eq!(ask(Method::GET, "/missing.html").status(), StatusCode::NOT_FOUND);
        let page = ask(Method::GET, "/");
        assert_eq!(page.status(), StatusCode::OK);
        assert_eq!(page.headers()[CONTENT_SECURITY_POLICY], POLICY);
        assert_eq!(page.headers().get(CONTENT_ENCODING), None);
    }

    #[test]
    fn the_smallest_copy_that_the_browser_takes_is_served() {
        let folder = std::env::temp_dir().join(format!("linkfold-coded-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let folder = folder.canonicalize().unwrap();
        for name in ["a.js", "a.js.gz", "a.js.br", "b.js"] {
            std::fs::write(folder.join(name), name).unwrap();
        }
        let coding = |path: &str, accepted: Option<&'static str>| {
            let mut headers = HeaderMap::new();
            if let Some(accepted) = accepted {
                headers.insert(ACCEPT_ENCODING, HeaderValue::from_static(accepted));
            }
            let told = answer(&Method::GET, path, &headers, &folder);
            assert_eq!(told.headers()[CONTENT_TYPE], "text/javascript; charset=utf-8");
            told.headers().get(CONTENT_ENCODING).map(|value| value.to_str().unwrap().to_string())
        };
        assert_eq!(coding("/a.js", None), None);
        assert_eq!(coding("/a.js", Some("gzip, deflate, br, zstd")).as_deref(), Some("br"));
        assert_eq!(coding("/a.js", Some("gzip, br;q=0")).as_deref(), Some("gzip"));
        assert_eq!(coding("/a.js", Some("GZIP;q=0.5")).as_deref(), Some("gzip"));
        assert_eq!(coding("/a.js", Some("zstd, brr")), None);
        assert_eq!(coding("/b.js", Some("gzip, br")), None);
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
