//! Each pair of sizes asked: proven, searched, and how its links lie.

use super::chain::{self, ChainAnalysis, ChainQuestion};
use super::join::message::JoinQuestion;
use super::join::row::{InRow, NoRow, rows};
use super::join::{self, JoinReport, ProvenJoin, Steps};
use super::wording::words;
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::{Forming, ToolDimensions};
use crate::math::map_indices;
use crate::mechanics::material::{Band, known_metal};
use crate::motion::chain::{Body, Weave};
use crate::motion::insertion::{ToolPair, max_clearance, path_clearance, reaches_clearance};

/// Every join of [`super::Report::joins`], proven.
pub fn prove_all(design: &Design, formings: &[Forming], unit: LengthUnit) -> Vec<JoinReport> {
    all_joins(design, formings, unit, true)
}

/// The same, with or without what would have to be changed, which takes longer than the proof.
pub(in crate::answers) fn all_joins(
    design: &Design,
    formings: &[Forming],
    unit: LengthUnit,
    suggests: bool,
) -> Vec<JoinReport> {
    let settings = design.settings().unwrap_or_default();
    let one = |index| join_at(design, formings, (index, &settings), unit, suggests);
    map_indices(pairs(formings.len()).count(), one).into_iter().flatten().collect()
}

/// The join at `index` of [`super::Report::joins`], proven, without what would have to be changed;
/// none where there is no such join.
pub(in crate::answers) fn bare_join(
    design: &Design,
    formings: &[Forming],
    index: usize,
    unit: LengthUnit,
) -> Option<JoinReport> {
    let settings = design.settings().unwrap_or_default();
    join_at(design, formings, (index, &settings), unit, false)
}

fn join_at(
    design: &Design,
    formings: &[Forming],
    (index, settings): (usize, &[ToolDimensions]),
    unit: LengthUnit,
    suggests: bool,
) -> Option<JoinReport> {
    let pair = pairs(formings.len()).nth(index)?;
    let ask = JoinQuestion { suggests, ..ask(design, settings, unit, pair) };
    Some(proven_pair(design, formings, pair, &ask)?.report)
}

/// The join at `index` of [`super::Report::joins`], proven; none where there is no such join.
pub fn prove(
    design: &Design,
    formings: &[Forming],
    index: usize,
    unit: LengthUnit,
) -> Option<ProvenJoin> {
    let pair = pairs(formings.len()).nth(index)?;
    let settings = design.settings().unwrap_or_default();
    proven_pair(design, formings, pair, &ask(design, &settings, unit, pair))
}

fn proven_pair(
    design: &Design,
    formings: &[Forming],
    (a, b): (usize, usize),
    ask: &JoinQuestion,
) -> Option<ProvenJoin> {
    let names = names(design, ask.unit);
    let receiving = (names.get(a)?, formings.get(a)?);
    let incoming = (names.get(b)?, formings.get(b)?);
    let weave = design.weave.weave();
    if weave == Weave::SINGLE {
        return Some(join::proven(ask, receiving, incoming, None));
    }
    Some(match rows(receiving.1, incoming.1, a == b, weave) {
        Ok(rows) => join::proven(ask, receiving, incoming, Some(&rows)),
        Err(NoRow::DoesNotLie(why)) => join::does_not_lie(ask, receiving, incoming, &why),
        Err(NoRow::TooMany(why)) => join::refused(ask, receiving, incoming, &why),
    })
}

/// The most clearance found for one more link into a chain of its own kind, mm: a search, no
/// proof. None where such links do not lie in the weave, or too many lie beside one another.
pub(in crate::answers) fn searched_clearance(link: &Forming, weave: Weave) -> Option<f64> {
    if weave == Weave::SINGLE {
        return Some(max_clearance(link, link));
    }
    let rows = rows(link, link, true, weave).ok()?;
    rows.first().map(InRow::searched_clearance)
}

/// Whether [`searched_clearance`] is none below zero: quicker in a single chain.
pub(in crate::answers) fn goes_in(link: &Forming, weave: Weave) -> bool {
    match weave {
        Weave::SINGLE => reaches_clearance(link, link, 0.0),
        weave => searched_clearance(link, weave).is_some_and(|clearance| clearance >= 0.0),
    }
}

/// As [`searched_clearance`], below zero too where the joined pose has no clearance: for searches over
/// shapes.
pub(in crate::answers) fn path_clearance_of(link: &Forming, weave: Weave) -> Option<f64> {
    match weave {
        Weave::SINGLE => Some(path_clearance(link, link)),
        weave => searched_clearance(link, weave),
    }
}

/// How the links of the pair at `index` of [`super::Report::chain`] lie and move, `bodies` those of
/// `formings`; some ten milliseconds, more for weaves of many links and where a suggestion is
/// looked for. None where there is no such pair.
pub fn analyse_chain(
    design: &Design,
    formings: &[Forming],
    bodies: &[Body],
    index: usize,
    unit: LengthUnit,
) -> Option<ChainAnalysis> {
    let (a, b) = pairs(formings.len()).nth(index)?;
    let names = names(design, unit);
    let ask = chain_question(design, unit, a);
    let link = |i: usize| Some((names.get(i)?.as_str(), formings.get(i)?, bodies.get(i)?));
    Some(if a == b { chain::own(&ask, link(a)?) } else { chain::across(&ask, link(a)?, link(b)?) })
}

fn chain_question(design: &Design, unit: LengthUnit, size: usize) -> ChainQuestion {
    let JoinQuestion { margin, tools, springbacks, steps, .. } =
        ask(design, &design.settings().unwrap_or_default(), unit, (size, size));
    let springback = springbacks.map(|[own, _]| own);
    let weave = design.weave.weave();
    ChainQuestion { weave, unit, margin, tools: tools.receiving, springback, steps }
}

/// Receiving and incoming size of every join: each size with itself, then each neighbour with
/// the next, both ways.
pub fn pairs(sizes: usize) -> impl Iterator<Item = (usize, usize)> {
    let own = (0..sizes).map(|i| (i, i));
    own.chain((1..sizes).flat_map(|i| [(i - 1, i), (i, i - 1)]))
}

/// What a pair of sizes is asked with; `settings` are the tools of `design`.
pub(super) fn ask(
    design: &Design,
    settings: &[ToolDimensions],
    unit: LengthUnit,
    (receiving, incoming): (usize, usize),
) -> JoinQuestion {
    // A design that was read has a metal; sterling silver stands in for one that was built otherwise.
    let metal = design.metal.metal().ok().or_else(|| known_metal("sterling-silver"));
    let yields = metal.as_ref().map(|m| m.yield_stress(Band::Likely) / m.youngs_modulus());
    let allowance = metal.as_ref().map(|m| m.strain_allowance(Band::Likely));
    let weave = design.weave.weave();
    let plain = ToolDimensions::usual(1.0, 12.0);
    let tools = |size: usize| settings.get(size).copied().unwrap_or(plain);
    let springbacks = design.ring_springbacks().ok();
    let springbacks = springbacks.and_then(|all| Some([*all.get(receiving)?, *all.get(incoming)?]));
    JoinQuestion {
        margin: design.margin_mm,
        unit,
        tools: ToolPair { receiving: tools(receiving), incoming: tools(incoming) },
        springbacks,
        steps: Steps::of(design, unit),
        suggests: true,
        same: receiving == incoming,
        weave: (weave != Weave::SINGLE).then(|| weave.name()),
        yield_strain: yields.unwrap_or_default(),
        strain_allowance: allowance.unwrap_or_default(),
    }
}

pub(super) fn names(design: &Design, unit: LengthUnit) -> Vec<String> {
    let own = |mandrel: f64| format!("{} mandrel", words(mandrel, unit));
    let sizes = design.sizes.iter();
    sizes.map(|s| if s.name.is_empty() { own(s.mandrel_mm) } else { s.name.clone() }).collect()
}
