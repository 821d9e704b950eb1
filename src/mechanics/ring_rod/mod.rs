//! A ring between jaws, round or flat with rounded edges: the shape it takes while loaded, and the one after release.
//!
//! Model: a planar wire that bends elastically and plastically (layers of `section::history`,
//! which remember each step), stretches elastically along its length, and touches
//! frictionless, rigid jaws. The ring has two mirror lines, so a quarter is computed: from the
//! middle of its side (later the waist) to its tip.
//! Limits: plane shapes; no shear strain, no yielding by the pull along the wire (the answer
//! reports that pull, so that it can be compared with the yield stress); jaws do not dent.
//! Conventions: x along the oval, tips at y = 0; curvature positive where a ring has it,
//! negative at a pinched waist.
//!
//! Method: nodes joined by straight segments; the turn at a node over the segment length is
//! its curvature. Balance by Newton's method with a band matrix; jaws press by a penalty as
//! stiff as a segment is along its length. Halving the segments quarters the error.
//! Evidence: `tests/ring_rod.rs`; speed: `benches/ring_rod.rs`.

mod forming;
mod quarter;

pub use forming::{BentPlaces, LoadedRod, RingRod, RodError, RodSettings, RodShape};
