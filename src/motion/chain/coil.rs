//! How tightly a chain coils: every link turned against the one before as far as it goes.
//!
//! Equal steps lie on a circle. With `θ` the turn of a step and `t` its shift square to the
//! axis of the turn, the circle's centre is `t/2 + cot(θ/2) (n × t)/2` from the link's origin,
//! `n` the axis (a chord of length `|t|` under the angle `θ`).

use super::row::{Row, RowContact};
use super::{Body, Limit};
use crate::geometry::curve::{Point, Pose, Vector};

/// A coil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// Diameter of the round rod that just fits inside, mm; 0 where none does.
    pub inside: f64,
    /// Turn from each link to the next, radians.
    pub turn: f64,
    /// What stops it from coiling tighter.
    pub stop: Option<RowContact>,
}

/// Centre of the circle a row of equal steps lies on, and its axis; `None` for a step that
/// does not turn.
pub fn coil_axis(step: &Pose) -> Option<(Point, Vector)> {
    let turn = step.rotation.scaled_axis();
    let angle = turn.norm();
    if !(angle > 1e-9) {
        return None;
    }
    let axis = turn / angle;
    let shift = step.translation.vector;
    let flat = shift - axis.dot(&shift) * axis;
    let centre = 0.5 * flat + 0.5 / (0.5 * angle).tan() * axis.cross(&flat);
    Some((Point::from(centre), axis))
}

/// The coil whose every joint were like this one, of unequal links: the rod that fits inside
/// both.
pub fn coil_of(receiving: &Body, incoming: &Body, limit: &Limit) -> Coil {
    let inside = |link: &Body, pose: &Pose| {
        let back = pose.inverse();
        coil_axis(&limit.step).map_or(f64::INFINITY, |(centre, axis)| {
            rod(link, &(back * centre), &(back * axis), 0.0)
        })
    };
    let inside = inside(receiving, &Pose::identity()).min(inside(incoming, &limit.step));
    Coil { inside, turn: limit.angle, stop: limit.stop }
}

/// Diameter of the rod on the axis that just touches the link, turned by `turn` about z; mm.
fn rod(link: &Body, centre: &Point, axis: &Vector, turn: f64) -> f64 {
    let rotation = nalgebra::UnitQuaternion::from_axis_angle(&Vector::z_axis(), turn);
    // A place missed by the walk is at most step² κ / 8 nearer, under 3e-4 wires where the
    // wire is bent no tighter than to its own radius.
    let places = link.curve().walk(0.03 * link.wire);
    let from_axis = |p: &Point| (rotation * p - centre).cross(axis).norm();
    let least = places.iter().map(|(p, _)| from_axis(p)).fold(f64::INFINITY, f64::min);
    (2.0 * least - link.wire).max(0.0)
}

/// The coil of equal steps `step` of the links of `row`.
pub(super) fn coil(row: &Row, step: &Pose, stop: Option<RowContact>) -> Coil {
    let Some((centre, axis)) = coil_axis(step) else {
        return Coil { inside: f64::INFINITY, turn: 0.0, stop };
    };
    let first = row.pairs.iter().map(|&(first, _)| first).max().unwrap_or(0);
    let inside = (0..=first)
        .map(|k| rod(row.receiving, &centre, &axis, k as f64 * row.turn))
        .fold(f64::INFINITY, f64::min);
    Coil { inside, turn: step.rotation.angle(), stop }
}
