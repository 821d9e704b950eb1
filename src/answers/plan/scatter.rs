//! The share of links that an uneven hand leaves unjoinable, and which dimension to watch.
//!
//! Model: ring, bore and fold of both links err independently and normally; a link fails
//! where the widest way found for it, threaded flat, has no clearance (`insertion::clearance`).
//! Method: the clearance's slopes at the middle give the share in closed form, Φ(−β), and the likeliest
//! failure, β spreads away. Half about the middle and half about that, a sample of true clearances
//! is drawn by a randomly shifted lattice of square roots of primes (Richtmyer) and weighed by the
//! true density over the drawn one (importance sampling at the design point, e.g. Melchers,
//! *Structural Reliability Analysis*); it corrects the closed form where the two disagree. Eight
//! shifts give the error.
//!
//! Mostly the way in has as much clearance as the joined pair that lies upright, which takes a
//! twentieth of the time to find. Where that holds just short of the likeliest failure, the slopes are
//! those of the pair upright, and a link of the sample is judged as it lies, upright or aslant, by the
//! way only where that is close.
//! Limits: rare failures far from the likeliest one are seen by chance alone. The sample is the
//! same every time.
//! Evidence: `tests/scatter.rs`, which holds every judgement against the way's.

use super::{Hand, HandDimension};
use crate::documents::design::t_95;
use crate::geometry::curve::Pose;
use crate::geometry::link::{Forming, ToolDimensions};
use crate::math::Rng;
use crate::motion::chain::{Body, Upright, aslant};
use crate::motion::insertion::{estimate, max_clearance, reaches_clearance};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, Normal};
use std::cell::Cell;

/// Both links' ring, bore and fold: the receiving link's first.
pub const ERRORS: usize = 6;
/// Which errs, in their order.
const WHICH: [HandDimension; 3] = [HandDimension::Ring, HandDimension::Bore, HandDimension::Fold];
/// Square roots of these are the lattice's steps.
const PRIMES: [f64; ERRORS] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0];
/// Shifts of the lattice: their spread is the error.
pub const SHIFTS: usize = 8;
/// No use to draw further out, in spreads: one in a thousand million.
const FURTHEST: f64 = 6.0;
/// The way in has as much clearance as the pair upright where they differ by less than this, in wires.
const ALIKE: f64 = 5e-4;
/// Where it is looked at for that, in spreads short of the likeliest failure.
const SHORT: f64 = 0.5;
/// A pair is not asked of the way that is upright with so much clearance, in wires, or that overlaps
/// so much upright and aslant.
const CLEAR: f64 = 4.0 * ALIKE;
const OVERLAP: f64 = 10.0 * CLEAR;

/// What is expected to fail.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Failing {
    /// Share of links.
    pub share: f64,
    /// The share is this much off at most, 95 times in 100, by the sample.
    pub within: f64,
    /// Clearance with everything as meant, mm; none where that cannot be formed.
    pub clearance: Option<f64>,
    /// Clearance lost for one spread of each error, mm: slopes times spreads.
    pub losses: [f64; ERRORS],
    /// Links looked at.
    pub clearances: usize,
    /// Whether any error has a spread.
    pub errs: bool,
    /// How the joined pair lies; none where a way in has another clearance than the pair upright.
    pub lying: Option<LyingPair>,
}

/// How a joined pair lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct LyingPair {
    /// Upright, with everything as meant: the rise, mm.
    pub rise: f64,
    /// Aslant, at the likeliest failure; none where it could not be formed.
    pub aslant: Option<Pose>,
}

impl Failing {
    /// The error that costs most clearance: of the incoming link or not, and which; none where none
    /// costs any.
    pub fn watch(&self) -> Option<(bool, HandDimension)> {
        let most =
            (0..ERRORS).max_by(|&a, &b| self.losses[a].abs().total_cmp(&self.losses[b].abs()));
        let most = most.filter(|&most| self.losses[most].abs() > 0.0)?;
        Some((most >= 3, WHICH[most % 3]))
    }

    /// Part of the scatter in clearance that is that error's.
    pub fn watch_share(&self) -> f64 {
        let squares = self.losses.map(|loss| loss * loss);
        let sum: f64 = squares.iter().sum();
        if sum > 0.0 { squares.into_iter().fold(0.0, f64::max) / sum } else { 0.0 }
    }

    /// Found by the slopes alone: corrected by every shift's part of a sample of `draws` each.
    pub fn corrected(&self, shifts: &[f64; SHIFTS], draws: usize) -> Failing {
        let Some(aim) = Aim::of(self) else { return *self };
        let mean = shifts.iter().sum::<f64>() / SHIFTS as f64;
        let squares: f64 = shifts.iter().map(|shift| (shift - mean).powi(2)).sum();
        let error = (squares / ((SHIFTS - 1) * SHIFTS) as f64).sqrt() * t_95(SHIFTS - 1);
        // Seen in none of n draws, a thing may still be in 3/n of them (the rule of three).
        let drawn_at = aim.drawn_at;
        let unseen = 3.0 / (SHIFTS * draws).max(1) as f64 * (-0.5 * drawn_at * drawn_at).exp();
        Failing {
            share: (Normal::standard().cdf(-aim.far) + mean).clamp(0.0, 1.0),
            within: error.max(unseen),
            clearances: self.clearances + SHIFTS * draws,
            ..*self
        }
    }
}

/// Where the sample is drawn, by the slopes.
struct Aim {
    /// From the middle to the likeliest failure, in spreads.
    far: f64,
    /// Where half of the sample is drawn.
    drawn_at: f64,
    /// That way.
    towards: [f64; ERRORS],
}

impl Aim {
    /// None where nothing errs or nothing can be formed.
    fn of(by_slopes: &Failing) -> Option<Aim> {
        let middle = by_slopes.clearance.filter(|_| by_slopes.errs)?;
        let losses = by_slopes.losses;
        let slope = losses.iter().map(|loss| loss * loss).sum::<f64>().sqrt();
        // Where no slope says where to look, all is drawn about the middle: what cannot be formed
        // may be near.
        let is_flat = !(slope > 0.0);
        let far = if is_flat { f64::INFINITY.copysign(middle) } else { middle / slope };
        let drawn_at = if is_flat { 0.0 } else { far.clamp(0.0, FURTHEST) };
        let towards = losses.map(|loss| if is_flat { 0.0 } else { -loss / slope });
        Some(Aim { far, drawn_at, towards })
    }
}

/// A pair of links and the hand that makes them.
pub struct ErringPair<'a> {
    /// What the receiving and the incoming link are set to.
    links: [&'a ToolDimensions; 2],
    spreads: [f64; ERRORS],
    /// How far bore and fold are off on the whole, mm.
    off: [f64; 2],
}

impl ErringPair<'_> {
    /// Links set to `incoming`, joined through links set to `receiving`, by this hand.
    pub fn new<'a>(
        receiving: &'a ToolDimensions,
        incoming: &'a ToolDimensions,
        hand: &Hand,
    ) -> ErringPair<'a> {
        let [ring, bore, fold] = WHICH.map(|dimension| hand.spread(dimension).spread);
        // How far off its rings are is in the springback already.
        let off = [HandDimension::Bore, HandDimension::Fold];
        let off = off.map(|dimension| hand.spread(dimension).certainly_off());
        let spreads = [ring, bore, fold, ring, bore, fold];
        ErringPair { links: [receiving, incoming], spreads, off }
    }

    fn made(&self, errors: &[f64; ERRORS]) -> Option<[Forming; 2]> {
        let off = [0.0, self.off[0], self.off[1]];
        erring(self.links, &std::array::from_fn(|i| errors[i] + off[i % 3]))
    }

    /// Which share fails, by the slopes alone.
    pub fn by_slopes(&self) -> Failing {
        self.as_it_lies().unwrap_or_else(|| {
            let clearance = |made: [Forming; 2]| max_clearance(&made[0], &made[1]);
            failing_by_slopes(|errors| self.made(errors).map(clearance), self.spreads)
        })
    }

    /// The same of the pair upright; none where a way in has another clearance just short of the
    /// likeliest failure.
    fn as_it_lies(&self) -> Option<Failing> {
        let bodies = |made: &[Forming; 2]| [Body::of(&made[0].fold), Body::of(&made[1].fold)];
        let [receiving, incoming] = bodies(&self.made(&[0.0; ERRORS])?);
        let Upright { rise, .. } = Upright::of(&receiving, &incoming);
        let clearance = |made: &[Forming; 2]| {
            let [receiving, incoming] = bodies(made);
            Upright::near(rise, &receiving, &incoming, f64::INFINITY).clearance
        };
        let found = failing_by_slopes(|errors| Some(clearance(&self.made(errors)?)), self.spreads);
        let Aim { far, towards, .. } = Aim::of(&found).filter(|aim| aim.far.is_finite())?;
        let made = |z: f64| self.made(&std::array::from_fn(|i| z * towards[i] * self.spreads[i]));
        let (far, close) = (far.min(FURTHEST), ALIKE * self.wire());
        let joined = made(far - SHORT)?;
        if !reaches_clearance(&joined[0], &joined[1], clearance(&joined) - close) {
            return None;
        }
        let aslant = made(far + SHORT).map(|failing| {
            let [receiving, incoming] = bodies(&failing);
            aslant((rise, None), &receiving, &incoming, self.least()).0
        });
        Some(Failing { lying: Some(LyingPair { rise, aslant }), ..found })
    }

    /// One shift's part of the sample that corrects it, of `draws` links.
    pub fn in_shift(&self, by_slopes: &Failing, shift: usize, draws: usize) -> f64 {
        let aslant = Cell::new(by_slopes.lying.and_then(|lying| lying.aslant));
        let joins = |made: [Forming; 2]| match by_slopes.lying.filter(|_| is_narrower(&made)) {
            Some(lying) => self.joins_as_it_lies(&made, lying.rise, &aslant),
            None => reaches_clearance(&made[0], &made[1], 0.0),
        };
        let fails = |errors: &[f64; ERRORS]| !self.made(errors).is_some_and(joins);
        correction(by_slopes, fails, self.spreads, shift, draws)
    }

    /// Whether links made so join; pairs like them lie upright at the rise `near`, and so `before`
    /// where the last lay aslant.
    fn joins_as_it_lies(
        &self,
        made: &[Forming; 2],
        near: f64,
        before: &Cell<Option<Pose>>,
    ) -> bool {
        let [receiving, incoming] = [&made[0], &made[1]].map(|made| Body::of(&made.fold));
        let close = CLEAR * self.wire();
        let clearance = Upright::near(near, &receiving, &incoming, close).clearance;
        if clearance >= close {
            return true;
        }
        if clearance < -close {
            let (pose, clearance) =
                aslant((near, before.get()), &receiving, &incoming, self.least());
            before.set(Some(pose));
            if clearance < self.least() {
                return false;
            }
        }
        reaches_clearance(&made[0], &made[1], 0.0)
    }

    /// Clearance aslant, mm, below which no way in is asked for.
    fn least(&self) -> f64 {
        -OVERLAP * self.wire()
    }

    fn wire(&self) -> f64 {
        self.links[0].wire.min(self.links[1].wire)
    }
}

/// Whether the incoming lobe is narrower than the opening that it goes through.
fn is_narrower([receiving, incoming]: &[Forming; 2]) -> bool {
    let estimate = estimate(receiving, incoming);
    estimate.aperture_length > estimate.lobe_width
}

/// Of links set to `incoming`, joined through links set to `receiving`, by this hand;
/// `draws` clearances a shift.
pub fn failing(
    receiving: &ToolDimensions,
    incoming: &ToolDimensions,
    hand: &Hand,
    draws: usize,
) -> Failing {
    let pair = ErringPair::new(receiving, incoming, hand);
    let by_slopes = pair.by_slopes();
    let shifts = std::array::from_fn(|shift| pair.in_shift(&by_slopes, shift, draws));
    by_slopes.corrected(&shifts, draws)
}

/// The receiving and the incoming link as they come out with these errors of ring, bore and fold, mm,
/// the receiving one's first; none where one cannot be formed.
pub fn erring(links: [&ToolDimensions; 2], errors: &[f64; ERRORS]) -> Option<[Forming; 2]> {
    let made = |setting: &ToolDimensions, errors: &[f64]| {
        let mut setting = *setting;
        setting.springback += errors[0];
        setting.bore += errors[1];
        setting.fold_jaw += errors[2];
        let sound = setting.bore > 0.0 && setting.fold_jaw > 0.0;
        sound.then(|| Forming::new(setting).ok()).flatten()
    };
    Some([made(links[0], &errors[..3])?, made(links[1], &errors[3..])?])
}

/// What the clearance, `middle` with no errors, changes by with each error of one of `steps`, from
/// either side where both can be had; and how many clearances that took.
pub fn slopes(
    clearance: impl Fn(&[f64; ERRORS]) -> Option<f64>,
    middle: f64,
    steps: [f64; ERRORS],
) -> ([f64; ERRORS], usize) {
    let mut clearances = 0;
    let changes = std::array::from_fn(|i| {
        if !(steps[i] > 0.0) {
            return 0.0;
        }
        clearances += 2;
        let side =
            |z: f64| clearance(&std::array::from_fn(|j| if i == j { z * steps[i] } else { 0.0 }));
        match (side(1.0), side(-1.0)) {
            (Some(more), Some(less)) => 0.5 * (more - less),
            (Some(more), None) => more - middle,
            (None, Some(less)) => middle - less,
            (None, None) => 0.0,
        }
    });
    (changes, clearances)
}

/// The share of normal errors, of these standard deviations, that is one that `fails`: one for which
/// `clearance` is below zero or nothing.
pub fn failing_share(
    clearance: impl Fn(&[f64; ERRORS]) -> Option<f64>,
    fails: impl Fn(&[f64; ERRORS]) -> bool,
    spreads: [f64; ERRORS],
    draws: usize,
) -> Failing {
    let by_slopes = failing_by_slopes(clearance, spreads);
    let shift = |shift| correction(&by_slopes, &fails, spreads, shift, draws);
    by_slopes.corrected(&std::array::from_fn(shift), draws)
}

/// The same by the slopes of the clearance alone.
fn failing_by_slopes(
    clearance: impl Fn(&[f64; ERRORS]) -> Option<f64>,
    spreads: [f64; ERRORS],
) -> Failing {
    // What has no clearance at all is as little joined as what cannot be formed.
    let clearance = |errors: &[f64; ERRORS]| clearance(errors).filter(|mm| mm.is_finite());
    let (losses, within) = ([0.0; ERRORS], 0.0);
    let Some(middle) = clearance(&[0.0; ERRORS]) else {
        let clearance = None;
        return Failing {
            share: 1.0,
            within,
            clearance,
            losses,
            clearances: 1,
            errs: true,
            lying: None,
        };
    };
    let (losses, evaluated) = slopes(clearance, middle, spreads);
    let by_slopes = Failing {
        share: if middle < 0.0 { 1.0 } else { 0.0 },
        within,
        clearance: Some(middle),
        losses,
        clearances: 1 + evaluated,
        errs: spreads.iter().any(|spread| *spread > 0.0),
        lying: None,
    };
    by_slopes.corrected(&[0.0; SHIFTS], 0)
}

/// What one shift of the lattice makes of the share that the slopes give.
fn correction(
    by_slopes: &Failing,
    fails: impl Fn(&[f64; ERRORS]) -> bool,
    spreads: [f64; ERRORS],
    shift: usize,
    draws: usize,
) -> f64 {
    let Some(Aim { far, drawn_at, towards }) = Aim::of(by_slopes) else { return 0.0 };
    let normal = Normal::standard();
    let mut rng = Rng::new(0x5EED);
    for _ in 0..shift * ERRORS {
        rng.next_f64();
    }
    let start: [f64; ERRORS] = std::array::from_fn(|_| rng.next_f64());
    let mut sum = 0.0;
    for draw in 0..draws {
        let drawn: [f64; ERRORS] = std::array::from_fn(|i| {
            let place = (start[i] + (draw / 2 + 1) as f64 * PRIMES[i].sqrt()).fract();
            normal.inverse_cdf(place.clamp(1e-12, 1.0 - 1e-12))
        });
        // Each place of the lattice serves both middles, the second time mirrored.
        let (middle, side) = if draw % 2 == 0 { (0.0, 1.0) } else { (drawn_at, -1.0) };
        let z: [f64; ERRORS] = std::array::from_fn(|i| side * drawn[i] + middle * towards[i]);
        let along: f64 = (0..ERRORS).map(|i| towards[i] * z[i]).sum();
        // True density over that of both middles together.
        let weight = 2.0 / (1.0 + (drawn_at * (along - 0.5 * drawn_at)).exp());
        let by_slopes = along > far;
        let failed = fails(&std::array::from_fn(|i| z[i] * spreads[i]));
        sum += weight * (f64::from(u8::from(failed)) - f64::from(u8::from(by_slopes)));
    }
    sum / draws.max(1) as f64
}
