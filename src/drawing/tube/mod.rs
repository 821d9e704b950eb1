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

use super::marks::{Drawing, Finish, SHADES, Tone};
use super::solid::{SeenSolid, enlarged, widened};
use super::{PictureView, Strand};
use crate::math::sort::sort_places;
pub use contact::{DARKEST, HORIZON};
use contact::{Shadow, Wire, light_left, shadows};
use order::Length;
use sections::{MOST_SIDES, rings, sides};
pub use sections::{WireRing, any_normal};
use std::f64::consts::TAU;

/// Facets are enlarged by this much, CSS pixels, so that no ground shows between them.
const OVERLAP: f64 = 0.45;
/// Wires thinner than these, CSS pixels, have every fourth shade only, or every second: nobody
/// sees more, and fewer colours are laid sooner.
const THIN: [f64; 2] = [8.0, 24.0];
/// Width of the dark edge, CSS pixels.
pub const RIM: f64 = 1.1;
/// Of a thin wire it is no more than this share of its radius.
pub const THIN_RIM: f64 = 0.35;
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
pub struct Ringed<'a> {
    /// The wire.
    pub strand: &'a Strand,
    /// From its start to its end.
    pub rings: Vec<WireRing>,
    /// Two on each ring.
    pub shadows: Vec<[Shadow; 2]>,
}

/// The rings of every wire, with what near wires keep away from them; a thread that marks a place
/// neither darkens nor is darkened.
pub fn ringed<'a>(strands: &'a [Strand], view: &PictureView) -> Vec<Ringed<'a>> {
    let rings: Vec<Vec<WireRing>> = strands.iter().map(|strand| rings(strand, view)).collect();
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
pub fn most_sides(strands: &[Strand], view: &PictureView) -> usize {
    let thickest = strands.iter().map(|strand| strand.radius).fold(0.0, f64::max);
    sides(thickest * view.scale * view.fineness)
}

/// Draws wires and tools, hidden where others are in front; the tools from behind.
pub fn draw(strands: &[Strand], solids: &[SeenSolid], view: &PictureView, drawing: &mut Drawing) {
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
        sort_places(&mut order, &mut |a, b| layers[a].cmp(&layers[b]));
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
fn length(from: &WireRing, to: &WireRing, wide: f64, place: [usize; 2]) -> Length {
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
pub fn light(normal: [f64; 3]) -> f64 {
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
mod tests;
