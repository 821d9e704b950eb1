//! Undo and redo on the page: buttons, keys, and the words to them.

use super::page::Page;
use super::work::Work;
use crate::documents::design::Design;
use crate::documents::undo::{Change, Difference, SizeIndex, again};
use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, HtmlInputElement, HtmlTextAreaElement, KeyboardEvent};

impl Page {
    /// Changes words in the design, on which no answer hangs; it can be undone like any change.
    pub fn annotate(&mut self, edit: impl FnOnce(&mut Design)) {
        let before = self.work.design.clone();
        edit(&mut self.work.design);
        let size = self.work.size;
        let at = self.now();
        let after = (&self.work.design, size);
        self.history.note(&Change { before: (&before, size), after, at, is_held: false });
        self.show_undo();
        self.name_design();
        self.autosave();
    }

    fn now(&self) -> f64 {
        self.browser.performance().map_or(f64::NAN, |clock| clock.now())
    }

    /// Notes that the design is about to become another.
    pub fn note(&mut self, after: &Work) {
        let before = (&self.work.design, self.work.size);
        let at = self.now();
        let after = (&after.design, after.size);
        let change = Change { before, after, at, is_held: self.holds_point };
        if self.history.note(&change).is_whole() {
            self.keep_former();
        }
    }

    /// Takes the last step back; first of all what is typed and cannot be worked.
    pub fn undo(&mut self) {
        if self.at_fault() {
            self.show_all();
            return self.tell("Undone: what could not be worked.", false);
        }
        let difference = self.history.undoable().cloned();
        match difference.zip(self.history.undo(&self.work.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Undone: {}.", again(&difference, &design, self.work.unit));
                self.go_over(design, size, &words);
            }
            None => self.tell("There is nothing to undo.", false),
        }
    }

    /// Takes the step again that was last taken back.
    pub fn redo(&mut self) {
        let difference = self.history.redoable().cloned();
        match difference.zip(self.history.redo(&self.work.design)) {
            Some((difference, (design, size))) => {
                let words = format!("Redone: {}.", difference.values(&design, self.work.unit));
                self.go_over(design, size, &words);
            }
            None => self.tell("There is nothing to redo.", false),
        }
    }

    fn go_over(&mut self, design: Design, size: SizeIndex, words: &str) {
        match Work::of(design, size, self.work.unit) {
            Ok(work) => {
                self.seat(work);
                self.show_all();
                self.tell(words, false);
            }
            Err(error) => self.tell(&error.to_string(), true),
        }
    }

    /// Says on the buttons what they would do.
    pub fn show_undo(&self) {
        let design = &self.work.design;
        let words = |verb: &str, difference: Option<&Difference>| match difference {
            // Of a design that gave way to another the name is told once it is back.
            Some(difference) if difference.is_whole() => format!("{verb} the change of design"),
            Some(difference) => format!("{verb}: {}", difference.names(design)),
            None => format!("{verb}: nothing"),
        };
        for (id, verb, difference) in
            [("undo", "Undo", self.history.undoable()), ("redo", "Redo", self.history.redoable())]
        {
            self.elements.mark(id, "title", &words(verb, difference));
            // Kept within reach of the keyboard, so that the focus does not vanish.
            let nothing = if difference.is_none() { "true" } else { "false" };
            self.elements.mark(id, "aria-disabled", nothing);
        }
    }

    /// Ctrl or Cmd with Z or Y anywhere on the page; whether to draw.
    pub fn shortcut(&mut self, event: KeyboardEvent) -> bool {
        if event.key() == "Enter" && !event.is_composing() {
            return self.entered(&event);
        }
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() || event.default_prevented() {
            return false;
        }
        let back = match (event.key().to_lowercase().as_str(), event.shift_key()) {
            ("z", false) => true,
            ("z", true) | ("y", false) => false,
            _ => return false,
        };
        if self.leaves_to_field() {
            return false;
        }
        event.prevent_default();
        if back {
            self.undo()
        } else {
            self.redo()
        }
        true
    }

    /// Whether the keys belong to the text field in hand: one that holds no part of the design,
    /// or one whose text is not in the design because it cannot be worked.
    fn leaves_to_field(&self) -> bool {
        let Some(focus) = self.elements.document.active_element() else { return false };
        let input = focus.dyn_ref::<HtmlInputElement>();
        let is_text = input.is_some_and(|input| {
            !matches!(input.type_().as_str(), "range" | "checkbox" | "radio" | "file" | "button")
        });
        let is_text = is_text
            || focus.has_type::<HtmlTextAreaElement>()
            || focus.dyn_ref::<HtmlElement>().is_some_and(HtmlElement::is_content_editable);
        let of_design = focus.has_attribute("data-field") || focus.has_attribute("data-metal");
        is_text && (!of_design || self.at_fault())
    }
}
