//! Drawing: lists of marks, who looks at them, and wires and solids laid as marks.
//!
//! Knows no design. Conventions: mm, y up, the middle of the picture at the origin. Limits:
//! orthographic. Hiding sorts short lengths of wire by their depth, which is exact for spheres and
//! near enough for lengths under a wire diameter.

pub mod camera;
mod marks;
pub mod solid;
pub mod strand;
pub mod svg;
pub mod theme;
pub mod tube;

pub use camera::{Camera, Framing, PictureView, Viewpoint, Window};
pub use marks::{Anchor, Drawing, Finish, Mark, SHADES, Tone};
pub use solid::Solid;
pub use strand::Strand;
