//! Brings the page's elements to what a [`Screen`] says, changing only what differs.

use super::elements::Elements;
use crate::app::{Content, Node, Property, Screen};
use std::collections::BTreeMap;
use wasm_bindgen::JsCast;
use web_sys::{Document, Element, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};

/// What the elements were brought to so far.
#[derive(Default)]
pub struct Renderer {
    shown: BTreeMap<(String, Property), Content>,
}

impl Renderer {
    /// Brings every element that `screen` mentions to what it says.
    pub fn show(&mut self, screen: &Screen, page: &Elements) {
        // What is made by a view is there before it is written to.
        let is_children = |property: &Property| *property == Property::Children;
        for children in [true, false] {
            for (id, property, content) in screen.parts() {
                let key = (id.to_string(), property.clone());
                if is_children(property) != children || self.shown.get(&key) == Some(content) {
                    continue;
                }
                if apply(page, id, property, content).is_some() {
                    self.shown.insert(key, content.clone());
                }
                if children {
                    // New elements have nothing of what the old ones were brought to.
                    self.forget_made(content);
                }
            }
        }
    }

    /// An element was changed by hand: what it holds is brought back to what is said of it.
    pub fn touched(&mut self, id: &str) {
        self.shown.remove(&(id.to_string(), Property::Value));
        self.shown.remove(&(id.to_string(), Property::Ticked));
    }

    fn forget_made(&mut self, content: &Content) {
        let Content::Nodes(nodes) = content else { return };
        let mut made = Vec::new();
        nodes.iter().for_each(|node| ids(node, &mut made));
        if !made.is_empty() {
            self.shown.retain(|(id, _), _| !made.contains(id));
        }
    }
}

/// What a node and those in it are known by.
fn ids(node: &Node, found: &mut Vec<String>) {
    for (name, value) in &node.attributes {
        match *name {
            "id" => found.push(value.clone()),
            "data-field" => found.extend([format!("@{value}"), format!("fault@{value}")]),
            _ => {}
        }
    }
    node.children.iter().for_each(|child| ids(child, found));
}

/// The element that a view means.
fn element(page: &Elements, id: &str) -> Option<Element> {
    if id == ":root" {
        return page.document.document_element();
    }
    if let Some(key) = id.strip_prefix("fault@") {
        return fault_of(page, key);
    }
    match id.strip_prefix('@') {
        Some(key) => page.input(key).map(Into::into),
        None => page.element(id),
    }
}

/// The element beside a field that says what is wrong with it.
fn fault_of(page: &Elements, key: &str) -> Option<Element> {
    let id = format!("fault-{key}");
    if let Some(there) = page.element(&id) {
        return Some(there);
    }
    let input = page.input(key)?;
    let holder: Element = input.closest("label").ok().flatten().unwrap_or(input.into());
    let fault = page.document.create_element("div").ok()?;
    fault.set_id(&id);
    fault.set_class_name("fault");
    fault.set_attribute("role", "alert").ok()?;
    holder.insert_adjacent_element("afterend", &fault).ok()?;
    Some(fault)
}

fn apply(page: &Elements, id: &str, property: &Property, content: &Content) -> Option<()> {
    if let (Some(key), Content::Nodes(nodes)) = (id.strip_prefix("fault@"), content) {
        describe(page, key, nodes.is_empty());
        if nodes.is_empty() && page.element(&format!("fault-{key}")).is_none() {
            return Some(());
        }
    }
    let element = element(page, id)?;
    match (property, content) {
        // Unchanged text is left alone, so that nothing is read out twice.
        (Property::Text, Content::Words(words))
            if element.text_content().as_ref() == Some(words) => {}
        (Property::Text, Content::Words(words)) => element.set_text_content(Some(words)),
        (Property::Shown, Content::Flag(shown)) => {
            element.toggle_attribute_with_force("hidden", !shown).ok()?;
        }
        (Property::Ticked, Content::Flag(ticked)) => {
            element.dyn_ref::<HtmlInputElement>()?.set_checked(*ticked);
        }
        (Property::Value, Content::Words(value)) => set_value(&element, value)?,
        (Property::Attribute(name), Content::Words(value)) => {
            element.set_attribute(name, value).ok()?;
        }
        (Property::Children, Content::Nodes(nodes)) => {
            element.set_text_content(Some(""));
            for node in nodes {
                element.append_child(made(&page.document, node)?.as_ref()).ok()?;
            }
        }
        _ => {}
    }
    Some(())
}

/// A field is described by its fault while it has one; and brought out where it is put away.
fn describe(page: &Elements, key: &str, is_content: bool) -> Option<()> {
    let input = page.input(key)?;
    // What stands beside it anyway goes on describing it.
    let described = input.get_attribute("aria-describedby").unwrap_or_default();
    let fault = format!("fault-{key}");
    let mut by: Vec<&str> = described.split_whitespace().filter(|id| *id != fault).collect();
    if !is_content {
        by.insert(0, &fault);
    }
    if by.is_empty() {
        input.remove_attribute("aria-describedby").ok()?;
    } else {
        input.set_attribute("aria-describedby", &by.join(" ")).ok()?;
    }
    if is_content {
        return Some(());
    }
    input.closest("details").ok()??.set_attribute("open", "").ok()
}

fn set_value(element: &Element, value: &str) -> Option<()> {
    if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
        if input.value() != value {
            // Between its steps, too, where a hand on the picture moves a slider.
            if input.type_() == "range" && input.step() != "any" && value.contains('.') {
                input.set_step("any");
            }
            input.set_value(value);
        }
    } else if let Some(list) = element.dyn_ref::<HtmlSelectElement>() {
        list.set_value(value);
    } else {
        element.dyn_ref::<HtmlTextAreaElement>()?.set_value(value);
    }
    Some(())
}

fn made(document: &Document, node: &Node) -> Option<Element> {
    let element = document.create_element(node.tag).ok()?;
    if !node.text.is_empty() {
        element.set_text_content(Some(&node.text));
    }
    for (name, value) in &node.attributes {
        element.set_attribute(name, value).ok()?;
    }
    for child in &node.children {
        element.append_child(made(document, child)?.as_ref()).ok()?;
    }
    Some(element)
}
