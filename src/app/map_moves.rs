//! The design moved to a place of the map.

use super::model::Model;
use crate::answers::build::BuildError;
use crate::answers::dimension::Dimension;
use crate::answers::map::{Question, Range};
use crate::documents::design::{Design, WireChoice};
use crate::documents::gauge::Gauge;
use crate::documents::units::LengthUnit;

impl Model {
    /// The design at a place of the map, mm, rounded to what callipers tell apart; none where
    /// that is the present one. A wire that is named by a gauge goes from gauge to gauge.
    pub fn design_at(&self, to: [f64; 2]) -> Option<Design> {
        let map_state = self.map_state.as_ref()?;
        let (design, size, unit) = (&self.analysis.design, self.analysis.size, self.analysis.unit);
        let here = map_state.place_of(design, size)?;
        let mut moved = design.clone();
        let axes = [map_state.question.across.axis, map_state.question.up.axis];
        for ((axis, mm), now) in axes.into_iter().zip(to).zip(here) {
            let mm = rounded(mm, unit);
            // A dimension that stays stays as it was given.
            if (mm - now).abs() < 0.5 * step_of(unit) {
                continue;
            }
            let wire = design.sizes.get(size).and_then(|size| size.wire.as_ref());
            let gauge = wire.unwrap_or(&design.wire).gauge.filter(|_| axis == Dimension::WireMm);
            match gauge.and_then(|gauge| nearest_gauge(gauge, mm)) {
                Some(gauge) => set_gauge(&mut moved, size, gauge),
                None => axis.set(&mut moved, size, mm),
            }
        }
        (moved != *design).then_some(moved)
    }

    /// The place some steps of the map away, mm.
    pub fn stepped(&self, right: f64, up: f64, fine: bool) -> Option<[f64; 2]> {
        let unit = self.analysis.unit;
        let map_state = self.map_state.as_ref()?;
        let here = map_state.place_of(&self.analysis.design, self.analysis.size)?;
        let step = |range: &Range, path: f64| {
            let least = step_of(unit);
            let step = (range.high - range.low) / 64.0;
            path * if fine { least } else { (step / least).round().max(1.0) * least }
        };
        let Question { across, up: upward, .. } = &map_state.question;
        Some([
            (here[0] + step(across, right)).clamp(across.low, across.high),
            (here[1] + step(upward, up)).clamp(upward.low, upward.high),
        ])
    }

    /// Why the design cannot go to a place of the map, in words.
    pub fn refusal(&self, error: &BuildError) -> String {
        let name = error.at().map_or("the link", |at| axis_name(at.field));
        format!("Not there: {}.", error.message(name, self.analysis.unit))
    }
}

/// The gauge of the same table whose wire is nearest.
fn nearest_gauge(gauge: Gauge, mm: f64) -> Option<Gauge> {
    let of = |number: i32| Gauge { number, ..gauge };
    let off =
        |number: &i32| of(*number).diameter().map_or(f64::INFINITY, |d| (d.get() / mm).ln().abs());
    gauge.system.numbers().min_by(|a, b| off(a).total_cmp(&off(b))).map(of)
}

fn set_gauge(design: &mut Design, size: usize, gauge: Gauge) {
    let own = design.sizes.get_mut(size).and_then(|size| size.wire.as_mut());
    *own.unwrap_or(&mut design.wire) = WireChoice::by_gauge(gauge);
}

fn axis_name(field: &'static str) -> &'static str {
    let known = [
        ("mandrel_mm", Dimension::MandrelMm),
        ("bore_mm", Dimension::BoreMm),
        ("wire", Dimension::WireMm),
    ];
    known.iter().find(|(name, _)| field.starts_with(name)).map_or(field, |(_, axis)| axis.words())
}

/// What callipers can tell apart: a hundredth of a millimetre, half a thousandth of an inch.
fn step_of(unit: LengthUnit) -> f64 {
    match unit {
        LengthUnit::Mm => 0.01,
        LengthUnit::Inch => 0.0005 * unit.in_mm(),
    }
}

fn rounded(mm: f64, unit: LengthUnit) -> f64 {
    // Through text, so that 0.9 is 0.9.
    let steps = (mm / step_of(unit)).round();
    match unit {
        LengthUnit::Mm => steps / 100.0,
        LengthUnit::Inch => steps / 2000.0 * unit.in_mm(),
    }
}
