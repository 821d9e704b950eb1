//! Round wire as shaded facets.
//!
//! Along the centreline stand rings of `sides` corners, in frames carried along without
//! twist (each normal is the one before, less its part along the new tangent) and turned
//! evenly so that the last meets the first. Between two rings lies a band of facets; those
//! that face the reader are drawn. Bands are sorted by the depth of their middles.
//! Why that hides rightly: of two balls that do not overlap, the one whose centre is
//! nearer is in front wherever both are seen, and bands are kept short enough to be like
//! balls.

use super::drawing::{Drawing, Finish, SHADES, Tone};
use super::{Strand, View};
use crate::curve::Vector;
use std::f64::consts::TAU;

/// How far a facet may stray from the round, CSS pixels.
const STRAY: f64 = 0.15;
/// Greatest turn from ring to ring, radians; coarser looks angular even where it is small.
const MOST_TURN: f64 = 0.3;
/// Least turn from ring to ring, radians; finer cannot be seen.
const LEAST_TURN: f64 = 0.06;
/// Longest band, wire diameters: short enough for sorting by its middle.
const BAND_LENGTH: f64 = 0.8;
/// A closed curve needs some.
const FEWEST_BANDS: f64 = 8.0;
/// Corners to a ring at the most; even.
const MOST_SIDES: usize = 40;
/// Facets are enlarged by this much, CSS pixels, so that no ground shows between them.
const OVERLAP: f64 = 0.45;
/// Width of the dark edge, CSS pixels.
const RIM: f64 = 1.1;
/// Width of a solder seam, wire diameters, and the least that can be seen, CSS pixels.
const SEAM: [f64; 2] = [0.1, 2.0];

/// Where the centreline passes, in the picture's axes.
struct Station {
    /// How far along the centreline, mm.
    along: f64,
    place: [f64; 3],
    tangent: Vector,
}

/// Facets between two rings of corners.
struct Band {
    depth: f64,
    /// First corners of its own two rings, and of the rings beyond them.
    ring: usize,
    next: usize,
    before: usize,
    after: usize,
    sides: usize,
    finish: Finish,
}

/// A corner on the wire's surface: its place on the picture and its outward normal.
#[derive(Clone, Copy)]
struct Corner {
    place: [f64; 2],
    normal: [f64; 3],
}

/// Draws wires, hidden where others are in front.
pub(super) fn draw(strands: &[Strand], view: &View, drawing: &mut Drawing) {
    let mut corners = Vec::new();
    let mut bands = Vec::new();
    for strand in strands {
        raise(strand, view, &mut corners, &mut bands);
    }
    bands.sort_unstable_by(|a, b| a.depth.total_cmp(&b.depth).then(a.ring.cmp(&b.ring)));
    for band in &bands {
        lay_band(band, &corners, view, drawing);
    }
}

/// Corners to a ring, by the wire's radius on the screen.
fn sides(radius_pixels: f64) -> usize {
    let wanted = 4.5 + 3.4 * radius_pixels.max(0.0).sqrt();
    2 * (0.5 * wanted.clamp(8.0, MOST_SIDES as f64)).round() as usize
}

/// The centreline's stations, close enough for this view.
fn stations(strand: &Strand, view: &View) -> Vec<Station> {
    let (curve, radius) = (&strand.curve, strand.radius);
    let edges = strand.seam.map(|seam| {
        let half = 0.5 * seam_width(radius, view);
        [seam - half, seam + half].map(|edge| edge.rem_euclid(curve.length()))
    });
    // How many bands each piece asks for; short ones share a band with their neighbours.
    let wanted: Vec<f64> = curve
        .pieces()
        .iter()
        .map(|piece| {
            let length = piece.length();
            let outer = view.scale * (1.0 / piece.curvature().max(1e-9) + radius);
            let turn_step = (8.0 * STRAY / outer).sqrt().clamp(LEAST_TURN, MOST_TURN);
            let turn = length * piece.curvature();
            // A wire as thin as a hair would ask for more rings than anyone can see.
            (turn / turn_step).max(length / (2.0 * BAND_LENGTH * radius)).min(400.0)
        })
        .collect();
    let all: f64 = wanted.iter().sum();
    let step = all / all.ceil().max(FEWEST_BANDS);
    let mut stations = Vec::with_capacity(128);
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
        places.extend(edges.iter().flatten().map(|edge| edge - before).filter(inside));
        if places.len() > whole {
            places.sort_unstable_by(f64::total_cmp);
        }
        for &s in &places {
            stations.push(Station {
                along: before + s,
                place: view.place(piece.point(s)),
                tangent: Vector::from(view.aim(piece.tangent(s))),
            });
        }
        before += length;
        asked += wanted;
    }
    stations
}

/// mm.
fn seam_width(radius: f64, view: &View) -> f64 {
    (2.0 * SEAM[0] * radius).max(view.mm(SEAM[1]))
}

/// Sets up the rings and bands of one wire.
fn raise(strand: &Strand, view: &View, corners: &mut Vec<Corner>, bands: &mut Vec<Band>) {
    let radius = strand.radius;
    let stations = stations(strand, view);
    let count = stations.len();
    let Some(first) = stations.first() else { return };
    let sides = sides(radius * view.scale);
    let start = any_normal(first.tangent);

    let mut normals = Vec::with_capacity(count);
    let mut normal = start;
    for station in &stations {
        normal = carried(normal, station.tangent);
        normals.push(normal);
    }
    // What carrying once round has turned the frame by, made good a little at every ring.
    let back = carried(normal, first.tangent);
    let twist = start.dot(&first.tangent.cross(&back)).atan2(start.dot(&back));

    let base = corners.len();
    for (i, (station, normal)) in stations.iter().zip(&normals).enumerate() {
        let aside = station.tangent.cross(normal);
        let lead = twist * i as f64 / count as f64;
        for k in 0..sides {
            let (sin, cos) = (lead + TAU * k as f64 / sides as f64).sin_cos();
            let out = cos * normal + sin * aside;
            corners.push(Corner {
                place: [station.place[0] + radius * out.x, station.place[1] + radius * out.y],
                normal: [out.x, out.y, out.z],
            });
        }
        let ring = |ahead: usize| base + (i + ahead) % count * sides;
        let after = (i + 1) % count;
        let is_seam = strand.seam.is_some_and(|seam| {
            let length = strand.curve.length();
            let end = if after == 0 { length } else { stations[after].along };
            let off = (0.5 * (station.along + end) - seam).rem_euclid(length);
            off.min(length - off) < 0.5 * seam_width(radius, view)
        });
        bands.push(Band {
            depth: 0.5 * (station.place[2] + stations[after].place[2]),
            ring: ring(0),
            next: ring(1),
            before: ring(count - 1),
            after: ring(2),
            sides,
            finish: if is_seam { Finish::Solder } else { strand.finish },
        });
    }
}

/// A unit vector at right angles to `tangent`.
fn any_normal(tangent: Vector) -> Vector {
    let axis = if tangent.x.abs() < 0.7 { Vector::x() } else { Vector::y() };
    carried(axis, tangent)
}

/// `normal` made square to `tangent`.
fn carried(normal: Vector, tangent: Vector) -> Vector {
    let square = normal - normal.dot(&tangent) * tangent;
    let length = square.norm();
    if length > 1e-9 { square / length } else { any_normal(tangent) }
}

fn lay_band(band: &Band, corners: &[Corner], view: &View, drawing: &mut Drawing) {
    let facet = |k: usize| {
        let l = (k + 1) % band.sides;
        let at = |i: usize| &corners[i];
        [at(band.ring + k), at(band.next + k), at(band.next + l), at(band.ring + l)]
    };
    let mut normals = [[0.0; 3]; MOST_SIDES];
    for (k, normal) in normals.iter_mut().enumerate().take(band.sides) {
        let corners = facet(k);
        *normal = [0, 1, 2].map(|i| 0.25 * corners.iter().map(|c| c.normal[i]).sum::<f64>());
    }
    let faces = |k: usize| normals[k][2] > 0.0;
    // Where a facet towards the reader meets one away, along the wire or across it, the edge
    // between is seen as the rim.
    let out = view.mm(RIM);
    let mut rim = |a: usize, b: usize| {
        let (a, b) = (&corners[a], &corners[b]);
        drawing.fill(Tone::Rim, &[a.place, b.place, outwards(b, out), outwards(a, out)]);
    };
    let mut faced = faces(band.sides - 1);
    for k in 0..band.sides {
        if faces(k) != faced {
            rim(band.ring + k, band.next + k);
        }
        faced = faces(k);
        if !faced {
            continue;
        }
        let l = (k + 1) % band.sides;
        let away = |other: usize, own: usize| {
            let turned = [other + k, other + l, own + k, own + l];
            turned.iter().map(|&i| corners[i].normal[2]).sum::<f64>() <= 0.0
        };
        if away(band.before, band.ring) {
            rim(band.ring + k, band.ring + l);
        }
        if away(band.after, band.next) {
            rim(band.next + k, band.next + l);
        }
    }
    let overlap = view.mm(OVERLAP);
    for (k, normal) in normals.iter().enumerate().take(band.sides) {
        if faces(k) {
            let tone = Tone::Metal { finish: band.finish, shade: shade(*normal) };
            drawing.fill(tone, &enlarged(facet(k).map(|c| c.place), overlap));
        }
    }
}

/// The corner moved out of the wire by `out` mm on the picture.
fn outwards(corner: &Corner, out: f64) -> [f64; 2] {
    let [x, y, _] = corner.normal;
    let length = x.hypot(y).max(1e-3);
    [corner.place[0] + out * x / length, corner.place[1] + out * y / length]
}

/// A polygon with every corner `by` mm further from its middle.
fn enlarged(corners: [[f64; 2]; 4], by: f64) -> [[f64; 2]; 4] {
    let middle = [0, 1].map(|i| 0.25 * corners.iter().map(|c| c[i]).sum::<f64>());
    corners.map(|[x, y]| {
        let (dx, dy) = (x - middle[0], y - middle[1]);
        let share = by / (dx * dx + dy * dy).sqrt().max(1e-9);
        [x + share * dx, y + share * dy]
    })
}

/// Brightness of polished metal with this outward normal: a lamp over the reader's left
/// shoulder with a soft highlight, and light thrown back by the bench from below.
fn shade(normal: [f64; 3]) -> u8 {
    let [x, y, z] = normal;
    // Unit vectors: to the lamp, and half-way between lamp and reader.
    let lamp = (-0.40 * x + 0.72 * y + 0.567 * z).max(0.0);
    let half = (-0.226 * x + 0.407 * y + 0.885 * z).max(0.0);
    let half_4 = half * half * half * half;
    let gloss = half_4 * half_4 * half_4;
    let bench = (-y).max(0.0) * (0.6 + 0.4 * z);
    let light = 0.14 + 0.42 * lamp + 0.46 * gloss + 0.16 * bench + 0.08 * z;
    (light.clamp(0.0, 1.0) * f64::from(SHADES - 1)).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::curve::{Point, Pose};
    use crate::form::Ring;
    use crate::picture::{Camera, Fit, Mark, Viewpoint, Window};

    fn view(home: Viewpoint) -> View {
        let fit = Fit { centre: Point::origin(), scale: 30.0 };
        Camera::default().view(home, fit, Window { width: 600.0, height: 600.0 })
    }

    fn ring(finish: Finish, pose: &Pose) -> Strand {
        let ring = Ring::off_mandrel(1.0, 9.0, 0.0, 0.0).unwrap();
        Strand { curve: ring.curve().moved(pose), radius: 0.5, finish, seam: None }
    }

    fn drawn(strands: &[Strand], home: Viewpoint) -> Drawing {
        let mut drawing = Drawing::default();
        draw(strands, &view(home), &mut drawing);
        drawing
    }

    #[test]
    fn a_ring_seen_from_above_is_as_wide_as_its_outside_diameter() {
        let drawing =
            drawn(&[ring(Finish::Pale, &Pose::identity())], Viewpoint::degrees(20.0, 90.0));
        let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
        // Facets stray by 0.15 pixels and are enlarged by 0.45: 0.03 mm at 30 pixels to the mm.
        for i in 0..2 {
            let wide = high[i] - low[i];
            assert!((wide - 11.0).abs() < 0.06, "{wide} mm, expected 11 mm");
        }
    }

    #[test]
    fn from_the_side_a_ring_is_as_thick_as_its_wire() {
        let drawing = drawn(&[ring(Finish::Pale, &Pose::identity())], Viewpoint::degrees(0.0, 0.0));
        let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
        assert!((high[1] - low[1] - 1.0).abs() < 0.08, "{} mm", high[1] - low[1]);
    }

    /// A seam is drawn where it lies, as wide as it is, wherever the curve's pieces begin.
    #[test]
    fn a_seam_is_drawn_where_it_lies() {
        let whole = std::f64::consts::PI * 10.0;
        for share in [0.0, 0.1, 0.25, 0.6, 1.0] {
            let mut ring = ring(Finish::Pale, &Pose::identity());
            ring.seam = Some(share * whole);
            let drawing = drawn(&[ring], Viewpoint::degrees(0.0, 90.0));
            let solder = |t| matches!(t, Tone::Metal { finish: Finish::Solder, .. });
            let [low, high] = drawing.extents(solder).unwrap();
            // The ring starts at its top and runs clockwise: out is y, along x.
            let (sin, cos) = (TAU * share).sin_cos();
            for (i, at) in [5.0 * sin, 5.0 * cos].into_iter().enumerate() {
                let middle = 0.5 * (low[i] + high[i]);
                assert!((middle - at).abs() < 0.1, "{share}: {middle}, {at}");
            }
            let wide = (high[0] - low[0]).hypot(high[1] - low[1]);
            assert!((0.9..1.3).contains(&wide), "{share}: {wide} mm over a wire of 1 mm");
        }
        let none = drawn(&[ring(Finish::Pale, &Pose::identity())], Viewpoint::degrees(0.0, 90.0));
        assert!(
            none.extents(|t| matches!(t, Tone::Metal { finish: Finish::Solder, .. })).is_none()
        );
    }

    #[test]
    fn every_shade_is_one_that_a_theme_knows() {
        for i in 0..400 {
            let (a, b) = (0.37 * f64::from(i), 0.11 * f64::from(i));
            let normal = [a.cos() * b.sin(), a.sin() * b.sin(), b.cos()];
            assert!(shade(normal) < SHADES);
        }
    }

    /// Two rings that cross on the picture: at each crossing the nearer one was laid last.
    #[test]
    fn the_nearer_wire_covers_the_farther() {
        let far = ring(Finish::Pale, &Pose::translation(-3.0, 0.0, 0.0));
        let near = ring(Finish::Warm, &Pose::translation(3.0, 0.0, 1.1));
        for strands in [[far.clone(), near.clone()], [near, far]] {
            let drawing = drawn(&strands, Viewpoint::degrees(0.0, 90.0));
            // Both centrelines have radius 5 about (∓3, 0): they cross at (0, ±4).
            for place in [[0.0, 4.0], [0.0, -4.0]] {
                let top = drawing.marks.iter().rev().find_map(|mark| match mark {
                    Mark::Fill { tone: Tone::Metal { finish, .. }, points } => {
                        inside(&drawing.points[points.clone()], place).then_some(*finish)
                    }
                    _ => None,
                });
                assert_eq!(top, Some(Finish::Warm), "at {place:?}");
            }
        }
    }

    fn inside(polygon: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
        let mut odd = false;
        let mut before = polygon[polygon.len() - 1];
        for &corner in polygon {
            if (corner[1] > y) != (before[1] > y) {
                let share = (y - before[1]) / (corner[1] - before[1]);
                odd ^= before[0] + share * (corner[0] - before[0]) > x;
            }
            before = corner;
        }
        odd
    }

    #[test]
    fn fewer_facets_are_spent_on_a_wire_that_is_small_on_the_screen() {
        let strand = [ring(Finish::Pale, &Pose::identity())];
        let home = Viewpoint::degrees(0.0, 60.0);
        let count = |scale: f64| {
            let fit = Fit { centre: Point::origin(), scale };
            let window = Window { width: 600.0, height: 600.0 };
            let mut drawing = Drawing::default();
            draw(&strand, &Camera::default().view(home, fit, window), &mut drawing);
            drawing.marks.len()
        };
        assert!(count(6.0) < count(60.0) / 2, "{} and {}", count(6.0), count(60.0));
    }
}
