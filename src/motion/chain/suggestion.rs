//! What to change where a chain does not lie: one dimension at a time, all others kept, or bore
//! and fold jaw together where neither is enough alone.

use super::measures::seated_clearance;
use super::{Body, Weave};
use crate::geometry::link::{Forming, ToolDimension, ToolDimensions};
use crate::math::units::Mm;

/// One change that makes it lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChainSuggestion {
    /// Which dimension.
    pub dimension: ToolDimension,
    /// The value, mm, nearest the present one found to make it lie, to half a percent beyond.
    pub value: Mm,
    /// A second dimension that must change with it, and to what.
    pub with: Option<(ToolDimension, Mm)>,
}

/// Largest step in the search; a window of good values narrower than this may be missed.
const STEP: f64 = 1.1;
/// Steps: to a little over twice the present value, or under half of it.
const STEPS: i32 = 8;
/// Halvings of the last step: to a third of a percent.
const HALVINGS: u32 = 5;

/// Dimensions changed together by one factor; the wire is made thinner, the others larger.
type Dimensions = &'static [ToolDimension];

/// What there is of a larger mandrel, a wider bore, a thicker fold jaw, and both of these at
/// once where neither does alone; thinner wire only where no jaws do. Empty where none of that
/// helps within twice its value. `opened` gives changed tools what their ring opens by.
pub fn suggestions(
    setting: &ToolDimensions,
    weave: Weave,
    opened: &dyn Fn(ToolDimensions) -> Option<ToolDimensions>,
) -> Vec<ChainSuggestion> {
    use ToolDimension::{Bore, FoldJaw, Mandrel, Wire};
    let scaled = |dimension: ToolDimension, factor: f64| {
        let factor = if dimension == Wire { 1.0 / factor } else { factor };
        dimension.of(setting).map(|own| own * factor)
    };
    let suggestion = |change: Dimensions| {
        let lies = |factor: f64| {
            let changed = change.iter().fold(*setting, |tools, &dimension| {
                scaled(dimension, factor).map_or(tools, |mm| dimension.set(&tools, mm))
            });
            opened(changed)
                .and_then(|tools| Forming::new(tools).ok())
                .is_some_and(|formed| seated_clearance(&Body::of(&formed.fold), weave) >= 0.0)
        };
        let mut high = (1..=STEPS).map(|k| STEP.powi(k)).find(|factor| lies(*factor))?;
        let mut low = high / STEP;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if lies(middle) { high = middle } else { low = middle }
        }
        let mut changed = change.iter().filter_map(|&d| Some((d, Mm::new(scaled(d, high)?))));
        let (dimension, value) = changed.next()?;
        Some(ChainSuggestion { dimension, value, with: changed.next() })
    };
    let jaws: [Dimensions; 2] = [&[Bore], &[FoldJaw]];
    let mut found: Vec<ChainSuggestion> = jaws.into_iter().filter_map(suggestion).collect();
    if found.is_empty() {
        found.extend(suggestion(&[Bore, FoldJaw]));
    }
    let others: &[Dimensions] =
        if found.is_empty() { &[&[Mandrel], &[Wire]] } else { &[&[Mandrel]] };
    found.splice(0..0, others.iter().copied().filter_map(suggestion));
    found
}
