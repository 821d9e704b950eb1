//! The round section: its area, its stiffness and its two moments.

use crate::math::units::{LARGEST_MM, Mm};
use std::f64::consts::PI;

/// The section of a round wire.
///
/// # Invariants
/// The diameter is finite, above zero and at most [`LARGEST_MM`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoundSection {
    diameter: f64,
}

/// Why a diameter or a bend is outside what a round section can answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SectionError {
    /// Not a wire.
    #[error("wire diameter is {diameter}; it must be above 0 mm and at most {most}")]
    Diameter {
        /// The diameter given.
        diameter: Mm,
        /// Greatest accepted.
        most: Mm,
    },
    /// A curvature or an angle that is not a number, or is infinite.
    #[error("{field} must be a finite number")]
    NotFinite {
        /// Name of the quantity.
        field: &'static str,
    },
    /// A bend of the centreline tighter than the wire's own radius.
    #[error(
        "a bend of radius {radius_mm:.3} mm folds this wire into itself; at least {least} works"
    )]
    BendTooTight {
        /// Centreline radius asked for, mm.
        radius_mm: f64,
        /// Least possible: half the wire's diameter.
        least: Mm,
    },
    /// No bend leaves this much: it would have to be tighter than the wire's own radius.
    #[error(
        "no bend of this wire keeps a radius of {residual_radius_mm:.3} mm; the tightest keeps {least_mm:.3} mm"
    )]
    NoSuchResidual {
        /// Centreline radius wanted after springback, mm.
        residual_radius_mm: f64,
        /// What the tightest bend leaves, mm.
        least_mm: f64,
    },
}

impl RoundSection {
    /// The section of a wire of this diameter.
    ///
    /// # Errors
    /// [`SectionError::Diameter`] unless it is above zero and at most [`LARGEST_MM`].
    pub fn new(diameter: Mm) -> Result<RoundSection, SectionError> {
        let fits = diameter.get() > 0.0 && diameter.get() <= LARGEST_MM;
        let most = Mm::new(LARGEST_MM);
        fits.then_some(RoundSection { diameter: diameter.get() })
            .ok_or(SectionError::Diameter { diameter, most })
    }

    /// Wire diameter, mm.
    pub fn diameter(&self) -> f64 {
        self.diameter
    }

    /// Wire radius, mm.
    pub fn radius(&self) -> f64 {
        0.5 * self.diameter
    }

    /// Area, mm²: π d²/4.
    pub fn area(&self) -> f64 {
        0.25 * PI * self.diameter.powi(2)
    }

    /// Second moment of area about a diameter, mm⁴: π d⁴/64.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::section::RoundSection;
    /// let section = RoundSection::new(Mm::new(1.0))?;
    /// assert!((section.second_moment() - std::f64::consts::PI / 64.0).abs() < 1e-15); // π d⁴ / 64
    /// # Ok::<(), linkfold::mechanics::section::SectionError>(())
    /// ```
    pub fn second_moment(&self) -> f64 {
        PI * self.diameter.powi(4) / 64.0
    }

    /// Polar second moment, mm⁴: π d⁴/32.
    pub fn polar_moment(&self) -> f64 {
        2.0 * self.second_moment()
    }

    /// EI in N·mm² for a Young's modulus in MPa.
    pub fn bending_stiffness(&self, youngs_modulus: f64) -> f64 {
        youngs_modulus * self.second_moment()
    }

    /// Moment at which the outermost fibre yields, N·mm: σ_y π d³/32.
    pub fn first_yield_moment(&self, yield_stress: f64) -> f64 {
        yield_stress * PI * self.diameter.powi(3) / 32.0
    }

    /// Moment with every fibre at the yield stress, N·mm: σ_y d³/6.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::section::RoundSection;
    /// let section = RoundSection::new(Mm::new(1.0))?;
    /// // The shape factor of a round section is 16 / (3 π).
    /// let factor = section.plastic_moment(124.0) / section.first_yield_moment(124.0);
    /// assert!((factor - 1.697653).abs() < 1e-6);
    /// # Ok::<(), linkfold::mechanics::section::SectionError>(())
    /// ```
    pub fn plastic_moment(&self, yield_stress: f64) -> f64 {
        yield_stress * self.diameter.powi(3) / 6.0
    }

    /// Refuses what is not a number and what is tighter than the wire's own radius.
    pub(super) fn check_curvature(&self, curvature: f64) -> Result<(), SectionError> {
        if !curvature.is_finite() {
            return Err(SectionError::NotFinite { field: "curvature" });
        }
        if curvature.abs() * self.radius() > 1.0 {
            let radius_mm = 1.0 / curvature.abs();
            return Err(SectionError::BendTooTight { radius_mm, least: Mm::new(self.radius()) });
        }
        Ok(())
    }
}
