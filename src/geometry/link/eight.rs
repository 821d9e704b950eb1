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
//!
//! With a neck, as flat or half-round jaws leave it (a dumb-bell or bow-tie), the two wires lie
//! side by side over `2 n`, and the lobes have shoulders of the pinching jaws' radius and
//! parallel sides. Quarter curve: straight `n`, concave arc (`ρ`, turn `θ`), straight `s` where
//! the shoulders do not reach far enough, shoulder (`ρ`, turn `−θ`), side `s₂`, end arc (`r`,
//! turn `π/2`):
//!
//! ```text
//! w/2 + 2 ρ (1 − cos θ) + s sin θ = r      (θ < π/2: s = 0; else θ = π/2)
//! n + 2 ρ θ + s + s₂ + r π/2 = L/4
//! tip at X = n + 2 ρ sin θ + s₂ + r
//! ```

use super::quarter::{QuarterOutline, close_quarter};
use super::{FormError, Obstacle, Ring, ToolDimension, WireRegion};
use crate::geometry::curve::{ClosedCurve, Piece, Point};
use crate::math::units::Mm;
use crate::math::{Bracket, root_in};
use std::f64::consts::{FRAC_PI_2, PI};

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
    neck: Option<Neck>,
}

/// What a neck adds to a quarter of the eight, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Neck {
    /// Half the length over which the wires lie side by side.
    half_length: f64,
    /// Length of the lobe's parallel side.
    side: f64,
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
    /// Half the length of the neck; 0 where the strands flare from the waist on.
    pub neck: f64,
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
        let quarter = 0.25 * ring.centreline;
        let too_small = |least: f64| FormError::TooSmall {
            dimension: ToolDimension::Mandrel,
            value: Mm::new(mandrel),
            least: Mm::new(mandrel + 4.0 * (least - quarter) / std::f64::consts::PI),
            obstacle: Obstacle::RingTooSmall,
        };
        if pinch.neck > 0.0 {
            let eight =
                Eight::with_neck(wire, quarter, waist, end_radius, pinch_radius, pinch.neck);
            let side = eight.neck.map_or(0.0, |neck| neck.side);
            return if side >= 0.0 {
                Ok(eight)
            } else if pinch.neck + side > 0.0 {
                Err(FormError::TooLarge {
                    dimension: ToolDimension::Neck,
                    value: Mm::new(pinch.neck),
                    most: Mm::new(pinch.neck + side),
                    obstacle: Obstacle::NeckTooLong,
                })
            } else {
                Err(too_small(quarter - side))
            };
        }
        Eight::solve(wire, quarter, waist, end_radius, pinch_radius).ok_or_else(|| {
            let turn = ((0.5 * waist + pinch_radius) / (pinch_radius + end_radius)).acos();
            too_small((pinch_radius + end_radius) * turn + end_radius * FRAC_PI_2)
        })
    }

    /// The eight with a neck of half length `neck`; its side comes out below zero where the
    /// quarter is too short.
    fn with_neck(
        wire: f64,
        quarter: f64,
        waist: f64,
        end_radius: f64,
        pinch_radius: f64,
        neck: f64,
    ) -> Eight {
        let rise = (end_radius - 0.5 * waist).max(0.0);
        let turn = (1.0 - 0.5 * rise / pinch_radius).clamp(0.0, 1.0).acos();
        let straight = (rise - 2.0 * pinch_radius).max(0.0);
        let spent = neck + 2.0 * pinch_radius * turn + straight + end_radius * FRAC_PI_2;
        let neck = Some(Neck { half_length: neck, side: quarter - spent });
        Eight { wire, waist, end_radius, pinch_radius, turn, straight, neck }
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
        Some(Eight { wire, waist, end_radius, pinch_radius, turn, straight, neck: None })
    }

    /// The state on the way from the taut oval with ends of radius `oval_end_radius` (share 0)
    /// to `self` (share 1): the waist closes and the ends take their radius together.
    pub fn part_way(&self, oval_end_radius: f64, fraction: f64) -> Eight {
        let fraction = fraction.clamp(0.0, 1.0);
        let end_radius = oval_end_radius + fraction * (self.end_radius - oval_end_radius);
        let waist = 2.0 * oval_end_radius + fraction * (self.waist - 2.0 * oval_end_radius);
        self.reshaped(waist.min(2.0 * end_radius), end_radius).unwrap_or(*self)
    }

    /// The eight of the same wire on the same jaws with another waist and other ends, mm. A neck
    /// yields where a wider lobe leaves too little length for it.
    fn reshaped(&self, waist: f64, end_radius: f64) -> Option<Eight> {
        let (quarter, pinch_radius) = (self.quarter(), self.pinch_radius);
        let Some(Neck { half_length, .. }) = self.neck else {
            return Eight::solve(self.wire, quarter, waist, end_radius, pinch_radius);
        };
        let with =
            |neck| Eight::with_neck(self.wire, quarter, waist, end_radius, pinch_radius, neck);
        let side = |eight: &Eight| eight.neck.map_or(0.0, |neck| neck.side);
        let eight = with(half_length);
        let short = side(&eight);
        let eight = if short < 0.0 { with((half_length + short).max(0.0)) } else { eight };
        // What is left below zero then is rounding, or there is no such eight.
        (side(&eight) >= -1e-12 * quarter).then(|| Eight {
            neck: eight.neck.map(|neck| Neck { side: neck.side.max(0.0), ..neck }),
            ..eight
        })
    }

    /// The same eight with lobes of this bore, mm, its waist as it is; `None` where the wire does
    /// not reach round such lobes, or they would be narrower than the waist.
    pub fn with_bore(&self, bore: f64) -> Option<Eight> {
        let end_radius = 0.5 * (bore + self.wire);
        if end_radius == self.end_radius {
            return Some(*self);
        }
        (self.waist <= 2.0 * end_radius).then(|| self.reshaped(self.waist, end_radius))?
    }

    /// No point of the wire moves further than this, mm, while the lobes are widened or narrowed
    /// from `self` to `other` ([`Eight::with_bore`]), either way.
    ///
    /// With `h(s)` the heading `s` mm from the waist, a point moves by at most the integral of the
    /// change of `h` up to it, since two unit vectors differ by no more than the angle between
    /// them. As the bore grows, the turn grows and the end arc flattens, so that at every place
    /// `h` stays between the least turn with the greatest end radius and the greatest turn with
    /// the least: the area between those two bounds the integral for every state on the way.
    pub fn moved_at_most(&self, other: &Eight) -> f64 {
        let (less, more) =
            if self.end_radius <= other.end_radius { (self, other) } else { (other, self) };
        let ends = FRAC_PI_2.powi(2) * 0.5;
        // Where the neck yields, what follows is shifted: by its turns up and down, π at most.
        let neck = (less.neck() - more.neck()).abs() * PI;
        if self.neck.is_some() {
            // Up by the concave arc, along the straight, down by the shoulder.
            let turned = |turn: f64, straight: f64| turn * (self.pinch_radius * turn + straight);
            let strands = turned(more.turn, more.straight) - turned(less.turn, less.straight);
            return neck + strands.abs() + ends * (more.end_radius - less.end_radius);
        }
        // Area under h + π/2 along a quarter: concave arc, straight, end arc.
        let quarter = self.quarter();
        let area = |turn: f64, end_radius: f64| {
            let rise = self.pinch_radius * turn;
            let up = turn + FRAC_PI_2;
            rise * (FRAC_PI_2 + 0.5 * turn) + up * (quarter - rise - 0.5 * end_radius * up)
        };
        let (least, greatest) = (less.turn.min(more.turn), less.turn.max(more.turn));
        area(greatest, less.end_radius) - area(least, more.end_radius)
    }

    /// How far along the wire from the waist's middle, mm, nothing moves while the lobes are widened
    /// or narrowed from `self` to `other`: as far as the smaller turn goes, both run alike.
    pub fn still_as_far_as(&self, other: &Eight) -> f64 {
        let neck = self.neck().min(other.neck());
        if self.neck() == other.neck() {
            neck + self.pinch_radius * self.turn.min(other.turn)
        } else {
            neck
        }
    }

    /// Length of the quarter curve, mm.
    fn quarter(&self) -> f64 {
        let strand = self.pinch_radius * self.turn + self.straight;
        match self.neck {
            Some(Neck { half_length, side }) => {
                let shoulder = self.pinch_radius * self.turn;
                half_length + strand + shoulder + side + self.end_radius * FRAC_PI_2
            }
            None => strand + self.end_radius * (self.turn + FRAC_PI_2),
        }
    }

    /// Distance from the waist to the tip along u, on the centreline, mm.
    pub fn tip(&self) -> f64 {
        let (sin, cos) = self.turn.sin_cos();
        match self.neck {
            Some(Neck { half_length, side }) => {
                let strand = 2.0 * self.pinch_radius * sin + self.straight * cos;
                half_length + strand + side + self.end_radius
            }
            None => self.pinch_radius * sin + self.straight * cos + self.end_radius * (1.0 + sin),
        }
    }

    /// Half the length of the neck, mm; 0 where there is none.
    pub fn neck(&self) -> f64 {
        self.neck.map_or(0.0, |neck| neck.half_length)
    }

    /// Length of the parallel sides of a lobe, mm; 0 where there is no neck.
    pub fn side(&self) -> f64 {
        self.neck.map_or(0.0, |neck| neck.side)
    }

    /// What lies at a place along the wire, a share of the whole way round from the waist's middle.
    pub fn spot(&self, fraction: f64) -> WireRegion {
        let fraction = fraction.rem_euclid(0.5);
        let quarter = self.quarter();
        let from_waist = 4.0 * fraction.min(0.5 - fraction) * quarter;
        let from_tip = quarter - from_waist;
        let (lobe, waist) = match self.neck {
            Some(Neck { half_length, side }) => {
                let lobe = self.end_radius * FRAC_PI_2 + side + self.pinch_radius * self.turn;
                (lobe, half_length + self.pinch_radius * self.turn)
            }
            None => (self.end_radius * (FRAC_PI_2 + self.turn), self.pinch_radius * self.turn),
        };
        if from_tip <= 0.5 * self.end_radius * FRAC_PI_2 {
            WireRegion::Tip
        } else if from_tip <= lobe {
            WireRegion::LobeSide
        } else if from_waist <= waist.max(self.wire) {
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
        let mut quarter = QuarterOutline::from(Point::new(0.0, 0.5 * self.waist, 0.0));
        let bend = self.pinch_radius * self.turn;
        if let Some(Neck { half_length, side }) = self.neck {
            quarter.run(half_length, 0.0);
            quarter.run(bend, self.turn);
            quarter.run(self.straight, 0.0);
            quarter.run(bend, -self.turn);
            quarter.run(side, 0.0);
            quarter.run(self.end_radius * FRAC_PI_2, -FRAC_PI_2);
            return quarter.pieces;
        }
        quarter.run(bend, self.turn);
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
