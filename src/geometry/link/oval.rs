//! The oval: the ring stretched over two round jaws.
//!
//! Four tangent arcs. The ends follow the jaws (radius `r`); each side is an arc of half
//! turn φ, from a circle (φ = π/2, the ends have no length yet) to the taut stadium
//! (φ = 0, the sides are straight). With half length `a`, a quarter of the length is
//!
//! ```text
//! L/4 = r π/2 + (a − r) φ / sin φ
//! ```
//!
//! Derivation: the side's radius is `r₂ = r + (a − r)/sin φ`, as its centre lies on the
//! minor axis and in line with the end's; the quarter is `r₂ φ + r (π/2 − φ)`.

use super::quarter::{QuarterOutline, close_quarter};
use super::{FormError, Obstacle, Ring, ToolDimension};
use crate::geometry::curve::{ClosedCurve, Point};
use crate::math::units::Mm;
use crate::math::{Bracket, root_in};
use std::f64::consts::FRAC_PI_2;

/// Sides that turn by less (radians) are straight: the length differs by φ²/6, under 2e-7, and
/// the centre of a flatter arc would lie too far off for its end to be known to 1e-12.
const STRAIGHT_ENOUGH: f64 = 1e-3;

/// An oval, part-stretched or taut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Oval {
    wire: f64,
    quarter: f64,
    end_radius: f64,
    side_half_turn: f64,
}

impl Oval {
    /// `ring` stretched to the inside length `inside_length` over jaws of diameter `jaw`, mm;
    /// fully taut when no length is given.
    ///
    /// # Errors
    /// The ring does not go round the jaws, or the length lies outside what stretching gives.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Oval, Ring};
    /// let ring = Ring::off_mandrel(1.0, 12.0, 0.0, 0.0)?;
    /// let taut = Oval::stretched(&ring, 3.0, None)?; // over jaws of 3 mm
    /// // A stadium: two half circles of radius 2 and two sides.
    /// let side = (ring.centreline - 4.0 * std::f64::consts::PI) / 2.0;
    /// assert!((taut.inside_length() - (side + 3.0)).abs() < 1e-9);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn stretched(ring: &Ring, jaw: f64, inside_length: Option<f64>) -> Result<Oval, FormError> {
        let taut = Oval::taut(ring, jaw)?;
        let Some(inside_length) = inside_length else { return Ok(taut) };
        let (least, most) = (ring.inside_diameter(), taut.inside_length());
        // A maker copies three decimals back from the report: that much rounding is forgiven.
        const ROUNDING: f64 = 1e-3;
        if !(inside_length >= least - ROUNDING) {
            return Err(FormError::TooSmall {
                dimension: ToolDimension::OvalLength,
                value: Mm::new(inside_length),
                least: Mm::new(least),
                obstacle: Obstacle::ShorterThanRing,
            });
        }
        if !(inside_length <= most + ROUNDING) {
            return Err(FormError::TooLarge {
                dimension: ToolDimension::OvalLength,
                value: Mm::new(inside_length),
                most: Mm::new(most),
                obstacle: Obstacle::LongerThanTaut,
            });
        }
        let half =
            (0.5 * (inside_length + ring.wire)).clamp(ring.radius(), 0.5 * (most + ring.wire));
        let sine_ratio = (taut.quarter - taut.end_radius * FRAC_PI_2) / (half - taut.end_radius);
        // φ/sin φ runs from 1 (taut) to π/2 (round) and is monotone between.
        let excess = |phi: f64| phi / phi.sin() - sine_ratio;
        let side_half_turn = root_in(Bracket { low: STRAIGHT_ENOUGH, high: FRAC_PI_2 }, excess)
            .unwrap_or(if sine_ratio > 1.5 { FRAC_PI_2 } else { 0.0 });
        Ok(Oval { side_half_turn, ..taut })
    }

    /// The oval between the ring and `self`: 0 is the ring, 1 is `self`.
    pub fn part_way(&self, fraction: f64) -> Oval {
        let fraction = fraction.clamp(0.0, 1.0);
        let phi = FRAC_PI_2 + fraction * (self.side_half_turn - FRAC_PI_2);
        Oval { side_half_turn: if phi < STRAIGHT_ENOUGH { 0.0 } else { phi }, ..*self }
    }

    /// The same jaws and sides in a wire whose centreline is as long as that of `ring`.
    pub(super) fn of_length(&self, ring: &Ring) -> Oval {
        Oval { quarter: 0.25 * ring.centreline, ..*self }
    }

    fn taut(ring: &Ring, jaw: f64) -> Result<Oval, FormError> {
        let end_radius = 0.5 * (jaw + ring.wire);
        if !(end_radius < ring.radius()) {
            return Err(FormError::TooLarge {
                dimension: ToolDimension::OvalJaw,
                value: Mm::new(jaw),
                most: Mm::new(ring.inside_diameter()),
                obstacle: Obstacle::JawsTooThick,
            });
        }
        let quarter = 0.25 * ring.centreline;
        Ok(Oval { wire: ring.wire, quarter, end_radius, side_half_turn: 0.0 })
    }

    /// Half the length of the centreline's outline, mm.
    fn half_length(&self) -> f64 {
        let phi = self.side_half_turn;
        let sinc = if phi == 0.0 { 1.0 } else { phi.sin() / phi };
        self.end_radius + (self.quarter - self.end_radius * FRAC_PI_2) * sinc
    }

    /// Inside length, mm.
    pub fn inside_length(&self) -> f64 {
        2.0 * self.half_length() - self.wire
    }

    /// Inside width, mm.
    pub fn inside_width(&self) -> f64 {
        2.0 * self.half_width() - self.wire
    }

    fn half_width(&self) -> f64 {
        // r₂ (1 − cos φ) + r cos φ, with r₂ φ the side's length: stays finite when r₂ does not.
        let phi = self.side_half_turn;
        let side = self.quarter - self.end_radius * (FRAC_PI_2 - phi);
        let rise = if phi == 0.0 { 0.0 } else { (1.0 - phi.cos()) / phi };
        side * rise + self.end_radius * phi.cos()
    }

    /// The centreline, in the (u, v) plane.
    pub fn curve(&self) -> ClosedCurve {
        let phi = self.side_half_turn;
        let end_turn = FRAC_PI_2 - phi;
        let side = self.quarter - self.end_radius * end_turn;
        let mut quarter = QuarterOutline::from(Point::new(0.0, self.half_width(), 0.0));
        quarter.run(side, -phi);
        quarter.run(self.end_radius * end_turn, -end_turn);
        close_quarter(&quarter.pieces)
    }
}
