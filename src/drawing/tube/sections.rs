//! Where the rings of a wire stand along its centreline, how many corners they have and how
//! they are turned.

use super::super::{PictureView, Strand};
use crate::geometry::curve::Vector;
use crate::math::sort::sort_numbers;
use std::f64::consts::PI;

/// A ring of corners round the centreline, in the picture's axes.
#[derive(Clone, Debug)]
pub struct WireRing {
    /// How far along the centreline, mm.
    pub along: f64,
    /// Its middle.
    pub place: [f64; 3],
    /// The way of the centreline there.
    pub tangent: Vector,
    /// Where its first corner lies, seen from the middle.
    pub normal: Vector,
    /// Square to both.
    pub aside: Vector,
    /// Whether the wire is seam from here to the next.
    pub is_seam: bool,
}

/// How far a facet may stray from the round, CSS pixels: of a wire as thick as a finger's mark its
/// facets would be seen by their shades long before their edges.
const STRAY: f64 = 0.2;
const STRAY_LARGE: f64 = 0.03;
/// Radius from which a wire is drawn so finely, CSS pixels.
const LARGE: f64 = 5.0;
/// Greatest turn from ring to ring, radians; coarser looks angular even where it is small.
const MOST_TURN: f64 = 0.3;
/// Least turn from ring to ring, radians; finer cannot be seen.
const LEAST_TURN: f64 = 0.06;
/// Longest band, wire diameters: short enough for sorting by its middle. Of a wire as thin as a hair it
/// may have so many CSS pixels: which of two wires is before the other is not seen on less.
const BAND_LENGTH: f64 = 0.8;
const BAND_PIXELS: f64 = 1.0;
/// A closed curve needs some.
const FEWEST_BANDS: f64 = 8.0;
/// Corners to a ring at the least and at the most; even.
const FEWEST_SIDES: f64 = 6.0;
pub(super) const MOST_SIDES: usize = 64;
/// Width of a solder seam, wire diameters, and the least that can be seen, CSS pixels.
const SEAM: [f64; 2] = [0.1, 2.0];

/// Where the centreline passes, in the picture's axes.
struct TubeSection {
    along: f64,
    place: [f64; 3],
    tangent: Vector,
}

/// The rings of a wire, close enough for this view, turned so that the last meets the first.
pub(super) fn rings(strand: &Strand, view: &PictureView) -> Vec<WireRing> {
    let sections = sections(strand, view);
    let count = sections.len();
    let Some(first) = sections.first().map(|first| first.tangent) else { return Vec::new() };
    let start = any_normal(first);
    let mut normals = Vec::with_capacity(count);
    let mut normal = start;
    for section in &sections {
        normal = carried(normal, section.tangent);
        normals.push(normal);
    }
    // What carrying once round has turned the frame by, made good a little at every ring.
    let back = carried(normal, first);
    let is_open = strand.part.is_some();
    let twist = if is_open { 0.0 } else { start.dot(&first.cross(&back)).atan2(start.dot(&back)) };
    let length = strand.curve.length();
    let ends: Vec<f64> = sections.iter().skip(1).map(|next| next.along).collect();
    let turned = |(i, (section, normal)): (usize, (TubeSection, Vector))| {
        let TubeSection { along, place, tangent } = section;
        let aside = tangent.cross(&normal);
        let (sin, cos) = (twist * i as f64 / count as f64).sin_cos();
        let is_seam = strand.seam.is_some_and(|seam| {
            let end = ends.get(i).copied().unwrap_or(length);
            let off = (0.5 * (along + end) - seam).rem_euclid(length);
            off.min(length - off) < 0.5 * seam_width(strand.radius, view)
        });
        let (normal, aside) = (cos * normal + sin * aside, cos * aside - sin * normal);
        WireRing { along, place, tangent, normal, aside, is_seam }
    };
    sections.into_iter().zip(normals).enumerate().map(turned).collect()
}

/// How far a facet of a wire of this radius on the screen may stray, CSS pixels.
fn stray(radius_pixels: f64) -> f64 {
    if radius_pixels < LARGE { STRAY } else { STRAY_LARGE }
}

/// Corners to a ring, by the wire's radius on the screen: even.
pub(super) fn sides(radius_pixels: f64) -> usize {
    let half_turn = (1.0 - stray(radius_pixels) / radius_pixels.max(STRAY)).acos();
    let wanted = PI / half_turn;
    2 * (0.5 * wanted.clamp(FEWEST_SIDES, MOST_SIDES as f64)).round() as usize
}

/// The centreline's sections, close enough for this view.
fn sections(strand: &Strand, view: &PictureView) -> Vec<TubeSection> {
    let (curve, radius) = (&strand.curve, strand.radius);
    let edges = strand.seam.map(|seam| {
        let half = 0.5 * seam_width(radius, view);
        [seam - half, seam + half].map(|edge| edge.rem_euclid(curve.length()))
    });
    let edges = edges.into_iter().chain(strand.part).flatten();
    let edges: Vec<f64> = edges.collect();
    let there = |s: f64| strand.part.is_none_or(|[from, to]| (from..=to).contains(&s));
    // How many bands each piece asks for; short ones share a band with their neighbours.
    let wanted: Vec<f64> = curve
        .pieces()
        .iter()
        .map(|piece| {
            let length = piece.length();
            let outer = view.fineness * view.scale * (1.0 / piece.curvature().max(1e-9) + radius);
            let stray = stray(radius * view.scale * view.fineness);
            let turn_step = (8.0 * stray / outer).sqrt().clamp(LEAST_TURN, MOST_TURN);
            let turn = length * piece.curvature();
            let band = (2.0 * BAND_LENGTH * radius).max(view.mm(BAND_PIXELS) / view.fineness);
            (turn / turn_step).max(length / band).min(400.0)
        })
        .collect();
    let all: f64 = wanted.iter().sum();
    let step = all / all.ceil().max(FEWEST_BANDS);
    let mut sections = Vec::with_capacity(128);
    let mut places = Vec::new();
    let (mut before, mut asked, mut next) = (0.0, 0.0, 0.0);
    for (piece, wanted) in curve.pieces().iter().zip(wanted) {
        let length = piece.length();
        places.clear();
        // Half a step's grace, or rounding would set a last ring upon the first.
        while next * step < asked + wanted && next * step < all - 0.5 * step {
            places.push(length * (next * step - asked) / wanted);
            next += 1.0;
        }
        let inside = |edge: &f64| *edge > 0.0 && *edge < length;
        let whole = places.len();
        places.extend(edges.iter().map(|edge| edge - before).filter(inside));
        if places.len() > whole {
            sort_numbers(&mut places);
        }
        for &s in places.iter().filter(|s| there(before + **s)) {
            sections.push(TubeSection {
                along: before + s,
                place: view.place(piece.point(s)),
                tangent: Vector::from(view.aim(piece.tangent(s))),
            });
        }
        before += length;
        asked += wanted;
    }
    sections
}

/// mm.
fn seam_width(radius: f64, view: &PictureView) -> f64 {
    (2.0 * SEAM[0] * radius).max(view.mm(SEAM[1]))
}

/// A unit vector at right angles to `tangent`.
pub fn any_normal(tangent: Vector) -> Vector {
    let axis = if tangent.x.abs() < 0.7 { Vector::x() } else { Vector::y() };
    carried(axis, tangent)
}

/// `normal` made square to `tangent`.
fn carried(normal: Vector, tangent: Vector) -> Vector {
    let square = normal - normal.dot(&tangent) * tangent;
    let length = square.norm();
    if length > 1e-9 { square / length } else { any_normal(tangent) }
}
