//! Wires in space, and the viewpoints pictures of them share.

use super::Viewpoint;
use super::marks::Finish;
use crate::geometry::curve::{ClosedCurve, Point};
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
    /// What of the curve is there, from and to, mm along it; none for all of it.
    pub part: Option<[f64; 2]>,
}

impl Strand {
    /// The points of its centreline, no further apart than `step` mm.
    pub fn points(&self, step: f64) -> impl Iterator<Item = Point> {
        let [from, to] = self.part.unwrap_or([f64::NEG_INFINITY, f64::INFINITY]);
        let mut before = 0.0;
        self.curve.pieces().iter().flat_map(move |piece| {
            let (start, length) = (before, piece.length());
            before += length;
            let count = (length / step).ceil().clamp(1.0, 1e3);
            let at = (0..=count as usize).map(move |i| length * i as f64 / count);
            at.filter(move |s| (from..=to).contains(&(start + s))).map(|s| piece.point(s))
        })
    }
}

/// Flat shapes lie open from here.
pub const FROM_ABOVE: Viewpoint = Viewpoint::degrees(0.0, 72.0);
/// A folded loop shows its U, its lobes and its fold from here.
pub const ASIDE: Viewpoint = Viewpoint::degrees(-28.0, 18.0);

/// Such a wire as that of `forming`, closed, along `curve`.
pub fn strand(curve: ClosedCurve, forming: &Forming, finish: Finish) -> Strand {
    Strand { curve, radius: 0.5 * forming.setting.wire, finish, seam: None, part: None }
}
