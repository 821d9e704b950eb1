//! What to change where a chain does not lie: one dimension at a time, all others kept, or bore
//! and fold jaw together where neither is enough alone.

use super::measures::has_room;
use super::{Body, Weave};
use crate::geometry::link::{Forming, ToolDimensions};
use crate::math::units::Mm;

/// One change that cures it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChainSuggestion {
    /// Which dimension, as named in the design; `wire` for the wire's diameter.
    pub field: &'static str,
    /// The value nearest the present one found to cure it, to half a percent beyond.
    pub value: Mm,
    /// A second dimension that must change with it, and to what.
    pub with: Option<(&'static str, Mm)>,
}

/// Largest step in the search; a window of good values narrower than this may be missed.
const STEP: f64 = 1.1;
/// Steps: to a little over twice the present value, or under half of it.
const STEPS: i32 = 8;
/// Halvings of the last step: to a third of a percent.
const HALVINGS: u32 = 5;

type Change = (&'static str, fn(&mut ToolDimensions, f64) -> f64);

/// What there is of a larger mandrel, a wider bore, a thicker fold jaw, and both of these at
/// once where neither does alone; thinner wire only where no jaws do. Empty where none of that
/// helps within twice its value.
pub fn suggestions(setting: &ToolDimensions, weave: Weave) -> Vec<ChainSuggestion> {
    fn times(value: &mut f64, factor: f64) -> f64 {
        *value *= factor;
        *value
    }
    let jaws: [Change; 2] = [
        ("bore_mm", |s, factor| times(&mut s.bore, factor)),
        ("fold_jaw_mm", |s, factor| times(&mut s.fold_jaw, factor)),
    ];
    let both: Change = ("bore_mm", |s, factor| {
        times(&mut s.fold_jaw, factor);
        times(&mut s.bore, factor)
    });
    let mandrel: Change = ("mandrel_mm", |s, factor| times(&mut s.mandrel, factor));
    let wire: Change = ("wire", |s, factor| times(&mut s.wire, 1.0 / factor));
    let suggestion = |(field, change): Change| {
        let lies = |factor: f64| {
            let mut changed = *setting;
            change(&mut changed, factor);
            Forming::new(changed).is_ok_and(|f| has_room(&Body::of(&f.fold), weave))
        };
        let mut high = (1..=STEPS).map(|k| STEP.powi(k)).find(|factor| lies(*factor))?;
        let mut low = high / STEP;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if lies(middle) { high = middle } else { low = middle }
        }
        let value = change(&mut setting.clone(), high);
        Some((high, ChainSuggestion { field, value: Mm::new(value), with: None }))
    };
    let mut found: Vec<ChainSuggestion> =
        jaws.into_iter().filter_map(suggestion).map(|(_, alone)| alone).collect();
    if found.is_empty()
        && let Some((factor, alone)) = suggestion(both)
    {
        let with = Some(("fold_jaw_mm", Mm::new(factor * setting.fold_jaw)));
        found.push(ChainSuggestion { with, ..alone });
    }
    let others = if found.is_empty() { vec![mandrel, wire] } else { vec![mandrel] };
    found.splice(0..0, others.into_iter().filter_map(suggestion).map(|(_, alone)| alone));
    found
}
