//! The ring: wound on a mandrel, sawn, soldered shut.

use super::{FormError, Obstacle, ToolDimension};
use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Vector};
use crate::math::units::Mm;
use std::f64::consts::{PI, TAU};

/// A soldered ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Wire diameter, mm.
    pub wire: f64,
    /// Length of the centreline, mm: `L = π (M' + d) − k`.
    pub centreline: f64,
}

impl Ring {
    /// A ring of wire `wire` from a mandrel `mandrel`, opened by `springback` in inside
    /// diameter, sawn with a kerf of `kerf` and closed; all mm.
    ///
    /// # Errors
    /// The mandrel is too small for the closed ring to have an inside at all.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::Ring;
    /// let ring = Ring::off_mandrel(1.0, 5.0, 0.0, 0.26)?; // wire, mandrel, springback, kerf: mm
    /// assert!((ring.inside_diameter() - 4.9172).abs() < 1e-4); // the cut closes by kerf / π
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn off_mandrel(
        wire: f64,
        mandrel: f64,
        springback: f64,
        kerf: f64,
    ) -> Result<Ring, FormError> {
        let centreline = PI * (mandrel + springback + wire) - kerf;
        if !(centreline > PI * wire) {
            return Err(FormError::TooSmall {
                dimension: ToolDimension::Mandrel,
                value: Mm::new(mandrel),
                least: Mm::new((kerf / PI - springback).max(0.0) + wire),
                obstacle: Obstacle::NoInside,
            });
        }
        Ok(Ring { wire, centreline })
    }

    /// The same ring, its centreline longer by the share `growth`. The wire grows thinner by half that
    /// share, which is left out: thicker wire needs more clearance, not less.
    pub fn grown(&self, growth: f64) -> Ring {
        Ring { centreline: self.centreline * (1.0 + growth), ..*self }
    }

    /// Centreline radius of the closed ring, mm.
    pub fn radius(&self) -> f64 {
        self.centreline / TAU
    }

    /// Inside diameter of the closed ring, mm.
    pub fn inside_diameter(&self) -> f64 {
        2.0 * self.radius() - self.wire
    }

    /// The centreline: one circle.
    pub fn curve(&self) -> ClosedCurve {
        let circle = Piece::Arc(Arc {
            centre: Point::origin(),
            out: Vector::y_axis(),
            along: Vector::x_axis(),
            radius: self.radius(),
            turn: TAU,
        });
        ClosedCurve::new(vec![circle]).expect("a full circle closes")
    }
}
