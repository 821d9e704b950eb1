//! Round wire as watertight surfaces of triangles, and the files that carry them to a printer
//! or a viewer.
//!
//! Mesh: a [`Surface::tube`] is the surface of round wire along a closed centreline: rings of
//! corners on the true surface, in frames that turn no more about the wire than they must, and what
//! is left over at the end spread evenly. A [`Mesh`] places tubes; each is a closed shell of its
//! own, also where wires touch. What is printed to work with is a [`Surface::prisms`]: upright
//! prisms, each of which turns what it covers from empty to solid or back.
//! Conventions: mm and a link's own axes in the core and in STL; metres and y up in glTF, as
//! the standard says. Outward sides are seen anticlockwise.
//! Limits: centrelines that bend no tighter than the wire's own radius; whether the wire
//! overlaps itself or others is the caller's to know.
//! Evidence: `tests/mesh.rs`, `tests/jigs.rs`.

mod error;
mod glb;
mod model;
mod prism;
mod stl;
mod surface;

pub use error::{MOST_TRIANGLES, MeshError};
pub use glb::glb;
pub use model::{Mesh, MeshContent, MeshPart, SCALES};
pub use prism::{Contour, Prism};
pub use stl::stl;
pub use surface::Surface;
