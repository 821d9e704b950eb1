//! What is said of a join, in a maker's words.

use super::Steps;
use super::answer::{ChangeReport, PathReport, Reason, SuggestionReport};
use crate::answers::build::RingSpringback;
use crate::documents::units::{LengthUnit, length_words_down};
use crate::geometry::link::{Forming, ToolDimension, ToolDimensions};
use crate::math::units::Mm;
use crate::motion::insertion::{
    Constriction, Estimate, InsertionPath, JoinSuggestion, Phase, RefusalBasis, ToolPair, Verdict,
    WorkOrder, elastic_spread, is_of_incoming,
};

pub fn message(
    best: &InsertionPath,
    incoming: &Forming,
    rest: f64,
    ask: &JoinQuestion,
    mm: &dyn Fn(f64) -> String,
) -> String {
    let place = doing(best);
    let answer = answer(best, place, rest, ask, mm);
    match (pressed(best, incoming, ask, mm), best.verdict) {
        (Some(work), Verdict::Passes) => format!("{answer} {work}"),
        _ => answer,
    }
}

/// What the hand does to the leading lobe, where it is pressed to be threaded.
fn pressed(
    path: &InsertionPath,
    incoming: &Forming,
    ask: &JoinQuestion,
    mm: &dyn Fn(f64) -> String,
) -> Option<String> {
    let bore = path.threading_bore?;
    let strain = press_strain(path, incoming)?;
    let percent = |strain: f64| format!("{:.0} %", 100.0 * strain);
    let anneal = if strain > ask.strain_allowance {
        let steps = (strain / ask.strain_allowance).ceil();
        format!(
            ", more than the {} that the annealed metal takes at once: press it and open it in {steps} steps each, and anneal after each",
            percent(ask.strain_allowance)
        )
    } else if 2.0 * strain > ask.strain_allowance {
        ": anneal it while it is pressed".into()
    } else {
        String::new()
    };
    Some(format!(
        "Press the leading lobe to a bore of {}, thread it, and when the legs stand open it again to {} with a scribe or an awl. Its end is bent by {} and as much back{anneal}.",
        mm(bore),
        mm(incoming.eight.bore()),
        percent(strain)
    ))
}

/// Strain of the outermost fibre at the lobe's end when it is pressed from its finished radius, and
/// again when it is opened: the wire's radius times the change of curvature.
fn press_strain(path: &InsertionPath, incoming: &Forming) -> Option<f64> {
    let pressed = incoming.eight.with_bore(path.threading_bore?)?;
    let change = 1.0 / pressed.end_radius - 1.0 / incoming.eight.end_radius;
    Some(0.5 * incoming.eight.wire * change.abs())
}

fn answer(
    best: &InsertionPath,
    place: &str,
    rest: f64,
    ask: &JoinQuestion,
    mm: &dyn Fn(f64) -> String,
) -> String {
    match (best.verdict, best.argument) {
        (Verdict::Passes, _) if best.at_least >= ask.margin => format!(
            "Yes, they join. Tightest clearance {}, {place}.",
            at_least(best, ask)
        ),
        (Verdict::Passes, _) => format!(
            "Just: they join with only {} {place}; you want {}.",
            at_least(best, ask),
            mm(ask.margin)
        ),
        (Verdict::PassesIfSprung, _) => format!(
            "Just: they join only if the tips are sprung {} further open than you said.",
            mm(best.sprung)
        ),
        (Verdict::Undecided, _) if best.at_most < 0.0 && !best.at_least.is_finite() => {
            "Not known: no way was found, and none ruled out: these links are too long for the search to be trusted.".into()
        }
        (Verdict::Undecided, _) if best.at_least.is_finite() => format!(
            "Not known, too near to tell: the clearance {place} lies between {} and {}.",
            at_least(best, ask),
            mm(best.at_most)
        ),
        (Verdict::Undecided, _) => format!(
            "Not known, too near to tell: the best way found leaves {} {place}, and nothing at all cannot be ruled out.",
            mm(best.at_most)
        ),
        (_, Some(RefusalBasis::Section)) => format!(
            "No, they cannot join: the end, {}, is wider than the opening, whichever way it is turned.",
            if best.open > 0.0 {
                format!("folded to {:.0}°", 2.0 * best.open.to_degrees())
            } else {
                "held flat".into()
            }
        ),
        (_, Some(RefusalBasis::Rest)) => format!(
            "No way to join them was found: even in place the wires would overlap by {}, so the tips cannot be closed.",
            mm(-rest)
        ),
        _ => format!(
            "No way to join them was found: the wires would overlap by {} {place}.",
            mm(-best.at_most)
        ),
    }
}

/// What a join is asked with.
pub struct JoinQuestion {
    /// Clearance asked for, mm.
    pub margin: f64,
    /// What sentences speak.
    pub unit: LengthUnit,
    /// The tools that the design names for both links.
    pub tools: ToolPair,
    /// What the rings of the receiving and the incoming link open by.
    pub springbacks: Option<[RingSpringback; 2]>,
    /// In which steps the tools can be had.
    pub steps: Steps,
    /// Whether to look for what would have to be changed where there is not the clearance.
    pub suggests: bool,
    /// Whether both links are one size.
    pub same: bool,
    /// The weave, where it is not single.
    pub weave: Option<&'static str>,
    /// Strain at which the metal, annealed, takes a set.
    pub yield_strain: f64,
    /// Strain that the metal, annealed, takes before it should be annealed again.
    pub strain_allowance: f64,
}

impl JoinQuestion {
    /// Tools of the link on which a dimension is changed.
    pub fn changed_side(&self, dimension: ToolDimension) -> &ToolDimensions {
        if is_of_incoming(dimension) { &self.tools.incoming } else { &self.tools.receiving }
    }
}

/// The clearance proven on a way; no more is said than was shown.
fn at_least(path: &InsertionPath, ask: &JoinQuestion) -> String {
    length_words_down(Mm::new(path.at_least), ask.unit)
}

/// What is being done where a way is tightest.
fn doing(path: &InsertionPath) -> &'static str {
    match path.waypoints.get(path.tightest).map(|s| s.phase) {
        Some(Phase::Enter) => "as the tip goes in",
        Some(Phase::Pass) => "as its widest part goes through",
        Some(Phase::TurnBack) => "at the quarter turn",
        Some(Phase::SwingUp) => "as the ends are bent up",
        Some(Phase::Open) => "as the leading lobe is opened",
        Some(Phase::Close) | None => "as the tips close",
    }
}

pub fn path_report(
    path: &InsertionPath,
    incoming: &Forming,
    rest: f64,
    ask: &JoinQuestion,
    mm: &dyn Fn(f64) -> String,
) -> PathReport {
    let flat = path.order == WorkOrder::FlatThenFolded;
    let folded_to = 2.0 * path.open;
    let how = if let (true, Some(bore)) = (flat, path.threading_bore) {
        format!(
            "Press the leading lobe to a bore of {}, thread it flat, fold, and open it again",
            mm(bore)
        )
    } else if flat {
        "Thread it flat, then fold".to_string()
    } else {
        format!(
            "Part-fold to {:.0}° (tips {} apart), thread through, then close",
            folded_to.to_degrees(),
            mm(path.open_tip_gap)
        )
    };
    let goes = match path.verdict {
        Verdict::Passes => {
            format!("joins; tightest clearance {}, {}", at_least(path, ask), doing(path))
        }
        Verdict::PassesIfSprung => {
            let elastic = elastic_spread(&incoming.fold, ask.yield_strain);
            let stays = if path.sprung <= elastic {
                "they should spring back"
            } else {
                "they will take a set and must be closed again"
            };
            format!(
                "passes if the tips are sprung {} further open; soft as annealed, it springs about {}, so {stays}",
                mm(path.sprung),
                mm(elastic)
            )
        }
        Verdict::Undecided => format!("too near to tell ({} at most)", mm(path.at_most)),
        Verdict::DoesNotPass => match path.argument {
            Some(RefusalBasis::Section) => {
                "cannot pass: the lobe is wider than the opening (proven)".into()
            }
            Some(RefusalBasis::Rest) => {
                format!("does not close: joined, the wires overlap by {}", mm(-rest))
            }
            _ => {
                format!("found no way: the wires overlap by {} {}", mm(-path.at_most), doing(path))
            }
        },
    };
    PathReport {
        order: path.order,
        verdict: path.verdict.into(),
        argument: path.argument,
        at_least_mm: path.at_least.is_finite().then_some(path.at_least),
        at_most_mm: path.at_most,
        phase: doing(path).into(),
        place_mm: path.place.coords.into(),
        folded_to_deg: folded_to.to_degrees(),
        open_tip_gap_mm: path.open_tip_gap,
        threading_bore_mm: path.threading_bore,
        press_strain: press_strain(path, incoming),
        sprung_mm: path.sprung,
        message: format!("{how}: {goes}."),
    }
}

pub fn suggestion_report(
    suggestion: &JoinSuggestion,
    ask: &JoinQuestion,
) -> Option<SuggestionReport> {
    // By the change and not by the value: where the shapes are those after springback, the
    // design holds what the tools are.
    let own =
        |dimension: ToolDimension| dimension.of(ask.changed_side(dimension)).unwrap_or_default();
    let said = |&(dimension, by): &(ToolDimension, f64)| {
        let whose = match is_of_incoming(dimension) {
            // Wire is changed on both.
            _ if ask.same || dimension == ToolDimension::Wire => "",
            true => " of the incoming size",
            false => " of the receiving size",
        };
        let own = own(dimension);
        let (what, was) =
            (ask.steps.tool_text(dimension, own + by), ask.steps.text(dimension, own));
        format!("{what}{whose} (now {was})")
    };
    let all: Vec<String> = suggestion.changes.iter().map(said).collect();
    let sure = if suggestion.proven { "proven" } else { "likely, not proven" };
    let changes = suggestion
        .changes
        .iter()
        .map(|&(dimension, by)| ChangeReport::of(dimension, own(dimension) + by, by));
    let message = format!("Use {}; {sure}.", all.join(" and "));
    SuggestionReport::of(changes, suggestion.proven, message)
}

pub fn name_of(place: Constriction) -> &'static str {
    match place {
        Constriction::Aperture => "aperture",
        Constriction::Bore => "bore",
        Constriction::Fold => "fold",
    }
}

pub fn reason(
    (place, clearance): (Constriction, f64),
    estimate: &Estimate,
    own: &Forming,
    other: &Forming,
    mm: &dyn Fn(f64) -> String,
) -> Reason {
    let goes = clearance >= 0.0;
    let message = match place {
        Constriction::Aperture => format!(
            "Entering: end {} wide, opening {} long, {}.",
            mm(estimate.lobe_width),
            mm(estimate.aperture_length),
            if goes {
                format!("{} spare", mm(clearance))
            } else {
                format!(
                    "{} too short; take a larger mandrel, thinner wire, or a smaller bore",
                    mm(-clearance)
                )
            }
        ),
        Constriction::Bore => format!(
            "Turning: two wires and the waist gap must fit a bore of {}, {}.",
            mm(own.eight.bore()),
            if goes {
                format!("{} spare", mm(clearance))
            } else {
                format!("{} too narrow; widen the lobe or close the waist", mm(-clearance))
            }
        ),
        Constriction::Fold => format!(
            "Closing: the fold, over a jaw of {}, must take two tips and the gap between them, {}.",
            mm(other.setting.fold_jaw),
            if goes {
                format!("{} spare", mm(clearance))
            } else {
                format!("{} too tight; fold over a thicker jaw", mm(-clearance))
            }
        ),
    };
    Reason { place: name_of(place).into(), spare_mm: clearance, message }
}
