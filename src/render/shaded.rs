//! Wires and tools as numbers for a shader, which lights every pixel by its normal.
//!
//! Model: a wire is its rings, one after another; the shader stands round corners on two that follow
//! one another. A tool is its faces in triangles, with the normals of its round sides made smooth,
//! and its edges as thin wires. Light is a table by the normal's share across the picture, the same
//! formula as of the facets in `tube`; colours are those of the theme.
//! Conventions: mm in the picture's axes, right, up and towards the reader.
//! Limits: what is seen through is not among them, see [`Scene::draw_under`].

use super::drawing::Finish;
use super::solid::{self, FaceKind, Solid};
use super::strand::Strand;
use super::theme::{Colour, Theme};
use super::tube::{self, Ringed};
use super::{PictureView, Scene};
use crate::geometry::curve::Vector;
use std::f64::consts::TAU;

/// Materials after the four finishes: tools, their stripe, edges.
const TOOL: u8 = 4;
const STRIPE: u8 = 5;
const RIM: u8 = 6;
/// Numbers to a ring: its middle and the wire's radius, the tangent and what the wire is made of from
/// there to the next, −1 for the last, the normal, two shadows.
pub const RING: usize = 17;
/// Numbers to a corner of a face: place, what it is made of, normal.
pub const CORNER: usize = 7;
/// The table of light has so many places a side.
pub const LIGHT_SIDE: usize = 128;
/// Width of an edge of a tool, CSS pixels.
const EDGE: f64 = 1.6;

/// What a shader is given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shaded {
    /// Rings, [`RING`] numbers each, wire after wire.
    pub rings: Vec<f32>,
    /// Corners of triangles, [`CORNER`] numbers each.
    pub faces: Vec<f32>,
    /// Corners to a ring.
    pub sides: usize,
    /// Nothing lies further before or behind the picture, mm.
    pub depth: f64,
}

impl Shaded {
    /// Takes up all of a scene but what is seen through.
    pub fn take(&mut self, scene: &Scene, view: &PictureView) {
        self.rings.clear();
        self.faces.clear();
        self.depth = 1e-3;
        self.sides = tube::most_sides(&scene.strands, view);
        for wire in tube::ringed(&scene.strands, view) {
            self.add_wire(&wire, view);
        }
        for tool in scene.tools.iter().filter(|tool| !tool.is_faded) {
            self.add_tool(tool, view);
        }
    }

    fn add_wire(&mut self, wire: &Ringed, view: &PictureView) {
        let Ringed { strand, rings, shadows } = wire;
        let count = rings.len();
        if count == 0 {
            return;
        }
        let is_open = strand.part.is_some();
        // A closed one ends where it began.
        let all = if is_open { count } else { count + 1 };
        for i in 0..all {
            let (ring, shadows) = (&rings[i % count], &shadows[i % count]);
            let material = match i + 1 {
                next if next == all => -1.0,
                _ if ring.is_seam => f32::from(Finish::Solder as u8),
                _ => f32::from(strand.finish as u8),
            };
            let vectors = [ring.normal.into(), shadows[0], shadows[1]];
            self.add_ring(ring.place, strand.radius, ring.tangent, material, vectors);
        }
        if is_open {
            let (first, last) = (&rings[0], &rings[count - 1]);
            for (ring, way) in [(first, -first.tangent), (last, last.tangent)] {
                self.add_end(ring, way, strand, view);
            }
        }
    }

    /// The end of an open wire.
    fn add_end(&mut self, ring: &tube::WireRing, way: Vector, strand: &Strand, view: &PictureView) {
        let corners: Vec<[f64; 3]> = (0..self.sides)
            .map(|k| {
                let (sin, cos) = (TAU * k as f64 / self.sides as f64).sin_cos();
                let out = strand.radius * (cos * ring.normal + sin * ring.aside);
                [0, 1, 2].map(|i| ring.place[i] + out[i])
            })
            .collect();
        self.add_face(&corners, &vec![way.into(); corners.len()], strand.finish as u8);
        let next = corners.iter().cycle().skip(1);
        let edges: Vec<_> = corners.iter().zip(next).map(|(a, b)| [*a, *b]).collect();
        edges.into_iter().for_each(|edge| self.add_edge(edge, view));
    }

    fn add_tool(&mut self, tool: &Solid, view: &PictureView) {
        for face in tool.faces() {
            let corners: Vec<[f64; 3]> =
                face.corners.iter().map(|corner| view.place(*corner)).collect();
            let Some(normal) = solid::normal_of(&face.corners) else { continue };
            if face.kind == FaceKind::Flat {
                // Those of faces turned away show where the tool ends.
                for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                    self.add_edge([*a, *b], view);
                }
            }
            if let ([a, b, c, d], [from, to, ..]) = (&corners[..], &face.smooth[..]) {
                // Where a round side turns away between its two lengthwise edges.
                let [from, to] = [from, to].map(|normal| view.aim(*normal)[2]);
                if (from > 0.0) != (to > 0.0) {
                    let part = from / (from - to);
                    let between =
                        |p: &[f64; 3], q: &[f64; 3]| [0, 1, 2].map(|i| p[i] + part * (q[i] - p[i]));
                    self.add_edge([between(a, b), between(d, c)], view);
                }
            }
            let normals = (0..corners.len()).map(|k| *face.smooth.get(k).unwrap_or(&normal));
            let normals: Vec<[f64; 3]> = normals.map(|normal| view.aim(normal)).collect();
            if view.aim(normal)[2] > 1e-6 {
                let material = if face.kind == FaceKind::Stripe { STRIPE } else { TOOL };
                self.add_face(&corners, &normals, material);
            }
        }
    }

    /// A convex face as triangles about its first corner.
    fn add_face(&mut self, corners: &[[f64; 3]], normals: &[[f64; 3]], material: u8) {
        for i in 1..corners.len().saturating_sub(1) {
            for k in [0, i, i + 1] {
                self.reach_to(corners[k], 0.0);
                self.faces.extend(corners[k].map(|x| x as f32));
                self.faces.push(f32::from(material));
                self.faces.extend(normals[k].map(|x| x as f32));
            }
        }
    }

    /// A dark line in space.
    fn add_edge(&mut self, [a, b]: [[f64; 3]; 2], view: &PictureView) {
        let along = Vector::from([0, 1, 2].map(|i| b[i] - a[i]));
        let Some(tangent) = along.try_normalize(1e-12) else { return };
        let vectors = [tube::any_normal(tangent).into(), [0.0; 3], [0.0; 3]];
        let radius = view.mm(0.5 * EDGE);
        self.add_ring(a, radius, tangent, f32::from(RIM), vectors);
        self.add_ring(b, radius, tangent, -1.0, vectors);
    }

    fn add_ring(
        &mut self,
        place: [f64; 3],
        radius: f64,
        tangent: Vector,
        material: f32,
        vectors: [[f64; 3]; 3],
    ) {
        self.reach_to(place, radius);
        self.rings.extend(place.map(|x| x as f32));
        self.rings.push(radius as f32);
        self.rings.extend([tangent.x as f32, tangent.y as f32, tangent.z as f32, material]);
        self.rings.extend(vectors.iter().flatten().map(|x| *x as f32));
    }

    fn reach_to(&mut self, place: [f64; 3], radius: f64) {
        self.depth = self.depth.max(1.1 * (place[2].abs() + radius));
    }
}

/// Light on metal and on a tool by the normal's share to the right and up, row by row from the
/// lowest, each from −1 to 1.
pub fn light_table() -> Vec<u8> {
    let share = |i: usize| (2.0 * (i as f64 + 0.5) / LIGHT_SIDE as f64) - 1.0;
    let byte = |light: f64| (255.0 * light.clamp(0.0, 1.0)).round() as u8;
    (0..LIGHT_SIDE * LIGHT_SIDE)
        .flat_map(|i| {
            let (x, y) = (share(i % LIGHT_SIDE), share(i / LIGHT_SIDE));
            let across = x.hypot(y).max(1.0);
            let (x, y) = (x / across, y / across);
            let normal = [x, y, (1.0 - x * x - y * y).max(0.0).sqrt()];
            [byte(tube::light(normal)), byte(solid::light(normal))]
        })
        .collect()
}

/// Red, green and blue from 0 to 1 of every material, five from dark to light each.
pub fn materials(theme: &Theme) -> Vec<f32> {
    let finishes = [Finish::Own, Finish::Other, Finish::Solder, Finish::Marked];
    let scales = finishes.map(|finish| theme.metal(finish)).into_iter();
    let accent = theme.metal(Finish::Marked);
    let scales = scales.chain([Theme::TOOLS, accent, theme.edges()]);
    let part = |part: u8| f32::from(part) / 255.0;
    scales.flatten().flat_map(|Colour(parts)| parts.map(part)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;
    use crate::geometry::curve::Point;
    use crate::geometry::link::Ring;
    use crate::render::{Camera, Viewpoint, Window, moment};

    const WINDOW: Window = Window { width: 600.0, height: 400.0 };

    fn view(scene: &Scene, home: Viewpoint) -> PictureView {
        Camera::default().view(home, scene.fit(home, WINDOW), WINDOW)
    }

    /// Every ring is on its wire: its middle on the centreline, its normal square to the tangent;
    /// and what the last is joined to is the first, corner for corner.
    #[test]
    fn rings_stand_on_the_wire_and_the_last_meets_the_first() {
        let ring = Ring::off_mandrel(1.0, 9.0, 0.0, 0.0).unwrap();
        let strand = Strand {
            curve: ring.curve(),
            radius: 0.5,
            finish: Finish::Other,
            seam: Some(3.0),
            part: None,
        };
        let scene = Scene { strands: vec![strand], ..Scene::default() };
        let view = view(&scene, Viewpoint::degrees(20.0, 40.0));
        let mut shaded = Shaded::default();
        shaded.take(&scene, &view);
        let rings: Vec<&[f32]> = shaded.rings.chunks(RING).collect();
        let middle = view.place(Point::origin()).map(|x| x as f32);
        for ring in &rings {
            let off: f32 = (0..3).map(|i| (ring[i] - middle[i]).powi(2)).sum::<f32>().sqrt();
            assert!((off - 5.0).abs() < 1e-4 && ring[3] == 0.5, "{ring:?}");
            let across: f32 = (0..3).map(|i| ring[4 + i] * ring[8 + i]).sum();
            assert!(across.abs() < 1e-4, "{ring:?}");
        }
        let (first, last) = (rings[0], rings[rings.len() - 1]);
        assert_eq!((&first[..7], &first[8..]), (&last[..7], &last[8..]));
        let of = |material: u8| rings.iter().filter(|r| r[7] == f32::from(material)).count();
        let seam = of(Finish::Solder as u8);
        assert!((1..4).contains(&seam), "{seam}");
        assert_eq!(of(Finish::Other as u8) + seam + 1, rings.len());
        assert_eq!(last[7], -1.0);
    }

    /// From any side what is given lies within the depth told, is finite, and has unit normals; each tool
    /// shows faces and edges.
    #[test]
    fn wires_and_tools_are_given_whole() {
        let forming = Design::plain(0.9, 12.0).formings().unwrap()[0];
        let mut shaded = Shaded::default();
        for (i, part) in [0.1, 0.3, 0.5, 0.7, 0.9].into_iter().enumerate() {
            let scene = moment(&forming, part);
            shaded.take(&scene, &view(&scene, Viewpoint::degrees(37.0 * i as f64, 30.0)));
            assert!(shaded.rings.iter().chain(&shaded.faces).all(|x| x.is_finite()));
            let deep = |x: f32| f64::from(x.abs()) < shaded.depth;
            assert!(shaded.rings.chunks(RING).all(|ring| deep(ring[2])));
            assert!(shaded.faces.chunks(CORNER).all(|corner| deep(corner[2])));
            let one = |n: &[f32]| (n.iter().map(|x| x * x).sum::<f32>() - 1.0).abs() < 1e-4;
            assert!(shaded.rings.chunks(RING).all(|r| one(&r[4..7]) && one(&r[8..11])));
            assert!(shaded.faces.chunks(CORNER).all(|corner| one(&corner[4..7])));
            let tools = scene.tools.iter().filter(|tool| !tool.is_faded).count();
            assert_eq!(shaded.faces.is_empty(), tools == 0, "{part}");
        }
    }

    /// A round tool has round light: normals at its corners point away from its middle line.
    #[test]
    fn a_round_tools_normals_are_those_of_a_cylinder() {
        let ends = [Point::new(-3.0, 0.0, 0.0), Point::new(5.0, 0.0, 0.0)];
        let scene = Scene { tools: vec![Solid::round(ends, [2.0, 2.0], None)], ..Scene::default() };
        let view = view(&scene, Viewpoint::degrees(0.0, 0.0));
        let mut shaded = Shaded::default();
        shaded.take(&scene, &view);
        let middle = view.place(Point::origin());
        for corner in shaded.faces.chunks(CORNER) {
            let (at, normal) = (&corner[..3], &corner[4..7]);
            for k in 1..3 {
                let out = (f64::from(at[k]) - middle[k]) / 2.0;
                assert!((f64::from(normal[k]) - out).abs() < 1e-4, "{corner:?}");
            }
        }
        assert!(shaded.faces.len() >= 31 * 6 * CORNER, "{}", shaded.faces.len());
    }

    #[test]
    fn the_table_is_the_light_of_the_facets() {
        let table = light_table();
        assert_eq!(table.len(), 2 * LIGHT_SIDE * LIGHT_SIDE);
        let at = |x: f64| ((x + 1.0) * 0.5 * LIGHT_SIDE as f64) as usize;
        for [x, y] in [[0.0, 0.0], [-0.3, 0.5], [0.4, -0.6], [0.7, 0.1]] {
            let z = f64::sqrt(1.0 - x * x - y * y);
            let place = 2 * (at(y) * LIGHT_SIDE + at(x));
            for (found, light) in [
                (table[place], tube::light([x, y, z])),
                (table[place + 1], solid::light([x, y, z])),
            ] {
                let found = f64::from(found) / 255.0;
                assert!((found - light.min(1.0)).abs() < 0.03, "{x} {y}: {found}, {light}");
            }
        }
    }

    /// What the shader has of the formulas here.
    #[test]
    fn the_shader_has_the_same_constants() {
        let text = include_str!("../web/shader/light.frag");
        for line in [
            format!("const int MATERIALS = {};", RIM + 1),
            format!("const int TOOL = {TOOL};"),
            format!("const float HORIZON = {:?};", tube::HORIZON),
            format!("const float DARKEST = {:?};", tube::DARKEST),
        ] {
            assert!(text.contains(&line), "{line}");
        }
        let text = include_str!("../web/shader/wire.vert");
        assert!(text.contains(&format!("const int RIM = {RIM};")));
        assert!(text.contains(&format!("const float THIN = {:?};", tube::THIN_RIM)));
    }

    #[test]
    fn every_material_has_five_colours() {
        for theme in Theme::ALL {
            assert_eq!(materials(theme).len(), (usize::from(RIM) + 1) * 5 * 3);
        }
    }
}
