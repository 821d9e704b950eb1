//! Strain along the link, step by step.

use super::shaping::PlacewiseBend;
use crate::geometry::link::Fold;
use crate::mechanics::material::FlowCurve;
use crate::mechanics::ring_rod::RodShape;

/// A step in which the metal is bent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FormingStep {
    /// Straight wire round the mandrel.
    Wind,
    /// Ring to oval.
    Stretch,
    /// Oval to eight.
    Pinch,
    /// The leading lobe pressed narrow, to be threaded.
    Press,
    /// Eight to folded loop.
    Fold,
    /// The leading lobe opened again, in its place.
    Open,
}

/// Strain of the outermost fibre along a quarter of the link, evenly from the waist's middle
/// (first) to the tip (last).
#[derive(Clone, Debug, PartialEq)]
pub struct StepStrain {
    /// The step.
    pub step: FormingStep,
    /// Whether the wire was annealed just before it.
    pub annealed_before: bool,
    /// Bent away from the last annealed shape, while the tool holds it.
    pub outer: Vec<f64>,
    /// Plastic strain in the plane of the ring, added up since the last anneal.
    pub in_plane: Vec<f64>,
    /// Plastic strain of the fold, likewise.
    pub across: Vec<f64>,
}

impl StepStrain {
    /// Round the mandrel: everywhere the same.
    pub(super) fn wound(outer: f64, flow: FlowCurve) -> StepStrain {
        let plastic = (outer - flow.stress(outer) / flow.youngs_modulus()).max(0.0);
        StepStrain {
            step: FormingStep::Wind,
            annealed_before: true,
            outer: vec![outer; 2],
            in_plane: vec![plastic; 2],
            across: vec![0.0; 2],
        }
    }

    /// In the plane: `loaded` with the curvatures at which it was annealed, and `released`.
    pub(super) fn bent(
        step: FormingStep,
        annealed_before: bool,
        radius: f64,
        (loaded, annealed): (&RodShape, &[f64]),
        released: &RodShape,
    ) -> StepStrain {
        let bends = loaded.curvatures.iter().zip(annealed);
        StepStrain {
            step,
            // Soldering the ring has annealed it.
            annealed_before: annealed_before || step == FormingStep::Stretch,
            outer: bends.map(|(now, then)| radius * (now - then).abs()).collect(),
            in_plane: released.plastic_strains.clone(),
            across: vec![0.0; released.plastic_strains.len()],
        }
    }

    /// After the step `before`, the places bent one by one; where the wire was annealed just before,
    /// nothing is carried on.
    pub(super) fn further(
        step: FormingStep,
        annealed_before: bool,
        before: &StepStrain,
        bent: PlacewiseBend,
    ) -> StepStrain {
        let PlacewiseBend { mut outer, plastic, added } = bent;
        let carried = before.in_plane.iter().zip(added).map(|(carried, added)| carried + added);
        if !annealed_before {
            let more = outer.iter_mut().zip(&before.outer);
            more.for_each(|(now, then)| *now = now.max(*then));
        }
        StepStrain {
            step,
            annealed_before,
            outer,
            in_plane: if annealed_before { plastic } else { carried.collect() },
            across: if annealed_before {
                vec![0.0; before.across.len()]
            } else {
                before.across.clone()
            },
        }
    }

    /// Across the plane: the wrap κ_n = cos²φ/R of the part that lies on the jaw, with what the
    /// flat eight brings (strain of its outermost fibre as released, plastic strain), unless it was
    /// annealed.
    pub(super) fn folded(
        fold: &Fold,
        before: Option<(&[f64], &[f64])>,
        flat: &RodShape,
        flow: &FlowCurve,
    ) -> StepStrain {
        let radius = 0.5 * fold.eight.wire;
        let edge = fold.radius * fold.half_angle;
        let count = flat.points.len();
        let wrap: Vec<f64> = (0..count)
            .map(|i| {
                let (a, b) =
                    (flat.points[i.saturating_sub(1)], flat.points[(i + 1).min(count - 1)]);
                let (along, across) = (b[0] - a[0], b[1] - a[1]);
                let on_jaw = flat.points[i][0] <= edge;
                let square = along * along / (along * along + across * across).max(1e-300);
                if on_jaw { radius * square / fold.radius } else { 0.0 }
            })
            .collect();
        let (outer, in_plane) = match before {
            Some((outer, in_plane)) => (
                outer.iter().zip(&wrap).map(|(outer, wrap)| outer.hypot(*wrap)).collect(),
                in_plane.to_vec(),
            ),
            None => (wrap.clone(), vec![0.0; count]),
        };
        StepStrain {
            step: FormingStep::Fold,
            annealed_before: before.is_none(),
            outer,
            in_plane,
            across: wrap.iter().map(|strain| (strain - flow.yield_strain()).max(0.0)).collect(),
        }
    }

    /// Plastic strain of the worst fibre at each place since the last anneal.
    pub fn plastic(&self) -> impl Iterator<Item = f64> + '_ {
        self.in_plane.iter().zip(&self.across).map(|(a, b)| a.hypot(*b))
    }

    /// Greatest plastic strain, and where, as a share of the whole way round.
    pub fn plastic_peak(&self) -> (f64, f64) {
        peak(self.plastic())
    }

    /// Greatest strain while held, and where.
    pub fn outer_peak(&self) -> (f64, f64) {
        peak(self.outer.iter().copied())
    }
}

fn peak(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (mut best, mut at, mut last) = (0.0, 0, 0);
    for (i, value) in values.enumerate() {
        if value > best {
            (best, at) = (value, i);
        }
        last = i;
    }
    (best, 0.25 * at as f64 / last.max(1) as f64)
}
