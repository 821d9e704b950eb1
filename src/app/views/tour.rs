//! The tour: what it says, and the control that it points at.

use crate::app::model::Model;
use crate::app::screen::Screen;
use crate::app::tour::STOPS;

/// Writes it.
pub fn show(model: &Model, screen: &mut Screen) {
    let at = model.tour.at;
    screen.reveal("offer", model.tour.is_offered);
    screen.reveal("tour", at.is_some());
    for (index, (id, _)) in STOPS.iter().enumerate() {
        let is_pointed_at = if at == Some(index) { "true" } else { "false" };
        screen.mark(id, "data-pointed", is_pointed_at);
    }
    let Some((at, (_, words))) = at.and_then(|at| Some((at, STOPS.get(at)?))) else { return };
    screen.say("tour-count", &format!("{} of {}", at + 1, STOPS.len()));
    screen.say("tour-words", words);
    screen.reveal("tour-back", at > 0);
    screen.say("tour-next", if at + 1 == STOPS.len() { "Done" } else { "Next" });
}
