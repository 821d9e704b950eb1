//! The page's state, and how everything that happens changes it.
//!
//! [`update`] is the only way in: it takes a [`Message`], changes the [`Model`] and returns what
//! is to be done outside. No clock, no browser: the time comes with the message.
//!
//! Promises: no verdict stands beside an entry that is not in the design; nothing typed is lost;
//! every request is answered or stopped; undo brings back the design before.
//! Evidence: `tests/page_model.rs`.

use super::analysis::Analysis;
use super::asking::{Asking, Subject};
use super::controls::Controls;
use super::effect::Effect;
use super::entries::{Entries, Entry, Place};
use super::tasks::Answer;
use super::views::VIEWS;
use super::{choices, fields};
use crate::answers::build::BuildError;
use crate::answers::report::JoinReport;
use crate::documents::bench::Bench;
use crate::documents::design::{Design, MOST_SIZES, MOST_TRIALS, Size, Trial};
use crate::documents::storage::Habits;
use crate::documents::undo::{Change, UndoHistory, again};
use crate::documents::units::LengthUnit;
use crate::render::Chapter;

/// What the page says about itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notice {
    /// In words; empty where there is nothing to say.
    pub words: String,
    /// Whether something did not work.
    pub is_problem: bool,
}

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
    /// Which of [`VIEWS`] is seen.
    pub view: usize,
    /// Where the slider stands, 0 to 1.
    pub time: f64,
    /// Whether the demonstration plays.
    pub playing: bool,
    /// What the page says about itself.
    pub notice: Notice,
    /// Why the design cannot be saved by itself; empty where it is.
    pub unsaved: String,
    /// What is asked of the worker.
    pub asking: Asking,
    /// Whether a hand drags the design about on the map.
    pub is_dragged: bool,
    /// Designs to start from.
    pub examples: Vec<Design>,
    /// The design on the page last that is no example.
    pub opened: Option<Design>,
    /// What is said of the chain in the hand.
    pub drape_told: String,
    /// A class is shown the work.
    pub class_is_on: bool,
    /// The design that a class sees beside.
    pub beside: Option<Analysis>,
    /// The design that open entries were typed into, and they, once something took their place.
    set_aside: Option<(Design, Vec<Entry>)>,
}

/// Everything that can happen.
#[derive(Debug)]
pub enum Message {
    /// Something is typed in a field of the design, at a time in ms.
    Typed {
        /// The field's path.
        key: String,
        /// What stands in it now.
        text: String,
        /// When.
        at: f64,
    },
    /// Something is chosen from a list, ticked, or slid.
    Chosen {
        /// The control.
        control: String,
        /// What it holds now; of a box "true" or "false".
        value: String,
        /// When.
        at: f64,
    },
    /// Typing has paused.
    Paused {
        /// Of which wait.
        serial: u32,
    },
    /// There is a worker to ask.
    Ready,
    /// The worker answered.
    Answered {
        /// Which request.
        serial: u32,
        /// None where it stumbled.
        answer: Option<Answer>,
    },
    /// There is no worker, or it broke.
    WorkerFailed,
    /// The design was saved, or not.
    Saved(Result<(), String>),
    /// Back by a step.
    Undo,
    /// Forward by a step.
    Redo,
    /// Another design takes the place of the present one.
    Replaced {
        /// It.
        design: Box<Design>,
        /// Which of its sizes is looked at.
        size: usize,
        /// What is said of it; empty for nothing.
        words: String,
        /// When.
        at: f64,
    },
    /// Words in the design change, on which no answer depends.
    Noted {
        /// With the words changed.
        design: Box<Design>,
        /// When.
        at: f64,
    },
    /// A suggestion of the join looked at is taken.
    Suggested {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// An answer of the search is taken.
    Found {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A trial link of the size looked at is added.
    TrialAdded {
        /// When.
        at: f64,
    },
    /// A trial link is removed.
    TrialRemoved {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A size is added after the one looked at.
    SizeAdded {
        /// When.
        at: f64,
    },
    /// The size looked at is removed.
    SizeRemoved {
        /// When.
        at: f64,
    },
    /// The size looked at changes places with the one before or after it.
    SizeMoved {
        /// Whether with the one before.
        earlier: bool,
        /// When.
        at: f64,
    },
    /// A hand takes the design on the map, or lets it go.
    Dragged(bool),
    /// Another view is looked at.
    Viewed(usize),
    /// The search is to stop.
    SearchStopped,
    /// A point of the trade-off is looked at.
    PointChosen(usize),
    /// The bench changed.
    BenchChanged(Box<Bench>),
    /// A class begins or ends.
    Class(bool),
    /// What a class sees beside.
    Beside(Option<Box<Design>>),
    /// What was said is put away.
    Dismissed,
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
            view: 0,
            time: 0.65,
            playing: false,
            notice: Notice::default(),
            unsaved: String::new(),
            asking: Asking::default(),
            is_dragged: false,
            examples: Vec::new(),
            opened: None,
            drape_told: String::new(),
            class_is_on: false,
            beside: None,
            set_aside: None,
        }
    }

    /// Gives it designs to start from.
    pub fn set_examples(&mut self, examples: Vec<Design>) {
        self.examples = examples;
        self.name_design();
    }

    /// Remembers a design that is no example by its name.
    fn name_design(&mut self) {
        if self.example_shown().is_none() && self.opened.as_ref() != Some(&self.analysis.design) {
            self.opened = Some(self.analysis.design.clone());
        }
    }

    /// The example that the present design goes by the name of.
    pub fn example_shown(&self) -> Option<usize> {
        self.examples.iter().position(|known| known.name == self.analysis.design.name)
    }

    /// The design that the list of designs knows by this value.
    pub fn design_named(&self, value: &str) -> Option<Design> {
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

    /// Which join is looked at; that of the size looked at until another is chosen.
    pub fn shown_join(&self) -> usize {
        let chosen = self.controls.value("join-shown").parse().ok();
        let known = chosen.filter(|index| *index < self.analysis.report.joins.len());
        known.unwrap_or(self.analysis.size)
    }

    /// Which order of work is played: 0 for the better.
    pub fn shown_way(&self) -> usize {
        self.controls.value("way").parse().unwrap_or(0)
    }

    /// The join looked at.
    pub fn join(&self) -> Option<&JoinReport> {
        self.analysis.report.joins.get(self.shown_join())
    }

    /// Where on the slider the join looked at is tightest.
    pub fn tightest_time(&self) -> Option<f64> {
        let share = self.analysis.joining(self.shown_join(), self.shown_way())?.tightest()?;
        let start = Chapter::Fold.end();
        // The chapter's first moment belongs to the one before.
        Some((start + share * (1.0 - start)).max(start + 1e-3))
    }

    /// Says something about the page as a whole.
    pub fn tell(&mut self, words: impl Into<String>, is_problem: bool) {
        self.notice = Notice { words: words.into(), is_problem };
    }

    /// Puts another analysis in place of the present one.
    fn place(&mut self, mut analysis: Analysis) {
        let of_other_joins = analysis.report.joins.len() != self.analysis.report.joins.len();
        if of_other_joins || analysis.size != self.analysis.size {
            self.controls.set("join-shown", "");
        }
        analysis.charted = self.analysis.charted.take();
        analysis.tuning = std::mem::take(&mut self.analysis.tuning);
        analysis.unprovable = self.asking.is_broken;
        self.analysis = analysis;
        self.unwanted();
    }

    fn save(&mut self, effects: &mut Vec<Effect>) {
        // A hand that drags the design about is waited for.
        if !self.is_dragged {
            effects.push(Effect::SaveDesign(Box::new(self.analysis.design.clone())));
            self.save_habits(effects);
        }
    }

    fn save_habits(&self, effects: &mut Vec<Effect>) {
        let in_inches = self.analysis.unit == LengthUnit::Inch;
        effects.push(Effect::SaveHabits(Habits { in_inches, size: self.analysis.size }));
    }

    /// Takes another design in place of the present one, so that it can be undone.
    fn take(
        &mut self,
        design: Design,
        size: usize,
        at: f64,
        effects: &mut Vec<Effect>,
    ) -> Result<(), BuildError> {
        let analysis = Analysis::of(design, size, self.analysis.unit)?;
        let before = (&self.analysis.design, self.analysis.size);
        let after = (&analysis.design, analysis.size);
        let change = Change { before, after, at, is_held: self.is_dragged };
        if self.history.note(&change).is_whole() {
            effects.push(Effect::SaveFormer(Box::new(self.analysis.design.clone())));
        }
        self.place(analysis);
        self.save(effects);
        Ok(())
    }

    /// Takes another design, with what is said of it; open entries make way for it.
    fn replace(
        &mut self,
        design: Design,
        size: usize,
        words: &str,
        at: f64,
        effects: &mut Vec<Effect>,
    ) {
        let former = self.analysis.design.clone();
        match self.take(design, size, at, effects) {
            Ok(()) => {
                self.put_aside(former);
                self.tell(words, false);
            }
            Err(error) => self.tell(error.told("This", self.analysis.unit), true),
        }
    }

    /// Entries that are not in the design make way; they come back with the design they belong to.
    fn put_aside(&mut self, design: Design) {
        let open = self.entries.clear_open();
        if !open.is_empty() {
            self.set_aside = Some((design, open));
        }
    }

    /// Brings entries back that were typed into the present design.
    fn bring_back(&mut self) -> bool {
        match self.set_aside.take() {
            Some((design, open)) if design == self.analysis.design => {
                self.entries.open = open;
                let (size, unit) = (self.analysis.size, self.analysis.unit);
                self.entries.settle(&self.analysis.design.clone(), size, unit);
                true
            }
            other => {
                self.set_aside = other;
                false
            }
        }
    }

    fn type_in(&mut self, key: &str, text: &str, at: f64, effects: &mut Vec<Effect>) {
        let Some(field) = fields::find(key) else { return };
        let (design, size, unit) =
            (self.analysis.design.clone(), self.analysis.size, self.analysis.unit);
        if field.value(&design, size).is_none() {
            return;
        }
        let changed = self.entries.type_in(&design, (size, &field), text, unit);
        self.take_entries(changed, at, effects);
    }

    /// Takes what of the entries could be taken into the design.
    fn take_entries(&mut self, changed: Design, at: f64, effects: &mut Vec<Effect>) {
        if changed != self.analysis.design
            && let Err(error) = self.take(changed, self.analysis.size, at, effects)
        {
            self.tell(error.told("This", self.analysis.unit), true);
        }
        self.wait(effects);
    }

    fn choose(&mut self, control: &str, value: &str, at: f64, effects: &mut Vec<Effect>) {
        let analysis = &mut self.analysis;
        match control {
            "size" => {
                if let Some(size) =
                    value.parse().ok().filter(|size| *size < analysis.design.sizes.len())
                {
                    analysis.size = size;
                    self.controls.set("join-shown", "");
                    self.unwanted();
                    self.save_habits(effects);
                }
            }
            "unit" => {
                let unit = if value == "inch" { LengthUnit::Inch } else { LengthUnit::Mm };
                analysis.speak(unit);
                self.controls.set("unit", value);
                self.unwanted();
                let (design, size) = (self.analysis.design.clone(), self.analysis.size);
                let changed = self.entries.settle(&design, size, unit);
                self.take_entries(changed, at, effects);
                self.save_habits(effects);
            }
            _ => match choices::chosen(&analysis.design, control, value) {
                Some(design) => {
                    let size = analysis.size;
                    if let Err(error) = self.take(design, size, at, effects) {
                        self.tell(error.told("This", self.analysis.unit), true);
                    }
                }
                None => self.controls.set(control, value),
            },
        }
    }

    fn go_over(&mut self, design: Design, size: usize, words: String, effects: &mut Vec<Effect>) {
        match Analysis::of(design, size, self.analysis.unit) {
            Ok(analysis) => {
                self.place(analysis);
                self.save(effects);
                self.bring_back();
                self.tell(words, false);
            }
            Err(error) => self.tell(error.to_string(), true),
        }
    }

    fn undo(&mut self, effects: &mut Vec<Effect>) {
        if self.is_at_fault() {
            self.put_aside(self.analysis.design.clone());
            return self.tell("Undone: what could not be worked.", false);
        }
        let difference = self.history.undoable().cloned();
        match difference.zip(self.history.undo(&self.analysis.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Undone: {}.", again(&difference, &design, self.analysis.unit));
                self.go_over(design, size, words, effects);
            }
            None => self.tell("There is nothing to undo.", false),
        }
    }

    fn redo(&mut self, effects: &mut Vec<Effect>) {
        if self.history.redoable().is_none() && self.bring_back() {
            return self.tell("Redone: what was typed.", false);
        }
        let difference = self.history.redoable().cloned();
        match difference.zip(self.history.redo(&self.analysis.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Redone: {}.", difference.values(&design, self.analysis.unit));
                self.go_over(design, size, words, effects);
            }
            None => self.tell("There is nothing to redo.", false),
        }
    }

    fn add_trial(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        if design.trials.len() >= MOST_TRIALS {
            return self.tell(format!("No more than {MOST_TRIALS} trials in one design."), true);
        }
        let Some(forming) = self.analysis.forming() else { return };
        design.trials.push(Trial {
            mandrel_mm: forming.setting.mandrel,
            wire_mm: Some(forming.setting.wire),
            ..Trial::default()
        });
        self.change(design, self.analysis.size, at, effects);
    }

    /// As [`Model::take`]; where it cannot be made, says why.
    fn change(&mut self, design: Design, size: usize, at: f64, effects: &mut Vec<Effect>) {
        let former = self.analysis.design.clone();
        match self.take(design, size, at, effects) {
            // Entries are counted with their sizes and trials.
            Ok(()) => self.put_aside(former),
            Err(error) => self.tell(error.told("This", self.analysis.unit), true),
        }
    }

    fn add_size(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        if design.sizes.len() >= MOST_SIZES {
            return self.tell(format!("No more than {MOST_SIZES} sizes in one chain."), true);
        }
        let here = self.analysis.size;
        let Some(size) = design.sizes.get(here).cloned() else { return };
        if design.sizes.len() == 1 && design.sizes[0].name.is_empty() {
            design.sizes[0].name = "size 1".into();
        }
        let taken = |name: &str| design.sizes.iter().any(|size| size.name == name);
        let mut free = (design.sizes.len() + 1..).map(|number| format!("size {number}"));
        let name = free.find(|name| !taken(name)).unwrap_or_default();
        design.sizes.insert(here + 1, Size { name, ..size });
        self.change(design, here + 1, at, effects);
    }

    fn remove_size(&mut self, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        let here = self.analysis.size;
        if design.sizes.len() < 2 || here >= design.sizes.len() {
            return self.tell("A chain has one size at least.", false);
        }
        design.sizes.remove(here);
        self.change(design, here.saturating_sub(1), at, effects);
    }

    fn move_size(&mut self, earlier: bool, at: f64, effects: &mut Vec<Effect>) {
        let mut design = self.analysis.design.clone();
        let here = self.analysis.size;
        let to = if earlier { here.checked_sub(1) } else { Some(here + 1) };
        let Some(to) = to.filter(|to| *to < design.sizes.len()) else { return };
        design.sizes.swap(here, to);
        self.change(design, to, at, effects);
    }

    fn suggest(&mut self, index: usize, at: f64, effects: &mut Vec<Effect>) {
        let join = self.shown_join();
        let Analysis { design, size, unit, report, .. } = &self.analysis;
        let Some(suggestion) = report.joins.get(join).and_then(|join| join.suggestions.get(index))
        else {
            return;
        };
        let words = format!("Changed: {}", suggestion.message);
        match suggestion.taken(design, join, *unit) {
            Ok(design) => self.replace(design, *size, &words, at, effects),
            Err(error) => self.tell(error.to_string(), true),
        }
    }

    fn take_found(&mut self, index: usize, at: f64, effects: &mut Vec<Effect>) {
        let Some(design) = self.analysis.tuning.design(index).cloned() else { return };
        let present = &self.analysis.design;
        let (name, notes) = (present.name.clone(), present.notes.clone());
        let design = Design { name, notes, ..design };
        let words = "The design found is in the fields now; Undo takes it back.";
        self.replace(design, self.analysis.size, words, at, effects);
    }

    fn note(&mut self, design: Design, at: f64, effects: &mut Vec<Effect>) {
        let size = self.analysis.size;
        let before = (&self.analysis.design, size);
        let change = Change { before, after: (&design, size), at, is_held: false };
        self.history.note(&change);
        if let Some((of, _)) = &mut self.set_aside
            && *of == self.analysis.design
        {
            *of = design.clone();
        }
        self.analysis.design = design;
        self.save(effects);
    }

    fn change_bench(&mut self, bench: Bench) {
        let costs = |bench: &Bench| {
            (bench.prices.clone(), bench.minutes.clone(), bench.hourly_rate, bench.currency.clone())
        };
        if costs(&self.bench) != costs(&bench) {
            self.analysis.planned = None;
            self.drop_subject(Subject::Plan);
        }
        self.bench = bench;
    }

    /// Goes to another view; the slider goes with it where it stands outside.
    fn look_at(&mut self, view: usize) {
        let Some(chosen) = VIEWS.get(view) else { return };
        self.view = view;
        if let Some((start, end)) = chosen.span
            // Where one view's part ends, the next one's has not begun.
            && (self.time > end || (start > 0.0 && self.time <= start))
        {
            (self.time, self.playing) = (end, false);
        }
    }
}

/// Takes what happened, and returns what is to be done outside.
pub fn update(model: &mut Model, message: Message) -> Vec<Effect> {
    let mut effects = Vec::new();
    let out = &mut effects;
    match message {
        Message::Typed { key, text, at } => model.type_in(&key, &text, at, out),
        Message::Chosen { control, value, at } => model.choose(&control, &value, at, out),
        Message::Paused { serial } => {
            if model.asking.pause == Some(serial) {
                model.asking.pause = None;
            }
        }
        Message::Ready => model.asking.is_ready = true,
        Message::Answered { serial, answer } => model.take_answer(serial, answer, out),
        Message::WorkerFailed => {
            model.asking.asked = None;
            model.asking.is_broken = true;
            model.analysis.unprovable = true;
        }
        Message::Saved(result) => {
            model.unsaved = match result {
                Ok(()) => String::new(),
                Err(words) => words,
            };
        }
        Message::Undo => model.undo(out),
        Message::Redo => model.redo(out),
        Message::Replaced { design, size, words, at } => {
            model.replace(*design, size, &words, at, out);
        }
        Message::Noted { design, at } => model.note(*design, at, out),
        Message::Suggested { index, at } => model.suggest(index, at, out),
        Message::Found { index, at } => model.take_found(index, at, out),
        Message::TrialAdded { at } => model.add_trial(at, out),
        Message::TrialRemoved { index, at } => {
            let mut design = model.analysis.design.clone();
            if index < design.trials.len() {
                design.trials.remove(index);
                model.change(design, model.analysis.size, at, out);
            }
        }
        Message::SizeAdded { at } => model.add_size(at, out),
        Message::SizeRemoved { at } => model.remove_size(at, out),
        Message::SizeMoved { earlier, at } => model.move_size(earlier, at, out),
        Message::Dragged(is_dragged) => {
            if model.is_dragged && !is_dragged {
                model.is_dragged = false;
                model.history.close();
                model.save(out);
            }
            model.is_dragged = is_dragged;
        }
        Message::Viewed(view) => model.look_at(view),
        Message::SearchStopped => {
            // What stands in the panel by now is what is stopped.
            let mut tuning = std::mem::take(&mut model.analysis.tuning);
            tuning.task(&model.analysis, &model.controls, &model.bench);
            tuning.stopped = true;
            model.analysis.tuning = tuning;
            model.drop_subject(Subject::Search);
        }
        Message::PointChosen(point) => model.analysis.tuning.chosen = Some(point),
        Message::BenchChanged(bench) => model.change_bench(*bench),
        Message::Class(on) => {
            model.class_is_on = on;
            if !on {
                model.drop_subject(Subject::Beside);
            }
        }
        Message::Beside(design) => {
            model.drop_subject(Subject::Beside);
            let unit = model.analysis.unit;
            let analysis = design.and_then(|design| Analysis::of(*design, 0, unit).ok());
            model.beside = analysis.map(|mut analysis| {
                analysis.unprovable = model.asking.is_broken;
                analysis
            });
        }
        Message::Dismissed => model.notice = Notice::default(),
    }
    model.name_design();
    model.ask_on(out);
    effects
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
