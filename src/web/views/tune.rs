//! From the chain wished for to the dimensions: wishes, answers, the trade-off, what to be careful
//! about.

use super::{Picture, Shown, View};
use crate::answers::optimise::{DesignAnswer, Dimension, Figure, OptimiseResult};
use crate::documents::units::{LengthUnit, length_text_down};
use crate::render::{Drawing, Trade};
use crate::web::elements::Elements;
use crate::web::tuning::{TRADED, WISHED, in_unit, of};
use crate::web::work::Work;
use web_sys::{Element, HtmlInputElement, HtmlSelectElement};

pub const ID: &str = "tune";
pub const VIEW: View = View { id: ID, name: "Tune", span: None, picture, show };

/// What can be wished of a figure.
const WANTS: [(&str, &str); 6] = [
    ("", "as it comes"),
    ("near", "about"),
    ("least", "at least"),
    ("most", "at most"),
    ("low", "as low as it goes"),
    ("high", "as high as it goes"),
];
/// Ticked and wished for at first.
const FREE: [Dimension; 3] = [Dimension::MandrelMm, Dimension::BoreMm, Dimension::FoldJawMm];
const FIRST: (Figure, &str, &str) = (Figure::SupplenessX, "near", "-10");
/// The trade-off at first: figure, and which way is better.
const TRADE: [(&str, Figure, &str); 2] =
    [("across", Figure::SupplenessX, "low"), ("up", Figure::FirstSetNewtons, "high")];

/// Asks the trade-off as it is drawn; none where there is none.
pub fn trade_of<T>(work: &Work, ask: impl FnOnce(&Trade) -> T) -> Option<T> {
    let tuning = &work.tuning;
    let (_, wishes, _) = tuning.asked.as_ref()?;
    let wanted = wishes.trade_off?;
    let sides = [wanted.across.figure, wanted.up.figure];
    let traded = tuning.found.as_ref().map_or(&[][..], |found| &found.trade_off);
    let scale = sides.map(|side| if side.is_length() { work.unit.in_mm() } else { 1.0 });
    let points: Vec<[f64; 2]> =
        traded.iter().map(|point| [point.across / scale[0], point.up / scale[1]]).collect();
    let present = tuning.present(work);
    let here = present
        .and_then(|now| Some([of(now, sides[0])? / scale[0], of(now, sides[1])? / scale[1]]));
    let names = sides.map(|side| {
        let unit = unit_of(side, work.unit);
        if unit.is_empty() { side.words().to_string() } else { format!("{}, {unit}", side.words()) }
    });
    let done = tuning.found.as_ref().is_some_and(|found| found.progress.done);
    Some(ask(&Trade {
        points: &points,
        chosen: tuning.chosen,
        here,
        names: [&names[0], &names[1]],
        empty: if done { "No trade-off was found." } else { "The trade-off comes last…" },
    }))
}

fn unit_of(figure: Figure, unit: LengthUnit) -> &'static str {
    match (figure.is_length(), unit) {
        (true, LengthUnit::Inch) => "in",
        _ => figure.unit(),
    }
}

fn picture(work: &Work, _: f64, page: &Elements) -> Option<Picture> {
    let mut drawing = Drawing::default();
    let window = page.window("picture");
    let drawn = trade_of(work, |trade| {
        trade.draw_into(window, &mut drawing);
        format!("{} against {}", trade.names[1], trade.names[0])
    });
    let tuning = &work.tuning;
    let point = tuning.chosen.and_then(|i| tuning.found.as_ref()?.trade_off.get(i));
    let caption = match (&drawn, point) {
        (None, _) => "Wish for something, and choose two figures to weigh.".to_string(),
        (Some(names), None) => format!("What can be had at best: {names}."),
        (Some(_), Some(point)) => dimensions(&point.answer, work),
    };
    // Where nothing is weighed yet, what there is now.
    let now = work.join_report().filter(|_| drawn.is_none()).map_or("", |join| &join.message);
    let told = format!("Trade-off. {caption} {now}");
    Some(Picture { shown: Shown::Flat(drawing, told), caption, step: String::new() })
}

fn show(work: &Work, page: &Elements) {
    fill(work, page);
    let tuning = &work.tuning;
    for figure in WISHED {
        let name = figure.name();
        let want = page.value(&format!("tune-want-{name}"));
        let slides = matches!(want.as_str(), "near" | "least" | "most");
        page.reveal(&format!("tune-at-{name}"), slides);
        let now = tuning.present(work).and_then(|now| of(now, figure));
        let share = page.value(&format!("tune-at-{name}")).parse().unwrap_or(0.0);
        let words = match tuning.slid(figure, share).filter(|_| slides) {
            Some(value) => figure.told(value, work.unit),
            None => now.map_or("–".into(), |now| format!("now {}", figure.told(now, work.unit))),
        };
        page.say(&format!("tune-says-{name}"), &words);
        page.mark(&format!("tune-at-{name}"), "aria-valuetext", &words);
    }
    for dimension in Dimension::ALL {
        let name = dimension.name();
        let free = page.is_ticked(&format!("tune-free-{name}"));
        page.reveal(&format!("tune-over-{name}"), free);
        if let Some(setting) = work.forming().map(|forming| forming.setting) {
            let (low, high) = dimension.usual_range(&setting);
            let usual = format!("{} to {}", in_unit(low, work.unit), in_unit(high, work.unit));
            page.mark(&format!("tune-over-{name}"), "placeholder", &usual);
            let now = in_unit(dimension.of(&setting), work.unit);
            let words = format!("{}, now {now}\u{a0}{}", dimension.words(), work.unit.name());
            page.say(&format!("tune-now-{name}"), &words);
        }
    }
    page.say("tune-fault", tuning.fault.as_deref().unwrap_or(""));
    let found = tuning.found.as_ref().filter(|_| tuning.asked.is_some());
    let refusal = found.filter(|_| !tuning.stale).and_then(|found| found.refusal.as_ref());
    page.say("tune-refusal", refusal.map_or("", |refusal| &refusal.message));
    let done = !tuning.stale && found.is_some_and(|found| found.progress.done);
    page.say("tune-state", &state(work, found));
    page.mark("tune-state", "data-done", if done { "true" } else { "false" });
    page.reveal("tune-stop", tuning.asked.is_some() && !done && !tuning.stopped);
    page.mark("tune-answers", "data-stale", if tuning.stale { "true" } else { "false" });
    page.reveal("tune-heading", found.is_some_and(|found| !found.answers.is_empty()));
    let heading = if refusal.is_some() {
        "The nearest that was found"
    } else {
        "What does it, the best first"
    };
    page.say("tune-heading", heading);
    answers(work, page, found);
    points(work, page, found);
    moves(work, page);
}

fn state(work: &Work, found: Option<&OptimiseResult>) -> String {
    let tuning = &work.tuning;
    if work.unprovable {
        return "This browser gives no helper to look with.".into();
    }
    if tuning.asked.is_none() {
        return if tuning.now.is_none() {
            "Measuring the present design…".into()
        } else {
            "Wish for something, and let something change.".into()
        };
    }
    match found.filter(|_| !tuning.stale) {
        None => "Looking round…".into(),
        Some(found) if found.progress.done => {
            format!("Done: {} designs looked at.", found.progress.looked_at)
        }
        Some(found) if tuning.stopped => {
            format!("Stopped: {} designs looked at.", found.progress.looked_at)
        }
        Some(found) => {
            let progress = &found.progress;
            format!("{} designs looked at: {}…", progress.looked_at, progress.doing)
        }
    }
}

/// The free dimensions of an answer.
fn dimensions(answer: &DesignAnswer, work: &Work) -> String {
    let told = |c: &crate::answers::optimise::Changed| {
        format!("{} {}", c.dimension.words(), work.length(c.mm))
    };
    let mut words = answer.changed.iter().map(told).collect::<Vec<_>>().join(", ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words + "."
}

fn answers(work: &Work, page: &Elements, found: Option<&OptimiseResult>) {
    let Some(list) = page.element("tune-answers") else { return };
    let all = found.map_or(&[][..], |found| &found.answers);
    let point = work.tuning.chosen.and_then(|i| Some((i, found?.trade_off.get(i)?)));
    let key = format!("{:?} {:?} {:?}", all, point.map(|(i, _)| i), work.unit);
    if list.get_attribute("data-for").as_deref() == Some(key.as_str()) {
        return;
    }
    let _ = list.set_attribute("data-for", &key);
    list.set_text_content(Some(""));
    if let Some((index, point)) = point {
        card(work, page, &list, "The point chosen: ", &point.answer, TRADED + index);
    }
    for (index, answer) in all.iter().enumerate() {
        card(work, page, &list, "", answer, index);
    }
}

fn card(
    work: &Work,
    page: &Elements,
    list: &Element,
    lead: &str,
    answer: &DesignAnswer,
    index: usize,
) {
    let Some(item) = page.add(list, "li", "") else { return };
    page.add(&item, "p", &format!("{lead}{}", dimensions(answer, work)));
    let met: Vec<&str> = answer.kept.iter().filter(|k| k.met).map(|k| k.message.as_str()).collect();
    let others = answer.figures.iter().filter(|(f, _)| !answer.kept.iter().any(|k| k.figure == *f));
    let others: Vec<String> = others
        .map(|(figure, value)| format!("{} {}", figure.words(), figure.told(*value, work.unit)))
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
        if let Some(line) = page.add(&item, "p", &given) {
            let _ = line.set_attribute("class", "strong");
        }
    }
    if !words.is_empty() {
        page.add(&item, "p", &format!("Has: {words}."));
    }
    if answer.joins {
        let room = length_text_down(answer.least_clearance_mm, work.unit);
        page.add(&item, "p", &format!("Joins, proven, with {room} to spare."));
    }
    if let Some(button) = page.add(&item, "button", "Use this") {
        let _ = button.set_attribute("type", "button");
        let _ = button.set_attribute("data-answer", &index.to_string());
    }
}

fn points(work: &Work, page: &Elements, found: Option<&OptimiseResult>) {
    let all = found.map_or(&[][..], |found| &found.trade_off);
    page.reveal("tune-points-part", !all.is_empty());
    let (Some(list), Some((_, wishes, _))) = (page.element("tune-points"), &work.tuning.asked)
    else {
        return;
    };
    let Some(sides) = wishes.trade_off else { return };
    let lines: Vec<String> = all
        .iter()
        .map(|point| {
            format!(
                "{} {}, {} {}",
                sides.across.figure.words(),
                sides.across.figure.told(point.across, work.unit),
                sides.up.figure.words(),
                sides.up.figure.told(point.up, work.unit)
            )
        })
        .collect();
    let key = lines.join("\n");
    if list.get_attribute("data-for").as_deref() == Some(key.as_str()) {
        return;
    }
    let _ = list.set_attribute("data-for", &key);
    list.set_text_content(Some(""));
    for (index, line) in lines.iter().enumerate() {
        let button = page.add(&list, "li", "").and_then(|item| page.add(&item, "button", line));
        if let Some(button) = button {
            let _ = button.set_attribute("type", "button");
            let _ = button.set_attribute("data-point", &index.to_string());
        }
    }
}

fn moves(work: &Work, page: &Elements) {
    let Some(table) = page.element("tune-moves") else { return };
    let known = work.tuning.moves(work);
    let key = format!("{} {:?} {:?}", known.len(), known.first(), work.unit);
    if table.get_attribute("data-for").as_deref() == Some(key.as_str()) {
        return;
    }
    let _ = table.set_attribute("data-for", &key);
    table.set_text_content(Some(""));
    // Slopes are told per 0.1 mm.
    let (step, times) = match work.unit {
        LengthUnit::Mm => ("0.1 mm", 1.0),
        LengthUnit::Inch => ("0.005 in", 1.27),
    };
    page.say("tune-step", step);
    let Some(head) = page.add(&table, "tr", "").filter(|_| !known.is_empty()) else { return };
    page.add(&head, "th", "");
    for sensitivity in known {
        page.add(&head, "th", sensitivity.dimension.words());
    }
    for figure in WISHED {
        let Some(row) = page.add(&table, "tr", "") else { return };
        let unit = unit_of(figure, work.unit);
        let name = if unit.is_empty() { String::new() } else { format!(", {unit}") };
        page.add(&row, "th", &format!("{}{name}", figure.words()));
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
            page.add(&row, "td", &words);
        }
    }
}

/// Makes the rows of the panel, once.
fn fill(_: &Work, page: &Elements) {
    let Some(wishes) = page.element("tune-wishes").filter(|e| e.child_element_count() == 0) else {
        return;
    };
    for figure in WISHED {
        let (name, words) = (figure.name(), figure.words());
        let Some(row) = row(page, &wishes, "wish") else { continue };
        page.add(&row, "span", words);
        let chosen = if figure == FIRST.0 { FIRST.1 } else { "" };
        choose(page, &row, &format!("tune-want-{name}"), words, &WANTS, chosen);
        let slider = page.add(&row, "input", "");
        if let Some(slider) = slider {
            slider.set_id(&format!("tune-at-{name}"));
            let value = if figure == FIRST.0 { FIRST.2 } else { "0" };
            for (key, value) in [
                ("type", "range"),
                ("min", "-100"),
                ("max", "100"),
                ("step", "1"),
                ("value", value),
            ] {
                let _ = slider.set_attribute(key, value);
            }
            let _ = slider.set_attribute("aria-label", &format!("{words}, how much"));
        }
        if let Some(message) = page.add(&row, "output", "") {
            message.set_id(&format!("tune-says-{name}"));
        }
    }
    if let Some(free) = page.element("tune-free") {
        for dimension in Dimension::ALL {
            let (name, words) = (dimension.name(), dimension.words());
            let Some(row) = row(page, &free, "free") else { continue };
            let Some(label) = page.add(&row, "label", "") else { continue };
            let _ = label.set_attribute("class", "tick");
            if let Some(input) = page.add(&label, "input", "") {
                input.set_id(&format!("tune-free-{name}"));
                let _ = input.set_attribute("type", "checkbox");
                if let Ok(input) = wasm_bindgen::JsCast::dyn_into::<HtmlInputElement>(input) {
                    input.set_checked(FREE.contains(&dimension));
                }
            }
            if let Some(now) = page.add(&label, "span", words) {
                now.set_id(&format!("tune-now-{name}"));
            }
            if let Some(input) = page.add(&row, "input", "") {
                input.set_id(&format!("tune-over-{name}"));
                let _ = input.set_attribute("inputmode", "text");
                let _ = input.set_attribute("aria-label", &format!("{words}: range or list"));
            }
        }
    }
    if let Some(trade) = page.element("tune-trade") {
        let figures: Vec<(&str, &str)> = [("", "none")]
            .into_iter()
            .chain(WISHED.iter().map(|f| (f.name(), f.words())))
            .collect();
        for (id, first, better) in TRADE {
            let words = if id == "across" { "Across" } else { "Up" };
            for (id, words, options, chosen) in [
                (format!("tune-{id}"), words, figures.as_slice(), first.name()),
                (
                    format!("tune-{id}-better"),
                    "the better",
                    &[("low", "lower"), ("high", "higher")],
                    better,
                ),
            ] {
                let Some(label) = page.add(&trade, "label", words) else { continue };
                choose(page, &label, &id, words, options, chosen);
            }
        }
    }
}

fn row(page: &Elements, to: &Element, class: &str) -> Option<Element> {
    let row = page.add(to, "div", "")?;
    let _ = row.set_attribute("class", class);
    Some(row)
}

fn choose(
    page: &Elements,
    to: &Element,
    id: &str,
    words: &str,
    options: &[(&str, &str)],
    chosen: &str,
) {
    let Some(list) = page.add(to, "select", "") else { return };
    list.set_id(id);
    let _ = list.set_attribute("aria-label", words);
    for (value, words) in options {
        page.option(&list, value, words);
    }
    if let Ok(list) = wasm_bindgen::JsCast::dyn_into::<HtmlSelectElement>(list) {
        list.set_value(chosen);
    }
}
