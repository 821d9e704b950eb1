//! How the answer turns when two dimensions change: a flat map, and the design as a point on it.

use super::view::{Picture, Shown, View};
use crate::answers::dimension::Dimension;
use crate::answers::map::{AXES, CellBasis, FINEST};
use crate::answers::report::DesignVerdict;
use crate::answers::report::JoinAnswer;
use crate::app::analysis::Analysis;
use crate::app::map_state::{MapState, axes};
use crate::app::model::Model;
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::documents::units::{LengthUnit, length_words};
use crate::math::units::Mm;
use crate::render::{Drawing, MapChart, Window};
pub const VIEW: View = View { id: tabs::MAP, picture, show };

/// Places of the table: the first, coarse look, every other one.
const TABLE: u8 = 16;

fn picture(model: &Model, window: Window) -> Option<Picture> {
    let work = &model.analysis;
    let step = String::new();
    let found = model.map_state.as_ref().and_then(|map_state| {
        Some((map_state, map_state.place_of(&work.design, work.size)?, work.forming()?))
    });
    let Some((map_state, here, forming)) = found else {
        let caption = "Choose two different dimensions.".to_string();
        return Some(Picture {
            shown: Shown::Flat(Drawing::default(), caption.clone()),
            caption,
            step,
        });
    };
    let words = at_the_point(work);
    let chart = MapChart {
        question: &map_state.question,
        grid: &map_state.grid,
        margin: map_state.margin,
        wire: forming.setting.wire,
        here,
        fails: work.join_report().is_some_and(|join| DesignVerdict::of(join) == DesignVerdict::No),
        words: &words,
        unit: work.unit,
    };
    let mut drawing = Drawing::default();
    chart.draw_into(window, &mut drawing);
    let mm = |length: f64| length_words(Mm::new(length), work.unit);
    let ranges = [&map_state.question.across, &map_state.question.up].map(|range| {
        format!("{} from {} to {}", range.axis.words(), mm(range.low), mm(range.high))
    });
    let axes = [map_state.question.across.axis, map_state.question.up.axis];
    let point = format!(
        "The present design, {} {} and {} {}: {words}.",
        axes[0].words(),
        mm(here[0]),
        axes[1].words(),
        mm(here[1])
    );
    let told = format!("Map of clearance. Across: {}. Up: {}. {point}", ranges[0], ranges[1]);
    Some(Picture { shown: Shown::Flat(drawing, told), caption: point, step })
}

/// The answer to the present design, short.
fn at_the_point(work: &Analysis) -> String {
    let Some(join) = work.join_report() else { return String::new() };
    if work.is_open(work.size) {
        return "checking…".into();
    }
    let proven = if join.basis == "proof" { ", proven" } else { "" };
    match join.verdict {
        JoinAnswer::Passes => {
            format!("joins, clearance {}{proven}", join.clearance_text(work.unit))
        }
        JoinAnswer::PassesIfSprung => format!("joins if sprung{proven}"),
        JoinAnswer::DoesNotPass => format!("does not join{proven}"),
        JoinAnswer::Undecided => "not known".into(),
        JoinAnswer::LikelyPasses => "joins, by estimate".into(),
        JoinAnswer::Tight => "tight, by estimate".into(),
        JoinAnswer::LikelyDoesNotPass => "does not join, by estimate".into(),
    }
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    for (id, chosen) in ["map-across", "map-up"].into_iter().zip(axes(&model.controls)) {
        let option = |(i, axis): (usize, &Dimension)| Node::option(i.to_string(), axis.words());
        screen.children(id, AXES.iter().enumerate().map(option).collect());
        let place = AXES.iter().position(|axis| *axis == chosen).unwrap_or(0);
        screen.value(id, &place.to_string());
    }
    let Some(map_state) = &model.map_state else {
        screen.say("map-state", "");
        return;
    };
    let grid = &map_state.grid;
    let state = if work.unprovable {
        "This browser cannot work the map out.".to_string()
    } else {
        let filled = if grid.is_done() { "Filled" } else { "Filling" };
        format!(
            "{filled}: {} places computed, {} interpolated between them.",
            grid.computed(),
            grid.interpolated()
        )
    };
    screen.say("map-state", &state);
    screen.mark("map-state", "data-done", if grid.is_done() { "true" } else { "false" });
    screen.say("map-margin", &work.length(map_state.margin));
    write_table(map_state, work.unit, screen);
}

/// The coarse places in words and figures, for whoever does not see the map.
fn write_table(map_state: &MapState, unit: LengthUnit, screen: &mut Screen) {
    let question = &map_state.question;
    if map_state.grid.stride().is_none() {
        return screen.children("map-table", Vec::new());
    }
    let (across, up) = (&question.across, &question.up);
    let mm = |length: f64| {
        format!("{:.*}", if unit == LengthUnit::Mm { 2 } else { 3 }, length / unit.in_mm())
    };
    let caption = format!(
        "Clearance found, {}: {} across, {} down",
        unit.name(),
        across.axis.words(),
        up.axis.words()
    );
    let nodes = || (0..=FINEST).step_by(usize::from(TABLE));
    let heads = nodes().map(|i| Node::new("th", mm(question.place_of([i, 0])[0])));
    let head = heads.fold(Node::new("tr", "").holding(Node::new("td", "")), Node::holding);
    let mut rows = vec![Node::new("caption", caption), head];
    for j in nodes().rev() {
        let first = Node::new("th", mm(question.place_of([0, j])[1]));
        let cells = nodes().map(|i| {
            let cell = map_state.grid.cell([i, j]);
            let words = match cell.kind(map_state.margin) {
                Some(CellBasis::None) => "no".to_string(),
                Some(CellBasis::Tight | CellBasis::Clear) => {
                    cell.clearance().map(mm).unwrap_or_default()
                }
                _ => "–".into(),
            };
            Node::new("td", words)
        });
        rows.push(cells.fold(Node::new("tr", "").holding(first), Node::holding));
    }
    screen.children("map-table", rows);
}
