//! The same distances from an unrelated program: `parry3d-f64` on polylines inscribed in
//! the curves.

use crate::curves::{Dice, any_curve};
use crate::polyline::{inscribed, other_pose};
use linkfold::geometry::distance::{Query, Tree, nearest_within};
use parry3d_f64::math::Pose as OtherPose;
use parry3d_f64::query;

/// 10 000 pairs: 100 pairs of curves, each in 100 poses.
#[test]
fn ten_thousand_random_pairs_agree_with_parry() {
    // Each polyline is within 1e-3 of its curve both ways, so distances differ by at most
    // twice that; the rest is rounding.
    let error = 1e-3;
    let mut dice = Dice::new(5);
    let mut near = 0;
    for round in 0..100 {
        let (a, b) = (any_curve(&mut dice), any_curve(&mut dice));
        let (tree_a, tree_b) = (Tree::new(&a), Tree::new(&b));
        let (line_a, line_b) = (inscribed(&a, error), inscribed(&b, error));
        let mut hint = None;
        for _ in 0..100 {
            let pose = dice.pose(6.0);
            let query = Query { hint, ..Query::default() };
            let ours = nearest_within(&tree_a, &tree_b, &pose, query).expect("no cutoff");
            hint = Some(ours.hint);
            let here = OtherPose::identity();
            let theirs = query::distance(&here, &line_a, &other_pose(&pose), &line_b)
                .expect("polylines are supported")
                .distance;
            assert!(
                (ours.distance_at_most - theirs).abs() <= 2.0 * error + 1e-9,
                "round {round}: ours {ours:?}, theirs {theirs}, pose {pose:?}"
            );
            assert!(ours.distance_at_most - ours.distance_at_least < 1e-9, "round {round}");
            near += usize::from(theirs < 1.0);
        }
    }
    assert!(near > 2000, "the poses should often be close: {near} of 10 000");
}
