//! The tour on the page: what is pressed in it, and what it points at brought into sight.

use super::page::Page;
use super::remembered;
use crate::app::{Message, TOUR_STOPS, TourMove};
use web_sys::{KeyboardEvent, ScrollIntoViewOptions, ScrollLogicalPosition};

/// Under this name it is remembered that the tour was offered.
const SEEN: &str = "linkfold.tour";

impl Page {
    /// Offers the tour at a first visit.
    pub fn offer_tour(&mut self) {
        self.model.tour.is_offered = remembered::recall(&self.browser, SEEN).is_none();
    }

    /// Something with an id that starts with `tour-` was pressed.
    pub fn tour_pressed(&mut self, id: &str) {
        self.go_on_tour(match id {
            "tour-open" | "tour-start" => TourMove::Start,
            "tour-next" => TourMove::Next,
            "tour-back" => TourMove::Back,
            _ => TourMove::End,
        });
    }

    /// Goes to a stop, or ends the tour.
    fn go_on_tour(&mut self, moves: TourMove) {
        self.send(Message::Toured(moves));
        self.set_slider();
        remembered::keep(&self.browser, SEEN, "seen");
        self.keep_clear();
        let Some((id, _)) = self.model.tour.at.and_then(|at| TOUR_STOPS.get(at)) else {
            return self.elements.focus("#menu-button");
        };
        if let Some(pointed) = self.elements.element(id) {
            let options = ScrollIntoViewOptions::new();
            options.set_block(ScrollLogicalPosition::Start);
            pointed.scroll_into_view_with_scroll_into_view_options(&options);
        }
        self.elements.focus("#tour-next");
    }

    /// A key while the tour is on; whether to draw.
    pub fn tour_key(&mut self, event: KeyboardEvent) -> bool {
        if self.model.tour.at.is_some() && event.key() == "Escape" {
            self.go_on_tour(TourMove::End);
        }
        false
    }
}
