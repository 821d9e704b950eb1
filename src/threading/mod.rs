//! Threading: will this link go through that one.
//!
//! Model: rigid links of round wire; the receiving link is closed and does not move. The
//! first estimate asks three closed questions; see [`estimate`].
//! Limits: an estimate is no proof. Its three conditions are necessary, not enough.
//! Conventions: mm; clearance is metal to metal, below zero where wires would overlap.
//! Evidence: `tests/joining.rs`.

mod estimate;
mod gate;

pub use estimate::{Estimate, Place, estimate};
pub use gate::joining_pose;
