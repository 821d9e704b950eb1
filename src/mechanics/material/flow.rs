//! The flow curve: stress against strain for a first, steady pull.
//!
//! σ(ε) = min(E ε, max(σ_y, K εⁿ)): elastic; then level at the yield stress until Hollomon's
//! curve overtakes it; then Hollomon's. Continuous and never falling for 0 ≤ n < 1.
//! K = 0 is the elastic–perfectly plastic metal; σ_y = 0 is pure Hollomon, elastic until the
//! two lines cross at ε = (K/E)^(1/(1−n)). Why the greater of the two: published K and n are
//! fitted at strains of 0.05 and more and run far below the measured yield at 0.002.
//! Source of σ = K εⁿ: Hollomon, Trans. AIME 162 (1945) 268 (the law and year seen in
//! secondary sources, volume and page from memory).

use crate::math::{Bracket, root_in};

/// Stress against strain of annealed metal, the same in pull and push; MPa.
///
/// # Invariants
/// Checked in [`FlowCurve::new`]: E finite and above zero, 0 ≤ n < 1, σ_y and K finite and
/// not negative, one of them above zero; the elastic limit lies below E.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowCurve {
    youngs_modulus: f64,
    yield_stress: f64,
    strength: f64,
    exponent: f64,
    yield_strain: f64,
    level_end: f64,
}

impl FlowCurve {
    /// From E, σ_y, K (MPa) and n; `None` if they are not a flow curve (see the invariants).
    pub fn new(
        youngs_modulus: f64,
        yield_stress: f64,
        strength: f64,
        exponent: f64,
    ) -> Option<Self> {
        let stresses_make_sense = [youngs_modulus, yield_stress, strength]
            .iter()
            .all(|x| x.is_finite() && *x >= 0.0 && *x < 1e9);
        if !(stresses_make_sense && youngs_modulus > 0.0 && (0.0..1.0).contains(&exponent)) {
            return None;
        }
        let level_start = yield_stress / youngs_modulus;
        // Where E ε meets K εⁿ, and where K εⁿ overtakes the yield stress.
        let crossing = (strength / youngs_modulus).powf(1.0 / (1.0 - exponent));
        let yield_strain = level_start.max(crossing);
        let level_end = if crossing >= level_start {
            yield_strain
        } else if strength > 0.0 && exponent > 0.0 {
            (yield_stress / strength).powf(1.0 / exponent)
        } else {
            f64::INFINITY
        };
        let valid = yield_strain > 0.0 && yield_strain < 1.0;
        valid.then_some(FlowCurve {
            youngs_modulus,
            yield_stress,
            strength,
            exponent,
            yield_strain,
            level_end,
        })
    }

    /// Elastic–perfectly plastic: E and σ_y in MPa.
    ///
    /// # Examples
    /// ```
    /// use linkfold::mechanics::material::FlowCurve;
    /// let flow = FlowCurve::perfectly_plastic(83e3, 124.0).unwrap(); // E and yield stress, MPa
    /// assert_eq!(flow.stress(0.1), 124.0);
    /// assert!(FlowCurve::perfectly_plastic(f64::NAN, 124.0).is_none());
    /// ```
    pub fn perfectly_plastic(youngs_modulus: f64, yield_stress: f64) -> Option<Self> {
        FlowCurve::new(youngs_modulus, yield_stress, 0.0, 0.0)
    }

    /// The same metal after it has flowed by `strain` (true strain, every turn added up) without
    /// an anneal: elastic to the stress it had reached, level from there until the first curve
    /// overtakes. Errs a little low beyond that stress, since worked metal goes on hardening.
    ///
    /// # Examples
    /// ```
    /// use linkfold::mechanics::material::FlowCurve;
    /// let annealed = FlowCurve::new(117e3, 75.0, 530.0, 0.44).unwrap(); // copper, MPa
    /// assert!(annealed.worked(0.2).elastic_limit() > annealed.elastic_limit());
    /// ```
    pub fn worked(&self, strain: f64) -> FlowCurve {
        let reached = self.stress(strain.abs()).max(self.elastic_limit());
        FlowCurve::new(self.youngs_modulus, reached, self.strength, self.exponent).unwrap_or(*self)
    }

    /// E, MPa.
    pub fn youngs_modulus(&self) -> f64 {
        self.youngs_modulus
    }

    /// Strain at which it stops being elastic.
    pub fn yield_strain(&self) -> f64 {
        self.yield_strain
    }

    /// Stress at which it stops being elastic, MPa.
    pub fn elastic_limit(&self) -> f64 {
        self.youngs_modulus * self.yield_strain
    }

    /// Strain at which hardening begins; infinite for a perfectly plastic metal.
    pub fn level_end(&self) -> f64 {
        self.level_end
    }

    /// Stress in MPa at a strain of either sign.
    pub fn stress(&self, strain: f64) -> f64 {
        let size = strain.abs();
        let stress = if size <= self.yield_strain {
            self.youngs_modulus * size
        } else if size <= self.level_end {
            self.youngs_modulus * self.yield_strain
        } else {
            self.strength * size.powf(self.exponent)
        };
        stress.copysign(strain)
    }

    /// Stress and slope together, at a strain not below zero: one power instead of two.
    pub fn stress_and_slope(&self, strain: f64) -> (f64, f64) {
        if strain > self.level_end {
            let stress = self.strength * strain.powf(self.exponent);
            (stress, self.exponent * stress / strain)
        } else {
            (self.stress(strain), self.slope(strain))
        }
    }

    /// Slope dσ/dε in MPa; at a corner, the slope beyond it.
    pub fn slope(&self, strain: f64) -> f64 {
        let size = strain.abs();
        if size < self.yield_strain {
            self.youngs_modulus
        } else if size < self.level_end {
            0.0
        } else {
            self.exponent * self.strength * size.powf(self.exponent - 1.0)
        }
    }
}

/// K (MPa) and n of the Hollomon curve through the 0.2 % proof point that necks at the
/// tensile strength: σ_y = K (0.002 + σ_y/E)ⁿ and σ_u = K (n/e)ⁿ, the second being
/// Considère's criterion. `None` unless 0 < σ_y < σ_u ≪ E.
///
/// Against published fits (copper, 70/30 brass) it gives the stress at a strain
/// of 0.2 within about 10 %, at 0.1 up to 26 % too much (`tests/metal.rs`), though K and n themselves differ more.
pub fn hardening_from_tension(
    youngs_modulus: f64,
    yield_stress: f64,
    tensile_strength: f64,
) -> Option<(f64, f64)> {
    let proof_strain = 0.002 + yield_stress / youngs_modulus;
    let sound = yield_stress > 0.0 && tensile_strength > yield_stress && proof_strain < 0.05;
    if !sound {
        return None;
    }
    // n above the proof strain, since necking comes after yield; the ratio rises with n there.
    let ratio = (tensile_strength / yield_stress).ln();
    let excess = |n: f64| n * (n / (std::f64::consts::E * proof_strain)).ln() - ratio;
    let n = root_in(Bracket { low: std::f64::consts::E * proof_strain, high: 0.99 }, excess)?;
    Some((tensile_strength * (std::f64::consts::E / n).powf(n), n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_is_continuous_at_both_corners_and_never_falls() {
        let copper = FlowCurve::new(117e3, 75.0, 530.0, 0.44).unwrap();
        for corner in [copper.yield_strain(), copper.level_end()] {
            let (below, above) =
                (copper.stress(corner * (1.0 - 1e-9)), copper.stress(corner * (1.0 + 1e-9)));
            assert!((above - below).abs() < 1e-6 * below, "{below} {above}");
        }
        let stresses: Vec<f64> = (0..1000).map(|i| copper.stress(f64::from(i) * 5e-4)).collect();
        assert!(stresses.windows(2).all(|w| w[1] >= w[0]));
    }

    #[test]
    fn worked_metal_yields_at_the_stress_it_had_reached() {
        let copper = FlowCurve::new(117e3, 75.0, 530.0, 0.44).unwrap();
        let worked = copper.worked(0.3);
        assert!((worked.elastic_limit() - copper.stress(0.3)).abs() < 1e-9);
        assert_eq!(copper.worked(0.0), copper);
        assert_eq!(copper.worked(f64::NAN).youngs_modulus(), 117e3);
    }

    #[test]
    fn nonsense_is_no_flow_curve() {
        for (e, y, k, n) in [
            (f64::NAN, 1.0, 0.0, 0.0),
            (1e5, 0.0, 0.0, 0.0),
            (1e5, 1.0, 0.0, 1.0),
            (0.0, 1.0, 0.0, 0.0),
            (1e5, 2e5, 0.0, 0.0),
            (1e5, f64::INFINITY, 0.0, 0.0),
        ] {
            assert_eq!(FlowCurve::new(e, y, k, n), None);
        }
    }
}
