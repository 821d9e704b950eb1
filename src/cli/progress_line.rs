//! How far a long task is: one line on the terminal, gone before the answer is printed.

use std::io::{IsTerminal, Write, stderr};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// What takes less than this is told by its answer.
const SHOWN_AFTER: Duration = Duration::from_secs(1);
/// The seconds on the line go on meanwhile.
const RENEWED: Duration = Duration::from_millis(500);

/// A line that says what is being done and for how long. Dropped, it is wiped off.
pub struct ProgressLine {
    shown: Option<(Sender<String>, JoinHandle<()>)>,
}

impl ProgressLine {
    /// On standard error, where that is a terminal; else nothing is written.
    pub fn on_terminal() -> ProgressLine {
        if stderr().is_terminal() {
            ProgressLine::on(stderr())
        } else {
            ProgressLine { shown: None }
        }
    }

    fn on(mut terminal: impl Write + Send + 'static) -> ProgressLine {
        let (sender, said) = channel::<String>();
        let show = move || {
            let since = Instant::now();
            let (mut words, mut written) = (String::new(), false);
            let mut wait = SHOWN_AFTER;
            loop {
                match said.recv_timeout(wait) {
                    Ok(new) => words = new,
                    Err(RecvTimeoutError::Disconnected) => break,
                    Err(RecvTimeoutError::Timeout) => {}
                }
                let early = SHOWN_AFTER.saturating_sub(since.elapsed());
                wait = if early.is_zero() { RENEWED } else { early };
                if early.is_zero() && !words.is_empty() {
                    let line = format!("{WIPED}linkfold: {words}, {} s", since.elapsed().as_secs());
                    written |= tell(&mut terminal, &line);
                }
            }
            if written {
                tell(&mut terminal, WIPED);
            }
        };
        // Without a thread to spare there is no line.
        let thread = std::thread::Builder::new().spawn(show).ok();
        ProgressLine { shown: thread.map(|thread| (sender, thread)) }
    }

    /// What is being done now.
    pub fn say(&self, words: &str) {
        if let Some((sender, _)) = &self.shown {
            // The thread ends with this value and not before.
            let _ = sender.send(words.to_owned());
        }
    }
}

impl Drop for ProgressLine {
    fn drop(&mut self) {
        if let Some((sender, thread)) = self.shown.take() {
            drop(sender);
            let _ = thread.join();
        }
    }
}

/// Back to the line's beginning and all of it wiped off (ECMA-48: CR, EL).
const WIPED: &str = "\r\x1b[K";

/// Whether it could be written: a terminal that is gone wants no line.
fn tell(terminal: &mut impl Write, text: &str) -> bool {
    terminal.write_all(text.as_bytes()).and_then(|()| terminal.flush()).is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::{Arc, Mutex};

    #[derive(Clone, Default)]
    struct Terminal(Arc<Mutex<Vec<u8>>>, Option<Sender<()>>);

    impl Write for Terminal {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().unwrap().extend(bytes);
            if let Some(sender) = &self.1 {
                let _ = sender.send(());
            }
            Ok(bytes.len())
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    fn text(terminal: &Terminal) -> String {
        String::from_utf8(terminal.0.lock().unwrap().clone()).unwrap()
    }

    #[test]
    fn a_long_task_is_told_and_its_line_wiped_off() {
        let (sender, written) = channel();
        let terminal = Terminal(Arc::default(), Some(sender));
        let line = ProgressLine::on(terminal.clone());
        line.say("1 of 2: the first");
        line.say("2 of 2: the second");
        written.recv().unwrap();
        drop(line);
        let told = text(&terminal);
        assert!(told.contains("linkfold: 2 of 2: the second, "), "{told:?}");
        assert!(told.ends_with(WIPED), "{told:?}");
    }

    #[test]
    fn a_task_that_says_nothing_leaves_the_terminal_as_it_was() {
        let terminal = Terminal::default();
        drop(ProgressLine::on(terminal.clone()));
        assert_eq!(text(&terminal), "");
    }
}
