//! A tour of the page in plain words: it points at the real controls, one after another.

use super::page::Page;
use super::remembered;
use web_sys::{KeyboardEvent, ScrollIntoViewOptions, ScrollLogicalPosition};

/// Under this name it is remembered that the tour was offered.
const SEEN: &str = "linkfold.tour";

/// What is pointed at, and what is said of it.
const STOPS: [(&str, &str); 8] = [
    (
        "verdict",
        "The answer: whether links of this wire and mandrel join, and with how much clearance. At first an estimate, with a dashed edge; a moment later it is proven.",
    ),
    (
        "wire",
        "Your wire, however you write it (0.9 mm, AWG 19, 0.035 in), and beside it your mandrel. Type: the answer follows as you go.",
    ),
    (
        "strip-part",
        "Every mandrel for this wire, from too small to loose. Tap or slide to take one; triangles are those on your bench.",
    ),
    (
        "picture",
        "The link in true proportion. Drag to turn it. The red lines are where the callipers go.",
    ),
    ("time", "Slide from the soldered ring to two loops joined, or press Play."),
    (
        "views",
        "Other questions to the same design: the link and how it joins, the chain, its metal, a plan of the whole, and the search for better sizes.",
    ),
    (
        "panel-shape",
        "What to check with callipers. Tap the name of any figure for what it means and how it is computed.",
    ),
    (
        "menu",
        "Designs to start from (one of them is too thick to be joined, on purpose), your own designs, units, colours, and the work shown large for a class.",
    ),
];

impl Page {
    /// Offers the tour at a first visit.
    pub fn offer_tour(&self) {
        let seen = remembered::recall(&self.browser, SEEN).is_some();
        self.elements.reveal("offer", !seen);
    }

    /// Something with an id that starts with `tour-` was pressed.
    pub fn tour_pressed(&mut self, id: &str) {
        match id {
            "tour-open" | "tour-start" => {
                self.look_at(0);
                self.tour_at(Some(0));
            }
            "tour-next" => {
                let next = self.tour.map_or(0, |at| at + 1);
                self.tour_at((next < STOPS.len()).then_some(next));
            }
            "tour-back" => self.tour_at(Some(self.tour.map_or(0, |at| at.saturating_sub(1)))),
            _ => self.tour_at(None),
        }
    }

    /// Goes to a stop, or ends the tour.
    fn tour_at(&mut self, at: Option<usize>) {
        let before = self.tour.take().and_then(|before| STOPS.get(before));
        if let Some(pointed) = before.and_then(|(id, _)| self.elements.element(id)) {
            let _ = pointed.remove_attribute("data-pointed");
        }
        self.tour = at;
        remembered::keep(&self.browser, SEEN, "seen");
        self.elements.reveal("offer", false);
        self.elements.reveal("tour", at.is_some());
        let stop = at.and_then(|at| Some((at, STOPS.get(at)?)));
        let Some((at, (id, words))) = stop else {
            self.keep_clear();
            return self.elements.focus("#menu-button");
        };
        self.elements.say("tour-count", &format!("{} of {}", at + 1, STOPS.len()));
        self.elements.say("tour-words", words);
        self.elements.reveal("tour-back", at > 0);
        self.elements.say("tour-next", if at + 1 == STOPS.len() { "Done" } else { "Next" });
        self.keep_clear();
        if let Some(pointed) = self.elements.element(id) {
            let _ = pointed.set_attribute("data-pointed", "");
            let options = ScrollIntoViewOptions::new();
            options.set_block(ScrollLogicalPosition::Start);
            pointed.scroll_into_view_with_scroll_into_view_options(&options);
        }
        self.elements.focus("#tour-next");
    }

    /// A key while the tour is on; whether to draw.
    pub fn tour_key(&mut self, event: KeyboardEvent) -> bool {
        if self.tour.is_some() && event.key() == "Escape" {
            self.tour_at(None);
        }
        false
    }
}
