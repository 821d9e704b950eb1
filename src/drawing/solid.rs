//! Tools beside the wire: convex solids with plain faces and an outline, unlike wire.
//!
//! Model: a convex solid hides a place that lies beyond one of its faces turned away from the reader, and
//! is hidden by one beyond a face turned to the reader; a place outside lies beyond at least one.
//! Limits: solids are laid by the depth of their middles, so that two that cover one another must
//! not reach far past each other.

use super::PictureView;
use super::marks::{Drawing, SHADES, Tone};
use crate::geometry::curve::{Point, Pose, Vector};
use crate::math::sort::sort_by;
use std::f64::consts::TAU;

/// A convex solid.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    faces: Vec<Face>,
    /// It would hide the work: laid under the wires, and only its outline over them.
    pub is_faded: bool,
}

/// One of its faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Going round against the clock, seen from outside.
    pub corners: Vec<Point>,
    /// What it is part of.
    pub kind: FaceKind,
    /// Of a round side at its corners, outwards; none of a flat one.
    pub smooth: Vec<Vector>,
}

/// What a face is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaceKind {
    /// Part of a round side: no edge is seen between it and the next.
    Round,
    /// Flat: its edges are seen.
    Flat,
    /// Painted on a round side.
    Stripe,
}

/// Sides of a round solid.
const SIDES: usize = 64;
/// Width of an outline and of one seen through, CSS pixels.
const OUTLINE: f64 = 1.6;
/// Faces are enlarged by so much, CSS pixels, so that no ground shows between them.
const OVERLAP: f64 = 0.45;
/// Half the width of a stripe, as a share of the solid's length.
const STRIPE: f64 = 0.05;

impl Face {
    fn flat(corners: Vec<Point>) -> Face {
        Face { corners, kind: FaceKind::Flat, smooth: Vec::new() }
    }
}

impl Solid {
    /// A round solid from the middle of one end to that of the other, with the radii there; at
    /// `stripe`, a share of the way, a painted ring.
    pub fn round(ends: [Point; 2], radii: [f64; 2], stripe: Option<f64>) -> Solid {
        let along = (ends[1] - ends[0]).try_normalize(1e-12).unwrap_or_else(Vector::z);
        let least = if along.x.abs() < 0.7 { Vector::x() } else { Vector::y() };
        let first = (least - least.dot(&along) * along).normalize();
        let second = along.cross(&first);
        // Square to the side, which leans where the radii differ.
        let lean = (radii[1] - radii[0]) / (ends[1] - ends[0]).norm().max(1e-12);
        let outwards = |i: usize| {
            let (sin, cos) = (TAU * i as f64 / SIDES as f64).sin_cos();
            (cos * first + sin * second - lean * along).normalize()
        };
        let ring = |share: f64| -> Vec<Point> {
            let middle = ends[0] + share * (ends[1] - ends[0]);
            let radius = radii[0] + share * (radii[1] - radii[0]);
            (0..SIDES)
                .map(|i| {
                    let (sin, cos) = (TAU * i as f64 / SIDES as f64).sin_cos();
                    middle + radius * (cos * first + sin * second)
                })
                .collect()
        };
        let mut levels = vec![(0.0, FaceKind::Round)];
        if let Some(at) = stripe {
            let [low, high] = [at - STRIPE, at + STRIPE].map(|share| share.clamp(0.01, 0.99));
            levels.extend([(low, FaceKind::Stripe), (high, FaceKind::Round)]);
        }
        levels.push((1.0, FaceKind::Flat));
        let mut faces = Vec::new();
        for pair in levels.windows(2) {
            let [low, high] = [ring(pair[0].0), ring(pair[1].0)];
            for i in 0..SIDES {
                let j = (i + 1) % SIDES;
                let smooth = [i, j, j, i].map(outwards).to_vec();
                let corners = vec![low[i], low[j], high[j], high[i]];
                faces.push(Face { corners, kind: pair[0].1, smooth });
            }
        }
        faces.extend([ring(0.0), ring(1.0)].map(Face::flat));
        Solid::of(faces)
    }

    /// What a convex outline sweeps when it is moved by `along`.
    pub fn prism(outline: &[Point], along: Vector) -> Solid {
        let far: Vec<Point> = outline.iter().map(|corner| corner + along).collect();
        // Many short sides are a round one.
        let kind = if outline.len() > 8 { FaceKind::Round } else { FaceKind::Flat };
        let count = outline.len();
        let side = |i: usize| (outline[(i + 1) % count] - outline[i % count]).cross(&along);
        let at = |i: usize| {
            let both = side(i + count - 1).normalize() + side(i).normalize();
            both.try_normalize(1e-9).unwrap_or_else(|| side(i))
        };
        let mut faces: Vec<Face> = (0..count)
            .map(|i| {
                let j = (i + 1) % count;
                let smooth = match kind {
                    FaceKind::Flat => Vec::new(),
                    _ => [i, j, j, i].map(at).to_vec(),
                };
                Face { corners: vec![outline[i], outline[j], far[j], far[i]], kind, smooth }
            })
            .collect();
        faces.extend([outline.to_vec(), far].map(Face::flat));
        Solid::of(faces)
    }

    /// A block about `middle`, with half its edges.
    pub fn block(middle: Point, [a, b, c]: [Vector; 3]) -> Solid {
        let start = middle - c;
        Solid::prism(&[start - a - b, start + a - b, start + a + b, start - a + b], 2.0 * c)
    }

    /// From its faces, turned outwards; those without extent fall away.
    fn of(mut faces: Vec<Face>) -> Solid {
        let all = || faces.iter().flat_map(|face| &face.corners);
        let sum: Vector = all().map(|corner| corner.coords).sum();
        let middle = Point::from(sum / all().count().max(1) as f64);
        faces.retain_mut(|face| {
            let Some(mut normal) = normal_of(&face.corners) else { return false };
            if normal.dot(&(face.corners[0] - middle)) < 0.0 {
                face.corners.reverse();
                face.smooth.reverse();
                normal = -normal;
            }
            for smooth in &mut face.smooth {
                *smooth *= normal.dot(smooth).signum();
            }
            true
        });
        Solid { faces, is_faded: false }
    }

    /// The same seen through.
    pub fn faded(self) -> Solid {
        Solid { is_faded: true, ..self }
    }

    /// The same elsewhere.
    pub fn moved(mut self, pose: &Pose) -> Solid {
        let corners = self.faces.iter_mut().flat_map(|face| &mut face.corners);
        corners.for_each(|corner| *corner = pose * *corner);
        let smooth = self.faces.iter_mut().flat_map(|face| &mut face.smooth);
        smooth.for_each(|normal| *normal = pose.rotation * *normal);
        self
    }

    /// Its corners.
    pub fn corners(&self) -> impl Iterator<Item = Point> {
        self.faces.iter().flat_map(|face| face.corners.iter().copied())
    }

    /// Its faces, each going round against the clock as seen from outside.
    pub fn faces(&self) -> &[Face] {
        &self.faces
    }

    /// The solid as `view` sees it.
    pub fn seen(&self, view: &PictureView) -> SeenSolid {
        let faces: Vec<SeenFace> = self
            .faces
            .iter()
            .filter_map(|face| {
                let normal = view.aim(normal_of(&face.corners)?);
                let [x, y, z] = view.place(face.corners[0]);
                let from_middle = normal[0] * x + normal[1] * y + normal[2] * z;
                let corners = face.corners.iter().map(|corner| view.flat(*corner)).collect();
                Some(SeenFace { normal, from_middle, corners, kind: face.kind })
            })
            .collect();
        let corners = self.corners().map(|corner| view.place(corner));
        let (depth, count) = corners.fold((0.0, 0.0), |(sum, n), at| (sum + at[2], n + 1.0));
        let outline = hull(faces.iter().flat_map(|face| face.corners.iter().copied()).collect());
        SeenSolid { faces, outline, depth: depth / f64::max(count, 1.0) }
    }
}

/// The unit normal of a polygon, on the side from which it goes round against the clock.
pub fn normal_of(corners: &[Point]) -> Option<Vector> {
    let around = corners.iter().zip(corners.iter().cycle().skip(1));
    let sum: Vector = around.map(|(a, b)| (a - corners[0]).cross(&(b - corners[0]))).sum();
    sum.try_normalize(1e-12)
}

/// A solid in the picture's axes.
pub struct SeenSolid {
    faces: Vec<SeenFace>,
    /// Against the clock.
    pub outline: Vec<[f64; 2]>,
    /// How near to the reader its middle is.
    pub depth: f64,
}

struct SeenFace {
    normal: [f64; 3],
    from_middle: f64,
    corners: Vec<[f64; 2]>,
    kind: FaceKind,
}

impl SeenSolid {
    /// Whether a place with `reach` mm of metal round it covers the solid on the picture.
    pub fn is_behind(&self, at: [f64; 3], reach: f64) -> bool {
        let beyond = |face: &SeenFace| {
            let [x, y, z] = face.normal;
            x * at[0] + y * at[1] + z * at[2] - face.from_middle
        };
        let farthest = self.faces.iter().max_by(|a, b| beyond(a).total_cmp(&beyond(b)));
        farthest.is_some_and(|face| face.normal[2] > 0.0) && self.is_near([at[0], at[1]], reach)
    }

    /// Whether the outline comes so near to a place on the picture.
    fn is_near(&self, [x, y]: [f64; 2], reach: f64) -> bool {
        self.outline.iter().zip(self.outline.iter().cycle().skip(1)).all(|(a, b)| {
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            // To the right of the edge is outside.
            (x - a[0]) * dy - (y - a[1]) * dx < reach * dx.hypot(dy)
        })
    }

    /// Lays the faces turned to the reader, and the edges that are seen.
    pub fn lay(&self, view: &PictureView, drawing: &mut Drawing) {
        let overlap = view.mm(OVERLAP);
        let to_reader = || self.faces.iter().filter(|face| face.normal[2] > 1e-6);
        for face in to_reader() {
            let tone = match face.kind {
                FaceKind::Stripe => Tone::Accent,
                _ => {
                    let shade = (light(face.normal) * f64::from(SHADES - 1)).round() as u8;
                    Tone::Tool { shade }
                }
            };
            match face.corners[..] {
                [a, b, c, d] => drawing.fill(tone, &widened([a, b, c, d], overlap)),
                _ => drawing.fill(tone, &enlarged(&face.corners, overlap)),
            }
        }
        let edges = to_reader().filter(|face| face.kind == FaceKind::Flat);
        for corners in edges.map(|face| &face.corners).chain([&self.outline]) {
            stroke_round(Tone::Rim, corners, view.mm(OUTLINE), drawing);
        }
    }

    /// Lays what stands for it under the wires.
    pub fn lay_under(&self, drawing: &mut Drawing) {
        drawing.fill(Tone::Square, &self.outline);
    }

    /// Lays its outline over the wires.
    pub fn lay_over(&self, view: &PictureView, drawing: &mut Drawing) {
        stroke_round(Tone::Faint, &self.outline, view.mm(OUTLINE), drawing);
        for face in self.faces.iter().filter(|face| face.normal[2] > 1e-6) {
            if face.kind == FaceKind::Flat {
                stroke_round(Tone::Faint, &face.corners, view.mm(0.6 * OUTLINE), drawing);
            }
        }
    }
}

fn stroke_round(tone: Tone, corners: &[[f64; 2]], width: f64, drawing: &mut Drawing) {
    let closed: Vec<[f64; 2]> = corners.iter().chain(corners.first()).copied().collect();
    drawing.stroke(tone, &closed, width);
}

/// Dull, with a narrow range of light, where wire is polished.
pub fn light([x, y, z]: [f64; 3]) -> f64 {
    let lamp = (-0.40 * x + 0.72 * y + 0.567 * z).max(0.0);
    (0.2 + 0.7 * lamp).clamp(0.0, 1.0)
}

/// A four-cornered face with every side moved out by about `by` mm: a long one grows as much to its
/// sides as at its ends.
pub fn widened([a, b, c, d]: [[f64; 2]; 4], by: f64) -> [[f64; 2]; 4] {
    let along = unit([b[0] + c[0] - a[0] - d[0], b[1] + c[1] - a[1] - d[1]], by);
    let across = unit([c[0] + d[0] - a[0] - b[0], c[1] + d[1] - a[1] - b[1]], by);
    let moved = |p: [f64; 2], s: f64, t: f64| {
        [p[0] + s * along[0] + t * across[0], p[1] + s * along[1] + t * across[1]]
    };
    [moved(a, -1.0, -1.0), moved(b, 1.0, -1.0), moved(c, 1.0, 1.0), moved(d, -1.0, 1.0)]
}

/// A direction, `by` mm long; none where it is none.
fn unit([x, y]: [f64; 2], by: f64) -> [f64; 2] {
    let share = by / (x * x + y * y).sqrt().max(1e-9);
    [share * x, share * y]
}

/// A polygon with every corner `by` mm further from its middle.
pub fn enlarged(corners: &[[f64; 2]], by: f64) -> Vec<[f64; 2]> {
    let count = corners.len() as f64;
    let middle = [0, 1].map(|i| corners.iter().map(|c| c[i]).sum::<f64>() / count);
    let moved = |&[x, y]: &[f64; 2]| {
        let (dx, dy) = (x - middle[0], y - middle[1]);
        let share = by / dx.hypot(dy).max(1e-9);
        [x + share * dx, y + share * dy]
    };
    corners.iter().map(moved).collect()
}

/// The convex hull, against the clock (Andrew's monotone chain).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    sort_by(&mut points, |a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    let chain = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut kept: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = kept[..]
                && (b[0] - a[0]) * (p[1] - a[1]) <= (b[1] - a[1]) * (p[0] - a[0])
            {
                kept.pop();
            }
            kept.push(p);
        }
        kept.pop();
        kept
    };
    let mut below = chain(&mut points.iter().copied());
    below.extend(chain(&mut points.iter().rev().copied()));
    below
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Camera, Framing, Viewpoint, Window};

    fn view(home: Viewpoint) -> PictureView {
        let fit = Framing { centre: Point::origin(), scale: 20.0 };
        Camera::default().view(home, fit, Window { width: 600.0, height: 600.0 })
    }

    /// Whether a ray from a place outside a block, towards the reader, meets it: by stepping along it.
    #[test]
    fn what_a_solid_hides_is_what_has_it_towards_the_reader() {
        let half = [2.0, 1.0, 0.5];
        let axes = [Vector::x(), Vector::y(), Vector::z()];
        let block = Solid::block(Point::origin(), [0, 1, 2].map(|i| half[i] * axes[i]));
        let (mut hidden, mut hiding) = (0, 0);
        for turn in 0..12 {
            let home = Viewpoint::degrees(30.0 * f64::from(turn) + 7.0, 23.0);
            let view = view(home);
            let seen = block.seen(&view);
            for i in 0..300 {
                let golden = [0.754_877_666, 0.569_840_291, 0.430_159_709];
                let p = Point::from(golden.map(|g| 8.0 * ((f64::from(i) * g).fract() - 0.5)));
                let inside = |p: Point| (0..3).all(|k| p[k].abs() <= half[k]);
                if inside(p) {
                    continue;
                }
                let toward = Vector::new(
                    view.aim(Vector::x())[2],
                    view.aim(Vector::y())[2],
                    view.aim(Vector::z())[2],
                );
                let along =
                    |sign: f64| (1..800).any(|k| inside(p + sign * 0.02 * f64::from(k) * toward));
                let behind = seen.is_behind(view.place(p), 1e-9);
                assert!(!(along(1.0) && behind), "hidden, yet laid over it: {p:?}");
                assert!(!along(-1.0) || behind, "before it, yet laid under it: {p:?}");
                hidden += usize::from(along(1.0));
                hiding += usize::from(along(-1.0));
            }
        }
        assert!(hidden > 100 && hiding > 100, "{hidden} {hiding}");
    }

    #[test]
    fn a_round_solid_is_as_wide_and_long_as_told() {
        let ends = [Point::new(-3.0, 0.0, 0.0), Point::new(5.0, 0.0, 0.0)];
        let solid = Solid::round(ends, [2.0, 1.0], Some(0.5));
        let mut drawing = Drawing::default();
        solid
            .seen(&view(Viewpoint::degrees(0.0, 0.0)))
            .lay(&view(Viewpoint::default()), &mut drawing);
        let [low, high] = drawing.extents(|tone| matches!(tone, Tone::Tool { .. })).unwrap();
        let reach = 0.03;
        assert!((low[0] + 3.0).abs() < reach && (high[0] - 5.0).abs() < reach, "{low:?} {high:?}");
        assert!((low[1] + 2.0).abs() < reach && (high[1] - 2.0).abs() < reach, "{low:?} {high:?}");
        let [low, high] = drawing.extents(|tone| tone == Tone::Accent).unwrap();
        assert!(low[0] > 0.0 && high[0] < 2.0, "{low:?} {high:?}");
    }
}
