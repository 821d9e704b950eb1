//! Round wire as shaded facets.
//!
//! Along the centreline stand rings of `sides` corners, in frames carried along without
//! twist (each normal is the one before, less its part along the new tangent) and turned
//! evenly so that the last meets the first. Between two rings lies a band of facets; those
//! that face the reader are drawn. Of two bands that cover one another on the picture the one
//! whose middle is nearer is laid later; those that do not make one layer, laid colour by colour.
//! Why that hides rightly: of two balls that do not overlap, the one whose centre is
//! nearer is in front wherever both are seen, and bands are kept short enough to be like
//! balls.

mod contact;
mod order;
mod sections;

use super::drawing::{Drawing, Finish, SHADES, Tone};
use super::solid::{SeenSolid, enlarged, widened};
use super::{PictureView, Strand};
#[cfg(test)]
pub(super) use contact::{DARKEST, HORIZON};
use contact::{Shadow, Wire, light_left, shadows};
use order::Length;
use sections::{MOST_SIDES, rings, sides};
pub(super) use sections::{Ring, any_normal};
use std::f64::consts::TAU;

/// Facets are enlarged by this much, CSS pixels, so that no ground shows between them.
const OVERLAP: f64 = 0.45;
/// Wires thinner than these, CSS pixels, have every fourth shade only, or every second: nobody
/// sees more, and fewer colours are laid sooner.
const THIN: [f64; 2] = [8.0, 24.0];
/// Width of the dark edge, CSS pixels; of a thin wire no more than this share of its radius.
pub const RIM: f64 = 1.1;
pub(super) const THIN_RIM: f64 = 0.35;
/// A wire whose tangent has at least this share across the line of sight does not cover its
/// own next length, unless it bends; and how sharply it may, in wires.
const ACROSS: f64 = 0.4;
const OPEN: f64 = 0.9;

/// Layers set aside between a tool and the next in front of it.
const PER_TOOL: u32 = 1 << 20;

/// The end of an open wire: the first corner of its ring, and where it faces.
#[derive(Clone, Copy)]
struct Cap {
    ring: usize,
    normal: [f64; 3],
}

/// Facets between two rings of corners.
struct FacetBand {
    /// First corners of its two rings.
    ring: usize,
    next: usize,
    /// First of its facets in [`Raised::faces`], and of those beyond its rings.
    own: usize,
    before: usize,
    after: usize,
    sides: usize,
    /// Which bits of a shade are kept.
    shades: u8,
    finish: Finish,
    shadows: [Shadow; 2],
    /// Width of its dark edge, mm.
    rim: f64,
    cap: Option<Cap>,
}

/// Wires as corners and bands.
#[derive(Default)]
struct Raised {
    corners: Vec<Corner>,
    bands: Vec<FacetBand>,
    /// What each band covers on the picture.
    lengths: Vec<Length>,
    /// Whether each facet is towards the reader, band after band.
    faces: Vec<bool>,
}

/// A corner on the wire's surface: its place on the picture and its outward normal.
#[derive(Clone, Copy)]
struct Corner {
    place: [f64; 2],
    normal: [f64; 3],
}

/// A wire's rings, and the two shadows on each.
pub(super) struct Ringed<'a> {
    pub strand: &'a Strand,
    pub rings: Vec<Ring>,
    pub shadows: Vec<[Shadow; 2]>,
}

/// The rings of every wire, with what near wires keep away from them; a thread that marks a place
/// neither darkens nor is darkened.
pub(super) fn ringed<'a>(strands: &'a [Strand], view: &PictureView) -> Vec<Ringed<'a>> {
    let rings: Vec<Vec<Ring>> = strands.iter().map(|strand| rings(strand, view)).collect();
    let wires: Vec<Wire> = strands
        .iter()
        .zip(&rings)
        .map(|(strand, rings)| Wire {
            rings: if strand.finish == Finish::Marked { &[] } else { rings },
            radius: strand.radius,
            around: strand.part.is_none().then(|| strand.curve.length()),
        })
        .collect();
    let mut found = shadows(&wires).into_iter();
    let shadows: Vec<Vec<[Shadow; 2]>> =
        wires.iter().map(|wire| found.by_ref().take(wire.rings.len()).collect()).collect();
    strands
        .iter()
        .zip(rings)
        .zip(shadows)
        .map(|((strand, rings), mut shadows)| {
            shadows.resize(rings.len(), Default::default());
            Ringed { strand, rings, shadows }
        })
        .collect()
}

/// Corners to a ring of the thickest wire.
pub(super) fn most_sides(strands: &[Strand], view: &PictureView) -> usize {
    let thickest = strands.iter().map(|strand| strand.radius).fold(0.0, f64::max);
    sides(thickest * view.scale * view.fineness)
}

/// Draws wires and tools, hidden where others are in front; the tools from behind.
pub(super) fn draw(
    strands: &[Strand],
    solids: &[SeenSolid],
    view: &PictureView,
    drawing: &mut Drawing,
) {
    let mut raised = Raised::default();
    for wire in ringed(strands, view) {
        raised.add(&wire, view);
    }
    let layers = order::layers(&raised.lengths, &raised.lowest(solids));
    raised.lay(&layers, solids, view, drawing);
}

impl Raised {
    /// Sets up the rings and bands of one wire.
    fn add(&mut self, Ringed { strand, rings, shadows }: &Ringed, view: &PictureView) {
        let radius = strand.radius;
        let count = rings.len();
        if count == 0 {
            return;
        }
        let sides = sides(radius * view.scale * view.fineness);
        let is_open = strand.part.is_some();
        let mut round = [(0.0, 0.0); MOST_SIDES];
        for (k, ray) in round.iter_mut().enumerate().take(sides) {
            *ray = (TAU * k as f64 / sides as f64).sin_cos();
        }
        let thick = 2.0 * radius * view.scale * view.fineness;
        let shades =
            THIN.iter().fold(!0, |kept, thin| if thick < *thin { kept << 1 } else { kept });
        let rim = view.mm(RIM).min(THIN_RIM * radius);
        let (base, own) = (self.corners.len(), self.faces.len());
        for ring in rings {
            for (sin, cos) in &round[..sides] {
                let out = *cos * ring.normal + *sin * ring.aside;
                self.corners.push(Corner {
                    place: [ring.place[0] + radius * out.x, ring.place[1] + radius * out.y],
                    normal: [out.x, out.y, out.z],
                });
            }
        }
        let bands = if is_open { count - 1 } else { count };
        let at = |first: usize, i: usize, ahead: usize| first + (i + ahead) % count * sides;
        for (i, ring) in rings.iter().take(bands).enumerate() {
            let (is_first, is_last) = (is_open && i == 0, is_open && i + 1 == bands);
            let after = &rings[(i + 1) % count];
            let [here, there] = [i, i + 1].map(|i| shadows[i % count]);
            let halfway =
                |which: usize| [0, 1, 2].map(|k| 0.5 * (here[which][k] + there[which][k]));
            let band = FacetBand {
                ring: at(base, i, 0),
                next: at(base, i, 1),
                own: at(own, i, 0),
                before: at(own, i, if is_first { 0 } else { count - 1 }),
                after: at(own, i, if is_last { 0 } else { 1 }),
                sides,
                shades,
                finish: if ring.is_seam { Finish::Solder } else { strand.finish },
                shadows: [halfway(0), halfway(1)],
                rim,
                cap: match (is_first, is_last) {
                    (true, _) => Some(Cap {
                        ring: at(base, i, 0),
                        normal: [0, 1, 2].map(|k| -ring.tangent[k]),
                    }),
                    (_, true) => Some(Cap {
                        ring: at(base, i, 1),
                        normal: [0, 1, 2].map(|k| after.tangent[k]),
                    }),
                    _ => None,
                },
            };
            for k in 0..sides {
                let up = band.facet(k).map(|corner| self.corners[corner].normal[2]);
                self.faces.push(up[0] + up[1] + up[2] + up[3] > 0.0);
            }
            self.bands.push(band);
            let mut length = length(ring, after, radius + rim, [i, bands]);
            if is_first || is_last {
                // Its two ends are no neighbours.
                length.turn = f64::INFINITY;
            }
            self.lengths.push(length);
        }
    }

    /// Lays the bands layer after layer; in each the rims first, then the facets by colour:
    /// a browser lays those of one colour at once.
    fn lay(&self, layers: &[u32], tools: &[SeenSolid], view: &PictureView, drawing: &mut Drawing) {
        let mut waiting = tools.iter();
        let overlap = view.mm(OVERLAP);
        let mut order: Vec<usize> = (0..self.bands.len()).collect();
        order.sort_by_key(|&band| layers[band]);
        let mut facets: Vec<Facet> = Vec::new();
        for layer in order.chunk_by(|&a, &b| layers[a] == layers[b]) {
            facets.clear();
            let laid = tools.len() - waiting.len();
            let behind = (layers[layer[0]] / PER_TOOL) as usize;
            waiting.by_ref().take(behind.saturating_sub(laid)).for_each(|t| t.lay(view, drawing));
            for &index in layer {
                let band = &self.bands[index];
                self.lay_rim(band, drawing);
                for k in (0..band.sides).filter(|k| self.faces[band.own + k]) {
                    let [a, b, c, d] = band.facet(k).map(|corner| self.corners[corner].normal);
                    let normal = [0, 1, 2].map(|i| 0.25 * (a[i] + b[i] + c[i] + d[i]));
                    let light = light(normal) * light_left(normal, &band.shadows);
                    let shade = shade(light) & band.shades;
                    let (finish, index) = (band.finish as u8, index as u32);
                    facets.push(Facet { finish, shade, index, side: k as u8 });
                }
            }
            facets.sort_unstable();
            for facet in &facets {
                let band = &self.bands[facet.index as usize];
                let tone = Tone::Metal { finish: band.finish, shade: facet.shade };
                let corners = band.facet(facet.side.into()).map(|i| self.corners[i].place);
                drawing.fill(tone, &widened(corners, overlap));
            }
            for band in layer.iter().map(|&index| &self.bands[index]) {
                self.lay_cap(band, drawing);
            }
        }
        waiting.for_each(|tool| tool.lay(view, drawing));
    }

    /// The end of a wire, where that is turned to the reader.
    fn lay_cap(&self, band: &FacetBand, drawing: &mut Drawing) {
        let Some(Cap { ring, normal }) = band.cap else { return };
        if normal[2] <= 0.0 {
            return;
        }
        let places: Vec<[f64; 2]> =
            self.corners[ring..ring + band.sides].iter().map(|corner| corner.place).collect();
        let tone = Tone::Metal { finish: band.finish, shade: shade(light(normal)) & band.shades };
        drawing.fill(Tone::Rim, &enlarged(&places, band.rim));
        drawing.fill(tone, &places);
    }

    /// Below which layer each length must not be laid: over every tool that is behind it.
    fn lowest(&self, tools: &[SeenSolid]) -> Vec<u32> {
        let lowest = |length: &Length| {
            let [p, q] = length.ends;
            let at = [0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1]), length.depth];
            let behind = tools.iter().rposition(|tool| tool.is_behind(at, length.reach));
            behind.map_or(0, |index| (index as u32 + 1) * PER_TOOL)
        };
        self.lengths.iter().map(lowest).collect()
    }

    /// Where a facet towards the reader meets one away, along the wire or across it, the edge
    /// between is seen as the rim.
    fn lay_rim(&self, band: &FacetBand, drawing: &mut Drawing) {
        let out = band.rim;
        let mut rim = |a: usize, b: usize| {
            let (a, b) = (&self.corners[a], &self.corners[b]);
            drawing.fill(Tone::Rim, &[a.place, b.place, outwards(b, out), outwards(a, out)]);
        };
        let faces = |first: usize, k: usize| self.faces[first + k];
        let mut faced = faces(band.own, band.sides - 1);
        for k in 0..band.sides {
            let [near, far, far_on, near_on] = band.facet(k);
            if faces(band.own, k) != faced {
                rim(near, far);
            }
            faced = faces(band.own, k);
            if faced && !faces(band.before, k) {
                rim(near, near_on);
            }
            if faced && !faces(band.after, k) {
                rim(far, far_on);
            }
        }
    }
}

/// A facet towards the reader, in the order they are laid within a layer.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Facet {
    finish: u8,
    shade: u8,
    index: u32,
    side: u8,
}

impl FacetBand {
    /// The corners of one of its facets, going round.
    fn facet(&self, k: usize) -> [usize; 4] {
        let l = if k + 1 == self.sides { 0 } else { k + 1 };
        [self.ring + k, self.next + k, self.next + l, self.ring + l]
    }
}

/// What is seen of the wire between two rings, `wide` to each side.
fn length(from: &Ring, to: &Ring, wide: f64, place: [usize; 2]) -> Length {
    let [p, q] = [from, to].map(|ring| [ring.place[0], ring.place[1]]);
    let long = ((q[0] - p[0]) * (q[0] - p[0]) + (q[1] - p[1]) * (q[1] - p[1])).sqrt();
    let (t, u) = (from.tangent.xy(), to.tangent.xy());
    let turn = t.perp(&u).atan2(t.dot(&u)).abs();
    let flat =
        t.norm_squared().min(u.norm_squared()) > ACROSS * ACROSS && turn * wide < OPEN * long;
    Length {
        depth: 0.5 * (from.place[2] + to.place[2]),
        ends: [p, q],
        // An arc's rise over its chord.
        reach: wide + 0.15 * turn * long,
        turn: if flat { turn } else { f64::INFINITY },
        place: place.map(|n| n as u32),
    }
}

/// The corner moved out of the wire by `out` mm on the picture.
fn outwards(corner: &Corner, out: f64) -> [f64; 2] {
    let [x, y, _] = corner.normal;
    let length = (x * x + y * y).sqrt().max(1e-3);
    [corner.place[0] + out * x / length, corner.place[1] + out * y / length]
}

/// The shade of so much light.
fn shade(light: f64) -> u8 {
    (light.clamp(0.0, 1.0) * f64::from(SHADES - 1)).round() as u8
}

/// Brightness of polished metal with this outward normal, up to about 1: a lamp over the reader's
/// left shoulder with a soft highlight, and light thrown back by the bench from below.
pub(super) fn light(normal: [f64; 3]) -> f64 {
    let [x, y, z] = normal;
    // Unit vectors: to the lamp, and half-way between lamp and reader.
    let lamp = (-0.40 * x + 0.72 * y + 0.567 * z).max(0.0);
    let half = (-0.226 * x + 0.407 * y + 0.885 * z).max(0.0);
    let half_4 = half * half * half * half;
    let gloss = half_4 * half_4 * half_4;
    let bench = (-y).max(0.0) * (0.6 + 0.4 * z);
    0.14 + 0.42 * lamp + 0.46 * gloss + 0.16 * bench + 0.08 * z
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::curve::{Point, Pose};
    use crate::geometry::link::{Forming, Ring, ToolDimensions};
    use crate::motion::chain::{About, Body, Weave, measure};
    use crate::render::chain::lying;
    use crate::render::{Camera, Framing, Mark, Viewpoint, Window};

    fn view(home: Viewpoint) -> PictureView {
        let fit = Framing { centre: Point::origin(), scale: 30.0 };
        Camera::default().view(home, fit, Window { width: 600.0, height: 600.0 })
    }

    fn ring(finish: Finish, pose: &Pose) -> Strand {
        let ring = Ring::off_mandrel(1.0, 9.0, 0.0, 0.0).unwrap();
        Strand { curve: ring.curve().moved(pose), radius: 0.5, finish, seam: None, part: None }
    }

    fn drawn(strands: &[Strand], home: Viewpoint) -> Drawing {
        let mut drawing = Drawing::default();
        draw(strands, &[], &view(home), &mut drawing);
        drawing
    }

    #[test]
    fn a_ring_seen_from_above_is_as_wide_as_its_outside_diameter() {
        let drawing =
            drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(20.0, 90.0));
        let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
        // Facets stray by 0.2 pixels and are enlarged by 0.45: 0.03 mm at 30 pixels to the mm.
        for i in 0..2 {
            let wide = high[i] - low[i];
            assert!((wide - 11.0).abs() < 0.06, "{wide} mm, expected 11 mm");
        }
    }

    #[test]
    fn from_the_side_a_ring_is_as_thick_as_its_wire() {
        let drawing = drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(0.0, 0.0));
        let [low, high] = drawing.extents(|t| matches!(t, Tone::Metal { .. })).unwrap();
        assert!((high[1] - low[1] - 1.0).abs() < 0.08, "{} mm", high[1] - low[1]);
    }

    /// A seam is drawn where it lies, as wide as it is, wherever the curve's pieces begin.
    #[test]
    fn a_seam_is_drawn_where_it_lies() {
        let whole = std::f64::consts::PI * 10.0;
        for share in [0.0, 0.1, 0.25, 0.6, 1.0] {
            let mut ring = ring(Finish::Own, &Pose::identity());
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
        let none = drawn(&[ring(Finish::Own, &Pose::identity())], Viewpoint::degrees(0.0, 90.0));
        assert!(
            none.extents(|t| matches!(t, Tone::Metal { finish: Finish::Solder, .. })).is_none()
        );
    }

    #[test]
    fn every_shade_is_one_that_a_theme_knows() {
        for i in 0..400 {
            let (a, b) = (0.37 * f64::from(i), 0.11 * f64::from(i));
            let normal = [a.cos() * b.sin(), a.sin() * b.sin(), b.cos()];
            assert!(shade(light(normal)) < SHADES);
        }
    }

    /// Two rings that cross on the picture: at each crossing the nearer one was laid last.
    #[test]
    fn the_nearer_wire_covers_the_farther() {
        let far = ring(Finish::Own, &Pose::translation(-3.0, 0.0, 0.0));
        let near = ring(Finish::Other, &Pose::translation(3.0, 0.0, 1.1));
        for strands in [[far.clone(), near.clone()], [near, far]] {
            let drawing = drawn(&strands, Viewpoint::degrees(0.0, 90.0));
            // Both centrelines have radius 5 about (∓3, 0): they cross at (0, ±4).
            for place in [[0.0, 4.0], [0.0, -4.0]] {
                assert_eq!(top(&drawing, place), Some(Finish::Other), "at {place:?}");
            }
        }
    }

    /// Laid in layers, a bent chain shows the same metal everywhere as laid length by length,
    /// the farthest first; and in a quarter as many runs of one colour.
    #[test]
    fn layers_hide_as_the_order_of_depths_does() {
        let body = Body::of(&Forming::new(ToolDimensions::usual(1.0, 12.0)).unwrap().fold);
        let found = measure(&body, Weave::SINGLE).unwrap();
        let window = Window { width: 600.0, height: 600.0 };
        let (mut seen, mut other, mut runs) = (0, 0, [0, 0]);
        for (k, about) in [About::X, About::Y, About::Z].into_iter().enumerate() {
            let bent = found.bent(&body, about, 0.8);
            let scene = lying(&body, &found, &bent, 8);
            for turn in 0..6 {
                let mut camera = Camera::default();
                camera.turn(
                    scene.home,
                    0.7 * f64::from(turn) + k as f64,
                    0.4 * f64::from(turn) - 1.0,
                );
                let view = camera.view(scene.home, scene.fit(scene.home, window), window);
                let mut raised = Raised::default();
                ringed(&scene.strands, &view).iter().for_each(|wire| raised.add(wire, &view));
                let mut by_depth: Vec<usize> = (0..raised.lengths.len()).collect();
                by_depth
                    .sort_by(|&a, &b| raised.lengths[a].depth.total_cmp(&raised.lengths[b].depth));
                let mut ranks = vec![0; by_depth.len()];
                by_depth.iter().enumerate().for_each(|(rank, &band)| ranks[band] = rank as u32);
                let drawings =
                    [order::layers(&raised.lengths, &vec![0; raised.lengths.len()]), ranks].map(
                        |layers| {
                            let mut drawing = Drawing::default();
                            raised.lay(&layers, &[], &view, &mut drawing);
                            drawing
                        },
                    );
                for (drawing, runs) in drawings.iter().zip(&mut runs) {
                    *runs += drawing.marks.chunk_by(|a, b| a.tone() == b.tone()).count();
                }
                let [low, high] = drawings[0].extents(|_| true).unwrap();
                for i in 0..2000 {
                    // Golden ratios fill a square evenly.
                    let at = [0.754_877_666_f64, 0.569_840_291].map(|g| (f64::from(i) * g).fract());
                    let place = [0, 1].map(|i| low[i] + at[i] * (high[i] - low[i]));
                    let [layered, one_by_one] = drawings.each_ref().map(|d| top(d, place));
                    if let (Some(layered), Some(one_by_one)) = (layered, one_by_one) {
                        assert_eq!(layered, one_by_one, "{about:?}, turn {turn}, at {place:?}");
                    }
                    seen += usize::from(layered.is_some());
                    // The last of a rim on the next length of its own wire.
                    other += usize::from(layered != one_by_one);
                }
            }
        }
        assert!(seen > 10_000 && 1000 * other < seen, "{other} of {seen}");
        assert!(4 * runs[0] < runs[1], "{runs:?}");
    }

    /// What is laid last at a place: a metal, or `None` for a rim or nothing.
    fn top(drawing: &Drawing, place: [f64; 2]) -> Option<Finish> {
        let last = drawing.marks.iter().rev().find_map(|mark| match mark {
            Mark::Fill { tone, points } => {
                inside(&drawing.points[points.clone()], place).then_some(*tone)
            }
            _ => None,
        });
        match last {
            Some(Tone::Metal { finish, .. }) => Some(finish),
            _ => None,
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
        let strand = [ring(Finish::Own, &Pose::identity())];
        let home = Viewpoint::degrees(0.0, 60.0);
        let count = |scale: f64| {
            let fit = Framing { centre: Point::origin(), scale };
            let window = Window { width: 600.0, height: 600.0 };
            let mut drawing = Drawing::default();
            draw(&strand, &[], &Camera::default().view(home, fit, window), &mut drawing);
            drawing.marks.len()
        };
        assert!(count(6.0) < count(60.0) / 2, "{} and {}", count(6.0), count(60.0));
    }
}
