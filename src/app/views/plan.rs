//! The whole chain on paper: what the maker asks for, the chain laid out, what it takes.

use super::view::{Picture, Shown, View};
use crate::answers::jig::{JIG_CAUTIONS, JigKind};
use crate::answers::report::{HandReport, Mass, PlanReport, PlanStanding, PlannedChain, ToolNote};
use crate::app::analysis::Analysis;
use crate::app::choices::{self, JOINED};
use crate::app::fields::all as all_fields;
use crate::app::model::Model;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::documents::units::{mass_text, wire_text};
use crate::render::{Drawing, Window, jig_picture, lay_out};
pub const VIEW: View = View { id: tabs::PLAN, picture, show };

fn report(work: &Analysis) -> Option<&PlanReport> {
    work.planned.as_ref().map(|planned| &planned.report)
}

fn picture(model: &Model, window: Window) -> Option<Picture> {
    let work = &model.analysis;
    let mut drawing = Drawing::default();
    if let Some(wanted) = model.jig_wanted() {
        let caption = match model.made_jig() {
            Some(Ok(jig)) => {
                drawing = jig_picture(jig, window);
                format!("{} from above.", wanted.kind.name())
            }
            _ => jig_says(model),
        };
        let shown = Shown::Flat(drawing, caption.clone());
        return Some(Picture { shown, caption, step: String::new() });
    }
    let caption = match report(work) {
        None if work.unprovable => "This browser cannot work the plan out.".to_string(),
        None => "Working the plan out…".into(),
        Some(report) => {
            if let Some(laid) = &report.laid {
                let weave = work.design.weave.weave();
                lay_out(laid, work.bodies(), weave, window, work.unit, &mut drawing);
            }
            let rows = if report.laid.is_some() {
                " Above from the face, below from the side."
            } else {
                ""
            };
            format!("{}{rows}", report.message)
        }
    };
    let laid = report(work).and_then(|report| report.laid.as_ref());
    let told = laid.map(|laid| in_words(laid, work)).unwrap_or_default();
    let shown = Shown::Flat(drawing, format!("The chain laid out to scale. {caption} {told}"));
    Some(Picture { shown, caption, step: String::new() })
}

fn jig_says(model: &Model) -> String {
    match model.made_jig() {
        Some(Err(words)) => format!("Not made: {words}."),
        Some(Ok(_)) => String::new(),
        None if model.jig_wanted().is_none() => String::new(),
        None if model.analysis.unprovable => "This browser cannot work it out.".into(),
        None => "Working it out…".into(),
    }
}

fn show_jig(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let chosen = model.jig_wanted().map(|wanted| wanted.kind);
    let mut options = vec![Node::option("", "the chain")];
    options.extend(JigKind::ALL.map(|kind| Node::option(kind.id(), kind.name().to_lowercase())));
    screen.children("jig-what", options);
    screen.value("jig-what", chosen.map_or("", JigKind::id));
    let made = model.made_jig().and_then(|made| made.as_ref().ok());
    let of_all = chosen.is_some_and(JigKind::is_of_all_sizes);
    screen.reveal("jig-one-row", of_all && work.design.sizes.len() > 1);
    screen.say("jig-says", &jig_says(model));
    screen.reveal("jig-made", made.is_some());
    let Some(jig) = made else { return };
    let beside = jig.tolerances.iter().map(|found| {
        let capped = if found.is_capped { "; the joins would bear more" } else { "" };
        format!(
            "Outlines may be off by {} all round: then the joins, {} clear as meant, still have the clearance asked for{capped}.",
            work.length(found.beside_mm),
            work.length(found.clearance_mm)
        )
    });
    let lines: Vec<String> = beside.chain(jig.notes.iter().cloned()).collect();
    screen.list("jig-notes", "li", lines.iter().map(String::as_str));
    let is_gauge = jig.measures.iter().any(|measure| measure.go_mm.is_some());
    let heads: &[&str] = if is_gauge { &["", "Link", "Go", "No-go"] } else { &["", "Measures"] };
    let mut rows = vec![Node::row("th", heads.iter().map(|head| head.to_string()))];
    for measure in &jig.measures {
        let lengths = [Some(measure.mm), measure.go_mm, measure.no_go_mm];
        let lengths = lengths.into_iter().flatten().map(|mm| work.length(mm));
        let cells: Vec<String> = std::iter::once(measure.name.clone()).chain(lengths).collect();
        rows.push(Node::row("td", cells));
    }
    screen.children("jig-measures", rows);
    screen.list("jig-cautions", "li", JIG_CAUTIONS);
}

fn in_words(laid: &PlannedChain, work: &Analysis) -> String {
    let stretch = |s: &crate::answers::report::SizeRunReport| {
        let name = laid.sizes.get(s.size).map_or("", |size| size.name.as_str());
        format!("{} of {name} from {}", s.links, work.length(s.from_mm))
    };
    laid.size_runs.iter().map(stretch).collect::<Vec<String>>().join(", ")
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let chosen = |control| choices::value(&work.design, control).unwrap_or_default();
    for list in ["plan-measured", "plan-taper"] {
        screen.value(list, &chosen(list));
    }
    screen.tick("plan-one-ended", chosen("plan-one-ended") == "true");
    screen.reveal("plan-ease", chosen("plan-measured") != "flat");
    screen.reveal("plan-step", chosen("plan-taper") == "stepped");
    list_trials(model, screen);
    show_jig(model, screen);
    let found = report(work);
    let laid = found.and_then(|report| report.laid.as_ref());
    let message = found.map_or("Working the plan out…", |report| report.message.as_str());
    screen.say("plan-says", message);
    let standing = match found.map(|report| report.standing) {
        Some(PlanStanding::Finished) => "finished",
        Some(PlanStanding::Open) => "open",
        Some(PlanStanding::Fails) => "fails",
        Some(PlanStanding::NotLaidOut) => "not-laid-out",
        None => "",
    };
    screen.mark("plan-says", "data-standing", standing);
    screen.reveal("plan-figures", laid.is_some());
    screen.reveal("plan-first", laid.is_some());
    if let Some(laid) = laid {
        show_laid(work, screen, laid);
    }
    if let Some(report) = found {
        show_hand(work, screen, &report.hand);
        screen.list("plan-cautions", "li", report.cautions.iter().map(String::as_str));
    }
}

fn show_laid(work: &Analysis, screen: &mut Screen, laid: &PlannedChain) {
    let mass = |mass: &Mass| mass_text(mass.grams, work.unit);
    let mut message = laid.ends.iter().map(|end| end.message.as_str()).collect::<Vec<&str>>();
    message.extend(laid.solder.iter().map(String::as_str));
    match &laid.failing {
        Some(failing) => message.push(&failing.message),
        None => message.push("Trying the plan with an uneven hand…"),
    }
    screen.mark("plan-figures", "data-done", if laid.failing.is_some() { "true" } else { "false" });
    screen.list("plan-notes", "li", message);
    let worn = laid.inside_mm.map(|inside| {
        format!("{} ({} thick)", work.length(inside), work.length(laid.thickness_mm))
    });
    screen.reveal("plan-inside-row", worn.is_some());
    let [below, above] = laid.nearest_mm;
    let [hours, cost] = laid.cost.as_ref().map_or_else(Default::default, |cost| {
        [
            format!("{:.1} h", cost.hours),
            match cost.total {
                0.0 => "no prices on the bench".into(),
                total => format!("{total:.2} {}", cost.currency).trim().into(),
            },
        ]
    });
    for (name, text) in [
        ("length", work.length(laid.length_mm)),
        ("nearest", format!("{} and {}", work.length(below), work.length(above))),
        ("inside", worn.unwrap_or_default()),
        ("links", laid.links.to_string()),
        ("rings", laid.rings.to_string()),
        ("wire", wire_text(laid.wire_mm, work.unit)),
        ("wire-mass", mass(&laid.wire_mass)),
        ("chain-mass", mass(&laid.chain_mass)),
        ("hours", hours),
        ("cost", cost),
    ] {
        screen.say(&format!("plan-{name}"), &text);
    }
    let heads = ["Size", "Links", "Rings", "Coils", "Wire a ring", "Wire"];
    let mut rows = vec![Node::row("th", heads.map(String::from))];
    for size in &laid.sizes {
        let cells = [
            size.name.clone(),
            size.links.to_string(),
            size.rings.to_string(),
            size.coils.to_string(),
            work.length(size.wire_per_ring_mm),
            wire_text(size.wire_mm, work.unit),
        ];
        rows.push(Node::row("td", cells));
    }
    screen.children("plan-table", rows);
    show_tools(work, screen);
}

/// The tools of every size, as beside its fields.
fn show_tools(work: &Analysis, screen: &mut Screen) {
    let sizes = work.report.sizes.iter().enumerate();
    let lines = sizes.filter_map(|(index, size)| {
        let tools = &work.metal_of(index)?.tools;
        let lines: Vec<String> = tools.iter().map(ToolNote::line).collect();
        let name =
            if work.report.sizes.len() > 1 { format!("{}. ", size.name) } else { String::new() };
        (!lines.is_empty()).then(|| format!("{name}{}.", lines.join("; ")))
    });
    let lines: Vec<String> = lines.collect();
    screen.list("plan-tools", "li", lines.iter().map(String::as_str));
}

fn show_hand(work: &Analysis, screen: &mut Screen, hand: &HandReport) {
    // What nothing was measured of is left out.
    let springback =
        hand.springback.iter().filter(|found| found.fitted || found.carried_mm.is_some());
    let springback = springback.map(|found| found.message.as_str());
    let spreads = hand.spreads.iter().filter(|found| found.off_mm.is_some());
    let spreads = spreads.map(|found| found.message.as_str());
    let growth = hand.growth.iter().map(|found| found.message.as_str());
    screen.list("plan-hand", "li", springback.chain(growth).chain(spreads));
    screen.reveal("plan-trials", !hand.measured.is_empty());
    let heads = ["Trial", "What", "Predicted", "Measured"];
    let mut rows = vec![Node::row("th", heads.map(String::from))];
    for measured in &hand.measured {
        let cells = [
            (measured.trial + 1).to_string(),
            measured.dimension.clone(),
            work.length(measured.predicted_mm),
            work.length(measured.measured_mm),
        ];
        rows.push(Node::row("td", cells));
    }
    screen.children("plan-trials", rows);
}

/// A row of fields for every trial link.
fn list_trials(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let mut rows = Vec::new();
    for (index, trial) in work.design.trials.iter().enumerate() {
        let made = work.length(trial.mandrel_mm);
        let legend = Node::new("legend", format!("Trial {}: {made} mandrel", index + 1));
        let mut fields = Node::new("div", "").with("class", "row");
        for field in all_fields(&work.design) {
            if field.key.starts_with(&format!("trials[{index}].")) {
                let input = Node::new("input", "")
                    .with("data-field", field.key.as_str())
                    .with("inputmode", "text")
                    .with("placeholder", "not measured");
                let label = Node::new("label", format!("{} ", field.label)).holding(input);
                fields = fields.holding(label);
            }
        }
        let options = JOINED.iter().map(|(value, words, _)| Node::option(*value, *words));
        let list = Node::new("select", "")
            .with("id", format!("trial-joined-{index}"))
            .with("data-design", "");
        let list = options.fold(list, Node::holding);
        let remove = Node::button("Remove", "data-trial", index.to_string())
            .with("aria-label", format!("Remove trial {}", index + 1));
        let fields = fields.holding(Node::new("label", "Joined ").holding(list)).holding(remove);
        rows.push(Node::new("fieldset", "").holding(legend).holding(fields));
    }
    screen.children("trials", rows);
    for index in 0..work.design.trials.len() {
        let list = format!("trial-joined-{index}");
        let value = choices::value(&work.design, &list).unwrap_or_default();
        screen.value(&list, &value);
    }
}
