//! Ring, oval, eight and fold, and what callipers should read on them.

use super::demonstration::demonstration;
use super::view::View;
use crate::app::model::Model;
use crate::app::screen::Screen;
use crate::app::tabs;

pub const VIEW: View = View { id: tabs::SHAPE, picture: demonstration, show };

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let Some(size) = work.size_report() else { return };
    let mm = |value: f64| work.length(value);
    for (name, text) in [
        ("ratio", format!("{:.2}", size.ratio)),
        ("centreline", mm(size.centreline_mm)),
        ("ring", mm(size.ring_inside_mm)),
        ("oval-length", mm(size.oval_inside_length_mm)),
        ("oval-width", mm(size.oval_inside_width_mm)),
        ("bore", mm(size.bore_mm)),
        ("waist", mm(size.waist_gap_mm)),
        ("eight-length", mm(size.eight_length_mm)),
        ("height", mm(size.fold_height_mm)),
        ("leg-gap", mm(size.leg_gap_mm)),
        ("tip-gap", mm(size.tip_gap_mm)),
        ("fold", format!("{:.0}°", size.fold_deg)),
    ] {
        screen.say(&format!("figure-{name}"), &text);
    }
}
