//! What the worker is asked next: one request at a time, what is looked at first.
//!
//! A request is answered, or stopped: none is left. Typing is waited for: while it goes on the
//! estimate stands, and what was asked before is left alone until the pause, when it is stopped
//! if it is not wanted any more.

use super::effect::Effect;
use super::map_state::Charted;
use super::model::Model;
use super::tasks::{Answer, Task};
use super::views;
use crate::answers::map::{Grid, Question};

/// Places of a map asked for in one request: some tens of milliseconds.
const PLACES: usize = 4;
/// A pause in typing, ms: longer than between two keys of one number.
pub const PAUSE_MS: u32 = 250;

/// What an answer is waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A join of the design.
    Join(usize),
    /// The join of the design that a class sees beside.
    Beside,
    /// Places of the map.
    Map,
    /// The plan.
    Plan,
    /// Something for the search.
    Search,
}

/// A request that was not answered yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Its number.
    pub serial: u32,
    /// About what.
    pub subject: Subject,
    /// Whether the answer is still wanted.
    pub is_wanted: bool,
}

/// What is asked and waited for.
#[derive(Clone, Debug, Default)]
pub struct Asking {
    serial: u32,
    /// The request at work.
    pub asked: Option<Asked>,
    /// The pause waited for.
    pub pause: Option<u32>,
    /// The browser gives no worker, or ours does not start.
    pub is_broken: bool,
    /// Whether there is a worker to ask; none before the page has started.
    pub is_ready: bool,
}

impl Asking {
    fn next_serial(&mut self) -> u32 {
        self.serial = self.serial.wrapping_add(1);
        self.serial
    }
}

impl Model {
    /// What was asked about the design before is not wanted any more.
    pub(super) fn unwanted(&mut self) {
        let map_serves = self.analysis.charted.as_ref().is_some_and(|charted| charted.is_asked);
        if let Some(asked) = &mut self.asking.asked
            && !(asked.subject == Subject::Map && map_serves)
        {
            asked.is_wanted = false;
        }
    }

    /// What was asked about one subject is not wanted any more.
    pub(super) fn drop_subject(&mut self, subject: Subject) {
        if let Some(asked) = self.asking.asked.as_mut().filter(|asked| asked.subject == subject) {
            asked.is_wanted = false;
        }
    }

    /// Waits for a pause before anything is asked.
    pub(super) fn wait(&mut self, effects: &mut Vec<Effect>) {
        let serial = self.asking.next_serial();
        self.asking.pause = Some(serial);
        effects.push(Effect::Wait { serial, milliseconds: PAUSE_MS });
    }

    /// Stops what is not wanted any more, and asks the next thing if nothing is being done: the
    /// joins looked at, then what is seen of plan, class, map and search, the other joins.
    pub(super) fn ask_on(&mut self, effects: &mut Vec<Effect>) {
        self.prepare_map();
        if !self.asking.is_ready || self.asking.pause.is_some() {
            return;
        }
        if let Some(asked) = self.asking.asked.filter(|asked| !asked.is_wanted) {
            effects.push(Effect::Stop { serial: asked.serial });
            self.asking.asked = None;
        }
        if self.asking.asked.is_some() || self.analysis.unprovable {
            return;
        }
        let Some((subject, task)) = self.next_task() else { return };
        let serial = self.asking.next_serial();
        self.asking.asked = Some(Asked { serial, subject, is_wanted: true });
        effects.push(Effect::Ask { serial, task: Box::new(task) });
    }

    fn next_task(&mut self) -> Option<(Subject, Task)> {
        let looked_at = [self.analysis.size, self.shown_join()];
        // While the design is dragged about, only the map goes on.
        let moving = self.is_dragged;
        let open = |index: &usize| !moving && self.analysis.is_open(*index);
        if let Some(index) = looked_at.into_iter().find(open) {
            return Some((Subject::Join(index), self.analysis.task(index)));
        }
        if self.sees(views::PLAN)
            && !moving
            && let Some(task) = self.analysis.plan_task(&self.bench)
        {
            return Some((Subject::Plan, task));
        }
        let beside = self.beside.as_ref().filter(|_| self.class_is_on);
        if let Some(beside) = beside.filter(|beside| beside.is_open(beside.size)) {
            return Some((Subject::Beside, beside.task(beside.size)));
        }
        if let Some(task) = self.analysis.charted.as_mut().and_then(|c| c.task(PLACES)) {
            return Some((Subject::Map, task));
        }
        if !moving && self.sees(views::TUNE) {
            let mut tuning = std::mem::take(&mut self.analysis.tuning);
            let task = tuning.task(&self.analysis, &self.controls, &self.bench);
            self.analysis.tuning = tuning;
            if let Some(task) = task {
                return Some((Subject::Search, task));
            }
        }
        let open = |index: &usize| !moving && self.analysis.is_open(*index);
        let index = (0..self.analysis.report.joins.len()).find(open)?;
        Some((Subject::Join(index), self.analysis.task(index)))
    }

    /// Where the map is seen, has one that serves the design and the axes chosen; keeps the
    /// present one if it does. Elsewhere nothing of it is asked.
    fn prepare_map(&mut self) {
        let sees_map = self.sees(views::MAP);
        let axes = views::map_axes(&self.controls);
        let (design, size) = (&self.analysis.design, self.analysis.size);
        let charted = &mut self.analysis.charted;
        if !sees_map {
            *charted = charted.take().filter(|c| c.is_asked || c.grid.is_done());
            return;
        }
        let serves = |c: &Charted| {
            c.question.across.axis == axes[0]
                && c.question.up.axis == axes[1]
                && c.question.serves(design, size)
        };
        match charted.as_mut().filter(|c| serves(c)) {
            Some(kept) if kept.margin == design.margin_mm => {}
            Some(kept) => {
                kept.margin = design.margin_mm;
                kept.grid = kept.grid.refilled(kept.margin);
            }
            None => {
                let margin = design.margin_mm;
                *charted = Question::round(design, size, axes).map(|question| Charted {
                    question,
                    grid: Grid::new(margin),
                    margin,
                    is_asked: false,
                });
            }
        }
    }

    /// Takes an answer of the worker; none where it stumbled over the question.
    pub(super) fn take_answer(
        &mut self,
        serial: u32,
        answer: Option<Answer>,
        effects: &mut Vec<Effect>,
    ) {
        let Some(asked) = self.asking.asked.filter(|asked| asked.serial == serial) else { return };
        self.asking.asked = None;
        if !asked.is_wanted {
            return;
        }
        match (asked.subject, answer) {
            (Subject::Join(index), Some(Answer::Proven(proven))) => {
                self.analysis.take_proof(index, *proven);
            }
            (Subject::Beside, Some(Answer::Proven(proven))) => {
                if let Some(beside) = &mut self.beside {
                    beside.take_proof(beside.size, *proven);
                }
            }
            (Subject::Map, Some(Answer::Rooms(rooms))) => {
                if let Some(charted) = &mut self.analysis.charted {
                    charted.is_asked = false;
                    rooms.into_iter().for_each(|(node, room)| charted.grid.set(node, room));
                }
            }
            (Subject::Plan, Some(Answer::Plan(planned))) => {
                self.analysis.planned = Some(*planned);
            }
            (Subject::Search, Some(answer)) => self.analysis.take_found(answer),
            // It stumbled over this question; the next one gets a new worker.
            (subject, _) => {
                effects.push(Effect::Stop { serial });
                match subject {
                    Subject::Search => self.analysis.tuning.stumbled(),
                    Subject::Beside => {
                        if let Some(beside) = &mut self.beside {
                            beside.unprovable = true;
                        }
                    }
                    _ => self.analysis.unprovable = true,
                }
            }
        }
    }
}
