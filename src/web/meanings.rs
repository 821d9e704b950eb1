//! Each figure's meaning and formula, one tap away: its name is a button that shows them.

use super::elements::Elements;
use crate::answers::report::{DEFINITIONS, Definition};
use web_sys::Element;

/// Sets up a button and its text for every figure.
pub fn set_up(page: &Elements) {
    for definition in &DEFINITIONS {
        set_one(page, definition);
    }
}

fn set_one(page: &Elements, definition: &Definition) -> Option<()> {
    let figure = page.element(definition.figure)?;
    let is_list = figure.tag_name() == "DL";
    let button = page.document.create_element("button").ok()?;
    let id = format!("meaning-{}", definition.figure);
    for (name, value) in [
        ("type", "button"),
        ("class", "meaning"),
        ("data-meaning", definition.figure),
        ("aria-expanded", "false"),
        ("aria-controls", &id),
    ] {
        button.set_attribute(name, value).ok()?;
    }
    // A list's names come later: it has its button on top.
    let text = page.document.create_element(if is_list { "div" } else { "dd" }).ok()?;
    if is_list {
        button.set_text_content(Some("What these figures are"));
        let parent = figure.parent_node()?;
        parent.insert_before(&button, Some(&figure)).ok()?;
        parent.insert_before(&text, Some(&figure)).ok()?;
    } else {
        let row = figure.parent_element()?;
        let name = row.query_selector("dt").ok()??;
        while let Some(part) = name.first_child() {
            button.append_child(&part).ok()?;
        }
        name.append_child(&button).ok()?;
        row.append_child(&text).ok()?;
    }
    text.set_id(&id);
    text.set_attribute("class", "meaning-text").ok()?;
    text.set_attribute("hidden", "").ok()?;
    let legend = definition.legend();
    for (tag, words) in [
        ("p", definition.meaning),
        ("code", definition.formula),
        ("p", legend.as_str()),
        ("small", definition.source),
    ] {
        if !words.is_empty() {
            page.add(&text, tag, words);
        }
    }
    Some(())
}

/// Shows or hides the meaning whose button this is; whether it is one.
pub fn turn(page: &Elements, pressed: &Element) -> bool {
    let Ok(Some(button)) = pressed.closest("[data-meaning]") else { return false };
    let figure = button.get_attribute("data-meaning").unwrap_or_default();
    let open = button.get_attribute("aria-expanded").as_deref() != Some("true");
    let _ = button.set_attribute("aria-expanded", if open { "true" } else { "false" });
    page.reveal(&format!("meaning-{figure}"), open);
    true
}
