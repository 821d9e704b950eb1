//! The chain at rest and in the hand: pitch, play, crowding, swing, coils, weaves, drape.
//!
//! LinearModel: rigid links as the jaws leave them, closed to their tip gap; z along the chain, and
//! link n + 1, facing as link n does, with its waist through both lobes of link n. Clearance
//! is the distance of centrelines less the mean of both wires.
//! Conventions: mm, radians. Turns are of the later link against the earlier, right-handed.
//! Limits: no friction, no give of the wire.
//! Evidence: `tests/chain.rs`.

mod body;
mod climb;
mod coil;
mod measures;
mod rest;
mod row;
mod suggestion;
mod swing;
mod weave;

pub use body::Body;
pub use coil::{Coil, coil_axis, coil_of};
pub use measures::{
    About, Bent, BothWays, Joint, MOST_TURN, Measures, Seated, crowding_across, joint, lies,
    measure,
};
pub use rest::{Rest, rest};
pub use row::{Row, RowContact};
pub use suggestion::{ChainSuggestion, suggestions};
pub use swing::{FINE, Limit, limit};
pub use weave::{MOST_CHAINS, MOST_THROUGH, Weave};

use crate::math::units::Mm;

/// Why a chain cannot be computed, or does not lie.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChainError {
    /// Wires overlap at every rise.
    #[error("no place to rest: at best the wires overlap by {overlap} ({offset} links on)")]
    NoRest {
        /// Least overlap found.
        overlap: Mm,
        /// How many links further the other wire is.
        offset: usize,
    },
    /// A link lies in those it is worked through, but not with its other neighbours in line.
    #[error(
        "a {weave} chain of these links locks before it is straight: links {offset} apart overlap by at least {overlap}; take a larger mandrel or thinner wire"
    )]
    Locks {
        /// The weave's name.
        weave: &'static str,
        /// Least overlap found.
        overlap: Mm,
        /// How many links further the other wire is.
        offset: usize,
    },
}
