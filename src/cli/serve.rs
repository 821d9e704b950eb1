//! Serves the page to this computer only.
//!
//! Promises: answers GET and HEAD, asked of this computer by its own names, with files inside the
//! served folder and no others, however many ask at once and however slowly they ask or read; the
//! browser is told to run nothing that did not come from here, and to let no other page have it.
//! Limit: who asks and does not read holds the answer in memory, 3 MB for the page's module, until
//! newer connections take its place; there are [`MOST_CONNECTIONS`].

use http_body_util::Full;
use hyper::body::{Bytes, Incoming};
use hyper::header::{
    ACCEPT_ENCODING, ALLOW, CACHE_CONTROL, CONTENT_ENCODING, CONTENT_SECURITY_POLICY, CONTENT_TYPE,
    HOST, HeaderMap, HeaderName, HeaderValue, REFERRER_POLICY, VARY, X_CONTENT_TYPE_OPTIONS,
};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Method, Request, Response, StatusCode, Uri};
use hyper_util::rt::TokioIo;
use std::collections::VecDeque;
use std::convert::Infallible;
use std::net::{Ipv4Addr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::{fs, io};
use tokio::task::AbortHandle;

/// What the page may load and run: its own files, its own module, no inline script or style.
/// The page's head says the same, for whoever else serves it; only frames cannot be spoken of there.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
    style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; \
    manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// A page from elsewhere may not load what is served here, not even to find out that it is there.
const NOT_ELSEWHERE: HeaderName = HeaderName::from_static("cross-origin-resource-policy");

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

/// How many connections are open at once; a browser opens some ten.
const MOST_CONNECTIONS: usize = 200;

/// A task for each connection, so that none waits for another. Where there are too many, as of
/// clients that ask nothing or do not read, the oldest makes way.
fn answer_all(listener: TcpListener, folder: PathBuf) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_io().build()?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        let folder: Arc<Path> = folder.into();
        let mut open: VecDeque<AbortHandle> = VecDeque::new();
        loop {
            open.retain(|connection| !connection.is_finished());
            let stream = match listener.accept().await {
                Ok((stream, _)) => Some(stream),
                // Whoever hung up before being heard.
                Err(error) if error.kind() == io::ErrorKind::ConnectionAborted => continue,
                // The system gives no more connections than are open.
                Err(_) if !open.is_empty() => None,
                Err(error) => return Err(error),
            };
            if (stream.is_none() || open.len() >= MOST_CONNECTIONS)
                && let Some(oldest) = open.pop_front()
            {
                oldest.abort();
                tokio::task::yield_now().await;
            }
            let Some(stream) = stream else { continue };
            let folder = folder.clone();
            let answer = service_fn(move |request: Request<Incoming>| {
                let answer = answer(request.method(), request.uri(), request.headers(), &folder);
                async { Ok::<_, Infallible>(answer) }
            });
            // A reader who hung up is no reason to stop.
            let connection = http1::Builder::new().serve_connection(TokioIo::new(stream), answer);
            open.push_back(tokio::spawn(connection).abort_handle());
        }
    })
}

/// Whether this computer is asked by a name of its own, whatever the port: a name that another
/// gave it could make the page a foreign one's. The name stands once (RFC 9112, §3.2), with
/// nothing but a port beside it.
fn is_own_name(uri: &Uri, headers: &HeaderMap) -> bool {
    let is_port = |port: &str| port.is_empty() || port.parse::<u16>().is_ok();
    let own = |host: &str| {
        let name = match host.rsplit_once(':') {
            Some((name, port)) if is_port(port) => name,
            _ => host,
        };
        ["localhost", "127.0.0.1", "[::1]"].iter().any(|own| name.eq_ignore_ascii_case(own))
    };
    let mut named = headers.get_all(HOST).iter().map(|host| host.to_str().unwrap_or_default());
    named.next().is_some_and(own)
        && named.next().is_none()
        && uri.authority().is_none_or(|authority| own(authority.as_str()))
}

/// The answer, with what the browser may do with it.
fn answer(method: &Method, uri: &Uri, headers: &HeaderMap, folder: &Path) -> Response<Full<Bytes>> {
    let mut response = if is_own_name(uri, headers) {
        answer_own(method, uri.path(), headers, folder)
    } else {
        plain(StatusCode::MISDIRECTED_REQUEST, "only as localhost or 127.0.0.1\n")
    };
    let told = response.headers_mut();
    for (name, value) in [
        (CONTENT_SECURITY_POLICY, POLICY),
        (X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (REFERRER_POLICY, "no-referrer"),
        (NOT_ELSEWHERE, "same-origin"),
        (VARY, "Accept-Encoding"),
        // A new build must be seen.
        (CACHE_CONTROL, "no-cache"),
    ] {
        told.insert(name, HeaderValue::from_static(value));
    }
    response
}

fn answer_own(
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
    told.insert(CONTENT_TYPE, HeaderValue::from_static(content_type(&file)));
    if let Some(coding) = coding {
        told.insert(CONTENT_ENCODING, HeaderValue::from_static(coding));
    }
    response
}

fn plain(status: StatusCode, words: &'static str) -> Response<Full<Bytes>> {
    let mut response = Response::new(Full::from(words));
    let kind = HeaderValue::from_static("text/plain; charset=utf-8");
    response.headers_mut().insert(CONTENT_TYPE, kind);
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
mod tests;
