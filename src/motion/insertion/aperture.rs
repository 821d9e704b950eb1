//! The aperture: the receiving link's two facing lobes, seen from leg to leg.

use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::Tree;
use crate::geometry::link::Fold;
use nalgebra::{Translation3, UnitQuaternion};

/// A folded loop with its bounding tree.
#[derive(Clone)]
pub struct LinkBody {
    /// The shape.
    pub fold: Fold,
    /// Its tree, for distances.
    pub tree: Tree,
}

impl LinkBody {
    /// Builds the tree of `fold`.
    pub fn new(fold: Fold) -> LinkBody {
        LinkBody { fold, tree: Tree::new(&fold.curve()) }
    }

    /// `fold` with others about it that do not move: the tree is of them all.
    pub fn among(fold: Fold, others: &[(&Fold, Pose)]) -> LinkBody {
        let mut pieces = fold.curve().pieces().to_vec();
        for (other, pose) in others {
            pieces.extend(other.curve().pieces().iter().map(|piece| piece.moved(pose)));
        }
        LinkBody { fold, tree: Tree::of_pieces(&pieces) }
    }
}

/// Heights on the receiving link's axis between which its apertures are clear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aperture {
    /// Lowest height at which a wire's centre on the axis clears the strands, mm.
    pub low: f64,
    /// Highest, under the tips, mm.
    pub high: f64,
}

impl Aperture {
    /// Seen along x (leg to leg), for wire centres that keep `contact_distance` mm from the centreline
    /// of `receiving`.
    pub fn of(receiving: &Fold, contact_distance: f64) -> Aperture {
        // A twentieth of a wire is the error of `low`; it errs towards less clearance.
        let step = 0.05 * receiving.eight.wire;
        let curve = receiving.curve();
        let high = receiving.tip_height() - contact_distance;
        // Each point blocks an interval of heights; going down by steps from `high`, the first
        // one met is the one whose upper end is highest.
        let blocked = curve.walk(step).into_iter().filter_map(|(p, _)| {
            let half = contact_distance * contact_distance - p.y * p.y;
            let half = (half > 0.0).then(|| half.sqrt())?;
            (p.z - half < high - step).then_some(p.z + half)
        });
        let top = blocked.fold(f64::NEG_INFINITY, f64::max);
        let clear_steps = ((high - top) / step).floor().max(0.0);
        let steps_to_fold = (high / step).ceil().max(0.0);
        Aperture { low: high - step * clear_steps.min(steps_to_fold), high }
    }

    /// What is left of the aperture where another, `lower` mm further down, must be gone through as well.
    pub fn with_lower(&self, other: &Aperture, lower: f64) -> Aperture {
        Aperture { low: self.low.max(other.low - lower), high: self.high.min(other.high - lower) }
    }

    /// Height at which a lobe goes through, its width up and down: the middle of the apertures,
    /// or three wires under their top where they are long.
    pub fn middle(&self, contact_distance: f64) -> f64 {
        (0.5 * (self.low + self.high)).max(self.high - 3.0 * contact_distance)
    }

    /// Pose that brings the point `u` mm from the waist on the incoming link's line of
    /// symmetry to `height` on the aperture's axis, its tangent along x, turned about it by `roll`.
    pub fn guide(incoming: &Fold, u: f64, roll: f64, height: f64) -> Pose {
        let (point, along) = incoming.spine(u);
        let level = UnitQuaternion::from_axis_angle(&Vector::y_axis(), along.z.atan2(along.x));
        let turn = UnitQuaternion::from_axis_angle(&Vector::x_axis(), roll) * level;
        let gate = Point::new(0.0, 0.0, height);
        Pose::from_parts(Translation3::from(gate - turn * point), turn)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::link::{Forming, ToolDimensions};

    /// Asks every step against every point: obvious, and quadratic.
    fn step_by_step(receiving: &Fold, contact_distance: f64) -> f64 {
        let step = 0.05 * receiving.eight.wire;
        let seen: Vec<(f64, f64)> =
            receiving.curve().walk(step).iter().map(|(p, _)| (p.y, p.z)).collect();
        let clear = |z: f64| seen.iter().all(|(y, at)| y.hypot(at - z) >= contact_distance);
        let mut low = receiving.tip_height() - contact_distance;
        while low > 0.0 && clear(low - step) {
            low -= step;
        }
        low
    }

    /// Walking down a long loop once took seconds, and the picture asks every frame.
    #[test]
    fn one_pass_finds_the_aperture_that_going_step_by_step_finds() {
        let mut formed = 0;
        for ratio in 5..40 {
            for (bore, other) in [(0.6, 1.0), (1.5, 0.7), (2.0, 1.0), (2.5, 1.0), (3.5, 1.4)] {
                let setting = ToolDimensions {
                    kerf: 0.26,
                    oval_jaw: bore,
                    bore,
                    ..ToolDimensions::usual(1.0, f64::from(ratio))
                };
                let Ok(Forming { fold, .. }) = Forming::new(setting) else { continue };
                let (quick, slow) = (Aperture::of(&fold, other).low, step_by_step(&fold, other));
                // The same step, but for rounding in a sum of some hundred steps.
                assert!((quick - slow).abs() < 1e-9, "{ratio} {bore} {other}: {quick}, {slow}");
                formed += 1;
            }
        }
        assert!(formed > 100, "{formed} formed");
    }
}
