//! The chain at rest and in the hand: pitch, play, crowding, swing, coils, weaves, drape.
//!
//! Model: rigid links as the jaws leave them, closed to their tip gap; z along the chain, and
//! link n + 1, facing as link n does, with its waist through both lobes of link n. Clearance
//! is the distance of centrelines less the mean of both wires.
//! Conventions: mm, radians. Turns are of the later link against the earlier, right-handed.
//! Limits: no friction, no give of the wire.
//! Evidence: `tests/chain.rs`.

mod body;
mod coil;
mod error;
mod maximin;
mod measures;
mod mixed_row;
mod rest;
mod row;
mod suggestion;
mod swing;
mod upright;
mod weave;

pub use body::Body;
pub use coil::{Coil, coil_axis, coil_of};
pub use error::ChainError;
pub use measures::{
    About, Bent, BothWays, Joint, MOST_TURN, Measures, Seated, crowding_across, joint, measure,
    seated, seated_clearance,
};
pub use mixed_row::mixed_row;
pub use rest::{Rest, rest};
pub use row::{Row, RowContact};
pub use suggestion::{ChainSuggestion, suggestions};
pub use swing::{FINE, Limit, limit};
pub use upright::{Upright, aslant};
pub use weave::{MOST_CHAINS, MOST_THROUGH, Weave};
