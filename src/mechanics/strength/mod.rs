//! Pull: how far a link stretches, where it is stressed most, when it takes a set, when it collapses.
//!
//! Model: one link of a chain of its like, drawn straight. The neighbours' contacts are found,
//! not assumed: the next link, in the same pose, is raised along the chain until its two waist
//! wires bear inside this link's two lobe ends ([`Seat`]). The link carries those four forces
//! on its lobes and, by the same token, four opposite ones on its own waist from the link
//! before: a balanced load, solved by the curved beam of `beam`. Lobe tips and waist wires that
//! are pinched shut press on one another where the pull drives them together.
//! First set: annealed metal, the greatest elastic stress at the yield stress.
//! Collapse: rigid–plastic, annealed metal at its yield stress, with a lower bound (a balanced
//! state no section of which is beyond a surface inside the true yield surface) and an upper
//! one (a surface outside it); see [`Collapse`].
//! Limits: no friction, no dent where wires touch, no change of shape before the collapse, the
//! seam as sound as the wire, no residual stress from forming. Worked wire that is not annealed
//! stands more than is said here. Bearing stress under the contacts is left out; the bending
//! stress under a point load errs high.
//! Conventions: mm, N, MPa; places along the wire as shares of the whole from the waist's
//! middle: tips at 0.25 and 0.75, the other waist wire at 0.5.
//! Evidence: `tests/strength.rs`; the beam's own in `tests/beam.rs`; speed: `benches/metal.rs`.

mod collapse;
mod contacts;
mod error;
mod pull;
mod seam;

pub use collapse::{Collapse, collapse};
pub use contacts::{Seat, SeatContact};
pub use error::StrengthError;
pub use pull::{Peak, Pull};
pub use seam::Seam;
