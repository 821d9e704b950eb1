//! Every word that a maker reads: no developer's word, no wording that was found hard to understand, and
//! no more digits than a hand can use; on the page, the sheet, the hand-out and in the report's sentences.
#![cfg(not(target_arch = "wasm32"))]

mod command;

use command::run;
use linkfold::answers::jig::JigKind;
use linkfold::answers::report::DEFINITIONS;
use linkfold::app::tabs::{PLAN, VIEWS};
use linkfold::app::tasks::{Request, Task, answer};
use linkfold::app::views::{Shown, picture};
use linkfold::app::{Analysis, Content, Effect, Message, Model, Node, screen, update};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::{Design, WeaveChoice};
use linkfold::documents::json;
use linkfold::documents::units::LengthUnit;
use linkfold::render::Window;
use std::collections::BTreeSet;

const EXAMPLES: [&str; 4] = [
    include_str!("../www/examples/evening-class-bracelet.json"),
    include_str!("../www/examples/swelling-necklace.json"),
    include_str!("../www/examples/too-thick.json"),
    include_str!("../www/examples/copper-practice.json"),
];
const PAGE: &str = include_str!("../www/index.html");

/// What no maker should have to read: parts of a document or of a program, and wordings that walks
/// through the page found hard to understand.
const BANNED: [&str; 46] = [
    "free[",
    "wishes[",
    "sizes[",
    "trials[",
    "_mm",
    "DEVELOPERS",
    "from memory",
    "unchecked",
    "NaN",
    "Some(",
    "null",
    "undefined",
    "serde",
    "panic",
    "JSON",
    "counted from",
    "this program",
    "These loops",
    "go through one another",
    "Room asked",
    "of room",
    "Mandrel to wire",
    "as the jaws leave",
    "To turn back",
    "least that works",
    "What would cure",
    "worked through",
    "Bring up the next",
    "Seated",
    "never comes to lie",
    "Put away",
    "Take away",
    "as the system",
    "A hand on the picture",
    "lies on your bench",
    "not reckoned",
    "is reckoned",
    "a hand so even",
    "for children and for sleep",
    "gives back",
    "not settled",
    "as it comes",
    "to be careful about",
    "by itself again",
    "best first set",
    "whichever way they are",
];

/// All that was read, and where first.
#[derive(Default)]
struct Read {
    words: BTreeSet<String>,
    faults: Vec<String>,
}

impl Read {
    fn read(&mut self, place: &str, words: &str) {
        let words = words.trim();
        if words.is_empty() || !self.words.insert(words.into()) {
            return;
        }
        let banned = BANNED.iter().filter(|banned| words.contains(*banned));
        self.faults
            .extend(banned.map(|banned| format!("{place}: \u{201c}{banned}\u{201d} in: {words}")));
        self.faults.extend(too_exact(words).map(|number| format!("{place}: {number} in: {words}")));
    }

    fn nodes(&mut self, place: &str, nodes: &[Node]) {
        for node in nodes {
            self.read(place, &node.text);
            for (name, value) in &node.attributes {
                if ["aria-label", "title", "placeholder"].contains(name) {
                    self.read(place, value);
                }
            }
            self.nodes(place, &node.children);
        }
    }

    /// What stands between the tags of a page.
    fn page(&mut self, place: &str, html: &str) {
        for part in html.split('<').skip(1) {
            if let Some((_, words)) = part.split_once('>') {
                self.read(place, words);
            }
        }
    }

    /// The sentences of a report: texts of more than one word.
    fn report(&mut self, place: &str, value: &serde_json::Value) {
        match value {
            serde_json::Value::String(words) if words.contains(' ') => self.read(place, words),
            serde_json::Value::Array(items) => {
                items.iter().for_each(|item| self.report(place, item))
            }
            serde_json::Value::Object(fields) => {
                fields.values().for_each(|value| self.report(place, value));
            }
            _ => {}
        }
    }
}

fn told(arguments: &[&str]) -> String {
    let output = run(arguments, b"");
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Lengths that are told more finely than callipers show: three decimals of a millimetre from a
/// hundredth on, one from a hundred on, four of an inch from a thousandth on.
fn too_exact(words: &str) -> impl Iterator<Item = String> {
    let parts: Vec<&str> = words.split_whitespace().collect();
    let of = |pair: &[&str]| {
        let number = pair[0].trim_start_matches(['(', '\u{b1}', '\u{2212}']);
        let unit = pair[1].trim_end_matches(['.', ',', ';', ':', ')', '?']);
        let (_, decimals) = number.split_once('.')?;
        let value: f64 = number.parse().ok()?;
        let most = match unit {
            "mm" if value >= 100.0 => 1,
            "mm" if value >= 0.1 => 2,
            "mm" => 3,
            "in" if value >= 0.01 => 3,
            "in" => 4,
            "N" | "h" | "g" | "%" => 2,
            _ => return None,
        };
        (decimals.len() > most).then(|| format!("{number} {unit}"))
    };
    parts.windows(2).filter_map(of).collect::<Vec<String>>().into_iter()
}

/// What the page asks and is answered crosses to its worker as values, and is the same there.
fn crossed<T: serde::Serialize + serde::de::DeserializeOwned + std::fmt::Debug>(sent: &T) -> T {
    let come: T = json::read_value(&json::as_value(sent)).expect("what is told can cross");
    assert_eq!(format!("{come:?}"), format!("{sent:?}"));
    come
}

fn read_screen(read: &mut Read, place: &str, model: &Model) {
    for (id, property, content) in screen(model).parts() {
        let place = format!("{place}, {id} {property:?}");
        match content {
            Content::Words(words) => read.read(&place, words),
            Content::Nodes(nodes) => read.nodes(&place, nodes),
            Content::Flag(_) => {}
        }
    }
}

/// Goes through every view of the page with all that the worker finds.
fn walk(read: &mut Read, name: &str, design: Design, unit: LengthUnit, whole: bool) {
    let analysis = Analysis::of(design, 0, unit).unwrap();
    let bench = Bench { mandrels_mm: vec![11.0, 12.5], ..Bench::default() };
    let mut model = Model::new(analysis, bench);
    model.controls.set("tools-open", "true");
    let mut asked: Vec<Request> = Vec::new();
    let mut send = |model: &mut Model, message: Message| {
        let mut messages = vec![message];
        while let Some(message) = messages.pop() {
            for effect in update(model, message) {
                match effect {
                    Effect::Ask { serial, task, .. } => asked.push(Request { serial, task: *task }),
                    Effect::Wait { serial, .. } => messages.push(Message::Paused { serial }),
                    _ => {}
                }
            }
            if messages.is_empty()
                && let Some(request) = asked.pop()
            {
                // The map and the search take long: once is enough.
                let is_long = matches!(
                    request.task,
                    Task::Clearances { .. } | Task::Optimise { .. } | Task::Moves { .. }
                );
                if whole || !is_long {
                    let request = crossed(&request);
                    let reply = crossed(&answer(request));
                    messages.push(Message::Answered { serial: reply.serial, answer: reply.answer });
                }
            }
        }
    };
    send(&mut model, Message::Ready { processors: 1 });
    for (index, view) in VIEWS.iter().enumerate() {
        send(&mut model, Message::Viewed(index));
        let place = format!("{name}, {}", view.id);
        for time in [0.2, 0.65, 0.8, 1.0] {
            model.time = time;
            let shown = picture(&model, Window { width: 700.0, height: 500.0 });
            if let Some(shown) = shown {
                read.read(&place, &shown.caption);
                read.read(&place, &shown.step);
                if let Shown::Flat(_, told) = &shown.shown {
                    read.read(&place, told);
                }
            }
        }
        read_screen(read, &place, &model);
        if view.id == PLAN {
            for kind in JigKind::ALL {
                let (control, value) = ("jig-what".to_string(), kind.id().to_string());
                send(&mut model, Message::Chosen { control, value, at: 0.0 });
                read_screen(read, &format!("{place}, {}", kind.id()), &model);
            }
        }
    }
    // What cannot be used, in every field.
    let keys: Vec<String> =
        linkfold::app::all_fields(&model.analysis.design).iter().map(|f| f.key.clone()).collect();
    for key in keys {
        for text in ["x", "", "1e9", "0.001", "50", "18"] {
            // Nothing is asked: the words come at once.
            let typed = Message::Typed { key: key.clone(), text: text.into(), at: 0.0 };
            let _ = update(&mut model, typed);
            let place = format!("{name}, {key} {text}");
            let shown = screen(&model);
            read.read(&place, shown.text("verdict").unwrap_or(""));
            if let Some(Content::Nodes(nodes)) =
                shown.part(&format!("fault@{key}"), linkfold::app::Property::Children)
            {
                read.nodes(&place, nodes);
            }
            let _ = update(&mut model, Message::Undo);
            read.read(&place, &model.notice.words);
        }
    }
}

/// Nothing that was read may be hard to understand; and so many texts were.
fn is_plain(read: &Read, least: usize) {
    println!("{} texts read", read.words.len());
    assert!(read.words.len() > least, "{} texts read", read.words.len());
    assert!(read.faults.is_empty(), "{} faults:\n{}", read.faults.len(), read.faults.join("\n"));
}

#[test]
fn the_page_itself_is_told_plainly() {
    let mut read = Read::default();
    read.page("index.html", PAGE);
    for part in ["placeholder=\"", "aria-label=\"", "title=\""] {
        for words in PAGE.split(part).skip(1) {
            read.read("index.html", words.split('"').next().unwrap_or(""));
        }
    }
    for one in DEFINITIONS {
        for words in [one.meaning, one.formula, one.source] {
            read.read(one.figure, words);
        }
    }
    is_plain(&read, 300);
}

#[test]
fn reports_and_papers_are_told_plainly() {
    let mut read = Read::default();
    for example in ["evening-class-bracelet", "swelling-necklace", "too-thick", "copper-practice"] {
        let file = format!("www/examples/{example}.json");
        let report: serde_json::Value = serde_json::from_str(&told(&["check", &file])).unwrap();
        read.report(&format!("check {example}"), &report);
        for paper in ["sheet", "handout"] {
            read.page(&format!("{paper} {example}"), &told(&[paper, &file]));
        }
    }
    is_plain(&read, 300);
}

/// Every view of one design, in one unit; each a test of its own, so that they run side by side.
fn is_told_plainly(design: Design, unit: LengthUnit, whole: bool) {
    let mut read = Read::default();
    walk(&mut read, &design.name.clone(), design, unit, whole);
    is_plain(&read, 300);
}

fn example(index: usize) -> Design {
    Design::parse(EXAMPLES[index]).unwrap()
}

#[test]
fn a_bracelet_is_told_plainly_with_map_and_search() {
    is_told_plainly(example(0), LengthUnit::Mm, true);
}

#[test]
fn a_bracelet_is_told_plainly_in_inches() {
    is_told_plainly(example(0), LengthUnit::Inch, false);
}

#[test]
fn a_necklace_of_three_sizes_is_told_plainly() {
    is_told_plainly(example(1), LengthUnit::Mm, false);
}

#[test]
fn a_necklace_of_three_sizes_is_told_plainly_in_inches() {
    is_told_plainly(example(1), LengthUnit::Inch, false);
}

#[test]
fn too_thick_a_wire_is_told_plainly() {
    is_told_plainly(example(2), LengthUnit::Mm, false);
}

#[test]
fn too_thick_a_wire_is_told_plainly_in_inches() {
    is_told_plainly(example(2), LengthUnit::Inch, false);
}

#[test]
fn copper_practice_is_told_plainly() {
    is_told_plainly(example(3), LengthUnit::Mm, false);
}

#[test]
fn copper_practice_is_told_plainly_in_inches() {
    is_told_plainly(example(3), LengthUnit::Inch, false);
}

#[test]
fn a_weave_that_does_not_lie_is_told_plainly() {
    let mut double = Design::plain(1.0, 10.0);
    double.weave = WeaveChoice::ALL[1];
    for unit in [LengthUnit::Mm, LengthUnit::Inch] {
        is_told_plainly(double.clone(), unit, false);
    }
}

#[test]
fn a_wire_by_gauge_is_told_plainly() {
    let mut tight = Design::plain(1.0, 9.5);
    tight.wire = serde_json::from_str(r#"{"gauge":{"system":"awg","number":18}}"#).unwrap();
    for unit in [LengthUnit::Mm, LengthUnit::Inch] {
        is_told_plainly(tight.clone(), unit, false);
    }
}
