//! Whether a curve in even motion stays clear of another that lies still.
//!
//! Model: over its stretch of the motion a point of the moving curve at `r` from the centre moves by
//! `s (v + ω × r)`, |s| ≤ 1, to first order; what is left is at most `½ ω² |r|`, the arc less its
//! tangent. Two capsules whose ends a plane with the unit normal `n` keeps apart stay as far apart as
//! the plane says when every end moves by `|n · (v + ω × r)|` towards it: motion along the surfaces,
//! which is most of it where a wire slides past another, costs nothing.
//! Limits: answers yes or "not shown". A yes errs safely, by less than the motion bends and the
//! capsules are thick; both shrink as stretches of motion and curve are halved.
//! Source: derived above from a separating plane of two convex sets.
//! Evidence: the test below; `tests/path.rs` replays paths proven with it by an unrelated program.

use super::arc_segment::ArcSegment;
use super::capsule::Capsule;
use super::rigid_matrix::RigidMatrix;
use super::search::ROUNDING;
use super::tree::Tree;
use crate::geometry::curve::{Point, Pose, Vector};

/// A stretch of even motion about its middle: a point moves straight, the body turns evenly about it.
#[derive(Clone, Copy, Debug)]
pub struct EvenMotion {
    /// The moving body's frame half-way, in the frame of what lies still.
    pub pose: Pose,
    /// The point that moves straight, half-way, in that frame.
    pub centre: Point,
    /// How far it moves from the middle to the end, mm.
    pub shift: Vector,
    /// How far the body turns meanwhile: a rotation vector, radians.
    pub turn: Vector,
}

/// Halvings of a pair of stretches of curve, both together.
const HALVINGS: u32 = 10;
/// Pairs of capsules looked at, at the most; a hundred or two are usual.
const MOST_PAIRS: usize = 2000;

/// Whether `b` is shown to come nowhere nearer to `a` than `least` mm all through the motion.
pub fn stays_clear(a: &Tree, b: &Tree, motion: &EvenMotion, least: f64) -> bool {
    let reach = a.reach() + b.reach() + motion.pose.translation.vector.norm();
    let mut check = SweptCheck {
        a,
        b,
        matrix: RigidMatrix::new(&motion.pose),
        motion,
        turn: motion.turn.norm(),
        least: least + ROUNDING * reach,
        pairs: 0,
    };
    let root_b = b.nodes[0].capsule.moved(&check.matrix);
    check.nodes(0, 0, &root_b)
}

struct SweptCheck<'t> {
    a: &'t Tree,
    b: &'t Tree,
    matrix: RigidMatrix,
    motion: &'t EvenMotion,
    /// Angle of the turn, radians.
    turn: f64,
    least: f64,
    pairs: usize,
}

impl SweptCheck<'_> {
    fn nodes(&mut self, i: u32, j: u32, capsule_b: &Capsule) -> bool {
        let (node_a, node_b) = (&self.a.nodes[i as usize], &self.b.nodes[j as usize]);
        if self.are_clear(&node_a.capsule, capsule_b) {
            return true;
        }
        if self.pairs > MOST_PAIRS {
            return false;
        }
        if node_a.leaf && node_b.leaf {
            let stretch = self.b.leaves[node_b.next as usize].stretch.moved(&self.matrix);
            return self.halves(&self.a.leaves[node_a.next as usize].stretch, &stretch, HALVINGS);
        }
        if node_b.leaf || (!node_a.leaf && node_a.capsule.reach >= capsule_b.reach) {
            return [node_a.next, node_a.next + 1].iter().all(|&i| self.nodes(i, j, capsule_b));
        }
        [node_b.next, node_b.next + 1].iter().all(|&j| {
            let part = self.b.nodes[j as usize].capsule.moved(&self.matrix);
            self.nodes(i, j, &part)
        })
    }

    /// A pair of stretches that is not clear as a whole.
    fn halves(&mut self, a: &ArcSegment, b: &ArcSegment, halvings: u32) -> bool {
        if halvings == 0 || self.pairs > MOST_PAIRS {
            return false;
        }
        if a.half >= b.half {
            let whole = b.capsule();
            a.halves().iter().all(|part| {
                self.are_clear(&part.capsule(), &whole) || self.halves(part, b, halvings - 1)
            })
        } else {
            let whole = a.capsule();
            b.halves().iter().all(|part| {
                self.are_clear(&whole, &part.capsule()) || self.halves(a, part, halvings - 1)
            })
        }
    }

    /// Whether the plane square to where the two come nearest half-way shows them clear.
    fn are_clear(&mut self, a: &Capsule, b: &Capsule) -> bool {
        self.pairs += 1;
        let between = a.between(b);
        let apart = between.norm();
        let thick = a.radius + b.radius;
        if !(apart > thick + self.least) {
            return false;
        }
        let normal = between / apart;
        // Of a segment's ends one is foremost: its middle's height and half its length's.
        let still = normal.dot(&a.centre) - normal.dot(&a.half).abs();
        let arm = b.centre - self.motion.centre.coords;
        let speed = normal.dot(&(self.motion.shift + self.motion.turn.cross(&arm)));
        let lever = normal.dot(&self.motion.turn.cross(&b.half));
        let (height, half) = (normal.dot(&b.centre), normal.dot(&b.half));
        let moved = [1.0, -1.0].map(|end| height + end * half + (speed + end * lever).abs());
        let furthest = arm.norm() + b.reach;
        let bent = self.turn * (b.radius + 0.5 * self.turn * furthest);
        still - moved[0].max(moved[1]) - thick - bent >= self.least
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::curve::{Arc, ClosedCurve, Piece};
    use crate::geometry::distance::nearest;
    use nalgebra::{Translation3, UnitQuaternion};

    fn circle(radius: f64) -> Tree {
        let piece = |out: Vector| {
            Piece::Arc(Arc {
                centre: Point::origin(),
                out: nalgebra::Unit::new_normalize(out),
                along: nalgebra::Unit::new_normalize(Vector::z().cross(&out)),
                radius,
                turn: std::f64::consts::PI,
            })
        };
        Tree::new(&ClosedCurve::new(vec![piece(Vector::x()), piece(-Vector::x())]).unwrap())
    }

    /// What is shown is so at every place looked at, and with a margin of a tenth of the motion hardly
    /// anything is missed, wherever the rings lie.
    #[test]
    fn what_is_shown_clear_is_clear_all_along() {
        let (still, moving) = (circle(2.0), circle(1.5));
        let mut shown = 0;
        for i in 0..400 {
            // Spread evenly by the golden ratio's multiples.
            let u = |k: usize| (((i + 1) * k) as f64 * 0.618_033_988_75).fract() - 0.5;
            let pose = Pose::from_parts(
                Translation3::new(5.0 * u(1), 5.0 * u(2), 3.0 * u(3)),
                UnitQuaternion::from_scaled_axis(6.0 * Vector::new(u(4), u(5), u(6))),
            );
            let motion = EvenMotion {
                pose,
                centre: Point::new(u(7), u(8), u(9)),
                shift: 0.1 * Vector::new(u(10), u(11), u(12)),
                turn: 0.1 * Vector::new(u(13), u(14), u(15)),
            };
            let at = |s: f64| {
                let turn = UnitQuaternion::from_scaled_axis(s * motion.turn);
                let about = Translation3::from(motion.centre.coords + s * motion.shift)
                    * turn
                    * Translation3::from(-motion.centre.coords);
                nearest(&still, &Pose::identity(), &moving, &(about * pose)).distance_at_most
            };
            let along = (0..=40).map(|k| at(f64::from(k) / 20.0 - 1.0));
            let least = along.fold(f64::INFINITY, f64::min);
            assert!(!stays_clear(&still, &moving, &motion, least + 1e-9), "{i}: {least}");
            shown += usize::from(stays_clear(&still, &moving, &motion, least - 0.02));
        }
        assert!(shown > 360, "{shown} of 400");
    }
}
