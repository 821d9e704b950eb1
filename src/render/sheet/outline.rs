//! Both edges of a link's wire, true to size: what a link laid on the paper must cover.
//!
//! A flat link's edges are the curves half a wire to either side of its centreline: arcs about
//! the same centres, straights beside the straights. A folded loop seen along its fold is the
//! line of symmetry between its strands ([`Fold::spine`](crate::geometry::link::Fold::spine)) drawn with a
//! round pen as wide as the wire, since every part of the wire lies straight behind or before
//! that line.
//! Arcs are written as chords no further than [`CHORD_ERROR`] from them, with corners exactly
//! where they reach furthest along and across the page, so that extents are exact.

use crate::geometry::curve::{ClosedCurve, Piece};
use crate::geometry::link::{Fold, Forming};
use std::f64::consts::FRAC_PI_2;

/// Greatest distance between a chord and its arc, mm: a fifth of what is promised of the print.
pub const CHORD_ERROR: f64 = 0.002;

/// A step of the work, as it lies on the paper.
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

/// An outline, mm, centred on its own middle or its fold.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Closed lines; the first point is not repeated.
    pub edges: Vec<Vec<[f64; 2]>>,
    /// The two places between which its chief measure is taken.
    pub span: [[f64; 2]; 2],
}

impl Outline {
    /// Of a shape of `forming`.
    pub fn of(forming: &Forming, shape: OutlineShape) -> Outline {
        let half = 0.5 * forming.setting.wire;
        match shape {
            OutlineShape::Ring => {
                let inside = 0.5 * forming.ring.inside_diameter();
                Outline {
                    edges: edges(&forming.ring.curve(), half),
                    span: [[-inside, 0.0], [inside, 0.0]],
                }
            }
            OutlineShape::Oval => {
                let inside = 0.5 * forming.oval.inside_length();
                Outline {
                    edges: edges(&forming.oval.curve(), half),
                    span: [[-inside, 0.0], [inside, 0.0]],
                }
            }
            OutlineShape::Eight => {
                let eight = &forming.eight;
                let across = eight.tip() - eight.end_radius;
                let inside = 0.5 * eight.bore();
                Outline {
                    edges: edges(&eight.curve(), half),
                    span: [[across, -inside], [across, inside]],
                }
            }
            OutlineShape::Fold => {
                let beside = -reach(&forming.fold) - 1.5;
                let height = forming.fold.outside_height();
                Outline {
                    edges: vec![side_view(&forming.fold)],
                    span: [[beside, -half], [beside, height - half]],
                }
            }
        }
    }

    /// Least and greatest x and y of the edges and the measure.
    pub fn extents(&self) -> [[f64; 2]; 2] {
        let points = self.edges.iter().flatten().chain(&self.span);
        points.fold([[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]], |[low, high], p| {
            [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
        })
    }

    /// Turned by a right angle, to stand on the page.
    pub fn standing(&self) -> Outline {
        let turned = |[x, y]: [f64; 2]| [-y, x];
        Outline {
            edges: self
                .edges
                .iter()
                .map(|edge| edge.iter().copied().map(turned).collect())
                .collect(),
            span: self.span.map(turned),
        }
    }
}

/// The two edges of wire of half thickness `half` along a flat centreline.
fn edges(curve: &ClosedCurve, half: f64) -> Vec<Vec<[f64; 2]>> {
    let side = |aside: f64| {
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
                    let centre = [arc.centre.x, arc.centre.y];
                    push_arc(&mut points, centre, radius, [from, from + left * arc.turn]);
                    // The next piece starts where this one ends.
                    points.pop();
                }
            }
        }
        points
    };
    vec![side(-half), side(half)]
}

/// Points of an arc of `radius` about `centre` between two angles, both ends among them.
fn push_arc(points: &mut Vec<[f64; 2]>, centre: [f64; 2], radius: f64, [from, to]: [f64; 2]) {
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

/// The folded loop along its fold: the spine, drawn as thick as the wire.
fn side_view(fold: &Fold) -> Vec<[f64; 2]> {
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

/// How far the folded loop reaches to either side of its middle, seen along the fold, mm.
fn reach(fold: &Fold) -> f64 {
    let widest = fold.radius * fold.half_angle.min(FRAC_PI_2).sin();
    widest.max(fold.spine(fold.eight.tip()).0.x) + 0.5 * fold.eight.wire
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    /// Chords keep to their arc, in length too: a circle of radius r and its polygon.
    #[test]
    fn chords_lie_within_the_error_stated() {
        for radius in [0.05, 1.0, 30.0] {
            let mut points = Vec::new();
            push_arc(&mut points, [1.0, -2.0], radius, [0.3, -4.1]);
            for pair in points.windows(2) {
                let middle = [0.5 * (pair[0][0] + pair[1][0]), 0.5 * (pair[0][1] + pair[1][1])];
                let off = radius - (middle[0] - 1.0).hypot(middle[1] + 2.0);
                assert!((-1e-12..=CHORD_ERROR).contains(&off), "{radius}: {off}");
            }
            let end = points[points.len() - 1];
            let wanted = [1.0 + radius * (-4.1f64).cos(), -2.0 + radius * (-4.1f64).sin()];
            assert!((end[0] - wanted[0]).hypot(end[1] - wanted[1]) < 1e-12);
        }
    }

    /// Every edge point of a flat link is half a wire from the centreline, and no nearer to any
    /// of it, but where the wires touch at the waist.
    #[test]
    fn edges_are_half_a_wire_from_the_centreline() {
        let forming = Design::plain(1.1, 13.0).formings().unwrap()[0];
        for (shape, curve) in [
            (OutlineShape::Ring, forming.ring.curve()),
            (OutlineShape::Oval, forming.oval.curve()),
            (OutlineShape::Eight, forming.eight.curve()),
        ] {
            let places = curve.walk(0.01);
            for point in Outline::of(&forming, shape).edges.iter().flatten() {
                let near = places
                    .iter()
                    .map(|(p, _)| (p.x - point[0]).hypot(p.y - point[1]))
                    .fold(f64::INFINITY, f64::min);
                // A hundredth between samples makes 0.005² / (2 · 0.55) of error.
                assert!((near - 0.55).abs() < 3e-5, "{shape:?}: {near}");
            }
        }
    }
}
