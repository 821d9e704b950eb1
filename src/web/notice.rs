//! What the page says about itself: in the flow, so that it takes room of its own and lies over
//! nothing, at the lowest place in the window where it can be read; what is in hand stays where it
//! is. It goes with what is done next, unless that would move what is pressed.

use super::elements::Elements;
use super::events::on;
use super::page::{Page, Shared};
use wasm_bindgen::JsCast;
use web_sys::{
    DomRect, Element, Event, FocusOptions, HtmlElement, KeyboardEvent, ScrollIntoViewOptions,
    ScrollLogicalPosition,
};

/// What a hand holds.
const HELD: &str = "button:not(#message-away), summary, select, input:not([type=file])";

/// What the message may stand after: parts of the flow that nothing is written into.
const PLACES: &str = "header, #offer, #designs, #designs > *, .answer > *, .work > *, .bench > *, \
    .panel > :not(h2), .panel > div:not(#optimise-wishes, #optimise-free, #optimise-trade, .row) > :not(h2), \
    .bench details[open] > :not(summary)";

/// Room between the message and the window's edge, CSS pixels.
const EDGE: f64 = 8.0;

/// Sets up the listeners.
pub fn listen(page: &Shared) {
    let (browser, document) = {
        let page = page.borrow();
        (page.browser.clone(), page.elements.document.clone())
    };
    on(page, &document, "keydown", |page, event: KeyboardEvent| {
        if event.key() == "Escape" && !event.default_prevented() && page.model.tour.at.is_none() {
            page.tell("", false);
        }
        false
    });
    on(page, &browser, "resize", |page, _: Event| {
        page.keep_clear();
        false
    });
}

impl Page {
    /// A control was pressed: what is done next takes the place of what was said; a problem stays.
    pub fn took_in_hand(&mut self, target: &Element) {
        let Ok(Some(held)) = target.closest(HELD) else { return };
        let stays = self.model.notice.is_problem || self.would_move(&held);
        self.in_hand = Some(held);
        if !stays {
            self.tell("", false);
        }
    }

    /// Whether an element would move under the finger if the message above it went: the page can
    /// only be scrolled after it by as much as it was scrolled down.
    fn would_move(&self, held: &Element) -> bool {
        let Some(notice) = self.elements.element("notice") else { return false };
        let (above, held) = (notice.get_bounding_client_rect(), held.get_bounding_client_rect());
        let beside = above.right() <= held.left() || above.left() >= held.right();
        let scrolled = self.browser.scroll_y().unwrap_or(0.0);
        above.height() > 0.0 && !beside && above.top() < held.top() && scrolled < above.height()
    }

    /// Puts away what is said; the focus goes back to what was in hand, and the page stays.
    pub fn put_message_away(&mut self) {
        self.tell("", false);
        let options = FocusOptions::new();
        options.set_prevent_scroll(true);
        let before = self.in_hand.as_ref().filter(|element| element.is_connected());
        if let Some(element) = before.and_then(|element| element.dyn_ref::<HtmlElement>()) {
            let _ = element.focus_with_options(&options);
        }
    }

    /// Where what is in hand stands in the window, if it is seen there.
    pub fn hand_at(&self) -> Option<f64> {
        let held = self.in_hand.as_ref().filter(|held| held.is_connected())?;
        let rect = held.get_bounding_client_rect();
        let is_seen = rect.height() > 0.0 && rect.bottom() > 0.0 && rect.top() < self.high();
        is_seen.then(|| rect.top())
    }

    /// Gives the message that was just written its place, and leaves what is in hand where it was.
    pub fn place_message(&self, hand_was_at: Option<f64>) {
        let page = &self.elements;
        let Some(notice) = page.element("notice") else { return };
        // Read out by itself: an element that is moved is not.
        let words = page.element("message").and_then(|message| message.text_content());
        page.say("said", words.as_deref().unwrap_or(""));
        let is_said = words.is_some_and(|words| !words.is_empty());
        let is_in_flow = notice.closest("#edge").is_ok_and(|edge| edge.is_none());
        if is_said && !(is_in_flow && self.is_whole(&notice.get_bounding_client_rect())) {
            notice.remove();
            let place =
                self.lowest_place().or_else(|| page.document.query_selector("header").ok()?);
            // It takes its height from the width there.
            let _ = place.map(|place| place.insert_adjacent_element("afterend", &notice));
        }
        if let (Some(was), Some(is)) = (hand_was_at, self.hand_at_any()) {
            self.browser.scroll_by_with_x_and_y(0.0, is - was);
        }
        if is_said && !self.is_whole(&notice.get_bounding_client_rect()) {
            let options = ScrollIntoViewOptions::new();
            options.set_block(ScrollLogicalPosition::Nearest);
            notice.scroll_into_view_with_scroll_into_view_options(&options);
        }
    }

    fn hand_at_any(&self) -> Option<f64> {
        let held = self.in_hand.as_ref().filter(|held| held.is_connected())?;
        let rect = held.get_bounding_client_rect();
        (rect.height() > 0.0).then(|| rect.top())
    }

    fn high(&self) -> f64 {
        self.browser.inner_height().ok().and_then(|high| high.as_f64()).unwrap_or(0.0)
    }

    fn is_whole(&self, rect: &DomRect) -> bool {
        rect.height() > 0.0 && rect.top() >= 0.0 && rect.bottom() <= self.high()
    }

    /// The element after which a message stands lowest in the window and can be read whole: what is
    /// seen above it does not move.
    fn lowest_place(&self) -> Option<Element> {
        let found = self.elements.document.query_selector_all(PLACES).ok()?;
        let places = (0..found.length()).filter_map(|i| found.get(i)?.dyn_into::<Element>().ok());
        let is_shown = |place: &Element| {
            let closed = place
                .parent_element()
                .and_then(|parent| parent.closest("details:not([open]), [hidden]").ok().flatten());
            closed.is_none() && place.get_bounding_client_rect().height() > 0.0
        };
        let end = |place: &Element| place.get_bounding_client_rect().bottom();
        let reach = self.high() - ROOM - EDGE;
        let places: Vec<Element> = places.filter(is_shown).collect();
        let seen = places.iter().filter(|place| (0.0..=reach).contains(&end(place)));
        let lowest = seen.max_by(|a, b| end(a).total_cmp(&end(b)));
        // Where one thing fills the window, the place that is least scrolled to.
        let off = |place: &&Element| (end(place) - reach).abs();
        let nearest = || places.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        lowest.or_else(nearest).cloned()
    }

    /// What the tour says at the window's lower edge is kept clear of what comes into sight.
    pub fn keep_clear(&self) {
        let page = &self.elements;
        let Some(edge) = page.element("edge") else { return };
        let low = edge.get_bounding_client_rect().height();
        set_space(page, "--low", low);
        set_space(page, "--foot", low);
    }
}

/// Room for a message of two lines, CSS pixels.
const ROOM: f64 = 84.0;

/// Space to be kept at an edge of the window.
fn set_space(page: &Elements, name: &str, height: f64) {
    let root = page.document.document_element();
    if let Some(root) = root.and_then(|root| root.dyn_into::<HtmlElement>().ok()) {
        let _ = root.style().set_property(name, &format!("{height}px"));
    }
}
