//! A section that remembers: bent, released, bent the other way.
//!
//! The section is cut into layers at heights y_i = r cos(iπ/(n+1)), weighted with
//! π/(n+1)·sin²: the Gauss–Chebyshev rule of the second kind, whose weight √(1−η²) is the
//! chord of a circle. Elastic moments are exact with one layer; past yield the kink at the
//! elastic core leaves an error of order 1/n². Bending alone keeps the stress odd about the
//! middle, so only the upper half is stored.
//!
//! Each layer follows the flow curve f. With e the strain reached on f, b the back stress
//! and ρ the half-width of the elastic range, a trial stress s beyond ρ gives
//! Δe = (|s − b| − ρ)/E and a rise f(e+Δe) − f(e), exactly, for any f: plastic strain is
//! Δe less the rise over E. Isotropic metal adds the whole rise to ρ; mixed metal half to ρ
//! and half to b, so that after any bend it yields backwards at the first yield stress, which
//! is how the Bauschinger effect shows. Isotropic is the harder of the two on reversal and
//! the default, since chain wire has no reversal data to choose by. Adding all of the rise to
//! b is not offered: metal that hardens as much as annealed silver would then yield
//! backwards before it is released.

use super::round::RoundSection;
use crate::math::{Bracket, root_in};
use crate::mechanics::material::FlowCurve;
use std::f64::consts::PI;

/// What hardening does when the bend is reversed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Reversal {
    /// The elastic range widens the same on both sides.
    #[default]
    Isotropic,
    /// The elastic range moves along and widens by half as much (Bauschinger effect).
    Mixed,
}

/// One stored height of the section.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Height {
    /// Above the middle, mm.
    y: f64,
    /// Moment per unit stress, mm³, of this layer and its mirror image.
    arm: f64,
}

/// A section cut into layers: shared by every place along a wire.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionLayers {
    flow: FlowCurve,
    reversal: Reversal,
    heights: Vec<Height>,
    stiffness: f64,
    radius: f64,
}

/// What one layer remembers.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Layer {
    plastic: f64,
    reached: f64,
    /// f(reached), kept to save a power.
    reached_stress: f64,
    back: f64,
}

/// What one place along the wire remembers since it was annealed.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionState {
    layers: Vec<Layer>,
    annealed_curvature: f64,
    curvature: f64,
    turned: f64,
}

/// Moment and tangent stiffness at a curvature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionResponse {
    /// N·mm.
    pub moment: f64,
    /// dM/dκ, N·mm².
    pub stiffness: f64,
}

impl SectionState {
    /// Curvature at which it was last settled, 1/mm.
    pub fn curvature(&self) -> f64 {
        self.curvature
    }

    /// Change of curvature since annealing, every turn counted as positive, 1/mm.
    pub fn turned(&self) -> f64 {
        self.turned
    }
}

impl SectionLayers {
    /// A section with `layers` layers over its whole height; 16 is within 0.6 % of the
    /// closed form past yield, and more converge. Odd counts are rounded up; at least 2.
    pub fn new(
        section: &RoundSection,
        flow: FlowCurve,
        reversal: Reversal,
        layers: usize,
    ) -> SectionLayers {
        let half = layers.clamp(2, 10_000).div_ceil(2);
        let count = 2 * half;
        let radius = section.radius();
        let heights = (1..=half)
            .map(|i| {
                let (sin, cos) = (i as f64 * PI / (count as f64 + 1.0)).sin_cos();
                let weight = PI / (count as f64 + 1.0) * sin * sin;
                // 2 for the chord's two sides, 2 for the mirror image below the middle.
                Height { y: radius * cos, arm: 4.0 * radius.powi(3) * weight * cos }
            })
            .collect();
        let stiffness = section.bending_stiffness(flow.youngs_modulus());
        SectionLayers { flow, reversal, heights, stiffness, radius }
    }

    /// EI, N·mm².
    pub fn stiffness(&self) -> f64 {
        self.stiffness
    }

    /// A stress-free section whose annealed shape has this curvature, 1/mm.
    pub fn annealed(&self, curvature: f64) -> SectionState {
        let virgin = Layer {
            plastic: 0.0,
            reached: self.flow.yield_strain(),
            reached_stress: self.flow.elastic_limit(),
            back: 0.0,
        };
        SectionState {
            layers: vec![virgin; self.heights.len()],
            annealed_curvature: curvature,
            curvature,
            turned: 0.0,
        }
    }

    /// Where a layer goes for a strain, its stress and its slope.
    fn follow(&self, layer: &Layer, strain: f64) -> (Layer, f64, f64) {
        let e = self.flow.youngs_modulus();
        let trial = e * (strain - layer.plastic);
        let reached_stress = layer.reached_stress;
        let half_width = match self.reversal {
            Reversal::Isotropic => reached_stress,
            Reversal::Mixed => 0.5 * (reached_stress + self.flow.elastic_limit()),
        };
        let off = trial - layer.back;
        let over = off.abs() - half_width;
        if over <= 0.0 {
            return (*layer, trial, e);
        }
        let reached = layer.reached + over / e;
        let (stress, slope) = self.flow.stress_and_slope(reached);
        let rise = stress - reached_stress;
        let back = match self.reversal {
            Reversal::Isotropic => layer.back,
            Reversal::Mixed => layer.back + (0.5 * rise).copysign(off),
        };
        let plastic = layer.plastic + ((over - rise) / e).copysign(off);
        (Layer { plastic, reached, reached_stress: stress, back }, e * (strain - plastic), slope)
    }

    /// Moment and stiffness if the section went from its settled state to `curvature`.
    pub fn respond(&self, state: &SectionState, curvature: f64) -> SectionResponse {
        let change = curvature - state.annealed_curvature;
        let (mut moment, mut stiffness) = (0.0, 0.0);
        for (height, layer) in self.heights.iter().zip(&state.layers) {
            let (_, stress, slope) = self.follow(layer, height.y * change);
            moment += height.arm * stress;
            stiffness += height.arm * height.y * slope;
        }
        SectionResponse { moment, stiffness }
    }

    /// Takes the section to `curvature` and remembers it; the moment there, N·mm.
    pub fn settle(&self, state: &mut SectionState, curvature: f64) -> f64 {
        let change = curvature - state.annealed_curvature;
        let mut moment = 0.0;
        for (height, layer) in self.heights.iter().zip(&mut state.layers) {
            let (after, stress, _) = self.follow(layer, height.y * change);
            *layer = after;
            moment += height.arm * stress;
        }
        state.turned += (curvature - state.curvature).abs();
        state.curvature = curvature;
        moment
    }

    /// Releases it: takes the section to where its moment is zero; the residual curvature, 1/mm.
    pub fn release(&self, state: &mut SectionState) -> f64 {
        let start = state.curvature;
        let moment = self.respond(state, start).moment;
        let elastic = moment / self.stiffness;
        // Elastic unless a layer yields on the way back; then a little further.
        let mut far = start - elastic;
        let mut reach = elastic;
        for _ in 0..60 {
            if self.respond(state, far).moment * moment <= 0.0 {
                break;
            }
            reach *= 2.0;
            far = start - reach;
        }
        let bracket = Bracket { low: start.min(far), high: start.max(far) };
        let rest = root_in(bracket, |k| self.respond(state, k).moment).unwrap_or(far);
        self.settle(state, rest);
        rest
    }

    /// Plastic strain of the outermost fibre added up over every turn since annealing, elastic
    /// shares left out: read at the outermost layer and carried on to the surface in proportion
    /// to height, which errs high by the elastic share of that last step.
    pub fn plastic_strain(&self, state: &SectionState) -> f64 {
        let (Some(height), Some(layer)) = (self.heights.first(), state.layers.first()) else {
            return 0.0;
        };
        let elastic_rise =
            (layer.reached_stress - self.flow.elastic_limit()) / self.flow.youngs_modulus();
        let flowed = layer.reached - self.flow.yield_strain() - elastic_rise;
        flowed.max(0.0) * self.radius / height.y
    }

    /// Strain of the outermost fibre added up over every turn since annealing.
    pub fn outer_strain(&self, state: &SectionState) -> f64 {
        self.radius * state.turned
    }
}
