//! What the page says about itself: at the lower edge of the window, wherever the page is
//! scrolled to, or at the upper one where it would lie over what is in hand.

use super::elements::Elements;
use super::events::on;
use super::page::{Page, Shared};
use wasm_bindgen::JsCast;
use web_sys::{DomRect, Element, Event, FocusOptions, HtmlElement, KeyboardEvent};

/// Sets up the listeners.
pub fn listen(page: &Shared) {
    let (browser, document) = {
        let page = page.borrow();
        (page.browser.clone(), page.elements.document.clone())
    };
    on(page, &document, "keydown", |page, event: KeyboardEvent| {
        if event.key() == "Escape" && !event.default_prevented() && page.tour.is_none() {
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
        self.in_hand = Some(held);
        let message = self.elements.element("message");
        let problem = message.and_then(|m| m.get_attribute("data-problem"));
        if problem.as_deref() != Some("true") {
            self.tell("", false);
        }
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

    /// What stands at the window's edges lies over nothing in hand, and what comes into sight
    /// comes clear of it.
    pub fn keep_clear(&self) {
        let page = &self.elements;
        let (Some(notice), Some(edge)) = (page.element("notice"), page.element("edge")) else {
            return;
        };
        let focus = page.document.active_element();
        let held: Vec<DomRect> = [focus, self.in_hand.clone()]
            .into_iter()
            .flatten()
            .filter(|element| element.tag_name() != "BODY")
            .map(|element| element.get_bounding_client_rect())
            .collect();
        let covers = |place: &str| {
            page.mark("notice", "data-edge", place);
            let rect = notice.get_bounding_client_rect();
            held.iter().any(|held| held.top() < rect.bottom() && held.bottom() > rect.top())
        };
        let at_top = covers("bottom") && !covers("top");
        page.mark("notice", "data-edge", if at_top { "top" } else { "bottom" });
        let high = if at_top { notice.get_bounding_client_rect().height() } else { 0.0 };
        set_space(page, "--high", high);
        let low = edge.get_bounding_client_rect().height();
        set_space(page, "--low", low);
        // The page's end does not jump when a message goes that stood over it.
        if self.tour.is_none() {
            self.foot_kept.set(self.foot_kept.get().max(low));
        }
        set_space(page, "--foot", low.max(self.foot_kept.get()));
    }
}

/// What a hand holds.
const HELD: &str = "button:not(#message-away), summary, select, input:not([type=file])";

/// Space to be kept at an edge of the window.
fn set_space(page: &Elements, name: &str, height: f64) {
    let root = page.document.document_element();
    if let Some(root) = root.and_then(|root| root.dyn_into::<HtmlElement>().ok()) {
        let _ = root.style().set_property(name, &format!("{height}px"));
    }
}
