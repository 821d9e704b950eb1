//! Two arcs with a common tangent between two places of a curve.

use super::{Piece, Point, Vector};
use nalgebra::Unit;

/// Of two places' distances from the origin: rounding of either.
const ROUNDING: f64 = 1e-14;

/// Two arcs from one place (point in mm, unit tangent) to another, meeting with a common tangent.
///
/// The join is the one at equal tangent lengths `t` from both ends, so that the control
/// polygon's middle leg is `2 t`: with `c` the chord and `m = a + b` the summed tangents,
/// `c·c − 2 t c·m + 2 t² (a·b − 1) = 0`.
pub fn push_biarc(from: (Point, Unit<Vector>), to: (Point, Unit<Vector>), into: &mut Vec<Piece>) {
    let chord = to.0 - from.0;
    let along = chord.dot(&(from.1.into_inner() + to.1.into_inner()));
    // 1 − a·b without cancellation.
    let spread = 0.5 * (from.1.into_inner() - to.1.into_inner()).norm_squared();
    let square = chord.norm_squared();
    // Places apart by no more than rounding are one, and which way lies between them is not known.
    if square.sqrt() <= ROUNDING * (from.0.coords.norm() + to.0.coords.norm()) {
        return;
    }
    let leg = square / (along + (along * along + 2.0 * spread * square).sqrt());
    let join =
        nalgebra::center(&(from.0 + leg * from.1.into_inner()), &(to.0 - leg * to.1.into_inner()));
    into.extend(Piece::leaving(from.0, from.1, join));
    into.extend(Piece::leaving(to.0, -to.1, join).map(|p| p.reversed()));
}
