//! What the page keeps, in up to three windows, in a storage that fails at random: full, forbidden,
//! cleared or damaged under the page, the power cut between any two writes, the clock set back.
//! Whatever was said to be kept is there after every step.
//!
//! The oracle is a list of what was said, kept here; it knows only under which keys entries stand.
//! The long run: `cargo test --release --test storage -- --ignored --nocapture`.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::build::workable;
use linkfold::app::{Analysis, Effect, Message, Model, update};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;
use linkfold::documents::storage::{
    self, Deleted, DesignStore, PageEntry, SaveError, SavedEntry, SharedEntry, Storage,
    StorageError,
};
use linkfold::documents::units::LengthUnit;
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

const PAGE: &str = "linkfold/page";
const BENCH: &str = "linkfold.bench";
const KEPT: &str = "linkfold/kept/";
const ASIDE: &str = "linkfold/aside/";

/// A browser's storage that fails at random.
struct FailingStorage {
    texts: RefCell<BTreeMap<String, String>>,
    random: RefCell<SmallRng>,
    /// How often a call is refused.
    refused: Cell<f64>,
    /// Letters that fit in all.
    quota: Cell<usize>,
    /// How many more changes are made before the power is cut.
    until_cut: Cell<Option<u32>>,
}

impl FailingStorage {
    fn new(seed: u64) -> FailingStorage {
        FailingStorage {
            texts: RefCell::default(),
            random: RefCell::new(SmallRng::seed_from_u64(seed)),
            refused: Cell::new(0.0),
            quota: Cell::new(usize::MAX),
            until_cut: Cell::new(None),
        }
    }

    fn is_cut(&self) -> bool {
        self.until_cut.get() == Some(0)
    }

    fn serves(&self) -> Result<(), StorageError> {
        let refused = self.random.borrow_mut().random_bool(self.refused.get());
        if refused || self.is_cut() { Err(StorageError::Forbidden) } else { Ok(()) }
    }

    /// A change is made, unless the power goes before it; nothing is heard of the one it goes with.
    fn change(&self, make: impl FnOnce(&mut BTreeMap<String, String>)) -> Result<(), StorageError> {
        let left = self.until_cut.get().map(|left| left - 1);
        self.until_cut.set(left);
        if left == Some(0) {
            if self.random.borrow_mut().random_bool(0.5) {
                make(&mut self.texts.borrow_mut());
            }
            return Err(StorageError::Forbidden);
        }
        make(&mut self.texts.borrow_mut());
        Ok(())
    }

    fn letters(&self) -> usize {
        self.texts.borrow().iter().map(|(key, text)| key.len() + text.len()).sum()
    }

    /// Whether what was listed stands there still.
    fn has(&self, entry: &SavedEntry) -> bool {
        if entry.is_aside() {
            let texts = self.texts.borrow();
            return texts.iter().any(|(key, text)| key.starts_with(ASIDE) && *text == entry.text);
        }
        self.there(&format!("{KEPT}{}", entry.name)).as_ref() == Some(&entry.text)
    }

    /// Whether a text stands anywhere.
    fn holds(&self, text: &str) -> bool {
        self.texts.borrow().values().any(|there| there == text)
    }

    /// Whether a text is had back as the design on the page or the bench, or of what was put aside.
    fn shows(&self, text: &str) -> bool {
        let has_back = |key: &str| key == PAGE || key == BENCH || key.starts_with(ASIDE);
        self.texts.borrow().iter().any(|(key, there)| has_back(key) && there == text)
    }

    fn there(&self, key: &str) -> Option<String> {
        self.texts.borrow().get(key).cloned()
    }
}

impl Storage for FailingStorage {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        self.serves()?;
        Ok(self.there(key))
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        self.serves()?;
        let others = self.letters() - self.there(key).map_or(0, |text| key.len() + text.len());
        if others + key.len() + text.len() > self.quota.get() {
            return Err(StorageError::Full);
        }
        self.change(|texts| drop(texts.insert(key.into(), text.into())))
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        self.serves()?;
        self.change(|texts| drop(texts.remove(key)))
    }

    fn keys(&self) -> Result<Vec<String>, StorageError> {
        self.serves()?;
        Ok(self.texts.borrow().keys().cloned().collect())
    }
}

/// What was said to be kept, and not said since to be gone.
#[derive(Default)]
struct Said {
    /// By name.
    kept: BTreeMap<String, String>,
    /// On a page, or a bench; the same in two windows is one.
    shown: BTreeSet<String>,
    /// What no window of ours wrote, and none can read.
    strange: BTreeSet<String>,
}

impl Said {
    /// Holds the storage to what was said.
    fn hold(&self, storage: &FailingStorage, what: &str) {
        let texts = storage.texts.borrow();
        for (name, text) in &self.kept {
            assert_eq!(texts.get(&format!("{KEPT}{name}")), Some(text), "{what}: {name}");
        }
        drop(texts);
        for text in &self.shown {
            assert!(storage.shows(text), "{what}: lost: {text}, of {:?}", storage.texts.borrow());
        }
        for text in &self.strange {
            assert!(storage.holds(text), "{what}: lost: {text}");
        }
    }
}

/// A window of the page, which does what `src/web` does.
struct Window {
    model: Model,
    own: FailingStorage,
    page: PageEntry,
    bench: SharedEntry,
    store: DesignStore,
    deleted: Option<Gone>,
    /// What this window last read or kept: design, bench.
    last: [Option<String>; 2],
}

impl Window {
    fn open(own: FailingStorage, lasting: &FailingStorage) -> Window {
        let own_text = own.there(PAGE);
        let (page, design, _) = PageEntry::restore(&own, lasting, workable);
        let text = own_text.filter(|_| design.is_some()).or_else(|| lasting.there(PAGE));
        let last = text.filter(|text| workable(text).ok() == design && design.is_some());
        let design = design.unwrap_or_else(|| Design::plain(0.9, 12.0));
        let mut bench = SharedEntry::new(BENCH);
        let read = bench.read(lasting).ok().flatten();
        let bench_last = read.filter(|text| Bench::parse(text).is_ok());
        let known = match &bench_last {
            Some(text) => Bench::parse(text).unwrap(),
            None => {
                let _ = bench.put_aside(lasting);
                Bench::default()
            }
        };
        let analysis = Analysis::of(design, 0, LengthUnit::Mm).expect("it was found workable");
        Window {
            model: Model::new(analysis, known),
            own,
            page,
            bench,
            store: DesignStore::default(),
            deleted: None,
            last: [last, bench_last],
        }
    }

    /// Tells the model, and performs what it asks; what it is told is kept is noted.
    fn send(&mut self, message: Message, lasting: &FailingStorage, said: &mut Said) {
        let before = self.model.analysis.design.clone();
        for effect in update(&mut self.model, message) {
            match effect {
                Effect::SaveDesign(design) => {
                    let kept = self.page.save(&self.own, lasting, &design);
                    self.noted(0, design.to_json(), kept.is_ok(), lasting, said);
                    let kept = kept.map_err(|fault| fault.to_string());
                    update(&mut self.model, Message::Saved(kept));
                }
                Effect::SaveBench(bench) => {
                    let kept = self.bench.write(lasting, bench.to_json());
                    self.noted(1, bench.to_json(), kept.is_ok(), lasting, said);
                    let kept = kept.map_err(|error| error.to_string());
                    update(&mut self.model, Message::BenchSaved(kept));
                }
                Effect::SaveFormer(design) => {
                    let _ = storage::save_former(lasting, &design);
                }
                Effect::SaveHabits(habits) => {
                    let _ = storage::save_habits(lasting, &habits);
                }
                Effect::Ask { .. } | Effect::Stop { .. } | Effect::Wait { .. } => {}
            }
        }
        // Nothing is said where a change is kept: then it is.
        let design = &self.model.analysis.design;
        let is_told = self.model.unsaved.is_empty() && !self.model.is_dragged;
        if *design != before && is_told && !lasting.is_cut() {
            assert_eq!(self.last[0].as_ref(), Some(&design.to_json()), "changed, and not kept");
        }
    }

    fn noted(
        &mut self,
        which: usize,
        text: String,
        kept: bool,
        lasting: &FailingStorage,
        said: &mut Said,
    ) {
        // Written with the power's last, and not heard of: it stands in place of the one before.
        let stands = || lasting.there([PAGE, BENCH][which]).as_ref() == Some(&text);
        if kept || (lasting.is_cut() && stands()) {
            if let Some(before) = self.last[which].replace(text.clone()) {
                said.shown.remove(&before);
            }
            said.shown.insert(text);
        }
    }

    fn replace(&mut self, design: Design, at: f64, lasting: &FailingStorage, said: &mut Said) {
        let message =
            Message::Replaced { design: Box::new(design), size: 0, words: "Opened.".into(), at };
        self.send(message, lasting, said);
    }

    /// Keeps the design by a name, and again where it is asked.
    fn keep(&mut self, name: &str, asks_twice: bool, lasting: &FailingStorage, said: &mut Said) {
        let design = Design { name: name.into(), ..self.model.analysis.design.clone() };
        let mut kept = self.store.keep(lasting, &design);
        if asks_twice && matches!(kept, Err(SaveError::Taken { .. })) {
            kept = self.store.keep(lasting, &design);
        }
        let text = design.to_json();
        let stands = lasting.there(&format!("{KEPT}{name}")).as_ref() == Some(&text);
        if kept.is_ok() || (lasting.is_cut() && stands) {
            said.kept.insert(name.into(), text);
        }
    }

    /// Opens, renames or deletes one of the list.
    fn take_of_list(
        &mut self,
        act: u32,
        chance: usize,
        at: f64,
        lasting: &FailingStorage,
        said: &mut Said,
    ) {
        let Ok(list) = self.store.list(lasting) else { return };
        let Some(entry) = list.get(chance % list.len().max(1)) else { return };
        match act {
            0 => {
                if let Ok(design) = &entry.design
                    && design.formings().is_ok()
                {
                    self.replace(design.clone(), at, lasting, said);
                    self.store.opened(entry);
                }
            }
            1 => {
                let to = NAMES[chance / 7 % NAMES.len()];
                let renamed = self.store.rename(lasting, entry, to).is_ok();
                let gone = !lasting.has(entry);
                if to != entry.name && (renamed || (lasting.is_cut() && gone)) {
                    let there = lasting.there(&format!("{KEPT}{to}")).expect("by the new name");
                    let design = Design::parse(&entry.text).expect("only designs are renamed");
                    assert_eq!(Design::parse(&there), Ok(Design { name: to.into(), ..design }));
                    if !entry.is_aside() {
                        said.kept.remove(&entry.name);
                    }
                    said.kept.insert(to.into(), there);
                    if !lasting.shows(&entry.text) {
                        said.shown.remove(&entry.text);
                    }
                }
            }
            _ => {
                let deleted = self.store.delete(lasting, entry);
                let gone = !lasting.has(entry);
                if deleted.is_ok() || (lasting.is_cut() && gone) {
                    let was = (!entry.is_aside()).then(|| entry.name.clone());
                    if let Some(name) = &was {
                        said.kept.remove(name);
                    }
                    let was_strange = gone && said.strange.remove(&entry.text);
                    if !lasting.shows(&entry.text) {
                        said.shown.remove(&entry.text);
                    }
                    self.deleted = deleted.ok().map(|deleted| Gone {
                        deleted,
                        name: was,
                        was_strange,
                        text: entry.text.clone(),
                    });
                }
            }
        }
    }

    fn bring_back(&mut self, lasting: &FailingStorage, said: &mut Said) {
        let Some(gone) = self.deleted.take() else { return };
        if self.store.bring_back(lasting, &gone.deleted).is_ok() {
            match gone.name {
                _ if gone.was_strange => drop(said.strange.insert(gone.text)),
                Some(name) => drop(said.kept.insert(name, gone.text)),
                None => {}
            }
        }
    }
}

/// What was deleted, and what had been said of it.
struct Gone {
    deleted: Deleted,
    /// The name it was kept by, unless it was put aside.
    name: Option<String>,
    was_strange: bool,
    text: String,
}

const NAMES: [&str; 4] = ["Necklace", "bracelet", "\u{5d0}<b>", "a/b"];

/// `steps` random steps in up to three windows; how many designs were said to be kept.
fn walk(seed: u64, steps: usize) -> usize {
    let mut random = SmallRng::seed_from_u64(seed);
    let lasting = FailingStorage::new(seed ^ 1);
    let mut said = Said::default();
    let mut windows = vec![Window::open(FailingStorage::new(seed ^ 2), &lasting)];
    let (mut now, mut kept) = (0.0_f64, 0);
    for step in 0..steps {
        // A clock that is set back now and then.
        now += random.random_range(-3000.0..6000.0);
        if step % 40 == 0 {
            lasting.refused.set([0.0, 0.0, 0.05, 0.3, 1.0][random.random_range(0..5)]);
            let full = lasting.letters();
            lasting
                .quota
                .set([usize::MAX, usize::MAX, full, full + 300][random.random_range(0..4)]);
        }
        if random.random_bool(0.02) {
            lasting.until_cut.set(Some(random.random_range(1..5)));
        }
        let index = random.random_range(0..windows.len());
        let window = &mut windows[index];
        let chance = random.random_range(0..10_000_usize);
        let press = random.random_range(0..100);
        match press {
            0..34 => {
                let text = format!("{}", 11.0 + 1e-3 * f64::from(random.random_range(0..4000)));
                let message = Message::Typed { key: "mandrel_mm".into(), text, at: now };
                window.send(message, &lasting, &mut said);
            }
            34..37 => {
                let message = Message::Typed { key: "wire".into(), text: "x".into(), at: now };
                window.send(message, &lasting, &mut said);
            }
            37..45 => window.send(Message::Undo, &lasting, &mut said),
            45..49 => window.send(Message::Redo, &lasting, &mut said),
            49..53 => window.send(Message::Dragged(chance % 3 == 0), &lasting, &mut said),
            53..63 => window.keep(NAMES[chance % NAMES.len()], chance % 3 > 0, &lasting, &mut said),
            63..72 => window.take_of_list(0, chance, now, &lasting, &mut said),
            72..76 => window.take_of_list(1, chance, now, &lasting, &mut said),
            76..80 => window.take_of_list(2, chance, now, &lasting, &mut said),
            80..82 => window.bring_back(&lasting, &mut said),
            82..88 => {
                let message =
                    Message::BenchTyped { field: "cost-metal".into(), text: format!("{chance}") };
                window.send(message, &lasting, &mut said);
            }
            88..91 => {
                // As `src/web/bench.rs` hears of it.
                let mut entry = SharedEntry::new(BENCH);
                if window.bench.is_changed(&lasting)
                    && let Ok(Some(text)) = entry.read(&lasting)
                    && let Ok(bench) = Bench::parse(&text)
                {
                    (window.bench, window.last[1]) = (entry, Some(text));
                    window.send(Message::BenchElsewhere(Box::new(bench)), &lasting, &mut said);
                }
            }
            91..94 => {
                // Reloaded, or closed and another opened.
                let gone = windows.swap_remove(index);
                let own =
                    if chance % 2 == 0 { gone.own } else { FailingStorage::new(chance as u64) };
                windows.push(Window::open(own, &lasting));
            }
            94..96 if windows.len() < 3 => {
                windows.push(Window::open(FailingStorage::new(chance as u64), &lasting));
            }
            96 => {
                // A later program writes, or something damages what stands there.
                let keys: Vec<String> = lasting.texts.borrow().keys().cloned().collect();
                if let Some(key) = keys.get(chance % keys.len().max(1)) {
                    let text = ["{\"linkfold\": 7, \"of\": ", "garbage "][chance % 2];
                    let text = format!("{text}{step}}}");
                    let was = lasting.texts.borrow_mut().insert(key.clone(), text.clone()).unwrap();
                    if let Some(name) = key.strip_prefix(KEPT) {
                        said.kept.remove(name);
                    }
                    if !lasting.shows(&was) {
                        said.shown.remove(&was);
                    }
                    if !lasting.holds(&was) {
                        said.strange.remove(&was);
                    }
                    if key != "linkfold/habits" {
                        said.strange.insert(text);
                    }
                }
            }
            97 if chance % 20 == 0 => {
                lasting.texts.borrow_mut().clear();
                said = Said::default();
            }
            _ => {}
        }
        if lasting.is_cut() {
            // The machine starts again: with what stands there, and no window.
            lasting.until_cut.set(None);
            said.hold(&lasting, &format!("seed {seed}, step {step}, press {press}, power cut"));
            windows = vec![Window::open(FailingStorage::new(chance as u64), &lasting)];
        }
        said.hold(&lasting, &format!("seed {seed}, step {step}, press {press}"));
        kept = kept.max(said.kept.len() + said.shown.len());
    }
    // At the next visit all of it is read.
    lasting.refused.set(0.0);
    lasting.until_cut.set(None);
    let mut next = Window::open(FailingStorage::new(0), &lasting);
    let list = next.store.list(&lasting).expect("nothing is refused any more");
    for (name, text) in &said.kept {
        assert!(list.iter().any(|entry| entry.name == *name && entry.text == *text), "{name}");
    }
    next.last = [None, None];
    for text in &said.shown {
        let listed = list.iter().any(|entry| entry.text == *text);
        let on_page = [PAGE, BENCH].iter().any(|key| lasting.there(key).as_ref() == Some(text));
        assert!(listed || on_page, "neither on the page nor in the list: {text}");
    }
    kept
}

#[test]
fn nothing_said_to_be_kept_is_lost() {
    let most = (0..20).map(|seed| walk(seed, 200)).max();
    assert!(most > Some(4), "{most:?}");
}

/// A million steps.
#[test]
#[ignore = "five minutes of a processor: run in release"]
fn nothing_said_to_be_kept_is_lost_in_a_million_steps() {
    let workers = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    std::thread::scope(|scope| {
        for worker in 0..workers {
            scope.spawn(move || {
                for seed in (worker..1000).step_by(workers as usize) {
                    walk(1000 + seed, 1000);
                }
            });
        }
    });
}
