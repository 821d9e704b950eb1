//! The fold: the figure eight bent over a round jaw at its waist.
//!
//! The flat eight is wrapped on a cylinder of centreline radius `R` whose axis is v, without
//! stretch: up to `|u| = R ψ` a point sits at angle `u/R`; beyond, it runs straight along the
//! tangent. The half angle `ψ` is chosen so that the tips end `tip gap + d` apart:
//!
//! ```text
//! R sin ψ + (X − R ψ) cos ψ = (tip gap + d)/2        (monotone in ψ)
//! ```
//!
//! Wrapped arcs and straights are space curves. They are written as biarcs through points of
//! the true wrap with its tangents, never more than [`WRAP_DEVIATION`] wire diameters away
//! from it; the whole curve is then enlarged by the share (under 1e-4) that brings its length back to
//! the ring's, exactly.

use super::quarter::close_halves;
use super::{Eight, FormError, Obstacle, ToolDimension};
use crate::geometry::curve::{ClosedCurve, Piece, Point, Pose, Vector, push_biarc};
use crate::math::units::Mm;
use crate::math::{Bracket, root_in};
use nalgebra::{Translation3, Unit, UnitQuaternion};
use std::f64::consts::FRAC_PI_2;

/// Greatest distance of the arcs from the true wrap, as a share of the wire diameter.
/// Held by `tests/link_shapes.rs` over random designs.
pub const WRAP_DEVIATION: f64 = 1.2e-4;

/// One biarc turns by at most this, radians, wrap and outline together; chosen so that
/// [`WRAP_DEVIATION`] holds for fold jaws up to six wires thick.
const BIARC_TURN: f64 = 0.35;

/// A folded loop, open or closed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fold {
    /// The flat eight.
    pub eight: Eight,
    /// Centreline radius of the fold `R`, mm.
    pub radius: f64,
    /// Half angle of the wrap `ψ`, radians: 0 is flat.
    pub half_angle: f64,
    /// The eight to which the lobe at positive u is pressed while it is threaded; as the other
    /// lobe where there is none.
    pub pressed: Option<Eight>,
}

impl Fold {
    /// `eight` folded over a jaw of diameter `jaw` until its tips are `tip_gap` apart, mm.
    /// `gap` says which of the two gaps that is.
    ///
    /// # Errors
    /// The legs are too short to bring the tips that near, or the flat eight is shorter than
    /// the gap.
    pub fn over(
        eight: Eight,
        jaw: f64,
        tip_gap: f64,
        gap: ToolDimension,
    ) -> Result<Fold, FormError> {
        let radius = 0.5 * (jaw + eight.wire);
        let wanted = 0.5 * (tip_gap + eight.wire);
        let tip = eight.tip();
        if !(wanted <= tip) {
            return Err(FormError::TooLarge {
                dimension: gap,
                value: Mm::new(tip_gap),
                most: Mm::new(2.0 * tip - eight.wire),
                obstacle: Obstacle::GapLongerThanEight,
            });
        }
        let half_angle = wrap_to(tip, radius, wanted).ok_or_else(|| {
            // The greatest radius whose shortest reach still equals the wanted one.
            let reach = |radius: f64| shortest_reach(tip, radius) - wanted;
            let least = root_in(Bracket { low: 1e-3 * eight.wire, high: radius }, reach);
            FormError::TooLarge {
                dimension: ToolDimension::FoldJaw,
                value: Mm::new(jaw),
                most: Mm::new((2.0 * least.unwrap_or(0.5 * eight.wire) - eight.wire).max(0.0)),
                obstacle: Obstacle::LegsTooShort,
            }
        })?;
        Ok(Fold { eight, radius, half_angle, pressed: None })
    }

    /// The same fold bent only to the half angle `half_angle`, radians.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let flat = link.fold.opened_to(0.0);
    /// assert!(flat.tip_height().abs() < 1e-12);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn opened_to(&self, half_angle: f64) -> Fold {
        Fold { half_angle: half_angle.clamp(0.0, self.half_angle), ..*self }
    }

    /// The same fold opened until the tips are `tip_gap` mm apart; as it is where that is no
    /// opening, flat where it is more than flat.
    pub fn opened_to_gap(&self, tip_gap: f64) -> Fold {
        let wanted = 0.5 * (tip_gap + self.eight.wire);
        if wanted >= self.eight.tip() {
            return self.opened_to(0.0);
        }
        self.opened_to(wrap_to(self.eight.tip(), self.radius, wanted).unwrap_or(self.half_angle))
    }

    /// The same fold with the lobe at positive u pressed to this bore, mm; as it is where that is
    /// its own bore, or the wire does not reach round such a lobe.
    pub fn pressed_to(&self, bore: f64) -> Fold {
        let own = bore == self.eight.bore();
        let pressed = if own { None } else { self.eight.with_bore(bore) };
        Fold { pressed, ..*self }
    }

    /// The flat eight of which the lobe at positive u is a half.
    pub fn leading(&self) -> &Eight {
        self.pressed.as_ref().unwrap_or(&self.eight)
    }

    /// Where the line of symmetry between the strands lies, u mm from the waist: point, and
    /// tangent towards the tip of positive u.
    pub fn spine(&self, u: f64) -> (Point, Vector) {
        let wrapped = u.clamp(-self.radius * self.half_angle, self.radius * self.half_angle);
        let (sin, cos) = (wrapped / self.radius).sin_cos();
        let beyond = u - wrapped;
        let along = Vector::new(cos, 0.0, sin);
        let point = Point::new(self.radius * sin, 0.0, self.radius * (1.0 - cos));
        (point + beyond * along, along)
    }

    /// Clear gap between the two lobe tips, mm.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// assert!((link.fold.tip_gap() - 0.1).abs() < 1e-9);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn tip_gap(&self) -> f64 {
        2.0 * self.spine(self.eight.tip()).0.x - self.eight.wire
    }

    /// Clear gap between the legs at the height of the fold's centre, mm.
    pub fn leg_gap(&self) -> f64 {
        let across = self.radius / self.half_angle.min(FRAC_PI_2).sin().max(1e-9);
        2.0 * across.min(self.eight.tip()) - self.eight.wire
    }

    /// Height over all, from under the fold to over the tips, mm.
    pub fn outside_height(&self) -> f64 {
        self.tip_height() + self.eight.wire
    }

    /// Height of the tip's centreline over the fold's, mm.
    pub fn tip_height(&self) -> f64 {
        self.spine(self.eight.tip()).0.z
    }

    /// The centreline.
    pub fn curve(&self) -> ClosedCurve {
        let (own, flat) = self.written_quarter(&self.eight);
        let length = |quarter: &[Piece]| quarter.iter().map(Piece::length).sum::<f64>();
        let Some(pressed) = &self.pressed else {
            return close_halves(&own, &own).scaled(flat / length(&own));
        };
        let (leading, _) = self.written_quarter(pressed);
        let written = 0.5 * (length(&own) + length(&leading));
        close_halves(&leading, &own).scaled(flat / written)
    }

    /// The wrap of a quarter of `eight`, before its length is corrected, and the length it
    /// should have.
    fn written_quarter(&self, eight: &Eight) -> (Vec<Piece>, f64) {
        let flat = eight.quarter_pieces();
        let mut quarter = Vec::with_capacity(24);
        for piece in &flat {
            self.bend(piece, &mut quarter);
        }
        (quarter, flat.iter().map(Piece::length).sum())
    }

    /// Writes a flat piece as it lies at this angle: wrapped on the jaw, then straight on.
    pub(super) fn bend(&self, piece: &Piece, into: &mut Vec<Piece>) {
        let (wrapped, beyond) = split_at(piece, self.radius * self.half_angle);
        if let Some(part) = wrapped {
            self.wrap(&part, into);
        }
        if let Some(part) = beyond {
            into.push(part.moved(&self.leg_pose()));
        }
    }

    /// How far the written centreline may be from the true wrap, mm.
    ///
    /// [`WRAP_DEVIATION`] of a wire for jaws up to six wires thick, in proportion to the
    /// radius beyond: the turns written as one biarc stay the same.
    pub fn deviation(&self) -> f64 {
        WRAP_DEVIATION * self.eight.wire.max(self.radius / 3.5)
    }

    /// Takes the flat eight's plane to the plane of the leg at positive x.
    pub(super) fn leg_pose(&self) -> Pose {
        let edge = self.radius * self.half_angle;
        let (foot, along) = self.spine(edge);
        let turn = UnitQuaternion::from_axis_angle(&Vector::y_axis(), -self.half_angle);
        Pose::from_parts(Translation3::from(foot.coords - edge * along), turn)
    }

    /// Point and tangent of the wrap of the flat point `p` with flat tangent `t`.
    fn wrapped(&self, p: Point, t: Vector) -> (Point, Unit<Vector>) {
        let (on_spine, along) = self.spine(p.x);
        let tangent = t.x * along + Vector::new(0.0, t.y, 0.0);
        (on_spine + Vector::new(0.0, p.y, 0.0), Unit::new_normalize(tangent))
    }

    /// Writes the wrap of a flat piece as biarcs.
    pub(super) fn wrap(&self, part: &Piece, into: &mut Vec<Piece>) {
        let length = part.length();
        // Nearly flat folds keep their flat arcs where wrapping bends less than rounding.
        if self.half_angle < 1e-9 {
            into.push(part.moved(&self.leg_pose()));
            return;
        }
        let turn = length * (part.curvature() + 1.0 / self.radius);
        let count = (turn / BIARC_TURN).ceil().max(1.0) as usize;
        let place = |i: usize| {
            let s = length * i as f64 / count as f64;
            self.wrapped(part.point(s), part.tangent(s))
        };
        let mut from = place(0);
        for i in 1..=count {
            let to = place(i);
            push_biarc(from, to, into);
            from = to;
        }
    }
}

/// Tip distance from the plane of symmetry after wrapping by `half_angle`.
fn reach(tip: f64, radius: f64, half_angle: f64) -> f64 {
    radius * half_angle.sin() + (tip - radius * half_angle) * half_angle.cos()
}

/// Reach when all of the leg lies on the jaw, or when it points straight across.
fn shortest_reach(tip: f64, radius: f64) -> f64 {
    reach(tip, radius, most_wrap(tip, radius))
}

/// A leg is wrapped to its tip, or turned until it points back across the fold.
fn most_wrap(tip: f64, radius: f64) -> f64 {
    (tip / radius).min(std::f64::consts::PI)
}

/// Half angle that brings the tip `wanted` mm from the plane of symmetry.
fn wrap_to(tip: f64, radius: f64, wanted: f64) -> Option<f64> {
    let bracket = Bracket { low: 0.0, high: most_wrap(tip, radius) };
    root_in(bracket, |half_angle| reach(tip, radius, half_angle) - wanted)
}

/// The parts of a flat piece before and after u = `edge`; u grows along it.
pub(super) fn split_at(piece: &Piece, edge: f64) -> (Option<Piece>, Option<Piece>) {
    let length = piece.length();
    // Pieces shorter than this are left to the neighbour: they are rounding.
    let crumb = 1e-9 * length;
    let beyond = |s: f64| piece.point(s).x - edge;
    let split = if beyond(length) <= 0.0 {
        length
    } else {
        root_in(Bracket { low: 0.0, high: length }, beyond).unwrap_or(0.0)
    };
    if split <= crumb {
        (None, Some(*piece))
    } else if split >= length - crumb {
        (Some(*piece), None)
    } else {
        (Some(piece.part(0.0, split)), Some(piece.part(split, length)))
    }
}
