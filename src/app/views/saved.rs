//! The designs kept in this browser: opened, renamed, deleted, brought back.

use crate::app::model::Model;
use crate::app::screen::{Node, Screen};

/// Writes the list, where it is seen; and what a class may see beside.
pub fn show(model: &Model, screen: &mut Screen) {
    let saved = &model.saved;
    if model.class.is_on {
        let options = model.beside_choices().into_iter();
        let options = options.map(|(value, name)| Node::option(value, name)).collect();
        screen.children("class-beside", options);
        screen.value("class-beside", &model.class.beside_name);
    }
    screen.reveal("designs", saved.is_shown);
    let expanded = if saved.is_shown { "true" } else { "false" };
    screen.mark("designs-button", "aria-expanded", expanded);
    if !saved.is_shown {
        return;
    }
    screen.value("keep-name", &saved.name);
    if let Some(fault) = &saved.fault {
        return screen.list("kept", "li", [format!("Nothing can be kept: {fault}.").as_str()]);
    }
    let mut rows = Vec::new();
    if let Some(deleted) = &saved.deleted {
        let words = format!("\u{201c}{deleted}\u{201d} is deleted.");
        rows.push(row(&words, 0, &[("back", "Bring back")]));
    }
    for (index, kept) in saved.rows.iter().enumerate() {
        rows.push(match &kept.design {
            Ok(_) if saved.renaming.as_ref() == Some(&kept.name) => renaming(&kept.name, index),
            Ok(_) => {
                let acts = [("open", "Open"), ("rename", "Rename"), ("delete", "Delete")];
                row(&kept.name, index, &acts)
            }
            Err(error) => {
                let words = format!("\u{201c}{}\u{201d} cannot be read here ({error}).", kept.name);
                row(&words, index, &[("file", "Save file"), ("delete", "Delete")])
            }
        });
    }
    if let Some(former) = &saved.former {
        let words = format!("The one before, \u{201c}{}\u{201d}", former.name);
        rows.push(row(&words, 0, &[("former", "Open")]));
    }
    if rows.is_empty() {
        rows.push(Node::new("li", "None is kept by a name yet."));
    }
    screen.children("kept", rows);
}

fn row(words: &str, index: usize, acts: &[(&str, &str)]) -> Node {
    Node::new("li", "").holding(Node::new("span", words)).holding(buttons(words, index, acts))
}

fn buttons(about: &str, index: usize, acts: &[(&str, &str)]) -> Node {
    let mut group = Node::new("div", "");
    for (act, words) in acts {
        let button = Node::button(words, "data-kept", *act)
            .with("data-row", index.to_string())
            .with("aria-label", format!("{words}: {about}"));
        group = group.holding(button);
    }
    group
}

fn renaming(name: &str, index: usize) -> Node {
    let input = Node::new("input", "")
        .with("id", "rename-to")
        .with("value", name)
        .with("data-row", index.to_string());
    let label = Node::new("label", "New name ").holding(input);
    let acts = [("renamed", "Rename"), ("leave", "Cancel")];
    Node::new("li", "").holding(label).holding(buttons(name, index, &acts))
}
