//! The lines beside a link's wire in the plane: its edges, and what it would be cut out by.
//!
//! Parallels of a flat centreline are arcs about the same centres and straights beside the
//! straights. A folded loop seen along its fold is the line of symmetry between its strands
//! ([`Fold::spine`]) drawn with a round pen as wide as the wire, since every part of the wire lies
//! straight behind or before that line; its silhouette is what a band drawn round it covers.
//! Arcs are written as chords no further than [`CHORD_ERROR`] from them, with corners exactly
//! where they reach furthest along and across, so that extents are exact.

use super::{Fold, Forming};
use crate::geometry::curve::{ClosedCurve, Piece};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Greatest distance between a chord and its arc, mm: a fifth of what is promised of the print.
pub const CHORD_ERROR: f64 = 0.002;

/// A step of the work, as it lies flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OutlineShape {
    /// The soldered ring.
    Ring,
    /// The oval, from above.
    Oval,
    /// The figure eight, from above.
    Eight,
    /// The folded loop, from the side.
    Fold,
}

impl OutlineShape {
    /// In the order of the work.
    pub const ALL: [OutlineShape; 4] =
        [OutlineShape::Ring, OutlineShape::Oval, OutlineShape::Eight, OutlineShape::Fold];
}

/// The outer edge of a shape of `forming`, moved outwards by `beyond` mm everywhere, anticlockwise;
/// of a fold, that of its silhouette. None where that would close an inward bend, or where nothing
/// is left.
///
/// # Examples
/// ```
/// use linkfold::geometry::link::{Forming, OutlineShape, ToolDimensions, boundary};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let ring = boundary(&link, OutlineShape::Ring, 0.1).unwrap();
/// let furthest = ring.iter().map(|p| p[0]).fold(0.0, f64::max);
/// assert!((furthest - 7.1).abs() < 1e-9); // 12/2, the wire, and a tenth
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn boundary(forming: &Forming, shape: OutlineShape, beyond: f64) -> Option<Vec<[f64; 2]>> {
    let aside = 0.5 * forming.setting.wire + beyond;
    if !(aside > 0.0) {
        return None;
    }
    let curve = match shape {
        OutlineShape::Ring => forming.ring.curve(),
        OutlineShape::Oval => forming.oval.curve(),
        OutlineShape::Eight => forming.eight.curve(),
        OutlineShape::Fold => return silhouette(&forming.fold, aside),
    };
    // Centrelines run clockwise.
    let mut edge = parallel(&curve, aside)?;
    edge.reverse();
    Some(edge)
}

/// The line `aside` mm to the left of a flat centreline, or to the right where below zero; none
/// where an arc has no parallel that far on its inner side.
pub fn parallel(curve: &ClosedCurve, aside: f64) -> Option<Vec<[f64; 2]>> {
    let mut points = Vec::new();
    for piece in curve.pieces() {
        match piece {
            Piece::Straight(line) => {
                let (p, t) = (line.start, line.direction);
                points.push([p.x - aside * t.y, p.y + aside * t.x]);
            }
            Piece::Arc(arc) => {
                // Left of an arc that turns left lies its centre.
                let left = (arc.out.x * arc.along.y - arc.out.y * arc.along.x).signum();
                let from = arc.out.y.atan2(arc.out.x);
                let radius = arc.radius - left * aside;
                if !(radius > 0.0) {
                    return None;
                }
                let centre = [arc.centre.x, arc.centre.y];
                push_arc(&mut points, centre, radius, [from, from + left * arc.turn]);
                // The next piece starts where this one ends.
                points.pop();
            }
        }
    }
    Some(points)
}

/// Points of an arc of `radius` mm about `centre` between two angles, radians, both ends among them.
pub fn push_arc(points: &mut Vec<[f64; 2]>, centre: [f64; 2], radius: f64, [from, to]: [f64; 2]) {
    let at = |angle: f64| [centre[0] + radius * angle.cos(), centre[1] + radius * angle.sin()];
    // cos δ/2 = 1 − e/r
    let step = 2.0 * (1.0 - CHORD_ERROR / radius.abs().max(2.0 * CHORD_ERROR)).acos();
    let (sign, turn) = ((to - from).signum(), (to - from).abs());
    // Where the arc runs along or across the page, as turns from its start.
    let first = (sign * from / FRAC_PI_2).ceil() * FRAC_PI_2 - sign * from;
    let mut stops = vec![0.0];
    stops.extend(
        (0..5).map(|k| first + f64::from(k) * FRAC_PI_2).filter(|t| 1e-9 < *t && *t < turn - 1e-9),
    );
    stops.push(turn);
    for pair in stops.windows(2) {
        let count = ((pair[1] - pair[0]) / step).ceil().max(1.0);
        for i in 0..count as usize {
            points.push(at(from + sign * (pair[0] + (pair[1] - pair[0]) * i as f64 / count)));
        }
    }
    points.push(at(to));
}

/// A circle of `radius` mm about `centre`, anticlockwise.
pub fn circle(centre: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    let mut points = Vec::new();
    push_arc(&mut points, centre, radius, [0.0, TAU]);
    points.pop();
    points
}

/// The folded loop along its fold, mm: the spine, drawn as thick as the wire.
pub fn side_view(fold: &Fold) -> Vec<[f64; 2]> {
    let half = 0.5 * fold.eight.wire;
    let (radius, turn) = (fold.radius, fold.half_angle);
    let centre = [0.0, radius];
    let mut right = Vec::new();
    push_arc(&mut right, centre, radius + half, [-FRAC_PI_2, turn - FRAC_PI_2]);
    let (tip, _) = fold.spine(fold.eight.tip());
    // Round the tip, from the outside to the inside.
    push_arc(&mut right, [tip.x, tip.z], half, [turn - FRAC_PI_2, turn + FRAC_PI_2]);
    push_arc(&mut right, centre, radius - half, [turn - FRAC_PI_2, -FRAC_PI_2]);
    let left: Vec<[f64; 2]> = right.iter().rev().map(|[x, y]| [-x, *y]).collect();
    // The two places on the line of symmetry stand in both halves.
    right.extend_from_slice(&left[1..left.len() - 1]);
    right
}

/// What a band round the side view covers, `half` mm from the spine.
fn silhouette(fold: &Fold, half: f64) -> Option<Vec<[f64; 2]>> {
    let (turn, centre) = (fold.half_angle, [0.0, fold.radius]);
    let (tip, _) = fold.spine(fold.eight.tip());
    if !(turn > 0.0 && tip.x >= 0.0) {
        return None;
    }
    let mut right = Vec::new();
    push_arc(&mut right, centre, fold.radius + half, [-FRAC_PI_2, turn - FRAC_PI_2]);
    // Where the whole leg is wrapped the two arcs meet.
    push_arc(&mut right, [tip.x, tip.z], half, [turn - FRAC_PI_2, FRAC_PI_2]);
    right.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-9);
    let left: Vec<[f64; 2]> = right.iter().rev().map(|[x, y]| [-x, *y]).collect();
    let ends = if tip.x > 0.0 { 0 } else { 1 };
    right.extend_from_slice(&left[ends..left.len() - 1]);
    Some(right)
}
