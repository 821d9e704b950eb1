//! Outlines with two mirror lines, built from a quarter.

use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Straight, Vector};
use nalgebra::Unit;
use std::f64::consts::FRAC_PI_2;

/// A quarter curve under construction, piece after piece, from a point with heading +u.
pub(super) struct QuarterOutline {
    pub(super) pieces: Vec<Piece>,
    end: Point,
    heading: f64,
}

impl QuarterOutline {
    pub(super) fn from(start: Point) -> QuarterOutline {
        QuarterOutline { pieces: Vec::with_capacity(6), end: start, heading: 0.0 }
    }

    /// Adds `length` mm that turn by `turn`, to the left when positive.
    pub(super) fn run(&mut self, length: f64, turn: f64) {
        if length <= 0.0 {
            return;
        }
        let along = heading(self.heading);
        // A turn this small displaces the end by less than its coordinates' rounding.
        let piece = if turn.abs() < 1e-14 {
            Piece::Straight(Straight { start: self.end, direction: along, length })
        } else {
            let radius = length / turn.abs();
            let out = heading(self.heading - turn.signum() * FRAC_PI_2);
            let centre = self.end - radius * out.into_inner();
            Piece::Arc(Arc { centre, out, along, radius, turn: turn.abs() })
        };
        self.end = piece.end();
        self.heading += turn;
        self.pieces.push(piece);
    }
}

/// The closed curve of which `quarter` runs from the plane x = 0 to the plane y = 0, square to
/// both; its mirror images in the two planes complete it.
pub(super) fn close_quarter(quarter: &[Piece]) -> ClosedCurve {
    close_halves(quarter, quarter)
}

/// Likewise with another quarter, also given at positive x, on the side of negative x.
pub(super) fn close_halves(quarter: &[Piece], other: &[Piece]) -> ClosedCurve {
    let across = Vector::new(1.0, -1.0, 1.0);
    let half = |quarter: &[Piece], signs: Vector| {
        let out = quarter.iter().map(|p| p.mirrored(signs));
        let across = signs.component_mul(&across);
        let back = quarter.iter().rev().map(|p| p.mirrored(across).reversed());
        out.chain(back).collect::<Vec<_>>()
    };
    // Around: waist to tip on one side, tip to waist on the other, then the other lobe.
    let mut pieces = half(quarter, Vector::new(1.0, 1.0, 1.0));
    pieces.extend(half(other, Vector::new(-1.0, -1.0, 1.0)));
    ClosedCurve::new(pieces).expect("a quarter that ends square on its planes closes by symmetry")
}

/// Unit vector at angle `t` from the u axis.
fn heading(t: f64) -> Unit<Vector> {
    Unit::new_unchecked(Vector::new(t.cos(), t.sin(), 0.0))
}
