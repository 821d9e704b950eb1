//! Will it go through: the verdict with its figures, both orders of work, what would cure it.

use super::View;
use super::demonstration::demonstration;
use crate::answers::report::JoinReport;
use crate::motion::insertion::Phase;
use crate::render::{Chapter, ClosestPlaces, phase_words};
use crate::web::answer::{standing, word};
use crate::web::elements::Elements;
use crate::web::work::Work;
use web_sys::{HtmlInputElement, HtmlSelectElement};

pub const VIEW: View = View {
    id: "join",
    name: "Join",
    span: Some((Chapter::Fold.end(), 1.0)),
    picture: demonstration,
    show,
};

/// Orders of work that can be chosen.
const WAYS: usize = 2;

/// Which order of work is played: 0 for the better.
pub fn way_chosen(page: &Elements) -> usize {
    let ticked = |path: &usize| {
        let radio: Option<HtmlInputElement> = page.get(&format!("way-{path}"));
        radio.is_some_and(|radio| radio.checked())
    };
    (0..WAYS).find(ticked).unwrap_or(0)
}

/// What is done where a join is played.
pub fn caption(work: &Work, phase: Option<Phase>, spots: &[ClosestPlaces]) -> String {
    let Some(phase) = phase else {
        let words = if work.unprovable {
            "This browser could not work out the way through."
        } else {
            "The next loop waits: its way through is being worked out."
        };
        return words.into();
    };
    let told = match spots.first() {
        Some(spot) if spot.wrong => {
            format!(" Here the wires overlap by {}: it does not go.", work.length(spot.reading))
        }
        Some(spot) => format!(" About here it is tightest: {} clear.", work.length(spot.reading)),
        None => String::new(),
    };
    format!("{}{told}", phase_words(phase))
}

fn show(work: &Work, page: &Elements) {
    list_joins(work, page);
    let index = work.shown_join(page);
    let Some(join) = work.report.joins.get(index) else { return };
    // The size's own join is answered on top.
    page.reveal("join-says", index != work.size);
    page.say("join-says", &join.message);
    page.mark("join-says", "data-verdict", word(join));
    page.say("join-basis", &format!("{} {}", basis(join), standing(work, index)));
    page.say("clearance-name", clearance_name(join));
    page.say("figure-clearance", &join.clearance_text(work.unit));
    page.say("figure-margin", &work.length(join.margin_mm));
    let rest = join.rest_clearance_mm.map(|rest| work.length(rest));
    page.say("figure-rest", rest.as_deref().unwrap_or("not known yet"));
    page.reveal("paths", !join.paths.is_empty());
    for (path, report) in join.paths.iter().enumerate().take(WAYS) {
        page.say(&format!("way-{path}-says"), &report.message);
    }
    list_cures(join, page);
    page.reveal("joins-part", work.report.joins.len() > 1);
    let Some(list) = page.element("joins") else { return };
    list.set_text_content(Some(""));
    for join in &work.report.joins {
        page.add(&list, "dt", &name_of(join));
        if let Some(answer) = page.add(&list, "dd", &join.message) {
            let _ = answer.set_attribute("data-verdict", word(join));
        }
    }
}

fn name_of(join: &JoinReport) -> String {
    if join.receiving == join.incoming {
        format!("{} through its own kind", join.incoming)
    } else {
        format!("{} through {}", join.incoming, join.receiving)
    }
}

/// What the answer rests on, in plain words.
fn basis(join: &JoinReport) -> &'static str {
    let passes = join.verdict.word().starts_with("passes");
    match join.basis.as_str() {
        "proof" if passes => {
            "Proven: on the way played no part of the wires comes nearer than this, between the steps either."
        }
        "proof" => "Proven for the fold as said below: no way of holding it takes it through.",
        "search" => "Searched, not proven: the best way found is played.",
        _ => "An estimate of three conditions, all needed and not enough.",
    }
}

fn clearance_name(join: &JoinReport) -> &'static str {
    match join.basis.as_str() {
        "proof" if join.verdict.word().starts_with("passes") => {
            "Least clearance on the way, proven"
        }
        "estimate" => "Least clearance, by estimate",
        _ if join.least_clearance_mm < 0.0 => "Clearance on the best way found (below 0: overlap)",
        _ => "Least clearance on the best way found",
    }
}

/// Fills the list of joins where it is not that of this chain and size.
fn list_joins(work: &Work, page: &Elements) {
    let Some(list) = page.get::<HtmlSelectElement>("join-shown") else { return };
    let names: Vec<String> = work.report.joins.iter().map(name_of).collect();
    let chain = format!("{} {}", work.size, names.join("; "));
    if list.get_attribute("data-for").as_deref() == Some(chain.as_str()) {
        return;
    }
    let _ = list.set_attribute("data-for", &chain);
    list.set_text_content(Some(""));
    for (i, name) in names.iter().enumerate() {
        page.option(&list, &i.to_string(), name);
    }
    list.set_value(&work.size.to_string());
    page.reveal("join-chooser", names.len() > 1);
}

/// Each cure with a button that takes it; kept while it stays the same, with its focus.
fn list_cures(join: &JoinReport, page: &Elements) {
    page.reveal("suggestions-part", !join.suggestions.is_empty());
    let Some(list) = page.element("suggestions") else { return };
    let words: Vec<&str> =
        join.suggestions.iter().map(|suggestion| suggestion.message.as_str()).collect();
    let said = words.join("; ");
    if list.get_attribute("data-for").as_deref() == Some(said.as_str()) {
        return;
    }
    let _ = list.set_attribute("data-for", &said);
    list.set_text_content(Some(""));
    for (i, suggestion) in join.suggestions.iter().enumerate() {
        let Some(item) = page.add(&list, "li", "") else { continue };
        page.add(&item, "span", &suggestion.message);
        if let Some(button) = page.add(&item, "button", "Use this") {
            let _ = button.set_attribute("type", "button");
            let _ = button.set_attribute("data-cure", &i.to_string());
            let _ =
                button.set_attribute("aria-label", &format!("Use this: {}", suggestion.message));
        }
    }
}
