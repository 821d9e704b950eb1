//! Curves and poses as an unrelated program, `parry3d-f64`, takes them.

use linkfold::geometry::curve::{ClosedCurve, Pose};
use parry3d_f64::math::{Pose as OtherPose, Rotation, Vector as OtherVector};
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
