//! Forming: a ring becomes an oval, a figure eight and a folded loop.
//!
//! Model: bending does not stretch the centreline, so every state keeps the ring's
//! length; outlines are arcs and straights, tangent-continuous. The figure eight is
//! folded by wrapping it on a cylinder without stretch, and the wrapped part is written
//! as arcs.
//! Conventions: mm, radians. Flat shapes lie in the (u, v) plane, long axis u. Folded
//! loops: z along the chain, fold at z = 0 and lobes up; x leg to leg; y along the
//! fold's axis.
//! Limits: shapes while held in the jaws.
//! Evidence: `tests/link_shapes.rs`, `tests/handbook.rs`.

mod dimension;
mod eight;
mod error;
mod fold;
mod fold_span;
mod outline;
mod oval;
mod quarter;
mod ring;
mod steps;
mod wire_region;

pub use dimension::{ToolDimension, ToolDimensions};
pub use eight::Eight;
pub use error::{FormError, Obstacle};
pub use fold::{Fold, WRAP_DEVIATION};
pub use fold_span::FoldSpan;
pub use outline::{CHORD_ERROR, OutlineShape, boundary, circle, parallel, push_arc, side_view};
pub use oval::Oval;
pub use ring::Ring;
pub use steps::{Forming, Step, StepShape};
pub use wire_region::WireRegion;
