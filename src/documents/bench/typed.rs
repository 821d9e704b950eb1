//! The bench's lists as a maker types them: `0.9, 1.2, AWG 18`, or `0,9; 1,2`.

use crate::documents::design::WireChoice;
use crate::documents::gauge::Gauge;
use crate::documents::units::{LengthError, LengthUnit, parse_length, tidy};

/// The entries of a list: apart by semicolons where there are any, else by commas.
pub fn entries(text: &str) -> impl Iterator<Item = &str> {
    let apart = if text.contains(';') { ';' } else { ',' };
    text.split(apart).map(str::trim).filter(|part| !part.is_empty())
}

/// Lengths, mm; a bare number is in `unit`.
///
/// # Errors
/// [`LengthError`] for the first that is none.
pub fn lengths(text: &str, unit: LengthUnit) -> Result<Vec<f64>, LengthError> {
    entries(text).map(|part| Ok(parse_length(part, unit)?.get())).collect()
}

/// Wires, by diameter or by gauge.
///
/// # Errors
/// [`LengthError`] for the first that is neither.
pub fn wires(text: &str, unit: LengthUnit) -> Result<Vec<WireChoice>, LengthError> {
    let wire = |part| match Gauge::parse(part) {
        Some(gauge) => Ok(WireChoice { gauge: Some(gauge), ..WireChoice::default() }),
        None => {
            let mm = parse_length(part, unit)?.get();
            Ok(WireChoice { diameter_mm: Some(mm), ..WireChoice::default() })
        }
    };
    entries(text).map(wire).collect()
}

/// A length as [`lengths`] reads it, to a micrometre or the hundred-thousandth of an inch.
fn length(mm: f64, unit: LengthUnit) -> String {
    tidy(mm / unit.in_mm(), if unit == LengthUnit::Mm { 3 } else { 5 })
}

/// As [`lengths`] reads them.
pub fn lengths_text(list_mm: &[f64], unit: LengthUnit) -> String {
    let each: Vec<String> = list_mm.iter().map(|mm| length(*mm, unit)).collect();
    each.join(", ")
}

/// As [`wires`] reads them.
pub fn wires_text(list: &[WireChoice], unit: LengthUnit) -> String {
    let each = |wire: &WireChoice| match (wire.gauge, wire.diameter_mm) {
        (Some(gauge), _) => gauge.short(),
        (None, mm) => length(mm.unwrap_or(0.0), unit),
    };
    list.iter().map(each).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::bench::Bench;

    #[test]
    fn a_list_is_read_as_it_is_typed() {
        let mm = LengthUnit::Mm;
        assert_eq!(lengths("0.9, 1.2,", mm).unwrap(), [0.9, 1.2]);
        assert_eq!(lengths("0,9; 1,2", mm).unwrap(), [0.9, 1.2]);
        assert_eq!(lengths("0.5, 1/4 in", LengthUnit::Inch).unwrap(), [12.7, 6.35]);
        assert_eq!(lengths("  ", mm).unwrap(), [0.0; 0]);
        assert!(lengths("9, ten", mm).is_err());
        let stock = wires("0.9, AWG 18, 19 swg, awg2/0", mm).unwrap();
        assert_eq!(wires_text(&stock, mm), "0.9, AWG 18, SWG 19, AWG 2/0");
        let bench = Bench { wires: stock, ..Bench::default() };
        // AWG 18 by ASTM B258, SWG 19 by BS 3737: 1.024 mm, 0.040 in.
        let found = bench.wire_diameters().unwrap();
        assert!((found[1] - 1.024).abs() < 5e-4 && (found[2] - 1.016).abs() < 5e-4, "{found:?}");
        for none in ["AWG", "AWG x", "AWG 300", "AWG 1/2", "18", "awg -3"] {
            assert_eq!(Gauge::parse(none), None, "{none}");
        }
    }

    #[test]
    fn what_is_written_is_read_again() {
        let mut rng = crate::math::Rng::new(1);
        for count in 0..200 {
            let list: Vec<f64> =
                (0..count % 9).map(|_| (rng.next_f64() * 1e6).round() * 1e-3).collect();
            // To what either unit writes.
            for (unit, within) in [(LengthUnit::Mm, 1e-9), (LengthUnit::Inch, 1.3e-4)] {
                let read = lengths(&lengths_text(&list, unit), unit).unwrap();
                assert_eq!(read.len(), list.len());
                assert!(read.iter().zip(&list).all(|(a, b)| (a - b).abs() < within), "{list:?}");
            }
        }
    }

    #[test]
    fn every_gauge_is_read_again() {
        use crate::documents::gauge::GaugeSystem::{Awg, Swg};
        for system in [Awg, Swg] {
            for number in system.numbers() {
                let gauge = Gauge { system, number };
                assert_eq!(Gauge::parse(&gauge.short()), Some(gauge));
            }
        }
    }
}
