//! What the worker is asked next: one request at a time, what is looked at first.
//!
//! A request is answered, or stopped: none is left. Typing is waited for: while it goes on the
//! estimate stands, and what was asked before is left alone until the pause, when it is stopped
//! if it is not wanted any more.

use super::effect::Effect;
use super::map_state::{MapState, axes};
use super::model::Model;
use super::pending::{PAUSE_MS, PendingRequest, Subject};
use super::tabs;
use super::tasks::{Answer, Task};
use crate::answers::jig::{Jig, JigKind, JigRequest};
use crate::answers::map::{Grid, Question};
use crate::answers::strip::MandrelStrip;

/// Places of a map asked for in one request: some tens of milliseconds.
const PLACES: usize = 4;

impl Model {
    /// What was asked about the design before is not wanted any more.
    pub(super) fn unwanted(&mut self) {
        let map_serves = self.map_state.as_ref().is_some_and(|map_state| map_state.is_asked);
        let (design, size) = (&self.analysis.design, self.analysis.size);
        let strip_serves = self.strip.as_ref().is_some_and(|strip| strip.serves(design, size));
        if let Some(asked) = &mut self.pending.asked
            && !(asked.subject == Subject::Map && map_serves)
            && !(matches!(asked.subject, Subject::Strip | Subject::Mandrels) && strip_serves)
        {
            asked.is_wanted = false;
        }
    }

    /// What was asked about one subject is not wanted any more.
    pub(super) fn drop_subject(&mut self, subject: Subject) {
        if let Some(asked) = self.pending.asked.as_mut().filter(|asked| asked.subject == subject) {
            asked.is_wanted = false;
        }
    }

    /// Waits for a pause before anything is asked.
    pub(super) fn wait(&mut self, effects: &mut Vec<Effect>) {
        let serial = self.pending.next_serial();
        self.pending.pause = Some(serial);
        effects.push(Effect::Wait { serial, milliseconds: PAUSE_MS });
    }

    /// Stops what is not wanted any more, and asks the next thing if nothing is being done: the
    /// joins looked at, then what is seen of plan, class, map and search, the other joins.
    pub(super) fn ask_on(&mut self, effects: &mut Vec<Effect>) {
        self.prepare_map();
        self.prepare_strip();
        if !self.pending.is_ready || self.pending.pause.is_some() {
            return;
        }
        if let Some(asked) = self.pending.asked.filter(|asked| !asked.is_wanted) {
            effects.push(Effect::Stop { serial: asked.serial });
            self.pending.asked = None;
        }
        if self.pending.asked.is_some() || self.analysis.unprovable {
            return;
        }
        let Some((subject, task)) = self.next_task() else { return };
        let serial = self.pending.next_serial();
        self.pending.asked = Some(PendingRequest { serial, subject, is_wanted: true });
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
        let strip = self.strip.as_ref().filter(|_| !moving);
        if let Some(question) = strip.and_then(|strip| strip.question(PLACES)) {
            return Some((Subject::Strip, Task::Strip(question)));
        }
        if self.sees(tabs::PLAN)
            && !moving
            && let Some(task) = self.analysis.plan_task(&self.bench)
        {
            return Some((Subject::Plan, task));
        }
        if self.sees(tabs::PLAN)
            && !moving
            && let Some(task) = self.jig_wanted().and_then(|wanted| self.analysis.jig_task(wanted))
        {
            return Some((Subject::Jig, task));
        }
        let beside = self.beside.as_ref().filter(|_| self.class.is_on);
        if let Some(beside) = beside.filter(|beside| beside.is_open(beside.size)) {
            return Some((Subject::Beside, beside.task(beside.size)));
        }
        if let Some(task) = self.map_state.as_mut().and_then(|c| c.task(PLACES)) {
            return Some((Subject::Map, task));
        }
        if !moving && self.sees(tabs::OPTIMISE) {
            let task = self.optimise_state.task(&self.analysis, &self.controls, &self.bench);
            if let Some(task) = task {
                return Some((Subject::Search, task));
            }
        }
        let open = |index: &usize| !moving && self.analysis.is_open(*index);
        if let Some(index) = (0..self.analysis.report.joins.len()).find(open) {
            return Some((Subject::Join(index), self.analysis.task(index)));
        }
        if moving {
            return None;
        }
        if let Some(task) = self.analysis.jaws_task() {
            return Some((Subject::Jaws(self.analysis.size), task));
        }
        if let Some(task) = self.analysis.uncorrected_task() {
            return Some((Subject::Uncorrected, task));
        }
        let unit = self.analysis.unit;
        let design = self.strip.as_ref()?.mandrels_question(unit)?.clone();
        Some((Subject::Mandrels, Task::LeastMandrels { design, unit }))
    }

    /// The gauge or the jig chosen on the plan's page; none where that is the chain.
    pub fn jig_wanted(&self) -> Option<JigRequest> {
        let chosen = self.controls.value("jig-what");
        let kind = JigKind::ALL.into_iter().find(|kind| kind.id() == chosen)?;
        let all = kind.is_of_all_sizes() && !self.controls.is_ticked("jig-one");
        let size = (!all).then_some(self.analysis.size);
        Some(JigRequest { kind, size, allowance_mm: self.bench.print_allowance_mm })
    }

    /// The gauge or the jig chosen, or why there is none; none while it is being worked out.
    pub fn made_jig(&self) -> Option<&Result<Jig, String>> {
        let wanted = self.jig_wanted()?;
        let made = self.analysis.jig.as_ref().filter(|jig| jig.request == wanted);
        made.map(|jig| &jig.made)
    }

    /// Has the strip of mandrels of the present wire; keeps the one there is while it serves.
    pub(super) fn prepare_strip(&mut self) {
        let (design, size) = (&self.analysis.design, self.analysis.size);
        // One that a worker failed on is not asked for again until the design changes.
        let serves = |strip: &MandrelStrip| strip.serves(design, size);
        if self.strip.as_ref().is_some_and(serves) {
            return;
        }
        if self.analysis.unprovable || self.strip_failed.as_ref() == Some(design) {
            self.strip = None;
            return;
        }
        self.strip = MandrelStrip::round(design, size).ok();
        self.drop_subject(Subject::Strip);
    }

    /// Where the map is seen, has one that serves the design and the axes chosen; keeps the
    /// present one if it does. Elsewhere nothing of it is asked.
    fn prepare_map(&mut self) {
        let sees_map = self.sees(tabs::MAP);
        let axes = axes(&self.controls);
        let (design, size) = (&self.analysis.design, self.analysis.size);
        let map_state = &mut self.map_state;
        if !sees_map {
            *map_state = map_state.take().filter(|c| c.is_asked || c.grid.is_done());
            return;
        }
        let serves = |c: &MapState| {
            c.question.across.axis == axes[0]
                && c.question.up.axis == axes[1]
                && c.question.serves(design, size)
        };
        match map_state.as_mut().filter(|c| serves(c)) {
            Some(kept) if kept.margin == design.margin_mm => {}
            Some(kept) => {
                kept.margin = design.margin_mm;
                kept.grid = kept.grid.refilled(kept.margin);
            }
            None => {
                let margin = design.margin_mm;
                *map_state = Question::round(design, size, axes).map(|question| MapState {
                    question,
                    grid: Grid::new(margin),
                    margin,
                    is_asked: false,
                });
            }
        }
    }

    /// Takes an answer of the worker; none where worker failed over the question.
    pub(super) fn take_answer(
        &mut self,
        serial: u32,
        answer: Option<Answer>,
        effects: &mut Vec<Effect>,
    ) {
        let Some(asked) = self.pending.asked.filter(|asked| asked.serial == serial) else { return };
        self.pending.asked = None;
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
            (Subject::Map, Some(Answer::Clearances(clearances))) => {
                if let Some(map_state) = &mut self.map_state {
                    map_state.is_asked = false;
                    clearances
                        .into_iter()
                        .for_each(|(node, clearance)| map_state.grid.set(node, clearance));
                }
            }
            (Subject::Strip, Some(Answer::Strip(found))) => {
                if let Some(strip) = &mut self.strip {
                    strip.take(&found);
                }
            }
            (Subject::Jaws(size), Some(Answer::OtherJaws(found))) => {
                self.analysis.take_jaws(size, found);
            }
            (Subject::Mandrels, Some(Answer::LeastMandrels(found))) => {
                if let Some(strip) = &mut self.strip {
                    strip.take_mandrels(self.analysis.unit, found);
                }
            }
            (Subject::Uncorrected, Some(Answer::Uncorrected(found))) => {
                self.analysis.uncorrected = Some(found);
            }
            (Subject::Plan, Some(Answer::Plan(planned))) => {
                self.analysis.planned = Some(*planned);
            }
            (Subject::Jig, Some(Answer::Jig(made))) => self.analysis.jig = Some(*made),
            (Subject::Search, Some(answer)) => self.optimise_state.take(answer, &self.analysis),
            // It failed on this question; the next one gets a new worker.
            (subject, _) => {
                effects.push(Effect::Stop { serial });
                match subject {
                    // The verdict does not hang on it.
                    Subject::Strip => {
                        self.strip = None;
                        self.strip_failed = Some(self.analysis.design.clone());
                    }
                    Subject::Uncorrected => self.analysis.uncorrected = Some(None),
                    Subject::Jaws(size) => self.analysis.take_jaws(size, None),
                    Subject::Mandrels => {
                        if let Some(strip) = &mut self.strip {
                            strip.take_mandrels(self.analysis.unit, Default::default());
                        }
                    }
                    Subject::Search => self.optimise_state.failed(),
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
