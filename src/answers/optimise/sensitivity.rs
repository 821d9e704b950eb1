//! What to be careful about: how far each figure moves when a dimension is a little off.
//!
//! Both sides are told: at a change of contact a figure moves otherwise one way than the other.
//! Method: differences over a small share of the wire, told per tenth of a millimetre.

use super::evaluation::{Evaluation, alone};
use super::{Dimension, Figure, OptimiseError};
use crate::documents::design::Design;
use serde::{Deserialize, Serialize};

/// How one figure moves with one dimension.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Moves {
    /// Which figure.
    pub figure: Figure,
    /// Its present value.
    pub value: f64,
    /// Change for the dimension 0.1 mm less, by its slope there; none where nothing is there.
    pub less: Option<f64>,
    /// Change for the dimension 0.1 mm more.
    pub more: Option<f64>,
    /// Both sides differ by more than the step explains: a contact changes here.
    pub kinked: bool,
}

/// How every figure moves with one dimension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sensitivity {
    /// Which dimension.
    pub dimension: Dimension,
    /// Its present value, mm.
    pub mm: f64,
    /// The step the slopes were taken over.
    pub step_mm: f64,
    /// Figure by figure; those there are.
    pub moves: Vec<Moves>,
}

/// Step, in wires: so that angles, known to a twentieth of a degree, still show their slope.
const STEP: f64 = 0.02;
/// What slopes are told for, mm.
const PER: f64 = 0.1;
/// Both sides may differ by this share of the larger before it is called a kink.
const DIFFER: f64 = 0.25;

/// How every figure of one size of `design` moves with `dimension`; some tens of milliseconds.
///
/// # Errors
/// [`OptimiseError`] where the size is not there or cannot be formed.
pub fn sensitivity(
    design: &Design,
    size: usize,
    dimension: Dimension,
) -> Result<Sensitivity, OptimiseError> {
    sensitivity_over(design, size, dimension, STEP)
}

/// Likewise over another step, in wires: to see that the step does not matter.
pub fn sensitivity_over(
    design: &Design,
    size: usize,
    dimension: Dimension,
    step: f64,
) -> Result<Sensitivity, OptimiseError> {
    let (own, context) = alone(design, size)?;
    own.formings()?;
    let settings = own.settings()?;
    let (mm, wire) = settings.first().map_or((0.0, 1.0), |s| (dimension.of(s), s.wire));
    let step_mm = step * wire;
    let (least, most) = dimension.limits();
    let at = |by: f64| {
        let moved = mm + by;
        if !(least..=most).contains(&moved) {
            return None;
        }
        let mut design = own.clone();
        dimension.set(&mut design, 0, moved);
        Evaluation::of(&design)
    };
    let (here, below, above) = (Evaluation::of(&own), at(-step_mm), at(step_mm));
    let of = |worked: &Option<Evaluation>, figure| worked.as_ref()?.figure(figure, &context);
    let moves = |&figure: &Figure| {
        let value = of(&here, figure)?;
        let per = |there: f64| (there - value) * PER / step_mm;
        let (less, more) = (of(&below, figure).map(per), of(&above, figure).map(per));
        let kinked = match (less, more) {
            (Some(less), Some(more)) => {
                let rng = 2.0 * grain(figure, value) * PER / step_mm;
                (less + more).abs() > DIFFER * less.abs().max(more.abs()) + rng
            }
            _ => false,
        };
        Some(Moves { figure, value, less, more, kinked })
    };
    Ok(Sensitivity {
        dimension,
        mm,
        step_mm,
        moves: Figure::ALL.iter().filter_map(moves).collect(),
    })
}

/// How finely a figure is known: coils follow from angles.
fn grain(figure: Figure, value: f64) -> f64 {
    match figure {
        Figure::CoilXMm | Figure::CoilYMm | Figure::SupplenessX | Figure::SupplenessY => {
            (4e-3 * value.abs()).max(figure.grain())
        }
        _ => figure.grain(),
    }
}
