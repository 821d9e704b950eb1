//! Pictures: what to draw, as plain lists of marks in mm of the view plane.
//!
//! One list serves the canvas, the SVG file and the tests. A [`Scene`] holds wires and
//! calliper measures in space; a [`Camera`] looks at it; [`Scene::draw_into`] makes a
//! [`Drawing`], far marks first. Tones carry meaning only; [`Theme`] turns them into
//! colours where it is drawn.
//! Conventions: mm, y up, the middle of the picture at the origin. Sizes a reader sees
//! (text, line widths) are given in CSS pixels and divided by the view's scale.
//! Limits: orthographic. Hiding sorts short lengths of wire by their depth, which is exact
//! for spheres and near enough for lengths under a wire diameter.

pub mod chain;
mod code;
mod comb;
mod covered;
mod demonstration;
mod handout;
mod jig;
mod joining;
mod lesson;
mod link_picture;
mod making;
mod map_chart;
mod measure;
mod plan;
mod scene;
mod shaded;
pub mod sheet;
mod shot;
mod spot;
mod steps;
mod strain;
mod tools;
mod trade_off;
mod wall_chart;

use crate::drawing::{self, camera, solid, strand, svg, theme, tube};
pub use crate::drawing::{
    Anchor, Camera, Drawing, Finish, Framing, Mark, PictureView, SHADES, Solid, Strand, Tone,
    Viewpoint, Window,
};
pub use code::code;
pub use comb::Comb;
pub use demonstration::{Chapter, moment};
pub use handout::Handout;
pub use jig::{jig_picture, jig_svg};
pub use joining::{Joining, phase_name, phase_words};
pub use lesson::{Pace, TIGHTEST, Taught, short_verdict};
pub use link_picture::LinkPicture;
pub use map_chart::MapChart;
pub use measure::Measure;
pub use plan::lay_out;
pub use scene::{Arrow, Callout, Scene};
pub use shaded::{CORNER, LIGHT_SIDE, RING, Shaded, light_table, materials};
pub use spot::ClosestPlaces;
pub use strain::strained;
pub use svg::{PIXELS_PER_MM, svg};
pub use theme::{Colour, MetalLook, Theme};
pub use trade_off::TradeOffChart;
pub use tube::RIM;
pub use wall_chart::wall_chart;
