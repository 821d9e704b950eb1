//! Gauge numbers read through a named system. The same number means different wires:
//! 18 is 1.024 mm in one system and 1.219 mm in the other.
//!
//! Source: AWG (Brown & Sharpe): ASTM B258, `d = 0.127 · 92^((36 − n)/39)` mm. Imperial
//! standard wire gauge: BS 3737:1964 (withdrawn), a table in inches without a formula,
//! compared number by number, 7/0 to 40, with the inches of the table "SWG - Standard Wire
//! Gauge" of engineeringtoolbox.com (whose millimetres for 1/0 are a misprint).
//! Evidence: `tests/handbook.rs`.

use crate::math::units::{MM_PER_INCH, Mm};
use serde::{Deserialize, Serialize};

/// Which table a gauge number is read in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum GaugeSystem {
    /// American wire gauge, the same as Brown & Sharpe.
    Awg,
    /// Imperial standard wire gauge.
    Swg,
}

impl GaugeSystem {
    /// Smallest and largest number read; minus one stands for 2/0, minus two for 3/0 and so on.
    pub fn numbers(self) -> std::ops::RangeInclusive<i32> {
        match self {
            GaugeSystem::Awg => -3..=40,
            GaugeSystem::Swg => -6..=40,
        }
    }

    /// The name in words.
    pub fn name(self) -> &'static str {
        match self {
            GaugeSystem::Awg => "AWG (Brown & Sharpe)",
            GaugeSystem::Swg => "Imperial standard wire gauge",
        }
    }
}

/// A gauge number in its system.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Gauge {
    /// The table.
    pub system: GaugeSystem,
    /// The number in it; −1 stands for 2/0, −2 for 3/0.
    pub number: i32,
}

/// Why a gauge number has no diameter.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GaugeError {
    /// Past the end of the table.
    #[error("{system} has no number {number}; it runs from {least} to {most}")]
    NoSuchNumber {
        /// Name of the table.
        system: &'static str,
        /// What was asked for.
        number: i32,
        /// First number of the table.
        least: i32,
        /// Last number of the table.
        most: i32,
    },
}

/// Thousandths of an inch ×10, from 7/0 (number −6) to 40.
const SWG_TENTHS_OF_MIL: [u32; 47] = [
    5000, 4640, 4320, 4000, 3720, 3480, 3240, 3000, 2760, 2520, 2320, 2120, 1920, 1760, 1600, 1440,
    1280, 1160, 1040, 920, 800, 720, 640, 560, 480, 400, 360, 320, 280, 240, 220, 200, 180, 164,
    148, 136, 124, 116, 108, 100, 92, 84, 76, 68, 60, 52, 48,
];

impl Gauge {
    /// Reads a gauge as a maker types it: `AWG 18`, `swg 19`, `18 awg`, `18 B&S`, `AWG 2/0`;
    /// `18 ga` and `18 gauge` are American, as jewellers there write it (common practice, no
    /// source). None where it is none.
    pub fn parse(text: &str) -> Option<Gauge> {
        const NAMES: [(&str, GaugeSystem); 7] = [
            ("awg", GaugeSystem::Awg),
            ("swg", GaugeSystem::Swg),
            ("b&s", GaugeSystem::Awg),
            ("gauge", GaugeSystem::Awg),
            ("ga.", GaugeSystem::Awg),
            ("ga", GaugeSystem::Awg),
            ("g", GaugeSystem::Awg),
        ];
        let plain = text.trim().to_lowercase();
        let of = |(name, system): &(&str, GaugeSystem)| {
            let rest = plain.strip_prefix(name).or_else(|| plain.strip_suffix(name))?;
            Some((*system, rest))
        };
        let (system, mut rest) = NAMES.iter().find_map(of)?;
        // "18 gauge AWG" names the table and says "gauge" besides.
        for name in ["gauge", "ga"] {
            rest = rest.trim();
            rest = rest.strip_prefix(name).or_else(|| rest.strip_suffix(name)).unwrap_or(rest);
        }
        let rest = rest.trim().trim_start_matches('#');
        let number = match rest.trim().split_once('/') {
            Some((noughts, "0")) => 1 - noughts.trim().parse::<u8>().ok().map(i32::from)?,
            Some(_) => return None,
            None => rest.trim().parse::<u8>().ok().map(i32::from)?,
        };
        Some(Gauge { system, number })
    }

    /// As [`Gauge::parse`] reads it.
    pub fn short(self) -> String {
        let system = match self.system {
            GaugeSystem::Awg => "AWG",
            GaugeSystem::Swg => "SWG",
        };
        match self.number {
            number @ ..0 => format!("{system} {}/0", 1 - number),
            number => format!("{system} {number}"),
        }
    }

    /// Diameter of the wire this number stands for.
    ///
    /// # Errors
    /// [`GaugeError::NoSuchNumber`] past either end of the table.
    ///
    /// # Examples
    /// ```
    /// use linkfold::documents::gauge::Gauge;
    /// let awg = Gauge::parse("AWG 18").unwrap().diameter()?;
    /// let swg = Gauge::parse("SWG 18").unwrap().diameter()?;
    /// assert!((awg.get() - 1.0237).abs() < 1e-4 && (swg.get() - 1.2192).abs() < 1e-9); // mm
    /// # Ok::<(), linkfold::documents::gauge::GaugeError>(())
    /// ```
    pub fn diameter(self) -> Result<Mm, GaugeError> {
        let numbers = self.system.numbers();
        if !numbers.contains(&self.number) {
            return Err(GaugeError::NoSuchNumber {
                system: self.system.name(),
                number: self.number,
                least: *numbers.start(),
                most: *numbers.end(),
            });
        }
        Ok(Mm::new(match self.system {
            GaugeSystem::Awg => 0.127 * 92f64.powf(f64::from(36 - self.number) / 39.0),
            GaugeSystem::Swg => {
                let row = (self.number - numbers.start()) as usize;
                f64::from(SWG_TENTHS_OF_MIL[row]) * 1e-4 * MM_PER_INCH
            }
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_is_read_however_it_is_written() {
        let (awg, swg) = (GaugeSystem::Awg, GaugeSystem::Swg);
        for text in [
            "18 ga",
            "18 gauge",
            "18ga.",
            "AWG 18",
            "18 awg",
            "awg18",
            "AWG #18",
            "18 B&S",
            "18 gauge AWG",
            "18g",
            "Gauge 18",
            " 18 GA ",
        ] {
            assert_eq!(Gauge::parse(text), Some(Gauge { system: awg, number: 18 }), "{text}");
        }
        for text in ["SWG 18", "18 swg", "swg18", "18 gauge SWG"] {
            assert_eq!(Gauge::parse(text), Some(Gauge { system: swg, number: 18 }), "{text}");
        }
        for none in ["18", "ga", "gauge", "18 mm", "ga ga", "1/2 ga", "awg swg 18", "-3 ga"] {
            assert_eq!(Gauge::parse(none), None, "{none}");
        }
    }
}
