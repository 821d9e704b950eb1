//! Gauges and jigs for a design's links: what is printed, cut or filed to measure and to bend them.
//!
//! Every part is made of upright prisms (`mesh`), seen from above as outlines. Shapes to be
//! measured are those of the released link; tools are corrected for springback, so that the released
//! link has the design's shape. What a printer makes too thick comes off again: walls are moved by
//! half of the allowance that the test piece shows.
//! Conventions: mm; parts stand on z = 0.
//! Limits: what plastic bears is an estimate (`mechanics::printed`).
//! Evidence: `tests/jigs.rs`, `benches/jig.rs`.

mod contour;
mod error;
mod fold;
mod gaps;
mod making;
mod mandrel;
mod oval;
mod part;
mod plate;
mod tolerance;
mod tools;
mod waist;

pub use error::JigError;
pub use part::{
    JIG_CAUTION, JIG_CAUTIONS, Jig, JigKind, JigMeasure, JigRequest, LEAST_WALL, Pocket,
    STROKE_DEPTH, step_name,
};
pub use tolerance::{Tolerance, tolerances};
