//! The views: each what the picture shows and what stands in its panel.
//!
//! To add one: a file here with a `VIEW`, its line in [`VIEWS`], and a
//! `<section class="panel" id="panel-{id}">` in `www/index.html`. Its button makes itself.
//! A view holds no state: what a maker sets in its panel stays in the panel's own inputs, and
//! every change there calls `show` and draws again.

mod chain;
mod demonstration;
mod drape;
mod join;
mod map;
mod metal;
mod plan;
mod shape;
mod tune;

pub use drape::asked as drape_asked;
pub use join::way_chosen;
pub use map::{ID as MAP, axes as map_axes};
pub use plan::ID as PLAN;
pub use tune::{ID as TUNE, trade_of};

use super::elements::Elements;
use super::work::Work;
use crate::render::{Drawing, Scene};

/// One view.
pub struct View {
    /// Names its panel: `panel-{id}`, and its button: `view-{id}`.
    pub id: &'static str,
    /// On its button.
    pub name: &'static str,
    /// The part of the slider it is about; none where the slider has no meaning.
    pub span: Option<(f64, f64)>,
    /// What the picture shows, with the slider at the second argument.
    pub picture: fn(&Work, f64, &Elements) -> Option<Picture>,
    /// Writes the panel.
    pub show: fn(&Work, &Elements),
}

/// What the picture shows, and the words to it.
pub struct Picture {
    /// What is seen.
    pub shown: Shown,
    /// What is being done there.
    pub caption: String,
    /// Where the slider stands, in words.
    pub step: String,
}

/// What a picture is of.
pub enum Shown {
    /// Wires in space, seen by the camera.
    Scene(Scene),
    /// A ready drawing, its places in CSS pixels from the middle, and the words to it.
    Flat(Drawing, String),
}

/// Every view, the first to be seen first.
pub const VIEWS: [View; 8] = [
    shape::VIEW,
    join::VIEW,
    map::VIEW,
    metal::VIEW,
    chain::VIEW,
    drape::VIEW,
    plan::VIEW,
    tune::VIEW,
];
