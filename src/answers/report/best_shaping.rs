//! Any jaws: the shaping with the most clearance on a size's mandrel, and the smallest mandrel of its
//! wire that joins, with the design's own jaws and with any.
//!
//! What [`crate::answers::shaping`] finds is brought to steps that can be set, and proven there.
//! Evidence: the tests below, `tests/weaves.rs`.

use super::join::{ChangeReport, JoinReport, Steps, SuggestionReport};
use super::proving::{all_joins, searched_clearance};
use super::whole::DesignVerdict;
use super::wording::words;
use crate::answers::build::{WeaveTools, dimension_words, field_of, on_mandrel, tightest_tools};
use crate::answers::shaping::{ALL, TWO, best_shaping, shaped, smallest_that_joins};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::{ToolDimension, ToolDimensions};
use crate::math::map_indices;
use crate::math::sort::sort_by_number;
use crate::motion::insertion::searched_for;
use serde::{Deserialize, Serialize};

/// What can be had of a size's wire and weave with other jaws.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct BestShaping {
    /// The size's name.
    pub size: String,
    /// The jaws with the most clearance found on its mandrel, where those of the design leave too
    /// little; left out where no such link is proven to join.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub jaws: Option<ShapedReport>,
    /// The smallest mandrels of its wire.
    #[serde(flatten)]
    pub mandrels: LeastMandrels,
}

/// The smallest mandrels of a wire that join, by proof; left out where none was found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LeastMandrels {
    /// With the design's own jaws; what it leaves out goes with wire and ring.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with_your_jaws: Option<ShapedReport>,
    /// With any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub with_any_jaws: Option<ShapedReport>,
}

/// A mandrel and jaws, in steps that can be had, and the clearance proven with them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShapedReport {
    /// Mandrel.
    pub mandrel_mm: f64,
    /// Bore of the lobes.
    pub bore_mm: f64,
    /// Jaw folded over.
    pub fold_jaw_mm: f64,
    /// Clear gap at the waist.
    pub waist_gap_mm: f64,
    /// Half the neck.
    pub neck_mm: f64,
    /// Jaws that pinch.
    pub pinch_jaw_mm: f64,
    /// Bore that the leading lobe is pressed to while it is threaded; left out where it goes as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub threading_bore_mm: Option<f64>,
    /// Proven.
    pub least_clearance_mm: f64,
}

/// The dimensions that may be changed, in the order in which they are told.
const CHANGED: [ToolDimension; 5] = [
    ToolDimension::Mandrel,
    ToolDimension::Bore,
    ToolDimension::FoldJaw,
    ToolDimension::Neck,
    ToolDimension::PinchJaw,
];
/// Those that jaws shape.
const JAWS: [ToolDimension; 4] =
    [ToolDimension::Bore, ToolDimension::FoldJaw, ToolDimension::Neck, ToolDimension::PinchJaw];
/// Rounds in which jaws a step to either side are tried.
const ROUNDS: usize = 3;
/// Trials of a search for jaws; and of one that looks for them on a smaller mandrel.
const TRIALS: usize = 80;
const TRIALS_SMALLER: usize = 30;
/// Mandrels tried from the smallest searched on for one that is proven.
const STEPS_UP: usize = 4;

/// All of it for every size of `design`, whose joins are `joins`, which take what is suggested.
pub fn best_shapings(
    design: &Design,
    joins: &mut [JoinReport],
    unit: LengthUnit,
) -> Vec<BestShaping> {
    // Sizes of one wire and like jaws have the same smallest mandrels.
    let wires: Vec<Design> =
        (0..design.sizes.len()).map(|size| on_mandrel(design, size, 1.0)).collect();
    let same = |size: usize| wires.iter().position(|wire| *wire == wires[size]).unwrap_or(size);
    let found = map_indices(wires.len(), |size| {
        let mandrels = (same(size) == size).then(|| least_mandrels(&wires[size], unit));
        let wants = joins.get(size).filter(|join| DesignVerdict::of(join) != DesignVerdict::Yes);
        let jaws = wants.and_then(|_| jaws_with_most(design, size, unit));
        (mandrels, jaws, wants.and_then(|join| suggested(design, size, join, unit, || jaws)))
    });
    let best = |size: usize| BestShaping {
        size: joins.get(size).map_or(String::new(), |join| join.receiving.clone()),
        jaws: found[size].1.map(|(_, shaped)| shaped),
        mandrels: found[same(size)].0.clone().unwrap_or_default(),
    };
    let all = (0..wires.len()).map(best).collect();
    for (join, (.., change)) in joins.iter_mut().zip(found) {
        change.into_iter().for_each(|change| join.suggest(change));
    }
    all
}

/// The change to other jaws of a size of `design` where `join`, of that size with its like, wants for
/// clearance: of bore and fold jaw alone, if that is enough; else of all, and where no jaws do, of the
/// mandrel too.
pub fn other_jaws(
    design: &Design,
    size: usize,
    join: &JoinReport,
    unit: LengthUnit,
) -> Option<SuggestionReport> {
    suggested(design, size, join, unit, || jaws_with_most(design, size, unit))
}

type Proven = (ToolDimensions, ShapedReport);

fn jaws_with_most(design: &Design, size: usize, unit: LengthUnit) -> Option<Proven> {
    let alone = on_mandrel(design, size, design.sizes.get(size)?.mandrel_mm).settled().ok()?;
    let tools = best_shaping(&alone, ALL, f64::INFINITY, TRIALS)?.tools;
    settable(&alone, &tools, ALL, Steps { unit, gauge: None }, design.margin_mm)
}

fn suggested(
    design: &Design,
    size: usize,
    join: &JoinReport,
    unit: LengthUnit,
    most: impl FnOnce() -> Option<Proven>,
) -> Option<SuggestionReport> {
    if DesignVerdict::of(join) == DesignVerdict::Yes {
        return None;
    }
    let alone = on_mandrel(design, size, design.sizes.get(size)?.mandrel_mm).settled().ok()?;
    let own = *alone.settings().ok()?.first()?;
    let (steps, margin) = (Steps { unit, gauge: None }, design.margin_mm);
    let enough = |found: &Proven| found.1.least_clearance_mm >= margin;
    let two = || {
        let wanted = 2.0 * searched_for(margin, own.wire);
        let tools = best_shaping(&alone, TWO, wanted, TRIALS)?.tools;
        settable(&alone, &tools, TWO, steps, margin)
    };
    let larger = || {
        let on = |mandrel: f64| Some(on_mandrel(design, size, mandrel));
        let tools = tightest_tools(design.weave.weave())?;
        let shaped_on = |mandrel: f64| shaped(&on(mandrel)?, &tools);
        let from = smallest_that_joins(&shaped_on, own.wire)?.max(own.mandrel);
        up(from, steps, |mandrel| {
            settable(&on(mandrel)?, &tools, ALL, steps, margin).filter(enough)
        })
    };
    let found = two().filter(enough).or_else(|| most().filter(enough)).or_else(larger)?;
    change_to(&own, &found.0, steps)
}

/// The first mandrel of at least `from` mm that can be had and holds.
fn up<T>(from: f64, steps: Steps, holds: impl Fn(f64) -> Option<T>) -> Option<T> {
    let mut mandrel = steps.mandrel_from(from);
    for _ in 0..STEPS_UP {
        let found = holds(mandrel);
        if found.is_some() {
            return found;
        }
        mandrel = steps.next_mandrel(mandrel, true)?;
    }
    None
}

/// The smallest mandrels of the wire of `design`, of one size and on whichever mandrel.
pub fn least_mandrels(design: &Design, unit: LengthUnit) -> LeastMandrels {
    let on = |mandrel: f64| Some(on_mandrel(design, 0, mandrel));
    let Ok(wire) = design.wire_of(0) else { return LeastMandrels::default() };
    let steps = Steps { unit, gauge: None };
    let from = smallest_that_joins(&on, wire);
    let with_your_jaws = from.and_then(|from| up(from, steps, |mandrel| proven(&on(mandrel)?)));
    let own = || Some(WeaveTools::of(on(from?)?.settings().ok()?.first()?));
    let tools = tightest_tools(design.weave.weave()).or_else(own);
    let mut with_any_jaws = tools.and_then(|tools| {
        let from = smallest_that_joins(&|mandrel| shaped(&on(mandrel)?, &tools), wire)?;
        up(from, steps, |mandrel| {
            let (_, proven) = settable(&on(mandrel)?, &tools, ALL, steps, 0.0)?;
            Some((tools, proven))
        })
    });
    // Down while others do better still: on the next mandrel that can be had, and then as far as the
    // jaws found there, in proportion to the ring, still join.
    let smaller = |(tools, any): &(WeaveTools, ShapedReport)| {
        let next = steps.next_mandrel(any.mandrel_mm, false)?;
        let there = shaped(&on(next)?, tools)?;
        let found = best_shaping(&there, ALL, f64::INFINITY, TRIALS_SMALLER)?;
        if !(found.clearance > 0.0) {
            return None;
        }
        let on_mandrel = |mandrel: f64| {
            let there = on(mandrel).filter(|_| mandrel <= next)?;
            settable(&there, &found.tools, ALL, steps, 0.0)
        };
        let shaped_on = |mandrel: f64| shaped(&on(mandrel)?, &found.tools);
        let least = smallest_that_joins(&shaped_on, wire).unwrap_or(next).min(next);
        let is_next = !(steps.mandrel_from(least) < next);
        let proven = up(least, steps, on_mandrel);
        let (_, proven) = proven.or_else(|| if is_next { None } else { on_mandrel(next) })?;
        Some((found.tools, proven))
    };
    while let Some(found) = with_any_jaws.as_ref().and_then(smaller) {
        with_any_jaws = Some(found);
    }
    // The design's own jaws are some, too.
    let any = with_any_jaws.map(|(_, any)| any).into_iter().chain(with_your_jaws);
    let with_any_jaws = any.min_by(|a, b| a.mandrel_mm.total_cmp(&b.mandrel_mm));
    LeastMandrels { with_your_jaws, with_any_jaws }
}

/// The one size of `design` with the jaws that can be set next to `tools`, if it is proven to join:
/// those that are `free`, of bore and fold jaw whichever side has more clearance. Where that is less
/// than `wanted` mm, jaws a step to either side are tried as well, since near the least mandrel a step
/// costs more than there is.
fn settable(
    design: &Design,
    tools: &WeaveTools,
    free: [bool; 4],
    steps: Steps,
    wanted: f64,
) -> Option<Proven> {
    let own = *design.settings().ok()?.first()?;
    let best = tools.on(&own);
    let weave = design.weave.weave();
    let [bores, fold_jaws, necks, pinch_jaws] = std::array::from_fn(|i| {
        let dimension = JAWS[i];
        let best = dimension.of(&best).unwrap_or_default();
        let [below, above] = steps.beside(dimension, best);
        match free[i] {
            false => [dimension.of(&own).unwrap_or_default(); 2],
            // The nearer first.
            true if best - below <= above - best => [below, above],
            true => [above, below],
        }
    });
    let on = |[bore, fold_jaw, neck, pinch_jaw]: [f64; 4]| {
        let mut there = design.clone();
        let size = there.sizes.first_mut()?;
        (size.bore_mm, size.fold_jaw_mm) = (Some(bore), Some(fold_jaw));
        (size.neck_mm, size.pinch_jaw_mm) = (Some(neck), Some(pinch_jaw));
        Some(there)
    };
    let mut tried: Vec<([f64; 4], f64)> = Vec::new();
    let mut look = |jaws: [f64; 4]| -> Option<f64> {
        if let Some((_, known)) = tried.iter().find(|(known, _)| *known == jaws) {
            return Some(*known);
        }
        let clearance = searched_clearance(on(jaws)?.formings().ok()?.first()?, weave)?;
        tried.push((jaws, clearance));
        Some(clearance)
    };
    let mut most = (f64::NEG_INFINITY, [f64::NAN; 4]);
    for bore in bores {
        for fold_jaw in fold_jaws {
            let jaws = [bore, fold_jaw, necks[0], pinch_jaws[0]];
            most =
                look(jaws).map_or(most, |found| if found > most.0 { (found, jaws) } else { most });
        }
    }
    for _ in 0..ROUNDS {
        let from = most;
        if !(from.0 < wanted) || !from.0.is_finite() {
            break;
        }
        for i in (0..4).filter(|i| free[*i]) {
            for to in steps.next(JAWS[i], from.1[i]) {
                let mut jaws = from.1;
                jaws[i] = to;
                most = look(jaws).map_or(most, |f| if f > most.0 { (f, jaws) } else { most });
            }
        }
        if most == from {
            break;
        }
    }
    tried.retain(|(_, clearance)| *clearance > 0.0);
    sort_by_number(&mut tried, |(_, clearance)| -clearance);
    tried.iter().find_map(|(jaws, _)| {
        let there = on(*jaws)?;
        Some((*there.settings().ok()?.first()?, proven(&there)?))
    })
}

/// The one size of `design` as it is, if it is proven to join.
fn proven(design: &Design) -> Option<ShapedReport> {
    let tools = *design.settings().ok()?.first()?;
    let formings = design.formings().ok()?;
    let joins = all_joins(design, &formings, LengthUnit::Mm, false);
    let join =
        joins.first().filter(|join| join.basis == "proof" && join.verdict.word() == "passes")?;
    Some(ShapedReport {
        mandrel_mm: tools.mandrel,
        bore_mm: tools.bore,
        fold_jaw_mm: tools.fold_jaw,
        waist_gap_mm: tools.waist_gap,
        neck_mm: tools.neck,
        pinch_jaw_mm: tools.pinch_jaw,
        threading_bore_mm: join.threading_bore(),
        least_clearance_mm: join.least_clearance_mm,
    })
}

/// The change from the tools `own` to others; none where they are alike.
fn change_to(own: &ToolDimensions, to: &ToolDimensions, steps: Steps) -> Option<SuggestionReport> {
    let changes: Vec<(ToolDimension, f64, f64)> = CHANGED
        .into_iter()
        .filter_map(|dimension| Some((dimension, dimension.of(own)?, dimension.of(to)?)))
        .filter(|(_, own, to)| (to - own).abs() > 1e-6)
        .collect();
    let said = |&(dimension, own, to): &(ToolDimension, f64, f64)| {
        let name = match dimension {
            ToolDimension::Neck => "half neck",
            other => dimension_words(other),
        };
        format!("a {name} of {} (now {})", words(to, steps.unit), words(own, steps.unit))
    };
    let all: Vec<String> = changes.iter().map(said).collect();
    let (last, others) = all.split_last()?;
    let told =
        if others.is_empty() { last.clone() } else { format!("{} and {last}", others.join(", ")) };
    let changes =
        changes.iter().map(|&(dimension, own, to)| ChangeReport::of(dimension, to, to - own));
    let on = if own.mandrel == to.mandrel { "mandrel" } else { "wire" };
    SuggestionReport::of(changes, true, format!("With {told} this {on} joins; proven."))
}

impl JoinReport {
    /// Takes a change found by [`other_jaws`] among its suggestions, where none that is as small is
    /// known: jaws before all others, and thinner wire is then not called for.
    pub fn suggest(&mut self, change: SuggestionReport) {
        let known = |of_jaws: bool| {
            let mut known = self.suggestions.iter().filter(|known| known.proven);
            known.any(|known| known.is_of_jaws() || !of_jaws)
        };
        if known(change.is_of_jaws()) {
            return;
        }
        if change.is_of_jaws() {
            self.suggestions.retain(|known| known.field != field_of(ToolDimension::Wire));
        }
        self.suggestions.insert(0, change);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::{JoinAnswer, prove};

    fn own_join(design: &Design) -> JoinReport {
        prove(design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap().report
    }

    /// What is offered is proven, in steps that can be set, once it is taken.
    #[test]
    fn a_change_of_jaws_that_is_taken_joins() {
        let plain = |wire, mandrel, weave: &str| {
            let mut design = Design::plain(wire, mandrel);
            design.sizes[0].springback_mm = Some(0.0);
            design.weave = serde_json::from_str(&format!("\"{weave}\"")).unwrap();
            design
        };
        for (design, jaws) in [
            (plain(1.0, 10.0, "single"), true),
            (plain(1.2, 11.5, "single"), true),
            (plain(1.0, 12.0, "double"), true),
            (plain(1.0, 9.0, "double"), false),
        ] {
            let mut join = own_join(&design);
            assert_ne!(DesignVerdict::of(&join), DesignVerdict::Yes, "{}", join.message);
            let start = std::time::Instant::now();
            let change = other_jaws(&design, 0, &join, LengthUnit::Mm);
            println!("{:?}: {change:?}", start.elapsed());
            let change = change.expect("a change");
            assert_eq!(change.is_of_jaws(), jaws, "{}", change.message);
            for (field, to) in std::iter::once((&change.field, change.to_mm))
                .chain(change.with.iter().map(|other| (&other.field, other.to_mm)))
            {
                let step = if field == "mandrel_mm" { 0.25 } else { 0.1 };
                assert!((to / step - (to / step).round()).abs() < 1e-6, "{}", change.message);
            }
            let after = own_join(&change.taken(&design, 0, LengthUnit::Mm).unwrap());
            assert_eq!(after.verdict, JoinAnswer::Passes, "{}: {}", change.message, after.message);
            assert!(after.least_clearance_mm >= design.margin_mm, "{}", after.message);
            join.suggest(change);
            assert!(
                join.suggestions.iter().all(|known| known.field != "wire" || !jaws),
                "{join:?}"
            );
        }
    }

    /// With any jaws the mandrel is no larger than with the design's own; both are proven, and the
    /// step before that of the own jaws is not.
    #[test]
    fn the_smallest_mandrels_are_proven() {
        let plain = |mandrel: f64| {
            let mut design = Design::plain(0.9, mandrel);
            design.sizes[0].springback_mm = Some(0.0);
            design
        };
        let found = least_mandrels(&plain(12.0), LengthUnit::Mm);
        println!("{found:?}");
        let (own, any) = (found.with_your_jaws.unwrap(), found.with_any_jaws.unwrap());
        assert!(any.mandrel_mm < own.mandrel_mm && any.least_clearance_mm > 0.0, "{found:?}");
        assert_eq!(own_join(&plain(own.mandrel_mm)).verdict, JoinAnswer::Passes);
        let before = own_join(&plain(own.mandrel_mm - 0.5));
        assert_ne!(before.verdict, JoinAnswer::Passes);
        assert_eq!((own.bore_mm, own.fold_jaw_mm, own.neck_mm), (2.25, 2.25, 0.0));
    }
}
