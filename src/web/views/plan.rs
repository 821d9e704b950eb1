//! The whole chain on paper: what the maker asks for, the chain laid out, what it takes.

use super::{Picture, Shown, View};
use crate::answers::report::{HandReport, Mass, PlanReport, PlanStanding, PlannedChain};
use crate::documents::units::{mass_text, wire_text};
use crate::render::{Drawing, lay_out};
use crate::web::elements::Elements;
use crate::web::work::Work;

pub const ID: &str = "plan";
pub const VIEW: View = View { id: ID, name: "Plan", span: None, picture, show };

fn report(work: &Work) -> Option<&PlanReport> {
    work.planned.as_ref().map(|planned| &planned.report)
}

fn picture(work: &Work, _: f64, page: &Elements) -> Option<Picture> {
    let mut drawing = Drawing::default();
    let caption = match report(work) {
        None if work.unprovable => "This browser gives no helper to work a plan out.".to_string(),
        None => "Working the plan out…".into(),
        Some(report) => {
            if let Some(laid) = &report.laid {
                lay_out(laid, page.window("picture"), work.unit, &mut drawing);
            }
            report.message.clone()
        }
    };
    let laid = report(work).and_then(|report| report.laid.as_ref());
    let told = laid.map(|laid| in_words(laid, work)).unwrap_or_default();
    let shown = Shown::Flat(drawing, format!("The chain laid out to scale. {caption} {told}"));
    Some(Picture { shown, caption, step: String::new() })
}

fn in_words(laid: &PlannedChain, work: &Work) -> String {
    let stretch = |s: &crate::answers::report::SizeRunReport| {
        let name = laid.sizes.get(s.size).map_or("", |size| size.name.as_str());
        format!("{} of {name} from {}", s.links, work.length(s.from_mm))
    };
    laid.size_runs.iter().map(stretch).collect::<Vec<String>>().join(", ")
}

fn show(work: &Work, page: &Elements) {
    page.reveal("plan-ease", page.value("plan-measured") != "flat");
    page.reveal("plan-step", page.value("plan-taper") == "stepped");
    let found = report(work);
    let laid = found.and_then(|report| report.laid.as_ref());
    let message = found.map_or("Working the plan out…", |report| report.message.as_str());
    page.say("plan-says", message);
    let standing = match found.map(|report| report.standing) {
        Some(PlanStanding::Finished) => "finished",
        Some(PlanStanding::Open) => "open",
        Some(PlanStanding::Fails) => "fails",
        Some(PlanStanding::NotLaidOut) => "not-laid-out",
        None => "",
    };
    page.mark("plan-says", "data-standing", standing);
    page.reveal("plan-figures", laid.is_some());
    if let Some(laid) = laid {
        show_laid(work, page, laid);
    }
    if let Some(report) = found {
        show_hand(work, page, &report.hand);
        page.list("plan-cautions", "li", report.cautions.iter().map(String::as_str));
    }
}

fn show_laid(work: &Work, page: &Elements, laid: &PlannedChain) {
    let mass = |mass: &Mass| mass_text(mass.grams, work.unit);
    let mut message = laid.ends.iter().map(|end| end.message.as_str()).collect::<Vec<&str>>();
    message.extend(laid.solder.iter().map(String::as_str));
    match &laid.failing {
        Some(failing) => message.push(&failing.message),
        None => message.push("Trying the plan with an uneven hand…"),
    }
    page.mark("plan-figures", "data-done", if laid.failing.is_some() { "true" } else { "false" });
    page.list("plan-notes", "li", message);
    let worn = laid.inside_mm.map(|inside| {
        format!("{} ({} thick)", work.length(inside), work.length(laid.thickness_mm))
    });
    page.reveal("plan-inside-row", worn.is_some());
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
        page.say(&format!("plan-{name}"), &text);
    }
    let Some(table) = page.element("plan-table") else { return };
    table.set_text_content(Some(""));
    let row = |cell: &str, cells: [String; 6]| {
        let Some(row) = page.add(&table, "tr", "") else { return };
        for text in cells {
            page.add(&row, cell, &text);
        }
    };
    let heads = ["Size", "Links", "Rings", "Coils", "Wire a ring", "Wire"];
    row("th", heads.map(String::from));
    for size in &laid.sizes {
        row(
            "td",
            [
                size.name.clone(),
                size.links.to_string(),
                size.rings.to_string(),
                size.coils.to_string(),
                work.length(size.wire_per_ring_mm),
                wire_text(size.wire_mm, work.unit),
            ],
        );
    }
}

fn show_hand(work: &Work, page: &Elements, hand: &HandReport) {
    // What nothing was measured of is left out.
    let springback =
        hand.springback.iter().filter(|found| found.fitted || found.carried_mm.is_some());
    let springback = springback.map(|found| found.message.as_str());
    let spreads = hand.spreads.iter().filter(|found| found.off_mm.is_some());
    let spreads = spreads.map(|found| found.message.as_str());
    page.list("plan-hand", "li", springback.chain(spreads));
    let Some(table) = page.element("plan-trials") else { return };
    table.set_text_content(Some(""));
    page.reveal("plan-trials", !hand.measured.is_empty());
    let row = |cell: &str, cells: [String; 4]| {
        let Some(row) = page.add(&table, "tr", "") else { return };
        for text in cells {
            page.add(&row, cell, &text);
        }
    };
    row("th", ["Trial", "What", "Predicted", "Measured"].map(String::from));
    for measured in &hand.measured {
        row(
            "td",
            [
                (measured.trial + 1).to_string(),
                measured.dimension.clone(),
                work.length(measured.predicted_mm),
                work.length(measured.measured_mm),
            ],
        );
    }
}
