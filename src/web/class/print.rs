//! The hand-out, printed from the page.

use super::super::page::Page;
use super::show::taught;
use crate::app::paper_verdict;
use crate::render::{Handout, Taught};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

impl Page {
    /// Puts the hand-out on every size onto the page, where only the printer sees it, and
    /// asks the browser to print.
    pub fn print_handout(&mut self) {
        let work = &self.model.analysis;
        let hung: Vec<_> = (0..work.formings.len()).map(|size| work.hung_of(size)).collect();
        let taught: Option<Vec<Taught>> =
            hung.iter().enumerate().map(|(size, hung)| taught(work, size, hung)).collect();
        let Some(taught) = taught else { return };
        let verdict = paper_verdict(&self.model);
        let link = self.public_link();
        let handout = Handout {
            design: &work.design,
            verdict: &verdict,
            link: link.as_deref(),
            cautions: work.report.cautions,
        };
        let words = handout.body(&taught);
        if let Some(place) = self.elements.element("handout") {
            // Everything typed by hand in it is escaped by the core.
            place.set_inner_html(&words);
        }
        self.set_handout(true);
        self.print_later();
    }

    /// Asks the browser to print, later: it tells of printing while it prints, and then the page
    /// must be free.
    pub fn print_later(&self) {
        let browser = self.browser.clone();
        let print = Closure::once_into_js(move || {
            let _ = browser.print();
        });
        let _ = self.browser.set_timeout_with_callback(print.unchecked_ref());
    }

    /// Says to the stylesheet whether the hand-out is what is printed.
    pub fn set_handout(&self, shown: bool) {
        self.elements.reveal("handout", shown);
        if let Some(root) = self.elements.document.document_element() {
            let _ = root.toggle_attribute_with_force("data-handout", shown);
        }
    }
}
