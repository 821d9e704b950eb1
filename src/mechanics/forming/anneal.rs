//! When to anneal: as late as the metal allows, step by step.

use super::FormingAnalysis;
use super::strain::FormingStep;

/// Steps that ask too much, and what would help.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// Anneal before each of these.
    pub before: Vec<FormingStep>,
    /// These ask more than annealed metal takes: no anneal helps, a gentler jaw does.
    pub too_hard: Vec<FormingStep>,
    /// Strain that is left of the allowance at the worst step, done as advised; below zero where a step
    /// is too hard.
    pub margin: f64,
    /// The same as the design has it.
    pub margin_as_designed: f64,
    /// The worst step as the design has it, and where along the link (share of the way round).
    pub worst: (FormingStep, f64),
}

/// Advises on `working` with the likely metal: an anneal before every step at whose end the
/// strain added up would pass the allowance, if the step alone would not have to.
///
/// # Examples
/// ```
/// use linkfold::geometry::link::ToolDimensions;
/// use linkfold::mechanics::forming::{Anneals, FormingAnalysis, advise};
/// use linkfold::mechanics::material::known_metal;
/// let silver = known_metal("sterling-silver").unwrap();
/// let tools = ToolDimensions::usual(1.0, 12.0);
/// let analysis = FormingAnalysis::of(&tools, &silver, Anneals::default())?;
/// let advice = advise(&analysis);
/// assert!(advice.margin >= advice.margin_as_designed);
/// # Ok::<(), linkfold::mechanics::forming::FormingError>(())
/// ```
pub fn advise(working: &FormingAnalysis) -> Advice {
    let run = working.likely();
    let allowance = working.allowance().likely;
    let (mut before, mut too_hard) = (Vec::new(), Vec::new());
    let (mut margin, mut as_designed) = (f64::INFINITY, f64::INFINITY);
    let mut worst = (FormingStep::Wind, 0.0);
    let mut carried: Vec<f64> = Vec::new();
    let mut earlier: Option<&Vec<f64>> = None;
    for strain in &run.strains {
        let (peak, at) = strain.plastic_peak();
        if allowance - peak < as_designed {
            (as_designed, worst) = (allowance - peak, (strain.step, at));
        }
        // What this step alone adds in the plane of the ring.
        let own: Vec<f64> = match earlier {
            Some(earlier) if !strain.annealed_before => strain
                .in_plane
                .iter()
                .zip(earlier)
                .map(|(now, then)| (now - then).max(0.0))
                .collect(),
            _ => strain.in_plane.clone(),
        };
        earlier = Some(&strain.in_plane);
        let alone = greatest(&own, &strain.across);
        let fresh = strain.annealed_before;
        let summed: Vec<f64> = if fresh || carried.len() != own.len() {
            own.clone()
        } else {
            own.iter().zip(&carried).map(|(own, carried)| own + carried).collect()
        };
        let mut reached = greatest(&summed, &strain.across);
        carried = summed;
        if reached > allowance && !fresh {
            before.push(strain.step);
            (reached, carried) = (alone, own);
        }
        if alone > allowance {
            too_hard.push(strain.step);
        }
        margin = margin.min(allowance - reached);
    }
    Advice { before, too_hard, margin, margin_as_designed: as_designed, worst }
}

fn greatest(in_plane: &[f64], across: &[f64]) -> f64 {
    in_plane.iter().zip(across).map(|(a, b)| a.hypot(*b)).fold(0.0, f64::max)
}
