//! The bench kept from visit to visit.

use super::browser_storage::BrowserStorage;
use super::page::Page;
use crate::documents::bench::Bench;
use crate::documents::storage::{self, Storage};
use web_sys::Window;

/// What the browser keeps the bench as.
const KEPT: &str = "linkfold.bench";

/// The bench kept at the last visit, an empty one where there is none that can be read; and what
/// there is to say about it.
pub fn kept_bench(browser: &Window) -> (Bench, Option<String>) {
    let lasting = BrowserStorage::lasting(browser);
    let Ok(Some(text)) = lasting.read(KEPT) else { return (Bench::default(), None) };
    let why = match Bench::parse(&text) {
        Ok(bench) => return (bench, None),
        Err(error) => error.to_string(),
    };
    let so = match storage::put_aside(&lasting, KEPT, &text) {
        Ok(()) => "It is put aside, under Designs",
        Err(_) => "Storage is too full to put it aside, so what you change of it is not kept",
    };
    let words = format!("The bench of the last visit cannot be read ({why}). {so}.");
    (Bench::default(), Some(words))
}

impl Page {
    /// Keeps the bench for the next visit, or says in words why not.
    pub fn save_bench_here(&self, bench: &Bench) -> Result<(), String> {
        let lasting = BrowserStorage::lasting(&self.browser);
        storage::replace(&lasting, KEPT, &bench.to_json(), |there| Bench::parse(there).is_ok())
            .map_err(|error| format!("What you change of the bench is not kept: {error}."))
    }
}
