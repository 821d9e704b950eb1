//! What stands above every view: the verdict and its reasons, the fields, undo.

use crate::answers::report::{Steps, noted_fields, ring_note};
use crate::answers::strip::Fit;
use crate::app::choices::{self, CONTROLS};
use crate::app::entries::{Entry, Place};
use crate::app::fields;
use crate::app::model::{Model, undo_titles};
use crate::app::pending::Subject;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::app::verdict::{standing, verdict};
use crate::documents::design::Shapes;
use crate::geometry::link::ToolDimension;

/// Writes it.
pub fn show(model: &Model, screen: &mut Screen) {
    show_verdict(model, screen);
    show_fields(model, screen);
    show_tools(model, screen);
    show_sizes(model, screen);
    show_strip(model, screen);
    for (id, (title, is_something)) in ["undo", "redo"].into_iter().zip(undo_titles(model)) {
        screen.mark(id, "title", &title);
        // Kept within reach of the keyboard, so that the focus does not vanish.
        screen.mark(id, "aria-disabled", if is_something { "false" } else { "true" });
    }
    show_designs(model, screen);
    screen.say("unkept", &model.unsaved);
    screen.say("message", &model.notice.words);
    let problem = if model.notice.is_problem { "true" } else { "false" };
    screen.mark("message", "data-problem", problem);
    screen.value("unit", model.controls.value("unit"));
}

fn show_verdict(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let found = verdict(model);
    screen.say("verdict", &found.message);
    screen.mark("verdict", "data-word", found.word.name());
    let join = found.join.and_then(|index| work.report.joins.get(index));
    // What to change first; all of it stands under Joining.
    let decides = join.filter(|_| found.join == Some(model.shown_join()));
    let first = decides.and_then(|join| join.suggestions.first());
    let first = first.map(|first| Node::button(&first.message, "data-suggestion", "0"));
    screen.children("change-first", first.into_iter().collect());
    screen.mark("verdict", "data-verdict", join.map_or("not-known", |join| join.verdict.word()));
    screen.mark("verdict", "data-basis", join.map_or("", |join| &join.basis));
    screen.say("basis", found.basis.words());
    let uncorrected = work.uncorrected.iter().flatten().next().filter(|_| !model.is_at_fault());
    let types_tools = work.design.metal.shapes == Shapes::AfterSpringback;
    screen.say(
        "uncorrected",
        match uncorrected {
            Some(found) => &found.message,
            None if types_tools && !model.is_at_fault() => TOOLS_TYPED,
            None => "",
        },
    );
    screen.say("checking", standing(model, found.join.unwrap_or(work.size)));
    let reasons = work.join_report().filter(|_| !model.is_at_fault());
    let reasons = reasons.map_or(&[][..], |join| &join.reasons);
    let is_of_view = model.sees(tabs::SHAPE) || model.sees(tabs::JOIN);
    screen.reveal("why", is_of_view && !reasons.is_empty());
    screen.list("reasons", "li", reasons.iter().map(|reason| reason.message.as_str()));
    screen.mark(":root", "data-design", if model.is_at_fault() { "bad" } else { "good" });
    screen.mark(":root", "data-working", if model.is_working() { "yes" } else { "no" });
    screen.reveal("stale", model.is_at_fault());
    let names = work.size_report().map_or_else(String::new, |size| {
        let (wire, mandrel) = (work.length(size.wire_mm), work.length(size.mandrel_mm));
        format!("{wire} wire on a {mandrel} mandrel")
    });
    screen.say("stale", &format!("Shown below: the last design that could be made, {names}."));
    let springback = work.size_report().map_or_else(String::new, |size| {
        let opens = work.length(size.springback_mm);
        match (size.springback_basis, size.springback_rings) {
            ("trials", 1) => format!("Your trial ring shows {opens}; that is used."),
            ("trials", rings) => format!("Your {rings} trial rings show {opens}; that is used."),
            ("metal", _) => format!("From the metal: {opens}. Type what you measured."),
            _ => String::new(),
        }
    });
    screen.reveal("springback-basis", !springback.is_empty());
    screen.say("springback-basis", &springback);
}

/// Beside a verdict on what tools of the design's dimensions leave.
const TOOLS_TYPED: &str =
    "The figures are those of the tools; the verdict is on what they leave after springback.";

/// The tool beside each field. What the ring springs to is at hand; the others take forming the
/// link again and again, and are asked for where they are looked at.
fn show_tools(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let forming = work.forming().filter(|_| !model.is_at_fault());
    let ring = forming.map_or_else(String::new, |forming| ring_note(&forming.setting, work.unit));
    screen.say("ring-springs", &ring);
    let is_seen = model.controls.is_ticked("tools-open") && !model.is_at_fault();
    let metal = if is_seen { work.metal() } else { None };
    for field in noted_fields() {
        let note = metal.and_then(|metal| metal.tools.iter().find(|note| note.field == field));
        screen.say(&format!("tool-{field}"), note.map_or("", |note| &note.message));
    }
}

fn show_fields(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    for field in fields::all(&work.design) {
        let target = format!("@{}", field.key);
        let text = model.entries.text(&field, &work.design, work.size, work.unit);
        screen.value(&target, &text);
        let entry = model.entries.at(&Place::of(&field, work.size));
        screen.mark(&target, "aria-invalid", if entry.is_some() { "true" } else { "false" });
        screen.children(&format!("fault@{}", field.key), entry.map_or(Vec::new(), beside));
    }
    for control in CONTROLS {
        let value = choices::value(&work.design, control).unwrap_or_default();
        if ["anneal-pinch", "anneal-fold", "types-tools"].contains(&control) {
            screen.tick(control, value == "true");
        }
    }
    // Of another size than the one looked at: told on top.
    let elsewhere = |entry: &&Entry| entry.place.size.is_some_and(|size| size != work.size);
    let told = model.entries.open.iter().filter(elsewhere).map(|entry| {
        let size = entry.place.size.unwrap_or(0);
        let name = work.report.sizes.get(size).map_or("", |size| size.name.as_str());
        format!("Size \u{201c}{name}\u{201d}: {}", entry.fault)
    });
    screen.say("problem", &told.collect::<Vec<String>>().join(" "));
}

/// What stands beside a field whose entry is not in the design.
fn beside(entry: &Entry) -> Vec<Node> {
    let mut nodes = vec![Node::new("span", entry.fault.as_str())];
    for meaning in &entry.meanings {
        let row = Node::new("span", format!("{} ", meaning.words)).with("class", "meant");
        let button = Node::button(&format!("Use {}", meaning.text), "data-means", &meaning.text)
            .with("data-of", entry.place.key.as_str());
        nodes.push(row.holding(button));
    }
    nodes
}

fn show_sizes(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let option = |(i, size): (usize, &crate::documents::design::Size)| {
        let name = if size.name.is_empty() { "one size" } else { &size.name };
        Node::option(i.to_string(), name)
    };
    screen.children("size", work.design.sizes.iter().enumerate().map(option).collect());
    screen.value("size", &work.size.to_string());
    let several = work.design.sizes.len() > 1;
    screen.reveal("size-row", several);
    for id in ["size-remove", "size-earlier", "size-later"] {
        screen.reveal(id, several);
    }
}

/// The list of designs to start from; it stands at the one on the page.
fn show_designs(model: &Model, screen: &mut Screen) {
    let options = model.design_choices().into_iter();
    screen.children("example", options.map(|(value, name)| Node::option(value, name)).collect());
    let shown = model.example_shown().map_or("opened".into(), |index| index.to_string());
    screen.value("example", &shown);
    screen.say("design-name", &model.analysis.design.name);
    // What an example's note says holds for the example as it comes.
    let design = &model.analysis.design;
    let of_example = model.examples.iter().find(|known| known.notes == design.notes);
    let holds = of_example.is_none_or(|known| known == design);
    screen.say("notes", if holds { &design.notes } else { "" });
}

/// Cells of the strip.
const CELLS: usize = 60;
/// How finely the strip is searched for where a fit begins, mm, before the next mandrel that can be
/// had is named.
const FINE: f64 = 0.05;

/// The mandrels of this wire, from too small to loose.
fn show_strip(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let Some(mandrel) = work.forming().map(|forming| forming.setting.mandrel) else { return };
    let steps = Steps { unit: work.unit, gauge: None };
    let mm = |mm: f64| steps.text(ToolDimension::Mandrel, mm);
    // Its place stays, so that nothing below moves.
    let Some(strip) = &model.strip else {
        let blank = |_| Node::new("i", "").with("data-fit", "unknown");
        screen.children("strip-cells", (0..CELLS).map(blank).collect());
        let words =
            format!("{}: which mandrels suit this wire could not be searched.", mm(mandrel));
        return screen.say("strip-says", &words);
    };
    let [low, high] = strip.range;
    // Told where it is another than with the design's own jaws.
    let any = strip.mandrels(work.unit).and_then(|found| {
        let own = found.with_your_jaws.map(|own| own.mandrel_mm);
        found.with_any_jaws.filter(|any| own.is_none_or(|own| any.mandrel_mm < own - 1e-6))
    });
    let cell = (high - low) / CELLS as f64;
    let node = |index: usize| {
        let from = low + cell * index as f64;
        let fit = match strip.fit_at(from + 0.5 * cell) {
            Some(Fit::NoShape) => "no-shape",
            Some(Fit::NoJoin) => "no-join",
            Some(Fit::Tight) => "tight",
            Some(Fit::Comfortable) => "comfortable",
            Some(Fit::Loose) => "loose",
            None => "unknown",
        };
        let is_here = |mm: &f64| (from..from + cell).contains(mm);
        let marked = model.bench.mandrels_mm.iter().any(is_here);
        let mut node = Node::new("i", "").with("data-fit", fit);
        if any.is_some_and(|found| is_here(&found.mandrel_mm)) {
            node = node.with("data-any", "yes");
        }
        if marked { node.with("data-bench", "yes") } else { node }
    };
    screen.children("strip-cells", (0..CELLS).map(node).collect());
    screen.mark("strip", "min", &format!("{low:.2}"));
    screen.mark("strip", "max", &format!("{high:.2}"));
    screen.mark("strip", "step", "any");
    screen.value("strip", &format!("{mandrel:.3}"));
    let unknown = if strip.is_done() { "not known" } else { "being searched" };
    let here = strip.fit_at(mandrel).map_or(unknown, Fit::words);
    screen.mark("strip", "aria-valuetext", &format!("{}: {here}", mm(mandrel)));
    // To the next step that can be bought.
    let mut words = vec![format!("can be shaped from {}", mm(steps.mandrel_from(strip.least)))];
    if strip.is_done() {
        for (fit, what) in
            [(Fit::Tight, "joins"), (Fit::Comfortable, "comfortable"), (Fit::Loose, "loose")]
        {
            if let Some(from) = strip.from(fit, FINE) {
                words.push(format!("{what} from {}", mm(steps.mandrel_from(from))));
            }
        }
    }
    let of = if work.design.sizes.len() > 1 { ", this size through its own kind" } else { "" };
    let mut words = format!("{}: {here}; {} (searched{of}).", mm(mandrel), words.join(", "));
    if let Some(any) = any {
        words += &format!(" With other jaws this wire joins from {} (proven).", mm(any.mandrel_mm));
    } else if model.pending.is_asked(Subject::Mandrels) {
        words += " Other jaws are being tried…";
    }
    screen.say("strip-says", &words);
}
