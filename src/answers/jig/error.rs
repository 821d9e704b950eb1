//! Why a gauge or a jig cannot be made, and what would do.

use crate::answers::build::BuildError;
use crate::documents::units::{LengthUnit, length_words, length_words_down, length_words_up};
use crate::math::units::Mm;
use crate::mesh::MeshError;

/// Why a gauge or a jig cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum JigError {
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] BuildError),
    /// The part cannot be written as a solid.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// There is no such size.
    #[error("size {size} is asked for; this design has sizes 1 to {most}")]
    NoSize {
        /// What was asked for, counted from 1.
        size: usize,
        /// How many there are.
        most: usize,
    },
    /// The printer's allowance is none.
    #[error("print_allowance_mm is {value}; it has to be from {} to {}", limits[0], limits[1])]
    Allowance {
        /// What was given, mm.
        value: f64,
        /// Least and most.
        limits: [f64; 2],
    },
    /// The join has no clearance to share out as tolerance.
    #[error("{}", self.message(LengthUnit::Mm))]
    NoClearance {
        /// Clearance found.
        clearance: Mm,
        /// The clearance asked for.
        wanted: Mm,
    },
    /// Links do not lie in the weave, so that no clearance is known.
    #[error("no tolerance is known: {0}")]
    NoRow(String),
    /// What is left to err by is finer than any workshop makes.
    #[error("{}", self.message(LengthUnit::Mm))]
    TooFine {
        /// What each outline may be off by.
        tolerance: Mm,
        /// The least that a gauge is made for.
        least: Mm,
    },
    /// The part is larger than a printer takes.
    #[error("{}", self.message(LengthUnit::Mm))]
    TooLarge {
        /// Its longer side.
        side: Mm,
        /// The most.
        most: Mm,
        /// What would do.
        remedy: &'static str,
    },
    /// A part of it would be thinner than plastic is printed.
    #[error("{}", self.message(LengthUnit::Mm))]
    TooThin {
        /// The design's field it comes of.
        field: &'static str,
        /// What it is called.
        what: &'static str,
        /// How thick it would be.
        value: Mm,
        /// The least that works.
        least: Mm,
        /// What would do.
        remedy: &'static str,
    },
    /// A part of it would be thicker than leaves room for the ring.
    #[error("{}", self.message(LengthUnit::Mm))]
    TooThick {
        /// The design's field it comes of.
        field: &'static str,
        /// What it is called.
        what: &'static str,
        /// How thick it is.
        value: Mm,
        /// The most that works.
        most: Mm,
        /// What would do.
        remedy: &'static str,
    },
    /// Printed plastic would not bear the work.
    #[error("{}", self.message(LengthUnit::Mm))]
    TooWeak {
        /// The design's field that would make it stronger.
        field: &'static str,
        /// What it is called.
        what: &'static str,
        /// How thick it is.
        value: Mm,
        /// How thick it would have to be.
        least: Mm,
        /// Stress over what is allowed.
        times: f64,
    },
    /// There is no neck to pinch.
    #[error("{}", self.message(LengthUnit::Mm))]
    NoNeck {
        /// The least neck, half its length, that a pincher can be printed for.
        least: Mm,
    },
}

impl JigError {
    /// The field at fault; empty where it is none of the design's.
    pub fn field(&self) -> String {
        match self {
            JigError::Design(error) => error.field(),
            JigError::Allowance { .. } => "print_allowance_mm".into(),
            JigError::NoClearance { .. } | JigError::TooFine { .. } => "margin_mm".into(),
            JigError::TooThin { field, .. }
            | JigError::TooThick { field, .. }
            | JigError::TooWeak { field, .. } => (*field).into(),
            JigError::NoNeck { .. } => "neck_mm".into(),
            JigError::NoSize { .. } => "size".into(),
            JigError::Mesh(_) | JigError::NoRow(_) | JigError::TooLarge { .. } => String::new(),
        }
    }

    /// The value at fault, and the least and the most it may be; none where it is no number.
    pub fn limits(&self) -> Option<(f64, [Option<f64>; 2])> {
        Some(match self {
            JigError::Allowance { value, limits } => (*value, limits.map(Some)),
            JigError::NoSize { size, most } => (*size as f64, [Some(1.0), Some(*most as f64)]),
            JigError::NoClearance { clearance, wanted } => {
                (wanted.get(), [None, Some(clearance.get())])
            }
            JigError::TooFine { tolerance: value, least, .. }
            | JigError::TooThin { value, least, .. }
            | JigError::TooWeak { value, least, .. } => (value.get(), [Some(least.get()), None]),
            JigError::TooLarge { side: value, most, .. }
            | JigError::TooThick { value, most, .. } => (value.get(), [None, Some(most.get())]),
            JigError::NoNeck { least } => (0.0, [Some(least.get()), None]),
            JigError::Design(_) | JigError::Mesh(_) | JigError::NoRow(_) => return None,
        })
    }

    /// The message, lengths in `unit`.
    pub fn message(&self, unit: LengthUnit) -> String {
        let words = |mm: &Mm| length_words(*mm, unit);
        let up = |mm: &Mm| length_words_up(*mm, unit);
        let down = |mm: &Mm| length_words_down(*mm, unit);
        match self {
            JigError::Design(error) => error.message("a dimension", unit),
            JigError::NoClearance { clearance, wanted } => format!(
                "no gauge: the join has a clearance of {} and {} is asked for, which leaves nothing to err by; ask for less, or take a larger mandrel or other jaws",
                words(clearance),
                words(wanted)
            ),
            JigError::TooFine { tolerance, least } => format!(
                "no gauge: outlines may be off by {} only before the clearance asked for is gone, and a gauge needs {}; ask for less clearance, or take a larger mandrel or other jaws",
                words(tolerance),
                up(least)
            ),
            JigError::TooLarge { side, most, remedy } => format!(
                "the part would be {} long; printers take {} (common practice): {remedy}",
                words(side),
                down(most)
            ),
            JigError::TooThin { what, value, least, remedy, .. } => format!(
                "{what} is {}; plastic is printed from {} on: {remedy}",
                words(value),
                up(least)
            ),
            JigError::TooThick { what, value, most, remedy, .. } => {
                format!("{what} is {}; at most {} works here: {remedy}", words(value), down(most))
            }
            JigError::TooWeak { what, value, least, times, .. } => format!(
                "{what} is {}: printed, it would be stressed {times:.1} times as much as is allowed; take {}, a thinner or softer wire, or a steel rod",
                words(value),
                up(least)
            ),
            JigError::NoNeck { least } => format!(
                "these links have no neck, and round jaws pinch them; a neck whose half is {} or more wants a pincher",
                up(least)
            ),
            other => other.to_string(),
        }
    }
}
