//! What a view is.

use crate::app::model::Model;
use crate::app::screen::Screen;
use crate::render::{Drawing, Scene, Window};

/// One view.
pub struct View {
    /// Which of [`VIEWS`](crate::app::tabs::VIEWS) it is.
    pub id: &'static str,
    /// What the picture shows in a window of this size.
    pub picture: fn(&Model, Window) -> Option<Picture>,
    /// Writes the panel.
    pub show: fn(&Model, &mut Screen),
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
    Scene(Box<Scene>),
    /// A ready drawing, its places in CSS pixels from the middle, and the words to it.
    Flat(Drawing, String),
}
