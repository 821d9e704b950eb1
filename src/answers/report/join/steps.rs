//! The steps in which a maker can buy or set a dimension: what is offered can be had.
//!
//! Steps are common practice, no source: mandrels as knitting needles and drills are sold, wire by
//! the twentieth of a millimetre or by gauge, jaws and gaps as callipers set them.

use crate::answers::build::dimension_words;
use crate::documents::design::Design;
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::units::{LengthUnit, length_words};
use crate::geometry::link::ToolDimension;
use crate::math::sort::sort_numbers;
use crate::math::units::{MM_PER_INCH, Mm};

/// Where dimensions are had from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Steps {
    /// What sentences speak.
    pub unit: LengthUnit,
    /// How the design says its wire, where it is by gauge.
    pub gauge: Option<GaugeSystem>,
}

impl Steps {
    /// Those of a design.
    pub fn of(design: &Design, unit: LengthUnit) -> Steps {
        Steps { unit, gauge: design.wire.gauge.map(|gauge| gauge.system) }
    }

    /// `value` mm of a dimension changed by `by` mm or a little more, to one that can be had; the
    /// change. None where a gauge has no such wire.
    pub fn settable(self, dimension: ToolDimension, value: f64, by: f64) -> Option<f64> {
        let to = match (dimension, self.gauge) {
            (ToolDimension::Wire, Some(system)) => finer_gauge(system, value + by)?.1,
            _ => {
                let step = step(dimension, value + by, self.unit);
                let count = (value + by) / step;
                step * if by > 0.0 { (count - 1e-6).ceil() } else { (count + 1e-6).floor() }
            }
        };
        Some(to - value)
    }

    /// The values of a dimension that can be set next to `value`: no more, and no less, mm.
    pub fn beside(self, dimension: ToolDimension, value: f64) -> [f64; 2] {
        let step = step(dimension, value, self.unit);
        let count = value / step;
        // Without what rounding leaves at the end.
        let whole = |count: f64| (1e6 * step * count).round() / 1e6;
        [whole((count + 1e-6).floor()), whole((count - 1e-6).ceil())]
    }

    /// The values of a dimension that can be set next below and next above `value`, mm.
    pub fn next(self, dimension: ToolDimension, value: f64) -> impl Iterator<Item = f64> {
        let next = move |by: f64| Some(value + self.settable(dimension, value, by)?);
        [-1e-4, 1e-4].into_iter().filter_map(next).filter(|next| *next >= 0.0)
    }

    /// The mandrel that can be had nearest to `mm`, mm.
    pub fn nearest_mandrel(self, mm: f64) -> f64 {
        let off = |mandrel: &f64| (mandrel - mm).abs();
        let ways = [1e-9, -1e-9].into_iter();
        let found = ways.filter_map(|by| Some(mm + self.settable(ToolDimension::Mandrel, mm, by)?));
        found.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(mm)
    }

    /// The next mandrel that can be had above or below one of `mm`, mm.
    pub fn next_mandrel(self, mm: f64, up: bool) -> Option<f64> {
        let by = if up { 1e-4 } else { -1e-4 };
        let next = mm + self.settable(ToolDimension::Mandrel, mm, by)?;
        (next > 0.0).then_some(next)
    }

    /// The smallest mandrel that can be had of at least `mm`, mm.
    pub fn mandrel_from(self, mm: f64) -> f64 {
        mm + self.settable(ToolDimension::Mandrel, mm, 1e-9).unwrap_or(0.0)
    }

    /// What of a dimension can be had from `low` to `high` mm, ascending.
    pub fn between(self, dimension: ToolDimension, [low, high]: [f64; 2]) -> Vec<f64> {
        let mut all: Vec<f64> = match (dimension, self.gauge) {
            (ToolDimension::Wire, Some(system)) => {
                let of = |number| Some(Gauge { system, number }.diameter().ok()?.get());
                system.numbers().filter_map(of).collect()
            }
            _ => {
                let next = |mm: &f64| Some(mm + self.settable(dimension, *mm, 1e-4)?);
                let from = self.settable(dimension, low, 1e-9).map(|by| low + by);
                let all = std::iter::successors(from, next).take_while(|mm| *mm < high + 1e-6);
                // Without what rounding leaves at the end.
                all.map(|mm| (1e9 * mm).round() / 1e9).collect()
            }
        };
        all.retain(|mm| (low - 1e-6..=high + 1e-6).contains(mm));
        sort_numbers(&mut all);
        all
    }

    /// A length of a dimension as the maker says it: a wire of the design's gauge by its number, a
    /// mandrel in inches as a fraction.
    pub fn text(self, dimension: ToolDimension, mm: f64) -> String {
        match (dimension, self.gauge_of(mm), self.fraction(mm)) {
            (ToolDimension::Wire, Some(gauge), _) => gauge.short(),
            (ToolDimension::Mandrel, _, Some(fraction)) => format!("{fraction} in"),
            _ => length_words(Mm::new(mm), self.unit),
        }
    }

    /// A length in inches that is a fraction in sixty-fourths below one: 7/16.
    pub fn fraction(self, mm: f64) -> Option<String> {
        let inches = 64.0 * mm / MM_PER_INCH;
        let (mut count, mut of) = (inches.round() as u32, 64);
        let is_fraction = (inches - inches.round()).abs() < 1e-6 && (1..64).contains(&count);
        if self.unit == LengthUnit::Mm || !is_fraction {
            return None;
        }
        while count.is_multiple_of(2) {
            (count, of) = (count / 2, of / 2);
        }
        Some(format!("{count}/{of}"))
    }

    /// The tool of that length: "a mandrel of 12.5 mm".
    pub fn tool_text(self, dimension: ToolDimension, mm: f64) -> String {
        let to = self.text(dimension, mm);
        match dimension {
            ToolDimension::Wire => format!("{to} wire"),
            ToolDimension::Mandrel => format!("a mandrel of {to}"),
            other => format!("{to} for the {}", dimension_words(other)),
        }
    }

    /// The gauge of a wire of `mm`, where the design says its wire by gauge and there is one.
    pub fn gauge_of(self, mm: f64) -> Option<Gauge> {
        let (gauge, diameter) = finer_gauge(self.gauge?, mm + 1e-6)?;
        ((diameter - mm).abs() < 1e-5).then_some(gauge)
    }
}

/// The thickest wire of a gauge that is no thicker than `most` mm, and its diameter, mm.
fn finer_gauge(system: GaugeSystem, most: f64) -> Option<(Gauge, f64)> {
    let all = system.numbers().filter_map(|number| {
        let gauge = Gauge { system, number };
        Some((gauge, gauge.diameter().ok()?.get()))
    });
    all.filter(|(_, diameter)| *diameter <= most).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// The step of a dimension near `value`, mm.
fn step(dimension: ToolDimension, value: f64, unit: LengthUnit) -> f64 {
    match (dimension, unit) {
        (ToolDimension::Mandrel, LengthUnit::Mm) if value < 5.0 => 0.25,
        (ToolDimension::Mandrel, LengthUnit::Mm) => 0.5,
        (ToolDimension::Mandrel, LengthUnit::Inch) => MM_PER_INCH / 64.0,
        (ToolDimension::Wire | ToolDimension::WaistGap, LengthUnit::Mm) => 0.05,
        (ToolDimension::Wire | ToolDimension::WaistGap, LengthUnit::Inch) => 1e-3 * MM_PER_INCH,
        (_, LengthUnit::Mm) => 0.1,
        (_, LengthUnit::Inch) => 5e-3 * MM_PER_INCH,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_end_where_there_is_something_to_buy() {
        let steps = |unit, gauge| Steps { unit, gauge };
        let mm = steps(LengthUnit::Mm, None);
        for (dimension, value, by, to) in [
            (ToolDimension::Mandrel, 9.6, 2.768, 12.5),
            (ToolDimension::Mandrel, 9.6, 2.9, 12.5),
            (ToolDimension::Mandrel, 4.0, 0.1, 4.25),
            (ToolDimension::Wire, 0.9, -0.03, 0.85),
            (ToolDimension::Bore, 2.6, 0.01, 2.7),
            (ToolDimension::FoldJaw, 2.6, -0.15, 2.4),
        ] {
            let [below, above] = mm.beside(dimension, to);
            assert!((below - to).abs() < 1e-9 && (above - to).abs() < 1e-9, "{below} {above}");
            let found = mm.settable(dimension, value, by).unwrap();
            assert!((value + found - to).abs() < 1e-9, "{dimension:?} {value} {by}: {found}");
            assert!(found.abs() >= by.abs() - 1e-6 && found.signum() == by.signum());
        }
        let inch = steps(LengthUnit::Inch, None).settable(ToolDimension::Mandrel, 9.6, 0.1);
        assert!(((9.6 + inch.unwrap()) / 25.4 * 64.0 - 25.0).abs() < 1e-6);
        let inch = steps(LengthUnit::Inch, None);
        assert_eq!(inch.text(ToolDimension::Mandrel, 25.4 * 7.0 / 16.0), "7/16 in");
        assert_eq!(inch.text(ToolDimension::Mandrel, 12.0), "0.472 in");
        assert_eq!(inch.text(ToolDimension::Bore, 6.35), "0.25 in");
        // Mandrels by themselves: up, down, and the nearest.
        assert!((mm.nearest_mandrel(12.3) - 12.5).abs() < 1e-6);
        assert!((mm.nearest_mandrel(12.2) - 12.0).abs() < 1e-6);
        let next = |from: f64, up| mm.next_mandrel(from, up).unwrap();
        for (from, up, to) in
            [(12.0, true, 12.5), (12.0, false, 11.5), (12.3, true, 12.5), (5.0, false, 4.75)]
        {
            assert!((next(from, up) - to).abs() < 1e-6, "{from} {up}: {}", next(from, up));
        }
        assert!((mm.mandrel_from(9.4) - 9.5).abs() < 1e-6);
        assert!((mm.mandrel_from(9.5) - 9.5).abs() < 1e-6);
        assert_eq!(mm.between(ToolDimension::Mandrel, [4.6, 6.2]), [4.75, 5.0, 5.5, 6.0]);
        assert_eq!(mm.between(ToolDimension::Wire, [0.8, 0.9]), [0.8, 0.85, 0.9]);
        assert_eq!(mm.between(ToolDimension::TipGap, [0.0, 0.25]), [0.0, 0.1, 0.2]);
        assert!(mm.between(ToolDimension::Bore, [2.0, 1.0]).is_empty());
        // AWG 18 is 1.024 mm, 19 is 0.912.
        let awg = steps(LengthUnit::Mm, Some(GaugeSystem::Awg));
        let found = awg.settable(ToolDimension::Wire, 1.024, -0.02).unwrap();
        assert!((1.024 + found - 0.912).abs() < 1e-3);
        assert_eq!(awg.gauge_of(1.024 + found).unwrap().number, 19);
        assert_eq!(awg.gauge_of(0.95), None);
        let gauges = awg.between(ToolDimension::Wire, [0.9, 1.1]);
        let numbers: Vec<i32> = gauges.iter().map(|mm| awg.gauge_of(*mm).unwrap().number).collect();
        assert_eq!(numbers, [19, 18]);
        assert_eq!(awg.settable(ToolDimension::Wire, 0.08, -0.05), None);
    }
}
