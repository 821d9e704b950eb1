//! Arcs, straights and the closed centrelines made of them, in space.
//!
//! A planar curve is one whose points have z = 0. Lengths in mm, angles in radians.

mod biarc;
mod closed;
mod piece;

pub use biarc::push_biarc;
pub use closed::{ClosedCurve, CurveError};
pub use piece::{Arc, Piece, Straight};

/// A point of space, mm.
pub type Point = nalgebra::Point3<f64>;
/// A displacement (mm) or a direction (no unit).
pub type Vector = nalgebra::Vector3<f64>;
/// A rigid motion: rotation, then translation in mm.
pub type Pose = nalgebra::Isometry3<f64>;
