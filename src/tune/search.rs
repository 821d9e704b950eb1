//! Climbs over the ground: to the least miss, or with a figure as far as the wishes allow.

use super::Figure;
use super::climb::{Climb, Landscape};
use super::figure::Need;
use super::goal::{Goals, Score};
use super::ground::Ground;

/// Places a climb looks at where shapes alone are looked at.
const SHAPES: usize = 400;
/// A climb is content with a miss of this share of the tolerance, and goes on for a gain of that.
const CARE: (f64, f64) = (0.02, 2e-3);
const GAIN: f64 = 0.1;
/// A miss of this share of the tolerance is told as a first answer.
const USEFUL: f64 = 0.8;

/// The ground, and what is asked there.
#[derive(Debug)]
pub(super) struct Search {
    pub ground: Ground,
    pub goals: Goals,
}

/// The ground as a climb sees it.
pub(super) struct Slope<'a> {
    pub ground: &'a mut Ground,
    pub goals: &'a Goals,
    /// The figure aimed at, which way, and the unit it is counted in.
    pub aim: Option<(Figure, f64, f64)>,
    /// How far it looks.
    pub need: Need,
}

impl Landscape for Slope<'_> {
    fn heights(&mut self, at: &[f64], floor: f64) -> Option<Vec<f64>> {
        self.look(at, floor, None)
    }

    fn heights_near(&mut self, at: &[f64], here: &[f64]) -> Option<Vec<f64>> {
        self.look(at, f64::NEG_INFINITY, Some(here))
    }
}

impl Slope<'_> {
    fn look(&mut self, at: &[f64], floor: f64, here: Option<&[f64]>) -> Option<Vec<f64>> {
        let index = self.ground.candidate(at);
        let worked = self.ground.candidates[index].worked.clone()?;
        let aim = self.aim.map(|(figure, way, _)| (figure, way));
        let mut heights =
            self.goals.heights(&worked, &self.ground.stuff, aim, (self.need, floor), here);
        if let (Some((_, _, unit)), Some(last)) = (self.aim, heights.last_mut()) {
            *last /= unit;
        }
        Some(heights)
    }
}

impl Search {
    /// The score of a candidate, all of it known.
    pub fn score(&self, index: usize) -> Score {
        let candidate = &self.ground.candidates[index];
        candidate.worked.as_ref().map_or(Score::NONE, |worked| {
            self.goals.score(worked, &self.ground.stuff, Need::SwingX, candidate.change)
        })
    }

    /// The least miss from `at` on.
    pub fn fit(&mut self, at: &[f64]) -> Option<Fit> {
        let mut depths = self.goals.depths(self.ground.rooms.len());
        depths.reverse();
        let need = depths.pop()?;
        let live = self.ground.ranging();
        let mut slope = Slope { ground: &mut self.ground, goals: &self.goals, aim: None, need };
        let climb = Climb::new(&mut slope, at, &live, false, CARE)?;
        Some(Fit { climb, need, depths })
    }

    /// From a candidate that meets all goals on: a figure as far one way as they allow.
    pub fn push(&mut self, index: usize, figure: Figure, way: f64) -> Option<(Climb, f64)> {
        let candidate = &self.ground.candidates[index];
        let at = candidate.at.clone();
        let value = candidate.worked.as_ref()?.figure(figure, &self.ground.stuff)?;
        let unit = figure.usual_tolerance(value);
        let live = self.ground.ranging();
        let mut slope = self.slope(Some((figure, way, unit)), Need::SwingX);
        Some((Climb::new(&mut slope, &at, &live, true, (CARE.0, GAIN))?.hasty(), unit))
    }

    /// All of [`Search::push`] at once: where it ends, after at most `looks` places.
    pub fn pushed(&mut self, index: usize, figure: Figure, way: f64, looks: usize) -> usize {
        let Some((mut climb, unit)) = self.push(index, figure, way) else { return index };
        while !climb.is_done() && climb.looks() < looks {
            let aim = Some((figure, way, unit));
            climb.step(&mut self.slope(aim, Need::SwingX));
        }
        self.ground.candidate(climb.at())
    }

    /// All of [`Search::fit`] at once.
    pub fn fitted(&mut self, at: &[f64], looks: usize) -> usize {
        let Some(mut fit) = self.fit(at) else { return self.ground.candidate(at) };
        while fit.step(self, looks) {}
        self.ground.candidate(fit.climb.at())
    }

    fn slope(&mut self, aim: Option<(Figure, f64, f64)>, need: Need) -> Slope<'_> {
        Slope { ground: &mut self.ground, goals: &self.goals, aim, need }
    }
}

/// A fit under way: one climb after the other, each looking further.
#[derive(Debug)]
pub(super) struct Fit {
    climb: Climb,
    need: Need,
    /// Still to come, the last first.
    depths: Vec<Need>,
}

impl Fit {
    /// Where it stands.
    pub fn at(&self) -> &[f64] {
        self.climb.at()
    }

    /// Whether it stands where all wishes are met.
    pub fn is_useful(&self) -> bool {
        self.need == Need::SwingX && self.climb.level() >= -USEFUL
    }

    /// One step; whether there are more, within `looks` places as far as they cost.
    pub fn step(&mut self, search: &mut Search, looks: usize) -> bool {
        let most = if self.need == Need::Shape { SHAPES } else { looks };
        if !self.climb.is_done() && self.climb.looks() < most {
            self.climb.step(&mut search.slope(None, self.need));
            return true;
        }
        let Some(need) = self.depths.pop() else { return false };
        self.need = need;
        let live = search.ground.ranging();
        let at = self.climb.at().to_vec();
        match Climb::new(&mut search.slope(None, need), &at, &live, false, CARE) {
            Some(climb) => self.climb = climb,
            None => return false,
        }
        true
    }
}
