//! Why a document is not a design that can be worked.

use crate::documents::gauge::GaugeError;
use crate::documents::number_field::NumberField;
use crate::documents::units::{LengthUnit, range_words};
use std::fmt;

/// The version this crate writes and reads.
pub const VERSION: u32 = 1;

/// Where a field stands in a design; written `kerf_mm` or `sizes[0].mandrel_mm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldPath {
    /// Which size it belongs to, from 0; none for a field of the whole design.
    pub size: Option<usize>,
    /// Its name, and after dots the names within: `wire.gauge.number`.
    pub field: &'static str,
}

impl FieldPath {
    /// A field of the whole design.
    pub const fn whole(field: &'static str) -> FieldPath {
        FieldPath { size: None, field }
    }

    /// Lengths stand in fields that end so.
    fn is_length(&self) -> bool {
        self.field.ends_with("_mm")
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.size {
            Some(index) => write!(f, "sizes[{index}].{}", self.field),
            None => f.write_str(self.field),
        }
    }
}

/// Why a wire has no diameter.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WireFault {
    /// No wire, or two.
    #[error("give just one of \"diameter_mm\" and \"gauge\"")]
    Choice,
    /// Thinner or thicker than any wire.
    #[error("the diameter is {value} mm; it must lie between {least} and {most} mm")]
    OutOfRange {
        /// What it is, mm.
        value: f64,
        /// The least it may be, mm.
        least: f64,
        /// The most it may be, mm.
        most: f64,
    },
    /// A gauge number off its table.
    #[error(transparent)]
    Gauge(#[from] GaugeError),
}

/// Why a document is not a design that can be worked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DesignError {
    /// Not JSON, or not the fields of a design.
    #[error("{place}: {problem}")]
    Unreadable {
        /// Where: a field's path, or line and column.
        place: String,
        /// What is wrong there.
        problem: String,
    },
    /// Far longer than any design.
    #[error("the document is {bytes} bytes long; a design has at most {most}")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// The limit.
        most: usize,
    },
    /// Made by a later linkfold, or not by one.
    #[error("\"linkfold\" is {found}; this program reads version {VERSION}")]
    Version {
        /// What the document says.
        found: u32,
    },
    /// A number outside its range.
    #[error("{}", range_words(&at.to_string(), at.is_length(), [*value, *least, *most], LengthUnit::Mm))]
    OutOfRange {
        /// Which field.
        at: FieldPath,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The most it may be.
        most: f64,
    },
    /// Too many letters or entries, or none where there must be some.
    #[error("{at} has {found} {what}; it must have between {least} and {most}")]
    Count {
        /// Which field.
        at: FieldPath,
        /// What is counted.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// The fewest there may be.
        least: usize,
        /// The most there may be.
        most: usize,
    },
    /// No wire, or two.
    #[error("{at}: give just one of \"diameter_mm\" and \"gauge\"")]
    WireChoice {
        /// Which wire.
        at: FieldPath,
    },
    /// A gauge number off its table.
    #[error("{at}: {fault}")]
    Gauge {
        /// Which number.
        at: FieldPath,
        /// The table's own words.
        fault: GaugeError,
    },
    /// A trial link that cannot be one.
    #[error("trials[{index}].{fault}")]
    Trial {
        /// Which trial, from 0.
        index: usize,
        /// What is wrong with it.
        fault: Box<DesignError>,
    },
}

impl DesignError {
    /// Which field is at fault; none for the document as a whole.
    pub fn at(&self) -> Option<FieldPath> {
        match self {
            DesignError::Unreadable { .. } | DesignError::TooLong { .. } => None,
            DesignError::Version { .. } => Some(FieldPath::whole("linkfold")),
            DesignError::OutOfRange { at, .. }
            | DesignError::Count { at, .. }
            | DesignError::WireChoice { at }
            | DesignError::Gauge { at, .. } => Some(*at),
            DesignError::Trial { .. } => Some(FieldPath::whole("trials")),
        }
    }

    /// Path of the field at fault, such as `sizes[0].mandrel_mm`; where reading stopped, or
    /// empty for the document as a whole.
    pub fn field(&self) -> String {
        match self {
            DesignError::Unreadable { place, .. } => place.clone(),
            DesignError::Trial { index, fault } => format!("trials[{index}].{}", fault.field()),
            _ => self.at().map(|at| at.to_string()).unwrap_or_default(),
        }
    }

    /// The message to stand beside the field, which the reader knows as `name`; lengths in
    /// `unit`.
    pub fn message(&self, name: &str, unit: LengthUnit) -> String {
        match self {
            DesignError::OutOfRange { at, value, least, most } => {
                range_words(name, at.is_length(), [*value, *least, *most], unit)
            }
            DesignError::Count { what, found, least, most, .. } => {
                format!("{name} has {found} {what}; it must have between {least} and {most}")
            }
            DesignError::Gauge { fault, .. } => format!("{name}: {fault}"),
            DesignError::Trial { fault, .. } => fault.message(name, unit),
            other => other.to_string(),
        }
    }
}

/// Holds the numbers of a part of the document to their ranges; `size` is which size it is.
pub(super) fn in_ranges<T>(
    fields: &[NumberField<T>],
    part: &T,
    size: Option<usize>,
) -> Result<(), DesignError> {
    let outside =
        |field: &NumberField<T>| Some((field.name, field.range, field.out_of_range(part)?));
    match fields.iter().find_map(outside) {
        None => Ok(()),
        Some((field, [least, most], value)) => {
            Err(DesignError::OutOfRange { at: FieldPath { size, field }, value, least, most })
        }
    }
}

pub(super) fn counted(
    at: FieldPath,
    what: &'static str,
    found: usize,
    range: std::ops::RangeInclusive<usize>,
) -> Result<(), DesignError> {
    if range.contains(&found) {
        return Ok(());
    }
    let (least, most) = range.into_inner();
    Err(DesignError::Count { at, what, found, least, most })
}
