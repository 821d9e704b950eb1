//! The fields of the design: one table from which what they show, how they are read and what
//! they are called follow.
//!
//! A field is known by the path of what it holds in the design or in the size looked at:
//! `wire`, `mandrel_mm`, `plan.length_mm`, `trials[0].bore_mm`.
//! Evidence: the tests below and `tests/page_model.rs`.

use crate::documents::design::{
    DESIGN_FIELDS, Design, PLAN_FIELDS, PlanChoice, SIZE_FIELDS, Size, TRIAL_FIELDS, Trial,
    WireChoice,
};
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::number_field::NumberField;
use crate::documents::units::{LengthUnit, length_words, names_unit, parse_length, tidy};
use crate::math::units::Mm;

/// What a field takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    /// A wire, by diameter or by gauge.
    Wire,
    /// A length.
    Length,
    /// A number of things.
    Count,
    /// Hundredths, 0 to 100.
    Percent,
}

/// Where a field's value stands.
#[derive(Clone, Copy)]
enum Slot {
    Wire,
    Whole(&'static NumberField<Design>),
    OfSize(&'static NumberField<Size>),
    Plan(&'static NumberField<PlanChoice>),
    Trial(usize, &'static NumberField<Trial>),
    Seam,
}

/// A field.
#[derive(Clone)]
pub struct Field {
    /// Its path.
    pub key: String,
    /// What the page calls it.
    pub label: &'static str,
    kind: Kind,
    slot: Slot,
    /// Whether it may be left empty.
    optional: bool,
}

/// What a field holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Left empty.
    Empty,
    /// A length in mm, a count, or hundredths.
    Number(f64),
    /// A wire.
    Wire(WireChoice),
}

/// The fields of a size, of the whole design and of its plan, in the order of the page: path, name.
const NAMES: [(&str, &str); 29] = [
    ("wire", "Wire"),
    ("mandrel_mm", "Mandrel"),
    ("kerf_mm", "Saw cut"),
    ("springback_mm", "Ring springs open by"),
    ("growth_share", "Ring grows when stretched, %"),
    ("bore_mm", "Bore of the lobes"),
    ("oval_jaw_mm", "Oval jaws"),
    ("oval_length_mm", "Oval inside length"),
    ("waist_gap_mm", "Waist gap"),
    ("pinch_jaw_mm", "Pinch jaws"),
    ("neck_mm", "Neck, half its length"),
    ("fold_jaw_mm", "Fold jaw"),
    ("tip_gap_mm", "Tip gap, finished"),
    ("open_tip_gap_mm", "Tip gap while joining"),
    ("threading_bore_mm", "Lobe pressed to, while threaded"),
    ("margin_mm", "Clearance you want"),
    ("plan.length_mm", "Length, clasp included"),
    ("plan.ease_mm", "Ease"),
    ("plan.clasp_mm", "Clasp and its rings add"),
    ("plan.step_mm", "Length of a step"),
    ("plan.trial_links", "Trial links of each size"),
    ("plan.loss_share", "Rings lost, %"),
    ("plan.coil_mm", "Length of a coil"),
    ("plan.coil_ends_mm", "Lost at a coil\u{2019}s ends"),
    ("plan.end_ring_wire_mm", "End ring, wire"),
    ("plan.end_ring_inside_mm", "End ring, inside"),
    ("plan.spread_ring_mm", "Ring variation (\u{b1})"),
    ("plan.spread_bore_mm", "Bore variation (\u{b1})"),
    ("plan.spread_fold_mm", "Fold variation (\u{b1})"),
];

/// What is measured of a trial link.
const TRIAL_NAMES: [(&str, &str); 4] = [
    ("ring_inside_mm", "Ring, inside"),
    ("oval_length_mm", "Oval, inside length"),
    ("bore_mm", "Bore"),
    ("fold_gap_mm", "Gap at the fold"),
];

/// The line of a table of numbers with this name.
fn number<T>(table: &'static [NumberField<T>], name: &str) -> Option<&'static NumberField<T>> {
    table.iter().find(|field| field.name == name)
}

/// Every field that `design` has, in the order of the page.
pub fn all(design: &Design) -> Vec<Field> {
    let mut keys: Vec<String> = NAMES.iter().map(|(key, _)| (*key).to_string()).collect();
    keys.push("seam".into());
    for index in 0..design.trials.len() {
        keys.extend(TRIAL_NAMES.iter().map(|(name, _)| format!("trials[{index}].{name}")));
    }
    keys.iter().filter_map(|key| find(key)).collect()
}

/// The field with this path.
pub fn find(key: &str) -> Option<Field> {
    let kind = match key {
        "wire" => Kind::Wire,
        "plan.trial_links" => Kind::Count,
        "growth_share" | "plan.loss_share" | "seam" => Kind::Percent,
        _ => Kind::Length,
    };
    let name_in = |names: &[(&str, &'static str)], name: &str| {
        names.iter().find(|(known, _)| *known == name).map(|(_, label)| *label)
    };
    let (label, slot) = if key == "seam" {
        ("Seam position (0 waist, 100 tip)", Slot::Seam)
    } else if let Some(label) = name_in(&NAMES, key) {
        let slot = number(&DESIGN_FIELDS, key).map(Slot::Whole);
        let slot = slot.or_else(|| number(&SIZE_FIELDS, key).map(Slot::OfSize));
        let slot = slot.or_else(|| number(&PLAN_FIELDS, key).map(Slot::Plan));
        (label, slot.unwrap_or(Slot::Wire))
    } else {
        let (index, name) = key.strip_prefix("trials[")?.split_once("].")?;
        let field = number(&TRIAL_FIELDS, name)?;
        (name_in(&TRIAL_NAMES, name)?, Slot::Trial(index.parse().ok()?, field))
    };
    let optional = !matches!(key, "wire" | "mandrel_mm" | "kerf_mm" | "margin_mm");
    Some(Field { key: key.to_string(), label, kind, slot, optional })
}

impl Field {
    /// Whether it is of one size rather than of the whole design.
    pub fn is_of_size(&self) -> bool {
        matches!(self.slot, Slot::Wire | Slot::OfSize(_))
    }

    /// What it holds in a size of `design`.
    pub fn value(&self, design: &Design, size: usize) -> Option<Value> {
        let chosen = design.sizes.get(size)?;
        let number = match self.slot {
            Slot::Wire => {
                return Some(Value::Wire(chosen.wire.as_ref().unwrap_or(&design.wire).clone()));
            }
            Slot::Whole(field) => (field.get)(design),
            Slot::OfSize(field) => (field.get)(chosen),
            Slot::Plan(field) => (field.get)(&design.plan.clone().unwrap_or_default()),
            Slot::Trial(index, field) => (field.get)(design.trials.get(index)?),
            Slot::Seam => {
                design.metal.seam_share.map(|share| self.in_document() * seam_hundredths(share))
            }
        };
        Some(number.map_or(Value::Empty, |own| Value::Number(own / self.in_document())))
    }

    /// What one of its own units is in a document: a hundredth for a percentage.
    fn in_document(&self) -> f64 {
        if matches!(self.kind, Kind::Percent) { 0.01 } else { 1.0 }
    }

    /// Puts a value that was read into a size of `design`; one that it holds already changes
    /// nothing.
    pub fn put(&self, design: &mut Design, size: usize, value: &Value) {
        if self.value(design, size).as_ref() == Some(value) {
            return;
        }
        let number = match value {
            Value::Number(shown) => Some(shown * self.in_document()),
            _ => None,
        };
        match (self.slot, value) {
            (Slot::Wire, Value::Wire(wire)) => {
                let own = design.sizes.get_mut(size).and_then(|size| size.wire.as_mut());
                // A size that has its own wire keeps one; otherwise the chain's changes.
                *own.unwrap_or(&mut design.wire) = wire.clone();
            }
            (Slot::Wire, _) => {}
            (Slot::Whole(field), _) => (field.set)(design, number),
            (Slot::OfSize(field), _) => {
                if let Some(size) = design.sizes.get_mut(size) {
                    (field.set)(size, number);
                }
            }
            (Slot::Plan(field), _) => {
                let plan = design.plan.get_or_insert_default();
                (field.set)(plan, number.or_else(|| (field.get)(&PlanChoice::default())));
            }
            (Slot::Trial(index, field), _) => {
                if let Some(trial) = design.trials.get_mut(index) {
                    (field.set)(trial, number);
                }
            }
            (Slot::Seam, _) => design.metal.seam_share = number.map(|share| 0.25 * share),
        }
    }

    /// A value as the field shows it where nobody typed it.
    pub fn text(&self, value: &Value, unit: LengthUnit) -> String {
        match (value, self.kind) {
            (Value::Empty, _) => String::new(),
            (Value::Number(number), Kind::Count) => format!("{number:.0}"),
            (Value::Number(number), Kind::Percent) => tidy(*number, 2),
            (Value::Number(mm), _) => shown_number(mm / unit.in_mm()),
            (Value::Wire(wire), _) => match (wire.gauge, wire.diameter_mm) {
                (Some(gauge), _) => gauge.short(),
                (None, Some(mm)) => shown_number(mm / unit.in_mm()),
                (None, None) => String::new(),
            },
        }
    }

    /// Reads what is typed.
    ///
    /// # Errors
    /// In words, where it is not understood, with what would be.
    pub fn read(&self, text: &str, unit: LengthUnit) -> Result<Value, String> {
        let typed = text.trim();
        if typed.is_empty() {
            return if self.optional {
                Ok(Value::Empty)
            } else {
                Err(format!("Type the {}: {}.", self.label.to_lowercase(), self.examples(unit)))
            };
        }
        let not = |what: &str| {
            let typed: String = typed.chars().take(40).collect();
            format!("\u{201c}{typed}\u{201d} is not {what}. Try {}.", self.examples(unit))
        };
        let plain = || typed.trim_end_matches('%').trim().replace(',', ".");
        match self.kind {
            Kind::Wire => {
                if let Some(gauge) = Gauge::parse(typed) {
                    return match gauge.diameter() {
                        Ok(_) => Ok(Value::Wire(WireChoice::by_gauge(gauge))),
                        Err(fault) => Err(format!("{fault}.")),
                    };
                }
                let mm = parse_length(typed, unit).map_err(|_| not("a wire"))?.get();
                Ok(Value::Wire(WireChoice::by_diameter(mm)))
            }
            Kind::Length => {
                let length = parse_length(typed, unit).map_err(|_| not("a length"))?;
                Ok(Value::Number(length.get()))
            }
            Kind::Count => match plain().parse::<u32>() {
                Ok(count) => Ok(Value::Number(f64::from(count))),
                Err(_) => Err(not("a number of links")),
            },
            Kind::Percent => {
                let most = match self.slot {
                    Slot::OfSize(field) => field.range[1] / self.in_document(),
                    _ => 100.0,
                };
                match plain().parse::<f64>() {
                    Ok(value) if (0.0..=most).contains(&value) => Ok(Value::Number(value)),
                    _ => Err(not(&format!("a number from 0 to {most:.0}"))),
                }
            }
        }
    }

    fn examples(&self, unit: LengthUnit) -> &'static str {
        match (self.kind, unit) {
            (Kind::Wire, LengthUnit::Mm) => "0.9 mm, AWG 19 or 0.035 in",
            (Kind::Wire, LengthUnit::Inch) => "0.035 in, AWG 19 or 0.9 mm",
            (Kind::Length, LengthUnit::Mm) => "12, 12.5 mm or 7/16 in",
            (Kind::Length, LengthUnit::Inch) => "0.5, 7/16 in or 12 mm",
            (Kind::Count, _) => "3",
            (Kind::Percent, _) if self.key == "growth_share" => "2",
            (Kind::Percent, _) => "50",
        }
    }

    /// Other ways to mean what is typed, the likeliest first: as it would be typed, and in words.
    /// None of it is tried here.
    pub fn meanings(&self, text: &str, unit: LengthUnit) -> Vec<(String, String)> {
        let typed = text.trim();
        if typed.is_empty() || names_unit(typed) || Gauge::parse(typed).is_some() {
            return Vec::new();
        }
        let Ok(bare) = parse_length(typed, LengthUnit::Mm) else { return Vec::new() };
        let mut found = Vec::new();
        if self.kind == Kind::Wire
            && let Ok(number) = typed.parse::<u8>()
        {
            for system in [GaugeSystem::Awg, GaugeSystem::Swg] {
                let gauge = Gauge { system, number: i32::from(number) };
                if let Ok(diameter) = gauge.diameter() {
                    let name = match system {
                        GaugeSystem::Awg => format!("{number} gauge"),
                        GaugeSystem::Swg => gauge.short(),
                    };
                    let words = format!("{name}? That is {}.", two_places(diameter, unit));
                    found.push((gauge.short(), words));
                }
            }
        }
        // Inches are typed as fractions, or are small.
        let is_fraction = typed.contains('/') || !typed.is_ascii();
        let likely = unit == LengthUnit::Inch || is_fraction || bare.get() < 1.5;
        if matches!(self.kind, Kind::Wire | Kind::Length) && likely {
            let other = match unit {
                LengthUnit::Mm => LengthUnit::Inch,
                LengthUnit::Inch => LengthUnit::Mm,
            };
            let as_typed = format!("{typed} {}", other.name());
            let mm = bare.get() * other.in_mm();
            if let Ok(length) = Mm::try_from(mm) {
                let words = format!("{as_typed}? That is {}.", two_places(length, unit));
                found.push((as_typed, words));
            }
        }
        found
    }
}

/// A number as a field shows it: four decimals at most.
pub fn shown_number(value: f64) -> String {
    tidy(value, 4)
}

/// To a hundredth of a millimetre, or as sentences say it in inches.
fn two_places(length: Mm, unit: LengthUnit) -> String {
    let mm = match unit {
        LengthUnit::Mm => (length.get() * 100.0).round() / 100.0,
        LengthUnit::Inch => length.get(),
    };
    Mm::try_from(mm).map_or_else(|_| String::new(), |mm| length_words(mm, unit))
}

/// The seam in hundredths of the way from the waist to the tip; its mirror images count alike.
fn seam_hundredths(share: f64) -> f64 {
    let half = share.rem_euclid(0.5);
    400.0 * half.min(0.5 - half)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthUnit = LengthUnit::Mm;

    fn wire(text: &str) -> Result<f64, String> {
        match find("wire").unwrap().read(text, MM)? {
            Value::Wire(wire) => Ok(wire.diameter().unwrap()),
            other => panic!("{other:?}"),
        }
    }

    /// 18 AWG by ASTM B258 is 1.0237 mm, 18 SWG by BS 3737 0.048 in.
    #[test]
    fn a_wire_is_read_in_every_way_it_is_written() {
        for text in ["18 ga", "18 gauge", "AWG 18", "18 awg", "18ga."] {
            assert!((wire(text).unwrap() - 1.0237).abs() < 5e-5, "{text}");
        }
        assert!((wire("SWG 18").unwrap() - 0.048 * 25.4).abs() < 1e-9);
        assert_eq!(wire("0,9"), Ok(0.9));
        assert!((wire("0.036''").unwrap() - 0.9144).abs() < 1e-9);
        for text in ["", "  ", "x", "18 gauge gauge gauge", "AWG 99", "1 2 3"] {
            let words = wire(text).unwrap_err();
            assert!(words.ends_with('.') && words.len() > 20, "{text}: {words}");
        }
    }

    #[test]
    fn what_a_field_shows_is_what_it_reads() {
        let design = Design::parse(include_str!("../../www/examples/swelling-necklace.json"));
        let design = design.unwrap();
        for unit in [MM, LengthUnit::Inch] {
            for size in 0..design.sizes.len() {
                for field in all(&design) {
                    let value = field.value(&design, size).unwrap();
                    let text = field.text(&value, unit);
                    let read = field.read(&text, unit).unwrap();
                    let near = match (&read, &value) {
                        (Value::Number(a), Value::Number(b)) => (a - b).abs() < 2e-3,
                        (a, b) => a == b,
                    };
                    assert!(near, "{}: {value:?} as {text} is read {read:?}", field.key);
                    let mut other = design.clone();
                    field.put(&mut other, size, &value);
                    assert_eq!(other, design, "{}", field.key);
                }
            }
        }
    }

    #[test]
    fn a_likely_meaning_is_another_way_to_write_it() {
        let meanings = |key: &str, text: &str, unit| find(key).unwrap().meanings(text, unit);
        let found = meanings("wire", "18", MM);
        assert_eq!(found[0], ("AWG 18".into(), "18 gauge? That is 1.02 mm.".into()));
        assert_eq!(found[1].0, "SWG 18");
        let found = meanings("mandrel_mm", "1/2", MM);
        assert_eq!(found, [("1/2 in".into(), "1/2 in? That is 12.7 mm.".into())]);
        let found = meanings("mandrel_mm", "12", LengthUnit::Inch);
        assert_eq!(found[0].0, "12 mm");
        for clear in ["18 mm", "AWG 18", "abc", "", "1/2\""] {
            assert!(meanings("wire", clear, MM).is_empty(), "{clear}");
        }
        for (key, text) in [("wire", "18"), ("mandrel_mm", "1/2"), ("bore_mm", "\u{215c}")] {
            for (meaning, _) in meanings(key, text, MM) {
                assert!(find(key).unwrap().read(&meaning, MM).is_ok(), "{meaning}");
            }
        }
    }
}
