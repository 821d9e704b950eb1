//! A metal drawn to a round section: moment against curvature, springback, and what is left
//! after bending to and fro.
//!
//! Model: plane sections, curvature measured from the annealed shape, pure bending.
//! Limits: no axial pull, so the middle of the wire neither stretches nor yields; strain is
//! taken as y·κ, small against a true strain (11 % at a bend radius of two diameters); the
//! section stays round. A bend tighter than the wire's own radius is refused.
//! Conventions: mm, N, MPa, radians; curvature in 1/mm, of either sign.
//! Evidence: `tests/bending.rs`, `tests/handbook.rs`.

mod bending;
mod history;
mod round;

pub use bending::Bending;
pub use history::{Reversal, SectionLayers, SectionResponse, SectionState};
pub use round::{RoundSection, SectionError};
