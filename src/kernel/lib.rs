//! The layers that reckon with links: numbers, shapes, mechanics, motion,
//! drawing. Compiled to be fast.

#[path = "../drawing/mod.rs"]
pub mod drawing;
#[path = "../geometry/mod.rs"]
pub mod geometry;
#[path = "../math/mod.rs"]
pub mod math;
#[path = "../mechanics/mod.rs"]
pub mod mechanics;
#[path = "../motion/mod.rs"]
pub mod motion;
