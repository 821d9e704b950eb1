//! Parts to be printed, cut or filed: upright prisms, each of which turns what it covers from empty
//! to solid or back.
//!
//! A plate is one prism, a pocket in it a second that ends at the floor, a pin on it a third that
//! begins at its top. Where contours neither cross nor touch, the surface follows without any cut
//! of solids: a wall round every prism, and level faces between the contours that begin or end at
//! their height. Walls and faces share their corners, so that the surface is closed.
//! Limits: a contour that runs on through a height lies in none of the level faces there.
//! Triangles: constrained Delaunay, by the `spade` crate, which keeps every corner.
//! Evidence: `tests/jigs.rs`.

use super::error::MOST_TRIANGLES;
use super::{MeshError, Surface};
use crate::geometry::curve::Point;
use crate::math::sort::sort_numbers;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

/// A closed line in the plane, mm; the first point is not repeated.
pub type Contour = Vec<[f64; 2]>;

/// What stands over a contour, between two heights.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Prism {
    /// Seen from above.
    pub contour: Contour,
    /// Height it begins at, mm.
    pub from: f64,
    /// Height it ends at, mm.
    pub to: f64,
}

/// Corners nearer to one another than this are one, mm: single precision holds no more of a part a
/// foot long.
const ONE: f64 = 1e-4;

/// Twice the area within, above zero where it runs anticlockwise.
fn twice_area(contour: &[[f64; 2]]) -> f64 {
    let next = contour.iter().cycle().skip(1);
    contour.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
}

fn is_within(contour: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let next = contour.iter().cycle().skip(1);
    let crossings = contour.iter().zip(next).filter(|(a, b)| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossings.count() % 2 == 1
}

impl Surface {
    /// The surface of what `prisms` leave solid, straying from their true walls by at most `stray`
    /// mm, as whoever wrote the contours knows.
    ///
    /// # Errors
    /// [`MeshError::Nothing`] where there is none; [`MeshError::Touching`] where contours touch or
    /// cross, or one is no closed line.
    ///
    /// # Examples
    /// ```
    /// use linkfold::mesh::{Prism, Surface};
    /// let square = |half: f64| vec![[-half, -half], [half, -half], [half, half], [-half, half]];
    /// let plate = Prism { contour: square(5.0), from: 0.0, to: 3.0 };
    /// let pocket = Prism { contour: square(2.0), from: 1.0, to: 3.0 };
    /// assert!(Surface::prisms(&[plate, pocket], 0.0)?.triangles().len() > 16);
    /// # Ok::<(), linkfold::mesh::MeshError>(())
    /// ```
    pub fn prisms(prisms: &[Prism], stray: f64) -> Result<Surface, MeshError> {
        let prisms: Vec<Prism> = prisms.iter().map(sound).collect::<Result<_, _>>()?;
        if prisms.is_empty() {
            return Err(MeshError::Nothing);
        }
        let corners: usize = prisms.iter().map(|prism| prism.contour.len()).sum();
        if corners > MOST_TRIANGLES / 8 {
            return Err(MeshError::Touching);
        }
        let mut surface =
            Surface { places: vec![], normals: vec![], triangles: vec![], deviation: stray };
        // Where each prism's lower and upper corners begin.
        let mut first = Vec::with_capacity(prisms.len());
        for prism in &prisms {
            first.push(surface.places.len() as u32);
            for z in [prism.from, prism.to] {
                surface.places.extend(prism.contour.iter().map(|[x, y]| Point::new(*x, *y, z)));
            }
        }
        for (k, prism) in prisms.iter().enumerate() {
            let count = prism.contour.len() as u32;
            let is_solid_within = solid_within(&prisms, k)?;
            for i in 0..count {
                let (a, b) = (first[k] + i, first[k] + (i + 1) % count);
                let (c, d) = (b + count, a + count);
                let quad = [[a, b, c], [a, c, d]];
                surface.triangles.extend(quad.map(|t| outward(t, is_solid_within)));
            }
        }
        let mut levels: Vec<f64> = prisms.iter().flat_map(|p| [p.from, p.to]).collect();
        sort_numbers(&mut levels);
        levels.dedup();
        for z in levels {
            surface.add_level(&prisms, &first, z)?;
        }
        Ok(surface)
    }

    /// The faces at height `z`.
    fn add_level(&mut self, prisms: &[Prism], first: &[u32], z: f64) -> Result<(), MeshError> {
        let (mut corners, mut edges) = (Vec::new(), Vec::new());
        for (prism, first) in prisms.iter().zip(first) {
            let count = prism.contour.len();
            let offset = match (prism.from == z, prism.to == z) {
                (true, _) => 0,
                (_, true) => count,
                _ => continue,
            };
            let start = corners.len();
            corners.extend(prism.contour.iter().enumerate().map(|(i, [x, y])| PrismCorner {
                at: Point2::new(*x, *y),
                index: first + (offset + i) as u32,
            }));
            edges.extend((0..count).map(|i| [start + i, start + (i + 1) % count]));
        }
        let (wanted, walls) = (corners.len(), edges.len());
        let mut crosses = false;
        let net = ConstrainedDelaunayTriangulation::<PrismCorner>::try_bulk_load_cdt(
            corners,
            edges,
            |_| crosses = true,
        );
        let net = net.map_err(|_| MeshError::Touching)?;
        if crosses || net.num_vertices() != wanted || net.num_constraints() != walls {
            return Err(MeshError::Touching);
        }
        let solid = |at: [f64; 2], above: bool| {
            let covers = |p: &&Prism| {
                let reaches = if above { p.from <= z && z < p.to } else { p.from < z && z <= p.to };
                reaches && is_within(&p.contour, at)
            };
            prisms.iter().filter(covers).count() % 2 == 1
        };
        // Neighbours that no contour parts belong to one face.
        let mut seen = vec![false; net.num_all_faces()];
        for start in net.inner_faces() {
            let mut open = vec![start];
            let mut face = Vec::new();
            while let Some(triangle) = open.pop() {
                if std::mem::replace(&mut seen[triangle.index()], true) {
                    continue;
                }
                face.push(triangle);
                for edge in triangle.adjacent_edges() {
                    let other = edge.rev().face().as_inner();
                    open.extend(other.filter(|_| !edge.is_constraint_edge()));
                }
            }
            let largest = face.iter().max_by(|a, b| a.area().total_cmp(&b.area()));
            let Some(middle) = largest.map(|triangle| triangle.center()) else { continue };
            let [below, above] = [false, true].map(|up| solid([middle.x, middle.y], up));
            if below != above {
                let corners = face.iter().map(|t| t.vertices().map(|v| v.data().index));
                self.triangles.extend(corners.map(|t| outward(t, below)));
            }
        }
        Ok(())
    }
}

/// A corner on its way through the triangulation.
struct PrismCorner {
    at: Point2<f64>,
    index: u32,
}

impl HasPosition for PrismCorner {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        self.at
    }
}

/// The prism with its contour anticlockwise and no two corners in one place.
fn sound(prism: &Prism) -> Result<Prism, MeshError> {
    let is_one = |a: &[f64; 2], b: &[f64; 2]| !((a[0] - b[0]).hypot(a[1] - b[1]) >= ONE);
    let mut contour = prism.contour.clone();
    contour.dedup_by(|a, b| is_one(a, b));
    while contour.len() > 1 && is_one(&contour[0], &contour[contour.len() - 1]) {
        contour.pop();
    }
    let area = twice_area(&contour);
    if contour.len() < 3 || !(area.abs() > ONE * ONE) || !(prism.to - prism.from > ONE) {
        return Err(MeshError::Touching);
    }
    if area < 0.0 {
        contour.reverse();
    }
    Ok(Prism { contour, ..*prism })
}

/// Whether prism `k` is solid inside its wall, the same all the way up.
fn solid_within(prisms: &[Prism], k: usize) -> Result<bool, MeshError> {
    let own = &prisms[k];
    let round =
        |other: &&Prism| !std::ptr::eq(*other, own) && is_within(&other.contour, own.contour[0]);
    let round: Vec<&Prism> = prisms.iter().filter(round).collect();
    let mut heights: Vec<f64> = round.iter().flat_map(|p| [p.from, p.to]).collect();
    heights.extend([own.from, own.to]);
    heights.retain(|z| (own.from..=own.to).contains(z));
    sort_numbers(&mut heights);
    let at = |z: f64| round.iter().filter(|p| p.from < z && z < p.to).count() % 2 == 0;
    let bands = heights.windows(2).filter(|pair| pair[1] > pair[0]);
    let mut solid = bands.map(|pair| at(0.5 * (pair[0] + pair[1])));
    let lowest = solid.next().ok_or(MeshError::Touching)?;
    if solid.all(|band| band == lowest) { Ok(lowest) } else { Err(MeshError::Touching) }
}

/// A triangle as it is, or seen from behind.
fn outward([a, b, c]: [u32; 3], as_is: bool) -> [u32; 3] {
    if as_is { [a, b, c] } else { [a, c, b] }
}
