//! A link as the chain sees it: closed centreline, wire, how far it extends.

use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Vector};
use crate::geometry::distance::Tree;
use crate::geometry::link::Fold;
use std::sync::OnceLock;

/// One link, prepared for distance queries: build once per size.
#[derive(Clone, Debug)]
pub struct Body {
    pub(super) tree: Tree,
    curve: ClosedCurve,
    /// Wire diameter, mm.
    pub wire: f64,
    /// Least coordinates of the centreline, mm.
    pub low: Point,
    /// Greatest coordinates of the centreline, mm.
    pub high: Point,
    /// About where it hinges in the link before: turned about this, a link mostly stays clear.
    pub(super) pivot: Point,
    /// No point of the centreline is further than this from `pivot`, mm.
    pub(super) reach: f64,
    /// Symmetric in the planes x = 0 and y = 0: turns go equally far both ways.
    pub(super) mirrored: bool,
    /// How far one rises in another of its kind when pulled, mm, once that is known.
    pub(super) own_pulled: OnceLock<f64>,
}

/// How far over the fold a link hinges, in wires: about where the tips of the one before lie.
const HINGE: f64 = 1.5;

impl Body {
    /// A link of wire `wire` mm along `curve`; axes of a folded loop.
    pub fn new(curve: &ClosedCurve, wire: f64) -> Body {
        let (mut low, mut high) =
            (Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
        for piece in curve.pieces() {
            for place in turning_points(piece) {
                low = low.inf(&place.coords);
                high = high.sup(&place.coords);
            }
        }
        let (low, high) = (Point::from(low), Point::from(high));
        let middle = nalgebra::center(&low, &high);
        let pivot = Point::new(middle.x, middle.y, low.z + HINGE * wire);
        let step = 0.25 * wire;
        let furthest = curve.walk(step).iter().map(|(p, _)| (p - pivot).norm()).fold(0.0, f64::max);
        // Between two places of the walk no point is further than half a step more.
        Body {
            tree: Tree::new(curve),
            curve: curve.clone(),
            wire,
            low,
            high,
            pivot,
            reach: furthest + 0.5 * step,
            mirrored: false,
            own_pulled: OnceLock::new(),
        }
    }

    /// A folded loop, closed to its tip gap.
    ///
    /// # Examples
    /// ```
    /// use linkfold::motion::chain::Body;
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let body = Body::of(&link.fold);
    /// assert!(body.size().z >= link.fold.outside_height() - 1e-3); // mm
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn of(fold: &Fold) -> Body {
        Body { mirrored: true, ..Body::new(&fold.curve(), fold.eight.wire) }
    }

    /// The centreline.
    pub fn curve(&self) -> &ClosedCurve {
        &self.curve
    }

    /// Outside size along x, y, z, mm.
    pub fn size(&self) -> Vector {
        self.high - self.low + Vector::repeat(self.wire)
    }
}

/// Both ends, and wherever a coordinate turns between them.
fn turning_points(piece: &Piece) -> Vec<Point> {
    let mut places = vec![piece.start(), piece.end()];
    if let Piece::Arc(Arc { out, along, turn, .. }) = piece {
        for axis in 0..3 {
            let angle = along[axis].atan2(out[axis]);
            for k in -1..=2 {
                let t = angle + f64::from(k) * std::f64::consts::PI;
                if let (Piece::Arc(arc), true) = (piece, t > 0.0 && t < *turn) {
                    places.push(arc.at_angle(t));
                }
            }
        }
    }
    places
}
