//! The wire, its loads and supports, and the one small system that balances them.

use super::element::{BeamError, BeamWire, Compliance, in_range};
use super::spatial::Reduction;
use crate::geometry::curve::{ClosedCurve, CurveError, Piece, Point, Vector};
use crate::math::sort::sort_places;
use crate::math::units::Mm;
use nalgebra::{DMatrix, Matrix6};

/// A force and a moment on the wire, at a place along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Arc length from the curve's start, mm.
    pub at: f64,
    /// N.
    pub force: Vector,
    /// N·mm.
    pub moment: Vector,
}

impl Load {
    /// A force alone.
    pub fn force(at: f64, force: Vector) -> Load {
        Load { at, force, moment: Vector::zeros() }
    }
}

/// A motion that a support prevents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Direction {
    /// Displacement along this direction (its length does not matter, but is not zero).
    Along(Vector),
    /// Turning about this direction.
    About(Vector),
}

/// One prevented motion at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Arc length from the curve's start, mm.
    pub at: f64,
    /// What it prevents.
    pub holds: Direction,
}

impl Support {
    /// All six motions held at one place: a clamp.
    pub fn clamp(at: f64) -> [Support; 6] {
        let axis = |i: usize| Vector::ith(i % 3, 1.0);
        std::array::from_fn(|i| Support {
            at,
            holds: if i < 3 { Direction::Along(axis(i)) } else { Direction::About(axis(i)) },
        })
    }
}

/// A wire on a line of arcs and straights, ready to be loaded.
///
/// # Invariants
/// At least one piece; pieces meet with matching tangents; no bend as tight as the wire's
/// own radius.
#[derive(Clone, Debug)]
pub struct BeamFrame {
    pub(super) pieces: Vec<Piece>,
    /// Arc length at which each piece starts, and the whole length last, mm.
    pub(super) starts: Vec<f64>,
    pub(super) closed: bool,
    pub(super) wire: BeamWire,
    pub(super) reduction: Reduction,
    pub(super) compliance: Compliance,
}

/// Gap or corner between open pieces: as for a closed curve's.
const GAP_SHARE: f64 = 1e-12;
const CORNER: f64 = 1e-9;

impl BeamFrame {
    /// A closed wire.
    ///
    /// # Errors
    /// [`BeamError::BendTooTight`].
    pub fn closed(curve: &ClosedCurve, wire: BeamWire) -> Result<BeamFrame, BeamError> {
        BeamFrame::build(curve.pieces().to_vec(), true, wire)
    }

    /// A wire with two ends.
    ///
    /// # Errors
    /// [`BeamError`] where the pieces do not meet, or bend too tightly.
    pub fn open(pieces: &[Piece], wire: BeamWire) -> Result<BeamFrame, BeamError> {
        let length: f64 = pieces.iter().map(Piece::length).sum();
        for (before, pair) in pieces.windows(2).enumerate() {
            let piece = before + 1;
            let (gap_mm, most_mm) = ((pair[1].start() - pair[0].end()).norm(), GAP_SHARE * length);
            if !(gap_mm <= most_mm) {
                return Err(CurveError::Broken { piece, gap_mm, most_mm }.into());
            }
            let corner_radians = (pair[1].tangent(0.0) - pair[0].tangent(pair[0].length())).norm();
            if !(corner_radians <= CORNER) {
                let most_radians = CORNER;
                return Err(CurveError::Corner { piece, corner_radians, most_radians }.into());
            }
        }
        BeamFrame::build(pieces.to_vec(), false, wire)
    }

    fn build(pieces: Vec<Piece>, closed: bool, wire: BeamWire) -> Result<BeamFrame, BeamError> {
        let radius = wire.section().radius();
        let mut starts = vec![0.0];
        let (mut length, mut middle) = (0.0, Vector::zeros());
        for (index, piece) in pieces.iter().enumerate() {
            if !(piece.curvature() * radius < 1.0) {
                let radius_mm = 1.0 / piece.curvature();
                let least = Mm::new(radius);
                return Err(BeamError::BendTooTight { piece: index, radius_mm, least });
            }
            length += piece.length();
            starts.push(length);
            middle += piece.point(0.5 * piece.length()).coords * piece.length();
        }
        if pieces.is_empty() {
            return Err(CurveError::Empty.into());
        }
        in_range("length of the wire", length, f64::MIN_POSITIVE.sqrt(), 1e9)?;
        let reduction = Reduction {
            origin: Point::from(middle / length),
            size: length / (2.0 * std::f64::consts::PI),
        };
        let compliance = Compliance::new();
        Ok(BeamFrame { pieces, starts, closed, wire, reduction, compliance })
    }

    /// Length along the wire, mm.
    pub fn length(&self) -> f64 {
        *self.starts.last().unwrap_or(&0.0)
    }

    /// The wire.
    pub fn wire(&self) -> &BeamWire {
        &self.wire
    }

    /// The piece at an arc length already on the curve, and the arc length within it.
    pub(super) fn locate(&self, at: f64) -> (&Piece, f64) {
        let after = self.starts.partition_point(|start| *start <= at);
        let index = after.clamp(1, self.pieces.len()) - 1;
        let piece = &self.pieces[index];
        (piece, (at - self.starts[index]).clamp(0.0, piece.length()))
    }

    /// The point at an arc length already on the curve.
    pub(super) fn point(&self, at: f64) -> Point {
        let (piece, s) = self.locate(at);
        piece.point(s)
    }

    /// An arc length brought onto the curve: round a closed one, within an open one.
    pub(super) fn on_curve(&self, at: f64) -> Result<f64, BeamError> {
        let length = self.length();
        if self.closed && at.is_finite() {
            let round = at.rem_euclid(length);
            return Ok(if round < length { round } else { 0.0 });
        }
        in_range("place along the wire", at, 0.0, length)?;
        Ok(at)
    }

    /// Reduced compliance between two arc lengths, over as many pieces as lie between.
    pub(super) fn compliance_between(&self, from: f64, to: f64) -> Matrix6<f64> {
        let mut total = Matrix6::zeros();
        for (piece, start) in self.pieces.iter().zip(&self.starts) {
            let low = (from - start).max(0.0);
            let high = (to - start).min(piece.length());
            if high > low {
                total += self.compliance.between(&self.wire, &self.reduction, piece, low, high);
            }
        }
        total
    }

    /// The scale of reduced compliances, mm/N: size³/EI.
    pub(super) fn unit_compliance(&self) -> f64 {
        self.reduction.size.powi(3) / self.wire.bending_stiffness()
    }

    /// Stiffness at chosen places of the otherwise free wire: forces (N) and moments (N·mm),
    /// six to a place, for displacements (mm) and turns (radians) there. Symmetric; motions
    /// as a rigid body need no force.
    ///
    /// # Errors
    /// [`BeamError::SamePlace`] for two places in one; [`BeamError::Loose`] where the
    /// theory leaves a span rigid (a straight of [`Theory::Thin`](super::Theory::Thin)).
    pub fn stiffness(&self, places: &[f64]) -> Result<DMatrix<f64>, BeamError> {
        let places =
            places.iter().map(|at| self.on_curve(*at)).collect::<Result<Vec<f64>, BeamError>>()?;
        let mut order: Vec<usize> = (0..places.len()).collect();
        sort_places(&mut order, &mut |a, b| places[a].total_cmp(&places[b]));
        let mut total = DMatrix::zeros(6 * places.len(), 6 * places.len());
        let spans = if self.closed { order.len() } else { order.len().saturating_sub(1) };
        for k in 0..spans {
            let (near, far) = (order[k], order[(k + 1) % order.len()]);
            let (from, to) = (places[near], places[far]);
            let compliance = if k + 1 < order.len() {
                if to <= from {
                    return Err(BeamError::SamePlace { at_mm: from });
                }
                self.compliance_between(from, to)
            } else {
                self.compliance_between(from, self.length()) + self.compliance_between(0.0, to)
            };
            let unit = self.unit_compliance();
            let inverse = (compliance / unit)
                .try_inverse()
                .filter(|m| m.iter().all(|x| x.abs() < 1e12))
                .ok_or(BeamError::Loose { supports: 0 })?
                / unit;
            for (row, sign_row) in [(near, -1.0), (far, 1.0)] {
                let left = self.reduction.place_to_common(self.point(places[row])).transpose();
                for (column, sign_column) in [(near, -1.0), (far, 1.0)] {
                    let right = self.reduction.place_to_common(self.point(places[column]));
                    let block = left * inverse * right * (sign_row * sign_column);
                    let mut view = total.fixed_view_mut::<6, 6>(6 * row, 6 * column);
                    view += block;
                }
            }
        }
        Ok(total)
    }
}
