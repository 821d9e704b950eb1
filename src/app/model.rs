//! The page's state.
//!
//! [`update`](super::update) is the only way to change it: it takes a [`Message`](super::Message)
//! and returns what is to be done outside. No clock, no browser: the time comes with the message.
//!
//! Promises: no verdict stands beside an entry that is not in the design; nothing typed is lost;
//! every request is answered or stopped; undo brings back the design before.
//! Evidence: `tests/page_model.rs`.

use super::analysis::Analysis;
use super::bench_entries::BenchEntries;
use super::controls::Controls;
use super::entries::{Entries, Entry, Place};
use super::fields;
use super::lesson::LessonState;
use super::map_state::MapState;
use super::optimise_state::OptimiseState;
use super::pending::PendingRequests;
use super::saved::Saved;
use super::tabs::{TABS, VIEWS};
use super::tour::Tour;
use crate::answers::report::JoinReport;
use crate::answers::strip::MandrelStrip;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::undo::UndoHistory;
use crate::documents::units::LengthUnit;
use crate::render::{Camera, Chapter};

/// What the page says about itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notice {
    /// In words; empty where there is nothing to say.
    pub words: String,
    /// Whether something did not work.
    pub is_problem: bool,
}

/// Before the name of a kept design in the list of those that a class may see beside.
pub(super) const KEPT: &str = "kept:";

/// All the page knows, apart from what only the browser can hold.
pub struct Model {
    /// The last design that could be made, and what is known of it.
    pub analysis: Analysis,
    /// What is typed in its fields.
    pub entries: Entries,
    /// What is chosen in other controls.
    pub controls: Controls,
    /// What was done to the design.
    pub history: UndoHistory,
    /// The maker's bench.
    pub bench: Bench,
    /// What stands in the bench's fields.
    pub bench_entries: BenchEntries,
    /// Which of [`VIEWS`] is seen.
    pub view: usize,
    /// Where the slider stands, 0 to 1.
    pub time: f64,
    /// How the picture is turned, moved and enlarged.
    pub camera: Camera,
    /// As it was when the first finger came down.
    pub(super) camera_held: Camera,
    /// When the demonstration played on last, ms.
    pub(super) last_frame: f64,
    /// Whether the demonstration plays.
    pub playing: bool,
    /// What the page says about itself.
    pub notice: Notice,
    /// Why the design cannot be saved by itself; empty where it is.
    pub unsaved: String,
    /// The mandrels of the present wire; none where they cannot be searched.
    pub strip: Option<MandrelStrip>,
    /// The design over whose strip the worker failed.
    pub(super) strip_failed: Option<Design>,
    /// The map, where there is one.
    pub map_state: Option<MapState>,
    /// What the search was asked and found.
    pub optimise_state: OptimiseState,
    /// What is asked of the worker.
    pub pending: PendingRequests,
    /// Whether a hand drags the design about on the map.
    pub is_dragged: bool,
    /// Designs to start from.
    pub examples: Vec<Design>,
    /// The design on the page last that is no example.
    pub opened: Option<Design>,
    /// Which of the bench's pliers are being changed.
    pub pliers_changed: Option<usize>,
    /// The designs kept in this browser.
    pub saved: Saved,
    /// What is said of the chain in the hand.
    pub drape_told: String,
    /// What a class is shown.
    pub class: LessonState,
    /// Where the tour is.
    pub tour: Tour,
    /// The design that a class sees beside.
    pub beside: Option<Analysis>,
    /// The design that open entries were typed into, and they, once something took their place.
    pub(super) set_aside: Option<(Design, Vec<Entry>)>,
}

impl Model {
    /// A page that opens with this design.
    pub fn new(analysis: Analysis, bench: Bench) -> Model {
        let mut controls = Controls::default();
        controls.set("unit", if analysis.unit == LengthUnit::Inch { "inch" } else { "mm" });
        Model {
            analysis,
            entries: Entries::default(),
            controls,
            history: UndoHistory::default(),
            bench,
            bench_entries: BenchEntries::default(),
            view: 0,
            time: 0.65,
            camera: Camera::default(),
            camera_held: Camera::default(),
            last_frame: 0.0,
            playing: false,
            notice: Notice::default(),
            unsaved: String::new(),
            strip: None,
            strip_failed: None,
            map_state: None,
            optimise_state: OptimiseState::default(),
            pending: PendingRequests::default(),
            is_dragged: false,
            examples: Vec::new(),
            opened: None,
            pliers_changed: None,
            saved: Saved::default(),
            drape_told: String::new(),
            class: LessonState::default(),
            tour: Tour::default(),
            beside: None,
            set_aside: None,
        }
    }

    /// Gives it designs to start from.
    pub fn set_examples(&mut self, examples: Vec<Design>) {
        self.examples = examples;
        self.name_design();
        self.prepare_strip();
    }

    /// Remembers a design that is no example by its name.
    pub(super) fn name_design(&mut self) {
        if self.example_shown().is_none() && self.opened.as_ref() != Some(&self.analysis.design) {
            self.opened = Some(self.analysis.design.clone());
        }
    }

    /// The example that the present design goes by the name of.
    pub fn example_shown(&self) -> Option<usize> {
        self.examples.iter().position(|known| known.name == self.analysis.design.name)
    }

    /// The list of designs: each one's value and name.
    pub(super) fn design_choices(&self) -> Vec<(String, String)> {
        let examples = self.examples.iter().enumerate();
        let opened = self.opened.iter().map(|opened| {
            let name = if opened.name.is_empty() { "without a name" } else { &opened.name };
            ("opened".to_string(), name.to_string())
        });
        examples.map(|(i, known)| (i.to_string(), known.name.clone())).chain(opened).collect()
    }

    /// The design that the list of designs knows by this value.
    pub fn design_named(&self, value: &str) -> Option<Design> {
        if let Some(name) = value.strip_prefix(KEPT) {
            let kept = self.saved.rows.iter().find(|kept| kept.name == name)?;
            return kept.design.as_ref().ok().cloned();
        }
        match value.parse().ok().and_then(|i: usize| self.examples.get(i)) {
            Some(example) => Some(example.clone()),
            None if value == "opened" => self.opened.clone(),
            None => None,
        }
    }

    /// Whether something typed is not in the design.
    pub fn is_at_fault(&self) -> bool {
        !self.entries.open.is_empty()
    }

    /// Whether a view is looked at.
    pub fn sees(&self, id: &str) -> bool {
        VIEWS[self.view].id == id
    }

    /// The view of a tab that is gone to: the one looked at there last.
    pub fn view_of_tab(&self, id: &str) -> Option<usize> {
        let tab = TABS.iter().find(|tab| tab.id == id)?;
        let last = self.controls.value(&format!("tab-{id}"));
        let known = tab.views.iter().find(|view| **view == last).or(tab.views.first())?;
        VIEWS.iter().position(|view| view.id == *known)
    }

    /// Which join is looked at; that of the size looked at until another is chosen.
    pub fn shown_join(&self) -> usize {
        let chosen = self.controls.value("join-shown").parse().ok();
        let known = chosen.filter(|index| *index < self.analysis.report.joins.len());
        known.unwrap_or(self.analysis.size)
    }

    /// Which order of work is played: 0 for the better.
    pub fn shown_path(&self) -> usize {
        self.controls.value("way").parse().unwrap_or(0)
    }

    /// The join looked at.
    pub fn join(&self) -> Option<&JoinReport> {
        self.analysis.report.joins.get(self.shown_join())
    }

    /// Where on the slider the join looked at is tightest.
    pub fn tightest_time(&self) -> Option<f64> {
        let share = self.analysis.joining(self.shown_join(), self.shown_path())?.tightest()?;
        let start = Chapter::Fold.end();
        // The chapter's first moment belongs to the one before.
        Some((start + share * (1.0 - start)).max(start + 1e-3))
    }

    /// Says something about the page as a whole.
    pub(super) fn tell(&mut self, words: impl Into<String>, is_problem: bool) {
        self.notice = Notice { words: words.into(), is_problem };
    }

    /// Puts another analysis in place of the present one.
    pub(super) fn place(&mut self, mut analysis: Analysis) {
        let of_other_joins = analysis.report.joins.len() != self.analysis.report.joins.len();
        if of_other_joins || analysis.size != self.analysis.size {
            self.controls.set("join-shown", "");
        }
        analysis.unprovable = self.pending.is_broken;
        self.analysis = analysis;
        self.unwanted();
    }

    /// Goes to another view; the slider goes with it where it stands outside.
    pub(super) fn look_at(&mut self, view: usize) {
        let Some(chosen) = VIEWS.get(view) else { return };
        self.view = view;
        if let Some(tab) = TABS.iter().find(|tab| tab.views.contains(&chosen.id)) {
            self.controls.set(&format!("tab-{}", tab.id), chosen.id);
        }
        if let Some((start, end)) = chosen.span
            // Where one view's part ends, the next one's has not begun.
            && (self.time > end || (start > 0.0 && self.time <= start))
        {
            (self.time, self.playing) = (end, false);
        }
    }
}

/// What the undo and redo buttons would do, in words.
pub fn undo_titles(model: &Model) -> [(String, bool); 2] {
    let design = &model.analysis.design;
    let words = |verb: &str, difference: Option<&crate::documents::undo::Difference>| {
        let words = match difference {
            // Of a design that gave way to another the name is told once it is back.
            Some(difference) if difference.is_whole() => format!("{verb} the change of design"),
            Some(difference) => format!("{verb}: {}", difference.names(design)),
            None => format!("{verb}: nothing"),
        };
        (words, difference.is_some())
    };
    if model.is_at_fault() {
        let fields = model.entries.open.iter().filter_map(|e: &Entry| fields::find(&e.place.key));
        let names: Vec<String> = fields.map(|field| field.label.to_lowercase()).collect();
        let undo = (format!("Undo: {} as typed", names.join(", ")), true);
        return [undo, words("Redo", model.history.redoable())];
    }
    [words("Undo", model.history.undoable()), words("Redo", model.history.redoable())]
}

/// Where a field's entry is kept, for the size looked at.
pub fn place_of(model: &Model, key: &str) -> Option<Place> {
    Some(Place::of(&fields::find(key)?, model.analysis.size))
}
