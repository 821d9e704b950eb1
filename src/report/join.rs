//! What is said of one join: by estimate, and proven.

use super::words;
use crate::curve::{Point, Pose};
use crate::form::Forming;
use crate::threading::{
    Argument, Cure, Dimension, Estimate, Order, Pair, Phase, Place, Player, Station, Verdict, Way,
    cure, elastic_spread, estimate, join, join_in_row,
};
use crate::units::{LengthUnit, Mm, length_words_down, length_words_up};
use serde::{Deserialize, Serialize};

/// One join: a link worked through both lobes of the one before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JoinReport {
    /// The size that receives.
    pub receiving: String,
    /// The size that is worked through it.
    pub incoming: String,
    /// The answer in a word.
    pub verdict: Answer,
    /// What the answer rests on: `proof`, `search` or `estimate`; `refused` where a weave's
    /// joining cannot be computed.
    pub basis: String,
    /// Least clearance, metal to metal; below zero where wires would overlap. Proven where
    /// `basis` is `proof` and it passes.
    pub least_clearance_mm: f64,
    /// Room asked for by the design.
    pub margin_mm: f64,
    /// The answer in a sentence.
    pub says: String,
    /// The estimate, place by place.
    pub reasons: Vec<Reason>,
    /// Clearance of the joined pair at rest, closed, with most room; absent in an estimate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_clearance_mm: Option<f64>,
    /// Both orders of work, the better first; empty in an estimate.
    pub ways: Vec<WayReport>,
    /// The smallest change of each one dimension that gives the room asked for, where there is
    /// not enough.
    pub cures: Vec<CureReport>,
}

/// The answer in a word. An estimate never says "passes".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// Proven to pass.
    Passes,
    /// Proven to pass if the tips are sprung open further than the design says.
    PassesIfSprung,
    /// It does not pass.
    DoesNotPass,
    /// Too near to tell.
    Undecided,
    /// Estimate: every condition holds with the room asked for.
    LikelyPasses,
    /// Estimate: it would go, but with less room than asked for.
    Tight,
    /// Estimate: a condition fails.
    LikelyDoesNotPass,
}

impl Answer {
    /// As it is written in a report.
    pub fn word(self) -> &'static str {
        match self {
            Answer::Passes => "passes",
            Answer::PassesIfSprung => "passes-if-sprung",
            Answer::DoesNotPass => "does-not-pass",
            Answer::Undecided => "undecided",
            Answer::LikelyPasses => "likely-passes",
            Answer::Tight => "tight",
            Answer::LikelyDoesNotPass => "likely-does-not-pass",
        }
    }
}

/// Room at one place, by estimate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// Where: `aperture`, `bore` or `fold`.
    pub place: String,
    /// Room in all, below zero where it does not go.
    pub room_mm: f64,
    /// In a maker's words.
    pub says: String,
}

/// One order of work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WayReport {
    /// `flat-then-folded` or `folded-then-joined`.
    pub order: Order,
    /// The answer for this order.
    pub verdict: Answer,
    /// What a refusal rests on: `section` is a proof; `rest` and `search` found no way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub argument: Option<Argument>,
    /// Least clearance of the way found: no less than this; absent where nothing is proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least_mm: Option<f64>,
    /// And no more than this.
    pub at_most_mm: f64,
    /// What is being done where it is tightest.
    pub phase: String,
    /// Where that is: across the legs, along the fold, up the receiving link.
    pub place_mm: [f64; 3],
    /// Angle the incoming fold is bent through on the way in.
    pub folded_to_deg: f64,
    /// Clear gap between its tips then.
    pub open_tip_gap_mm: f64,
    /// How much further than the design says the tips must be sprung open.
    pub sprung_mm: f64,
    /// In a maker's words.
    pub says: String,
}

/// One change that gives the room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CureReport {
    /// The dimension, as named in the design.
    pub field: String,
    /// To what.
    pub to_mm: f64,
    /// Change.
    pub by_mm: f64,
    /// Whether the changed join is proven to pass with the room asked for.
    pub proven: bool,
    /// In a maker's words.
    pub says: String,
}

/// A proven join, and the way that can be played.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProvenJoin {
    /// What is said of it.
    pub report: JoinReport,
    /// A way for each of the report's, from outside to joined and closed; where it does not
    /// pass, the best that was found, in which wires overlap.
    pub ways: Vec<PlayedWay>,
    /// Where links of the receiving kind lie already, besides the one gone through.
    pub before: Vec<Pose>,
}

/// A way, to be played by [`Player`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlayedWay {
    /// Where it passes through.
    pub stations: Vec<Station>,
    /// About what the link turns, receiving link's frame.
    pub pivot: Point,
    /// Share of it done where it is tightest.
    pub tightest_share: f64,
}

/// What a join is asked with.
pub(super) struct Ask {
    /// Room asked for, mm.
    pub margin: f64,
    /// What sentences speak.
    pub unit: LengthUnit,
    /// Whether both links are one size.
    pub same: bool,
    /// The weave, where it is not single.
    pub weave: Option<&'static str>,
    /// Strain at which the metal, annealed, takes a set.
    pub yield_strain: f64,
}

/// The links already in place where a weave asks for more than one.
pub(super) struct InRow {
    /// All but the nearest that is gone through, in that one's frame.
    pub before: Vec<Pose>,
    /// How far below it the others lie that are gone through as well, mm.
    pub lower: Vec<f64>,
}

/// What is said where a weave's joining cannot be computed.
pub(super) fn refused(ask: &Ask, receiving: Named, incoming: Named, why: &str) -> ProvenJoin {
    let estimate = estimated(ask, receiving, incoming);
    let report = JoinReport {
        verdict: Answer::Undecided,
        basis: "refused".into(),
        says: format!("Not computed: {why}"),
        ..estimate
    };
    ProvenJoin { report, ways: Vec::new(), before: Vec::new() }
}

/// A size's name and its shapes.
type Named<'a> = (&'a String, &'a Forming);

/// By estimate.
pub(super) fn estimated(
    ask: &Ask,
    (receiving, own): Named,
    (incoming, other): Named,
) -> JoinReport {
    let estimate = estimate(own, other);
    let (place, clearance) = estimate.tightest();
    let verdict = if clearance < 0.0 {
        Answer::LikelyDoesNotPass
    } else if clearance < ask.margin {
        Answer::Tight
    } else {
        Answer::LikelyPasses
    };
    let mm = |length: f64| words(length, ask.unit);
    let tightest = name_of(place);
    let says = match verdict {
        Answer::LikelyPasses => format!(
            "These loops will probably go through one another, with {} to spare at the {tightest} (an estimate, not yet a proof).",
            mm(clearance)
        ),
        Answer::Tight => format!(
            "These loops may go through one another, but with only {} at the {tightest}; you asked for {} (an estimate).",
            mm(clearance),
            mm(ask.margin)
        ),
        _ => format!(
            "These loops will probably not go through one another: the {tightest} is {} too small (an estimate).",
            mm(-2.0 * clearance)
        ),
    };
    let (verdict, says) = match ask.weave {
        // More waists in one opening: what goes for a pair need not go here.
        Some(weave) if verdict != Answer::LikelyDoesNotPass => (
            Answer::Undecided,
            format!(
                "One of these loops would go through another, by estimate; a {weave} weave needs more room than that."
            ),
        ),
        _ => (verdict, says),
    };
    JoinReport {
        receiving: receiving.clone(),
        incoming: incoming.clone(),
        verdict,
        basis: "estimate".into(),
        least_clearance_mm: clearance,
        margin_mm: ask.margin,
        says,
        reasons: estimate
            .rooms()
            .iter()
            .map(|&room| reason(room, &estimate, own, other, &mm))
            .collect(),
        rest_clearance_mm: None,
        ways: Vec::new(),
        cures: Vec::new(),
    }
}

/// Proven, with cures where there is not the room asked for.
pub(super) fn proven(
    ask: &Ask,
    receiving: Named,
    incoming: Named,
    row: Option<&InRow>,
) -> ProvenJoin {
    let before = row.map_or(&[][..], |row| &row.before);
    let found = match row {
        Some(row) => join_in_row(incoming.1, &row.before, &row.lower),
        None => join(receiving.1, incoming.1),
    };
    let best = found.best();
    let mm = |length: f64| words(length, ask.unit);
    let passes = best.verdict == Verdict::Passes;
    let clearance = if passes { best.at_least } else { best.at_most };
    // Cures are sought for one link through one other only.
    let cures = if row.is_some() || (passes && clearance >= ask.margin) {
        Vec::new()
    } else {
        let pair = Pair { receiving: receiving.1.setting, incoming: incoming.1.setting };
        let all = Dimension::ALL.iter();
        let mut cures: Vec<CureReport> = all
            .filter_map(|&dimension| cure(&pair, ask.same, dimension, ask.margin))
            .map(|cure| cure_report(&cure, &pair, ask))
            .collect();
        // Proven ones first, then the smallest change.
        cures.sort_by(|a, b| b.proven.cmp(&a.proven).then(a.by_mm.abs().total_cmp(&b.by_mm.abs())));
        cures
    };
    let estimate = estimated(ask, receiving, incoming);
    let report = JoinReport {
        verdict: answer(best.verdict),
        basis: match (best.verdict, best.argument) {
            (Verdict::Passes | Verdict::PassesIfSprung, _) => "proof",
            (_, Some(Argument::Section)) => "proof",
            _ => "search",
        }
        .into(),
        least_clearance_mm: clearance,
        says: match ask.weave {
            None => says(best, found.rest, ask, &mm),
            Some(weave) => format!(
                "In a {weave} weave, the links before lying still: {}",
                says(best, found.rest, ask, &mm)
            ),
        },
        rest_clearance_mm: Some(found.rest),
        ways: found
            .ways
            .iter()
            .map(|way| way_report(way, incoming.1, found.rest, ask, &mm))
            .collect(),
        cures,
        ..estimate
    };
    let played = |way: &Way| {
        let (own, other) = (&receiving.1.fold, &incoming.1.fold);
        let player = Player::new(own, before, other, &way.stations, way.pivot);
        let tightest_share = player.map_or(0.0, |player| player.tightest(way.tightest));
        PlayedWay { stations: way.stations.clone(), pivot: way.pivot, tightest_share }
    };
    ProvenJoin { report, ways: found.ways.iter().map(played).collect(), before: before.into() }
}

fn answer(verdict: Verdict) -> Answer {
    match verdict {
        Verdict::Passes => Answer::Passes,
        Verdict::PassesIfSprung => Answer::PassesIfSprung,
        Verdict::DoesNotPass => Answer::DoesNotPass,
        Verdict::Undecided => Answer::Undecided,
    }
}

fn says(best: &Way, rest: f64, ask: &Ask, mm: &dyn Fn(f64) -> String) -> String {
    let place = doing(best);
    match (best.verdict, best.argument) {
        (Verdict::Passes, _) if best.at_least >= ask.margin => format!(
            "These loops go through one another, with at least {} to spare all the way; it is tightest {place}.",
            mm(best.at_least)
        ),
        (Verdict::Passes, _) => format!(
            "These loops go through one another, but with only {} {place}; you asked for {}.",
            mm(best.at_least),
            mm(ask.margin)
        ),
        (Verdict::PassesIfSprung, _) => format!(
            "These loops go through one another only if the tips are sprung {} further open than you said.",
            mm(best.sprung)
        ),
        (Verdict::Undecided, _) if best.at_most < 0.0 && !best.at_least.is_finite() => {
            "No way was found, and none ruled out: these links are too long for the search to be trusted.".into()
        }
        (Verdict::Undecided, _) if best.at_least.is_finite() => format!(
            "Too near to tell: the clearance {place} lies between {} and {}.",
            mm(best.at_least),
            mm(best.at_most)
        ),
        (Verdict::Undecided, _) => format!(
            "Too near to tell: the best way found leaves {} {place}, and nothing at all cannot be ruled out.",
            mm(best.at_most)
        ),
        (_, Some(Argument::Section)) => format!(
            "These loops cannot go through one another: the lobe, {}, is wider than the opening, whichever way it is turned (proven).",
            if best.open > 0.0 {
                format!("folded to {:.0}°", 2.0 * best.open.to_degrees())
            } else {
                "held flat".into()
            }
        ),
        (_, Some(Argument::Rest)) => format!(
            "These loops do not go through one another: joined, the wires would still overlap by {}, so the tips cannot be closed (no better place was found).",
            mm(-rest)
        ),
        _ => format!(
            "These loops do not go through one another: on the best way found the wires overlap by {} {place}.",
            mm(-best.at_most)
        ),
    }
}

/// What is being done where a way is tightest.
fn doing(way: &Way) -> &'static str {
    match way.stations.get(way.tightest).map(|s| s.phase) {
        Some(Phase::Enter) => "as the lobe enters",
        Some(Phase::Pass) => "as the lobe passes",
        Some(Phase::TurnBack) => "as it turns back at the waist",
        Some(Phase::SwingUp) => "as the legs swing up",
        Some(Phase::Close) | None => "as the tips close",
    }
}

fn way_report(
    way: &Way,
    incoming: &Forming,
    rest: f64,
    ask: &Ask,
    mm: &dyn Fn(f64) -> String,
) -> WayReport {
    let flat = way.order == Order::FlatThenFolded;
    let folded_to = 2.0 * way.open;
    let how = if flat {
        "Threaded flat, then folded in place".to_string()
    } else {
        format!(
            "Folded to {:.0}° first (tips {} apart), then worked through and closed",
            folded_to.to_degrees(),
            mm(way.open_tip_gap)
        )
    };
    let goes = match way.verdict {
        Verdict::Passes => {
            format!("passes with at least {}, tightest {}", mm(way.at_least), doing(way))
        }
        Verdict::PassesIfSprung => {
            let elastic = elastic_spread(&incoming.fold, ask.yield_strain);
            let stays = if way.sprung <= elastic {
                "they should spring back"
            } else {
                "they will take a set and must be closed again"
            };
            format!(
                "passes if the tips are sprung {} further open; soft as annealed, it springs about {}, so {stays}",
                mm(way.sprung),
                mm(elastic)
            )
        }
        Verdict::Undecided => format!("too near to tell ({} at most)", mm(way.at_most)),
        Verdict::DoesNotPass => match way.argument {
            Some(Argument::Section) => {
                "cannot pass: the lobe is wider than the opening (proven)".into()
            }
            Some(Argument::Rest) => {
                format!("does not close: joined, the wires overlap by {}", mm(-rest))
            }
            _ => format!("found no way: the wires overlap by {} {}", mm(-way.at_most), doing(way)),
        },
    };
    WayReport {
        order: way.order,
        verdict: answer(way.verdict),
        argument: way.argument,
        at_least_mm: way.at_least.is_finite().then_some(way.at_least),
        at_most_mm: way.at_most,
        phase: doing(way).into(),
        place_mm: way.place.coords.into(),
        folded_to_deg: folded_to.to_degrees(),
        open_tip_gap_mm: way.open_tip_gap,
        sprung_mm: way.sprung,
        says: format!("{how}: {goes}."),
    }
}

fn cure_report(cure: &Cure, pair: &Pair, ask: &Ask) -> CureReport {
    let (field, what, on_incoming) = match cure.dimension {
        Dimension::Mandrel => ("mandrel_mm", "the mandrel", false),
        Dimension::Wire => ("wire", "the wire", false),
        Dimension::Bore => ("bore_mm", "the bore", false),
        Dimension::FoldJaw => ("fold_jaw_mm", "the fold jaw", true),
        Dimension::WaistGap => ("waist_gap_mm", "the waist gap", true),
    };
    let mut side = if on_incoming { pair.incoming } else { pair.receiving };
    let by = cure.to - *cure.dimension.of(&mut side);
    let whose = match (ask.same, on_incoming) {
        (true, _) => "",
        (false, true) => " of the incoming size",
        (false, false) => " of the receiving size",
    };
    // Rounded to the side of more room, as `CureReport::taken` does.
    let (way, to) = if by > 0.0 {
        ("Raise", length_words_up(Mm::new(cure.to), ask.unit))
    } else {
        ("Lower", length_words_down(Mm::new(cure.to), ask.unit))
    };
    let sure = if cure.proven { "proven" } else { "likely, not proven" };
    CureReport {
        field: field.into(),
        to_mm: cure.to,
        by_mm: by,
        proven: cure.proven,
        says: format!(
            "{way} {what}{whose} by {} to {to} ({sure}).",
            length_words_up(Mm::new(by.abs()), ask.unit)
        ),
    }
}

fn name_of(place: Place) -> &'static str {
    match place {
        Place::Aperture => "aperture",
        Place::Bore => "bore",
        Place::Fold => "fold",
    }
}

fn reason(
    (place, room): (Place, f64),
    estimate: &Estimate,
    own: &Forming,
    other: &Forming,
    mm: &dyn Fn(f64) -> String,
) -> Reason {
    let goes = room >= 0.0;
    let says = match place {
        Place::Aperture => format!(
            "The lobe is {} wide outside, and the opening it goes through is {} long: {}.",
            mm(estimate.lobe_width),
            mm(estimate.aperture_length),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!(
                    "{} too short; take a larger mandrel, thinner wire, or a smaller bore",
                    mm(-room)
                )
            }
        ),
        Place::Bore => format!(
            "To turn back, two wires and the waist gap lie side by side in a bore of {}: {}.",
            mm(own.eight.bore()),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!("{} too narrow; widen the lobe or close the waist", mm(-room))
            }
        ),
        Place::Fold => format!(
            "The fold, over a jaw of {}, closes round two tips and the gap between them: {}.",
            mm(other.setting.fold_jaw),
            if goes {
                format!("{} of room", mm(room))
            } else {
                format!("{} too tight; fold over a thicker jaw", mm(-room))
            }
        ),
    };
    Reason { place: name_of(place).into(), room_mm: room, says }
}
