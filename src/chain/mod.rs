//! The chain at rest and in the hand.

mod body;
mod climb;
mod rest;
mod row;
mod swing;

pub use body::Body;
pub use rest::{Rest, rest};
pub use row::{Row, Touch};
pub use swing::{FINE, Limit, limit};

use crate::units::Mm;

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
}
