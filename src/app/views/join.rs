//! Will it go through: the verdict with its figures, both orders of work, what would make it pass.

use super::demonstration::demonstration;
use super::view::View;
use crate::answers::report::{JoinReport, SuggestionReport};
use crate::app::model::Model;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::app::verdict::standing;
use crate::motion::insertion::RefusalBasis;

pub const VIEW: View = View { id: tabs::JOIN, picture: demonstration, show };

/// Orders of work that can be chosen.
const WAYS: usize = 2;

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    list_joins(model, screen);
    let index = model.shown_join();
    let Some(join) = work.report.joins.get(index) else { return };
    // The size's own join is answered on top.
    screen.reveal("join-says", index != work.size);
    screen.say("join-says", &join.message);
    screen.mark("join-says", "data-verdict", join.verdict.word());
    screen.say("join-basis", &format!("{} {}", basis(join), standing(model, index)));
    screen.say("clearance-name", clearance_name(join));
    screen.say("figure-clearance", &join.clearance_text(work.unit));
    screen.say("figure-margin", &work.length(join.margin_mm));
    let rest = join.rest_clearance_mm.map(|rest| work.length(rest));
    screen.say("figure-rest", rest.as_deref().unwrap_or("not known yet"));
    screen.reveal("ways", !join.paths.is_empty());
    for (path, report) in join.paths.iter().enumerate().take(WAYS) {
        screen.say(&format!("way-{path}-says"), &report.message);
        screen.tick(&format!("way-{path}"), path == model.shown_path());
    }
    list_suggestions(join, screen);
    screen.reveal("joins-part", work.report.joins.len() > 1);
    let mut rows = Vec::new();
    for join in &work.report.joins {
        rows.push(Node::new("dt", join.name()));
        rows.push(Node::new("dd", join.message.as_str()).with("data-verdict", join.verdict.word()));
    }
    screen.children("joins", rows);
}

/// What the answer rests on, in plain words.
fn basis(join: &JoinReport) -> &'static str {
    let passes = join.verdict.word().starts_with("passes");
    match join.basis.as_str() {
        "proof" if passes => {
            "Proven: in the motion played, no part of the wires comes nearer than this, between the steps either."
        }
        "proof" if rests_on_joined_pose(join) => {
            "Proven: all positions of one closed link in the other, as in a chain, were gone through in boxes; in none are the wires clear."
        }
        "proof" => "Proven: however it is turned, it does not go through.",
        "search" => "Best attempt found; not proof.",
        _ => "An estimate of three conditions, all needed and not enough.",
    }
}

fn rests_on_joined_pose(join: &JoinReport) -> bool {
    join.paths.first().is_some_and(|path| path.argument == Some(RefusalBasis::JoinedPose))
}

fn clearance_name(join: &JoinReport) -> &'static str {
    match join.basis.as_str() {
        "proof" if join.verdict.word().starts_with("passes") => "Tightest clearance, proven",
        "estimate" => "Tightest clearance, by estimate",
        _ if join.least_clearance_mm < 0.0 => {
            "Clearance of the best attempt found (below 0: overlap)"
        }
        _ => "Tightest clearance of the best attempt found",
    }
}

/// The joins to choose from.
fn list_joins(model: &Model, screen: &mut Screen) {
    let joins = &model.analysis.report.joins;
    let option = |(i, join): (usize, &JoinReport)| Node::option(format!("{i}"), join.name());
    screen.children("join-shown", joins.iter().enumerate().map(option).collect());
    screen.value("join-shown", &model.shown_join().to_string());
    screen.reveal("join-chooser", joins.len() > 1);
}

/// Each suggestion with a button that takes it.
fn list_suggestions(join: &JoinReport, screen: &mut Screen) {
    screen.reveal("suggestions-part", !join.suggestions.is_empty());
    let row = |(i, suggestion): (usize, &SuggestionReport)| {
        let button = Node::button("Use this", "data-suggestion", i.to_string())
            .with("aria-label", format!("Use this: {}", suggestion.message));
        let words = Node::new("span", suggestion.message.as_str());
        Node::new("li", "").holding(words).holding(button)
    };
    screen.children("suggestions", join.suggestions.iter().enumerate().map(row).collect());
}
