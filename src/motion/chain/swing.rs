//! How far a link swings about x or y, or twists about z, against the one before.
//!
//! At each angle the link is moved to where it has clearance enough, or most clearance; the limit is the angle at which
//! that clearance is used up. Between the angles tried the way is proved clear, to within [`FINE`] of the limit: of
//! two links by [`stays_clear`], of more by moving them by no more than the clearance they have.
//! Limits: the clearance at an angle is a local optimum found from the one before; were there a higher
//! one elsewhere, the limit would be understated, never overstated.

use super::maximin::{SHIFTS, StopRule, maximise, maximise_along};
use super::row::{Row, RowContact};
use crate::geometry::curve::{Pose, Vector};
use crate::geometry::distance::{EvenMotion, stays_clear};
use crate::geometry::link::WRAP_DEVIATION;
use nalgebra::Unit;

/// How finely limits are found, radians: a twentieth of a degree.
pub const FINE: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// How far a link turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Radians from rest; never overstated, understated by at most [`FINE`].
    pub angle: f64,
    /// What stops it; `None` where nothing does up to the angle asked for.
    pub stop: Option<RowContact>,
    /// The step there.
    pub step: Pose,
}

/// Largest change of angle between two searches, radians: 12°.
const LARGEST: f64 = 12.0 * std::f64::consts::PI / 180.0;
/// Angles tried in all; 8 to 12 are usual.
const TRIES: usize = 60;
/// Clearance enough on the way, in wires: with this much a link need not wander to where it has most.
const ENOUGH: f64 = 0.2;
/// The way is proved clear to this share of a wire: the curves are no nearer to the true wrap.
const SLACK: f64 = WRAP_DEVIATION;
/// Stretches of a way halved before it counts as not clear; a dozen are usual.
const STRETCHES: usize = 200;
/// A stretch over which metal moves by less than this, in slacks, is not halved.
const SHORTEST: f64 = 0.1;
/// Detours between two angles.
const DETOURS: u32 = 6;
/// Searches stop at a gain of this share of a wire: worth less than a hundredth of a degree.
const GAIN: f64 = 1e-4;

/// The limit of turning from `start`, a clear step, about `axis` (right-handed), up to `most`
/// radians.
pub fn limit(row: &Row, start: &Pose, axis: Unit<Vector>, most: f64) -> Limit {
    let rotated = |from: &Pose, angle: f64, shift: Vector| {
        let turn = angle * axis.into_inner();
        row.twisted(from, &[shift.x, shift.y, shift.z, turn.x, turn.y, turn.z])
    };
    let mut trail = Vec::new();
    let first = maximise(row, start, SHIFTS, content(row));
    let mut clear = (0.0, first);
    if !(first.touch.clearance > 0.0) {
        return Limit { angle: 0.0, stop: Some(first.touch), step: *start };
    }
    let mut overlap: Option<(f64, RowContact)> = None;
    // How the place with most clearance wanders, mm per radian.
    let mut drift = Vector::zeros();
    let mut stride = 0.2 * LARGEST;
    let mut next = stride;
    for _ in 0..TRIES {
        let (from, optimum) = clear;
        if from >= most {
            return Limit { angle: most, stop: None, step: optimum.step };
        }
        let angle = next.min(most);
        let turned = angle - from;
        let shift = (drift * turned).cap_magnitude(0.3 * row.scale());
        let begin = rotated(&optimum.step, turned, shift);
        let tried = maximise_along(row, &begin, SHIFTS, content(row), &mut trail);
        let clearance = tried.touch.clearance;
        // Clearance used up from the last clear angle to this one, mm per radian.
        let fall = (optimum.touch.clearance - clearance) / turned;
        if clearance <= 0.0 {
            overlap = Some((angle, tried.touch));
            next = from + (optimum.touch.clearance / fall).clamp(0.1 * turned, 0.9 * turned);
        } else if clear_between(row, &optimum.step, &tried.step, &mut DETOURS.clone())
            || clear_by(row, &optimum.step, &trail)
        {
            drift = (middle(row, &tried.step) - middle(row, &optimum.step)) / turned;
            clear = (angle, tried);
            stride = (2.0 * stride).min(LARGEST);
            // To where the clearance would be used up, a little beyond.
            let ahead = if fall > 0.0 { 1.05 * clearance / fall } else { stride };
            next = angle + ahead.clamp(0.5 * FINE, stride);
            if let Some((far, touch)) = overlap {
                let gap = far - angle;
                let ahead = clearance * gap / (clearance - touch.clearance);
                next = angle + ahead.clamp(0.1 * gap, 0.9 * gap).min(stride);
            }
        } else {
            // A place there is, but no way to it was found from here.
            if turned <= FINE {
                return Limit { angle: from, stop: Some(tried.touch), step: optimum.step };
            }
            stride = 0.5 * turned;
            next = from + stride;
            drift = Vector::zeros();
        }
        if let Some((far, touch)) = overlap
            && far - clear.0 <= FINE
        {
            return Limit { angle: clear.0, stop: Some(touch), step: clear.1.step };
        }
    }
    Limit { angle: clear.0, stop: Some(clear.1.touch), step: clear.1.step }
}

fn content(row: &Row) -> StopRule {
    StopRule { clearance: ENOUGH * row.scale(), ..StopRule::at_optimum(GAIN * row.scale()) }
}

fn middle(row: &Row, step: &Pose) -> Vector {
    (step * row.incoming.pivot).coords
}

/// Whether the way from one step by all of a trail is clear.
fn clear_by(row: &Row, from: &Pose, trail: &[Pose]) -> bool {
    let mut from = from;
    trail.iter().all(|to| {
        let clear = clear_between(row, from, to, &mut 0);
        from = to;
        clear
    })
}

/// Whether the straight way from one step to another is clear all along; where it is not,
/// up to `detours` times in all by way of a place halfway with most clearance.
fn clear_between(row: &Row, from: &Pose, to: &Pose, detours: &mut u32) -> bool {
    let (start, end) = (middle(row, from), middle(row, to));
    let axis = (to.rotation * from.rotation.inverse()).scaled_axis();
    let own = row.incoming.pivot.coords;
    let rise = (start - own).norm().max((end - own).norm());
    let travel = row.travel((end - start).norm(), axis.norm(), rise).max(f64::MIN_POSITIVE);
    let between = |fraction: f64| {
        let (shift, turn) = (fraction * (end - start), fraction * axis);
        row.twisted(from, &[shift.x, shift.y, shift.z, turn.x, turn.y, turn.z])
    };
    let slack = SLACK * row.scale();
    let is_clear = if row.is_pair() {
        swept_clear(row, &between, (end - start, axis, travel), slack)
    } else {
        marched_clear(row, &between, travel, slack)
    };
    if is_clear || *detours == 0 {
        return is_clear;
    }
    *detours -= 1;
    let detour = maximise(row, &between(0.5), SHIFTS, content(row));
    clear_between(row, from, &detour.step, detours) && clear_between(row, &detour.step, to, detours)
}

/// Whether two links stay clear, but for `slack` mm, along the way of one that moves evenly by a shift,
/// mm, and a turn, radians, no point of it by more than a travel, mm: stretches that are not shown clear
/// are halved.
fn swept_clear(
    row: &Row,
    between: &impl Fn(f64) -> Pose,
    (shift, turn, travel): (Vector, Vector, f64),
    slack: f64,
) -> bool {
    let mut hints = Vec::new();
    let mut open = vec![(0.0, 1.0)];
    let mut looked_at = 0;
    while let Some((low, high)) = open.pop() {
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
        let pose = between(middle);
        let centre = pose * row.incoming.pivot;
        let motion = EvenMotion { pose, centre, shift: half * shift, turn: half * turn };
        let least = row.metal() - slack;
        if stays_clear(&row.receiving.tree, &row.incoming.tree, &motion, least) {
            continue;
        }
        looked_at += 1;
        if looked_at > STRETCHES || half * travel <= SHORTEST * slack {
            return false;
        }
        let clearance = row.at_least(&pose, 0.1 * slack, &mut hints);
        if clearance <= -0.9 * slack {
            return false;
        }
        open.push((middle, high));
        open.push((low, middle));
    }
    true
}

/// The same for a row of more links, none of which moves further than `travel` mm: clearance at a place
/// clears the way as far to both sides as no metal can have moved by more.
fn marched_clear(row: &Row, between: &impl Fn(f64) -> Pose, travel: f64, slack: f64) -> bool {
    let mut hints = Vec::new();
    let (mut cleared, mut ahead) = (0.0_f64, 0.0_f64);
    while cleared < 1.0 {
        // As far beyond what is cleared as the clearance met last would clear backwards.
        let at = cleared + ahead;
        let clearance = row.at_least(&between(at.min(1.0)), 0.1 * slack, &mut hints);
        let both = (clearance + slack) / travel;
        if both > 0.1 * slack / travel && at - both <= cleared {
            cleared = at + both;
            ahead = 0.9 * both;
        } else if ahead > 0.0 {
            ahead = if ahead * travel > 0.5 * slack { 0.4 * ahead } else { 0.0 };
        } else {
            return false;
        }
    }
    true
}
