//! One join in the report: by estimate, and proven; `message` holds the sentences.

mod answer;
pub(super) mod message;
pub(in crate::answers) mod row;
mod steps;

pub use answer::{
    ChangeReport, JoinAnswer, JoinReport, PathReport, PlayedPath, ProvenJoin, Reason,
    SuggestionReport,
};

use super::wording::measured;
use crate::answers::build::{RingSpringback, nesting_words};
use crate::geometry::link::{Forming, ToolDimension};
use crate::math::sort::sort_by;
use crate::motion::chain::ChainError;
use crate::motion::insertion::{
    CHANGEABLE, InsertionPath, Join, PathPlayer, RefusalBasis, ToolPair, Verdict, estimate, join,
    suggestion,
};
pub use steps::Steps;

use message::{JoinQuestion, message, name_of, path_report, reason, suggestion_report};
use row::InRow;

/// What is said where a weave's joining cannot be computed.
pub fn refused(
    ask: &JoinQuestion,
    receiving: NamedForming,
    incoming: NamedForming,
    why: &str,
) -> ProvenJoin {
    let estimate = estimated(ask, receiving, incoming);
    let report = JoinReport {
        verdict: JoinAnswer::Undecided,
        basis: "refused".into(),
        message: format!("Not computed: {why}"),
        ..estimate
    };
    ProvenJoin { report, paths: Vec::new(), before: Vec::new() }
}

/// What is said where links of this shape do not lie in the weave at all.
pub fn does_not_lie(
    ask: &JoinQuestion,
    receiving: NamedForming,
    incoming: NamedForming,
    why: &ChainError,
) -> ProvenJoin {
    let estimate = estimated(ask, receiving, incoming);
    let best = match why {
        ChainError::NoRest { overlap, .. } | ChainError::Locks { overlap, .. } => -overlap.get(),
        ChainError::PullsOut { clearance } => clearance.get(),
    };
    let report = JoinReport {
        verdict: JoinAnswer::DoesNotPass,
        basis: "search".into(),
        least_clearance_mm: best,
        message: format!(
            "No way to join them was found{}: {}.",
            if ask.same { "" } else { " where one size follows the other" },
            nesting_words(why, ask.unit)
        ),
        ..estimate
    };
    ProvenJoin { report, paths: Vec::new(), before: Vec::new() }
}

/// A size's name and its shapes.
type NamedForming<'a> = (&'a String, &'a Forming);

/// By estimate.
pub fn estimated(
    ask: &JoinQuestion,
    (receiving, own): NamedForming,
    (incoming, other): NamedForming,
) -> JoinReport {
    let estimate = estimate(own, other);
    let (place, clearance) = estimate.tightest();
    let verdict = if clearance < 0.0 {
        JoinAnswer::LikelyDoesNotPass
    } else if clearance < ask.margin {
        JoinAnswer::Tight
    } else {
        JoinAnswer::LikelyPasses
    };
    let mm = |length: f64| measured(length, ask.unit);
    let tightest = name_of(place);
    let message = match verdict {
        JoinAnswer::LikelyPasses => {
            format!("Probably yes: clearance {} at the {tightest} (an estimate).", mm(clearance))
        }
        JoinAnswer::Tight => format!(
            "Probably just: only {} at the {tightest}; you want {} (an estimate).",
            mm(clearance),
            mm(ask.margin)
        ),
        _ => format!(
            "Probably not: the {tightest} is {} too small (an estimate).",
            mm(-2.0 * clearance)
        ),
    };
    let (verdict, message) = match ask.weave {
        // More waists in one opening: what goes for a pair need not go here.
        Some(weave) if verdict != JoinAnswer::LikelyDoesNotPass => (
            JoinAnswer::Undecided,
            format!(
                "Not known yet: one link would join another, by estimate; a {weave} weave needs more clearance."
            ),
        ),
        _ => (verdict, message),
    };
    JoinReport {
        receiving: receiving.clone(),
        incoming: incoming.clone(),
        verdict,
        basis: "estimate".into(),
        least_clearance_mm: clearance,
        margin_mm: ask.margin,
        message,
        reasons: estimate
            .clearances()
            .iter()
            .map(|&clearance| reason(clearance, &estimate, own, other, &mm))
            .collect(),
        rest_clearance_mm: None,
        paths: Vec::new(),
        suggestions: Vec::new(),
    }
}

/// Proven, with suggestions where there is not the clearance asked for.
///
/// Of several `rows` the worst decides; what is shown is the first.
pub fn proven(
    ask: &JoinQuestion,
    receiving: NamedForming,
    incoming: NamedForming,
    rows: Option<&[InRow]>,
) -> ProvenJoin {
    let before = rows.and_then(|rows| rows.first()).map_or(Vec::new(), InRow::before);
    let (place, shown, worst) = match rows {
        Some(rows) => in_rows(rows),
        None => (0, join(receiving.1, incoming.1), None),
    };
    let found = worst.as_ref().unwrap_or(&shown);
    let best = found.best();
    let mm = |length: f64| measured(length, ask.unit);
    let passes = best.verdict == Verdict::Passes;
    let clearance = if passes { best.at_least } else { best.at_most };
    // Suggestions are sought for one link through one other only.
    let suggestions = if !ask.suggests || rows.is_some() || (passes && clearance >= ask.margin) {
        Vec::new()
    } else {
        let pair = ToolPair { receiving: receiving.1.setting, incoming: incoming.1.setting };
        let found = |dimensions: &[ToolDimension]| {
            let settable = |dimension: ToolDimension, by| {
                let own = dimension.of(ask.changed_side(dimension))?;
                ask.steps.settable(dimension, own, by)
            };
            let opened = |side: usize, tools| {
                let before = if side == 0 { &pair.receiving } else { &pair.incoming };
                let ring = ask.springbacks.as_ref().and_then(|both| both.get(side));
                RingSpringback::after_change(ring, before, tools)
            };
            let found = suggestion(&pair, ask.same, dimensions, ask.margin, &settable, &opened)?;
            suggestion_report(&found, ask)
        };
        let mut suggestions: Vec<SuggestionReport> =
            CHANGEABLE.iter().filter_map(|&dimension| found(&[dimension])).collect();
        let is_proven_of_jaws = |found: &SuggestionReport| found.proven && found.is_of_jaws();
        // Two jaws where one is not enough; between links of one size `best_shaping` finds them.
        if !ask.same && !suggestions.iter().any(is_proven_of_jaws) {
            suggestions.extend(found(&[ToolDimension::Bore, ToolDimension::FoldJaw]));
        }
        // Thinner wire is another chain: not where other jaws do.
        if !suggestions.iter().any(is_proven_of_jaws) {
            suggestions.extend(found(&[ToolDimension::Wire]));
        }
        // Proven ones first, of these jaws first, then the smallest change for what it changes.
        let change = |suggestion: &SuggestionReport| {
            (suggestion.by_mm / (suggestion.to_mm - suggestion.by_mm)).abs()
        };
        let rank = |suggestion: &SuggestionReport| (!suggestion.proven, !suggestion.is_of_jaws());
        sort_by(&mut suggestions, |a, b| {
            rank(a).cmp(&rank(b)).then(change(a).total_cmp(&change(b)))
        });
        suggestions
    };
    let estimate = estimated(ask, receiving, incoming);
    let report = JoinReport {
        verdict: best.verdict.into(),
        basis: match (best.verdict, best.argument) {
            (Verdict::Passes | Verdict::PassesIfSprung, _) => "proof",
            (_, Some(RefusalBasis::Section)) => "proof",
            _ => "search",
        }
        .into(),
        least_clearance_mm: clearance,
        message: match ask.weave {
            None => message(best, incoming.1, found.rest, ask, &mm),
            Some(weave) => format!(
                "In a {weave} weave, the links before lying still{}: {}",
                match place {
                    0 => String::new(),
                    place => format!(", link {} of the new size, the tightest", place + 1),
                },
                message(best, incoming.1, found.rest, ask, &mm)
            ),
        },
        rest_clearance_mm: Some(found.rest),
        paths: shown
            .paths
            .iter()
            .map(|path| path_report(path, incoming.1, shown.rest, ask, &mm))
            .collect(),
        suggestions,
        ..estimate
    };
    let played = |path: &InsertionPath| {
        let (own, other) = (&receiving.1.fold, &incoming.1.fold);
        let player = PathPlayer::new(own, &before, other, &path.waypoints, path.pivot);
        let tightest_fraction = player.map_or(0.0, |player| player.tightest(path.tightest));
        PlayedPath { waypoints: path.waypoints.clone(), pivot: path.pivot, tightest_fraction }
    };
    let paths = shown.paths.iter().map(played).collect();
    ProvenJoin { report, paths, before }
}

/// The join into each row until one does not pass: which is the worst, the first, and the worst
/// where that is another.
fn in_rows(rows: &[InRow]) -> (usize, Join, Option<Join>) {
    let passes = |join: &Join| join.best().verdict == Verdict::Passes;
    let mut joins = Vec::new();
    for row in rows {
        joins.push(row.join());
        if joins.last().is_some_and(|join| !passes(join)) {
            break;
        }
    }
    let key = |join: &Join| if passes(join) { join.best().at_least } else { f64::NEG_INFINITY };
    let worst = (0..joins.len()).min_by(|&i, &j| key(&joins[i]).total_cmp(&key(&joins[j])));
    let place = worst.unwrap_or(0);
    let worst = (place > 0).then(|| joins[place].clone());
    (place, joins.swap_remove(0), worst)
}
