//! What is chosen of the design from lists and ticks: its metal, its weave, how it is planned.

use crate::documents::design::{
    AnnealBefore, Design, LengthBasis, PlanChoice, Shapes, Taper, WeaveChoice,
};
use crate::math::sort::sort_by;

const ANNEALS: [(&str, AnnealBefore); 2] =
    [("anneal-pinch", AnnealBefore::Pinch), ("anneal-fold", AnnealBefore::Fold)];
const MEASURED: [(&str, LengthBasis); 3] = [
    ("flat", LengthBasis::Flat),
    ("neck", LengthBasis::RoundNeck),
    ("wrist", LengthBasis::RoundWrist),
];
const TAPERS: [(&str, Taper); 3] =
    [("even", Taper::Even), ("stepped", Taper::Stepped), ("swelling", Taper::Swelling)];
/// Whether a trial link could be joined: value, words, meaning.
pub const JOINED: [(&str, &str, Option<bool>); 3] =
    [("", "not tried", None), ("yes", "yes", Some(true)), ("no", "no", Some(false))];

/// Controls that hold a part of the design, besides those of its trials.
pub const CONTROLS: [&str; 8] = [
    "metal",
    "types-tools",
    "anneal-pinch",
    "anneal-fold",
    "plan-measured",
    "plan-taper",
    "plan-one-ended",
    "weave",
];

fn named<T: PartialEq>(table: &[(&'static str, T)], value: &T) -> String {
    table.iter().find(|(_, known)| known == value).map_or("", |(name, _)| name).to_string()
}

fn meant<T: Copy>(table: &[(&'static str, T)], name: &str) -> Option<T> {
    table.iter().find(|(known, _)| *known == name).map(|(_, value)| *value)
}

/// What a control is to hold for `design`; ticks are "true" or "false". None where it holds no
/// part of it.
pub fn value(design: &Design, control: &str) -> Option<String> {
    let plan = || design.plan.clone().unwrap_or_default();
    Some(match control {
        "metal" => design.metal.id.clone(),
        "types-tools" => (design.metal.shapes == Shapes::AfterSpringback).to_string(),
        "plan-measured" => named(&MEASURED, &plan().measured),
        "plan-taper" => named(&TAPERS, &plan().taper),
        "plan-one-ended" => plan().one_ended.to_string(),
        "weave" => (design.weave as usize).to_string(),
        _ => {
            if let Some(step) = meant(&ANNEALS, control) {
                design.metal.anneal_before.contains(&step).to_string()
            } else {
                let joined = design.trials.get(trial_of(control)?)?.joined;
                JOINED.iter().find(|(.., known)| *known == joined)?.0.to_string()
            }
        }
    })
}

/// `design` with a control set to `value`; none where the control holds no part of it or the
/// value is none of its own.
pub fn chosen(design: &Design, control: &str, value: &str) -> Option<Design> {
    let mut changed = design.clone();
    let ticked = value == "true";
    let mut plan = design.plan.clone().unwrap_or_default();
    match control {
        "metal" => changed.metal.id = value.into(),
        "types-tools" => {
            changed.metal.shapes =
                if ticked { Shapes::AfterSpringback } else { Shapes::AsTheJawsLeaveThem };
        }
        "plan-measured" => plan.measured = meant(&MEASURED, value)?,
        "plan-taper" => plan.taper = meant(&TAPERS, value)?,
        "plan-one-ended" => plan.one_ended = ticked,
        "weave" => changed.weave = *WeaveChoice::ALL.get(value.parse::<usize>().ok()?)?,
        _ => {
            if let Some(step) = meant(&ANNEALS, control) {
                let before = &mut changed.metal.anneal_before;
                before.retain(|known| *known != step);
                if ticked {
                    before.push(step);
                }
                let place = |step| ANNEALS.iter().position(|(_, known)| *known == step);
                sort_by(before, |a, b| place(*a).cmp(&place(*b)));
            } else {
                let joined = JOINED.iter().find(|(known, ..)| *known == value)?.2;
                changed.trials.get_mut(trial_of(control)?)?.joined = joined;
            }
        }
    }
    // A design without a plan keeps none while nothing is asked for.
    if design.plan.is_some() || plan != PlanChoice::default() {
        changed.plan = Some(plan);
    }
    Some(changed)
}

fn trial_of(control: &str) -> Option<usize> {
    control.strip_prefix("trial-joined-")?.parse().ok()
}
