//! Strain step by step and when to anneal, in figures and sentences.

use super::wording::{percent, step_name};
use crate::geometry::link::WireRegion;
use crate::mechanics::forming::{FormingAnalysis, FormingRun, FormingStep, StepStrain, advise};
use crate::mechanics::material::{BandedValue, Heat, Metal};
use serde::Serialize;

/// Strain after one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StepReport {
    /// The step.
    pub step: &'static str,
    /// Whether the wire was annealed just before it.
    pub annealed_before: bool,
    /// Greatest strain of the outermost fibre while held, as a share.
    pub outer_strain: f64,
    /// Greatest plastic strain added up since the last anneal, as a share.
    pub plastic_strain: BandedValue,
    /// Where that is.
    pub at: &'static str,
    /// What annealed metal takes.
    pub allowance: BandedValue,
    /// `within`, `close` (past the careful end of the band) or `beyond`.
    pub standing: StrainStanding,
    /// Plastic strain along the link, from the waist's middle to the tip.
    pub along: Vec<f64>,
    /// Strain of the outermost fibre while held, likewise.
    pub outer_along: Vec<f64>,
}

/// How a strain stands to what the metal takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StrainStanding {
    /// Within the careful end of the band.
    Within,
    /// Past the careful end, not past the likely value.
    Close,
    /// Past the likely value.
    Beyond,
}

/// When to anneal.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AnnealReport {
    /// Steps to anneal before, besides those of the design.
    pub before: Vec<&'static str>,
    /// Steps that ask more than annealed metal takes.
    pub too_hard: Vec<&'static str>,
    /// What is left of the allowance at the worst step as the design has it.
    pub margin: f64,
    /// What is left if the advice is taken.
    pub margin_as_advised: f64,
    /// The advice in a sentence.
    pub message: String,
    /// The lesson behind it.
    pub lesson: &'static str,
    /// How to anneal this metal.
    pub how: String,
}

pub(super) fn step_report(
    step: &StepStrain,
    peak: BandedValue,
    working: &FormingAnalysis,
    run: &FormingRun,
) -> StepReport {
    let (_, at) = step.plastic_peak();
    let allowance = working.allowance();
    let standing = if peak.likely > allowance.likely {
        StrainStanding::Beyond
    } else if peak.high > allowance.low {
        StrainStanding::Close
    } else {
        StrainStanding::Within
    };
    StepReport {
        step: step_name(step.step),
        annealed_before: step.annealed_before,
        outer_strain: step.outer_peak().0,
        plastic_strain: peak,
        at: if step.step == FormingStep::Wind {
            "all round"
        } else {
            run.loaded.eight.region_at(at).name()
        },
        allowance,
        standing,
        along: step.plastic().collect(),
        outer_along: step.outer.clone(),
    }
}

pub(super) fn anneal_report(working: &FormingAnalysis, metal: &Metal) -> AnnealReport {
    let advice = advise(working);
    let before: Vec<&'static str> = advice.before.iter().map(|step| step_name(*step)).collect();
    let too_hard: Vec<&'static str> = advice.too_hard.iter().map(|step| step_name(*step)).collect();
    let (step, at) = advice.worst;
    let spot = working.likely().loaded.eight.region_at(at);
    let taken = percent(working.allowance().likely);
    let mut message = if before.is_empty() && advice.margin_as_designed >= 0.0 {
        format!(
            "No further anneal is needed: the worst place, the {} at the {}, keeps {} of the {taken} strain that the annealed metal takes.",
            spot.name(),
            step_name(step),
            percent(advice.margin_as_designed)
        )
    } else if before.is_empty() {
        String::new()
    } else {
        format!(
            "Anneal before the {}: without it the {} is worked {} past the {taken} strain that the annealed metal takes.",
            before.join(" and before the "),
            spot.name(),
            percent(-advice.margin_as_designed),
        )
    };
    if too_hard.is_empty() {
        if !before.is_empty() {
            message +=
                &format!(" With it, {} strain is left at the worst step.", percent(advice.margin));
        }
    } else {
        if !message.is_empty() {
            message.push(' ');
        }
        message += &format!(
            "The {} asks more than annealed metal is sure to take, by {} strain: use a thicker jaw or thinner wire, and look for cracks.",
            too_hard.join(" and the "),
            percent(-advice.margin)
        );
    }
    let record = metal.record();
    let heat = match record.annealing.heat {
        Heat::TorchOrKiln => "torch or kiln",
        Heat::VacuumOrInert => "vacuum or inert gas only",
    };
    let celsius = &record.annealing.celsius;
    AnnealReport {
        before,
        too_hard,
        margin: advice.margin_as_designed,
        margin_as_advised: advice.margin,
        message,
        lesson: lesson(step, spot),
        how: format!(
            "{:.0} to {:.0} °C, {heat}. {} Eye protection, moving air, hot metal: see the cautions.",
            celsius.low, celsius.high, record.annealing.method
        ),
    }
}

fn lesson(step: FormingStep, spot: WireRegion) -> &'static str {
    match (step, spot) {
        (FormingStep::Wind, _) => {
            "The coil is bent once, by wire over mandrel: only a close ratio makes that the hardest step, and the soldering takes it away again."
        }
        (FormingStep::Fold, WireRegion::Waist) => {
            "The waist is straightened, bent the other way and then folded across both: bends to and fro add up, even where the shape comes back."
        }
        (FormingStep::Pinch, WireRegion::Waist) => {
            "The waist is straightened by the stretch and bent the other way by the pinch: a bend taken back counts twice."
        }
        (FormingStep::Press | FormingStep::Open, _) => {
            "A lobe that is pressed to be threaded and opened again is bent to and fro, and both bends count: press no further than the way needs, and anneal before the opening."
        }
        (_, WireRegion::Tip | WireRegion::LobeSide) => {
            "The end of a lobe takes its bend in one step, from the ring's curve to the jaw's: a thicker jaw spares it, an anneal beforehand does not."
        }
        _ => {
            "Every bend counts, also the one that takes an earlier bend back; an anneal wipes the count."
        }
    }
}
