//! The best clearance over the free motions of a step: a maximum of a minimum.
//!
//! Method: sequential linear programmes. The constraints of a programme are the closest points of wires
//! nearly as near as the nearest, and those that were so a few steps before, fixed to their links: they
//! never come nearer than the wires do, so an old constraint only ever overstates the clearance, and the
//! next step's own ones correct it. Each step stays within a trust region that grows with success
//! and shrinks without.
//! Limits: a local search; the clearance found is real, a greater one elsewhere is not excluded.
//! Source: Fletcher, *Practical Methods of Optimization*, 2nd ed., ch. 14 (from memory).

use super::row::{ContactPair, Row, RowContact};
use crate::geometry::curve::Pose;
use crate::math::{Linear, TrustRegion, maximise_min};

/// Free motions of a step: which of three shifts and three turns.
pub(super) type FreeDirections = [bool; 6];

/// Shifts only.
pub(super) const SHIFTS: FreeDirections = [true, true, true, false, false, false];

/// An optimum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct StepOptimum {
    pub step: Pose,
    pub touch: RowContact,
}

/// Programmes solved before the search ends where it is; 5 to 12 are usual.
const PROGRAMMES: usize = 60;
/// First and greatest reach, in wires.
const FIRST_REACH: f64 = 0.05;
const GREATEST_REACH: f64 = 0.2;
/// Closest points this much further apart than the nearest are constraints, in wires.
const BAND: f64 = 0.03;
/// Old constraints this much further than the nearest are dropped, in reaches.
const STALE: f64 = 4.0;

/// When the search may stop, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct StopRule {
    /// A programme promises less than this.
    pub gain: f64,
    /// There is this much clearance.
    pub clearance: f64,
    /// A programme promises less than this share of what that is short of: it would take too long; 0
    /// where it may take as long as it does.
    pub share: f64,
}

impl StopRule {
    /// Only at the optimum, to `gain` mm.
    pub fn at_optimum(gain: f64) -> StopRule {
        StopRule { gain, clearance: f64::INFINITY, share: 0.0 }
    }
}

/// From `start` to the most clearance near it.
pub(super) fn maximise(
    row: &Row,
    start: &Pose,
    free: FreeDirections,
    content: StopRule,
) -> StepOptimum {
    maximise_along(row, start, free, content, &mut Vec::new())
}

/// The same; notes every iterate in `trail`, the start first.
pub(super) fn maximise_along(
    row: &Row,
    start: &Pose,
    free: FreeDirections,
    content: StopRule,
    trail: &mut Vec<Pose>,
) -> StepOptimum {
    trail.clear();
    trail.push(*start);
    let wire = row.scale();
    let lever = row.incoming.reach;
    let mut trust = TrustRegion { radius: FIRST_REACH * wire, greatest: GREATEST_REACH * wire };
    let mut here = LinearModel::at(row, start, Vec::new());
    for _ in 0..PROGRAMMES {
        if here.touch.clearance >= content.clearance {
            break;
        }
        let reaches: [f64; 6] = std::array::from_fn(|i| match (free[i], i < 3) {
            (false, _) => 0.0,
            (true, true) => trust.radius,
            (true, false) => trust.radius / lever,
        });
        let (twist, promised) = maximise_min(&here.functions, &reaches);
        let promise = promised - here.touch.clearance;
        let short = content.clearance - here.touch.clearance;
        if !(promise > content.gain) || content.share > 0.0 && promise < content.share * short {
            break;
        }
        let next = row.twisted(&here.step, &twist);
        let useful = promised + STALE * trust.radius;
        let known = here.pairs.iter().zip(&here.functions);
        let pairs = known.filter(|(_, f)| f.value < useful).map(|(pair, _)| *pair).collect();
        let there = LinearModel::at(row, &next, pairs);
        let kept = (there.touch.clearance - here.touch.clearance) / promise;
        if trust.judge(kept) {
            here = there;
            trail.push(here.step);
        } else {
            // Not a step, but its constraints are known from now on.
            here = LinearModel::of(row, &here.step, there.pairs, here.touch);
            if trust.radius < 0.1 * content.gain {
                break;
            }
        }
    }
    StepOptimum { step: here.step, touch: here.touch }
}

/// The constraints at a step, and each as a linear function.
struct LinearModel {
    step: Pose,
    touch: RowContact,
    pairs: Vec<ContactPair>,
    functions: Vec<Linear<6>>,
}

impl LinearModel {
    /// At a new step: its own constraints, and `known` ones.
    fn at(row: &Row, step: &Pose, mut pairs: Vec<ContactPair>) -> LinearModel {
        let known = pairs.len();
        row.closest_pairs(step, BAND * row.scale(), &mut pairs);
        let back = step.inverse();
        let own = pairs[known..].iter().map(|pair| row.tilt(step, &back, pair).1);
        let touch = own.min_by(|a, b| a.clearance.total_cmp(&b.clearance));
        let touch = touch.unwrap_or_else(|| row.nearest(step));
        LinearModel::of(row, step, pairs, touch)
    }

    fn of(row: &Row, step: &Pose, pairs: Vec<ContactPair>, touch: RowContact) -> LinearModel {
        let back = step.inverse();
        let functions = pairs.iter().map(|pair| row.tilt(step, &back, pair).0).collect();
        LinearModel { step: *step, touch, pairs, functions }
    }
}
