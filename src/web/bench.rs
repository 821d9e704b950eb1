//! The bench kept from visit to visit.

use super::browser_storage::BrowserStorage;
use super::page::Page;
use crate::app::Message;
use crate::documents::bench::Bench;
use crate::documents::storage::SharedEntry;
use web_sys::Window;

/// What the browser keeps the bench as.
const KEPT: &str = "linkfold.bench";

/// The bench kept at the last visit, an empty one where there is none that can be read; its entry;
/// and what there is to say about it.
pub fn kept_bench(browser: &Window) -> (Bench, SharedEntry, Option<String>) {
    let lasting = BrowserStorage::lasting(browser);
    let mut entry = SharedEntry::new(KEPT);
    let Ok(Some(text)) = entry.read(&lasting) else { return (Bench::default(), entry, None) };
    let why = match Bench::parse(&text) {
        Ok(bench) => return (bench, entry, None),
        Err(error) => error.to_string(),
    };
    let so = match entry.put_aside(&lasting) {
        Ok(()) => "It is put aside, under Designs",
        Err(_) => "Storage is too full to put it aside, so what you change of it is not kept",
    };
    let words = format!("The bench of the last visit cannot be read ({why}). {so}.");
    (Bench::default(), entry, Some(words))
}

impl Page {
    /// Keeps the bench for the next visit, or says in words why not.
    pub fn save_bench_here(&mut self, bench: &Bench) -> Result<(), String> {
        let lasting = BrowserStorage::lasting(&self.browser);
        self.bench_entry
            .write(&lasting, bench.to_json())
            .map_err(|error| format!("What you change of the bench is not kept: {error}."))
    }

    /// The bench is one in all windows: what another kept of it is taken here, unless a field holds
    /// what cannot be read.
    pub fn take_bench_from_elsewhere(&mut self) {
        let lasting = BrowserStorage::lasting(&self.browser);
        if self.model.bench_entries.is_at_fault() || !self.bench_entry.is_changed(&lasting) {
            return;
        }
        let mut entry = SharedEntry::new(KEPT);
        let Ok(Some(text)) = entry.read(&lasting) else { return };
        if let Ok(bench) = Bench::parse(&text) {
            self.bench_entry = entry;
            self.send(Message::BenchElsewhere(Box::new(bench)));
        }
    }
}
