//! Why wishes cannot be worked on.

use crate::answers::build::BuildError;
use crate::documents::bench::BenchError;
use crate::documents::design::DesignError;
use crate::documents::format::ReadError;

/// The version this crate writes and reads.
pub const VERSION: u32 = 1;

/// Why wishes cannot be worked on. What cannot be had is no error: see [`super::Refusal`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OptimiseError {
    /// Not JSON, or not the fields of wishes.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// Of another version.
    #[error("\"linkfold_wishes\" is {found}; this program reads version {VERSION}")]
    Version {
        /// What the wishes say.
        found: u32,
    },
    /// A number outside its range.
    #[error("{at} is {value}; it must lie between {least} and {most}")]
    OutOfRange {
        /// Which field.
        at: String,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The most it may be.
        most: f64,
    },
    /// Too many entries, or none where there must be some.
    #[error("{at} has {found} entries; it must have between {least} and {most}")]
    Count {
        /// Which field.
        at: String,
        /// How many there are.
        found: usize,
        /// The fewest there may be.
        least: usize,
        /// The most there may be.
        most: usize,
    },
    /// A figure or dimension that stands there already.
    #[error("{at}: {name} stands there already; say all about it in one place")]
    Twice {
        /// Which entry.
        at: String,
        /// What it names.
        name: &'static str,
    },
    /// A wish or a free dimension that says nothing, or two things at once.
    #[error("{at}: {advice}")]
    Shape {
        /// Which entry.
        at: String,
        /// What would work.
        advice: &'static str,
    },
    /// From above to.
    #[error("{at}: from {low} to {high} is no range; the first must be less")]
    Reversed {
        /// Which entry.
        at: String,
        /// The lower end as given.
        low: f64,
        /// The upper end as given.
        high: f64,
    },
    /// No such size.
    #[error("size is {found}; the design has {sizes}, counted from 0")]
    NoSuchSize {
        /// What was asked for.
        found: usize,
        /// How many there are.
        sizes: usize,
    },
    /// Clearance for joining is not known in this weave.
    #[error(
        "{at}: clearance when joining is only known in a single weave, and this design's is {weave}"
    )]
    NoRoomInWeave {
        /// Which entry.
        at: String,
        /// The weave.
        weave: &'static str,
    },
    /// Nothing on the bench for a dimension that is to be from there.
    #[error("{at}: there is no {name} on the bench; enter some there, or give a range")]
    BenchBare {
        /// Which entry.
        at: String,
        /// What it names.
        name: &'static str,
    },
    /// The bench itself.
    #[error("the bench: {0}")]
    Bench(#[from] BenchError),
    /// The design itself.
    #[error("the design: {0}")]
    Design(#[from] BuildError),
}

impl From<DesignError> for OptimiseError {
    fn from(error: DesignError) -> OptimiseError {
        OptimiseError::Design(error.into())
    }
}
