//! Forming: a ring becomes an oval, a figure eight and a folded loop.
//!
//! Model: bending does not stretch the centreline, so every state keeps the ring's
//! length; outlines are arcs and straights, tangent-continuous. The figure eight is
//! folded by wrapping it on a cylinder without stretch, and the wrapped part is written
//! as arcs.
//! Conventions: mm, radians. Flat shapes lie in the (u, v) plane, long axis u. Folded
//! loops: z along the chain, fold at z = 0 and lobes up; x leg to leg; y along the
//! fold's axis.
//! Limits: shapes as the jaws leave them.
//! Evidence: `tests/link_shapes.rs`, `tests/handbook.rs`.

mod eight;
mod fold;
mod fold_span;
mod oval;
mod ring;
mod steps;
mod wire_region;

pub use eight::Eight;
pub use fold::{Fold, WRAP_DEVIATION};
pub use fold_span::FoldSpan;
pub use oval::Oval;
pub use ring::Ring;
pub use steps::{Forming, Step, StepShape, ToolDimensions};
pub use wire_region::WireRegion;

use crate::math::units::{LengthUnit, Mm, length_words, length_words_down, length_words_up};

/// Why a ring cannot be formed so. Each names the dimension, its value and the nearest
/// value that works while all others stay.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FormError {
    /// A dimension lies below the least that works.
    #[error("{}", too_small(field, *value, *least, reason, LengthUnit::Mm))]
    TooSmall {
        /// Which dimension, as named in the design.
        field: &'static str,
        /// What was asked for.
        value: Mm,
        /// The least that works.
        least: Mm,
        /// What goes wrong at the bench.
        reason: &'static str,
    },
    /// A dimension lies above the greatest that works.
    #[error("{}", too_large(field, *value, *most, reason, LengthUnit::Mm))]
    TooLarge {
        /// Which dimension, as named in the design.
        field: &'static str,
        /// What was asked for.
        value: Mm,
        /// The most that works.
        most: Mm,
        /// What goes wrong at the bench.
        reason: &'static str,
    },
}

impl FormError {
    /// The dimension at fault, as named in the design.
    pub fn field(&self) -> &'static str {
        match self {
            FormError::TooSmall { field, .. } | FormError::TooLarge { field, .. } => field,
        }
    }

    /// The message, with the dimension called `name` and lengths in `unit`.
    pub fn told(&self, name: &str, unit: LengthUnit) -> String {
        match *self {
            FormError::TooSmall { value, least, reason, .. } => {
                too_small(name, value, least, reason, unit)
            }
            FormError::TooLarge { value, most, reason, .. } => {
                too_large(name, value, most, reason, unit)
            }
        }
    }
}

fn too_small(name: &str, value: Mm, least: Mm, reason: &str, unit: LengthUnit) -> String {
    let (value, least) = (length_words(value, unit), length_words_up(least, unit));
    format!("{name} is {value}: {reason}; the least that works here is {least}")
}

fn too_large(name: &str, value: Mm, most: Mm, reason: &str, unit: LengthUnit) -> String {
    let (value, most) = (length_words(value, unit), length_words_down(most, unit));
    format!("{name} is {value}: {reason}; the most that works here is {most}")
}
