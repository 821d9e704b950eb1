//! Springback and the jaws that correct it, in figures and sentences.

use super::strain::{AnnealReport, StepReport, anneal_report, step_report};
use super::wording::span_length;
use crate::documents::units::{LengthUnit, length_text};
use crate::mechanics::forming::{FormingAnalysis, FormingRun, Jaws, PressedLobe};
use crate::mechanics::material::{Band, BandedValue, Metal};
use serde::Serialize;

/// A length as the jaws hold it and after releasing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ReleasedReport {
    /// While loaded, mm.
    pub loaded_mm: f64,
    /// After release, mm.
    pub released_mm: BandedValue,
}

/// Springback, strain and annealing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FormingReport {
    /// Inside diameter of the coil: round the mandrel, and off it.
    pub coil_inside: ReleasedReport,
    /// Inside length of the oval, as far as it is followed.
    pub oval_length: ReleasedReport,
    /// Radius of the oval's end, on the centreline.
    pub oval_end_radius: ReleasedReport,
    /// Greatest inside width of a lobe as the wire really lies between the pinching jaws.
    pub lobe_width: ReleasedReport,
    /// Waist gap.
    pub waist_gap: ReleasedReport,
    /// Radius of the lobe's end after the pinch, on the centreline.
    pub lobe_end_radius: ReleasedReport,
    /// Angle of the fold while held.
    pub fold_loaded_deg: f64,
    /// Angle of the fold released.
    pub fold_released_deg: BandedValue,
    /// Tip gap that the fold springs to.
    pub tip_gap: ReleasedReport,
    /// The leading lobe pressed to be threaded; left out where it goes as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub press: Option<PressReport>,
    /// In a maker's words.
    pub springback_messages: Vec<String>,
    /// Tools that leave what the design asks for.
    pub jaws: Option<JawsReport>,
    /// Strain, step by step.
    pub steps: Vec<StepReport>,
    /// When to anneal.
    pub anneal: AnnealReport,
}

/// The leading lobe pressed to be threaded, and opened again in its place; the likely metal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PressReport {
    /// Bore wanted while threading.
    pub threading_bore_mm: f64,
    /// Pressed to this bore, the lobe springs open to that.
    pub press_to_mm: f64,
    /// Opened to this bore, it springs back to its finished one; left out where no opening does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub open_to_mm: Option<f64>,
    /// Strain of the outermost fibre at the lobe's end by the press, and as much again by the
    /// opening.
    pub bend_strain: f64,
}

/// Tools that leave what the design asks for.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JawsReport {
    /// Mandrel.
    pub mandrel_mm: f64,
    /// Oval jaws.
    pub oval_jaw_mm: f64,
    /// Inside length to stretch to; none past taut.
    pub oval_length_mm: Option<f64>,
    /// Waist gap to pinch to; none where it springs open further.
    pub waist_gap_mm: Option<f64>,
    /// Waist gap that these tools leave: the one wanted, or what one pinch leaves when pinched shut.
    pub released_waist_gap_mm: f64,
    /// Inside length of the oval that these tools leave.
    pub released_oval_length_mm: f64,
    /// Pinching jaws: their rounded edges, where they leave a neck.
    pub pinch_jaw_mm: f64,
    /// Fold jaw.
    pub fold_jaw_mm: f64,
    /// Angle to fold through over it.
    pub fold_deg: f64,
    /// How much further than the wanted angle that is.
    pub over_bend_deg: f64,
    /// Where the tips meet before that angle: the tip gap they spring to when pressed together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressed_tip_gap_mm: Option<f64>,
    /// In a maker's words.
    pub message: Vec<String>,
}

/// Share of the way from round to taut to stop at: sterling at a ratio of 8 is then pulled along its
/// length at 86 MPa against a yield of 124, at 0.97 of the way at 165 (computed by the rod).
const CAREFUL: f64 = 0.9;

pub(super) fn forming_report(
    working: &FormingAnalysis,
    metal: &Metal,
    unit: LengthUnit,
) -> FormingReport {
    let run = working.likely();
    let setting = run.loaded.setting;
    let released = |held: f64, kept: &dyn Fn(&FormingRun) -> f64| ReleasedReport {
        loaded_mm: held,
        released_mm: working.span(kept),
    };
    let [oval, eight] = [run.oval[0], run.eight[0]];
    let fold = &run.loaded.fold;
    let mut found = FormingReport {
        coil_inside: released(setting.mandrel, &|run| setting.mandrel + run.coil_springback),
        oval_length: released(oval.inside_length, &|run| run.oval[1].inside_length),
        oval_end_radius: released(oval.tip_radius, &|run| run.oval[1].tip_radius),
        lobe_width: released(eight.inside_width, &|run| run.eight[1].inside_width),
        waist_gap: released(eight.waist_gap, &|run| run.eight[1].waist_gap),
        lobe_end_radius: released(eight.tip_radius, &|run| run.eight[1].tip_radius),
        fold_loaded_deg: 2.0 * fold.half_angle.to_degrees(),
        fold_released_deg: working.span(|run| run.released_fold_angles().0.to_degrees()),
        tip_gap: released(fold.tip_gap(), &|run| run.released_fold_angles().1),
        press: run.press.map(press_report),
        springback_messages: Vec::new(),
        jaws: working
            .corrected_tools()
            .ok()
            .map(|jaws| jaws_report(&jaws, setting.neck > 0.0, unit)),
        steps: run
            .strains
            .iter()
            .zip(working.plastic_peaks())
            .map(|(strain, peak)| step_report(strain, peak, working, run))
            .collect(),
        anneal: anneal_report(working, metal),
    };
    found.springback_messages = springback_messages(&found, run, metal, unit);
    found
}

fn press_report(press: PressedLobe) -> PressReport {
    PressReport {
        threading_bore_mm: press.threading_bore,
        press_to_mm: press.press_to,
        open_to_mm: press.open_to,
        bend_strain: press.bend,
    }
}

fn springback_messages(
    found: &FormingReport,
    run: &FormingRun,
    metal: &Metal,
    unit: LengthUnit,
) -> Vec<String> {
    let mm = |value: f64| length_text(value, unit);
    let range = |span: BandedValue| span_length(span, unit);
    let mut message = vec![
        format!(
            "Wound on {}, the coil opens to {} inside.",
            mm(found.coil_inside.loaded_mm),
            range(found.coil_inside.released_mm)
        ),
        format!(
            "Stretched to {} inside and released, the oval is {} long; its ends, round to {} at the wire's middle, open to {}.",
            mm(found.oval_length.loaded_mm),
            range(found.oval_length.released_mm),
            mm(found.oval_end_radius.loaded_mm),
            range(found.oval_end_radius.released_mm)
        ),
        format!(
            "Pinched to a waist gap of {} and released, the waist stands {} open, and a lobe is {} wide inside where no jaw fills it.",
            mm(found.waist_gap.loaded_mm),
            range(found.waist_gap.released_mm),
            range(found.lobe_width.released_mm)
        ),
        format!(
            "Folded through {:.0}° and released, {:.0}° stay, and the tips stand {} apart until they are pinched shut.",
            found.fold_loaded_deg,
            found.fold_released_deg.likely,
            range(found.tip_gap.released_mm)
        ),
    ];
    if let Some(press) = &found.press {
        message.push(format!(
            "To thread it at a bore of {}, press the leading lobe to {}; {}.",
            mm(press.threading_bore_mm),
            mm(press.press_to_mm),
            match press.open_to_mm {
                Some(open) => format!(
                    "opened again to {}, it springs back to {}",
                    mm(open),
                    mm(run.loaded.setting.bore)
                ),
                None => "no opening leaves its finished bore".into(),
            }
        ));
    }
    let (round, taut) = (run.loaded.ring.inside_diameter(), run.loaded.taut.inside_length());
    let careful = round + CAREFUL * (taut - round);
    if run.loaded.oval.inside_length() > careful {
        message.push(format!(
            "That is near taut, where the wire is drawn along its length and the ring grows (already {:.0} MPa against a yield of {:.0}): stop at about {:.0} % of the way, {} inside.",
            run.stretch_stress,
            metal.yield_stress(Band::Likely),
            100.0 * CAREFUL,
            mm(careful)
        ));
    }
    message
}

fn jaws_report(jaws: &Jaws, has_neck: bool, unit: LengthUnit) -> JawsReport {
    let mm = |value: f64| length_text(value, unit);
    let mut message =
        vec![format!("For a coil of the mandrel's size inside, wind on {}.", mm(jaws.mandrel))];
    message.push(match jaws.oval_length {
        Some(length) => format!(
            "For the oval, stretch to {} inside over jaws of {}.",
            mm(length),
            mm(jaws.oval_jaw)
        ),
        None => format!(
            "For ends of the wanted radius, stretch over jaws of {}; drawn taut and released, the oval is {} long inside.",
            mm(jaws.oval_jaw),
            mm(jaws.left_oval_length)
        ),
    });
    message.push(match jaws.waist_gap {
        Some(gap) => format!("For the waist, pinch to a gap of {}.", mm(gap)),
        None => format!(
            "One pinch leaves a waist gap of {} even when pinched shut: anneal and pinch again, or allow for it in the bore.",
            mm(jaws.left_waist_gap)
        ),
    });
    if has_neck {
        message.push(format!(
            "For the neck, pinch between flat jaws with edges rounded to {}.",
            mm(jaws.pinch_jaw)
        ));
    }
    let first = if jaws.tips_meet_first {
        format!(
            " The tips meet before that; pressed together and released over the jaw you have, they stand {} apart: take the jaw out and squeeze the legs.",
            mm(jaws.least_tip_gap)
        )
    } else {
        String::new()
    };
    message.push(format!(
        "For the fold, take a jaw of {} and fold through {:.0}°, {:.0}° further than wanted.{first}",
        mm(jaws.fold_jaw),
        jaws.fold_angle.to_degrees(),
        jaws.over_bend.to_degrees()
    ));
    JawsReport {
        mandrel_mm: jaws.mandrel,
        oval_jaw_mm: jaws.oval_jaw,
        oval_length_mm: jaws.oval_length,
        waist_gap_mm: jaws.waist_gap,
        released_waist_gap_mm: jaws.left_waist_gap,
        released_oval_length_mm: jaws.left_oval_length,
        pinch_jaw_mm: jaws.pinch_jaw,
        fold_jaw_mm: jaws.fold_jaw,
        fold_deg: jaws.fold_angle.to_degrees(),
        over_bend_deg: jaws.over_bend.to_degrees(),
        pressed_tip_gap_mm: jaws.tips_meet_first.then_some(jaws.least_tip_gap),
        message,
    }
}
