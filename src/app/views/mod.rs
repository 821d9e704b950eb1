//! The views: each what the picture shows and what stands in its panel, functions of the model.
//!
//! To add one: its name in [`tabs::VIEWS`], a file here with a `VIEW`, its line in [`VIEWS`], and a
//! `<section class="panel" id="panel-{id}">` in `www/index.html`. Its button makes itself.
//! A view holds no state: what a maker sets in its panel stands in [`super::Controls`].

mod bench;
mod chain;
mod demonstration;
mod drape;
mod head;
mod join;
mod map;
mod metal;
mod optimise;
mod plan;
mod saved;
mod shape;
mod tour;
mod view;

pub use demonstration::demonstration;
pub use optimise::trade_of;
pub use view::{Picture, Shown, View};

use super::model::Model;
use super::screen::{Node, Screen};
use super::tabs::{self, TABS, Tab};
use crate::render::Window;

/// Every view, in the order of [`tabs::VIEWS`].
const VIEWS: [View; 8] = [
    shape::VIEW,
    join::VIEW,
    map::VIEW,
    metal::VIEW,
    chain::VIEW,
    drape::VIEW,
    plan::VIEW,
    optimise::VIEW,
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
    saved::show(model, &mut screen);
    bench::show(model, &mut screen);
    tour::show(model, &mut screen);
    panels(model, &mut screen);
    screen
}

/// The panel of the view seen; the others are away.
fn panels(model: &Model, screen: &mut Screen) {
    let seen = &tabs::VIEWS[model.view];
    let tab = |tab: &Tab| {
        let id = format!("tab-{}", tab.id);
        Node::new("button", tab.name).with("type", "button").with("id", id)
    };
    screen.children("views", TABS.iter().map(tab).collect());
    let pressed = |is_pressed: bool| if is_pressed { "true" } else { "false" };
    let mut beside: &[&str] = &[];
    for tab in &TABS {
        let is_seen = tab.views.contains(&seen.id);
        screen.mark(&format!("tab-{}", tab.id), "aria-pressed", pressed(is_seen));
        if is_seen {
            beside = tab.views;
        }
    }
    let of_tab = || tabs::VIEWS.iter().filter(|view| beside.contains(&view.id));
    let button = |view: &tabs::Named| {
        Node::new("button", view.name)
            .with("type", "button")
            .with("id", format!("view-{}", view.id))
            .with("aria-controls", format!("panel-{}", view.id))
    };
    screen.children("subviews", of_tab().map(button).collect());
    screen.reveal("subviews", beside.len() > 1);
    for view in of_tab() {
        let id = format!("view-{}", view.id);
        screen.mark(&id, "aria-pressed", pressed(view.id == seen.id));
    }
    for view in &VIEWS {
        screen.reveal(&format!("panel-{}", view.id), view.id == seen.id);
    }
    screen.reveal("player", seen.span.is_some());
    let is_flat = [tabs::MAP, tabs::OPTIMISE, tabs::PLAN].contains(&seen.id);
    screen.reveal("eye", !is_flat);
    screen.reveal("hint-turn", !is_flat);
    screen.reveal("hint-map", seen.id == tabs::MAP);
    screen.reveal("hint-optimise", seen.id == tabs::OPTIMISE);
    screen.mark("picture", "data-flat", if is_flat { "true" } else { "false" });
    (VIEWS[model.view].show)(model, screen);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_has_its_view() {
        let names = tabs::VIEWS.iter().map(|view| view.id);
        assert!(VIEWS.iter().map(|view| view.id).eq(names));
        let on_tabs = TABS.iter().flat_map(|tab| tab.views.iter().copied());
        let mut on_tabs: Vec<&str> = on_tabs.collect();
        let mut all: Vec<&str> = VIEWS.iter().map(|view| view.id).collect();
        on_tabs.sort_unstable();
        all.sort_unstable();
        assert_eq!(on_tabs, all);
    }
}
