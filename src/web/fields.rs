//! The fields of the page and the design behind them.

use super::planned;
use crate::documents::design::{Design, SIZE_FIELDS, WireChoice};
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::units::{LengthUnit, parse_length, tidy};

/// What a field of the page holds, as text, and where it belongs.
pub struct Typed {
    /// The field's name, which is its path within the design or the size.
    pub name: String,
    /// What was typed.
    pub text: String,
}

/// A number as a field shows it: four decimals at most.
pub fn shown_number(value: f64) -> String {
    tidy(value, 4)
}

/// The text to show in each length field for `design`, in `unit`; empty for what is left out.
pub fn shown(design: &Design, size: usize, unit: LengthUnit) -> Vec<(&'static str, String)> {
    let chosen = &design.sizes[size];
    let text = |mm: f64| shown_number(mm / unit.in_mm());
    let wire = chosen.wire.as_ref().unwrap_or(&design.wire);
    let wire_text = match (wire.diameter_mm, wire.gauge) {
        (Some(mm), _) => text(mm),
        (None, Some(gauge)) => gauge.number.to_string(),
        (None, None) => String::new(),
    };
    let mut found = vec![
        ("wire", wire_text),
        ("mandrel_mm", text(chosen.mandrel_mm)),
        ("springback_mm", text(chosen.springback_mm)),
        ("kerf_mm", text(design.kerf_mm)),
        ("margin_mm", text(design.margin_mm)),
    ];
    for field in &SIZE_FIELDS {
        found.push((field.name, (field.get)(chosen).map(text).unwrap_or_default()));
    }
    found
}

/// The way the wire of `design` is given: `diameter`, `awg` or `swg`.
pub fn wire_kind(design: &Design, size: usize) -> &'static str {
    let wire = design.sizes[size].wire.as_ref().unwrap_or(&design.wire);
    match wire.gauge.map(|g| g.system) {
        Some(GaugeSystem::Awg) => "awg",
        Some(GaugeSystem::Swg) => "swg",
        None => "diameter",
    }
}

/// `design` with what was typed; the field and the words where a text cannot be read.
pub fn with_typed(
    design: &Design,
    size: usize,
    kind: &str,
    unit: LengthUnit,
    typed: &[Typed],
) -> Result<Design, (String, String)> {
    let as_shown = shown(design, size, unit);
    let same_kind = kind == wire_kind(design, size);
    // Untouched, a length stays as the document has it: what is shown is rounded.
    let is_untouched = |name: &str, text: &str| {
        (name != "wire" || same_kind)
            && as_shown.iter().any(|(field, shown)| *field == name && shown == text)
    };
    let mut design = design.clone();
    let chosen = &mut design.sizes[size];
    for Typed { name, text } in typed {
        if is_untouched(name, text) {
            continue;
        }
        let fault = |words: String| (name.clone(), words);
        let (plan, trials) = (&mut design.plan, &mut design.trials);
        if let Some(taken) = planned::take(plan, trials, (name, text), unit) {
            taken.map_err(fault)?;
            continue;
        }
        if name == "wire" && kind != "diameter" {
            let system = if kind == "awg" { GaugeSystem::Awg } else { GaugeSystem::Swg };
            let number = text
                .trim()
                .parse::<i32>()
                .map_err(|_| fault(format!("\"{}\" is not a gauge number; try 18", text.trim())))?;
            place_wire(
                &mut design.wire,
                &mut chosen.wire,
                WireChoice::by_gauge(Gauge { system, number }),
            );
            continue;
        }
        let left_out = text.trim().is_empty();
        let optional = SIZE_FIELDS.iter().find(|field| field.name == name);
        if let (Some(field), true) = (optional, left_out) {
            (field.set)(chosen, None);
            continue;
        }
        let mm = parse_length(text, unit).map_err(|error| fault(error.to_string()))?.get();
        match (name.as_str(), optional) {
            (_, Some(field)) => (field.set)(chosen, Some(mm)),
            ("wire", _) => {
                place_wire(&mut design.wire, &mut chosen.wire, WireChoice::by_diameter(mm));
            }
            ("mandrel_mm", _) => chosen.mandrel_mm = mm,
            ("springback_mm", _) => chosen.springback_mm = mm,
            ("kerf_mm", _) => design.kerf_mm = mm,
            ("margin_mm", _) => design.margin_mm = mm,
            _ => {}
        }
    }
    Ok(design)
}

/// A size that has its own wire keeps one; otherwise the chain's changes.
fn place_wire(shared: &mut WireChoice, own: &mut Option<WireChoice>, wire: WireChoice) {
    match own {
        Some(own) => *own = wire,
        None => *shared = wire,
    }
}

/// The present wire written the way `kind` gives it: its diameter, or the nearest number.
pub fn in_kind(design: &Design, size: usize, kind: &str, unit: LengthUnit) -> Option<String> {
    let wire = design.settings().ok()?.get(size)?.wire;
    let system = match kind {
        "awg" => GaugeSystem::Awg,
        "swg" => GaugeSystem::Swg,
        _ => return Some(format!("{:.3}", wire / unit.in_mm())),
    };
    let off = |number: i32| {
        Gauge { system, number }.diameter().map_or(f64::INFINITY, |d| (d.get() / wire).ln().abs())
    };
    system.numbers().min_by(|a, b| off(*a).total_cmp(&off(*b))).map(|n| n.to_string())
}
