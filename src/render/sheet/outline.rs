//! Both edges of a link's wire, true to size: what a link laid on the paper must cover.

use crate::geometry::curve::ClosedCurve;
use crate::geometry::link::{Fold, Forming, OutlineShape, parallel, side_view};
use std::f64::consts::FRAC_PI_2;

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

/// The two edges of wire of half thickness `half` along a flat centreline; an inner edge that bends
/// back on itself is left out.
fn edges(curve: &ClosedCurve, half: f64) -> Vec<Vec<[f64; 2]>> {
    [-half, half].into_iter().filter_map(|aside| parallel(curve, aside)).collect()
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
    use crate::geometry::link::{CHORD_ERROR, push_arc};

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
