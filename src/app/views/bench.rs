//! The maker's bench: its lists, prices and minutes, its conical pliers.

use crate::app::model::Model;
use crate::app::screen::{Node, Screen};

/// Writes it.
pub fn show(model: &Model, screen: &mut Screen) {
    for field in model.bench_entries.fields(&model.bench, model.analysis.unit) {
        screen.value(field.id, &field.text);
        if let Some(fault) = field.fault {
            screen.say(&format!("{}-problem", field.id), &fault);
            let invalid = if fault.is_empty() { "false" } else { "true" };
            screen.mark(field.id, "aria-invalid", invalid);
        }
    }
    screen.say("cost-problem", &model.bench_entries.cost_fault);
    screen.say("bench-unkept", &model.bench_entries.unsaved);
    let mm = |value: f64| model.analysis.length(value);
    let rows = model.bench.conical_pliers.iter().enumerate().map(|(index, pliers)| {
        let name = if pliers.name.is_empty() { "Conical pliers" } else { &pliers.name };
        let (tip, base, length) = (mm(pliers.tip_mm), mm(pliers.base_mm), mm(pliers.length_mm));
        let mut acts = Node::new("div", "").with("class", "files");
        for (words, act) in [("Change", "data-pliers-change"), ("Remove", "data-pliers")] {
            let button = Node::button(words, act, index.to_string());
            acts = acts.holding(button.with("aria-label", format!("{words} {name}")));
        }
        let line = format!("{name}: {tip} to {base} over {length}");
        Node::new("li", "").holding(Node::new("span", line)).holding(acts)
    });
    screen.children("pliers", rows.collect());
    let changes = model.pliers_changed.is_some();
    screen.say("pliers-add", if changes { "Change these pliers" } else { "Add pliers" });
}
