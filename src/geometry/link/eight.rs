//! The figure eight: the taut oval pinched at its middle, from outside.
//!
//! A quarter curve from the waist to the tip: a concave arc (radius `ρ`, turn `θ`), a
//! straight `s`, a convex end arc (radius `r`, turn `θ + π/2`):
//!
//! ```text
//! w/2 + ρ (1 − cos θ) + s sin θ = r cos θ
//! ρ θ + s + r (θ + π/2) = L/4
//! tip at X = ρ sin θ + s cos θ + r (1 + sin θ)
//! ```
//!
//! With `s` from the second line, the first is `f(θ) = 0` with `f′ = s cos θ ≥ 0`: one root
//! at most. It exists when the ring is long enough to turn with no straight left, which
//! gives the least length in closed form.

use super::oval::heading;
use super::{FormError, Obstacle, Ring, ToolDimension, WireRegion};
use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Straight, Vector};
use crate::math::units::Mm;
use crate::math::{Bracket, root_in};
use std::f64::consts::FRAC_PI_2;

/// A figure eight, pinched part-way or wholly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eight {
    /// Wire diameter, mm.
    pub wire: f64,
    /// Distance between the wire centres at the waist, mm.
    pub waist: f64,
    /// Centreline radius of the lobe ends, mm.
    pub end_radius: f64,
    pinch_radius: f64,
    turn: f64,
    straight: f64,
}

/// The tools and the waist that make a figure eight, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pinch {
    /// Bore of the lobes.
    pub bore: f64,
    /// Clear gap between the two wires at the waist.
    pub waist_gap: f64,
    /// Diameter of the jaws that press from outside.
    pub pinch_jaw: f64,
}

impl Eight {
    /// `ring`, taut, pinched at its middle.
    ///
    /// # Errors
    /// The ring is too small for these jaws; the least length, hence the least mandrel, is
    /// known in closed form. `mandrel` (mm) is the one the ring was wound on, for the message.
    pub fn pinched(ring: &Ring, pinch: Pinch, mandrel: f64) -> Result<Eight, FormError> {
        let wire = ring.wire;
        let end_radius = 0.5 * (pinch.bore + wire);
        let pinch_radius = 0.5 * (pinch.pinch_jaw + wire);
        let waist = wire + pinch.waist_gap;
        if !(waist <= 2.0 * end_radius) {
            return Err(FormError::TooLarge {
                dimension: ToolDimension::WaistGap,
                value: Mm::new(pinch.waist_gap),
                most: Mm::new(pinch.bore),
                obstacle: Obstacle::WaistWiderThanLobes,
            });
        }
        Eight::solve(wire, 0.25 * ring.centreline, waist, end_radius, pinch_radius).ok_or_else(
            || {
                let turn = ((0.5 * waist + pinch_radius) / (pinch_radius + end_radius)).acos();
                let least = 4.0 * ((pinch_radius + end_radius) * turn + end_radius * FRAC_PI_2);
                let short = (least - ring.centreline) / std::f64::consts::PI;
                FormError::TooSmall {
                    dimension: ToolDimension::Mandrel,
                    value: Mm::new(mandrel),
                    least: Mm::new(mandrel + short),
                    obstacle: Obstacle::RingTooSmall,
                }
            },
        )
    }

    fn solve(
        wire: f64,
        quarter: f64,
        waist: f64,
        end_radius: f64,
        pinch_radius: f64,
    ) -> Option<Eight> {
        let straight = |turn: f64| quarter - pinch_radius * turn - end_radius * (turn + FRAC_PI_2);
        let most = (straight(0.0) / (pinch_radius + end_radius)).min(FRAC_PI_2);
        if !(most >= 0.0) {
            return None;
        }
        let width = |t: f64| {
            0.5 * waist + pinch_radius * (1.0 - t.cos()) + straight(t) * t.sin()
                - end_radius * t.cos()
        };
        let turn = root_in(Bracket { low: 0.0, high: most }, width)?;
        let straight = straight(turn).max(0.0);
        Some(Eight { wire, waist, end_radius, pinch_radius, turn, straight })
    }

    /// The state on the way from the taut oval with ends of radius `oval_end_radius` (share 0)
    /// to `self` (share 1): the waist closes and the ends take their radius together.
    pub fn part_way(&self, oval_end_radius: f64, fraction: f64) -> Eight {
        let fraction = fraction.clamp(0.0, 1.0);
        let end_radius = oval_end_radius + fraction * (self.end_radius - oval_end_radius);
        let waist = 2.0 * oval_end_radius + fraction * (self.waist - 2.0 * oval_end_radius);
        let quarter = self.quarter();
        Eight::solve(self.wire, quarter, waist.min(2.0 * end_radius), end_radius, self.pinch_radius)
            .unwrap_or(*self)
    }

    fn quarter(&self) -> f64 {
        self.pinch_radius * self.turn + self.straight + self.end_radius * (self.turn + FRAC_PI_2)
    }

    /// Distance from the waist to the tip along u, on the centreline, mm.
    pub fn tip(&self) -> f64 {
        let (sin, cos) = self.turn.sin_cos();
        self.pinch_radius * sin + self.straight * cos + self.end_radius * (1.0 + sin)
    }

    /// What lies at a place along the wire, a share of the whole way round from the waist's middle.
    pub fn spot(&self, fraction: f64) -> WireRegion {
        let fraction = fraction.rem_euclid(0.5);
        let quarter = self.quarter();
        let from_waist = 4.0 * fraction.min(0.5 - fraction) * quarter;
        let from_tip = quarter - from_waist;
        if from_tip <= 0.5 * self.end_radius * FRAC_PI_2 {
            WireRegion::Tip
        } else if from_tip <= self.end_radius * (FRAC_PI_2 + self.turn) {
            WireRegion::LobeSide
        } else if from_waist <= (self.pinch_radius * self.turn).max(self.wire) {
            WireRegion::Waist
        } else {
            WireRegion::Strand
        }
    }

    /// Greatest inside width of a lobe, mm.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// assert!((link.eight.bore() - 2.5).abs() < 1e-12);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn bore(&self) -> f64 {
        2.0 * self.end_radius - self.wire
    }

    /// Greatest angle of the strands to the long axis, radians.
    pub fn turn(&self) -> f64 {
        self.turn
    }

    /// Clear gap between the wires at the waist, mm.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// assert!(link.eight.waist_gap().abs() < 1e-12);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn waist_gap(&self) -> f64 {
        self.waist - self.wire
    }

    /// The quarter from the waist to the tip with u and v positive.
    pub fn quarter_pieces(&self) -> Vec<Piece> {
        let mut quarter = QuarterEight::from(Point::new(0.0, 0.5 * self.waist, 0.0));
        quarter.run(self.pinch_radius * self.turn, self.turn);
        quarter.run(self.straight, 0.0);
        let end_turn = self.turn + FRAC_PI_2;
        quarter.run(self.end_radius * end_turn, -end_turn);
        quarter.pieces
    }

    /// The centreline, in the (u, v) plane.
    pub fn curve(&self) -> ClosedCurve {
        close_quarter(&self.quarter_pieces())
    }
}

/// A quarter curve under construction, piece after piece, from a point with heading +u.
pub(super) struct QuarterEight {
    pub(super) pieces: Vec<Piece>,
    end: Point,
    heading: f64,
}

impl QuarterEight {
    pub(super) fn from(start: Point) -> QuarterEight {
        QuarterEight { pieces: Vec::with_capacity(3), end: start, heading: 0.0 }
    }

    /// Adds `length` mm that turn by `turn`, to the left when positive.
    pub(super) fn run(&mut self, length: f64, turn: f64) {
        if length <= 0.0 {
            return;
        }
        let along = heading(self.heading);
        // A turn this small displaces the end by less than its coordinates' rounding.
        let piece = if turn.abs() < 1e-14 {
            Piece::Straight(Straight { start: self.end, direction: along, length })
        } else {
            let radius = length / turn.abs();
            let out = heading(self.heading - turn.signum() * FRAC_PI_2);
            let centre = self.end - radius * out.into_inner();
            Piece::Arc(Arc { centre, out, along, radius, turn: turn.abs() })
        };
        self.end = piece.end();
        self.heading += turn;
        self.pieces.push(piece);
    }
}

/// The closed curve of which `quarter` runs from the plane x = 0 to the plane y = 0, square to
/// both; its mirror images in the two planes complete it.
pub(super) fn close_quarter(quarter: &[Piece]) -> ClosedCurve {
    let across = Vector::new(1.0, -1.0, 1.0);
    let half = |signs: Vector| {
        let out = quarter.iter().map(move |p| p.mirrored(signs));
        let back =
            quarter.iter().rev().map(move |p| p.mirrored(signs.component_mul(&across)).reversed());
        out.chain(back)
    };
    // Around: waist to tip on one side, tip to waist on the other, then the other lobe.
    let pieces = half(Vector::new(1.0, 1.0, 1.0)).chain(half(Vector::new(-1.0, -1.0, 1.0)));
    ClosedCurve::new(pieces.collect())
        .expect("a quarter that ends square on its planes closes by symmetry")
}
