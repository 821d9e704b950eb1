//! The views: each what the picture shows and what stands in its panel, functions of the model.
//!
//! To add one: a file here with a `VIEW`, its line in [`VIEWS`], and a
//! `<section class="panel" id="panel-{id}">` in `www/index.html`. Its button makes itself.
//! A view holds no state: what a maker sets in its panel stands in [`super::Controls`].

mod chain;
mod demonstration;
mod drape;
mod head;
mod join;
mod map;
mod metal;
mod plan;
mod shape;
mod tune;

pub use chain::ID as CHAIN;
pub use demonstration::demonstration;
pub use drape::{ID as DRAPE, asked as drape_asked};
pub use map::{ID as MAP, axes as map_axes};
pub use plan::ID as PLAN;
pub use tune::{ID as TUNE, trade_of};

use super::model::Model;
use super::screen::{Node, Screen};
use crate::render::{Drawing, Scene, Window};

/// One view.
pub struct View {
    /// Names its panel: `panel-{id}`, and its button: `view-{id}`.
    pub id: &'static str,
    /// On its button.
    pub name: &'static str,
    /// The part of the slider it is about; none where the slider has no meaning.
    pub span: Option<(f64, f64)>,
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

/// The picture of the view seen, in a window of this size; its words say so where it is not of
/// what is typed.
pub fn picture(model: &Model, window: Window) -> Option<Picture> {
    let picture = (VIEWS[model.view].picture)(model, window)?;
    if !model.is_at_fault() {
        return Some(picture);
    }
    let caption = "The last design that could be made, not what is typed.".to_string();
    let shown = match picture.shown {
        Shown::Flat(drawing, _) => Shown::Flat(drawing, caption.clone()),
        scene => scene,
    };
    Some(Picture { shown, caption, ..picture })
}

/// What the page is to show.
pub fn screen(model: &Model) -> Screen {
    let mut screen = Screen::default();
    head::show(model, &mut screen);
    panels(model, &mut screen);
    screen
}

/// The panel of the view seen; the others are away.
fn panels(model: &Model, screen: &mut Screen) {
    let seen = &VIEWS[model.view];
    let button = |view: &View| {
        Node::new("button", view.name)
            .with("type", "button")
            .with("id", format!("view-{}", view.id))
            .with("aria-controls", format!("panel-{}", view.id))
    };
    screen.children("views", VIEWS.iter().map(button).collect());
    for view in &VIEWS {
        let pressed = if view.id == seen.id { "true" } else { "false" };
        screen.mark(&format!("view-{}", view.id), "aria-pressed", pressed);
        screen.reveal(&format!("panel-{}", view.id), view.id == seen.id);
    }
    screen.reveal("player", seen.span.is_some());
    let is_flat = [MAP, TUNE, PLAN].contains(&seen.id);
    screen.reveal("eye", !is_flat);
    screen.reveal("hint-turn", !is_flat);
    screen.reveal("hint-map", seen.id == MAP);
    screen.reveal("hint-tune", seen.id == TUNE);
    screen.mark("picture", "data-flat", if is_flat { "true" } else { "false" });
    (seen.show)(model, screen);
}
