//! The layers that reckon with links: numbers, shapes, mechanics, motion,
//! drawing. Compiled to be fast.

#[path = "../../src/drawing/mod.rs"]
pub mod drawing;
#[path = "../../src/geometry/mod.rs"]
pub mod geometry;
#[path = "../../src/math/mod.rs"]
pub mod math;
#[path = "../../src/mechanics/mod.rs"]
pub mod mechanics;
#[path = "../../src/motion/mod.rs"]
pub mod motion;
