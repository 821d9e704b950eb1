//! Local searches over the search space: to the least miss, or with a figure as far as the wishes allow.

use super::Figure;
use super::continued::ContinuedFrom;
use super::figure::Need;
use super::goal::{Goals, Score};
use super::maximin::{MaximinSolver, Objective};
use super::search_space::{SearchSpace, distance};
use crate::math::map_indices;
use crate::motion::chain::Weave;

/// Places a local search evaluates where shapes alone are known.
const SHAPES: usize = 400;
/// A local search is content with a miss of this share of the tolerance, and goes on for a gain of that.
const CARE: (f64, f64) = (0.02, 2e-3);
const GAIN: f64 = 0.05;
/// Limits left by so many times of what makes them calm are looked at when a push ends.
const FAR: f64 = 4.0;
/// A miss of this share of the tolerance is told as a first answer.
const USEFUL: f64 = 0.8;
/// A push continues figures as far from a place measured, the greatest change as a share of its range.
const CONTINUED: f64 = 0.2;
/// Where its end is measured, and some limit is not kept or the figure differs by so many times the gain it goes
/// on for, so many places more are measured.
const DIFFERS: f64 = 10.0;
const FEW: usize = 8;
/// Searches by continuation, each from where the one before was measured.
const ROUNDS: usize = 4;

/// The search space, and what is asked there.
#[derive(Debug)]
pub(super) struct WishSearch {
    pub search_space: SearchSpace,
    pub goals: Goals,
}

/// A figure to be taken as far one way as all goals allow.
#[derive(Clone, Copy, Debug)]
pub(super) struct FigurePush {
    pub figure: Figure,
    /// 1 for high, −1 for low.
    pub path: f64,
    /// Places looked at, at most.
    pub evaluations: usize,
    /// A gain of less is not worth a step.
    pub worth: f64,
    /// Whether it tries aside where slopes promise no more.
    pub tries: bool,
}

/// The search space as a local search sees it.
pub(super) struct Slope<'a> {
    pub search_space: &'a mut SearchSpace,
    pub goals: &'a Goals,
    /// The figure aimed at, which way, and the unit it is counted in.
    pub aim: Option<(Figure, f64, f64)>,
    /// How far it looks.
    pub need: Need,
    /// Limits kept by far are not looked at on the way.
    pub lazy: bool,
    /// What figures are continued from; measured where none.
    pub anchor: Option<ContinuedFrom>,
    /// So much is taken off each objective, since measurement found less than continuation.
    pub back: Vec<f64>,
}

impl Objective for Slope<'_> {
    fn values(&mut self, at: &[f64], floor: f64) -> Option<Vec<Option<f64>>> {
        self.look(at, floor, None)
    }

    fn values_from(
        &mut self,
        at: &[f64],
        here: &[Option<f64>],
        floor: f64,
    ) -> Option<Vec<Option<f64>>> {
        self.look(at, floor, self.lazy.then_some((here, FAR)))
    }

    fn values_near(&mut self, at: &[f64], here: &[Option<f64>]) -> Option<Vec<Option<f64>>> {
        self.look(at, f64::NEG_INFINITY, Some((here, 1.0)))
    }
}

impl Slope<'_> {
    fn look(
        &mut self,
        at: &[f64],
        floor: f64,
        here: Option<(&[Option<f64>], f64)>,
    ) -> Option<Vec<Option<f64>>> {
        let index = self.search_space.candidate(at);
        let worked = self.search_space.candidates[index].worked.clone()?;
        let aim = self.aim.map(|(figure, path, _)| (figure, path));
        let mut values = self.goals.objectives(
            &worked,
            &self.search_space.context,
            aim,
            (self.need, floor),
            here,
            self.anchor.as_ref(),
        );
        for (value, back) in values.iter_mut().zip(&self.back) {
            *value = value.map(|value| value - back);
        }
        if let (Some((_, _, unit)), Some(last)) = (self.aim, values.last_mut()) {
            *last = last.map(|aimed| aimed / unit);
        }
        Some(values)
    }
}

impl WishSearch {
    /// So many searches apart from one another, each from what is known now; what each found.
    pub fn apart(
        &mut self,
        count: usize,
        work: impl Fn(&mut WishSearch, usize) -> Option<usize> + Sync,
    ) -> Vec<Option<usize>> {
        let here = &*self;
        let ended = map_indices(count, |i| {
            let (search_space, goals) = (here.search_space.copy(), here.goals.clone());
            let mut own = WishSearch { search_space, goals };
            let found = work(&mut own, i);
            (own.search_space, found)
        });
        let known = self.search_space.candidates.len();
        let adopted = ended.into_iter().map(|(copy, found)| {
            let places = self.search_space.adopt(copy, known);
            found.and_then(|index| places.get(index).copied())
        });
        adopted.collect()
    }

    /// The score of a candidate, all of it known.
    pub fn score(&self, index: usize) -> Score {
        let candidate = &self.search_space.candidates[index];
        candidate.worked.as_ref().map_or(Score::NONE, |worked| {
            self.goals.score(worked, &self.search_space.context, Need::SwingX, candidate.change)
        })
    }

    /// The least miss from `at` on.
    pub fn fit(&mut self, at: &[f64]) -> Option<LocalSearch> {
        let mut depths = self.goals.depths(self.search_space.variables.len());
        depths.reverse();
        let need = depths.pop()?;
        let local_search = self.measured(at, need)?;
        let best = self.start(&local_search);
        let start = self.continued_from(best, need);
        Some(LocalSearch {
            local_search,
            need,
            depths,
            lazy: true,
            start,
            rounds: 0,
            best,
            gained: false,
            back: Vec::new(),
            whole: true,
        })
    }

    /// A local search that starts at `at`, all measured.
    fn measured(&mut self, at: &[f64], need: Need) -> Option<MaximinSolver> {
        let live = self.search_space.ranging();
        MaximinSolver::new(&mut self.slope(None, need), at, &live, false, CARE)
    }

    /// Where a local search stands, all measured.
    fn start(&mut self, local_search: &MaximinSolver) -> Start {
        let index = self.search_space.candidate(local_search.at());
        Start { index, level: local_search.level() }
    }

    /// A start, if figures can be continued from there.
    fn continued_from(&self, start: Start, need: Need) -> Option<Start> {
        let continues = self.search_space.context.weave == Weave::SINGLE && need > Need::Shape;
        continues.then_some(start)
    }

    /// From a candidate that meets all goals on: a figure as far one way as they allow; where it ends.
    pub fn pushed(&mut self, index: usize, push: FigurePush) -> usize {
        let pushed = self.push(index, push, true).unwrap_or(index);
        if self.score(pushed).meets() {
            return pushed;
        }
        // A limit that was far off was met on the way after all.
        self.push(index, push, false).unwrap_or(index)
    }

    /// Figures measured at a candidate, continued from a place.
    fn anchor(&mut self, measured: usize, at: &[f64]) -> Option<ContinuedFrom> {
        let from = self.search_space.candidate(at);
        let worked = |index: usize| self.search_space.candidates[index].worked.clone();
        Some(ContinuedFrom { measured: worked(measured)?, from: worked(from)? })
    }

    /// Rest and turns are continued from places measured no further off than [`CONTINUED`]; where it ends all is
    /// measured, and it goes on a little from there where that differs.
    fn push(&mut self, index: usize, push: FigurePush, lazy: bool) -> Option<usize> {
        let FigurePush { figure, path, evaluations, worth, tries } = push;
        let candidate = &self.search_space.candidates[index];
        let mut measured = (index, candidate.at.clone());
        let value = candidate.worked.as_ref()?.figure(figure, &self.search_space.context)?;
        let unit = figure.usual_tolerance(value);
        let (aim, gain) = (Some((figure, path, unit)), GAIN.max(worth / unit));
        let live = self.search_space.ranging();
        let start = Start { index, level: 0.0 };
        let continues = lazy && self.continued_from(start, Need::SwingX).is_some();
        let mut slope = Slope { lazy, ..self.slope(aim, Need::SwingX) };
        let mut local_search =
            MaximinSolver::new(&mut slope, &measured.1, &live, true, (CARE.0, gain))?;
        let goes_on = |search: &MaximinSolver, most: usize, tries: bool| {
            !search.is_done() && search.evaluations() < most && (tries || !search.is_stuck())
        };
        while goes_on(&local_search, evaluations, tries) {
            if continues && distance(&measured.1, local_search.at()) > CONTINUED {
                let at = local_search.at().to_vec();
                measured = (self.search_space.candidate(&at), at);
                local_search.look_again(&mut self.slope(aim, Need::SwingX))?;
            }
            let at = local_search.at();
            let anchor = if continues { self.anchor(measured.0, at) } else { None };
            let mut slope = Slope { lazy, anchor, ..self.slope(aim, Need::SwingX) };
            local_search.step(&mut slope);
        }
        if continues {
            let aimed = |search: &MaximinSolver| search.values().last().copied().flatten();
            let promised = aimed(&local_search).unwrap_or_default();
            let mut slope = self.slope(aim, Need::SwingX);
            local_search.look_again(&mut slope)?;
            let off = aimed(&local_search).unwrap_or_default() - promised;
            if local_search.level() < 0.0 || off.abs() > DIFFERS * gain {
                let most = local_search.evaluations() + FEW;
                while goes_on(&local_search, most, false) {
                    local_search.step(&mut slope);
                }
            }
        }
        Some(self.search_space.candidate(local_search.at()))
    }

    /// The candidate nearest to one of which every dimension may be offered.
    pub fn offered(&mut self, index: usize) -> usize {
        let at = self.search_space.candidates[index].at.clone();
        self.search_space.offered_round(&at).first().copied().unwrap_or(index)
    }

    /// All of [`WishSearch::fit`] at once.
    pub fn fitted(&mut self, at: &[f64], evaluations: usize) -> usize {
        let Some(mut fit) = self.fit(at) else { return self.search_space.candidate(at) };
        while fit.step(self, evaluations) {}
        self.search_space.candidate(fit.local_search.at())
    }

    fn slope(&mut self, aim: Option<(Figure, f64, f64)>, need: Need) -> Slope<'_> {
        Slope {
            search_space: &mut self.search_space,
            goals: &self.goals,
            aim,
            need,
            lazy: false,
            anchor: None,
            back: Vec::new(),
        }
    }
}

/// Where figures are continued from.
#[derive(Clone, Copy, Debug)]
struct Start {
    index: usize,
    /// The least objective measured there.
    level: f64,
}

/// A fit under way: one local search after the other, each knowing more figures.
#[derive(Debug)]
pub(super) struct LocalSearch {
    local_search: MaximinSolver,
    need: Need,
    /// Still to come, the last first.
    depths: Vec<Need>,
    /// Limits kept by far are not looked at before it ends.
    lazy: bool,
    /// Where figures are continued from; none where all are measured.
    start: Option<Start>,
    /// How often they were continued from somewhere new.
    rounds: usize,
    /// The best measured since it began to continue, and whether that is better than where it began.
    best: Start,
    gained: bool,
    /// See [`Slope::back`].
    back: Vec<f64>,
    /// It stands where all was measured.
    whole: bool,
}

impl LocalSearch {
    /// Where it stands.
    pub fn at(&self) -> &[f64] {
        self.local_search.at()
    }

    /// Whether it stands where all wishes are met.
    pub fn is_useful(&self) -> bool {
        self.whole && self.need == Need::SwingX && self.local_search.level() >= -USEFUL
    }

    /// One step; whether there are more, within `evaluations` places as far as they cost.
    pub fn step(&mut self, search: &mut WishSearch, evaluations: usize) -> bool {
        let most = if self.need == Need::Shape { SHAPES } else { evaluations };
        if !self.local_search.is_done() && self.local_search.evaluations() < most {
            let at = self.local_search.at();
            let anchor = self.start.and_then(|start| search.anchor(start.index, at));
            let back = self.back.clone();
            let slope = search.slope(None, self.need);
            let mut slope = Slope { lazy: self.lazy, anchor, back, ..slope };
            self.local_search.step(&mut slope);
            self.whole = self.start.is_none();
            return true;
        }
        if let Some(start) = self.start {
            return self.measure(search, start);
        }
        if self.depths.is_empty() && !self.lazy {
            return false;
        }
        self.lazy = !self.depths.is_empty();
        let next = self.depths.pop();
        self.need = next.unwrap_or(self.need);
        let Some(local_search) = search.measured(self.local_search.at(), self.need) else {
            return false;
        };
        // A limit that was far off was met on the way after all.
        let goes_on = next.is_some() || local_search.level() < self.local_search.level() - GAIN;
        self.begin(search, local_search, next.is_some());
        goes_on
    }

    fn begin(&mut self, search: &mut WishSearch, local_search: MaximinSolver, continues: bool) {
        let here = search.start(&local_search);
        self.start = if continues { search.continued_from(here, self.need) } else { None };
        (self.local_search, self.rounds, self.whole) = (local_search, 0, true);
        (self.best, self.gained) = (here, false);
        self.back.clear();
    }

    /// At the end of a search by continuation: what it found, measured. On from there, where that differs; from
    /// where it began without continuation, where nothing was better.
    fn measure(&mut self, search: &mut WishSearch, start: Start) -> bool {
        let promised = self.local_search.level();
        let at = self.local_search.at().to_vec();
        let end = search.search_space.candidate(&at);
        let Some(local_search) = search.measured(&at, self.need) else { return false };
        let level = local_search.level();
        if level > self.best.level + CARE.1 {
            self.best = Start { index: end, level };
            self.gained = true;
        }
        let moved = end != start.index;
        if moved && level < -CARE.0 && level < promised - GAIN && self.rounds < ROUNDS {
            // A limit is taken back by what measurement found less than promised.
            self.back.resize(local_search.values().len(), 0.0);
            let limits = search.goals.limits(self.need);
            for ((back, value), limit) in
                self.back.iter_mut().zip(local_search.values()).zip(limits)
            {
                let short = value.map_or(0.0, |value| promised - value);
                *back += if limit && short.is_finite() { short.max(0.0) } else { 0.0 };
            }
            let live = search.search_space.ranging();
            let mut slope = Slope { back: self.back.clone(), ..search.slope(None, self.need) };
            let Some(local_search) = MaximinSolver::new(&mut slope, &at, &live, false, CARE) else {
                return false;
            };
            (self.local_search, self.whole) = (local_search, false);
            self.start = Some(Start { index: end, level });
            self.rounds += 1;
            return true;
        }
        let at = search.search_space.candidates[self.best.index].at.clone();
        let Some(local_search) = search.measured(&at, self.need) else { return false };
        let again = !self.gained && (moved || self.rounds > 0);
        self.begin(search, local_search, false);
        self.lazy = again;
        if again {
            return true;
        }
        // All is known here: to the next depth, or to the end.
        let Some(next) = self.depths.pop() else { return false };
        self.need = next;
        self.lazy = true;
        let Some(local_search) = search.measured(self.at(), next) else { return false };
        self.begin(search, local_search, true);
        true
    }
}
