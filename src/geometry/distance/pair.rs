//! Two short stretches: bounds on how the squared distance bends over the whole pair.
//!
//! With s and t the arc lengths from the middles of A and B, Δ = A(s) − B(t) and
//! f = |Δ|²; T and N are the tangent and the unit vector out from the arc's centre, κ
//! the curvature. Half the derivatives of f are
//!
//! ```text
//! f_s/2 = Δ·T_A           f_t/2 = −Δ·T_B
//! f_ss/2 = 1 − κ_A Δ·N_A = p    f_tt/2 = 1 + κ_B Δ·N_B = q    f_st/2 = −T_A·T_B = −c
//! ```
//!
//! Where p, q > 0 and p q > c² on the whole box, f is convex there, and one pass of
//! nearest points with its leftover slope bounds the minimum from below (`search`).
//! The bounds on p, q and c over the box follow from turning the middle frames by at most
//! the half turns: N(s) = cos δ N₀ + sin δ T₀ and T(s) = cos δ T₀ − sin δ N₀.

use super::arc_segment::{ArcSegment, CurvePoint};
use crate::geometry::curve::Vector;

/// What is known over a whole pair of stretches.
#[derive(Clone, Copy, Debug)]
pub(super) struct HessianBounds {
    /// p and q: least and greatest.
    p: (f64, f64),
    q: (f64, f64),
    /// |c| at most.
    c: f64,
    /// f_s/2 and f_t/2 at the middles.
    slope_a: f64,
    slope_b: f64,
    /// Newton's step along B from the middles, mm; zero where it is of no use.
    pub step_b: f64,
}

/// A second derivative this small (in units where a straight has 1) is rounding.
const FLAT: f64 = 1e-12;

impl HessianBounds {
    #[inline]
    pub fn of(a: &ArcSegment, b: &ArcSegment) -> HessianBounds {
        let between = a.mid - b.mid;
        let (tt, tn, nt, nn) = (
            a.tangent.dot(&b.tangent),
            a.tangent.dot(&b.out),
            a.out.dot(&b.tangent),
            a.out.dot(&b.out),
        );
        let slope_a = between.dot(&a.tangent);
        let slope_b = -between.dot(&b.tangent);
        let p0 = 1.0 - a.curvature * between.dot(&a.out);
        let q0 = 1.0 + b.curvature * between.dot(&b.out);
        let p = bend(a, b, p0, slope_a, [nt, nn, tt, tn]);
        let q = bend(b, a, q0, slope_b, [tn, nn, tt, nt]);
        let c = tt.abs() + nt.abs() * a.sin + tn.abs() * b.sin + nn.abs() * (a.sin * b.sin);
        let determinant = p0 * q0 - tt * tt;
        let step_b = if p0 > 0.0 && determinant > 1e-3 {
            -(p0 * slope_b + tt * slope_a) / determinant
        } else {
            0.0
        };
        HessianBounds { p, q, c, slope_a, slope_b, step_b }
    }

    /// Least second derivative (halved) in t of min over s of f, if f is convex on the
    /// whole pair: q − c²/p. `None` if that is not shown.
    #[inline]
    pub fn convexity(&self) -> Option<f64> {
        if !(self.p.0 > FLAT) {
            return None;
        }
        let least = self.q.0 - self.c * self.c / self.p.0;
        (least > FLAT).then_some(least)
    }

    /// Least eigenvalue of half the second derivative anywhere on the pair.
    pub fn least_bend(&self) -> f64 {
        let (p, q) = (self.p.0, self.q.0);
        0.5 * (p + q - ((p - q).powi(2) + 4.0 * self.c * self.c).sqrt())
    }

    /// Least of half the second derivative as both places move on together: p + q − 2 c.
    pub fn least_bend_together(&self) -> f64 {
        self.p.0 + self.q.0 - 2.0 * self.c
    }

    /// Which end of A is nearest to B, whatever the place on B: true for the last.
    /// `None` where the slope in s may change sign.
    pub fn one_way_a(&self, a: &ArcSegment, b: &ArcSegment) -> Option<bool> {
        one_way(self.slope_a, self.p, self.c, a.half, b.half)
    }

    /// As [`HessianBounds::one_way_a`], for B.
    pub fn one_way_b(&self, a: &ArcSegment, b: &ArcSegment) -> Option<bool> {
        one_way(self.slope_b, self.q, self.c, b.half, a.half)
    }
}

/// Bounds on p = κ (B(t) − C)·N(s) over the pair, C the centre of `own`; `dots` are
/// N·T', N·N', T·T', T·N' with the other stretch's frame primed.
#[inline]
fn bend(own: &ArcSegment, other: &ArcSegment, p0: f64, slope: f64, dots: [f64; 4]) -> (f64, f64) {
    if own.straight() {
        return (1.0, 1.0);
    }
    let [nt, nn, tt, tn] = dots;
    let (x, v) = (other.half_chord, other.sagitta());
    // B(t) − B₀ = x' T' − v' N' with |x'| ≤ x and 0 ≤ v' ≤ v.
    let k = own.curvature;
    let out_least = p0 - k * (x * nt.abs() + v * nn.max(0.0));
    let out_most = p0 + k * (x * nt.abs() + v * (-nn).max(0.0));
    let aside = k * (slope.abs() + x * tt.abs() + v * tn.abs()) * own.sin;
    let least = out_least.min(out_least * own.cos) - aside;
    let most = out_most.max(out_most * own.cos) + aside;
    (least, most)
}

fn one_way(slope: f64, bend: (f64, f64), c: f64, half: f64, other_half: f64) -> Option<bool> {
    let change = bend.0.abs().max(bend.1.abs()) * half + c * other_half;
    // The comparison refuses NaN; the factor pays for rounding in the bounds.
    (slope.abs() > change * (1.0 + 1e-9)).then_some(slope < 0.0)
}

/// The quadratic lower bound on f over a pair from one pair of places: f₀ plus the worst
/// of the slopes over the length left, plus the least bend over the whole length.
pub(super) fn taylor_least(at_a: &CurvePoint, at_b: &CurvePoint, least_bend: f64) -> f64 {
    let between = at_a.point - at_b.point;
    let worst = |slope: f64, spot: &CurvePoint| {
        if slope > 0.0 { -slope * spot.length_before } else { slope * spot.length_after }
    };
    let linear = worst(between.dot(&at_a.tangent), at_a) + worst(-between.dot(&at_b.tangent), at_b);
    let length_squared = |spot: &CurvePoint| spot.length_before.max(spot.length_after).powi(2);
    between.norm_squared()
        + 2.0 * linear
        + least_bend.min(0.0) * (length_squared(at_a) + length_squared(at_b))
}

/// A lower bound for the cases in which the distance hardly changes along a stretch:
/// both arcs about one axis, or B close to A's axis. Both are the distance to the whole
/// circle of A, seen in its half plane (distance ρ from the axis, height h):
/// √((ρ − r)² + h²), less how far B strays from constant ρ and h.
pub(super) fn axis_least(a: &ArcSegment, b: &ArcSegment) -> f64 {
    if a.straight() {
        return 0.0;
    }
    let radius = 1.0 / a.curvature;
    let axis = a.out.cross(&a.tangent);
    let centre = a.mid - radius * a.out;
    let off = |point: &Vector| {
        let away = point - centre;
        let height = away.dot(&axis);
        ((away - height * axis).norm(), height)
    };
    // Near the axis: ρ at most that of an end, plus what the arc bulges.
    let ends = [b.end(false).point, b.end(true).point].map(|p| off(&p).0);
    let near_axis = radius - ends[0].max(ends[1]) - b.sagitta();
    if b.straight() {
        return near_axis;
    }
    // About one axis: B's circle differs from one exactly about A's axis, at the height of
    // its centre, by the shift of the centre and the tilt times its radius.
    let radius_b = 1.0 / b.curvature;
    let tilt = axis.cross(&b.out.cross(&b.tangent)).norm();
    let (shift, height) = off(&(b.mid - radius_b * b.out));
    let stray = shift + 1.5 * tilt * radius_b; // chord of the tilt ≤ 1.42 sin, up to a right angle
    near_axis.max((radius - radius_b).hypot(height) - stray)
}

/// Half the second derivative at a pair of places, in t, of min over s of f.
#[inline]
pub(super) fn bend_at(
    a: &ArcSegment,
    at_a: &CurvePoint,
    b: &ArcSegment,
    at_b: &CurvePoint,
    between: &Vector,
) -> f64 {
    let p = 1.0 - a.curvature * between.dot(&at_a.out);
    let q = 1.0 + b.curvature * between.dot(&at_b.out);
    let c = at_a.tangent.dot(&at_b.tangent);
    q - c * c / p
}
