//! What no change of viewpoint may change.

use crate::curves::{Dice, any_curve};
use linkfold::geometry::curve::{ClosedCurve, Pose, Vector};
use linkfold::geometry::distance::{Tree, nearest};
use proptest::prelude::*;

fn distance(a: &ClosedCurve, pose_a: &Pose, b: &ClosedCurve, pose_b: &Pose) -> f64 {
    nearest(&Tree::new(a), pose_a, &Tree::new(b), pose_b).distance_at_most
}

fn mirrored(curve: &ClosedCurve, signs: Vector) -> ClosedCurve {
    ClosedCurve::new(curve.pieces().iter().map(|p| p.mirrored(signs)).collect())
        .expect("a mirror image closes")
}

proptest! {
    /// Both answers are within 1e-11 of a reach of some 30 mm of the truth.
    #[test]
    fn swapping_or_moving_both_or_mirroring_keeps_the_distance(seed in any::<u64>()) {
        let mut dice = Dice::new(seed);
        let (a, b) = (any_curve(&mut dice), any_curve(&mut dice));
        let (here, pose) = (Pose::identity(), dice.pose(5.0));
        let found = distance(&a, &here, &b, &pose);
        let swapped = distance(&b, &pose, &a, &here);
        prop_assert!((found - swapped).abs() < 1e-9, "{found} {swapped}");
        let both = dice.pose(10.0);
        let moved = distance(&a, &both, &b, &(both * pose));
        prop_assert!((found - moved).abs() < 1e-9, "{found} {moved}");
        let signs = Vector::new(-1.0, 1.0, 1.0);
        let mirror = distance(&mirrored(&a, signs), &here, &mirrored(&b.moved(&pose), signs), &here);
        prop_assert!((found - mirror).abs() < 1e-9, "{found} {mirror}");
    }

    /// Everything scales, the tolerance with it.
    #[test]
    fn distance_scales_with_the_curves(seed in any::<u64>(), power in -6.0..6.0_f64) {
        let mut dice = Dice::new(seed);
        let (a, b) = (any_curve(&mut dice), any_curve(&mut dice));
        let (here, pose) = (Pose::identity(), dice.pose(5.0));
        let factor = 10f64.powf(power);
        let found = distance(&a, &here, &b, &pose);
        let scaled = distance(&a.scaled(factor), &here, &b.moved(&pose).scaled(factor), &here);
        prop_assert!((scaled / factor - found).abs() < 1e-9, "{found} {scaled} {factor}");
    }

    /// The lower bound is below the distance of any two points whatever.
    #[test]
    fn the_lower_bound_is_below_every_sample(seed in any::<u64>()) {
        let mut dice = Dice::new(seed);
        let (a, b) = (any_curve(&mut dice), any_curve(&mut dice));
        let pose = dice.pose(4.0);
        let found = nearest(&Tree::new(&a), &Pose::identity(), &Tree::new(&b), &pose);
        let places = b.moved(&pose).walk(0.1);
        for (p, _) in a.walk(0.1) {
            for (q, _) in &places {
                prop_assert!((p - q).norm() >= found.distance_at_least - 1e-12, "{found:?}");
            }
        }
    }

    /// No finite input panics or hangs.
    #[test]
    fn any_finite_pose_is_answered(seed in any::<u64>(), x in any::<f64>(), y in -1e9..1e9_f64) {
        prop_assume!(x.is_finite());
        let mut dice = Dice::new(seed);
        let (a, b) = (Tree::new(&any_curve(&mut dice)), Tree::new(&any_curve(&mut dice)));
        for shift in [x, y] {
            let found = nearest(&a, &Pose::identity(), &b, &Pose::translation(shift, 0.0, shift));
            prop_assert!(!found.distance_at_least.is_nan());
        }
    }
}
