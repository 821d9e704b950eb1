//! Round wire as watertight surfaces of triangles, and the files that carry them to a printer
//! or a viewer.
//!
//! Mesh: a [`Tube`] is the surface of round wire along a closed centreline: rings of corners
//! on the true surface, in frames that turn no more about the wire than they must, and what is
//! left over at the end spread evenly. A [`Mesh`] places tubes; each is a closed shell of its
//! own, also where wires touch.
//! Conventions: mm and a link's own axes in the core and in STL; metres and y up in glTF, as
//! the standard says. Outward sides are seen anticlockwise.
//! Limits: centrelines that bend no tighter than the wire's own radius; whether the wire
//! overlaps itself or others is the caller's to know.
//! Evidence: `tests/mesh.rs`.

mod glb;
mod model;
mod stl;
mod tube;

pub use glb::glb;
pub use model::{MOST_TRIANGLES, Mesh, MeshPart, SCALES};
pub use stl::stl;
pub use tube::Tube;

/// Why there is no such surface.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshError {
    /// A number lies outside what works.
    #[error("{field} is {value}; it has to be from {least} to {most}")]
    Outside {
        /// Which number.
        field: &'static str,
        /// What was asked for.
        value: f64,
        /// The least that works.
        least: f64,
        /// The most that works.
        most: f64,
    },
    /// The wire would fold into itself.
    #[error(
        "the centreline bends at a radius of {radius_mm:.4} mm; wire of {wire_mm:.4} mm needs more than {:.4} mm",
        0.5 * wire_mm
    )]
    BendTooTight {
        /// Radius of the tightest bend, mm.
        radius_mm: f64,
        /// Wire diameter, mm.
        wire_mm: f64,
    },
    /// More triangles than a file should hold.
    #[error(
        "the surface takes {triangles:.0} triangles, at most {MOST_TRIANGLES} are written; ask for fewer links, or let it stray by {stray_mm:.2e} mm of the link"
    )]
    TooMany {
        /// How many it takes.
        triangles: f64,
        /// How far it may stray for it to work, before scaling, mm.
        stray_mm: f64,
    },
    /// There is nothing to place.
    #[error("there is no link to make a surface of; ask for one at least")]
    Nothing,
}

/// `value`, if it is from `least` to `most`.
fn within(field: &'static str, value: f64, [least, most]: [f64; 2]) -> Result<f64, MeshError> {
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(MeshError::Outside { field, value, least, most })
    }
}
