//! The tool beside each dimension.
//!
//! A design's dimensions are what callipers find on the released link. Beside each stands what the
//! tool is set to for that in the design's metal, and what it springs to; what cannot be had in one
//! go is said with what to do. Where the design's figures are those of its tools, what they leave
//! stands there. The values are those of the metal section, none is computed here.

use super::forming::{FormingReport, JawsReport, PressReport};
use crate::documents::design::Shapes;
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::link::ToolDimensions;
use serde::Serialize;

/// What stands beside one dimension.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ToolNote {
    /// The design's field.
    pub field: &'static str,
    /// What a maker calls it.
    pub name: &'static str,
    /// In one line.
    pub message: String,
}

impl ToolNote {
    /// With its name before it, for a paper.
    pub fn line(&self) -> String {
        format!("{}: {}", self.name, self.message)
    }
}

/// What a maker calls the fields that have a note.
const NAMES: [(&str, &str); 9] = [
    ("mandrel_mm", "Mandrel"),
    ("bore_mm", "Bore"),
    ("oval_jaw_mm", "Oval jaws"),
    ("oval_length_mm", "Oval"),
    ("waist_gap_mm", "Waist"),
    ("pinch_jaw_mm", "Pinch jaws"),
    ("fold_jaw_mm", "Fold"),
    ("tip_gap_mm", "Tips"),
    ("threading_bore_mm", "Leading lobe"),
];

/// The fields that may have a note.
pub fn noted_fields() -> impl Iterator<Item = &'static str> {
    NAMES.iter().map(|(field, _)| *field)
}

/// What the ring of these tools springs to, beside the mandrel.
pub fn ring_note(setting: &ToolDimensions, unit: LengthUnit) -> String {
    let inside = length_text(setting.mandrel + setting.springback, unit);
    format!("springs to {inside}")
}

pub(super) fn tool_notes(
    setting: &ToolDimensions,
    working: &FormingReport,
    shapes: Shapes,
    unit: LengthUnit,
) -> Vec<ToolNote> {
    let notes = match (shapes, &working.jaws) {
        (Shapes::AsTheJawsLeaveThem, Some(jaws)) => corrected(setting, working, jaws, unit),
        // No tools that correct it are known.
        (Shapes::AsTheJawsLeaveThem, None) => Vec::new(),
        (Shapes::AfterSpringback, _) => left(working, unit),
    };
    let ring = ("mandrel_mm", coil(setting, working, unit));
    let press = working.press.map(|press| ("threading_bore_mm", pressed(&press, setting, unit)));
    let all = std::iter::once(ring).chain(notes).chain(press);
    let named = |(field, message): (&'static str, String)| {
        let name = NAMES.iter().find(|(known, _)| *known == field).map_or(field, |(_, name)| *name);
        ToolNote { field, name, message }
    };
    all.map(named).collect()
}

/// What the coil springs to; and the mandrel for a ring of the mandrel's own size, where what the
/// ring opens by is the metal's.
fn coil(setting: &ToolDimensions, working: &FormingReport, unit: LengthUnit) -> String {
    let mm = |value: f64| length_text(value, unit);
    let springs = ring_note(setting, unit);
    let is_metals = {
        let coil = working.coil_inside;
        (coil.released_mm.likely - coil.loaded_mm - setting.springback).abs() < SAME
    };
    match &working.jaws {
        Some(jaws) if is_metals => {
            let inside = mm(setting.mandrel);
            format!("{springs} \u{b7} for {inside} wind on {}", mm(jaws.mandrel_mm))
        }
        _ => springs,
    }
}

/// A lobe that is pressed to be threaded, and opened again.
fn pressed(press: &PressReport, setting: &ToolDimensions, unit: LengthUnit) -> String {
    let mm = |value: f64| length_text(value, unit);
    let then = match press.open_to_mm {
        Some(open) => format!("open to {}, springs to {}", mm(open), mm(setting.bore)),
        None => "no opening leaves its finished bore".into(),
    };
    let (to, wanted) = (mm(press.press_to_mm), mm(press.threading_bore_mm));
    format!("press to {to} \u{b7} springs to {wanted}; {then}")
}

/// Lengths nearer than this are one to callipers, mm.
const SAME: f64 = 5e-3;

type Notes = Vec<(&'static str, String)>;

/// Tools that leave what the design says.
fn corrected(
    setting: &ToolDimensions,
    working: &FormingReport,
    jaws: &JawsReport,
    unit: LengthUnit,
) -> Notes {
    let mm = |value: f64| length_text(value, unit);
    let oval = mm(jaws.released_oval_length_mm);
    let waist = mm(jaws.released_waist_gap_mm);
    let oval_length = match jaws.oval_length_mm {
        Some(length) => format!("stretch to {} \u{b7} springs to {oval}", mm(length)),
        None if jaws.released_oval_length_mm < working.oval_length.loaded_mm - SAME => {
            format!("drawn taut, springs to {oval}: anneal and stretch again")
        }
        None => format!("drawn taut \u{b7} springs to {oval}"),
    };
    let waist_gap = match jaws.waist_gap_mm {
        Some(gap) => format!("pinch to {} \u{b7} springs to {waist}", mm(gap)),
        None => format!("pinched shut, springs to {waist}: anneal and pinch again"),
    };
    let mut notes = vec![
        (
            "oval_jaw_mm",
            format!(
                "stretch over {} \u{b7} springs to {}",
                mm(jaws.oval_jaw_mm),
                mm(setting.oval_jaw)
            ),
        ),
        ("oval_length_mm", oval_length),
        ("waist_gap_mm", waist_gap),
        (
            "fold_jaw_mm",
            format!(
                "fold over {} through {:.0}\u{b0} \u{b7} springs to {} and {:.0}\u{b0}",
                mm(jaws.fold_jaw_mm),
                jaws.fold_deg,
                mm(setting.fold_jaw),
                working.fold_loaded_deg
            ),
        ),
    ];
    let pinch = if setting.neck > 0.0 {
        let edges = mm(jaws.pinch_jaw_mm);
        format!("edges rounded to {edges} \u{b7} springs to {}", mm(setting.pinch_jaw))
    } else {
        format!("round jaws of {}, not corrected: go by the waist gap", mm(setting.pinch_jaw))
    };
    notes.insert(3, ("pinch_jaw_mm", pinch));
    // No tool of its own sets it.
    let follows = (setting.oval_jaw - setting.bore).abs() < SAME;
    let bore = if follows {
        "left by the oval jaws (check it on the released eight)"
    } else {
        "check it on the released eight"
    };
    notes.insert(0, ("bore_mm", bore.into()));
    if let Some(gap) = jaws.pressed_tip_gap_mm {
        let words = format!(
            "the tips meet first; pressed together they spring to {}: take the jaw out and squeeze the legs",
            mm(gap)
        );
        notes.push(("tip_gap_mm", words));
    }
    notes
}

/// What tools of the design's dimensions leave.
fn left(working: &FormingReport, unit: LengthUnit) -> Notes {
    let mm = |value: f64| length_text(value, unit);
    let springs = |value: f64| format!("springs to {}", mm(value));
    let waist = working.waist_gap.released_mm.likely;
    vec![
        (
            "oval_jaw_mm",
            format!(
                "ends spring from {} to {} at the wire\u{2019}s middle",
                mm(working.oval_end_radius.loaded_mm),
                mm(working.oval_end_radius.released_mm.likely)
            ),
        ),
        ("oval_length_mm", springs(working.oval_length.released_mm.likely)),
        ("waist_gap_mm", springs(waist)),
        (
            "fold_jaw_mm",
            format!(
                "folded through {:.0}\u{b0} \u{b7} springs to {:.0}\u{b0}",
                working.fold_loaded_deg, working.fold_released_deg.likely
            ),
        ),
        (
            "tip_gap_mm",
            format!("springs to {} until pinched shut", mm(working.tip_gap.released_mm.likely)),
        ),
    ]
}
