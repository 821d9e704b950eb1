//! Why a chain cannot be computed, or does not lie.

use crate::math::units::Mm;

/// Why a chain cannot be computed, or does not lie.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ChainError {
    /// Wires overlap at every rise.
    #[error("no place to rest: at best the wires overlap by {overlap} ({offset} links on)")]
    NoRest {
        /// Least overlap found.
        overlap: Mm,
        /// How many links further the other wire is.
        offset: usize,
    },
    /// Pulled, nothing stops the next link: it comes out between the tips.
    #[error(
        "pulled, the links come apart: nothing stops the next link, which passes with {clearance} to spare at rest"
    )]
    PullsOut {
        /// Clearance where it lies freest, metal to metal.
        clearance: Mm,
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
