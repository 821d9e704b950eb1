//! The bench's lists as they are typed: what is likely meant otherwise is asked, not taken.

use crate::documents::bench::typed;
use crate::documents::design::WireChoice;
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::units::{LengthUnit, names_unit, parse_length};

/// A chain wire is thinner than this, mm (common practice, no source): a bare number from here on
/// is likely a gauge.
const THICKEST: f64 = 6.5;

/// The wires of a list.
///
/// # Errors
/// In words, for the first entry that is no wire, or is likely none as it is typed.
pub fn wires(text: &str, unit: LengthUnit) -> Result<Vec<WireChoice>, String> {
    for entry in typed::entries(text) {
        if Gauge::parse(entry).is_none() && !names_unit(entry) {
            likely_gauge(entry, unit)?;
        }
    }
    typed::wires(text, unit).map_err(|error| error.to_string())
}

fn likely_gauge(entry: &str, unit: LengthUnit) -> Result<(), String> {
    let (Ok(number), Ok(length)) = (entry.parse::<u8>(), parse_length(entry, unit)) else {
        return Ok(());
    };
    if length.get() <= THICKEST {
        return Ok(());
    }
    let gauge = |system| {
        let gauge = Gauge { system, number: i32::from(number) };
        let diameter = gauge.diameter().ok()?.get();
        Some(format!("{} ({diameter:.2} mm)", gauge.short()))
    };
    let gauges = [GaugeSystem::Awg, GaugeSystem::Swg].map(gauge);
    let mut meant: Vec<String> = gauges.into_iter().flatten().collect();
    meant.push(format!("{entry} {}", unit.name()));
    let last = meant.pop().unwrap_or_default();
    let all = if meant.is_empty() { last } else { format!("{} or {last}", meant.join(", ")) };
    Err(format!("\u{201c}{entry}\u{201d} is thick for a chain wire: type {all}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// AWG 18 by ASTM B258 is 1.0237 mm, SWG 20 by BS 3737 0.036 in.
    #[test]
    fn gauge_numbers_are_not_taken_for_millimetres() {
        let mm = LengthUnit::Mm;
        let words = wires("18, 20", mm).unwrap_err();
        assert!(words.contains("AWG 18 (1.02 mm), SWG 18 (1.22 mm) or 18 mm"), "{words}");
        assert!(wires("18", LengthUnit::Inch).is_err());
        let found = wires("18 ga, 20 awg, SWG 20, 0.8, 18 mm, 1", mm).unwrap();
        let mm: Vec<f64> = found.iter().map(|wire| wire.diameter().unwrap()).collect();
        assert!((mm[0] - 1.0237).abs() < 5e-5 && (mm[2] - 0.9144).abs() < 1e-9, "{mm:?}");
        assert_eq!(mm[3..], [0.8, 18.0, 1.0]);
        assert!(wires("x", LengthUnit::Mm).is_err());
    }
}
