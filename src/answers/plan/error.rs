//! Why a chain cannot be planned.

use crate::answers::build::{BuildError, nesting_words};
use crate::documents::design::DesignError;
use crate::documents::units::{LengthUnit, length_words, length_words_down, length_words_up};
use crate::math::units::Mm;
use crate::motion::chain::ChainError;

/// Why a chain cannot be planned.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// A number outside its range.
    #[error(transparent)]
    Design(#[from] BuildError),
    /// Shorter than one link of every size with the clasp.
    #[error("plan.length_mm asks for {wanted} laid flat; the shortest such chain is {least}")]
    TooShort {
        /// Flat length wanted.
        wanted: Mm,
        /// The least that can be made.
        least: Mm,
    },
    /// More links than anybody makes.
    #[error(
        "plan.length_mm asks for {wanted} laid flat; with links so small at most {most} is planned here"
    )]
    TooLong {
        /// Flat length wanted.
        wanted: Mm,
        /// The most that is planned.
        most: Mm,
    },
    /// Two sizes that follow one another do not lie in one another.
    #[error("links of size {after} will not nest in size {before} (counted from 1): {source}")]
    DoesNotLie {
        /// The size that receives, from 1.
        before: usize,
        /// The size worked through it, from 1.
        after: usize,
        /// What is in the way.
        source: ChainError,
    },
    /// Where sizes change, links cannot all lie clear of one another.
    #[error(
        "where size {before} meets size {after} (counted from 1) the chain locks before it is straight; take sizes nearer to each other, or links with more play"
    )]
    Crowded {
        /// Size of the earlier link, from 1.
        before: usize,
        /// Size of the later link, from 1.
        after: usize,
    },
    /// Not one ring comes of a coil.
    #[error(
        "plan.coil_mm is {coil}: no whole ring of wire {wire} comes of it; wind at least {wire}"
    )]
    CoilTooShort {
        /// Length of a coil.
        coil: Mm,
        /// The thickest wire.
        wire: Mm,
    },
}

impl From<DesignError> for PlanError {
    fn from(error: DesignError) -> PlanError {
        PlanError::Design(error.into())
    }
}

impl PlanError {
    /// The field at fault, as named in the design.
    pub fn field(&self) -> String {
        match self {
            PlanError::Design(fault) => fault.field(),
            PlanError::TooShort { .. } | PlanError::TooLong { .. } => "plan.length_mm".into(),
            PlanError::CoilTooShort { .. } => "plan.coil_mm".into(),
            PlanError::DoesNotLie { .. } | PlanError::Crowded { .. } => "sizes".into(),
        }
    }

    /// The message for a reader, sizes by their `names`, lengths in `unit`.
    pub fn message(&self, names: &[String], unit: LengthUnit) -> String {
        let named = |size: usize| {
            let name = names.get(size - 1).map_or("", String::as_str);
            format!("\u{201c}{name}\u{201d}")
        };
        match self {
            PlanError::DoesNotLie { before, after, source } if before == after => format!(
                "{} links will not nest in one another: {}",
                named(*after),
                nesting_words(source, unit)
            ),
            PlanError::DoesNotLie { before, after, source } => format!(
                "{} links will not nest in {} links: {}",
                named(*after),
                named(*before),
                nesting_words(source, unit)
            ),
            PlanError::Crowded { before, after } => format!(
                "where {} meets {} the chain locks before it is straight; take sizes nearer to each other, or links with more play",
                named(*before),
                named(*after)
            ),
            PlanError::Design(fault) => fault.message("this", unit),
            PlanError::TooShort { wanted, least } => format!(
                "{} laid flat is too short: one link of every size and the clasp measure {}",
                length_words(*wanted, unit),
                length_words_up(*least, unit)
            ),
            PlanError::TooLong { wanted, most } => format!(
                "{} laid flat is too long: with links so small at most {} is planned here",
                length_words(*wanted, unit),
                length_words_down(*most, unit)
            ),
            PlanError::CoilTooShort { coil, wire } => format!(
                "a coil of {} gives no whole ring; wind at least {}",
                length_words(*coil, unit),
                length_words_up(*wire, unit)
            ),
        }
    }

    pub(super) fn too_short(wanted: f64, least: f64) -> PlanError {
        PlanError::TooShort { wanted: Mm::new(wanted), least: Mm::new(least) }
    }

    pub(super) fn too_long(wanted: f64, most: f64) -> PlanError {
        PlanError::TooLong { wanted: Mm::new(wanted), most: Mm::new(most) }
    }
}
