//! The same distances from an unrelated program: `parry3d-f64` on polylines inscribed in
//! the curves.

use crate::curves::{Dice, any_curve};
use linkfold::clearance::{Query, Tree, nearest_within};
use linkfold::curve::{ClosedCurve, Pose};
use parry3d_f64::math::{Pose as OtherPose, Rotation, Vector as OtherVector};
use parry3d_f64::query;
use parry3d_f64::shape::Polyline;

/// A polyline nowhere further than `error` from the curve, and its worst sagitta.
pub fn inscribed(curve: &ClosedCurve, error: f64) -> Polyline {
    let mut corners = Vec::new();
    for piece in curve.pieces() {
        // Sagitta r (1 − cos(turn/2)) ≤ length² κ / 8.
        let step = (8.0 * error / piece.curvature()).sqrt();
        let count = (piece.length() / step).ceil().max(1.0);
        corners.extend((0..count as usize).map(|i| {
            let p = piece.point(piece.length() * i as f64 / count);
            OtherVector::new(p.x, p.y, p.z)
        }));
    }
    let count = corners.len() as u32;
    Polyline::new(corners, Some((0..count).map(|i| [i, (i + 1) % count]).collect()))
}

pub fn other_pose(pose: &Pose) -> OtherPose {
    let (q, t) = (pose.rotation.into_inner().coords, pose.translation.vector);
    OtherPose {
        rotation: Rotation::from_xyzw(q.x, q.y, q.z, q.w),
        translation: OtherVector::new(t.x, t.y, t.z),
    }
}

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
