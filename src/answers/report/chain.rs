//! The chain at rest and in the hand, pair by pair, in a maker's words.

use super::join::{ChangeReport, Steps};
use super::wording::{measured, words};
use crate::answers::build::{RingSpringback, field_of, nesting_words, usual_tools};
use crate::documents::units::LengthUnit;
use crate::geometry::link::{Forming, ToolDimension, ToolDimensions};
use crate::math::units::Mm;
use crate::motion::chain::{
    Body, BothWays, ChainError, ChainSuggestion, Coil, Joint, Measures, Weave, coil_of,
    crowding_across, joint, measure, mixed_row, seated, suggestions,
};
use crate::motion::insertion::{reaches_clearance, searched_for};
use serde::Serialize;

/// How a link lies and moves in the one before. Figures are absent where it does not lie.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChainReport {
    /// The size that receives.
    pub receiving: String,
    /// The size worked through it.
    pub incoming: String,
    /// How links follow one another.
    pub weave: &'static str,
    /// Whether the chain lies straight, and moves.
    pub lies: bool,
    /// The answer in a sentence.
    pub message: String,
    /// What would make it lie, where it does not.
    pub suggestions: Vec<ChainSuggestionReport>,
    /// The figures.
    #[serde(flatten)]
    pub figures: Option<Figures>,
}

/// A change that makes a chain lie.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChainSuggestionReport {
    /// Which dimension, as named in the design; `wire` for the wire's diameter.
    pub field: String,
    /// What it has to be.
    pub to_mm: f64,
    /// What must change with it, and to what.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<ChangeReport>,
    /// In a maker's words.
    pub message: String,
}

/// What a chain measures.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figures {
    /// Advance per link, pulled.
    pub pitch_mm: f64,
    /// Pulled less pushed.
    pub play_mm: f64,
    /// Links in 100 mm of pulled chain.
    pub links_per_100_mm: f64,
    /// Links in an inch of pulled chain.
    pub links_per_inch: f64,
    /// Over all, across the lobes.
    pub width_mm: f64,
    /// Over all, from leg to leg.
    pub thickness_mm: f64,
    /// Clearance to links further on, pulled straight; absent where they do not lie.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crowding_mm: Option<f64>,
    /// Greatest turn about x, the lesser of both ways.
    pub swing_x_deg: f64,
    /// Greatest turn about y, the fold's axis, the lesser of both ways.
    pub swing_y_deg: f64,
    /// Greatest twist about the chain's length, the lesser of both ways.
    pub twist_deg: f64,
    /// The greater of both ways, about x, y and z, where they differ.
    pub other_way_deg: Option<[f64; 3]>,
    /// Greatest twist of 100 mm of pulled chain.
    pub twist_per_100_mm_deg: f64,
    /// Rod that fits inside the tightest coil bent about x.
    pub coil_x_mm: f64,
    /// Rod that fits inside the tightest coil bent about y.
    pub coil_y_mm: f64,
    /// `coil_x_mm` over the width: rods in one thickness of chain; less is suppler.
    pub suppleness_x: f64,
    /// `coil_y_mm` over the thickness.
    pub suppleness_y: f64,
    /// What stops each turn.
    pub stops: Vec<StopReport>,
}

/// Where metal meets metal at the end of a turn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StopReport {
    /// Which turn: `swing-x`, `swing-y` or `twist`.
    pub turn: &'static str,
    /// How many links further the other wire is.
    pub links_on: usize,
    /// Where, in the earlier link's axes.
    pub at_mm: [f64; 3],
}

/// An answer, and what a picture of it needs.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainAnalysis {
    /// The answer.
    pub report: ChainReport,
    /// Rest and turns per link; none where it does not lie.
    pub joint: Option<Joint>,
    /// All that was measured, of links of one size.
    pub measures: Option<Measures>,
}

/// What a chain is asked with.
pub(super) struct ChainQuestion {
    pub weave: Weave,
    pub unit: LengthUnit,
    /// Clearance asked for in joining, mm.
    pub margin: f64,
    /// The tools that the design names for the receiving size.
    pub tools: ToolDimensions,
    /// What its ring opens by.
    pub springback: Option<RingSpringback>,
    /// In which steps they can be had.
    pub steps: Steps,
}

type NamedBody<'a> = (&'a str, &'a Forming, &'a Body);

/// A chain of one size.
pub(super) fn own(ask: &ChainQuestion, (name, forming, link): NamedBody) -> ChainAnalysis {
    let report = |lies, message, suggestions, figures| ChainReport {
        receiving: name.into(),
        incoming: name.into(),
        weave: ask.weave.name(),
        lies,
        message,
        suggestions,
        figures,
    };
    match measure(link, ask.weave) {
        Ok(found) => {
            let message = suppleness_words(ask, &found);
            let figures = figures_of(&found);
            let report = report(true, message, Vec::new(), Some(figures));
            ChainAnalysis { report, joint: Some(found.joint), measures: Some(found) }
        }
        Err(error) => {
            let found = suggestions(&forming.setting, ask.weave, &|tools| {
                RingSpringback::after_change(ask.springback.as_ref(), &forming.setting, tools)
            });
            let alone = found.iter().filter_map(|suggestion| suggested(suggestion, forming, ask));
            let suggestions: Vec<ChainSuggestionReport> =
                suited(forming, ask).into_iter().chain(alone).collect();
            let mut message = error_words(&error, ask);
            message += match suggestions.first() {
                Some(suggestion) => &suggestion.message,
                None => {
                    "No single change, nor bore and fold jaw together, mends it within twice their value."
                }
            };
            ChainAnalysis {
                report: report(false, message, suggestions, None),
                joint: None,
                measures: None,
            }
        }
    }
}

/// Where one size follows another.
pub(super) fn across(
    ask: &ChainQuestion,
    receiving: NamedBody,
    incoming: NamedBody,
) -> ChainAnalysis {
    let report = |message, figures: Option<Figures>| ChainReport {
        receiving: receiving.0.into(),
        incoming: incoming.0.into(),
        weave: ask.weave.name(),
        lies: figures.is_some(),
        message,
        suggestions: Vec::new(),
        figures,
    };
    if ask.weave != Weave::SINGLE {
        return across_in_weave(ask, receiving, incoming, report);
    }
    let (own, other) = (receiving.2, incoming.2);
    let found = match joint(own, other) {
        Ok(found) => found,
        Err(error) => {
            let message = error_words(&error, ask) + "See what to change in either size.";
            return ChainAnalysis { report: report(message, None), joint: None, measures: None };
        }
    };
    // The links on either side of the joint, past the one between.
    let crowding = crowding_across(own, other, found.rest.pulled);
    if crowding < 0.0 {
        let message = format!(
            "The chain locks before it is straight where these sizes meet: the links on either side overlap by {}. Take sizes nearer to each other, or a larger mandrel for the smaller.",
            measured(-crowding, ask.unit)
        );
        return ChainAnalysis { report: report(message, None), joint: Some(found), measures: None };
    }
    let (size_a, size_b) = (own.size(), other.size());
    let coil = |paths: &BothWays| coil_of(own, other, lesser(paths));
    let figures = figures_from(&From {
        joint: &found,
        crowding,
        width: size_a.y.max(size_b.y),
        thickness: size_a.x.max(size_b.x),
        coils: [coil(&found.swing_x), coil(&found.swing_y)],
    });
    let message = format!(
        "{} of pitch from one size to the other, {} of play.",
        measured(found.rest.pulled, ask.unit),
        measured(found.rest.play(), ask.unit)
    );
    ChainAnalysis { report: report(message, Some(figures)), joint: Some(found), measures: None }
}

/// Where one size follows another in a weave: how much the first link of the new size adds.
fn across_in_weave(
    ask: &ChainQuestion,
    receiving: NamedBody,
    incoming: NamedBody,
    report: impl Fn(String, Option<Figures>) -> ChainReport,
) -> ChainAnalysis {
    let found = seated(receiving.2, ask.weave).and_then(|rest| {
        let even = ask.weave.deepest() + 1;
        let mut sizes = vec![0; even];
        sizes.resize(2 * even, 1);
        mixed_row(&[receiving.2, incoming.2], &sizes, ask.weave, (even, rest.clearest_rise))
            .map(|poses| (poses[even].translation.vector - poses[even - 1].translation.vector).z)
    });
    let report = match found {
        Ok(advance) => ChainReport {
            lies: true,
            ..report(
                format!(
                    "Where these sizes meet the links lie clear of one another; the first of the new size adds {}. How the chain swings and coils is worked out for each size by itself.",
                    measured(advance, ask.unit)
                ),
                None,
            )
        },
        Err(error) => report(error_words(&error, ask) + "Take sizes nearer to each other.", None),
    };
    ChainAnalysis { report, joint: None, measures: None }
}

struct From<'a> {
    joint: &'a Joint,
    crowding: f64,
    width: f64,
    thickness: f64,
    coils: [Coil; 2],
}

fn lesser(paths: &BothWays) -> &crate::motion::chain::Limit {
    if paths.minus.angle < paths.plus.angle { &paths.minus } else { &paths.plus }
}

fn figures_of(found: &Measures) -> Figures {
    figures_from(&From {
        joint: &found.joint,
        crowding: found.crowding,
        width: found.width,
        thickness: found.thickness,
        coils: [found.coil_x, found.coil_y],
    })
}

fn figures_from(from: &From) -> Figures {
    let joint = from.joint;
    let turns = [("swing-x", joint.swing_x), ("swing-y", joint.swing_y), ("twist", joint.twist)];
    let least = turns.map(|(_, paths)| lesser(&paths).angle.to_degrees());
    let most = turns.map(|(_, paths)| paths.plus.angle.max(paths.minus.angle).to_degrees());
    let pitch = joint.rest.pulled;
    // Turns are found to a tenth of a degree.
    let differ = least.iter().zip(&most).any(|(less, more)| more - less > 0.1);
    let stop = |(turn, paths): (&'static str, BothWays)| {
        let touch = lesser(&paths).stop?;
        Some(StopReport { turn, links_on: touch.offset, at_mm: touch.place.coords.into() })
    };
    let inside = from.coils.map(|coil| coil.inside);
    // A joint that does not turn at all makes no coil: as if round the world.
    let [coil_x, coil_y] = inside.map(|inside| inside.min(1e9));
    Figures {
        pitch_mm: pitch,
        play_mm: joint.rest.play(),
        links_per_100_mm: 100.0 / pitch,
        links_per_inch: 25.4 / pitch,
        width_mm: from.width,
        thickness_mm: from.thickness,
        crowding_mm: from.crowding.is_finite().then_some(from.crowding),
        swing_x_deg: least[0],
        swing_y_deg: least[1],
        twist_deg: least[2],
        other_way_deg: differ.then_some(most),
        twist_per_100_mm_deg: 100.0 * least[2] / pitch,
        coil_x_mm: coil_x,
        coil_y_mm: coil_y,
        suppleness_x: coil_x / from.width,
        suppleness_y: coil_y / from.thickness,
        stops: turns.into_iter().filter_map(stop).collect(),
    }
}

fn suppleness_words(ask: &ChainQuestion, found: &Measures) -> String {
    let mm = |length: f64| measured(length, ask.unit);
    let (x, y) = (found.coil_x.inside, found.coil_y.inside);
    let round = |inside: f64| {
        if inside > 1e6 { "does not coil".into() } else { format!("coils round {}", mm(inside)) }
    };
    format!(
        "Each link adds {} pulled, {} less pushed. The chain {} bent across the lobes, and {} bent from leg to leg.",
        mm(found.joint.rest.pulled),
        mm(found.joint.rest.play()),
        round(x),
        round(y)
    )
}

/// In a sentence, with the space after it.
fn error_words(error: &ChainError, ask: &ChainQuestion) -> String {
    format!("These links will not nest in one another: {}. ", nesting_words(error, ask.unit))
}

/// Steps beyond the least change that are tried for one that can be had.
const STEPS_ON: usize = 12;

/// A suggestion taken on to what can be had, and there tried: the links lie, and in a single chain
/// they join with the clearance asked for, too.
fn suggested(
    suggestion: &ChainSuggestion,
    forming: &Forming,
    ask: &ChainQuestion,
) -> Option<ChainSuggestionReport> {
    let now = |dimension: ToolDimension| dimension.of(&ask.tools);
    // By the change and not by the value: where the shapes are those after springback, the design
    // holds what the tools are.
    let by = |dimension: ToolDimension, to: Mm| Some(to.get() - dimension.of(&forming.setting)?);
    let mut wanted = vec![(suggestion.dimension, by(suggestion.dimension, suggestion.value)?)];
    if let Some((other, to)) = suggestion.with {
        wanted.push((other, by(other, to)?));
    }
    let serves = |changes: &[(ToolDimension, f64)]| {
        let tools = changes.iter().fold(forming.setting, |tools, &(dimension, by)| {
            dimension.of(&tools).map_or(tools, |own| dimension.set(&tools, own + by))
        });
        let opened = RingSpringback::after_change(ask.springback.as_ref(), &forming.setting, tools);
        opened.and_then(|tools| Forming::new(tools).ok()).is_some_and(|link| {
            seated(&Body::of(&link.fold), ask.weave).is_ok()
                && (ask.weave != Weave::SINGLE
                    || reaches_clearance(&link, &link, searched_for(ask.margin, tools.wire)))
        })
    };
    for _ in 0..STEPS_ON {
        for (dimension, by) in &mut wanted {
            *by = ask.steps.settable(*dimension, now(*dimension)?, *by)?;
        }
        if serves(&wanted) {
            return change_report(&wanted, ask);
        }
        for (_, by) in &mut wanted {
            // Into the next step.
            *by += 1e-3f64.copysign(*by);
        }
    }
    None
}

fn change_report(
    changes: &[(ToolDimension, f64)],
    ask: &ChainQuestion,
) -> Option<ChainSuggestionReport> {
    let now = |dimension: ToolDimension| dimension.of(&ask.tools).unwrap_or_default();
    let said = |&(dimension, by): &(ToolDimension, f64)| {
        let (what, was) = (
            ask.steps.tool_text(dimension, now(dimension) + by),
            ask.steps.text(dimension, now(dimension)),
        );
        format!("{what} (now {was})")
    };
    let all: Vec<String> = changes.iter().map(said).collect();
    let mut each =
        changes.iter().map(|&(dimension, by)| ChangeReport::of(dimension, now(dimension) + by, by));
    let first = each.next()?;
    Some(ChainSuggestionReport {
        field: first.field,
        to_mm: first.to_mm,
        with: each.collect(),
        message: format!("Use {}.", all.join(" and ")),
    })
}

/// The tools that are usual for the weave, where this ring lies in it with them.
fn suited(forming: &Forming, ask: &ChainQuestion) -> Option<ChainSuggestionReport> {
    if ask.weave == Weave::SINGLE {
        return None;
    }
    let usual = usual_tools(&forming.setting, ask.weave);
    let link = Forming::new(usual).ok()?;
    seated(&Body::of(&link.fold), ask.weave).ok()?;
    let mm = |length: f64| words(length, ask.unit);
    let change = |dimension: ToolDimension| {
        let of = |tools| dimension.of(tools).unwrap_or_default();
        ChangeReport::of(dimension, of(&usual), of(&usual) - of(&ask.tools))
    };
    Some(ChainSuggestionReport {
        field: field_of(ToolDimension::Bore).into(),
        to_mm: usual.bore,
        with: [ToolDimension::FoldJaw, ToolDimension::Neck, ToolDimension::PinchJaw]
            .map(change)
            .to_vec(),
        message: format!(
            "With the jaws that are usual for a {} chain it lies: bore {}, half the neck {}, pinch jaws {}, fold jaw {}.",
            ask.weave.name(),
            mm(usual.bore),
            mm(usual.neck),
            mm(usual.pinch_jaw),
            mm(usual.fold_jaw)
        ),
    })
}
