//! Wires in space, and the viewpoints pictures of them share.

use super::Viewpoint;
use super::drawing::Finish;
use crate::geometry::curve::ClosedCurve;
use crate::geometry::link::Forming;

/// One closed loop of wire.
#[derive(Clone, Debug, PartialEq)]
pub struct Strand {
    /// Its centreline, mm.
    pub curve: ClosedCurve,
    /// Half its diameter, mm.
    pub radius: f64,
    /// Which metal it is shown in.
    pub finish: Finish,
    /// Where its solder seam lies, mm along the centreline; none where that is not settled.
    pub seam: Option<f64>,
}

/// Flat shapes lie open from here.
pub(super) const FROM_ABOVE: Viewpoint = Viewpoint::degrees(0.0, 72.0);
/// A folded loop shows its U, its lobes and its fold from here.
pub(super) const ASIDE: Viewpoint = Viewpoint::degrees(-28.0, 18.0);

pub(super) fn strand(curve: ClosedCurve, forming: &Forming, finish: Finish) -> Strand {
    Strand { curve, radius: 0.5 * forming.setting.wire, finish, seam: None }
}
