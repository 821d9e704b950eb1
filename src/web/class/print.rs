//! The hand-out, printed from the page.

use super::super::page::Page;
use super::show::taught;
use crate::documents::design::Design;
use crate::render::handout;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

impl Page {
    /// Puts the hand-out on the size looked at onto the page, where only the printer sees it, and
    /// asks the browser to print.
    pub fn print_handout(&mut self) {
        let (work, hung) = (&self.model.analysis, self.model.analysis.hung());
        let Some(taught) = taught(work, &hung) else { return };
        let size = work.design.sizes.get(work.size).cloned();
        let design = Design { sizes: size.into_iter().collect(), ..work.design.clone() };
        let words = handout(&design, &[taught], work.report.cautions);
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
