//! A closed curve against itself.
//!
//! Two stretches of one curve are only compared where they are at least `separation` along the
//! wire, either way round. Pairs that lie wholly beyond that are settled as two curves
//! are; pairs cut by the limit are halved, and where distance grows with separation the
//! minimum lies on the limit itself, a function of one place with the same bounds.

use super::arc_segment::{ArcSegment, CurvePoint};
use super::pair::{HessianBounds, axis_least};
use super::search::{DistanceQuery, Nearest, Query};
use super::tree::Tree;
use crate::geometry::curve::{Piece, Pose};

/// Halvings of one pair of leaves, both sides together, where the limit cuts it.
const HALVINGS: u32 = 48;

/// Least distance of any two places of a closed curve at least `separation` mm from each other
/// along it; `None` where it is too short to have such places, or `separation` is not a number.
///
/// For a wire of diameter d bent nowhere tighter than d/2, `separation` = π d/2 finds every
/// overlap: by Schur's comparison, places closer along the wire than that cannot overlap
/// unless their curvature is greater.
///
/// Cost: grows with the square of the number of pieces; meant once per shape.
///
/// # Examples
/// ```
/// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
/// use linkfold::geometry::distance::{Tree, self_distance};
/// let circle = |along| {
///     Piece::Arc(Arc {
///         centre: Point::origin(),
///         out: Vector::x_axis(),
///         along,
///         radius: 1.0,
///         turn: std::f64::consts::TAU,
///     })
/// };
/// let flat = Tree::new(&ClosedCurve::new(vec![circle(Vector::y_axis())])?);
/// // Opposite places of a ring of radius 1 are half a circumference, and 2 mm, apart.
/// let half = std::f64::consts::PI - 1e-6;
/// let found = self_distance(&flat, half).unwrap();
/// assert!((found.distance_at_most - 2.0).abs() < 1e-6);
/// # Ok::<(), linkfold::geometry::curve::CurveError>(())
/// ```
pub fn self_distance(curve: &Tree, separation: f64) -> Option<Nearest> {
    let length: f64 = curve.pieces().iter().map(Piece::length).sum();
    if !(separation <= 0.5 * length) {
        return None;
    }
    let separation = separation.max(0.0);
    let mut walk = SelfWalk {
        search: DistanceQuery::new(curve, curve, &Pose::identity(), Query::default()),
        separation,
        most: length - separation,
    };
    let leaves = &curve.leaves;
    let capsules: Vec<_> = leaves.iter().map(|leaf| leaf.stretch.capsule()).collect();
    let starts: Vec<f64> = (0..leaves.len()).map(|leaf| curve.start_of(leaf)).collect();
    // Whole pairs first: their minimum spares most of the cut ones.
    for cut in [false, true] {
        for i in 0..leaves.len() {
            for j in i..leaves.len() {
                let (from_a, from_b) = (starts[i], starts[j]);
                let (a, b) = (&leaves[i].stretch, &leaves[j].stretch);
                let span = PairOffsets { from_a, from_b }.separations(a, b);
                if walk.outside(span) || walk.inside(span) == cut {
                    continue;
                }
                if walk.search.must_visit(capsules[i].gap(&capsules[j])) {
                    walk.search.leaves = (i as u32, j as u32);
                    walk.pair(a, b, PairOffsets { from_a, from_b }, HALVINGS);
                }
            }
        }
    }
    Some(walk.search.answer())
}

/// Where two stretches start along the whole curve, mm.
#[derive(Clone, Copy)]
struct PairOffsets {
    from_a: f64,
    from_b: f64,
}

impl PairOffsets {
    /// Least and greatest separation, from A on to B.
    fn separations(self, a: &ArcSegment, b: &ArcSegment) -> (f64, f64) {
        let from = self.from_b - self.from_a;
        (from - 2.0 * a.half, from + 2.0 * b.half)
    }
}

struct SelfWalk<'t> {
    search: DistanceQuery<'t>,
    /// Allowed separations from A on to B: from `separation` to `most`.
    separation: f64,
    most: f64,
}

impl SelfWalk<'_> {
    fn outside(&self, span: (f64, f64)) -> bool {
        span.1 < self.separation || span.0 > self.most
    }

    fn inside(&self, span: (f64, f64)) -> bool {
        span.0 >= self.separation && span.1 <= self.most
    }

    fn pair(&mut self, a: &ArcSegment, b: &ArcSegment, at: PairOffsets, halvings: u32) {
        let span = at.separations(a, b);
        if self.outside(span) {
            return;
        }
        if self.inside(span) {
            self.search.pair(a, b, HALVINGS);
            return;
        }
        let bends = HessianBounds::of(a, b);
        let grows = (bends.one_way_a(a, b), bends.one_way_b(a, b));
        let limit = match grows {
            // Nearest at A's last and B's first place: the least separation allowed.
            (Some(true), Some(false)) if span.1 <= self.most => Some(self.separation),
            (Some(false), Some(true)) if span.0 >= self.separation => Some(self.most),
            _ => None,
        };
        if let Some(limit) = limit {
            let bound = self.on_limit(a, b, at, limit, &bends);
            if !self.search.must_visit(bound.max(0.0)) {
                return;
            }
        } else {
            let (at_a, at_b) = (a.at(0.0), b.at(0.0));
            let separation = at.from_b + b.half - at.from_a - a.half;
            if separation >= self.separation && separation <= self.most {
                self.offer(a, &at_a, b, &at_b);
            }
            if !self.search.must_visit(axis_least(a, b)) {
                return;
            }
        }
        if halvings == 0 {
            let gap = a.capsule().gap(&b.capsule());
            self.search.note_lower_bound(gap);
            return;
        }
        let halve_a = a.half >= b.half;
        for (k, part) in (if halve_a { a.halves() } else { b.halves() }).iter().enumerate() {
            let step = 2.0 * part.half * k as f64;
            let (part_a, part_b, at) = if halve_a {
                (part, b, PairOffsets { from_a: at.from_a + step, ..at })
            } else {
                (a, part, PairOffsets { from_b: at.from_b + step, ..at })
            };
            if self.search.must_visit(part_a.capsule().gap(&part_b.capsule())) {
                self.pair(part_a, part_b, at, halvings - 1);
            }
        }
    }

    /// Lower bound over the places of the pair exactly `limit` apart, both moving together:
    /// value, slope and least bend of f there. Half the second derivative is p + q − 2 c.
    fn on_limit(
        &mut self,
        a: &ArcSegment,
        b: &ArcSegment,
        at: PairOffsets,
        limit: f64,
        bends: &HessianBounds,
    ) -> f64 {
        let from = at.from_a.max(at.from_b - limit);
        let to = (at.from_a + 2.0 * a.half).min(at.from_b + 2.0 * b.half - limit);
        let (middle, half_length) = (0.5 * (from + to), 0.5 * (to - from).max(0.0));
        let at_a = a.at(middle - at.from_a - a.half);
        let at_b = b.at(middle + limit - at.from_b - b.half);
        self.offer(a, &at_a, b, &at_b);
        let between = at_a.point - at_b.point;
        let slope = between.dot(&(at_a.tangent - at_b.tangent));
        let bend = bends.least_bend_together().min(0.0);
        let least = between.norm_squared() - 2.0 * slope.abs() * half_length
            + bend * half_length * half_length;
        least.max(0.0).sqrt()
    }

    fn offer(&mut self, a: &ArcSegment, at_a: &CurvePoint, b: &ArcSegment, at_b: &CurvePoint) {
        let squared = (at_a.point - at_b.point).norm_squared();
        self.search.offer(a, at_a, b, at_b, squared);
    }
}
