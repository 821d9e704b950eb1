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
//! Limits: rare failures far from the likeliest one are seen by chance alone. The sample is the
//! same every time.
//! Evidence: `tests/scatter.rs`.

use super::{Hand, HandDimension};
use crate::documents::design::t_95;
use crate::geometry::link::{Forming, ToolDimensions};
use crate::math::Rng;
use crate::motion::insertion::{max_clearance, reaches_clearance};
use statrs::distribution::{ContinuousCDF, Normal};

/// Both links' ring, bore and fold: the receiving link's first.
pub const ERRORS: usize = 6;
/// Which errs, in their order.
const WHICH: [HandDimension; 3] = [HandDimension::Ring, HandDimension::Bore, HandDimension::Fold];
/// Square roots of these are the lattice's steps.
const PRIMES: [f64; ERRORS] = [2.0, 3.0, 5.0, 7.0, 11.0, 13.0];
/// Shifts of the lattice: their spread is the error.
const SHIFTS: usize = 8;
/// No use to draw further out, in spreads: one in a thousand million.
const FURTHEST: f64 = 6.0;

/// What is expected to fail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Failing {
    /// Share of links.
    pub share: f64,
    /// The share is this much off at most, 95 times in 100, by the sample.
    pub within: f64,
    /// Clearance with everything as meant, mm; none where that cannot be formed.
    pub clearance: Option<f64>,
    /// Clearance lost for one spread of each error, mm: slopes times spreads.
    pub losses: [f64; ERRORS],
    /// Clearances worked out.
    pub clearances: usize,
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
}

/// Of links set to `incoming`, joined through links set to `receiving`, by this hand;
/// `draws` clearances a shift.
pub fn failing(
    receiving: &ToolDimensions,
    incoming: &ToolDimensions,
    hand: &Hand,
    draws: usize,
) -> Failing {
    let spreads = WHICH.map(|dimension| hand.spread(dimension).spread);
    // How far off its rings are is in the springback already.
    let off = [HandDimension::Bore, HandDimension::Fold].map(|d| hand.spread(d).certainly_off());
    let made = |errors: &[f64; ERRORS]| {
        let errors = std::array::from_fn(|i| errors[i] + [0.0, off[0], off[1]][i % 3]);
        erring([receiving, incoming], &errors)
    };
    failing_share(
        |errors| made(errors).map(|[receiving, incoming]| max_clearance(&receiving, &incoming)),
        |errors| {
            made(errors)
                .is_none_or(|[receiving, incoming]| !reaches_clearance(&receiving, &incoming, 0.0))
        },
        [spreads, spreads].concat().try_into().expect("three and three"),
        draws,
    )
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
    let normal = Normal::standard();
    let Some(middle) = clearance(&[0.0; ERRORS]) else {
        return Failing {
            share: 1.0,
            within: 0.0,
            clearance: None,
            losses: [0.0; ERRORS],
            clearances: 1,
        };
    };
    let mut clearances = 1;
    let (losses, evaluated) = slopes(&clearance, middle, spreads);
    clearances += evaluated;
    let slope = losses.iter().map(|loss| loss * loss).sum::<f64>().sqrt();
    let answer = |share: f64, within, clearances| Failing {
        share: share.clamp(0.0, 1.0),
        within,
        clearance: Some(middle),
        losses,
        clearances,
    };
    if spreads.iter().all(|spread| !(*spread > 0.0)) {
        return answer(if middle < 0.0 { 1.0 } else { 0.0 }, 0.0, clearances);
    }
    // Where no slope says where to look, all is drawn about the middle: what cannot be formed may
    // be near.
    let is_flat = !(slope > 0.0);
    let far = if is_flat { f64::INFINITY.copysign(middle) } else { middle / slope };
    let drawn_at = if is_flat { 0.0 } else { far.clamp(0.0, FURTHEST) };
    let towards = losses.map(|loss| if is_flat { 0.0 } else { -loss / slope });
    let mut rng = Rng::new(0x5EED);
    let shifts = [(); SHIFTS].map(|()| {
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
    });
    clearances += SHIFTS * draws;
    let mean = shifts.iter().sum::<f64>() / SHIFTS as f64;
    let squares: f64 = shifts.iter().map(|shift| (shift - mean).powi(2)).sum();
    let error = (squares / ((SHIFTS - 1) * SHIFTS) as f64).sqrt() * t_95(SHIFTS - 1);
    // Seen in none of n draws, a thing may still be in 3/n of them (the rule of three).
    let unseen = 3.0 / (SHIFTS * draws).max(1) as f64 * (-0.5 * drawn_at * drawn_at).exp();
    answer(normal.cdf(-far) + mean, error.max(unseen), clearances)
}
