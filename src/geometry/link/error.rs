//! Why a ring cannot be formed so.

use super::ToolDimension;
use crate::math::units::Mm;

/// What goes wrong at the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Obstacle {
    /// The closed ring has no inside left.
    NoInside,
    /// The ring does not go round the jaws.
    JawsTooThick,
    /// The ring is longer inside before it is stretched.
    ShorterThanRing,
    /// The ring is taut on the jaws before it is that long.
    LongerThanTaut,
    /// The ring is too small to be pinched to this bore on these jaws.
    RingTooSmall,
    /// The waist would be wider than the lobes.
    WaistWiderThanLobes,
    /// The flat figure eight is shorter than the gap between the tips.
    GapLongerThanEight,
    /// The legs are too short to bring the tips together round the jaw.
    LegsTooShort,
    /// The tips would be nearer to each other while joining than after.
    ClosesWhileJoining,
    /// The ring is too small for a neck this long and lobes of this bore.
    NeckTooLong,
    /// The pressed lobe would be narrower than the waist.
    PressedBelowWaist,
}

/// Why a ring cannot be formed so: the dimension at fault, its value, and the nearest value that
/// works while all others stay.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum FormError {
    /// A dimension lies below the least that works.
    #[error("{dimension:?} {value} is below {least}: {obstacle:?}")]
    TooSmall {
        /// Which dimension.
        dimension: ToolDimension,
        /// What was asked for.
        value: Mm,
        /// The least that works.
        least: Mm,
        /// What goes wrong.
        obstacle: Obstacle,
    },
    /// A dimension lies above the greatest that works.
    #[error("{dimension:?} {value} is above {most}: {obstacle:?}")]
    TooLarge {
        /// Which dimension.
        dimension: ToolDimension,
        /// What was asked for.
        value: Mm,
        /// The most that works.
        most: Mm,
        /// What goes wrong.
        obstacle: Obstacle,
    },
}

impl FormError {
    /// The dimension at fault.
    pub fn dimension(&self) -> ToolDimension {
        match self {
            FormError::TooSmall { dimension, .. } | FormError::TooLarge { dimension, .. } => {
                *dimension
            }
        }
    }
}
