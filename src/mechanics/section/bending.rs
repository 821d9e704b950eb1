//! One bend of annealed wire: moment against curvature, and what curvature is residual.
//!
//! M(κ) = 4 r³ ∫₀^{π/2} σ(κ r sin θ) sin θ cos² θ dθ, from y = r sin θ. The elastic core and
//! the level part of the flow curve are integrated in closed form, so an elastic–perfectly
//! plastic metal gives M/M_y = (2/π)[asin s/s + √(1−s²)(5−2s²)/3], s = κ_y/κ, to rounding;
//! the hardening part by Gauss–Legendre in √θ, which takes the root out of εⁿ at zero.
//!
//! Springback: releasing is elastic, so κ_residual = κ − M(κ)/(EI).
//! Source: Gere & Goodno, *Mechanics of Materials*, 8th ed., §6.10 (from memory); re-derived.

use super::round::{RoundSection, SectionError};
use crate::math::{Bracket, Gauss, root_in};
use crate::mechanics::material::FlowCurve;
use std::f64::consts::FRAC_PI_2;

/// Gauss points over the hardening part: the error is below 1e-9 of the moment.
const POINTS: usize = 24;

/// A round section of a metal, bent for the first time since annealing.
#[derive(Clone, Debug)]
pub struct Bending {
    section: RoundSection,
    flow: FlowCurve,
    rule: Gauss,
}

impl Bending {
    /// A section of a metal.
    pub fn new(section: RoundSection, flow: FlowCurve) -> Bending {
        Bending { section, flow, rule: Gauss::new(POINTS) }
    }

    /// The section.
    pub fn section(&self) -> &RoundSection {
        &self.section
    }

    /// The metal's flow curve.
    pub fn flow(&self) -> &FlowCurve {
        &self.flow
    }

    /// EI, N·mm².
    pub fn stiffness(&self) -> f64 {
        self.section.bending_stiffness(self.flow.youngs_modulus())
    }

    /// Curvature at which the outermost fibre yields, 1/mm.
    pub fn yield_curvature(&self) -> f64 {
        self.flow.yield_strain() / self.section.radius()
    }

    /// Moment in N·mm while held at a curvature.
    ///
    /// # Errors
    /// [`SectionError`] for a curvature that is not finite or tighter than the wire's radius.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::material::FlowCurve;
    /// use linkfold::mechanics::section::{Bending, RoundSection};
    /// let section = RoundSection::new(Mm::new(1.0))?;
    /// let flow = FlowCurve::perfectly_plastic(83e3, 124.0).unwrap(); // MPa
    /// let bending = Bending::new(section, flow);
    /// let twice = bending.moment(2.0 * bending.yield_curvature())?;
    /// assert!((twice / section.first_yield_moment(124.0) - 1.493660).abs() < 1e-6);
    /// # Ok::<(), linkfold::mechanics::section::SectionError>(())
    /// ```
    pub fn moment(&self, curvature: f64) -> Result<f64, SectionError> {
        self.section.check_curvature(curvature)?;
        Ok(self.moment_within(curvature))
    }

    fn moment_within(&self, curvature: f64) -> f64 {
        let radius = self.section.radius();
        let edge = curvature.abs() * radius;
        if edge <= self.flow.yield_strain() {
            return self.stiffness() * curvature;
        }
        let core = (self.flow.yield_strain() / edge).asin();
        let level = (self.flow.level_end() / edge).min(1.0).asin();
        let elastic = self.flow.youngs_modulus() * edge * (core / 8.0 - (4.0 * core).sin() / 32.0);
        let flat = self.flow.elastic_limit() * (core.cos().powi(3) - level.cos().powi(3)) / 3.0;
        let hardening: f64 = self
            .rule
            .on(level.sqrt(), FRAC_PI_2.sqrt())
            .map(|(root, weight)| {
                let (sin, cos) = (root * root).sin_cos();
                weight * 2.0 * root * self.flow.stress(edge * sin) * sin * cos * cos
            })
            .sum();
        let hardening = if level < FRAC_PI_2 { hardening } else { 0.0 };
        (4.0 * radius.powi(3) * (elastic + flat + hardening)).copysign(curvature)
    }

    /// Residual curvature, in 1/mm, of a wire bent to `bent` and released.
    ///
    /// # Errors
    /// As [`Bending::moment`].
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::material::FlowCurve;
    /// use linkfold::mechanics::section::{Bending, RoundSection};
    /// let section = RoundSection::new(Mm::new(1.0))?;
    /// let flow = FlowCurve::perfectly_plastic(83e3, 124.0).unwrap(); // MPa
    /// let bending = Bending::new(section, flow);
    /// let radius = 1.0 / bending.residual_curvature(0.5)?; // bent to a radius of 2 mm, then released
    /// assert!((radius - 2.0205).abs() < 1e-4);
    /// # Ok::<(), linkfold::mechanics::section::SectionError>(())
    /// ```
    pub fn residual_curvature(&self, bent: f64) -> Result<f64, SectionError> {
        self.section.check_curvature(bent)?;
        Ok(self.residual_within(bent))
    }

    fn residual_within(&self, bent: f64) -> f64 {
        let residual = bent - self.moment_within(bent) / self.stiffness();
        if bent.abs() <= self.yield_curvature() { 0.0 } else { residual }
    }

    /// Curvature to bend to, in 1/mm, so that `residual` is left after releasing. For a wanted
    /// zero, zero.
    ///
    /// # Errors
    /// [`SectionError::NoSuchResidual`] where the bend would be tighter than the wire's radius.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::material::FlowCurve;
    /// use linkfold::mechanics::section::{Bending, RoundSection};
    /// let section = RoundSection::new(Mm::new(1.0))?;
    /// let flow = FlowCurve::perfectly_plastic(83e3, 124.0).unwrap(); // MPa
    /// let bending = Bending::new(section, flow);
    /// let bend = bending.bend_for(0.5)?;
    /// assert!(bend > 0.5 && (bending.residual_curvature(bend)? - 0.5).abs() < 1e-9);
    /// # Ok::<(), linkfold::mechanics::section::SectionError>(())
    /// ```
    pub fn bend_for(&self, residual: f64) -> Result<f64, SectionError> {
        if !residual.is_finite() {
            return Err(SectionError::NotFinite { field: "residual curvature" });
        }
        if residual == 0.0 {
            return Ok(0.0);
        }
        let tightest = 1.0 / self.section.radius();
        let bracket = Bracket { low: self.yield_curvature().min(tightest), high: tightest };
        // The residual rises with the bend, since dM/dκ never exceeds EI.
        root_in(bracket, |bent| self.residual_within(bent) - residual.abs())
            .map(|bent| bent.copysign(residual))
            .ok_or_else(|| SectionError::NoSuchResidual {
                residual_radius_mm: 1.0 / residual.abs(),
                least_mm: 1.0 / self.residual_within(tightest),
            })
    }
}
