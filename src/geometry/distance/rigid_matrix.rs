//! Rigid motions as matrices.

use crate::geometry::curve::{Pose, Vector};

/// A rigid motion as a matrix: cheaper than a quaternion for many points.
#[derive(Clone, Copy, Debug)]
pub(super) struct RigidMatrix {
    turn: nalgebra::Matrix3<f64>,
    shift: Vector,
}

impl RigidMatrix {
    pub fn new(pose: &Pose) -> RigidMatrix {
        RigidMatrix {
            turn: pose.rotation.to_rotation_matrix().into_inner(),
            shift: pose.translation.vector,
        }
    }

    #[inline]
    pub fn point(&self, point: &Vector) -> Vector {
        self.turn * point + self.shift
    }

    #[inline]
    pub fn direction(&self, direction: &Vector) -> Vector {
        self.turn * direction
    }
}
