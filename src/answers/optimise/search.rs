//! Local searches over the search space: to the least miss, or with a figure as far as the wishes allow.

use super::Figure;
use super::figure::Need;
use super::goal::{Goals, Score};
use super::maximin::{MaximinSolver, Objective};
use super::search_space::SearchSpace;

/// Places a local search evaluates where shapes alone are known.
const SHAPES: usize = 400;
/// A local search is content with a miss of this share of the tolerance, and goes on for a gain of that.
const CARE: (f64, f64) = (0.02, 2e-3);
const GAIN: f64 = 0.05;
/// Limits left by so many times of what makes them calm are looked at when a push ends.
const FAR: f64 = 4.0;
/// A miss of this share of the tolerance is told as a first answer.
const USEFUL: f64 = 0.8;

/// The search space, and what is asked there.
#[derive(Debug)]
pub(super) struct WishSearch {
    pub search_space: SearchSpace,
    pub goals: Goals,
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
        );
        if let (Some((_, _, unit)), Some(last)) = (self.aim, values.last_mut()) {
            *last = last.map(|aimed| aimed / unit);
        }
        Some(values)
    }
}

impl WishSearch {
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
        let live = self.search_space.ranging();
        let local_search = MaximinSolver::new(&mut self.slope(None, need), at, &live, false, CARE)?;
        Some(LocalSearch { local_search, need, depths, lazy: true })
    }

    /// From a candidate that meets all goals on: a figure as far one way as they allow, after at most
    /// `evaluations` places; where it ends.
    pub fn pushed(&mut self, index: usize, figure: Figure, path: f64, evaluations: usize) -> usize {
        let pushed = self.push(index, figure, path, (evaluations, true)).unwrap_or(index);
        if self.score(pushed).meets() {
            return pushed;
        }
        // A limit that was far off was met on the way after all.
        self.push(index, figure, path, (evaluations, false)).unwrap_or(index)
    }

    fn push(
        &mut self,
        index: usize,
        figure: Figure,
        path: f64,
        (evaluations, lazy): (usize, bool),
    ) -> Option<usize> {
        let candidate = &self.search_space.candidates[index];
        let at = candidate.at.clone();
        let value = candidate.worked.as_ref()?.figure(figure, &self.search_space.context)?;
        let aim = Some((figure, path, figure.usual_tolerance(value)));
        let live = self.search_space.ranging();
        let mut slope = Slope { lazy, ..self.slope(aim, Need::SwingX) };
        let mut local_search = MaximinSolver::new(&mut slope, &at, &live, true, (CARE.0, GAIN))?;
        while !local_search.is_done() && local_search.evaluations() < evaluations {
            local_search.step(&mut slope);
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
        Slope { search_space: &mut self.search_space, goals: &self.goals, aim, need, lazy: false }
    }
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
}

impl LocalSearch {
    /// Where it stands.
    pub fn at(&self) -> &[f64] {
        self.local_search.at()
    }

    /// Whether it stands where all wishes are met.
    pub fn is_useful(&self) -> bool {
        self.need == Need::SwingX && self.local_search.level() >= -USEFUL
    }

    /// One step; whether there are more, within `evaluations` places as far as they cost.
    pub fn step(&mut self, search: &mut WishSearch, evaluations: usize) -> bool {
        let most = if self.need == Need::Shape { SHAPES } else { evaluations };
        if !self.local_search.is_done() && self.local_search.evaluations() < most {
            let mut slope = Slope { lazy: self.lazy, ..search.slope(None, self.need) };
            self.local_search.step(&mut slope);
            return true;
        }
        let live = search.search_space.ranging();
        let at = self.local_search.at().to_vec();
        let next = self.depths.pop();
        if next.is_none() && !self.lazy {
            return false;
        }
        self.lazy = next.is_some();
        self.need = next.unwrap_or(self.need);
        let slope = &mut search.slope(None, self.need);
        let Some(local_search) = MaximinSolver::new(slope, &at, &live, false, CARE) else {
            return false;
        };
        // A limit that was far off was met on the way after all.
        let goes_on = next.is_some() || local_search.level() < self.local_search.level() - GAIN;
        self.local_search = local_search;
        goes_on
    }
}
