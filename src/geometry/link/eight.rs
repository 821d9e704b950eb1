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
//! straight sides, which flare by `φ = λ θ`. A neck of half a length of a wire or more
//! ([`PARALLEL_FROM`]) leaves them parallel, `λ = 0`; towards no neck `λ` grows evenly to 1, where
//! the shoulder is gone and the eight is the one above, so that no length of neck makes the shape
//! jump (how a short neck flares is our choice; no source). Quarter curve: straight `n`, concave arc
//! (`ρ`, turn `θ`), straight `s` where the shoulders do not reach far enough, shoulder (`ρ`, turn
//! `φ − θ`), side `s₂`, end arc (`r`, turn `φ + π/2`):
//!
//! ```text
//! w/2 + ρ (1 − cos θ) + s sin θ + ρ (cos φ − cos θ) + s₂ sin φ = r cos φ   (θ < π/2: s = 0)
//! n + ρ θ + s + ρ (θ − φ) + s₂ + r (φ + π/2) = L/4
//! tip at X = n + ρ sin θ + s cos θ + ρ (sin θ − sin φ) + s₂ cos φ + r (1 + sin φ)
//! ```
//!
//! With `s₂` from the second line, the first is again `f(θ) = 0`, and where `s₂ ≥ 0`
//! `f′ = 2 ρ (sin θ − sin φ) + λ s₂ cos φ ≥ 0`.

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
    /// Length of the lobe's straight side.
    side: f64,
    /// Slope of that side over the greatest slope: 0 where the sides are parallel.
    flare: f64,
}

/// Half length of the shortest neck, in wires, that leaves the sides of the lobes parallel.
const PARALLEL_FROM: f64 = 1.0;

/// Flare of the lobes' sides beside a neck of half length `neck`, mm.
fn flare(neck: f64, wire: f64) -> f64 {
    (1.0 - neck / (PARALLEL_FROM * wire)).clamp(0.0, 1.0)
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

/// What a quarter with a neck is solved from, mm.
#[derive(Clone, Copy)]
struct Lobe {
    wire: f64,
    quarter: f64,
    waist: f64,
    end_radius: f64,
    pinch_radius: f64,
}

impl Lobe {
    /// The longest neck shorter than `neck` that leaves the lobes a side, mm, to a millionth of it;
    /// `guess` is the one where the sides are parallel. None where no neck does.
    fn longest_neck(self, neck: f64, guess: f64) -> Option<f64> {
        let fits = |neck: f64| {
            neck > 0.0
                && self.with_neck(neck, flare(neck, self.wire)).neck.is_some_and(|n| n.side >= 0.0)
        };
        if fits(guess) {
            return Some(guess);
        }
        let (mut low, mut high) = (1e-6 * neck, neck);
        if !fits(low) {
            return None;
        }
        while high - low > 1e-6 * neck {
            let middle = 0.5 * (low + high);
            if fits(middle) { low = middle } else { high = middle }
        }
        Some(low)
    }

    /// The eight with a neck of half length `neck`; its side comes out below zero where the
    /// quarter is too short.
    fn with_neck(self, neck: f64, flare: f64) -> Eight {
        let Lobe { wire, quarter, waist, end_radius, pinch_radius } = self;
        let rise = (end_radius - 0.5 * waist).max(0.0);
        let bent = |turn: f64| {
            pinch_radius * (2.0 - flare) * turn + end_radius * (flare * turn + FRAC_PI_2)
        };
        let (turn, straight) = if flare > 0.0 {
            // Where the quarter is too short there is no side, and the neck will have to yield.
            let height = |turn: f64| {
                let (slope_sin, slope_cos) = (flare * turn).sin_cos();
                let side = (quarter - neck - bent(turn)).max(0.0);
                pinch_radius * (1.0 + slope_cos - 2.0 * turn.cos()) + side * slope_sin
                    - end_radius * slope_cos
                    + 0.5 * waist
            };
            let over = height(FRAC_PI_2);
            let spare = 1.0 - (flare * FRAC_PI_2).sin();
            match root_in(Bracket { low: 0.0, high: FRAC_PI_2 }, height) {
                Some(turn) if over >= 0.0 => (turn, 0.0),
                _ if spare > 0.0 => (FRAC_PI_2, (-over).max(0.0) / spare),
                _ => (FRAC_PI_2, 0.0),
            }
        } else {
            let turn = (1.0 - 0.5 * rise / pinch_radius).clamp(0.0, 1.0).acos();
            (turn, (rise - 2.0 * pinch_radius).max(0.0))
        };
        let side = quarter - neck - bent(turn) - straight;
        let neck = Some(Neck { half_length: neck, side, flare });
        Eight { wire, waist, end_radius, pinch_radius, turn, straight, neck }
    }
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
            let lobe = Lobe { wire, quarter, waist, end_radius, pinch_radius };
            let eight = lobe.with_neck(pinch.neck, flare(pinch.neck, wire));
            let side = eight.neck.map_or(0.0, |neck| neck.side);
            if side >= 0.0 {
                return Ok(eight);
            }
            return Err(match lobe.longest_neck(pinch.neck, pinch.neck + side) {
                Some(most) => FormError::TooLarge {
                    dimension: ToolDimension::Neck,
                    value: Mm::new(pinch.neck),
                    most: Mm::new(most),
                    obstacle: Obstacle::NeckTooLong,
                },
                None => too_small(quarter - side),
            });
        }
        Eight::solve(wire, quarter, waist, end_radius, pinch_radius).ok_or_else(|| {
            let turn = ((0.5 * waist + pinch_radius) / (pinch_radius + end_radius)).acos();
            too_small((pinch_radius + end_radius) * turn + end_radius * FRAC_PI_2)
        })
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
        let Some(Neck { half_length, flare, .. }) = self.neck else {
            return Eight::solve(self.wire, quarter, waist, end_radius, pinch_radius);
        };
        let lobe = Lobe { wire: self.wire, quarter, waist, end_radius, pinch_radius };
        let side = |eight: &Eight| eight.neck.map_or(0.0, |neck| neck.side);
        let eight = lobe.with_neck(half_length, flare);
        let short = side(&eight);
        let eight =
            if short < 0.0 { lobe.with_neck((half_length + short).max(0.0), flare) } else { eight };
        // What is left below zero then is rounding, or there is no such eight.
        (side(&eight) >= -1e-12 * quarter).then(|| Eight {
            neck: eight.neck.map(|neck| Neck { side: neck.side.max(0.0), ..neck }),
            ..eight
        })
    }

    /// Slope of the lobe's straight sides, radians; without a neck, that of the strands.
    fn side_slope(&self) -> f64 {
        self.neck.map_or(self.turn, |neck| neck.flare * self.turn)
    }

    /// Length of the shoulder, mm.
    fn shoulder(&self) -> f64 {
        self.pinch_radius * (self.turn - self.side_slope())
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
        // Where the neck yields, what follows is shifted: by its turns up and down, π at most.
        let neck = (less.neck() - more.neck()).abs() * PI;
        if let Some(Neck { flare, .. }) = self.neck {
            let (low, high) = (less.turn.min(more.turn), less.turn.max(more.turn));
            let ends = 0.5 * (FRAC_PI_2 + flare * high).powi(2);
            let ends = ends * (more.end_radius - less.end_radius);
            if flare == 0.0 {
                // Up by the concave arc, along the straight, down by the shoulder.
                let turned =
                    |turn: f64, straight: f64| turn * (self.pinch_radius * turn + straight);
                let strands = turned(more.turn, more.straight) - turned(less.turn, less.straight);
                return neck + strands.abs() + ends;
            }
            // Past the smaller turn the heading is no higher than the greater one's descent, twice
            // the difference of the turns above the lesser one's, as far as the shoulder goes; the
            // sides differ by the flare's share of it, and the end arcs as above.
            let longer = (more.straight - less.straight).abs();
            let descent = 2.0 * (high - low) + longer / self.pinch_radius;
            let shoulder =
                self.pinch_radius * ((2.0 - flare) * high - low) + less.straight.max(more.straight);
            return neck + descent * shoulder + flare * (high - low) * self.quarter() + ends;
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
            Some(Neck { half_length, side, .. }) => {
                let end = self.end_radius * (self.side_slope() + FRAC_PI_2);
                half_length + strand + self.shoulder() + side + end
            }
            None => strand + self.end_radius * (self.turn + FRAC_PI_2),
        }
    }

    /// Distance from the waist to the tip along u, on the centreline, mm.
    pub fn tip(&self) -> f64 {
        let (sin, cos) = self.turn.sin_cos();
        match self.neck {
            Some(Neck { half_length, side, .. }) => {
                let (side_sin, side_cos) = self.side_slope().sin_cos();
                let strand = self.pinch_radius * (2.0 * sin - side_sin) + self.straight * cos;
                half_length + strand + side * side_cos + self.end_radius * (1.0 + side_sin)
            }
            None => self.pinch_radius * sin + self.straight * cos + self.end_radius * (1.0 + sin),
        }
    }

    /// Half the length of the neck, mm; 0 where there is none.
    pub fn neck(&self) -> f64 {
        self.neck.map_or(0.0, |neck| neck.half_length)
    }

    /// Length of the straight sides of a lobe, mm; 0 where there is no neck.
    pub fn side(&self) -> f64 {
        self.neck.map_or(0.0, |neck| neck.side)
    }

    /// What lies at a place along the wire, a share of the whole way round from the waist's middle.
    pub fn region_at(&self, fraction: f64) -> WireRegion {
        let fraction = fraction.rem_euclid(0.5);
        let quarter = self.quarter();
        let from_waist = 4.0 * fraction.min(0.5 - fraction) * quarter;
        let from_tip = quarter - from_waist;
        let (lobe, waist) = match self.neck {
            Some(Neck { half_length, side, .. }) => {
                let end = self.end_radius * (self.side_slope() + FRAC_PI_2);
                let lobe = end + side + self.shoulder();
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
        if let Some(Neck { half_length, side, .. }) = self.neck {
            let slope = self.side_slope();
            quarter.run(half_length, 0.0);
            quarter.run(bend, self.turn);
            quarter.run(self.straight, 0.0);
            quarter.run(self.shoulder(), slope - self.turn);
            quarter.run(side, 0.0);
            quarter.run(self.end_radius * (slope + FRAC_PI_2), -(slope + FRAC_PI_2));
            return quarter.pieces;
        }
        quarter.run(bend, self.turn);
        quarter.run(self.straight, 0.0);
        let end_turn = self.turn + FRAC_PI_2;
        quarter.run(self.end_radius * end_turn, -end_turn);
        quarter.pieces
    }

    /// Curvature at `count` places, evenly from the waist's middle to the tip, 1/mm: the mean over
    /// the wire nearer to each than to its neighbours; below zero at a waist.
    pub fn curvatures(&self, count: usize) -> Vec<f64> {
        let quarter = self.quarter();
        // Heading at a distance from the waist, which is mirrored there and at the tip.
        let pieces = self.quarter_pieces();
        let heading = |s: f64| {
            let (mut from, mut turned) = (0.0, 0.0);
            for piece in &pieces {
                let part = ((s - from) / piece.length()).clamp(0.0, 1.0);
                turned += part * turn_of(piece);
                from += piece.length();
            }
            turned
        };
        let step = quarter / count.saturating_sub(1).max(1) as f64;
        (0..count)
            .map(|i| {
                let (low, high) = (step * (i as f64 - 0.5), step * (i as f64 + 0.5));
                let (low, high) = (low.max(0.0), high.min(quarter));
                -(heading(high) - heading(low)) / (high - low)
            })
            .collect()
    }

    /// The centreline, in the (u, v) plane.
    pub fn curve(&self) -> ClosedCurve {
        close_quarter(&self.quarter_pieces())
    }
}

/// Turn of a flat piece to the left, radians.
fn turn_of(piece: &Piece) -> f64 {
    match piece {
        Piece::Straight(_) => 0.0,
        Piece::Arc(arc) => arc.turn.copysign(arc.out.cross(&arc.along).z),
    }
}
