//! What the workers are asked next: what is looked at first.
//!
//! Each worker has one request at a time. A request is answered, or stopped at once where its answer is
//! not wanted any more: none is left. While typing goes on only the join looked at is proven, one design after
//! the other; all else waits for a pause.
//! Parts of one subject may be answered in any order: what is shown in the end is the same.

use super::effect::Effect;
use super::map_state::{MapState, axes};
use super::model::Model;
use super::pending::{MOST_WORKERS, PAUSE_MS, PendingRequest, Subject};
use super::tabs;
use super::tasks::{Answer, Task};
use crate::answers::jig::{Jig, JigKind, JigRequest};
use crate::answers::map::{Grid, Question};
use crate::answers::strip::MandrelStrip;

/// Places of the strip asked for in one request: some tens of milliseconds.
const PLACES: usize = 4;

impl Model {
    /// What was asked about the design before is not wanted any more.
    pub(super) fn unwanted(&mut self) {
        let (design, size) = (&self.analysis.design, self.analysis.size);
        let map = self.map_state.as_ref();
        let map_serves = map.is_some_and(|map| map.question.serves(design, size));
        let strip_serves = self.strip.as_ref().is_some_and(|strip| strip.serves(design, size));
        for asked in &mut self.pending.asked {
            asked.is_wanted &= match asked.subject {
                Subject::Map => map_serves,
                Subject::Strip | Subject::Mandrels => strip_serves,
                _ => false,
            };
        }
    }

    /// What was asked about some subjects is not wanted any more.
    pub(super) fn drop_subjects(&mut self, is_dropped: impl Fn(Subject) -> bool) {
        for asked in &mut self.pending.asked {
            asked.is_wanted &= !is_dropped(asked.subject);
        }
    }

    /// There are workers to be asked: as many as the browser tells of processors, at least one.
    pub(super) fn have_workers(&mut self, processors: usize) {
        self.pending.workers = processors.clamp(1, MOST_WORKERS);
    }

    /// Whether an answer is waited for, or a pause after which something may be asked.
    pub fn is_working(&self) -> bool {
        !self.pending.asked.is_empty() || self.pending.pause.is_some()
    }

    /// Waits for a pause before anything is asked.
    pub(super) fn wait(&mut self, effects: &mut Vec<Effect>) {
        let serial = self.pending.next_serial();
        self.pending.pause = Some(serial);
        effects.push(Effect::Wait { serial, milliseconds: PAUSE_MS });
    }

    /// Stops what is not wanted any more, and asks the next things of the workers that do nothing: the
    /// joins looked at, then what is seen of plan, class, map and search, the other joins.
    pub(super) fn ask_on(&mut self, effects: &mut Vec<Effect>) {
        self.prepare_map();
        self.prepare_strip();
        // While typing goes on that proof comes to its end, mostly sooner than another worker would be there.
        let is_typing = self.pending.pause.is_some();
        let goes_on = |asked: &&PendingRequest| {
            asked.is_wanted || is_typing && self.is_looked_at(asked.subject)
        };
        let ended = self.pending.asked.iter().filter(|asked| !goes_on(asked));
        for worker in ended.map(|asked| asked.worker).collect::<Vec<usize>>() {
            self.end(worker, effects);
        }
        if self.analysis.unprovable {
            return;
        }
        let most = self.pending.most(self.moves() || self.is_dragged);
        for worker in self.pending.free() {
            if self.pending.asked.len() >= most {
                return;
            }
            let next = if is_typing { self.next_proof() } else { self.next_task(worker) };
            if let Some((subject, task)) = next {
                let serial = self.pending.ask(worker, subject, task.parts());
                effects.push(Effect::Ask { worker, serial, task: Box::new(task) });
            }
        }
        if !is_typing && self.pending.asked.is_empty() && !self.is_dragged {
            self.pending.idle().into_iter().for_each(|worker| self.end(worker, effects));
        }
    }

    fn end(&mut self, worker: usize, effects: &mut Vec<Effect>) {
        self.pending.ended(worker);
        effects.push(Effect::Stop { worker });
    }

    /// While typing goes on: the join looked at, one at a time.
    fn next_proof(&self) -> Option<(Subject, Task)> {
        let is_proving = self.pending.asked.iter().any(|asked| self.is_looked_at(asked.subject));
        if is_proving { None } else { self.join_looked_at() }
    }

    fn is_looked_at(&self, subject: Subject) -> bool {
        self.looked_at().map(Subject::Join).contains(&subject)
    }

    /// Joins.
    fn looked_at(&self) -> [usize; 2] {
        [self.analysis.size, self.shown_join()]
    }

    fn join_looked_at(&self) -> Option<(Subject, Task)> {
        if self.is_dragged { None } else { self.open_join(self.looked_at()) }
    }

    /// The first of some joins that is neither answered nor asked for.
    fn open_join(&self, joins: impl IntoIterator<Item = usize>) -> Option<(Subject, Task)> {
        let (pending, analysis) = (&self.pending, &self.analysis);
        let is_open =
            |index: &usize| analysis.is_open(*index) && !pending.is_asked(Subject::Join(*index));
        let index = joins.into_iter().find(is_open)?;
        Some((Subject::Join(index), analysis.task(index)))
    }

    fn next_task(&mut self, worker: usize) -> Option<(Subject, Task)> {
        if let Some(asks) = self.join_looked_at() {
            return Some(asks);
        }
        // While the design is dragged about, only the map goes on.
        let moving = self.is_dragged;
        let (pending, analysis) = (&self.pending, &self.analysis);
        let asked = |subject| pending.is_asked(subject);
        let strip = self.strip.as_ref().filter(|_| !moving);
        let places = pending.parts(Subject::Strip);
        if let Some(question) = strip.and_then(|strip| strip.question(PLACES, &places)) {
            return Some((Subject::Strip, Task::Strip(question)));
        }
        let sees_plan = self.sees(tabs::PLAN) && !moving;
        if sees_plan
            && !asked(Subject::Plan)
            && let Some(task) = analysis.plan_task(&self.bench)
        {
            return Some((Subject::Plan, task));
        }
        if sees_plan
            && !asked(Subject::Jig)
            && let Some(task) = self.jig_wanted().and_then(|wanted| analysis.jig_task(wanted))
        {
            return Some((Subject::Jig, task));
        }
        let beside = self.beside.as_ref().filter(|_| self.class.is_on && !asked(Subject::Beside));
        if let Some(beside) = beside.filter(|beside| beside.is_open(beside.size)) {
            return Some((Subject::Beside, beside.task(beside.size)));
        }
        let nodes = pending.parts(Subject::Map);
        let map = self.map_state.as_mut();
        if let Some(task) = map.and_then(|map| map.task(pending.workers, &nodes)) {
            return Some((Subject::Map, task));
        }
        if !moving
            && self.sees(tabs::OPTIMISE)
            && let Some(asks) = self.next_of_search(worker)
        {
            return Some(asks);
        }
        let (pending, analysis) = (&self.pending, &self.analysis);
        let asked = |subject| pending.is_asked(subject);
        if moving {
            return None;
        }
        if let Some(asks) = self.open_join(0..analysis.report.joins.len()) {
            return Some(asks);
        }
        let share_of = |open| pending.share_of(open);
        let parts = pending.parts(Subject::Hand);
        if sees_plan && let Some(task) = analysis.hand_task(&parts, share_of) {
            return Some((Subject::Hand, task));
        }
        if let Some(task) = analysis.jaws_task().filter(|_| !asked(Subject::Jaws(analysis.size))) {
            return Some((Subject::Jaws(analysis.size), task));
        }
        let joins = pending.parts(Subject::Uncorrected);
        if let Some(task) = analysis.uncorrected_task(&joins, share_of) {
            return Some((Subject::Uncorrected, task));
        }
        let unit = analysis.unit;
        let strip = self.strip.as_ref().filter(|_| !asked(Subject::Mandrels));
        if let Some(design) = strip.and_then(|strip| strip.mandrels_question(unit)) {
            return Some((Subject::Mandrels, Task::LeastMandrels { design: design.clone(), unit }));
        }
        let parts = |index| pending.parts(Subject::Refusal(index));
        let (index, task) = analysis.refusal_task(parts)?;
        Some((Subject::Refusal(index), task))
    }

    /// The search is asked of the worker that holds it, and of one worker only; another finds out how
    /// figures move, once there is a first answer.
    fn next_of_search(&mut self, worker: usize) -> Option<(Subject, Task)> {
        let (pending, state) = (&self.pending, &mut self.optimise_state);
        let asked = |subject| pending.is_asked(subject);
        let elsewhere = pending.searcher.is_some_and(|searcher| searcher != worker);
        if !elsewhere && !asked(Subject::Search) && !asked(Subject::Figures) {
            let task = state.task(&self.analysis, &self.controls, &self.bench);
            return task.or_else(|| state.moves_task(&self.analysis, asked));
        }
        let found = state.found.as_ref().filter(|_| !state.stale);
        found
            .is_some_and(|found| !found.answers.is_empty())
            .then(|| state.moves_task(&self.analysis, asked))?
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
        self.drop_subjects(|subject| subject == Subject::Strip);
    }

    /// Where the map is seen, has one that serves the design and the axes chosen; keeps the
    /// present one if it does. Elsewhere nothing of it is asked.
    fn prepare_map(&mut self) {
        let sees_map = self.sees(tabs::MAP);
        let axes = axes(&self.controls);
        let (design, size) = (&self.analysis.design, self.analysis.size);
        let is_asked = self.pending.is_asked(Subject::Map);
        let map_state = &mut self.map_state;
        if !sees_map {
            *map_state = map_state.take().filter(|c| is_asked || c.grid.is_done());
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
                let question = Question::round(design, size, axes);
                let grid = Grid::new(margin);
                *map_state = question.map(|question| MapState { question, grid, margin });
                self.drop_subjects(|subject| subject == Subject::Map);
            }
        }
    }

    /// There is no worker of this number, or it broke: the others do its work. Where there are none,
    /// the estimates stand.
    pub(super) fn worker_failed(&mut self, worker: usize, effects: &mut Vec<Effect>) {
        self.pending.ended(worker);
        if self.pending.is_spared() {
            return;
        }
        for worker in 0..MOST_WORKERS {
            if self.pending.asked.iter().any(|asked| asked.worker == worker) {
                self.end(worker, effects);
            }
        }
        self.pending.is_broken = true;
        self.analysis.unprovable = true;
    }

    /// Takes an answer of a worker; none where it failed over the question.
    pub(super) fn take_answer(
        &mut self,
        serial: u32,
        answer: Option<Answer>,
        effects: &mut Vec<Effect>,
    ) {
        let Some(PendingRequest { worker, subject, is_wanted, .. }) = self.pending.answered(serial)
        else {
            return;
        };
        let Some(answer) = answer else {
            let is_new = self.pending.is_new(worker);
            // The next question gets a new worker.
            self.end(worker, effects);
            // Where it is the first of this worker, another is asked again.
            if is_wanted && !(is_new && self.pending.is_spared()) {
                self.failed_over(subject);
            }
            return;
        };
        self.pending.stands(worker);
        if !is_wanted {
            return;
        }
        match (subject, answer) {
            (Subject::Join(index), Answer::Proven(proven)) => {
                self.analysis.take_proof(index, *proven);
            }
            (Subject::Beside, Answer::Proven(proven)) => {
                if let Some(beside) = &mut self.beside {
                    beside.take_proof(beside.size, *proven);
                }
            }
            (Subject::Map, Answer::Clearances(clearances)) => {
                if let Some(map_state) = &mut self.map_state {
                    clearances
                        .into_iter()
                        .for_each(|(node, clearance)| map_state.grid.set(node, clearance));
                }
            }
            (Subject::Strip, Answer::Strip(found)) => {
                if let Some(strip) = &mut self.strip {
                    strip.take(&found);
                }
            }
            (Subject::Jaws(size), Answer::OtherJaws(found)) => self.analysis.take_jaws(size, found),
            (Subject::Refusal(index), Answer::Refusal(part, is_proven)) => {
                self.analysis.take_refusal(index, part, is_proven);
            }
            (Subject::Mandrels, Answer::LeastMandrels(found)) => {
                if let Some(strip) = &mut self.strip {
                    strip.take_mandrels(self.analysis.unit, found);
                }
            }
            (Subject::Uncorrected, Answer::Uncorrected(parts)) => {
                for (index, part) in parts {
                    self.analysis.take_uncorrected(index, part);
                }
            }
            (Subject::Plan, Answer::Plan(planned)) => self.analysis.take_plan(*planned),
            (Subject::Hand, Answer::Hand(found)) => {
                found.iter().for_each(|found| self.analysis.take_hand(found));
            }
            (Subject::Jig, Answer::Jig(made)) => self.analysis.jig = Some(*made),
            (Subject::Figures | Subject::Search | Subject::Moves(_), answer) => {
                self.optimise_state.take(answer, &self.analysis);
            }
            (subject, _) => self.failed_over(subject),
        }
    }

    /// No worker can answer this.
    fn failed_over(&mut self, subject: Subject) {
        match subject {
            // The verdict does not hang on it.
            Subject::Strip => {
                self.strip = None;
                self.strip_failed = Some(self.analysis.design.clone());
            }
            Subject::Uncorrected => self.analysis.uncorrected = Some(None),
            Subject::Jaws(size) => self.analysis.take_jaws(size, None),
            Subject::Refusal(index) => self.analysis.take_refusal(index, 0, false),
            Subject::Mandrels => {
                if let Some(strip) = &mut self.strip {
                    strip.take_mandrels(self.analysis.unit, Default::default());
                }
            }
            Subject::Figures | Subject::Search | Subject::Moves(_) => self.optimise_state.failed(),
            Subject::Beside => {
                if let Some(beside) = &mut self.beside {
                    beside.unprovable = true;
                }
            }
            _ => self.analysis.unprovable = true,
        }
    }
}
