//! Surfaces in their places, at a scale.

use super::error::{MOST_TRIANGLES, within};
use super::{MeshError, Surface};
use crate::geometry::curve::{Point, Pose, Vector};

/// Scales a model is made at.
pub const SCALES: [f64; 2] = [1e-3, 1e3];
/// Half the last digit of single precision, in which both formats keep places.
const ROUNDING: f64 = 0.5 * f32::EPSILON as f64;

/// One surface, wherever it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct MeshPart {
    /// The surface.
    pub surface: Surface,
    /// Where it lies.
    pub poses: Vec<Pose>,
}

/// What is to be known of a mesh by whoever opens its file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MeshContent {
    /// Round wire.
    Wire,
    /// Parts to be printed, with a note in the file: plain letters, no quotes, 79 at most.
    Printed(&'static str),
}

/// Surfaces in their places; never empty, and never more than a file should hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    parts: Vec<MeshPart>,
    scale: f64,
    content: MeshContent,
}

impl Mesh {
    /// Places wires and enlarges the whole about the origin.
    ///
    /// # Errors
    /// [`MeshError`] where nothing is placed, the scale makes no sense, or there would be too
    /// many triangles.
    pub fn new(parts: Vec<MeshPart>, scale: f64) -> Result<Mesh, MeshError> {
        let scale = within("scale", scale, SCALES)?;
        let of = |part: &MeshPart| part.surface.triangles().len() as f64 * part.poses.len() as f64;
        let triangles: f64 = parts.iter().map(of).sum();
        if !(triangles > 0.0) {
            return Err(MeshError::Nothing);
        }
        if triangles > MOST_TRIANGLES as f64 {
            let strays = parts.iter().map(|part| part.surface.deviation());
            let coarser = 1.1 * triangles / MOST_TRIANGLES as f64;
            let stray_mm = coarser * strays.fold(0.0, f64::max);
            return Err(MeshError::TooMany { triangles, stray_mm });
        }
        Ok(Mesh { parts, scale, content: MeshContent::Wire })
    }

    /// Parts to be printed, where they lie, with a note in their file.
    ///
    /// # Errors
    /// [`MeshError`] where there are none, or they would take too many triangles.
    pub fn printed(surfaces: Vec<Surface>, note: &'static str) -> Result<Mesh, MeshError> {
        let place = |surface| MeshPart { surface, poses: vec![Pose::identity()] };
        let mesh = Mesh::new(surfaces.into_iter().map(place).collect(), 1.0)?;
        Ok(Mesh { content: MeshContent::Printed(note), ..mesh })
    }

    /// The surfaces, before scaling.
    pub fn parts(&self) -> &[MeshPart] {
        &self.parts
    }

    /// What it is of.
    pub fn content(&self) -> MeshContent {
        self.content
    }

    /// What everything is enlarged by: length in the file over length of the work.
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// How many triangles there are.
    pub fn triangles(&self) -> usize {
        self.parts.iter().map(|part| part.surface.triangles().len() * part.poses.len()).sum()
    }

    /// Least and greatest coordinates, scaled, mm.
    pub fn extents(&self) -> [Point; 2] {
        let (mut low, mut high) =
            (Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
        for part in &self.parts {
            for pose in &part.poses {
                for place in part.surface.places() {
                    let place = (pose * place).coords * self.scale;
                    (low, high) = (low.inf(&place), high.sup(&place));
                }
            }
        }
        [low.into(), high.into()]
    }

    /// No point of it in an STL file is further than this from the scaled wires' surface, mm:
    /// what the triangles stray by, and the rounding of their corners.
    pub fn deviation(&self) -> f64 {
        let strays = self.parts.iter().map(|part| part.surface.deviation());
        let [low, high] = self.extents();
        let furthest = low.coords.abs().sup(&high.coords.abs()).norm();
        self.scale * strays.fold(0.0, f64::max) + ROUNDING * furthest
    }
}
