//! The page as a state machine: what it promises, held over thousands of random messages, and
//! each way in which it once let a wrong answer stand.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::optimise::{Optimiser, TradePoint, Wishes};
use linkfold::answers::report::{ProvenJoin, least_mandrels, other_jaws, prove, uncorrected_part};
use linkfold::answers::strip::Fit;
use linkfold::app::tabs::VIEWS;
use linkfold::app::tasks::{Answer, Request, Task, answer};
use linkfold::app::views::picture;
use linkfold::app::{
    Analysis, Basis, Content, DESIGN_CONTROLS, DesignVerdict, Effect, Gesture, LessonMove,
    MOST_WORKERS, Message, Model, PendingRequest, Property, Screen, SeenPicture, Subject,
    TOUR_STOPS, Tour, TourMove, all_fields, find_field, paper_verdict, place_of, screen, update,
    verdict,
};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::{Design, Shapes, Size};
use linkfold::documents::units::LengthUnit;
use linkfold::render::{Viewpoint, Window};
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};

const BRACELET: &str = include_str!("../www/examples/evening-class-bracelet.json");
const NECKLACE: &str = include_str!("../www/examples/swelling-necklace.json");
const TOO_THICK: &str = include_str!("../www/examples/too-thick.json");
const PAGE: &str = include_str!("../www/index.html");

/// A page with what is asked of the outside.
struct Page {
    model: Model,
    now: f64,
    /// Requests neither answered nor stopped, by their numbers.
    asked: Vec<(u32, Task)>,
    /// Which worker does each.
    workers: Vec<(u32, usize)>,
    /// Workers at the most.
    most: usize,
    /// The last pause that is waited for.
    waits: Option<u32>,
    saved: Option<Design>,
}

impl Page {
    fn of(design: Design) -> Page {
        Page::with(design, 1)
    }

    fn with(design: Design, processors: usize) -> Page {
        let analysis = Analysis::of(design, 0, LengthUnit::Mm).unwrap();
        let mut page = Page {
            model: Model::new(analysis, Bench::default()),
            now: 0.0,
            asked: Vec::new(),
            workers: Vec::new(),
            most: processors.clamp(1, MOST_WORKERS),
            waits: None,
            saved: None,
        };
        page.send(Message::Ready { processors });
        page
    }

    fn plain(wire: f64, mandrel: f64) -> Page {
        Page::of(Design::plain(wire, mandrel))
    }

    fn send(&mut self, message: Message) {
        self.now += 5000.0;
        for effect in update(&mut self.model, message) {
            match effect {
                Effect::Ask { worker, serial, task } => {
                    self.workers.retain(|(of, _)| self.asked.iter().any(|(asked, _)| asked == of));
                    let is_idle = self.workers.iter().all(|(_, busy)| *busy != worker);
                    assert!(is_idle && self.asked.len() < self.most, "two requests at once");
                    self.asked.push((serial, *task));
                    self.workers.push((serial, worker));
                }
                Effect::Stop { worker } => {
                    let workers = &self.workers;
                    self.asked.retain(|(serial, _)| !workers.contains(&(*serial, worker)));
                }
                Effect::Wait { serial, .. } => self.waits = Some(serial),
                Effect::SaveDesign(design) => self.saved = Some(*design),
                Effect::SaveFormer(_) | Effect::SaveBench(_) | Effect::SaveHabits(_) => {}
            }
        }
    }

    fn type_in(&mut self, key: &str, text: &str) {
        let at = self.now;
        self.send(Message::Typed { key: key.into(), text: text.into(), at });
    }

    fn choose(&mut self, control: &str, value: &str) {
        let at = self.now;
        self.send(Message::Chosen { control: control.into(), value: value.into(), at });
    }

    fn pause(&mut self) {
        if let Some(serial) = self.waits.take() {
            self.send(Message::Paused { serial });
        }
    }

    fn replace(&mut self, design: Design) {
        let (at, words) = (self.now, String::new());
        self.send(Message::Replaced { design: Box::new(design), size: 0, words, at });
    }

    /// The worker answers whatever is asked, until nothing is.
    fn answer_all(&mut self) {
        self.pause();
        while self.answer_last() {}
    }

    /// The worker answers what it was asked last; whether it was asked anything.
    fn answer_last(&mut self) -> bool {
        let Some((serial, task)) = self.asked.pop() else { return false };
        let answer = match task {
            Task::Prove(proof) => {
                let formings = proof.design.formings().unwrap();
                let proven = prove(&proof.design, &formings, proof.index, proof.unit).unwrap();
                Answer::Proven(proven.into())
            }
            Task::Strip(question) => Answer::Strip(question.answer()),
            Task::Uncorrected { design, joins, unit } => {
                let part = |i| (i, uncorrected_part(&design, i, unit, Design::formings));
                Answer::Uncorrected(joins.into_iter().map(part).collect())
            }
            Task::OtherJaws { design, size, join, unit } => {
                Answer::OtherJaws(other_jaws(&design, size, &join, unit))
            }
            Task::LeastMandrels { design, unit } => {
                Answer::LeastMandrels(least_mandrels(&design, unit))
            }
            task @ Task::Refusal { .. } => answer(Request { serial, task }).answer.unwrap(),
            other => panic!("nobody looks at {other:?}"),
        };
        self.send(Message::Answered { serial, answer: Some(answer) });
        true
    }

    fn screen(&self) -> Screen {
        screen(&self.model)
    }

    fn shown(&self, key: &str) -> String {
        self.screen().value_of(&format!("@{key}")).unwrap_or("no such field").into()
    }

    fn fault(&self, key: &str) -> String {
        let entry = place_of(&self.model, key).and_then(|place| self.model.entries.at(&place));
        entry.map_or(String::new(), |entry| entry.fault.clone())
    }

    fn wire(&self) -> f64 {
        self.model.analysis.formings[self.model.analysis.size].setting.wire
    }

    fn mandrel(&self) -> f64 {
        self.model.analysis.design.sizes[self.model.analysis.size].mandrel_mm
    }

    /// What the page promises at any time.
    fn hold_to_promises(&self) {
        let model = &self.model;
        assert!(model.analysis.design.formings().is_ok(), "a design that cannot be made");
        let found = verdict(model);
        let shown = self.screen();
        if model.entries.open.is_empty() {
            assert_ne!(found.basis, Basis::Nothing, "{}", found.message);
        } else {
            assert_eq!((found.word, found.basis), (DesignVerdict::NotKnown, Basis::Nothing));
            assert!(found.message.starts_with("Not known: "), "{}", found.message);
            assert_eq!(shown.attribute("verdict", "data-verdict"), Some("not-known"));
        }
        assert_eq!(shown.text("verdict"), Some(found.message.as_str()));
        let is_told = shown.part("tour", Property::Shown) == Some(&Content::Flag(true));
        assert_eq!(is_told, model.tour.at.is_some());
        let pointed = |(id, _): &&(&str, &str)| shown.attribute(id, "data-pointed") == Some("true");
        assert_eq!(TOUR_STOPS.iter().filter(pointed).count(), usize::from(is_told));
        for entry in &model.entries.open {
            assert!(!entry.fault.is_empty(), "{entry:?}");
        }
        for field in all_fields(&model.analysis.design) {
            let id = format!("@{}", field.key);
            let place = place_of(model, &field.key).unwrap();
            let open = model.entries.at(&place);
            let invalid = shown.attribute(&id, "aria-invalid") == Some("true");
            assert_eq!(invalid, open.is_some(), "{id}");
            let text = shown.value_of(&id).unwrap();
            match open {
                Some(entry) => assert_eq!(text, entry.text, "{id}"),
                // What is shown is what the design holds, to what the field can show.
                None => assert!(field.read(text, model.analysis.unit).is_ok(), "{id}: {text}"),
            }
        }
        if model.pending.pause.is_some() {
            assert_eq!(model.pending.pause, self.waits, "a pause that nobody waits for");
        }
        let sorted = |mut serials: Vec<u32>| {
            serials.sort_unstable();
            serials
        };
        let at_work = sorted(model.pending.asked.iter().map(|asked| asked.serial).collect());
        let asked = sorted(self.asked.iter().map(|(serial, _)| *serial).collect());
        assert_eq!(at_work, asked, "a request is lost");
        let is_typing = model.pending.pause.is_some();
        let is_old = |asked: &&PendingRequest| !asked.is_wanted;
        let old: Vec<Subject> =
            model.pending.asked.iter().filter(is_old).map(|asked| asked.subject).collect();
        // The proof of a join looked at may come to its end while typing goes on.
        let goes_on = old.iter().all(|subject| is_typing && matches!(subject, Subject::Join(_)));
        assert!(goes_on && old.len() <= 2, "not stopped at once: {old:?}");
    }
}

const TEXTS: [&str; 40] = [
    "",
    " ",
    "0.9",
    "1",
    "1.2",
    "12",
    "11.5",
    "14",
    "9",
    "5",
    "0.4",
    "18",
    "20",
    "0,8",
    "1/2",
    "3/8\"",
    "\u{215c}",
    "\u{215c} in",
    "3/8''",
    "7/16 in",
    "18 ga",
    "18 gauge",
    "AWG 19",
    "SWG 18",
    "19 awg",
    "awg",
    "x",
    "12x",
    "-3",
    "1e9",
    "0",
    "0.00001",
    "100000000000",
    "nan",
    "12 mm",
    "0.5 in",
    "50",
    "100 %",
    "180 mm",
    "2.5",
];

fn random_message(random: &mut SmallRng, page: &Page, proven: &ProvenJoin) -> Message {
    let at = page.now + if random.random_bool(0.5) { 100.0 } else { 5000.0 };
    let model = &page.model;
    match random.random_range(0..100) {
        0..45 => {
            let fields = all_fields(&model.analysis.design);
            // The first fields are typed in most.
            let most = if random.random_bool(0.6) { 2 } else { fields.len() };
            let key = fields[random.random_range(0..most)].key.clone();
            let text = TEXTS[random.random_range(0..TEXTS.len())].into();
            Message::Typed { key, text, at }
        }
        45..52 => {
            let control = DESIGN_CONTROLS[random.random_range(0..DESIGN_CONTROLS.len())];
            let values = ["true", "false", "0", "1", "5", "held", "neck", "stepped", "copper"];
            let value = values[random.random_range(0..values.len())];
            // An unknown metal is no choice of the list.
            let value = if control == "metal" { "fine-silver" } else { value };
            Message::Chosen { control: control.into(), value: value.into(), at }
        }
        52..56 => {
            let value = random.random_range(0..4).to_string();
            Message::Chosen { control: "size".into(), value, at }
        }
        56..59 => {
            let value = if random.random_bool(0.5) { "inch" } else { "mm" };
            Message::Chosen { control: "unit".into(), value: value.into(), at }
        }
        59..69 => match page.waits {
            Some(serial) => Message::Paused { serial },
            None => Message::Paused { serial: random.random_range(0..9) },
        },
        69..79 => {
            let which = random.random_range(0..page.asked.len().max(1));
            let serial = page.asked.get(which).map_or(random.random_range(0..99), |asked| asked.0);
            let stumbles = random.random_bool(0.1);
            let answer = (!stumbles).then(|| Answer::Proven(Box::new(proven.clone())));
            Message::Answered { serial, answer }
        }
        79..86 => Message::Undo,
        86..90 => Message::Redo,
        90..93 => {
            let text = [BRACELET, NECKLACE, TOO_THICK][random.random_range(0..3)];
            let design = Box::new(Design::parse(text).unwrap());
            Message::Replaced { design, size: 0, words: "Opened.".into(), at }
        }
        93 => Message::SizeAdded { at },
        94 => Message::SizeRemoved { at },
        95 => Message::SizeMoved { earlier: random.random_bool(0.5), at },
        96 => Message::TrialAdded { at },
        97 => Message::TrialRemoved { index: 0, at },
        98 => match random.random_range(0..10) {
            5 => Message::Class(random.random_bool(0.5)),
            6 => {
                let names = ["none", "0", "3", "opened", "kept:none such", "99"];
                Message::BesideChosen(names[random.random_range(0..names.len())].into())
            }
            7 => {
                let moves = [
                    LessonMove::Next { calm: false },
                    LessonMove::Back { calm: true },
                    LessonMove::To(f64::NAN),
                ];
                Message::Taught(moves[random.random_range(0..3)])
            }
            8 => Message::Frame { now: page.now, calm: random.random_bool(0.5) },
            9 => [
                Message::Tightest,
                Message::CameraReset,
                Message::Slid(f64::NAN),
                Message::Played { calm: random.random_bool(0.5) },
            ]
            .into_iter()
            .nth(random.random_range(0..4))
            .unwrap(),
            3 => Message::StripStepped { up: random.random_bool(0.5), at },
            4 => {
                let moves = [TourMove::Start, TourMove::Next, TourMove::Back, TourMove::End];
                Message::Toured(moves[random.random_range(0..4)])
            }
            0 => Message::Viewed(random.random_range(0..2)),
            1 => Message::WishRemoved(random.random_range(0..4)),
            _ => {
                let value = ["ratio", "play_mm", "x"][random.random_range(0..3)].into();
                Message::Chosen { control: "optimise-add".into(), value, at }
            }
        },
        _ => Message::Dismissed,
    }
}

/// Some ten thousand messages in any order: the promises hold after each of them.
#[test]
fn the_promises_hold_whatever_happens() {
    let design = Design::parse(BRACELET).unwrap();
    let proven = prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap();
    let since = std::time::Instant::now();
    let mut survived = 0;
    for seed in 0..250 {
        let mut random = SmallRng::seed_from_u64(seed);
        let mut page = Page::with(Design::plain(0.9, 12.0), seed as usize % 6);
        for _ in 0..40 {
            let message = random_message(&mut random, &page, &proven);
            if let Message::Answered { serial, .. } = &message {
                page.asked.retain(|(asked, _)| asked != serial);
            }
            if let Message::Paused { serial } = &message
                && page.waits == Some(*serial)
            {
                page.waits = None;
            }
            let typed = match &message {
                Message::Typed { key, text, .. } => Some((key.clone(), text.clone())),
                _ => None,
            };
            page.send(message);
            page.hold_to_promises();
            // What was typed is what is shown, whether it is understood or not.
            if let Some((key, text)) = typed {
                let field = find_field(&key).unwrap();
                let shown = page.shown(&key);
                let (unit, design) = (page.model.analysis.unit, &page.model.analysis.design);
                let is_as_before = field.read(&text, unit).ok() == field.value(design, 0);
                assert!(shown == text || (text.trim().is_empty() && is_as_before), "{key}: {text}");
            }
            survived += 1;
        }
    }
    println!("{survived} random messages survived in {:.1} s", since.elapsed().as_secs_f64());
}

/// Kilobytes that the system counts for this process.
#[cfg(target_os = "linux")]
fn resident() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
    line.trim().trim_end_matches(" kB").parse().unwrap()
}

/// A week in class: one page, two hundred thousand messages. Undo fills up in the first of them.
#[test]
#[cfg(target_os = "linux")]
#[ignore = "minutes: run in release"]
fn a_page_that_stays_open_holds_no_more_after_a_week() {
    let design = Design::parse(BRACELET).unwrap();
    let proven = prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap();
    let mut random = SmallRng::seed_from_u64(77);
    let mut page = Page::of(design);
    let mut seen = Vec::new();
    for count in 1..=200_000 {
        let message = random_message(&mut random, &page, &proven);
        if let Message::Answered { serial, .. } = &message {
            page.asked.retain(|(asked, _)| asked != serial);
        }
        page.send(message);
        if count % 20_000 == 0 {
            page.screen();
            seen.push(resident());
            println!("{count} messages: {} kB", resident());
        }
    }
    let [early, late] = [&seen[1..4], &seen[7..]].map(|part| *part.iter().min().unwrap());
    assert!(late as f64 <= 1.1 * early as f64, "{seen:?}");
}

/// Whatever a step was, undo brings back the design before it, and redo the one after.
#[test]
fn undo_returns() {
    let design = Design::parse(BRACELET).unwrap();
    let proven = prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap();
    let mut changes = 0;
    for seed in 1000..1200 {
        let mut random = SmallRng::seed_from_u64(seed);
        let mut page = Page::of(design.clone());
        for _ in 0..20 {
            let before = page.model.analysis.design.clone();
            let message = random_message(&mut random, &page, &proven);
            if matches!(message, Message::Undo | Message::Redo | Message::Answered { .. }) {
                continue;
            }
            // Steps of one field that follow one another at once are one step.
            page.now += 10_000.0;
            page.model.history.close();
            page.send(message);
            let after = page.model.analysis.design.clone();
            if before == after {
                continue;
            }
            changes += 1;
            // First what is typed and not in the design goes.
            if page.model.is_at_fault() {
                page.send(Message::Undo);
                assert_eq!(page.model.analysis.design, after);
            }
            page.send(Message::Undo);
            assert_eq!(page.model.analysis.design, before);
            page.send(Message::Redo);
            assert_eq!(page.model.analysis.design, after);
        }
    }
    assert!(changes > 500, "{changes}");
}

/// What was typed and cannot be made comes back after it was undone, and after another design
/// took its place.
#[test]
fn nothing_typed_is_lost() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("wire", "18x");
    page.send(Message::Undo);
    assert_eq!(page.shown("wire"), "0.9");
    page.send(Message::Redo);
    assert_eq!(page.shown("wire"), "18x");
    page.replace(Design::parse(NECKLACE).unwrap());
    assert!(!page.model.is_at_fault());
    page.send(Message::Undo);
    assert_eq!(page.shown("wire"), "18x");
    assert_eq!(verdict(&page.model).word, DesignVerdict::NotKnown);
}

/// 18 in Wire with millimetres: the wire is named first, and what it may mean is offered.
#[test]
fn a_gauge_number_typed_as_millimetres_takes_the_verdict_away_and_is_offered_as_gauge() {
    let mut page = Page::plain(0.9, 12.0);
    page.answer_all();
    assert_eq!(verdict(&page.model).word, DesignVerdict::Yes);
    page.type_in("wire", "18");
    let found = verdict(&page.model);
    assert_eq!((found.word, found.basis), (DesignVerdict::NotKnown, Basis::Nothing));
    assert!(found.message.contains("wire"), "{}", found.message);
    assert!(page.fault("wire").starts_with("Wire 18 "), "{}", page.fault("wire"));
    assert_eq!(page.fault("mandrel_mm"), "");
    let entry = page.model.entries.open[0].clone();
    assert_eq!(entry.meanings[0].words, "18 gauge? That is 1.02 mm.");
    page.type_in("wire", &entry.meanings[0].text);
    assert!((page.wire() - 1.0237).abs() < 5e-5);
    assert!(!page.model.is_at_fault());
}

/// 1/2 in Mandrel with millimetres: half an inch is likelier than half a millimetre.
#[test]
fn half_an_inch_typed_without_its_unit_is_offered() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("mandrel_mm", "1/2");
    assert_eq!(verdict(&page.model).word, DesignVerdict::NotKnown);
    assert!(page.fault("mandrel_mm").starts_with("Mandrel "), "{}", page.fault("mandrel_mm"));
    let entry = page.model.entries.open[0].clone();
    assert_eq!(entry.meanings[0].words, "1/2 in? That is 12.7 mm.");
    page.type_in("mandrel_mm", &entry.meanings[0].text);
    assert_eq!(page.mandrel(), 12.7);
}

#[test]
fn whatever_is_understood_is_shown_as_it_was_typed() {
    let mut page = Page::plain(0.9, 12.0);
    for (text, mm) in [
        ("7/16\"", 11.1125),
        ("7/16 in", 11.1125),
        ("\u{215c}\"", 9.525),
        ("3/8''", 9.525),
        ("3/8\u{2033}", 9.525),
        ("12,5", 12.5),
        ("13 mm", 13.0),
    ] {
        page.type_in("mandrel_mm", text);
        assert!((page.mandrel() - mm).abs() < 1e-9, "{text}");
        assert_eq!(page.shown("mandrel_mm"), text);
    }
    for (text, mm) in [
        ("18 ga", 1.0237),
        ("18 gauge", 1.0237),
        ("AWG 18", 1.0237),
        ("18 awg", 1.0237),
        ("SWG 18", 1.2192),
    ] {
        page.type_in("wire", text);
        assert!((page.wire() - mm).abs() < 5e-5, "{text}");
        assert_eq!(page.shown("wire"), text);
    }
    // A length with its unit stays as typed in the other setting; a bare number is converted.
    page.type_in("mandrel_mm", "7/16\"");
    page.choose("unit", "inch");
    assert_eq!(page.shown("mandrel_mm"), "7/16\"");
    page.choose("unit", "mm");
    page.type_in("mandrel_mm", "12.7");
    page.choose("unit", "inch");
    assert_eq!(page.shown("mandrel_mm"), "0.5");
}

#[test]
fn an_empty_field_says_what_to_type() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("wire", "");
    assert_eq!(page.fault("wire"), "Type the wire: 0.9 mm, AWG 19 or 0.035 in.");
    assert_eq!(verdict(&page.model).message, "Not known: wire is not understood.");
    page.type_in("mandrel_mm", "  ");
    assert!(page.fault("mandrel_mm").starts_with("Type the mandrel: "));
}

/// An entry that is impossible is taken once another makes it possible.
#[test]
fn two_entries_that_are_possible_together_are_taken_together() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("wire", "3 mm");
    assert!(page.model.is_at_fault());
    page.type_in("mandrel_mm", "50");
    assert!(!page.model.is_at_fault());
    assert_eq!((page.wire(), page.mandrel()), (3.0, 50.0));
}

/// A join of another size that fails is the verdict, and is named.
#[test]
fn the_worst_join_of_the_whole_chain_decides_and_is_named() {
    let mut design = Design::plain(1.2, 14.0);
    design.sizes[0].name = "front".into();
    design.sizes.push(Size { name: "back".into(), mandrel_mm: 10.0, ..design.sizes[0].clone() });
    let mut page = Page::of(design);
    page.answer_all();
    // The size looked at joins by itself.
    assert_eq!(page.model.analysis.size, 0);
    let own = page.model.analysis.report.joins[0].clone();
    assert_eq!(DesignVerdict::of(&own), DesignVerdict::Yes, "{}", own.message);
    let found = verdict(&page.model);
    assert_eq!(found.word, DesignVerdict::No, "{}", found.message);
    assert!(found.message.contains("back"), "{}", found.message);
    // However good the rest.
    for size in ["0", "1"] {
        page.choose("size", size);
        assert_eq!(verdict(&page.model).word, DesignVerdict::No);
    }
}

/// A yes is proven only once every join is.
#[test]
fn a_yes_is_proven_once_every_join_is() {
    let mut page = Page::of(Design::parse(NECKLACE).unwrap());
    let first = verdict(&page.model);
    assert_eq!(first.basis, Basis::Estimated, "{}", first.message);
    page.answer_all();
    let found = verdict(&page.model);
    assert_eq!((found.word, found.basis), (DesignVerdict::Yes, Basis::Proven), "{}", found.message);
    page.type_in("mandrel_mm", "14.2");
    assert_ne!(verdict(&page.model).basis, Basis::Proven, "the proof was of another design");
}

/// A refusal for want of a joined pose is told as searched, and as proven once the worker has shown that
/// there is none; in another unit again.
#[test]
fn a_refusal_is_proven_after_it_is_told() {
    let is_refused = |mandrel: &f64| {
        let design = Design::plain(1.0, *mandrel);
        let formings = design.formings().unwrap();
        prove(&design, &formings, 0, LengthUnit::Mm).unwrap().report.is_refused_at_rest()
    };
    let mandrel = (0..20).map(|i| 12.0 - 0.25 * f64::from(i)).find(is_refused).unwrap();
    let mut page = Page::plain(1.0, mandrel);
    while !page.asked.iter().any(|(_, task)| matches!(task, Task::Refusal { .. })) {
        let (serial, task) = page.asked.pop().expect("the proof is asked for");
        page.send(Message::Answered { serial, answer: answer(Request { serial, task }).answer });
    }
    let searched = verdict(&page.model);
    assert_eq!((searched.word, searched.basis), (DesignVerdict::No, Basis::Searched));
    page.answer_all();
    let found = verdict(&page.model);
    assert_eq!((found.word, found.basis), (DesignVerdict::No, Basis::Proven), "{}", found.message);
    assert!(found.message.contains("wherever closed links"), "{}", found.message);
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "join").unwrap()));
    let said = page.screen().text("join-basis").unwrap().to_string();
    assert!(said.contains("all positions"), "{said}");
    page.choose("unit", "in");
    page.answer_all();
    assert_eq!(verdict(&page.model).basis, Basis::Proven);
    // Another design is not thought proven.
    page.type_in("mandrel_mm", "11.9 mm");
    assert_ne!(verdict(&page.model).basis, Basis::Proven);
}

/// The other way to join is played once it is chosen.
/// What comes of tools that nobody corrects is said under the verdict once all is proven, and goes
/// with an entry that is not understood.
#[test]
fn what_uncorrected_tools_leave_is_said() {
    let mut page = Page::plain(0.9, 12.0);
    assert_eq!(page.screen().text("uncorrected"), Some(""));
    page.answer_all();
    let said = page.screen().text("uncorrected").unwrap().to_string();
    assert!(said.contains("no correction for springback: they do not join"), "{said}");
    page.type_in("mandrel_mm", "x");
    assert_eq!(page.screen().text("uncorrected"), Some(""));
    // Where the design means the tools themselves, the verdict is on them already.
    let mut design = Design::plain(0.9, 12.0);
    design.metal.shapes = Shapes::AfterSpringback;
    let mut page = Page::of(design);
    page.answer_all();
    let said = page.screen().text("uncorrected").unwrap().to_string();
    assert!(said.starts_with("The figures are those of the tools"), "{said}");
    assert_eq!(verdict(&page.model).word, DesignVerdict::No);
}

/// Where the design's jaws do not do, others are offered beside the verdict and can be taken; of another
/// design they are not left standing. With any jaws the strip has a mark of its own.
#[test]
fn other_jaws_are_offered_and_can_be_taken() {
    let mut design = Design::plain(1.0, 10.0);
    design.sizes[0].springback_mm = Some(0.0);
    let mut page = Page::of(design);
    page.answer_all();
    assert_ne!(verdict(&page.model).word, DesignVerdict::Yes);
    let offered = page.model.join().unwrap().suggestions[0].clone();
    assert!(offered.is_of_jaws() && offered.proven, "{offered:?}");
    let said = page.screen().text("strip-says").unwrap().to_string();
    assert!(said.contains("With other jaws this wire joins from "), "{said}");
    page.send(Message::Suggested { index: 0, at: 0.0 });
    page.answer_all();
    let found = verdict(&page.model);
    assert_eq!((found.word, found.basis), (DesignVerdict::Yes, Basis::Proven), "{}", found.message);
    assert!(page.model.join().unwrap().suggestions.is_empty());
    page.type_in("wire", "0.9");
    let said = page.screen().text("strip-says").unwrap().to_string();
    assert!(!said.contains("other jaws"), "of another wire: {said}");
}

/// Once everything is answered nothing is said to be under way, whatever was found: here links that join,
/// that are too thick, and that do not lie in their weave.
#[test]
fn a_page_at_rest_says_of_nothing_that_it_is_being_done() {
    let mut weave = Design::plain(0.8, 12.0);
    weave.weave = serde_json::from_str("\"three-way-single\"").unwrap();
    for design in [Design::plain(0.9, 12.0), Design::parse(TOO_THICK).unwrap(), weave] {
        let mut page = Page::of(design);
        page.answer_all();
        assert!(!page.model.is_working());
        for view in ["shape", "join", "chain"] {
            page.send(Message::Viewed(VIEWS.iter().position(|named| named.id == view).unwrap()));
            page.answer_all();
            for time in [0.0, 0.7, 1.0] {
                page.send(Message::Slid(time));
                let shown = page.screen();
                let mut told: Vec<(&str, String)> = shown
                    .parts()
                    .filter_map(|(id, _, content)| match content {
                        Content::Words(words) => Some((id, words.clone())),
                        _ => None,
                    })
                    .collect();
                let window = Window { width: 800.0, height: 600.0 };
                told.extend(
                    picture(&page.model, window).map(|picture| ("caption", picture.caption)),
                );
                for (id, words) in told {
                    assert!(
                        !words.contains("being ") && !words.contains('\u{2026}'),
                        "{id}: {words}"
                    );
                }
            }
        }
    }
}

/// Who types tools has the answer for what these leave, on the page and on every paper; it can be
/// undone, and it is the answer that stood below before.
#[test]
fn the_answer_for_typed_tools_leads_once_that_is_chosen() {
    let mut page = Page::plain(0.9, 12.0);
    page.answer_all();
    assert_eq!(verdict(&page.model).word, DesignVerdict::Yes);
    let before = page.model.analysis.uncorrected.clone().flatten().unwrap();
    page.choose("types-tools", "true");
    page.answer_all();
    let found = verdict(&page.model);
    assert_eq!((found.word, found.basis), (DesignVerdict::No, Basis::Proven));
    assert_eq!(page.model.join().unwrap().least_clearance_mm, before.least_clearance_mm.unwrap());
    assert!(paper_verdict(&page.model).starts_with(found.message.trim_end_matches('.')));
    assert_eq!(page.saved.as_ref().unwrap().metal.shapes, Shapes::AfterSpringback);
    page.send(Message::Undo);
    page.answer_all();
    assert_eq!(verdict(&page.model).word, DesignVerdict::Yes);
    assert_eq!(page.screen().part("types-tools", Property::Ticked), Some(&Content::Flag(false)));
}

/// Beside each field stands the tool for it, once its part of the page is open: the values of the
/// metal section. Beside an entry that is not understood stands none.
#[test]
fn the_tool_stands_beside_each_field() {
    let mut page = Page::plain(0.9, 12.0);
    let beside = |page: &Page, field: &str| {
        page.screen().text(&format!("tool-{field}")).unwrap_or("none").to_string()
    };
    assert_eq!(beside(&page, "fold_jaw_mm"), "");
    let springs = page.screen().text("ring-springs").unwrap().to_string();
    assert!(springs.starts_with("springs to 12.") && springs.ends_with(" mm"), "{springs}");
    page.choose("tools-open", "true");
    let metal = page.model.analysis.metal().unwrap();
    let jaws = metal.working.as_ref().unwrap().jaws.clone().unwrap();
    let text = |mm: f64| format!("{mm:.2} mm");
    for (field, words) in [
        (
            "fold_jaw_mm",
            format!("fold over {} through {:.0}\u{b0}", text(jaws.fold_jaw_mm), jaws.fold_deg),
        ),
        (
            "oval_jaw_mm",
            format!("stretch over {} \u{b7} springs to 2.25 mm", text(jaws.oval_jaw_mm)),
        ),
        (
            "waist_gap_mm",
            format!(
                "pinched shut, springs to {}: anneal and pinch again",
                text(jaws.released_waist_gap_mm)
            ),
        ),
        ("mandrel_mm", springs),
    ] {
        let found = beside(&page, field);
        assert!(found.starts_with(&words), "{field}: {found}, not {words}");
    }
    // A gap that one pinch can leave.
    page.type_in("waist_gap_mm", "1");
    assert!(beside(&page, "waist_gap_mm").ends_with("\u{b7} springs to 1.00 mm"));
    // Where the figures are the tools', what they leave.
    page.choose("types-tools", "true");
    let found = beside(&page, "waist_gap_mm");
    assert!(found.starts_with("springs to 1.") && found != "springs to 1.00 mm", "{found}");
    page.type_in("mandrel_mm", "x");
    for field in ["mandrel_mm", "fold_jaw_mm", "waist_gap_mm"] {
        assert_eq!(beside(&page, field), "");
    }
    assert_eq!(page.screen().text("ring-springs"), Some(""));
}

#[test]
fn the_other_way_to_join_is_played() {
    let mut page = Page::of(Design::parse(BRACELET).unwrap());
    page.answer_all();
    let first = page.model.tightest_time().unwrap();
    page.choose("way", "1");
    assert_eq!(page.model.shown_path(), 1);
    assert_ne!(page.model.tightest_time().unwrap(), first);
}

/// While typing goes on one design after the other is proven, and nothing else is asked; what comes of one
/// before is not taken.
#[test]
fn what_is_typed_is_proven_at_once_and_an_old_answer_is_not_taken() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("mandrel_mm", "12.");
    page.type_in("mandrel_mm", "12.4");
    page.type_in("mandrel_mm", "12.5");
    assert_eq!(page.asked.len(), 1, "one proof at a time: {:?}", page.asked);
    assert_eq!(asked_mandrel(&page), 12.0);
    page.answer_last();
    assert_eq!(verdict(&page.model).basis, Basis::Estimated, "an old answer");
    assert_eq!(asked_mandrel(&page), 12.5);
    page.answer_last();
    assert_eq!(verdict(&page.model).basis, Basis::Proven);
    assert!(page.asked.is_empty(), "before the pause: {:?}", page.asked);
    page.pause();
    assert!(!page.asked.is_empty());
}

/// A proof of a design before that lasts longer than the pause is stopped.
#[test]
fn the_pause_ends_what_is_not_wanted_any_more() {
    let mut page = Page::plain(0.9, 12.0);
    let first = page.asked[0].0;
    page.type_in("mandrel_mm", "12.5");
    assert_eq!(page.asked[0].0, first);
    page.pause();
    assert_ne!(page.asked[0].0, first);
    assert_eq!(asked_mandrel(&page), 12.5);
    let old = prove(
        &Design::plain(1.2, 9.6),
        &Design::plain(1.2, 9.6).formings().unwrap(),
        0,
        LengthUnit::Mm,
    )
    .unwrap();
    page.send(Message::Answered { serial: first, answer: Some(Answer::Proven(old.into())) });
    assert_eq!(verdict(&page.model).basis, Basis::Estimated);
    page.answer_all();
    assert_eq!(verdict(&page.model).basis, Basis::Proven);
}

/// The mandrel of the design whose proof is asked for first.
fn asked_mandrel(page: &Page) -> f64 {
    let Some((_, Task::Prove(proof))) = page.asked.first() else { panic!("{:?}", page.asked) };
    proof.design.sizes[0].mandrel_mm
}

/// A wire named by its gauge stays one while the map is dragged across it.
#[test]
fn a_gauge_stays_a_gauge_on_the_map() {
    let mut page = Page::plain(0.9, 12.0);
    page.type_in("wire", "AWG 19");
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "map").unwrap()));
    page.pause();
    let here = page.wire();
    let to = page.model.design_at([12.5, here]).unwrap();
    assert_eq!(to.wire.gauge, page.model.analysis.design.wire.gauge);
    assert_eq!(to.sizes[0].mandrel_mm, 12.5);
    let to = page.model.design_at([12.0, 1.0]).unwrap();
    assert_eq!(to.wire.gauge.map(|gauge| gauge.number), Some(18));
}

/// The strip tells what each mandrel makes of the wire; one is taken from it in steps that can be
/// bought, or off the bench.
#[test]
fn a_mandrel_is_taken_from_the_strip() {
    let mut page = Page::plain(0.9, 12.0);
    page.pause();
    // While other jaws are tried, which may take long, it says so.
    let tries = |page: &Page| page.screen().text("strip-says").unwrap().contains("being tried");
    while !matches!(page.asked.last(), Some((_, Task::LeastMandrels { .. }))) {
        assert!(!tries(&page) && page.answer_last());
    }
    assert!(tries(&page));
    page.answer_all();
    assert!(!tries(&page));
    let strip = page.model.strip.clone().unwrap();
    assert!(strip.is_done());
    // What it says of the design is what is proven of it.
    assert_eq!(strip.fit_at(12.0), Some(Fit::Comfortable));
    assert_eq!(verdict(&page.model).word, DesignVerdict::Yes);
    let says = page.screen().text("strip-says").unwrap().to_string();
    assert!(says.starts_with("12 mm: comfortable; can be shaped from "), "{says}");
    page.choose("strip", "12.3456");
    assert_eq!((page.mandrel(), page.shown("mandrel_mm").as_str()), (12.5, "12.5"));
    // Its keys go to the next one that can be bought.
    page.send(Message::StripStepped { up: false, at: 0.0 });
    assert_eq!(page.mandrel(), 12.0);
    page.send(Message::StripStepped { up: true, at: 0.0 });
    assert_eq!(page.mandrel(), 12.5);
    // Every mandrel it names is one of these.
    for word in says.split(" from ").skip(1) {
        let mm: f64 = word.split(' ').next().unwrap().parse().unwrap();
        assert_eq!((2.0 * mm).fract(), 0.0, "{says}");
    }
    let bench = Bench { mandrels_mm: vec![11.11], ..Bench::default() };
    page.send(Message::BenchChanged(Box::new(bench)));
    page.choose("strip", "11.2");
    assert_eq!(page.mandrel(), 11.11);
    page.send(Message::StripStepped { up: false, at: 0.0 });
    assert_eq!(page.mandrel(), 11.0);
    page.send(Message::StripStepped { up: true, at: 0.0 });
    assert_eq!(page.mandrel(), 11.11, "the bench's own comes first");
    // In inches by sixty-fourths, as drills and needles are sold there.
    page.choose("unit", "inch");
    page.choose("strip", "12.3");
    assert_eq!(page.shown("mandrel_mm"), "31/64");
    assert!((page.mandrel() - 31.0 / 64.0 * 25.4).abs() < 1e-9);
    page.choose("unit", "mm");
    assert!(page.model.strip.as_ref().unwrap().is_done(), "the same wire has the same strip");
    // Too small to be shaped: said beside the mandrel, like what is typed.
    page.choose("strip", &format!("{}", 0.9 * strip.least));
    let fault = page.fault("mandrel_mm");
    assert!(fault.starts_with("Mandrel "), "{fault}");
    page.type_in("mandrel_mm", "12");
    page.type_in("wire", "1 mm");
    page.pause();
    assert!(!page.model.strip.as_ref().unwrap().is_done(), "another wire has another strip");
}

/// What a ring grows by is typed as a percentage and kept as a share; more than a ring can is refused.
#[test]
fn growth_is_typed_as_a_percentage() {
    let mut page = Page::plain(0.9, 12.0);
    let inside = |page: &Page| page.model.analysis.report.sizes[0].oval_inside_length_mm;
    let before = inside(&page);
    page.type_in("growth_share", "2,5 %");
    assert_eq!(page.model.analysis.design.sizes[0].growth_share, Some(0.025));
    let length = page.model.analysis.report.sizes[0].centreline_mm;
    assert!((inside(&page) - before - 0.5 * 0.025 * length).abs() < 1e-9);
    page.type_in("growth_share", "25");
    let fault = page.fault("growth_share");
    assert!(fault.contains("from 0 to 20"), "{fault}");
    page.type_in("growth_share", "");
    assert_eq!(page.model.analysis.design.sizes[0].growth_share, None);
    assert_eq!(inside(&page), before);
}

/// A wire offered by its gauge is named so once it is taken, and its thickness with it.
#[test]
fn a_suggestion_is_taken_by_the_name_it_was_offered_by() {
    let mut page = Page::plain(0.9, 9.0);
    page.type_in("wire", "AWG 18");
    page.answer_all();
    let suggestions = &page.model.join().unwrap().suggestions;
    let index = suggestions.iter().position(|one| one.message.starts_with("Use AWG ")).unwrap();
    let offered = suggestions[index].message.split(' ').nth(2).unwrap().to_string();
    let at = page.now;
    page.send(Message::Suggested { index, at });
    let said = &page.model.notice.words;
    assert!(said.starts_with(&format!("Wire changed to AWG {offered} (")), "{said}");
    assert!(said.ends_with(" mm)."), "{said}");
    assert_eq!(page.shown("wire"), format!("AWG {offered}"));
}

/// The tour goes from stop to stop and back, ends at its end, and points at one control at a time.
#[test]
fn the_tour_points_at_one_control_after_the_other() {
    let mut page = Page::plain(0.9, 12.0);
    page.model.tour.is_offered = true;
    assert_eq!(page.screen().part("offer", Property::Shown), Some(&Content::Flag(true)));
    page.send(Message::Viewed(4));
    page.send(Message::Toured(TourMove::Start));
    assert!(page.model.sees("shape"));
    for (stop, (id, words)) in TOUR_STOPS.iter().enumerate() {
        let shown = page.screen();
        let pointed: Vec<&str> = TOUR_STOPS
            .iter()
            .map(|(id, _)| *id)
            .filter(|id| shown.attribute(id, "data-pointed") == Some("true"))
            .collect();
        assert_eq!(pointed, [*id]);
        assert_eq!(shown.text("tour-words"), Some(*words));
        assert_eq!(shown.text("tour-count"), Some(format!("{} of 8", stop + 1).as_str()));
        page.send(Message::Toured(TourMove::Next));
    }
    assert_eq!(page.model.tour, Tour::default());
    assert_eq!(page.screen().part("tour", Property::Shown), Some(&Content::Flag(false)));
    page.send(Message::Toured(TourMove::Back));
    page.send(Message::Toured(TourMove::Next));
    assert_eq!(page.model.tour.at, None, "it is begun by Start only");
}

/// Sizes are added, moved and removed; each can be undone.
#[test]
fn sizes_are_added_moved_and_removed() {
    let mut page = Page::plain(0.9, 12.0);
    let names = |page: &Page| -> Vec<String> {
        page.model.analysis.design.sizes.iter().map(|size| size.name.clone()).collect()
    };
    page.send(Message::SizeAdded { at: 0.0 });
    assert_eq!(names(&page), ["size 1", "size 2"]);
    assert_eq!(page.model.analysis.size, 1);
    page.type_in("mandrel_mm", "13");
    page.send(Message::SizeMoved { earlier: true, at: 1e5 });
    assert_eq!(names(&page), ["size 2", "size 1"]);
    assert_eq!(page.mandrel(), 13.0);
    page.send(Message::SizeRemoved { at: 2e5 });
    assert_eq!(names(&page), ["size 1"]);
    page.send(Message::Undo);
    assert_eq!(names(&page), ["size 2", "size 1"]);
    for _ in 0..30 {
        page.send(Message::SizeAdded { at: 3e5 });
    }
    assert_eq!(page.model.analysis.design.sizes.len(), 12);
    assert!(page.model.notice.is_problem);
}

/// Three wishes stand in the panel; others are added by choice and removed, and one that is added
/// again is wished for as before.
#[test]
fn wishes_are_added_by_choice_and_removed() {
    let mut page = Page::plain(0.9, 12.0);
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "optimise").unwrap()));
    let design = page.model.analysis.design.clone();
    let rows = |page: &Page| -> Vec<String> {
        let shown = page.screen();
        let Some(Content::Nodes(rows)) = shown.part("optimise-wishes", Property::Children) else {
            panic!("no wishes")
        };
        rows.iter().map(|row| row.children[0].text.clone()).collect()
    };
    let first = ["suppleness across the lobes", "pitch", "width"];
    assert_eq!(rows(&page), first);
    page.choose("optimise-add", "ratio");
    assert_eq!(rows(&page)[3], "ratio");
    // Added, it is a wish at once: about what it is now.
    assert_eq!(page.screen().value_of("optimise-want-ratio"), Some("near"));
    page.choose("optimise-want-ratio", "least");
    page.choose("optimise-at-ratio", "30");
    page.send(Message::WishRemoved(3));
    assert_eq!(rows(&page), first);
    page.choose("optimise-add", "ratio");
    let shown = page.screen();
    assert_eq!(shown.value_of("optimise-want-ratio"), Some("least"));
    assert_eq!(shown.value_of("optimise-at-ratio"), Some("30"));
    // What is listed is not offered again, and what is no figure is not listed.
    let Some(Content::Nodes(offered)) = shown.part("optimise-add", Property::Children) else {
        panic!("nothing to choose from")
    };
    assert_eq!(offered.len(), 12 - 4 + 1);
    page.choose("optimise-add", "ratio");
    page.choose("optimise-add", "nonsense");
    page.send(Message::WishRemoved(99));
    assert_eq!(rows(&page).len(), 4);
    for _ in 0..4 {
        page.send(Message::WishRemoved(0));
    }
    assert!(rows(&page).is_empty());
    assert_eq!(page.model.analysis.design, design, "wishes are no part of the design");
    assert!(page.model.history.undoable().is_none());
}

/// What is owned is taken by a tick, dimension by dimension; the range typed beside it stays.
#[test]
fn the_bench_is_chosen_from_by_a_tick() {
    let mut page = Page::plain(0.9, 12.0);
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "optimise").unwrap()));
    page.choose("optimise-over-mandrel_mm", "9 to 14");
    page.choose("optimise-own-mandrel_mm", "true");
    let fault = |page: &mut Page| {
        page.model.optimise_state.now = Some((
            page.model.analysis.design.clone(),
            0,
            vec![Some(1.0); linkfold::answers::optimise::Figure::ALL.len()],
        ));
        let Model { optimise_state, analysis, controls, bench, .. } = &mut page.model;
        let task = optimise_state.task(analysis, controls, bench);
        (optimise_state.fault.clone().unwrap_or_default(), task)
    };
    let (words, _) = fault(&mut page);
    assert!(words.starts_with("mandrel: you own none yet"), "{words}");
    let bench = Bench { mandrels_mm: vec![11.0, 12.5], ..Bench::default() };
    page.send(Message::BenchChanged(Box::new(bench)));
    let (words, task) = fault(&mut page);
    assert_eq!(words, "");
    let Some((_, Task::Optimise { wishes, .. })) = task else { panic!("{task:?}") };
    let of = |name: &str| wishes.free.iter().find(|free| free.dimension.name() == name).unwrap();
    assert_eq!(of("mandrel_mm").list_mm, [11.0, 12.5]);
    assert_eq!(page.screen().value_of("optimise-over-mandrel_mm"), Some("9 to 14"));
    // Faults speak of the dimension, not of its place in a document.
    page.choose("optimise-own-mandrel_mm", "false");
    page.choose("optimise-over-mandrel_mm", "14 to 9");
    let (words, _) = fault(&mut page);
    assert_eq!(words, "mandrel: from 14 to 9 is no range; the first must be less");
}

/// What the search is asked for can be bought or set: mandrels by half millimetres, jaws by tenths, wire
/// by its gauge; what the design has now is among it, and what it finds is told and taken so.
#[test]
fn the_search_offers_what_can_be_had() {
    let mut design = Design::plain(1.0, 12.3);
    design.wire = serde_json::from_str(r#"{"gauge":{"system":"awg","number":18}}"#).unwrap();
    let mut page = Page::of(design.clone());
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "optimise").unwrap()));
    page.choose("optimise-free-wire_mm", "true");
    page.choose("optimise-free-bore_mm", "false");
    page.choose("optimise-across", "");
    let now = linkfold::answers::optimise::figures(&design, 0).unwrap();
    page.model.optimise_state.now = Some((design.clone(), 0, now));
    let task = |model: &mut Model| {
        let Model { optimise_state, analysis, controls, bench, .. } = model;
        match optimise_state.task(analysis, controls, bench) {
            Some((_, Task::Optimise { design, wishes, unit, .. })) => (design, wishes, unit),
            other => panic!("no search is asked for: {other:?}"),
        }
    };
    let (_, wishes, unit) = task(&mut page.model);
    let of = |name: &str| wishes.free.iter().find(|free| free.dimension.name() == name).unwrap();
    let is_step = |mm: f64, step: f64| (mm / step - (mm / step).round()).abs() < 1e-6;
    assert!(of("mandrel_mm").list_mm.iter().all(|mm| is_step(*mm, 0.5) || *mm == 12.3));
    assert!(of("mandrel_mm").list_mm.contains(&12.3) && of("mandrel_mm").list_mm.len() > 10);
    let now = design.settings().unwrap()[0].fold_jaw;
    assert!(of("fold_jaw_mm").list_mm.iter().all(|mm| is_step(*mm, 0.1) || *mm == now));
    assert_eq!(of("wire_mm").list_mm.len(), 7, "AWG 15 to 21");
    let since = std::time::Instant::now();
    let found = Optimiser::new(&design, &wishes).unwrap().in_unit(unit).settle();
    println!("{} designs in {:?}", found.progress.looked_at, since.elapsed());
    let best = found.answers[0].clone();
    assert!(best.joins, "{}", best.join_message);
    page.model.optimise_state.take(Answer::Optimised(Ok(Box::new(found))), &page.model.analysis);
    let told = format!("{:?}", page.screen().part("optimise-answers", Property::Children));
    assert!(told.contains("Wire AWG "), "{told}");
    page.send(Message::Found { index: 0, at: page.now });
    assert_eq!(page.model.analysis.design.wire, best.design.wire);
    assert!(page.shown("wire").starts_with("AWG "), "{}", page.shown("wire"));
    // Of every dimension there is something to be had.
    for name in ["bore_mm", "waist_gap_mm", "pinch_jaw_mm", "tip_gap_mm"] {
        page.choose(&format!("optimise-free-{name}"), "true");
    }
    page.model.optimise_state.now =
        Some((page.model.analysis.design.clone(), 0, vec![Some(1.0); 21]));
    let (_, wishes, _) = task(&mut page.model);
    assert_eq!(wishes.free.len(), 7);
    assert!(wishes.free.iter().all(|free| free.list_mm.len() > 4), "{:?}", wishes.free);
}

/// A trade-off's points are told with the figures that they were found for, and never under the names of
/// others: once the axes change, the points found before are gone.
#[test]
fn a_trade_off_stands_under_its_own_figures() {
    let mut page = Page::plain(0.9, 12.0);
    let design = page.model.analysis.design.clone();
    page.send(Message::Viewed(VIEWS.iter().position(|view| view.id == "optimise").unwrap()));
    let now = linkfold::answers::optimise::figures(&design, 0).unwrap();
    page.model.optimise_state.now = Some((design.clone(), 0, now));
    let ask = |page: &mut Page| {
        let Model { optimise_state, analysis, controls, bench, .. } = &mut page.model;
        match optimise_state.task(analysis, controls, bench) {
            Some((_, Task::Optimise { wishes, .. })) => wishes,
            other => panic!("no search is asked for: {other:?}"),
        }
    };
    let told = |page: &Page| {
        let window = Window { width: 600.0, height: 400.0 };
        let picture = linkfold::app::views::picture(&page.model, window).unwrap();
        let points = format!("{:?}", page.screen().part("optimise-points", Property::Children));
        (picture.caption, points)
    };
    let wishes = ask(&mut page);
    let (caption, _) = told(&page);
    assert!(caption.ends_with("The trade-off comes last."), "{caption}");
    let mut found =
        Optimiser::new(&design, &Wishes { trade_off: None, ..wishes }).unwrap().settle();
    let answer = found.answers[0].clone();
    let point = |across, up| TradePoint { across, up, answer: answer.clone() };
    found.trade_off = vec![point(0.25, 10.5), point(0.75, 30.5)];
    page.model.optimise_state.take(Answer::Optimised(Ok(Box::new(found))), &page.model.analysis);
    let (caption, points) = told(&page);
    assert!(
        caption.contains("2 points") && caption.contains("from 10.50 N to 30.50 N"),
        "{caption}"
    );
    assert!(points.contains("10.50 N") && points.contains("30.50 N"), "{points}");
    page.choose("optimise-up", "width_mm");
    ask(&mut page);
    let (caption, points) = told(&page);
    assert!(caption.contains("width") && !caption.contains("30.50"), "{caption}");
    assert!(!points.contains("30.50"), "{points}");
}

/// Every id that a view names is in the page, and every field of the page is in the table.
#[test]
fn what_the_views_name_is_there() {
    let mut page = Page::of(Design::parse(NECKLACE).unwrap());
    page.send(Message::TrialAdded { at: 0.0 });
    let made = |nodes: &str| nodes.to_string();
    for view in 0..VIEWS.len() {
        page.send(Message::Viewed(view));
        let shown = page.screen();
        let all = made(&format!("{shown:?}"));
        for (id, ..) in shown.parts() {
            let id = id.strip_prefix("fault@").map_or(id.to_string(), |key| format!("@{key}"));
            let there = match id.strip_prefix('@') {
                Some(key) => {
                    PAGE.contains(&format!("data-field=\"{key}\"")) || key.starts_with("trials[")
                }
                None if id == ":root" => true,
                None => {
                    PAGE.contains(&format!("id=\"{id}\""))
                        // Made by a view itself.
                        || all.contains(&format!("(\"id\", \"{id}\")"))
                }
            };
            assert!(there, "the page has no {id}");
        }
    }
    for part in PAGE.split("data-field=\"").skip(1) {
        let key = part.split('"').next().unwrap();
        let field = find_field(key).unwrap_or_else(|| panic!("{key} is in no table"));
        let before = PAGE.split(&format!("data-field=\"{key}\"")).next().unwrap();
        let label = before.rsplit("<label>").next().unwrap().rsplit("<label").next().unwrap();
        let label = label.split('<').next().unwrap().rsplit('>').next().unwrap().trim();
        assert_eq!(label.replace("&amp;", "&"), field.label, "{key}");
    }
}

/// Hands and keys turn, move and enlarge the picture; what the browser took for itself was not meant.
#[test]
fn hands_and_keys_move_the_picture() {
    let mut page = Page::plain(0.9, 12.0);
    let seen = SeenPicture {
        home: Viewpoint::degrees(20.0, 30.0),
        window: Window { width: 600.0, height: 400.0 },
        view: None,
    };
    let mut gesture = |gesture: Gesture| {
        page.send(Message::Gestured(gesture, seen));
        page.model.camera
    };
    let plain = gesture(Gesture::Down { is_first: true, at: [10.0, 10.0] });
    let turned = gesture(Gesture::Drawn { by: [30.0, 0.0], moves: false });
    assert!(turned != plain && turned.zoom() == 1.0);
    let nearer = gesture(Gesture::Pinched { by: [4.0, 0.0], times: 1.5, about: [0.0, 0.0] });
    assert_eq!(nearer.zoom(), 1.5);
    assert_eq!(gesture(Gesture::TakenAway), plain);
    assert!((gesture(Gesture::key("+")).zoom() - 1.2).abs() < 1e-9);
    assert!((gesture(Gesture::key("-")).zoom() - 1.0).abs() < 1e-9);
    let arrow = Gesture::Key { key: "ArrowLeft".into(), arrow: [-1.0, 0.0], shift: true };
    assert_ne!(gesture(arrow), plain);
    assert_eq!(gesture(Gesture::key("0")), plain);
    assert!(page.model.knows_key("ArrowUp", true) && !page.model.knows_key("PageUp", false));
}

/// What a class sees beside: at first what does not join, then what is chosen, a kept one too.
#[test]
fn a_class_sees_another_design_beside() {
    let mut page = Page::of(Design::parse(BRACELET).unwrap());
    page.model.set_examples(linkfold::app::examples().flatten().collect());
    page.send(Message::Class(true));
    let name = |page: &Page| {
        page.model.beside.as_ref().map(|beside| beside.design.name.clone()).unwrap_or_default()
    };
    assert_eq!(name(&page), Design::parse(TOO_THICK).unwrap().name);
    let shown = page.screen();
    assert_eq!(shown.value_of("class-beside"), Some("3"));
    page.send(Message::BesideChosen("none".into()));
    assert!(page.model.beside.is_none());
    // What was chosen stays from class to class.
    page.send(Message::Class(false));
    page.send(Message::Class(true));
    assert!(page.model.beside.is_none());
    page.send(Message::BesideChosen("kept:gone".into()));
    page.send(Message::Class(true));
    assert_eq!(page.screen().value_of("class-beside"), Some("3"), "what is gone is not shown");
}

/// A list of the bench that cannot be read says so, stays as it was typed, and leaves the bench as
/// it was; prices likewise. What can be read is taken and saved.
#[test]
fn the_bench_is_typed_and_what_cannot_be_read_changes_nothing() {
    let mut page = Page::plain(0.9, 12.0);
    let mut type_in = |field: &str, text: &str| {
        page.send(Message::BenchTyped { field: field.into(), text: text.into() });
        let screen = page.screen();
        (page.model.bench.clone(), screen)
    };
    let (bench, screen) = type_in("stock-mandrels", "10, 11; 12");
    assert!(bench.mandrels_mm.is_empty());
    assert_eq!(screen.value_of("stock-mandrels"), Some("10, 11; 12"));
    assert_eq!(screen.attribute("stock-mandrels", "aria-invalid"), Some("true"));
    let told = screen.text("stock-mandrels-problem").unwrap().to_string();
    assert!(told.ends_with("The bench stays as it was."), "{told}");
    let (bench, screen) = type_in("stock-mandrels", "10, 11, 12");
    assert_eq!(bench.mandrels_mm, [10.0, 11.0, 12.0]);
    assert_eq!(screen.text("stock-mandrels-problem"), Some(""));
    let (bench, screen) = type_in("cost-hour", "x");
    assert_eq!(bench.hourly_rate, Bench::default().hourly_rate);
    assert!(screen.text("cost-problem").unwrap().contains("\u{201c}x\u{201d} is not a number"));
    let (bench, screen) = type_in("cost-hour", "35,5");
    assert_eq!((bench.hourly_rate, screen.text("cost-problem")), (35.5, Some("")));
    // Another bench takes the place of all that was typed.
    page.send(Message::BenchOpened(Box::default()));
    assert_eq!(page.screen().value_of("stock-mandrels"), Some(""));
}

/// The list of kept designs is a function of what is known of it.
#[test]
fn the_kept_designs_are_listed_renamed_and_brought_back() {
    let mut page = Page::plain(0.9, 12.0);
    page.send(Message::ListShown(true));
    page.send(Message::Listed { rows: Ok(Vec::new()), former: None, deleted: None });
    let rows = |page: &mut Page| match page.screen().part("kept", Property::Children) {
        Some(Content::Nodes(nodes)) => nodes.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(rows(&mut page)[0].text, "None is kept by a name yet.");
    let former = Some(Box::new(Design::plain(1.0, 14.0)));
    page.send(Message::Listed { rows: Ok(Vec::new()), former, deleted: Some("Gone".into()) });
    let found = rows(&mut page);
    assert_eq!(found.len(), 2);
    assert!(found[0].children[0].text.contains("is deleted"), "{found:?}");
    page.send(Message::Listed { rows: Err("full".into()), former: None, deleted: None });
    assert_eq!(rows(&mut page)[0].text, "Nothing can be kept: full.");
    page.send(Message::ListShown(false));
    assert!(page.screen().part("kept", Property::Children).is_none());
}
