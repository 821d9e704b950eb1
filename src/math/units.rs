//! The one unit system of the core: **mm, N, MPa (= N/mm²), radians**.
//!
//! It is consistent, so formulas carry no conversion factors. Inches, degrees, grams and gauge
//! numbers exist only where documents are read and answers are written
//! (`documents::units`). This module has the length type of public interfaces.
//!
//! Sources: the international inch of 1959, 25.4 mm exactly; the troy ounce of 480 grains of
//! 64.79891 mg exactly (the pound of 1959), twenty pennyweights.

use serde::{Deserialize, Serialize};
use std::fmt;

/// Millimetres in one inch, exactly (international inch, 1959).
pub const MM_PER_INCH: f64 = 25.4;

/// Millimetres in one foot.
pub const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;

/// Grams in one troy ounce, exactly.
pub const GRAMS_PER_TROY_OUNCE: f64 = 31.103_476_8;

/// Grams in one pennyweight, exactly.
pub const GRAMS_PER_PENNYWEIGHT: f64 = GRAMS_PER_TROY_OUNCE / 20.0;

/// The largest length any field takes, in mm: a hundred metres of wire, far past any chain.
pub const LARGEST_MM: f64 = 1e5;

/// A length in millimetres. Always finite; below zero only for an overlap or an offset.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(try_from = "f64", into = "f64")]
pub struct Mm(f64);

impl Mm {
    /// No length at all.
    pub const ZERO: Mm = Mm(0.0);

    /// For values this crate computed.
    ///
    /// # Panics
    /// If `value` is not finite: a bug here, never a maker's typing error.
    pub const fn new(value: f64) -> Self {
        assert!(value.is_finite(), "length must be finite");
        Mm(value)
    }

    /// The number of millimetres.
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl TryFrom<f64> for Mm {
    type Error = NotFinite;

    fn try_from(value: f64) -> Result<Self, NotFinite> {
        if value.is_finite() { Ok(Mm(value)) } else { Err(NotFinite) }
    }
}

impl From<Mm> for f64 {
    fn from(length: Mm) -> f64 {
        length.0
    }
}

/// Three decimals at most, for errors of the core; documents write lengths for people.
impl fmt::Display for Mm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.abs() >= 1e9 {
            return write!(f, "{:.2e} mm", self.0);
        }
        let text = format!("{:.3}", self.0);
        let text = text.trim_end_matches('0').trim_end_matches('.');
        write!(f, "{} mm", if text == "-0" { "0" } else { text })
    }
}

/// A number that is no length: infinite, or not a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a length must be a finite number of millimetres")]
pub struct NotFinite;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_length_prints_without_a_tail_of_zeros() {
        assert_eq!(Mm::new(1.0).to_string(), "1 mm");
        assert_eq!(Mm::new(0.9).to_string(), "0.9 mm");
        assert_eq!(Mm::new(-0.00001).to_string(), "0 mm");
        assert_eq!(Mm::new(1e300).to_string(), "1.00e300 mm");
    }
}
