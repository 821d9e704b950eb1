//! Why the pull cannot be answered.

use crate::math::units::Mm;
use crate::mechanics::beam::BeamError;
use crate::mechanics::section::SectionError;

/// Why the pull cannot be answered.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StrengthError {
    /// The next link's waist has no place inside this link's lobes.
    #[error("no seat for the next waist inside these lobes; overlap {short}")]
    NoSeat {
        /// By how much wires overlap where there should be most clearance; 0 where that is not it.
        short: Mm,
    },
    /// Not a wire.
    #[error(transparent)]
    Section(#[from] SectionError),
    /// The beam cannot answer.
    #[error(transparent)]
    Beam(#[from] BeamError),
}
