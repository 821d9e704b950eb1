//! The design's fields on the page, and complaints beside them.

use super::elements::{Elements, field_of};
use super::fields::{self, Typed};
use super::work::Work;
use crate::answers::build::BuildError;
use crate::documents::design::FieldPath;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, HtmlSelectElement};

/// Writes the design into the fields.
pub fn fill(work: &Work, page: &Elements) {
    let shown = fields::shown(&work.design, work.size, work.unit);
    for input in page.inputs() {
        let name = field_of(&input);
        if let Some((_, text)) = shown.iter().find(|(field, _)| *field == name) {
            input.set_value(text);
        }
    }
    if let Some(kind) = page.get::<HtmlSelectElement>("wire-kind") {
        kind.set_value(fields::wire_kind(&work.design, work.size));
    }
    if let Some(list) = page.get::<HtmlSelectElement>("size") {
        list.set_text_content(Some(""));
        for (i, size) in work.design.sizes.iter().enumerate() {
            let name = if size.name.is_empty() { "one size" } else { &size.name };
            page.option(&list, &i.to_string(), name);
        }
        list.set_value(&work.size.to_string());
    }
    page.say("notes", &work.design.notes);
}

/// What is typed in the fields now.
pub fn typed(page: &Elements) -> Vec<Typed> {
    let read = |input: &HtmlInputElement| Typed { name: field_of(input), text: input.value() };
    page.inputs().iter().map(read).collect()
}

/// Takes every complaint away.
pub fn content(page: &Elements) {
    for input in page.inputs() {
        let _ = input.set_attribute("aria-invalid", "false");
        let _ = input.remove_attribute("aria-describedby");
        page.say(&fault_id(&field_of(&input)), "");
    }
    page.say("problem", "");
    mark_design(page, "good");
}

/// Says what the core found wrong: beside the field, in its label's words, or on top where
/// the fault lies in another size or in no field.
pub fn refuse(page: &Elements, error: &BuildError, work: &Work) {
    if let Some(input) = page.input(&error.field()) {
        return complain_beside(page, &input, &error.told(&label_words(&input), work.unit));
    }
    let Some((at, input)) = error.at().and_then(|at| Some((at, page.input(name_of(at))?))) else {
        return complain_on_top(page, &error.to_string());
    };
    let words = error.told(&label_words(&input), work.unit);
    match at.size.filter(|size| *size != work.size) {
        None => complain_beside(page, &input, &words),
        Some(other) => {
            let name = work.report.sizes.get(other).map_or("", |size| size.name.as_str());
            complain_on_top(page, &format!("Size \u{201c}{name}\u{201d}: {words}"));
        }
    }
}

/// Says that what is typed in a field cannot be read.
pub fn unreadable(page: &Elements, field: &str, words: &str) {
    match page.input(field) {
        Some(input) => complain_beside(page, &input, words),
        None => complain_on_top(page, words),
    }
}

fn complain_on_top(page: &Elements, words: &str) {
    content(page);
    page.say("problem", words);
    mark_design(page, "bad");
}

fn complain_beside(page: &Elements, input: &HtmlInputElement, words: &str) {
    let id = fault_id(&field_of(input));
    // Kept when it stays the same, so that it is not read out at every key.
    let same = page.element(&id).and_then(|e| e.text_content()).as_deref() == Some(words);
    if !same {
        content(page);
    }
    let label = input.closest("label").ok().flatten();
    let holder: Element = label.unwrap_or_else(|| input.clone().unchecked_into());
    if page.element(&id).is_none()
        && let Ok(fault) = page.document.create_element("p")
    {
        fault.set_id(&id);
        fault.set_class_name("fault");
        let _ = fault.set_attribute("role", "alert");
        let _ = holder.insert_adjacent_element("afterend", &fault);
    }
    page.say(&id, words);
    let _ = input.set_attribute("aria-invalid", "true");
    let _ = input.set_attribute("aria-describedby", &id);
    // A field put away is brought out.
    if let Ok(Some(details)) = input.closest("details") {
        let _ = details.set_attribute("open", "");
    }
    mark_design(page, "bad");
}

fn fault_id(field: &str) -> String {
    format!("fault-{field}")
}

/// The words of the label round an input.
fn label_words(input: &HtmlInputElement) -> String {
    let label = input.closest("label").ok().flatten();
    let words = label.and_then(|label| label.text_content()).unwrap_or_default();
    words.trim().to_string()
}

/// The field of the page that holds a field of the design: the wire is one.
fn name_of(at: FieldPath) -> &'static str {
    at.field.split('.').next().unwrap_or_default()
}

fn mark_design(page: &Elements, state: &str) {
    if let Some(root) = page.document.document_element() {
        let _ = root.set_attribute("data-design", state);
    }
}
