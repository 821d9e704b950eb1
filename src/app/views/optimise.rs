//! From the chain wished for to the dimensions: wishes, answers, the trade-off, what to be careful
//! about.

use super::view::{Picture, Shown, View};
use crate::answers::optimise::{DesignAnswer, Dimension, Figure, OptimiseResult};
use crate::answers::report::Steps;
use crate::app::analysis::Analysis;
use crate::app::model::Model;
use crate::app::optimise_state::{TRADED, WISHED, can_be_owned, in_unit, listed, of};
use crate::app::screen::{Node, Screen};
use crate::app::tabs;
use crate::documents::units::{LengthUnit, length_text_down};
use crate::render::{Drawing, TradeOffChart, Window};
pub const VIEW: View = View { id: tabs::OPTIMISE, picture, show };

/// What can be wished of a figure.
const WANTS: [(&str, &str); 6] = [
    ("", "any"),
    ("near", "about"),
    ("least", "at least"),
    ("most", "at most"),
    ("low", "as low as it goes"),
    ("high", "as high as it goes"),
];
/// Asks the trade-off as it is drawn; none where there is none.
pub fn trade_of<T>(model: &Model, ask: impl FnOnce(&TradeOffChart) -> T) -> Option<T> {
    let (work, optimise_state) = (&model.analysis, &model.optimise_state);
    let (_, wishes, _) = optimise_state.asked.as_ref()?;
    let wanted = wishes.trade_off?;
    let sides = [wanted.across.figure, wanted.up.figure];
    let traded = optimise_state.line();
    let scale = sides.map(|side| if side.is_length() { work.unit.in_mm() } else { 1.0 });
    let points: Vec<[f64; 2]> =
        traded.iter().map(|point| [point.across / scale[0], point.up / scale[1]]).collect();
    let present = optimise_state.present(work);
    let here = present
        .and_then(|now| Some([of(now, sides[0])? / scale[0], of(now, sides[1])? / scale[1]]));
    let names = sides.map(|side| {
        let unit = unit_of(side, work.unit);
        if unit.is_empty() { side.words().to_string() } else { format!("{}, {unit}", side.words()) }
    });
    let done = optimise_state.is_done();
    Some(ask(&TradeOffChart {
        points: &points,
        chosen: optimise_state.chosen,
        here,
        names: [&names[0], &names[1]],
        empty: if done { "No trade-off was found." } else { "The trade-off comes last." },
    }))
}

fn unit_of(figure: Figure, unit: LengthUnit) -> &'static str {
    match (figure.is_length(), unit) {
        (true, LengthUnit::Inch) => "in",
        _ => figure.unit(),
    }
}

fn picture(model: &Model, window: Window) -> Option<Picture> {
    let work = &model.analysis;
    let mut drawing = Drawing::default();
    let drawn = trade_of(model, |trade| {
        trade.draw_into(window, &mut drawing);
        let names = format!("{} against {}", trade.names[1], trade.names[0]);
        match ends_in_words(model) {
            Some(ends) => format!("What can be had at best: {names}. {ends}"),
            None => format!("{names}: {}", trade.empty),
        }
    });
    let optimise_state = &model.optimise_state;
    let point = optimise_state.chosen.and_then(|index| optimise_state.line().get(index));
    let caption = match (drawn, point) {
        (None, _) if optimise_state.asked.is_none() && optimise_state.fault.is_none() => {
            state(model, None)
        }
        (None, _) => "Wish for something, and choose two figures to weigh.".to_string(),
        (Some(line), None) => line,
        (Some(_), Some(point)) => dimensions(&point.answer, work),
    };
    // Until a point is found, what there is now.
    let now = work
        .join_report()
        .filter(|_| optimise_state.line().is_empty())
        .map_or("", |join| &join.message);
    let told = format!("Trade-off. {caption} {now}");
    Some(Picture { shown: Shown::Flat(drawing, told), caption, step: String::new() })
}

/// From which figures to which the line of the trade-off runs; none while it has no point.
fn ends_in_words(model: &Model) -> Option<String> {
    let optimise_state = &model.optimise_state;
    let wanted = optimise_state.asked.as_ref()?.1.trade_off?;
    let line = optimise_state.line();
    let (first, last) = (line.first()?, line.last()?);
    let told = |figure: Figure, ends: [f64; 2]| {
        let [from, to] = ends.map(|value| figure.text(value, model.analysis.unit));
        format!("{} from {from} to {to}", figure.words())
    };
    Some(format!(
        "{} points: {}, {}.",
        line.len(),
        told(wanted.across.figure, [first.across, last.across]),
        told(wanted.up.figure, [first.up, last.up])
    ))
}

fn show(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    fill(model, screen);
    let optimise_state = &model.optimise_state;
    for figure in listed(&model.controls) {
        let name = figure.name();
        let want = model.controls.value(&format!("optimise-want-{name}"));
        let slides = matches!(want, "near" | "least" | "most");
        screen.reveal(&format!("optimise-at-{name}"), slides);
        let now = optimise_state.present(work).and_then(|now| of(now, figure));
        let share = model.controls.value(&format!("optimise-at-{name}")).parse().unwrap_or(0.0);
        let words = match optimise_state.slid(figure, share).filter(|_| slides) {
            Some(value) => figure.text(value, work.unit),
            None => now.map_or("–".into(), |now| format!("now {}", figure.text(now, work.unit))),
        };
        screen.say(&format!("optimise-says-{name}"), &words);
        screen.mark(&format!("optimise-at-{name}"), "aria-valuetext", &words);
    }
    for dimension in Dimension::ALL {
        let name = dimension.name();
        let free = model.controls.is_ticked(&format!("optimise-free-{name}"));
        let owned = can_be_owned(dimension);
        let is_owned = owned && model.controls.is_ticked(&format!("optimise-own-{name}"));
        screen.reveal(&format!("optimise-over-{name}"), free && !is_owned);
        if owned {
            screen.reveal(&format!("optimise-own-row-{name}"), free);
        }
        if let Some(setting) = work.forming().map(|forming| forming.setting) {
            let (low, high) = dimension.usual_range(&setting);
            let usual = format!("{} to {}", in_unit(low, work.unit), in_unit(high, work.unit));
            screen.mark(&format!("optimise-over-{name}"), "placeholder", &usual);
            let now = in_unit(dimension.of(&setting), work.unit);
            let words = format!("{}, now {now}\u{a0}{}", dimension.words(), work.unit.name());
            screen.say(&format!("optimise-now-{name}"), &words);
        }
    }
    screen.say("optimise-fault", optimise_state.fault.as_deref().unwrap_or(""));
    let found = optimise_state.found.as_ref().filter(|_| optimise_state.asked.is_some());
    let refusal = found.filter(|_| !optimise_state.stale).and_then(|found| found.refusal.as_ref());
    screen.say("optimise-refusal", refusal.map_or("", |refusal| &refusal.message));
    let done = found.is_some() && optimise_state.is_done();
    screen.say("optimise-state", &state(model, found));
    screen.mark("optimise-state", "data-done", if done { "true" } else { "false" });
    screen.reveal(
        "optimise-stop",
        optimise_state.asked.is_some() && !done && !optimise_state.stopped,
    );
    screen.mark(
        "optimise-answers",
        "data-stale",
        if optimise_state.stale { "true" } else { "false" },
    );
    screen.reveal("optimise-heading", found.is_some_and(|found| !found.answers.is_empty()));
    let heading = if refusal.is_some() { "The nearest that was found" } else { "Best designs" };
    screen.say("optimise-heading", heading);
    answers(model, screen, found);
    points(model, screen);
    moves(model, screen);
}

fn state(model: &Model, found: Option<&OptimiseResult>) -> String {
    let work = &model.analysis;
    let optimise_state = &model.optimise_state;
    if work.unprovable {
        return "This browser cannot search in the background.".into();
    }
    if optimise_state.asked.is_none() {
        return if optimise_state.now.is_none() {
            "Measuring the present design…".into()
        } else {
            "Wish for something, and let something change.".into()
        };
    }
    match found.filter(|_| !optimise_state.stale) {
        None => "Looking round…".into(),
        Some(found) if found.progress.done => {
            format!("Done: {} designs tried.", found.progress.looked_at)
        }
        Some(found) if optimise_state.stopped => {
            format!("Stopped: {} designs tried.", found.progress.looked_at)
        }
        Some(found) => {
            let progress = &found.progress;
            format!("{} designs tried: {}…", progress.looked_at, progress.doing)
        }
    }
}

/// The free dimensions of an answer.
fn dimensions(answer: &DesignAnswer, work: &Analysis) -> String {
    let told = |c: &crate::answers::optimise::Changed| {
        let steps = Steps::of(&work.design, work.unit);
        format!("{} {}", c.dimension.words(), steps.text(c.dimension.tool(), c.mm))
    };
    let mut words = answer.changed.iter().map(told).collect::<Vec<_>>().join(", ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words + "."
}

fn answers(model: &Model, screen: &mut Screen, found: Option<&OptimiseResult>) {
    let work = &model.analysis;
    let all = found.map_or(&[][..], |found| &found.answers);
    let line = model.optimise_state.line();
    let point = model.optimise_state.chosen.and_then(|i| Some((i, line.get(i)?)));
    let point = point.map(|(i, point)| card(work, "The point chosen: ", &point.answer, TRADED + i));
    let listed = all.iter().enumerate().map(|(index, answer)| card(work, "", answer, index));
    screen.children("optimise-answers", point.into_iter().chain(listed).collect());
}

fn card(work: &Analysis, lead: &str, answer: &DesignAnswer, index: usize) -> Node {
    let first = Node::new("p", format!("{lead}{}", dimensions(answer, work)));
    let mut item = Node::new("li", "").holding(first);
    let met: Vec<&str> = answer.kept.iter().filter(|k| k.met).map(|k| k.message.as_str()).collect();
    let others = answer.figures.iter().filter(|(f, _)| !answer.kept.iter().any(|k| k.figure == *f));
    let others: Vec<String> = others
        .map(|(figure, value)| format!("{} {}", figure.words(), figure.text(*value, work.unit)))
        .collect();
    let mut words = met.join("; ");
    if !others.is_empty() {
        if !words.is_empty() {
            words += "; ";
        }
        words += &others.join("; ");
    }
    if !answer.gives_up.is_empty() {
        let given = format!("Gives up: {}.", answer.gives_up.join("; "));
        item = item.holding(Node::new("p", given).with("class", "strong"));
    }
    if !words.is_empty() {
        item = item.holding(Node::new("p", format!("Has: {words}.")));
    }
    if answer.joins {
        let clearance = length_text_down(answer.least_clearance_mm, work.unit);
        item =
            item.holding(Node::new("p", format!("Joins, proven; tightest clearance {clearance}.")));
    }
    item.holding(Node::button("Use this", "data-answer", index.to_string()))
}

fn points(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let all = model.optimise_state.line();
    screen.reveal("optimise-points-part", !all.is_empty());
    let Some(sides) =
        model.optimise_state.asked.as_ref().and_then(|(_, wishes, _)| wishes.trade_off)
    else {
        return;
    };
    let lines: Vec<String> = all
        .iter()
        .map(|point| {
            format!(
                "{} {}, {} {}",
                sides.across.figure.words(),
                sides.across.figure.text(point.across, work.unit),
                sides.up.figure.words(),
                sides.up.figure.text(point.up, work.unit)
            )
        })
        .collect();
    let row = |(index, line): (usize, String)| {
        Node::new("li", "").holding(Node::button(&line, "data-point", index.to_string()))
    };
    screen.children("optimise-points", lines.into_iter().enumerate().map(row).collect());
}

fn moves(model: &Model, screen: &mut Screen) {
    let work = &model.analysis;
    let known = model.optimise_state.moves(work);
    // Slopes are told per 0.1 mm.
    let (step, times) = match work.unit {
        LengthUnit::Mm => ("0.1 mm", 1.0),
        LengthUnit::Inch => ("0.005 in", 1.27),
    };
    screen.say("optimise-step", step);
    if known.is_empty() {
        return screen.children("optimise-moves", Vec::new());
    }
    let heads = known.iter().map(|sensitivity| sensitivity.dimension.words().to_string());
    let mut rows = vec![Node::row("th", [String::new()].into_iter().chain(heads))];
    for figure in WISHED {
        let unit = unit_of(figure, work.unit);
        let name = if unit.is_empty() { String::new() } else { format!(", {unit}") };
        let mut row = Node::new("tr", "");
        row = row.holding(Node::new("th", format!("{}{name}", figure.words())));
        for sensitivity in known {
            let moved = sensitivity.moves.iter().find(|moves| moves.figure == figure);
            let scale = if figure.is_length() { work.unit.in_mm() } else { 1.0 };
            let places = if scale == 1.0 { 2 } else { 4 };
            let signed = |value: f64| {
                let text = format!("{:+.places$}", times * value / scale);
                let nothing = text.trim_start_matches(['+', '-']).parse() == Ok(0.0);
                if nothing { "0".into() } else { text.replace('-', "\u{2212}") }
            };
            let words = match moved.map(|moves| (moves.less, moves.more, moves.kinked)) {
                Some((Some(less), Some(more), true)) => {
                    format!("{} | {}", signed(less), signed(more))
                }
                Some((_, Some(more), _)) => signed(more),
                Some((Some(less), None, _)) => format!("{} |", signed(less)),
                _ => "–".into(),
            };
            row = row.holding(Node::new("td", words));
        }
        rows.push(row);
    }
    screen.children("optimise-moves", rows);
}

/// The rows of the panel.
fn fill(model: &Model, screen: &mut Screen) {
    let (mut wishes, mut free) = (Vec::new(), Vec::new());
    let shown = listed(&model.controls);
    for (index, figure) in shown.iter().enumerate() {
        let (name, words) = (figure.name(), figure.words());
        let remove = Node::button("Remove", "data-wish", index.to_string())
            .with("aria-label", format!("Remove the wish: {words}"));
        let slider = Node::new("input", "")
            .with("id", format!("optimise-at-{name}"))
            .with("type", "range")
            .with("min", "-100")
            .with("max", "100")
            .with("step", "1")
            .with("aria-label", format!("{words}, how much"));
        let row = Node::new("div", "")
            .with("class", "wish")
            .holding(Node::new("span", words))
            .holding(choose(&format!("optimise-want-{name}"), words, &WANTS))
            .holding(slider)
            .holding(Node::new("output", "").with("id", format!("optimise-says-{name}")))
            .holding(remove);
        wishes.push(row);
    }
    let others = WISHED.iter().filter(|figure| !shown.contains(figure));
    let mut others: Vec<Node> =
        others.map(|figure| Node::option(figure.name(), figure.words())).collect();
    screen.reveal("optimise-add-row", !others.is_empty());
    others.insert(0, Node::option("", "choose a figure"));
    screen.children("optimise-add", others);
    screen.value("optimise-add", "");
    for dimension in Dimension::ALL {
        let (name, words) = (dimension.name(), dimension.words());
        let tick = Node::new("input", "")
            .with("id", format!("optimise-free-{name}"))
            .with("type", "checkbox");
        let now = Node::new("span", "").with("id", format!("optimise-now-{name}"));
        let label = Node::new("label", "").with("class", "tick").holding(tick).holding(now);
        let over = Node::new("input", "")
            .with("id", format!("optimise-over-{name}"))
            .with("inputmode", "text")
            .with("aria-label", format!("{words}: range or list"));
        let mut row = Node::new("div", "").with("class", "free").holding(label).holding(over);
        if can_be_owned(dimension) {
            let own = Node::new("input", "")
                .with("id", format!("optimise-own-{name}"))
                .with("type", "checkbox")
                .with("aria-label", format!("{words}: only what I own"));
            let own = Node::new("label", "")
                .with("class", "tick")
                .with("id", format!("optimise-own-row-{name}"))
                .holding(own)
                .holding(Node::new("span", "only what I own"));
            row = row.holding(own);
        }
        free.push(row);
    }
    screen.children("optimise-wishes", wishes);
    screen.children("optimise-free", free);
    let none = [("", "none")].into_iter();
    let figures: Vec<(&str, &str)> =
        none.chain(WISHED.iter().map(|f| (f.name(), f.words()))).collect();
    let better = [("low", "when lower"), ("high", "when higher")];
    let mut trade = Vec::new();
    for (id, words) in [("optimise-across", "Figure across"), ("optimise-up", "Figure up")] {
        trade.push(Node::new("label", words).holding(choose(id, words, &figures)));
        let id = format!("{id}-better");
        trade.push(Node::new("label", "better").holding(choose(&id, "better", &better)));
    }
    screen.children("optimise-trade", trade);
    let controls = &model.controls;
    for figure in shown {
        for id in
            [format!("optimise-want-{}", figure.name()), format!("optimise-at-{}", figure.name())]
        {
            let otherwise = if id.starts_with("optimise-at") { "0" } else { "" };
            let value = controls.value(&id);
            screen.value(&id, if value.is_empty() { otherwise } else { value });
        }
    }
    for dimension in Dimension::ALL {
        let id = format!("optimise-free-{}", dimension.name());
        screen.tick(&id, controls.is_ticked(&id));
        let id = format!("optimise-over-{}", dimension.name());
        screen.value(&id, controls.value(&id));
        if can_be_owned(dimension) {
            let id = format!("optimise-own-{}", dimension.name());
            screen.tick(&id, controls.is_ticked(&id));
        }
    }
    for id in ["optimise-across", "optimise-across-better", "optimise-up", "optimise-up-better"] {
        screen.value(id, controls.value(id));
    }
}

fn choose(id: &str, words: &str, options: &[(&str, &str)]) -> Node {
    let list = Node::new("select", "").with("id", id).with("aria-label", words);
    let options = options.iter().map(|(value, words)| Node::option(*value, *words));
    options.fold(list, Node::holding)
}
