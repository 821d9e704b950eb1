//! Why a document is not a bench.

use crate::documents::design::WireFault;
use crate::documents::format::ReadError;
use crate::documents::units::{LengthUnit, length_words, length_words_up, range_words};
use crate::math::units::Mm;
use std::fmt;

/// Where a field stands in a bench; written `hourly_rate`, `mandrels_mm[2]` or
/// `conical_pliers[0].tip_mm`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BenchField {
    /// Which list it belongs to, and its place there from 0; none for a field of the whole bench.
    pub entry: Option<(&'static str, usize)>,
    /// Its name, and after dots the names within; empty for an entry itself.
    pub field: &'static str,
}

impl BenchField {
    /// A field of the whole bench.
    pub const fn whole(field: &'static str) -> BenchField {
        BenchField { entry: None, field }
    }

    /// A field of an entry of a list.
    pub const fn entry(list: &'static str, index: usize, field: &'static str) -> BenchField {
        BenchField { entry: Some((list, index)), field }
    }

    /// Lengths stand in fields and lists that end so.
    fn is_length(&self) -> bool {
        let of_list = self.entry.is_some_and(|(list, _)| list.ends_with("_mm"));
        self.field.ends_with("_mm") || (self.field.is_empty() && of_list)
    }
}

impl fmt::Display for BenchField {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.entry {
            Some((list, index)) if self.field.is_empty() => write!(f, "{list}[{index}]"),
            Some((list, index)) => write!(f, "{list}[{index}].{}", self.field),
            None => f.write_str(self.field),
        }
    }
}

/// Why a document is not a bench.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BenchError {
    /// Not JSON, not a bench, or of another version.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// A number outside its range.
    #[error("{}", range_words(&at.to_string(), at.is_length(), [*value, *least, *most], LengthUnit::Mm))]
    OutOfRange {
        /// Which field.
        at: BenchField,
        /// What it is.
        value: f64,
        /// The least it may be.
        least: f64,
        /// The most it may be.
        most: f64,
    },
    /// Too many letters or entries.
    #[error("{at} has {found} {what}; it may have {most} at most")]
    Count {
        /// Which field.
        at: BenchField,
        /// What is counted.
        what: &'static str,
        /// How many there are.
        found: usize,
        /// The most there may be.
        most: usize,
    },
    /// No wire, two, or one off its range or table.
    #[error("{at}: {fault}")]
    Wire {
        /// Which wire.
        at: BenchField,
        /// What is wrong with it.
        fault: WireFault,
    },
    /// Jaws that do not get thicker from the tip on.
    #[error("{}", no_taper(&at.to_string(), *base, *least, LengthUnit::Mm))]
    NoTaper {
        /// Which field.
        at: BenchField,
        /// Diameter at the base, mm.
        base: f64,
        /// The least that would be a taper, mm.
        least: f64,
    },
}

impl BenchError {
    /// Path of the field at fault, or where reading stopped; empty for the document as a whole.
    pub fn field(&self) -> String {
        match self {
            BenchError::Read(ReadError::Unreadable { place, .. }) => place.clone(),
            BenchError::Read(ReadError::Version { kind, .. }) => kind.version_field.into(),
            _ => self.at().map_or_else(String::new, |at| at.to_string()),
        }
    }

    /// The field at fault; none where the document could not be read.
    pub fn at(&self) -> Option<BenchField> {
        match self {
            BenchError::Read(_) => None,
            BenchError::OutOfRange { at, .. }
            | BenchError::Count { at, .. }
            | BenchError::Wire { at, .. }
            | BenchError::NoTaper { at, .. } => Some(*at),
        }
    }

    /// The message to stand beside the field, which the reader knows as `name`; lengths in
    /// `unit`.
    pub fn message(&self, name: &str, unit: LengthUnit) -> String {
        match self {
            BenchError::OutOfRange { at, value, least, most } => {
                range_words(name, at.is_length(), [*value, *least, *most], unit)
            }
            BenchError::Count { what, found, most, .. } => {
                format!("{name} has {found} {what}; it may have {most} at most")
            }
            BenchError::Wire { fault, .. } => format!("{name}: {fault}"),
            BenchError::NoTaper { base, least, .. } => no_taper(name, *base, *least, unit),
            other => other.to_string(),
        }
    }
}

fn no_taper(name: &str, base: f64, least: f64, unit: LengthUnit) -> String {
    let words =
        |mm: f64| Mm::try_from(mm).map_or_else(|_| mm.to_string(), |mm| length_words(mm, unit));
    let least =
        Mm::try_from(least).map_or_else(|_| least.to_string(), |mm| length_words_up(mm, unit));
    format!(
        "{name} is {}: conical jaws get thicker from the tip, so it must be at least {least}; jaws of one thickness belong with the round jaws",
        words(base)
    )
}
