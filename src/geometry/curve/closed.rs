//! A closed centreline: pieces end to end, tangents matching all the way round.

use super::{Piece, Point, Pose, Vector};

/// A closed, tangent-continuous curve of arcs and straights.
///
/// # Invariants
/// Checked once, in [`ClosedCurve::new`]: at least one piece; each starts where the one
/// before ends, with its tangent; the last meets the first.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosedCurve {
    pieces: Vec<Piece>,
}

/// Why a list of pieces is not a closed curve.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// There is nothing to close.
    #[error("a closed curve needs at least one piece")]
    Empty,
    /// Two neighbours do not meet.
    #[error(
        "piece {piece} starts {gap_mm:.3e} mm from the end of the one before; at most {most_mm:.1e} mm is rounding"
    )]
    Broken {
        /// Index of the piece that starts in the wrong place.
        piece: usize,
        /// Distance between the ends, mm.
        gap_mm: f64,
        /// What rounding explains, mm.
        most_mm: f64,
    },
    /// Two neighbours meet at a corner.
    #[error(
        "piece {piece} starts at a corner of {corner_radians:.3e} rad; at most {most_radians:.1e} is rounding"
    )]
    Corner {
        /// Index of the piece that starts the wrong way.
        piece: usize,
        /// Angle between the tangents, radians.
        corner_radians: f64,
        /// What rounding explains, radians.
        most_radians: f64,
    },
}

/// Gap between neighbours as a share of the whole length: some hundred roundings in a row.
const GAP_SHARE: f64 = 1e-12;
/// Corner between neighbours, radians: arcs bent from a chord keep about ten digits.
const CORNER: f64 = 1e-9;
/// Roundings of a coordinate that the ends of one piece are off by: over the length of a piece cut
/// short that is a corner of its own, which no computation of its direction avoids.
const ROUNDINGS: f64 = 16.0;

impl ClosedCurve {
    /// Takes pieces end to end.
    ///
    /// # Errors
    /// [`CurveError`] where they do not meet or meet at a corner.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Vector};
    /// let circle = Piece::Arc(Arc {
    ///     centre: Point::origin(),
    ///     out: Vector::x_axis(),
    ///     along: Vector::y_axis(),
    ///     radius: 2.0,
    ///     turn: std::f64::consts::TAU,
    /// });
    /// let ring = ClosedCurve::new(vec![circle])?;
    /// assert!((ring.length() - 4.0 * std::f64::consts::PI).abs() < 1e-12);
    /// # Ok::<(), linkfold::geometry::curve::CurveError>(())
    /// ```
    pub fn new(pieces: Vec<Piece>) -> Result<ClosedCurve, CurveError> {
        let length: f64 = pieces.iter().map(Piece::length).sum();
        let Some(mut before) = pieces.last() else { return Err(CurveError::Empty) };
        let most_mm = GAP_SHARE * length;
        for (piece, next) in pieces.iter().enumerate() {
            let gap_mm = (next.start() - before.end()).norm();
            if !(gap_mm <= most_mm) {
                return Err(CurveError::Broken { piece, gap_mm, most_mm });
            }
            let corner_radians = (next.tangent(0.0) - before.tangent(before.length())).norm();
            let shortest = next.length().min(before.length()).max(f64::MIN_POSITIVE);
            let most_radians = CORNER.max(ROUNDINGS * f64::EPSILON * length / shortest);
            if !(corner_radians <= most_radians) {
                return Err(CurveError::Corner { piece, corner_radians, most_radians });
            }
            before = next;
        }
        Ok(ClosedCurve { pieces })
    }

    /// The pieces in order.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Length all round, mm.
    pub fn length(&self) -> f64 {
        self.pieces.iter().map(Piece::length).sum()
    }

    /// Point at arc length `s` mm from the first piece's start; that start again where `s`
    /// is more than all round.
    pub fn point(&self, s: f64) -> Point {
        let mut rest = s;
        for piece in &self.pieces {
            if rest <= piece.length() {
                return piece.point(rest);
            }
            rest -= piece.length();
        }
        self.pieces[0].start()
    }

    /// Points and unit tangents spaced evenly within each piece, no further apart than
    /// `step` mm, starting at the first piece's start; the start is not repeated.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Vector};
    /// let circle = Piece::Arc(Arc {
    ///     centre: Point::origin(),
    ///     out: Vector::x_axis(),
    ///     along: Vector::y_axis(),
    ///     radius: 2.0,
    ///     turn: std::f64::consts::TAU,
    /// });
    /// let ring = ClosedCurve::new(vec![circle])?;
    /// assert!(ring.walk(0.1).iter().all(|(point, _)| (point.coords.norm() - 2.0).abs() < 1e-12));
    /// # Ok::<(), linkfold::geometry::curve::CurveError>(())
    /// ```
    pub fn walk(&self, step: f64) -> Vec<(Point, Vector)> {
        let mut places = Vec::new();
        for piece in &self.pieces {
            let count = (piece.length() / step).ceil().clamp(1.0, 1e6);
            for i in 0..count as usize {
                let s = piece.length() * i as f64 / count;
                places.push((piece.point(s), piece.tangent(s)));
            }
        }
        places
    }

    /// The same curve moved rigidly.
    pub fn moved(&self, pose: &Pose) -> ClosedCurve {
        ClosedCurve { pieces: self.pieces.iter().map(|p| p.moved(pose)).collect() }
    }

    /// The same curve enlarged about the origin.
    pub fn scaled(&self, factor: f64) -> ClosedCurve {
        ClosedCurve { pieces: self.pieces.iter().map(|p| p.scaled(factor)).collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::curve::{Arc, Straight};
    use std::f64::consts::PI;

    #[test]
    fn a_full_circle_is_a_closed_curve_of_one_piece() {
        let circle = Arc {
            centre: Point::origin(),
            out: Vector::x_axis(),
            along: Vector::y_axis(),
            radius: 2.0,
            turn: 2.0 * PI,
        };
        let curve = ClosedCurve::new(vec![Piece::Arc(circle)]).unwrap();
        assert!((curve.length() - 4.0 * PI).abs() < 1e-14);
        assert_eq!(curve.walk(0.5).len(), 26); // 12.566 / 0.5, rounded up
    }

    #[test]
    fn gaps_and_corners_are_refused() {
        let line = Straight { start: Point::origin(), direction: Vector::x_axis(), length: 1.0 };
        let open = ClosedCurve::new(vec![Piece::Straight(line)]);
        assert!(matches!(open, Err(CurveError::Broken { piece: 0, .. })), "{open:?}");
        let back = Straight {
            start: Point::new(1.0, 0.0, 0.0),
            direction: -Vector::x_axis(),
            length: 1.0,
        };
        let corner = ClosedCurve::new(vec![Piece::Straight(line), Piece::Straight(back)]);
        assert!(matches!(corner, Err(CurveError::Corner { .. })), "{corner:?}");
        assert_eq!(ClosedCurve::new(vec![]), Err(CurveError::Empty));
    }
}
