//! A design with a suggestion taken.

use super::join::Steps;
use super::{SuggestionReport, pairs};
use crate::answers::build::BuildError;
use crate::documents::design::{Design, WireChoice};
use crate::documents::units::LengthUnit;
use crate::geometry::link::ToolDimensions;

impl SuggestionReport {
    /// Every dimension that it changes, and by how much, mm.
    pub fn changes(&self) -> impl Iterator<Item = (&str, f64)> {
        let with = self.with.iter().map(|change| (change.field.as_str(), change.by_mm));
        std::iter::once((self.field.as_str(), self.by_mm)).chain(with)
    }

    /// `design` with this change made for its join `index`; every other dimension written down as
    /// it stands.
    ///
    /// # Errors
    /// [`BuildError`] where `design` itself cannot be worked.
    pub fn taken(
        &self,
        design: &Design,
        index: usize,
        unit: LengthUnit,
    ) -> Result<Design, BuildError> {
        let mut changed = design.settled()?;
        let settings = design.settings()?;
        if let Some(pair) = pairs(design.sizes.len()).nth(index) {
            for (field, by) in self.changes() {
                change(&mut changed, &settings, pair, (field, by), unit);
            }
        }
        Ok(changed)
    }
}

/// Changes a dimension of `design`, whose tools are `settings`, by so many mm.
fn change(
    design: &mut Design,
    settings: &[ToolDimensions],
    (receiving, incoming): (usize, usize),
    (field, by): (&str, f64),
    unit: LengthUnit,
) {
    let changed =
        if matches!(field, "fold_jaw_mm" | "waist_gap_mm") { incoming } else { receiving };
    // By the change and not by the value: where the shapes are those after springback, the
    // design holds what the jaws do.
    let tools = &settings[changed];
    let own = match field {
        "mandrel_mm" => tools.mandrel,
        "bore_mm" => tools.bore,
        "fold_jaw_mm" => tools.fold_jaw,
        "waist_gap_mm" => tools.waist_gap,
        "neck_mm" => tools.neck,
        "pinch_jaw_mm" => tools.pinch_jaw,
        _ => tools.wire,
    };
    // Without what rounding leaves at the end.
    let to = 1e-9 * (1e9 * (own + by)).round();
    let steps = Steps::of(design, unit);
    let wire_of = |mm: f64| match steps.gauge_of(mm) {
        Some(gauge) => WireChoice::by_gauge(gauge),
        None => WireChoice::by_diameter(mm),
    };
    let size = &mut design.sizes[changed];
    match field {
        "mandrel_mm" => size.mandrel_mm = to,
        "bore_mm" => size.bore_mm = Some(to),
        "fold_jaw_mm" => size.fold_jaw_mm = Some(to),
        "waist_gap_mm" => size.waist_gap_mm = Some(to),
        "neck_mm" => size.neck_mm = Some(to),
        "pinch_jaw_mm" => size.pinch_jaw_mm = Some(to),
        "wire" => {
            let by = to - settings[receiving].wire;
            if [receiving, incoming].iter().any(|&i| design.sizes[i].wire.is_none()) {
                let shared = settings.iter().zip(&design.sizes).find(|(_, s)| s.wire.is_none());
                let wire = shared.map_or(to, |(setting, _)| setting.wire + by);
                design.wire = wire_of(wire);
            }
            let mut ends = vec![receiving, incoming];
            ends.dedup();
            for i in ends {
                if let Some(wire) = &mut design.sizes[i].wire {
                    *wire = wire_of(settings[i].wire + by);
                }
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::super::{JoinAnswer, prove};
    use super::*;
    use crate::documents::design::Size;
    use crate::documents::gauge::{Gauge, GaugeSystem};
    use crate::geometry::link::ToolDimension;

    /// Every suggestion, taken as it is written, does what it promised.
    #[test]
    fn a_suggestion_taken_makes_the_join_pass_with_the_clearance_asked_for() {
        for unit in [LengthUnit::Mm, LengthUnit::Inch] {
            let design = Design::plain(1.2, 9.6);
            let ask = |design: &Design| {
                prove(design, &design.formings().unwrap(), 0, unit).unwrap().report
            };
            let report = ask(&design);
            assert_eq!(report.verdict, JoinAnswer::DoesNotPass);
            let proven: Vec<_> =
                report.suggestions.iter().filter(|suggestion| suggestion.proven).collect();
            assert!(!proven.is_empty(), "{:?}", report.suggestions);
            for suggestion in proven {
                let changed = suggestion.taken(&design, 0, unit).unwrap();
                // What is written is what is taken.
                let to = changed.settings().unwrap()[0];
                let value = if suggestion.field == "wire" { to.wire } else { to.mandrel };
                if ["wire", "mandrel_mm"].contains(&suggestion.field.as_str()) {
                    let dimension = match suggestion.field.as_str() {
                        "wire" => ToolDimension::Wire,
                        _ => ToolDimension::Mandrel,
                    };
                    let words = Steps::of(&design, unit).text(dimension, value);
                    assert!(
                        suggestion.message.contains(&format!("{words} ")),
                        "{words}: {}",
                        suggestion.message
                    );
                }
                let after = ask(&changed);
                assert_eq!(
                    after.verdict,
                    JoinAnswer::Passes,
                    "{}: {}",
                    suggestion.message,
                    after.message
                );
                assert!(after.least_clearance_mm >= design.margin_mm, "{}", after.message);
            }
        }
    }

    /// Where no one change between unlike sizes does, two jaws together do; each goes to its size.
    #[test]
    fn two_jaws_are_changed_where_one_is_not_enough() {
        let mut design = Design::plain(1.0, 8.4);
        design.sizes.push(Size::on_mandrel(9.5));
        for size in &mut design.sizes {
            size.springback_mm = Some(0.0);
        }
        let ask = |design: &Design| {
            let formings = design.formings().unwrap();
            let index = pairs(2).position(|pair| pair == (1, 0)).unwrap();
            (index, prove(design, &formings, index, LengthUnit::Mm).unwrap().report)
        };
        let (index, report) = ask(&design);
        assert_eq!(report.verdict, JoinAnswer::DoesNotPass);
        let [found] = &report.suggestions[..] else { panic!("{:?}", report.suggestions) };
        assert_eq!(
            (found.field.as_str(), found.with[0].field.as_str()),
            ("bore_mm", "fold_jaw_mm")
        );
        assert!(found.proven && found.message.contains(" of the receiving size"), "{found:?}");
        let changed = found.taken(&design, index, LengthUnit::Mm).unwrap();
        assert_eq!(changed.sizes[1].bore_mm, Some(found.to_mm));
        assert_eq!(changed.sizes[0].fold_jaw_mm, Some(found.with[0].to_mm));
        let (_, after) = ask(&changed);
        assert_eq!(after.verdict, JoinAnswer::Passes, "{}", after.message);
        assert!(after.least_clearance_mm >= design.margin_mm, "{}", after.message);
    }

    /// A wire said by its gauge is offered by its gauge, and stays so.
    #[test]
    fn a_finer_wire_is_the_next_gauge_that_joins() {
        let mut design = Design::plain(1.0, 9.0);
        let awg = |number| Gauge { system: GaugeSystem::Awg, number };
        design.wire = WireChoice::by_gauge(awg(18));
        let report = prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap().report;
        let wire = report.suggestions.iter().find(|suggestion| suggestion.field == "wire").unwrap();
        assert!(wire.message.starts_with("Use AWG "), "{}", wire.message);
        assert!(wire.message.contains("(now AWG 18)"), "{}", wire.message);
        let changed = wire.taken(&design, 0, LengthUnit::Mm).unwrap();
        let number = changed.wire.gauge.unwrap().number;
        assert!(wire.message.contains(&format!("Use AWG {number} wire")), "{}", wire.message);
        // The gauge before that one does not do.
        let passes = |number| {
            let mut design = design.clone();
            design.wire = WireChoice::by_gauge(awg(number));
            // As a suggestion has it: the other dimensions stay.
            let plain = design_with(&design, &changed);
            prove(&plain, &plain.formings().unwrap(), 0, LengthUnit::Mm).unwrap().report
        };
        assert_eq!(passes(number).verdict, JoinAnswer::Passes);
        let before = passes(number - 1);
        // Or with a hundredth too little to be sure of before it is proven.
        let short = before.least_clearance_mm < design.margin_mm + 0.01;
        assert!(before.verdict != JoinAnswer::Passes || short, "{}", before.message);
    }

    /// The tools of `tools` with the wire of `wire`.
    fn design_with(wire: &Design, tools: &Design) -> Design {
        Design { wire: wire.wire.clone(), ..tools.clone() }
    }

    #[test]
    fn a_suggestion_goes_to_the_size_it_is_about() {
        let mut design = Design::plain(1.0, 12.0);
        design.sizes.push(Size::on_mandrel(14.0));
        design.sizes[1].wire = Some(WireChoice::by_diameter(1.1));
        let suggestion = |field: &str, to_mm: f64, by_mm: f64| SuggestionReport {
            field: field.into(),
            to_mm,
            by_mm,
            with: Vec::new(),
            proven: true,
            message: String::new(),
        };
        // Join 2: the second size worked through the first.
        let taken =
            |c: SuggestionReport| c.taken(&design, 2, LengthUnit::Mm).unwrap().settings().unwrap();
        assert_eq!(taken(suggestion("mandrel_mm", 12.5, 0.5))[0].mandrel, 12.5);
        assert_eq!(taken(suggestion("fold_jaw_mm", 3.0, 0.25))[1].fold_jaw, 3.0);
        let wires = taken(suggestion("wire", 0.9, -0.1));
        assert!((wires[0].wire - 0.9).abs() < 1e-9 && (wires[1].wire - 1.0).abs() < 1e-9);
        assert!(suggestion("wire", 0.9, -0.1).taken(&design, 99, LengthUnit::Mm).is_ok());
    }
}
