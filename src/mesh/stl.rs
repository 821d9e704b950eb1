//! Binary STL: 80 bytes of heading, a count, and for each triangle its normal, its three
//! corners and two spare bytes; everything little-endian and in single precision. The format
//! states no unit; printers take mm, and so do we.
//! Source: M. Burns, *Automated Fabrication*, 1993, section 6.5, as reprinted by fabbers.com.

use super::{Mesh, MeshContent};
use crate::geometry::curve::{Point, Vector};

/// What stands in front; must not begin with "solid", by which text files are known.
const HEADING: &str = "linkfold: round wire, lengths in mm";

/// Writes `model` as a binary STL file.
pub fn stl(model: &Mesh) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(84 + 50 * model.triangles());
    let heading = match model.content() {
        MeshContent::Wire => HEADING,
        MeshContent::Printed(note) => note,
    };
    bytes.extend(heading.bytes().take(80));
    bytes.resize(80, 0);
    bytes.extend_from_slice(&(model.triangles() as u32).to_le_bytes());
    let put = |bytes: &mut Vec<u8>, [x, y, z]: [f64; 3]| {
        for value in [x, y, z] {
            bytes.extend_from_slice(&(value as f32).to_le_bytes());
        }
    };
    for part in model.parts() {
        for pose in &part.poses {
            let place = |p: &Point| (pose * p).coords * model.scale();
            let places: Vec<Vector> = part.surface.places().iter().map(place).collect();
            for corners in part.surface.triangles() {
                let [a, b, c] = corners.map(|i| places[i as usize]);
                let normal = (b - a).cross(&(c - a));
                let normal = normal.try_normalize(0.0).unwrap_or_default();
                put(&mut bytes, normal.into());
                for corner in [a, b, c] {
                    put(&mut bytes, corner.into());
                }
                bytes.extend_from_slice(&[0, 0]);
            }
        }
    }
    bytes
}
