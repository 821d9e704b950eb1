//! What a chain is hung round: a wrist, a neck, a ball to try it on.

use crate::geometry::curve::{Point, Vector};
use nalgebra::Unit;

/// A round form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DrapeForm {
    /// A ball.
    Sphere {
        /// Its centre.
        centre: Point,
        /// mm.
        radius: f64,
    },
    /// A long form of elliptic section: a wrist lying across, a neck standing up.
    Cylinder {
        /// A point on its axis.
        centre: Point,
        /// Along it.
        axis: Unit<Vector>,
        /// Along one half width of the section; the other is square to it and to the axis.
        across: Unit<Vector>,
        /// Half widths of the section, mm: along `across`, and square to it.
        half_widths: [f64; 2],
    },
}

impl DrapeForm {
    /// How deep `point` is inside the form grown by `more` mm all round, mm, below zero
    /// outside; and how fast a move lessens it, nearly the unit vector out. Depth is exact for
    /// round sections and on the surface of elliptic ones; there it grows as the ellipse does.
    pub fn depth(&self, point: &Point, more: f64) -> (f64, Vector) {
        match *self {
            DrapeForm::Sphere { centre, radius } => {
                let out = point - centre;
                let way = out.try_normalize(1e-12).unwrap_or_else(Vector::z);
                (radius + more - out.norm(), way)
            }
            DrapeForm::Cylinder { centre, axis, across, half_widths } => {
                let [a, b] = half_widths.map(|half| half + more);
                let away = point - centre;
                let other = axis.cross(&across);
                let (x, y) = (away.dot(&across), away.dot(&other));
                // 1 on the surface, growing evenly outwards.
                let fraction = (x / a).hypot(y / b);
                let slope = x / (a * a) * across.into_inner() + y / (b * b) * other;
                let least = a.min(b);
                if fraction > 1e-12 {
                    (least * (1.0 - fraction), least / fraction * slope)
                } else {
                    (least, least / a * across.into_inner())
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_form_is_as_far_as_its_radius_says() {
        let centre = Point::new(1.0, 2.0, 3.0);
        let ball = DrapeForm::Sphere { centre, radius: 2.0 };
        let (deep, out) = ball.depth(&Point::new(1.0, 7.0, 3.0), 0.5);
        assert!((deep + 2.5).abs() < 1e-12 && (out - Vector::y()).norm() < 1e-12);
        let (axis, across) = (Vector::y_axis(), Vector::x_axis());
        let rod = |half_widths| DrapeForm::Cylinder { centre, axis, across, half_widths };
        let (deep, out) = rod([2.0, 2.0]).depth(&Point::new(1.0, 9.0, 0.5), 0.0);
        assert!((deep + 0.5).abs() < 1e-12 && (out + Vector::z()).norm() < 1e-12);
        // On the surface of an ellipse: no depth, and the way out is its normal's.
        let on = Point::new(1.0 + 3.0 * 0.6, 0.0, 3.0 + 2.0 * 0.8);
        let (deep, out) = rod([2.5, 1.5]).depth(&on, 0.5);
        let normal = Vector::new(0.6 / 3.0, 0.0, 0.8 / 2.0).normalize();
        assert!(deep.abs() < 1e-12 && (out.normalize() - normal).norm() < 1e-12);
        assert!(rod([3.0, 2.0]).depth(&centre, 0.0).0 > 0.0);
    }

    /// The way out is the slope of the depth.
    #[test]
    fn the_way_out_lessens_the_depth_as_fast_as_it_says() {
        let centre = Point::new(0.3, -0.2, 0.5);
        let (axis, across) = (Vector::y_axis(), Vector::x_axis());
        let oval = DrapeForm::Cylinder { centre, axis, across, half_widths: [3.0, 2.0] };
        for form in [oval, DrapeForm::Sphere { centre, radius: 2.0 }] {
            let at = Point::new(1.7, 0.4, -1.1);
            let (_, out) = form.depth(&at, 0.3);
            for axis in 0..3 {
                let mut by = Vector::zeros();
                by[axis] = 1e-6;
                let change = form.depth(&(at + by), 0.3).0 - form.depth(&(at - by), 0.3).0;
                assert!((change / 2e-6 + out[axis]).abs() < 1e-8, "{form:?} {axis}");
            }
        }
    }
}
