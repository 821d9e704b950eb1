//! Closed surfaces of triangles, and that of round wire along a closed centreline.
//!
//! The corners of two neighbouring rings that belong together span a patch of the true surface,
//! as a function of the angle about the wire and the way along it; two triangles replace it.
//! Over a patch `a` radians about the wire, along which the tangent turns by `b` and the frame
//! by `t` more, second derivatives are at most the wire's radius `r` for each turn and the
//! bend's radius `R` along it, so that the triangles stray by at most
//! `(r (a + b + t)² + R b²) / 8`. The bound for a right triangle with legs `l₁`, `l₂` and second
//! derivatives at most `M₁₁`, `M₁₂`, `M₂₂` is `(M₁₁ l₁² + 2 M₁₂ l₁ l₂ + M₂₂ l₂²) / 8`: where the error is
//! greatest its slope is none (along the side, where that lies on one), and some corner, where the
//! error is none, lies no further from there than half a leg each way; Taylor's formula does the rest.

use super::MeshError;
use super::error::MOST_TRIANGLES;
use super::error::within;
use crate::geometry::curve::{ClosedCurve, Piece, Point, Vector};
use nalgebra::{Unit, UnitQuaternion};
use std::f64::consts::TAU;

/// Wire diameters a surface is made of, mm.
const WIRES: [f64; 2] = [1e-3, 1e3];
/// Fewest corners of a ring.
const FEWEST_SIDES: f64 = 8.0;
/// Fewest bands all round: none takes more than a share of what the frame is left to turn by.
const FEWEST_BANDS: f64 = 16.0;
/// Greatest turn from ring to ring, radians.
const MOST_TURN: f64 = 0.5;
/// Share of the allowance that is planned with; the rest covers that turn, which is at most
/// half a side in [`FEWEST_BANDS`] bands, so `(1 + 1/32)²`.
const PLANNED: f64 = 0.93;

/// A closed surface of triangles.
///
/// # Invariants
/// Each edge belongs to two triangles, which run along it in opposite senses; corners lie on
/// the true surface.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    pub(super) places: Vec<Point>,
    pub(super) normals: Vec<Vector>,
    pub(super) triangles: Vec<[u32; 3]>,
    pub(super) deviation: f64,
}

/// A ring of corners: where the centreline passes, its tangent, a carried normal, and the way
/// there, mm.
struct TubeRing {
    place: Point,
    tangent: Vector,
    normal: Vector,
    along: f64,
}

impl Surface {
    /// Wire of diameter `wire` mm along `curve`, straying from the round by at most `stray` mm.
    ///
    /// # Errors
    /// [`MeshError`] where a number makes no sense, the curve bends tighter than the wire's
    /// radius, or the surface would take too many triangles.
    pub fn tube(curve: &ClosedCurve, wire: f64, stray: f64) -> Result<Surface, MeshError> {
        let wire = within("wire diameter in mm", wire, WIRES)?;
        let stray = within("stray in mm", stray, [1e-6 * wire, 0.1 * wire])?;
        let radius = 0.5 * wire;
        for piece in curve.pieces() {
            if let Piece::Arc(arc) = piece
                && !(arc.radius > radius)
            {
                return Err(MeshError::BendTooTight { radius_mm: arc.radius, wire_mm: wire });
            }
        }
        let planned = 8.0 * PLANNED * stray;
        // A third for the round of the wire; the rest is used up by its bends.
        let sides = (TAU * (3.0 * radius / planned).sqrt()).ceil().max(FEWEST_SIDES);
        let side = TAU / sides;
        let longest = curve.length() / FEWEST_BANDS;
        let bands = |piece: &Piece| {
            let bent = match piece {
                Piece::Straight(_) => 0.0,
                Piece::Arc(arc) => arc.turn / turn(radius, side, arc.radius, planned),
            };
            bent.max(piece.length() / longest).ceil().max(1.0)
        };
        let triangles = 2.0 * sides * curve.pieces().iter().map(bands).sum::<f64>();
        if triangles > MOST_TRIANGLES as f64 {
            let stray_mm = 1.1 * stray * triangles / MOST_TRIANGLES as f64;
            return Err(MeshError::TooMany { triangles, stray_mm });
        }
        let (rings, end) = rings(curve, bands);
        Ok(skinned(&rings, end, curve, radius, sides as usize))
    }

    /// Its corners, mm.
    pub fn places(&self) -> &[Point] {
        &self.places
    }

    /// The outward normal at each corner; none where sides are flat.
    pub fn normals(&self) -> &[Vector] {
        &self.normals
    }

    /// Corners of each triangle, anticlockwise as seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// No point of it is further than this from the true surface, nor one of that from it, mm.
    pub fn deviation(&self) -> f64 {
        self.deviation
    }
}

/// Greatest turn of a band where the wire bends at `bend`: solves the bound at the head.
fn turn(radius: f64, side: f64, bend: f64, planned: f64) -> f64 {
    let (square, half) = (radius + bend, radius * side);
    let rest = planned - radius * side * side;
    (((half * half + square * rest).sqrt() - half) / square).min(MOST_TURN)
}

/// The rings in order, and the first one's normal carried all the way round.
fn rings(curve: &ClosedCurve, bands: impl Fn(&Piece) -> f64) -> (Vec<TubeRing>, Vector) {
    let mut rings = Vec::new();
    let mut along = 0.0;
    let mut carried = any_normal(&curve.pieces()[0].tangent(0.0));
    for piece in curve.pieces() {
        let count = bands(piece);
        let start = carried;
        // Along an arc the frame turns with the arc and no more; along a straight not at all.
        let carry = |fraction: f64| match piece {
            Piece::Straight(_) => start,
            Piece::Arc(arc) => {
                let axis = Unit::new_normalize(arc.axis());
                UnitQuaternion::from_axis_angle(&axis, fraction * arc.turn) * start
            }
        };
        for i in 0..count as usize {
            let fraction = i as f64 / count;
            let s = fraction * piece.length();
            let tangent = piece.tangent(s);
            rings.push(TubeRing {
                place: piece.point(s),
                normal: square_to(&tangent, carry(fraction)),
                tangent,
                along: along + s,
            });
        }
        carried = square_to(&piece.tangent(piece.length()), carry(1.0));
        along += piece.length();
    }
    (rings, carried)
}

fn skinned(
    rings: &[TubeRing],
    end: Vector,
    curve: &ClosedCurve,
    radius: f64,
    sides: usize,
) -> Surface {
    let side = TAU / sides as f64;
    // What the carried frame still has to turn by to meet the first; whole sides of it are
    // made up by counting corners from another one.
    let first = &rings[0];
    let open = first.tangent.dot(&end.cross(&first.normal)).atan2(end.dot(&first.normal));
    let whole = (open / side).round();
    let leftover = open - whole * side;
    let shift = (whole as i64).rem_euclid(sides as i64) as usize;
    let length = curve.length();

    let count = rings.len();
    let mut places = Vec::with_capacity(count * sides);
    let mut normals = Vec::with_capacity(count * sides);
    let mut triangles = Vec::with_capacity(2 * count * sides);
    for (i, ring) in rings.iter().enumerate() {
        let aside = ring.tangent.cross(&ring.normal);
        let lead = leftover * ring.along / length;
        for k in 0..sides {
            let (sin, cos) = (lead + side * k as f64).sin_cos();
            let out = cos * ring.normal + sin * aside;
            places.push(ring.place + radius * out);
            normals.push(out);
        }
        let closes = i + 1 == count;
        let corner = |ring: usize, k: usize| (ring * sides + k % sides) as u32;
        let (next, from) = if closes { (0, sides - shift) } else { (i + 1, 0) };
        for k in 0..sides {
            let (a, b) = (corner(i, k), corner(i, k + 1));
            let (c, d) = (corner(next, from + k + 1), corner(next, from + k));
            triangles.push([a, b, c]);
            triangles.push([a, c, d]);
        }
    }
    let deviation = deviation(rings, curve, radius, side, leftover.abs());
    Surface { places, normals, triangles, deviation }
}

/// The greatest of the bound at the head over all bands.
fn deviation(
    rings: &[TubeRing],
    curve: &ClosedCurve,
    radius: f64,
    side: f64,
    leftover: f64,
) -> f64 {
    let length = curve.length();
    let mut pieces = curve.pieces().iter();
    let (mut piece, mut ends) = (pieces.next(), 0.0);
    ends += piece.map_or(0.0, Piece::length);
    let mut most: f64 = 0.0;
    for (i, ring) in rings.iter().enumerate() {
        // A ring stands at the start of every piece; rounding must not miss the change.
        while ring.along >= ends - 1e-9 * length
            && let Some(next) = pieces.next()
        {
            piece = Some(next);
            ends += next.length();
        }
        let curvature = piece.map_or(0.0, Piece::curvature);
        let far = rings.get(i + 1).map_or(length, |next| next.along) - ring.along;
        let (turn, twist) = (far * curvature, leftover * far / length);
        let round = side + turn + twist;
        most = most.max(0.125 * (radius * round * round + far * turn));
    }
    most
}

/// A unit vector at right angles to `tangent`.
fn any_normal(tangent: &Vector) -> Vector {
    let least = (0..3).min_by(|&i, &j| tangent[i].abs().total_cmp(&tangent[j].abs()));
    let mut axis = Vector::zeros();
    axis[least.unwrap_or(0)] = 1.0;
    square_to(tangent, axis)
}

/// `normal` made square to `tangent`: takes out rounding.
fn square_to(tangent: &Vector, normal: Vector) -> Vector {
    (normal - normal.dot(tangent) * tangent).normalize()
}
