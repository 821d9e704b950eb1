use super::*;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

const ASK: &[u8] = b"GET /style.css HTTP/1.1\r\nHost: localhost:8000\r\n\r\n";

fn own_name() -> HeaderMap {
    HeaderMap::from_iter([(HOST, HeaderValue::from_static("localhost:8000"))])
}

/// The body of an answer, so long.
fn told(read: &mut impl BufRead, length: usize) -> Vec<u8> {
    let mut head = String::new();
    while !head.ends_with("\r\n\r\n") {
        assert_ne!(read.read_line(&mut head).expect("an answer"), 0, "hung up");
    }
    assert!(head.starts_with("HTTP/1.1 200"), "{head}");
    let mut told = vec![0; length];
    read.read_exact(&mut told).unwrap();
    told
}

fn served() -> std::net::SocketAddr {
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
    let address = listener.local_addr().unwrap();
    std::thread::spawn(|| answer_all(listener, www()));
    address
}

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
    let address = served();
    let style = fs::read(www().join("style.css")).unwrap();
    for _ in 0..200 {
        // Two say nothing, as connections opened in advance.
        let mut all: Vec<_> = (0..14).map(|_| TcpStream::connect(address).unwrap()).collect();
        for asking in &mut all[2..] {
            asking.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
            asking.write_all(ASK).unwrap();
        }
        for asking in &mut all[2..] {
            let told = told(&mut BufReader::new(asking), style.len());
            assert_eq!(told, style);
        }
    }
}

#[test]
fn what_cannot_be_had_is_refused() {
    let ask = |method, path| answer(&method, &Uri::from_static(path), &own_name(), &www());
    assert_eq!(ask(Method::POST, "/").status(), StatusCode::METHOD_NOT_ALLOWED);
    assert_eq!(ask(Method::GET, "/missing.html").status(), StatusCode::NOT_FOUND);
    let page = ask(Method::GET, "/");
    assert_eq!(page.status(), StatusCode::OK);
    assert_eq!(page.headers()[CONTENT_SECURITY_POLICY], POLICY);
    assert_eq!(page.headers()[NOT_ELSEWHERE], "same-origin");
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
        let mut headers = own_name();
        if let Some(accepted) = accepted {
            headers.insert(ACCEPT_ENCODING, HeaderValue::from_static(accepted));
        }
        let told = answer(&Method::GET, &path.parse().unwrap(), &headers, &folder);
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
    assert!(page.contains(&format!("http-equiv=\"Content-Security-Policy\" content=\"{stated}\"")));
    assert!(!page.contains(" style=\"") && !page.contains(" onclick="), "refused by it");
}

#[test]
fn modules_and_scripts_have_the_types_browsers_insist_on() {
    assert_eq!(content_type(Path::new("a.wasm")), "application/wasm");
    assert_eq!(content_type(Path::new("a.js")), "text/javascript; charset=utf-8");
}

/// A page elsewhere whose name is made to lead here is answered nothing.
#[test]
fn it_answers_to_its_own_names_only() {
    let ask = |uri: &'static str, host: &'static str| {
        let headers = HeaderMap::from_iter([(HOST, HeaderValue::from_static(host))]);
        answer(&Method::GET, &Uri::from_static(uri), &headers, &www())
    };
    for host in ["localhost", "LOCALHOST:80", "127.0.0.1:8000", "[::1]:8000", "[::1]", "localhost:"]
    {
        assert_eq!(ask("/", host).status(), StatusCode::OK, "{host}");
    }
    for host in [
        "",
        "elsewhere.example",
        "localhost.example",
        "127.0.0.1.example:8000",
        "localhost@elsewhere.example",
        "elsewhere.example@localhost",
        "localhost:elsewhere",
        "localhost:65536",
        "::1",
        "192.168.1.7",
        "local host",
        "\u{7f}",
    ] {
        let Ok(value) = HeaderValue::from_str(host) else { continue };
        let headers = HeaderMap::from_iter([(HOST, value)]);
        let told = answer(&Method::GET, &Uri::from_static("/"), &headers, &www());
        assert_eq!(told.status(), StatusCode::MISDIRECTED_REQUEST, "{host}");
        assert_eq!(told.headers()[CONTENT_SECURITY_POLICY], POLICY);
    }
    for uri in ["http://elsewhere.example/", "http://elsewhere.example@localhost/"] {
        assert_eq!(ask(uri, "localhost").status(), StatusCode::MISDIRECTED_REQUEST, "{uri}");
    }
    let mut twice = own_name();
    twice.append(HOST, HeaderValue::from_static("elsewhere.example"));
    let told = answer(&Method::GET, &Uri::from_static("/"), &twice, &www());
    assert_eq!(told.status(), StatusCode::MISDIRECTED_REQUEST);
    assert_eq!(ask("http://localhost:8000/", "localhost:8000").status(), StatusCode::OK);
}

/// Ten thousand requests, beside clients that say nothing, half a request, or do not read.
#[test]
fn it_bears_ten_thousand_requests_slow_clients_and_half_open_connections() {
    let address = served();
    let style = fs::read(www().join("style.css")).unwrap();
    let mut waiting = Vec::new();
    let mut asked = 0;
    while asked < 10_000 {
        for kind in 0..10 {
            let mut other = TcpStream::connect(address).unwrap();
            // One of those that the server has hung up on may be refused.
            let _ = match kind % 4 {
                0 => Ok(()),
                1 => other.write_all(&ASK[..20]),
                2 => other.write_all(&ASK.repeat(50)),
                _ => other.write_all(b"\x16\x03\x01\x02\x00 not a request\r\n\r\n"),
            };
            waiting.push(other);
        }
        // What this test may hold open, too, is limited.
        if waiting.len() > MOST_CONNECTIONS + 50 {
            waiting.drain(..50);
        }
        let asking = TcpStream::connect(address).unwrap();
        asking.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        let mut read = BufReader::new(asking);
        for _ in 0..200 {
            read.get_mut().write_all(ASK).unwrap();
            assert_eq!(told(&mut read, style.len()), style);
            asked += 1;
        }
    }
    // The oldest of them was hung up on, so that the newest is answered.
    let mut silent: Vec<_> =
        (0..=MOST_CONNECTIONS).map(|_| TcpStream::connect(address).unwrap()).collect();
    silent[0].set_read_timeout(Some(Duration::from_secs(60))).unwrap();
    assert!(matches!(silent[0].read(&mut [0; 1]), Ok(0) | Err(_)));
    let newest = silent.last_mut().unwrap();
    newest.write_all(ASK).unwrap();
    assert_eq!(told(&mut BufReader::new(newest), style.len()), style);
}
