//! What a page test stands on: our server and a browser driver, ended with the tests.

use std::io::{self, BufRead, BufReader, Read};
use std::net::{TcpListener, TcpStream};
use std::os::unix::process::CommandExt;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::{Duration, Instant};
use thirtyfour::prelude::*;

/// How long anything may take; first starts on busy machines are slow.
pub const PATIENCE: Duration = Duration::from_secs(240);

/// The running server and driver, shared by the tests that run at the same time.
pub struct Stage {
    /// Where the page is, with a slash at the end.
    pub page_address: String,
    /// Where the driver listens.
    pub driver_address: String,
    _server: Guarded,
    _driver: Guarded,
}

static STAGE: Mutex<Weak<Stage>> = Mutex::new(Weak::new());

impl Stage {
    /// The stage in use, or a new one; it goes when the last test lets go of it.
    pub fn shared() -> Arc<Stage> {
        let mut stage = STAGE.lock().unwrap_or_else(PoisonError::into_inner);
        stage.upgrade().unwrap_or_else(|| {
            let new = Arc::new(Stage::set_up());
            *stage = Arc::downgrade(&new);
            new
        })
    }

    fn set_up() -> Stage {
        // The page as it is handed out.
        let mut command = Command::new(env!("CARGO_BIN_EXE_linkfold"));
        command.arg("--full");
        let (server, page_address) = serve(command, 0);
        let driver = std::env::var("CHROMEDRIVER").unwrap_or_else(|_| "chromedriver".into());
        let (driver, port) = Guarded::start(Command::new(driver), 0, |line| {
            let (_, port) = line.split_once("started successfully on port ")?;
            port.trim_end_matches('.').parse::<u16>().ok()
        });
        let driver_address = format!("http://127.0.0.1:{port}");
        Stage { page_address, driver_address, _server: server, _driver: driver }
    }
}

/// Another browser's driver, by what starts it, on a port that was free; and where it listens.
/// Unlike Chromium's, WebKit's says nothing when it is ready: it is asked.
pub fn other_driver(command: Command) -> (Guarded, String) {
    let free = TcpListener::bind("127.0.0.1:0").and_then(|free| free.local_addr());
    let address = free.expect("a free port");
    let (guarded, output) = Guarded::spawn(&command, address.port());
    std::thread::spawn(move || io::copy(&mut { output }, &mut io::sink()));
    let since = Instant::now();
    while TcpStream::connect(address).is_err() {
        assert!(since.elapsed() < PATIENCE, "{command:?} does not listen");
        std::thread::sleep(Duration::from_millis(20));
    }
    (guarded, format!("http://{address}"))
}

/// A browser, by its driver, which is waited for longer than it waits for the page: the one that tells what
/// did not come.
pub async fn connect(driver: &str, wishes: Capabilities) -> WebDriverResult<WebDriver> {
    WebDriver::builder(driver, wishes).request_timeout(2 * PATIENCE).connect().await
}

/// Our server as `command` runs it, and where the page is.
pub fn serve(command: Command, port: u16) -> (Guarded, String) {
    Guarded::start(command, port, |line| {
        line.split_whitespace().find(|word| word.starts_with("http://")).map(String::from)
    })
}

/// A program and all it starts, in a process group that ends when this value goes or this
/// process dies, however it dies: a shell waits on a pipe whose other end only we hold.
pub struct Guarded {
    guard: Child,
}

/// Ends the whole group when the program ends or the pipe closes.
const GUARD: &str = r#"{ "$@" </dev/null; kill -KILL 0; } & cat >/dev/null; kill -KILL 0"#;

impl Guarded {
    /// Starts `command` on a port, 0 for a free one; returns what `find` makes of the first
    /// line it knows.
    fn start<T>(command: Command, port: u16, find: impl Fn(&str) -> Option<T>) -> (Guarded, T) {
        let (guarded, mut output) = Guarded::spawn(&command, port);
        let found = output.by_ref().lines().map_while(Result::ok).find_map(|line| find(&line));
        let found = found.unwrap_or_else(|| panic!("{command:?} ended before it was ready"));
        // Whatever else it says must not fill the pipe and stall it.
        std::thread::spawn(move || io::copy(&mut output, &mut io::sink()));
        (guarded, found)
    }

    fn spawn(command: &Command, port: u16) -> (Guarded, BufReader<ChildStdout>) {
        let surroundings = command.get_envs().filter_map(|(name, value)| Some((name, value?)));
        let mut guard = Command::new("sh")
            .args(["-c", GUARD, "sh"])
            .arg(command.get_program())
            .arg(format!("--port={port}"))
            .args(command.get_args())
            .envs(surroundings)
            .process_group(0)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("every unix has sh");
        let output = BufReader::new(guard.stdout.take().expect("piped above"));
        (Guarded { guard }, output)
    }
}

impl Drop for Guarded {
    fn drop(&mut self) {
        drop(self.guard.stdin.take());
        // The shell ends with its group.
        let _ = self.guard.wait();
    }
}
