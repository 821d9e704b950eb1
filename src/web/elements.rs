//! The page's elements, found by id and written to.

use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlElement, HtmlInputElement, HtmlSelectElement};

/// The document, with what the page does to it.
pub struct Elements {
    /// For whatever the helpers below do not cover.
    pub document: Document,
}

impl Elements {
    /// The element with this id.
    pub fn element(&self, id: &str) -> Option<Element> {
        self.document.get_element_by_id(id)
    }

    /// The element with this id, if it is of that kind.
    pub fn get<E: JsCast>(&self, id: &str) -> Option<E> {
        self.element(id)?.dyn_into().ok()
    }

    /// What an input or a list holds; empty where there is none.
    pub fn value(&self, id: &str) -> String {
        let list = || self.get::<HtmlSelectElement>(id).map(|list| list.value());
        self.get::<HtmlInputElement>(id).map(|i| i.value()).or_else(list).unwrap_or_default()
    }

    /// Makes `words` the text of an element. Unchanged text is left alone, so that nothing
    /// is read out twice.
    pub fn say(&self, id: &str, words: &str) {
        if let Some(element) = self.element(id)
            && element.text_content().as_deref() != Some(words)
        {
            element.set_text_content(Some(words));
        }
    }

    /// Moves the focus to the first element that `css` finds.
    pub fn focus(&self, css: &str) {
        if let Ok(Some(element)) = self.document.query_selector(css)
            && let Ok(element) = element.dyn_into::<HtmlElement>()
        {
            let _ = element.focus();
        }
    }

    /// Sets an attribute.
    pub fn mark(&self, id: &str, name: &str, value: &str) {
        if let Some(element) = self.element(id)
            && element.get_attribute(name).as_deref() != Some(value)
        {
            let _ = element.set_attribute(name, value);
        }
    }

    /// Shows an element or takes it away.
    pub fn reveal(&self, id: &str, shown: bool) {
        if let Some(element) = self.element(id) {
            let _ = element.toggle_attribute_with_force("hidden", !shown);
        }
    }

    /// Adds a child with a text.
    pub fn add(&self, to: &Element, tag: &str, words: &str) -> Option<Element> {
        let child = self.document.create_element(tag).ok()?;
        child.set_text_content(Some(words));
        to.append_child(&child).ok()?;
        Some(child)
    }

    /// The inputs that hold the design's fields.
    pub fn inputs(&self) -> Vec<HtmlInputElement> {
        let Ok(found) = self.document.query_selector_all("input[data-field]") else {
            return Vec::new();
        };
        (0..found.length()).filter_map(|i| found.get(i)?.dyn_into().ok()).collect()
    }

    /// The input that holds this field.
    pub fn input(&self, field: &str) -> Option<HtmlInputElement> {
        self.inputs().into_iter().find(|input| field_of(input) == field)
    }
}

/// Which field an input holds.
pub fn field_of(input: &HtmlInputElement) -> String {
    input.get_attribute("data-field").unwrap_or_default()
}
