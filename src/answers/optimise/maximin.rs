//! Maximin: the least of several objectives is raised as far as it goes.
//!
//! Method: the objectives are taken as linear within a reach, the step that raises the least of them
//! most is a linear programme ([`maximise_min`]), and the reach grows with success and shrinks
//! without. Slopes are differences, taken anew only where steps fail; between, each step corrects
//! them by what it met (Broyden's update). Where the programme promises no more, a kink between
//! two smooth pieces may still hide a way up: tries in random directions look for one.
//! Coordinates run from 0 to 1 in every direction; a place may have no objectives at all.
//! Limits: a search ends on a local optimum, not surely the greatest.
//! Source: Madsen, *An algorithm for minimax solution of overdetermined systems of non-linear
//! equations*, J. Inst. Maths Applics 16 (1975) 321 (read 2026-11-29 in a stored copy, without its page numbers); Broyden, *A class of methods for
//! solving nonlinear simultaneous equations*, Math. Comp. 19 (1965) 577.
//! Evidence: published test functions in `tests/optimise/maximin.rs`.

use crate::math::{Linear, Rng, TrustRegion, maximise_min};

/// Directions at most.
const MOST: usize = 7;
/// First, greatest and least reach, as shares of a range.
const FIRST_REACH: f64 = 0.1;
const GREATEST_REACH: f64 = 0.3;
const LEAST_REACH: f64 = 1e-6;
/// The least reach where values are looked at anew.
const AGAIN: f64 = 0.01;
/// Differences are taken over a quarter of the reach, within these.
const DIFFERENCE: (f64, f64) = (1e-3, 0.02);
/// Rounds of tries at a kink, the radius a third each time, from this.
const ROUNDS: u32 = 3;
const FIRST_TRY: f64 = 0.03;

/// What is raised.
pub trait Objective {
    /// The values at a place, as many at every place; none where there is nothing. −∞ stands where
    /// a figure does not exist. After the first one below `floor`, the others may be left out.
    fn values(&mut self, at: &[f64], floor: f64) -> Option<Vec<Option<f64>>>;

    /// The values at a place near one where they are `here`, to take slopes: those far from
    /// mattering may be given as they are here.
    fn values_near(&mut self, at: &[f64], here: &[Option<f64>]) -> Option<Vec<Option<f64>>> {
        let _ = here;
        self.values(at, f64::NEG_INFINITY)
    }

    /// The values a step away from where they are `here`, as [`Objective::values`]: those so far
    /// from mattering that the caller asks for them once, at the end, may be given as they are here.
    fn values_from(
        &mut self,
        at: &[f64],
        here: &[Option<f64>],
        floor: f64,
    ) -> Option<Vec<Option<f64>>> {
        let _ = here;
        self.values(at, floor)
    }
}

/// A value that slopes can be taken of.
fn finite(value: &Option<f64>) -> Option<f64> {
    value.filter(|value| value.is_finite())
}

/// A search under way.
#[derive(Clone, Debug)]
pub struct MaximinSolver {
    at: Vec<f64>,
    values: Vec<Option<f64>>,
    live: Vec<bool>,
    /// The last objective is one to raise without end, counted from where it stands.
    aims: bool,
    /// The least objective is high enough here.
    content: f64,
    /// A promise under this is not worth a step.
    gain: f64,
    slopes: Vec<[f64; MOST]>,
    /// The slopes are of this very place.
    fresh: bool,
    trust: TrustRegion,
    rng: Rng,
    tried: u32,
    round: u32,
    evaluations: usize,
    done: bool,
}

impl MaximinSolver {
    /// Starts at `at`, moving in the directions that are `live`; none where there is nothing at
    /// `at`. With `aims` the last objective is raised without end, once no other is below nothing.
    pub fn new(
        objective: &mut dyn Objective,
        at: &[f64],
        live: &[bool],
        aims: bool,
        (content, gain): (f64, f64),
    ) -> Option<MaximinSolver> {
        let values = objective.values(at, f64::NEG_INFINITY)?;
        let known = at.len() <= MOST && live.len() == at.len();
        known.then(|| MaximinSolver {
            at: at.to_vec(),
            slopes: Vec::new(),
            values,
            live: live.to_vec(),
            aims,
            content,
            gain,
            fresh: false,
            trust: TrustRegion { radius: FIRST_REACH, greatest: GREATEST_REACH },
            rng: Rng::new(1),
            tried: 0,
            round: 0,
            evaluations: 1,
            done: !live.contains(&true),
        })
    }

    /// Its place looked at anew where the objectives are better known; slopes and reach are kept. None where
    /// there is nothing.
    pub fn look_again(&mut self, objective: &mut dyn Objective) -> Option<()> {
        self.values = objective.values(&self.at, f64::NEG_INFINITY)?;
        self.evaluations += 1;
        self.trust.radius = self.trust.radius.max(AGAIN);
        (self.fresh, self.round) = (false, 0);
        self.done = !self.live.contains(&true);
        Some(())
    }

    /// Whether it has come to where the programme promises no more, and tries aside.
    pub fn is_stuck(&self) -> bool {
        self.round > 0
    }

    /// Where it stands.
    pub fn at(&self) -> &[f64] {
        &self.at
    }

    /// The objectives there.
    pub fn values(&self) -> &[Option<f64>] {
        &self.values
    }

    /// Places looked at so far.
    pub fn evaluations(&self) -> usize {
        self.evaluations
    }

    /// Whether there is no more to do.
    pub fn is_done(&self) -> bool {
        self.done
    }

    /// The least objective; what is aimed at counted from where it stands.
    pub fn level(&self) -> f64 {
        self.level_of(&self.values)
    }

    /// The least of `values`, what is aimed at counted from where it stands now. What was left out
    /// stands behind one that is lower.
    fn level_of(&self, values: &[Option<f64>]) -> f64 {
        let here = if self.aims { self.values.last().copied().flatten() } else { None };
        let (limits, aimed) = values.split_at(values.len() - usize::from(here.is_some()));
        let risen = aimed.iter().flatten().map(|there| there - here.unwrap_or_default());
        limits.iter().flatten().copied().chain(risen).fold(f64::INFINITY, f64::min)
    }

    /// One step: a few places looked at.
    pub fn step(&mut self, objective: &mut dyn Objective) {
        if self.done {
            return;
        }
        if self.level() >= -self.content && !self.aims {
            self.done = true;
            return;
        }
        if self.round > 0 {
            self.try_aside(objective);
            return;
        }
        if self.slopes.len() != self.values.len() {
            self.differences(objective);
        }
        let (step, promise) = self.programme();
        if !(promise > self.gain) || self.trust.radius < LEAST_REACH {
            if self.fresh {
                self.stuck();
            } else {
                self.slopes.clear();
            }
            return;
        }
        let next: Vec<f64> =
            self.at.iter().zip(step).map(|(x, s)| (x + s).clamp(0.0, 1.0)).collect();
        self.evaluations += 1;
        let level = self.level();
        let Some(met) = objective.values_from(&next, &self.values, level) else {
            self.trust.radius *= 0.3;
            return;
        };
        let kept = (self.level_of(&met) - level) / promise;
        self.correct(&step, &met);
        if self.trust.judge(kept) {
            (self.at, self.values) = (next, met);
            self.fresh = false;
        } else {
            // Where more was lost than promised, the functions bend at once.
            self.trust.radius *= if kept < -1.0 { 0.625 } else { 1.0 };
            if !self.fresh {
                self.slopes.clear();
            }
        }
    }

    /// Slopes by differences, upwards where the box reaches and anything is there.
    fn differences(&mut self, objective: &mut dyn Objective) {
        self.slopes = vec![[0.0; MOST]; self.values.len()];
        let width = (0.25 * self.trust.radius).clamp(DIFFERENCE.0, DIFFERENCE.1);
        for j in (0..self.at.len()).filter(|&j| self.live[j]) {
            let up = if self.at[j] + width <= 1.0 { width } else { -width };
            for by in [up, -up] {
                let mut near = self.at.clone();
                near[j] = (near[j] + by).clamp(0.0, 1.0);
                let moved = near[j] - self.at[j];
                self.evaluations += 1;
                let Some(met) = objective.values_near(&near, &self.values) else { continue };
                let mut whole = true;
                for ((slope, here), there) in self.slopes.iter_mut().zip(&self.values).zip(&met) {
                    let Some(here) = finite(here) else { continue };
                    match finite(there) {
                        None => whole = false,
                        Some(there) if moved != 0.0 => slope[j] = (there - here) / moved,
                        Some(_) => {}
                    }
                }
                if whole {
                    break;
                }
            }
        }
        self.fresh = true;
    }

    /// The best step within the reach and the box, and what it promises.
    fn programme(&self) -> ([f64; MOST], f64) {
        let (mut centre, mut half) = ([0.0; MOST], [0.0; MOST]);
        for j in (0..self.at.len()).filter(|&j| self.live[j]) {
            let low = -self.trust.radius.min(self.at[j]);
            let high = self.trust.radius.min(1.0 - self.at[j]);
            (centre[j], half[j]) = (0.5 * (low + high), 0.5 * (high - low));
        }
        let last = self.values.len().wrapping_sub(1);
        let functions: Vec<Linear<MOST>> = (self.values.iter().zip(&self.slopes).enumerate())
            .filter_map(|(i, (value, slope))| {
                let value = finite(value)?;
                let here = if self.aims && i == last { 0.0 } else { value };
                let shift: f64 = slope.iter().zip(&centre).map(|(s, c)| s * c).sum();
                Some(Linear { value: here + shift, slope: *slope })
            })
            .collect();
        let (mut step, raised) = maximise_min(&functions, &half);
        for (x, c) in step.iter_mut().zip(centre) {
            *x += c;
        }
        // From where a figure does not exist, whatever has one is a gain.
        (step, raised - self.level().max(f64::MIN))
    }

    /// Broyden's correction: along the step, slopes are what it met.
    fn correct(&mut self, step: &[f64; MOST], met: &[Option<f64>]) {
        let square: f64 = step.iter().map(|x| x * x).sum();
        if !(square > 0.0) {
            return;
        }
        for ((slope, here), there) in self.slopes.iter_mut().zip(&self.values).zip(met) {
            let (Some(here), Some(there)) = (finite(here), finite(there)) else { continue };
            let expected: f64 = slope.iter().zip(step).map(|(s, x)| s * x).sum();
            let missed = (there - here - expected) / square;
            for (s, x) in slope.iter_mut().zip(step) {
                *s += missed * x;
            }
        }
    }

    /// The programme promises no more: tries aside, or the end.
    fn stuck(&mut self) {
        self.tried = 0;
        self.round = 1;
        self.done = self.aims && self.level() < 0.0;
    }

    /// A try in a random direction, and the opposite one after it.
    fn try_aside(&mut self, objective: &mut dyn Objective) {
        let count = self.live.iter().filter(|live| **live).count() as u32;
        if self.tried >= 2 * count {
            (self.tried, self.round) = (0, self.round + 1);
            self.done = self.round > ROUNDS;
            return;
        }
        let radius = FIRST_TRY / 3f64.powi(self.round as i32 - 1);
        let mut aside = [0.0; MOST];
        for (x, _) in aside.iter_mut().zip(&self.live).filter(|(_, live)| **live) {
            *x = 2.0 * self.rng.next_f64() - 1.0;
        }
        let longest = aside.iter().fold(f64::MIN_POSITIVE, |most, x| most.max(x.abs()));
        let level = self.level();
        self.tried += 1;
        for sign in [1.0, -1.0] {
            let place = |(x, a): (&f64, &f64)| (x + sign * radius * a / longest).clamp(0.0, 1.0);
            let next: Vec<f64> = self.at.iter().zip(&aside).map(place).collect();
            self.evaluations += 1;
            let Some(met) = objective.values_from(&next, &self.values, level) else { continue };
            if self.level_of(&met) > level + self.gain {
                (self.at, self.values) = (next, met);
                self.slopes.clear();
                (self.fresh, self.round, self.trust.radius) = (false, 0, radius);
                return;
            }
        }
    }
}
