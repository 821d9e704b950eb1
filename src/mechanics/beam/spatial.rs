//! Forces and motions reduced to one point, in one scale.
//!
//! A force f with moment m at place x becomes (f, m + x × f); a small motion (u, θ) at x
//! becomes (u − θ × x, θ). Then force times motion is work wherever they are read.
//! Places, moments and turns are divided, divided and multiplied by the curve's size, so that
//! all six numbers share a unit.

use crate::geometry::curve::{Point, Vector};
use nalgebra::{Matrix3, Matrix6, Vector6};

/// The common point and the common size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reduction {
    pub origin: Point,
    /// mm, above zero.
    pub size: f64,
}

/// Stacks two vectors.
pub(super) fn stacked(top: Vector, bottom: Vector) -> Vector6<f64> {
    Vector6::new(top.x, top.y, top.z, bottom.x, bottom.y, bottom.z)
}

/// First three numbers.
pub(super) fn top(v: &Vector6<f64>) -> Vector {
    Vector::new(v[0], v[1], v[2])
}

/// Last three numbers.
pub(super) fn bottom(v: &Vector6<f64>) -> Vector {
    Vector::new(v[3], v[4], v[5])
}

impl Reduction {
    /// A place, scaled.
    pub fn place(&self, x: Point) -> Vector {
        (x - self.origin) / self.size
    }

    /// A force (N) and a moment (N·mm) at a place, reduced.
    pub fn wrench(&self, x: Point, force: Vector, moment: Vector) -> Vector6<f64> {
        stacked(force, moment / self.size + self.place(x).cross(&force))
    }

    /// Force (N) and moment (N·mm) read at a place.
    pub fn force_at(&self, x: Point, wrench: &Vector6<f64>) -> (Vector, Vector) {
        let force = top(wrench);
        (force, (bottom(wrench) - self.place(x).cross(&force)) * self.size)
    }

    /// Displacement (mm) and turn (radians) read at a place.
    pub fn motion_at(&self, x: Point, motion: &Vector6<f64>) -> (Vector, Vector) {
        let turn = bottom(motion);
        (top(motion) + turn.cross(&self.place(x)), turn / self.size)
    }

    /// The matrix that takes a displacement and a turn at a place to the reduced motion.
    pub fn place_to_common(&self, x: Point) -> Matrix6<f64> {
        let mut matrix = Matrix6::identity();
        matrix.fixed_view_mut::<3, 3>(0, 3).copy_from(&cross(&(self.place(x) * self.size)));
        matrix.fixed_view_mut::<3, 3>(3, 3).copy_from(&(Matrix3::identity() * self.size));
        matrix
    }
}

/// The matrix of v × (…).
pub(super) fn cross(v: &Vector) -> Matrix3<f64> {
    v.cross_matrix()
}
