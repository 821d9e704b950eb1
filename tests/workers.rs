//! The page's workers: whoever answers first, the page says the same; nothing stale is shown, nothing
//! is asked twice, and a worker that fails takes nothing with it. No browser: answers are found here and
//! told in any order.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::app::tabs::VIEWS;
use linkfold::app::tasks::{Answer, Request, Task, answer};
use linkfold::app::{Analysis, Effect, MOST_WORKERS, Message, Model, Screen, screen, update};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;
use linkfold::documents::json;
use linkfold::documents::units::LengthUnit;
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};
use std::collections::{BTreeMap, BTreeSet};

const NECKLACE: &str = include_str!("../www/examples/swelling-necklace.json");

/// Answers found before: whoever is asked, and however often, the answer is the same.
#[derive(Default)]
struct Known {
    answers: BTreeMap<String, Option<serde_json::Value>>,
    clearances: BTreeMap<String, Option<f64>>,
}

impl Known {
    fn answer(&mut self, serial: u32, task: Task) -> Option<Answer> {
        match task {
            Task::Clearances { question, nodes } => {
                let clearances = nodes.into_iter().map(|node| {
                    let key = format!("{question:?} {node:?}");
                    let find = || question.clearance_at(node).ok();
                    (node, *self.clearances.entry(key).or_insert_with(find))
                });
                Some(Answer::Clearances(clearances.collect()))
            }
            // It goes on from what it did before.
            task @ Task::Optimise { .. } => answer(Request { serial, task }).answer,
            task => {
                let key = format!("{task:?}");
                let find = || answer(Request { serial, task }).answer.map(|a| json::as_value(&a));
                let known = self.answers.entry(key).or_insert_with(find);
                known.clone().map(|known| json::read_value(&known).expect("it was an answer"))
            }
        }
    }
}

#[derive(Debug)]
struct Asked {
    worker: usize,
    serial: u32,
    task: Task,
}

/// A page and its workers, which say nothing unless told to.
struct Page {
    model: Model,
    asked: Vec<Asked>,
    /// Workers that were started and not ended.
    alive: BTreeSet<usize>,
    waits: Option<u32>,
    most: usize,
    /// Most requests that were ever at work together.
    together: usize,
}

impl Page {
    fn of(design: Design, processors: usize) -> Page {
        let analysis = Analysis::of(design, 0, LengthUnit::Mm).unwrap();
        let mut page = Page {
            model: Model::new(analysis, Bench::default()),
            asked: Vec::new(),
            alive: BTreeSet::new(),
            waits: None,
            most: processors.clamp(1, MOST_WORKERS),
            together: 0,
        };
        page.send(Message::Ready { processors });
        page
    }

    fn seen(design: Design, view: &str, processors: usize) -> Page {
        let mut page = Page::of(design, processors);
        page.look_at(view);
        page
    }

    fn look_at(&mut self, view: &str) {
        self.send(Message::Viewed(VIEWS.iter().position(|known| known.id == view).unwrap()));
    }

    fn send(&mut self, message: Message) {
        for effect in update(&mut self.model, message) {
            match effect {
                Effect::Ask { worker, serial, task } => {
                    assert!(self.asked.iter().all(|asked| asked.worker != worker), "it is busy");
                    self.alive.insert(worker);
                    self.asked.push(Asked { worker, serial, task: *task });
                }
                Effect::Stop { worker } => {
                    self.alive.remove(&worker);
                    self.asked.retain(|asked| asked.worker != worker);
                }
                Effect::Wait { serial, .. } => self.waits = Some(serial),
                _ => {}
            }
        }
        assert!(self.alive.len() <= self.most, "{:?} of {}", self.alive, self.most);
        self.together = self.together.max(self.asked.len());
        for (index, asked) in self.asked.iter().enumerate() {
            let is_same =
                |other: &Asked| format!("{:?}", other.task) == format!("{:?}", asked.task);
            assert!(!self.asked[..index].iter().any(is_same), "asked twice: {:?}", asked.task);
        }
    }

    fn type_in(&mut self, key: &str, text: &str) {
        self.send(Message::Typed { key: key.into(), text: text.into(), at: 0.0 });
    }

    fn choose(&mut self, control: &str, value: &str) {
        self.send(Message::Chosen { control: control.into(), value: value.into(), at: 0.0 });
    }

    fn pause(&mut self) {
        if let Some(serial) = self.waits.take() {
            self.send(Message::Paused { serial });
        }
    }

    fn answer(&mut self, which: usize, known: &mut Known) {
        let Asked { serial, task, .. } = self.asked.swap_remove(which);
        let answer = known.answer(serial, task);
        self.send(Message::Answered { serial, answer });
    }

    /// Everything is answered, in a random order.
    fn settle(&mut self, random: &mut SmallRng, known: &mut Known) {
        self.pause();
        while !self.asked.is_empty() {
            self.answer(random.random_range(0..self.asked.len()), known);
        }
    }

    fn screen(&self) -> Screen {
        screen(&self.model)
    }
}

/// One worker after another, or up to four in any order: the screen is the same to the digit. The
/// optimiser of each page is of its own, as in a worker: it belongs to the thread.
fn shows_the_same(design: &Design, view: &'static str, wish: &'static [(&str, &str)]) {
    let known = std::sync::Mutex::new(Known::default());
    let shown = |processors: usize, seed: u64| {
        let settled = || {
            let (mut random, mut known) = (SmallRng::seed_from_u64(seed), known.lock().unwrap());
            let mut page = Page::seen(design.clone(), view, processors);
            for (control, value) in wish {
                page.choose(control, value);
            }
            page.settle(&mut random, &mut known);
            let cells = page.model.map_state.as_ref().map(|map| format!("{:?}", map.grid));
            let planned = page.model.analysis.planned.as_ref();
            let planned = planned.map(|planned| planned.report.clone());
            let uncorrected = page.model.analysis.uncorrected.clone();
            (page.screen(), cells, planned, uncorrected, page.together)
        };
        std::thread::scope(|scope| scope.spawn(settled).join().unwrap())
    };
    let alone = shown(1, 0);
    assert_eq!(alone.4, 1);
    for (processors, seed) in [(2, 1), (2, 2), (3, 3), (4, 4), (16, 5)] {
        let together = shown(processors, seed);
        assert_eq!(together.4, processors.min(MOST_WORKERS), "not all workers were used");
        assert_eq!(alone.1, together.1, "the map, {processors} workers");
        assert_eq!(alone.2, together.2, "the plan, {processors} workers");
        assert_eq!(alone.3, together.3, "without a correction, {processors} workers");
        assert!(alone.0 == together.0, "the screen differs with {processors} workers");
    }
}

#[test]
fn a_map_is_the_same_whoever_fills_it() {
    shows_the_same(&Design::plain(0.9, 12.0), "map", &[]);
}

#[test]
fn several_sizes_and_their_plan_are_the_same_whoever_works_them_out() {
    let design = Design::parse(NECKLACE).unwrap();
    shows_the_same(&design, "plan", &[]);
}

#[test]
fn a_search_finds_the_same_whoever_finds_out_how_figures_move() {
    const WISH: [(&str, &str); 3] = [
        ("optimise-add", "ratio"),
        ("optimise-free-bore_mm", "false"),
        ("optimise-free-fold_jaw_mm", "false"),
    ];
    shows_the_same(&Design::plain(0.9, 12.0), "optimise", &WISH);
}

/// Nothing runs beside the first answer; after it there are as many workers as processors, four at the
/// most; one where the browser does not tell.
#[test]
fn more_workers_are_started_once_the_first_has_answered() {
    for (processors, most) in [(0, 1), (1, 1), (2, 2), (3, 3), (4, 4), (64, MOST_WORKERS)] {
        let mut known = Known::default();
        let mut page = Page::seen(Design::parse(NECKLACE).unwrap(), "map", processors);
        assert_eq!((page.asked.len(), page.alive.len()), (1, 1));
        assert!(matches!(page.asked[0].task, Task::Prove(_)), "{:?}", page.asked[0].task);
        page.answer(0, &mut known);
        assert_eq!((page.asked.len(), page.alive.len()), (most, most));
        // While something moves on the page, a processor is left to it.
        page.send(Message::Played { calm: false });
        while page.asked.len() >= most.max(2) {
            page.answer(0, &mut known);
        }
        assert_eq!(page.asked.len(), (most - 1).max(1));
        page.send(Message::Played { calm: false });
        assert_eq!(page.asked.len(), most);
    }
}

/// A change stops all that does not serve any more in the very event, however many are at work, but a proof of
/// the join looked at; what was asked before is not taken, and at rest one worker is left.
#[test]
fn a_change_stops_all_of_them_and_nothing_stale_is_shown() {
    let (mut known, mut random) = (Known::default(), SmallRng::seed_from_u64(7));
    let design = Design::parse(NECKLACE).unwrap();
    for (view, key, text) in [("map", "bore_mm", "2.7"), ("plan", "mandrel_mm", "12")] {
        let mut page = Page::seen(design.clone(), view, 4);
        for _ in 0..9 {
            page.answer(random.random_range(0..page.asked.len()), &mut known);
        }
        assert_eq!(page.asked.len(), 4);
        let old: Vec<(u32, Option<Answer>)> = (page.asked.iter())
            .filter_map(|asked| {
                let task = json::read_value(&json::as_value(&asked.task)).ok()?;
                Some((asked.serial, known.answer(asked.serial, task)))
            })
            .collect();
        assert_eq!(old.len(), 4);
        page.type_in(key, text);
        // The strip is that of any mandrel.
        let serves =
            |asked: &Asked| matches!(asked.task, Task::Strip(_) | Task::LeastMandrels { .. });
        let is_kept = |asked: &&Asked| key == "mandrel_mm" && serves(asked);
        let others: Vec<_> = page.asked.iter().filter(|asked| !is_kept(asked)).collect();
        let [Asked { task: Task::Prove(proof), .. }] = others[..] else {
            panic!("{view}: not stopped: {others:?}")
        };
        assert_eq!(proof.index, 0);
        assert_eq!(page.alive.len(), page.asked.len(), "{view}");
        let old: Vec<_> = old
            .into_iter()
            .filter(|(serial, _)| page.asked.iter().all(|asked| asked.serial != *serial))
            .collect();
        assert!(!old.is_empty());
        page.pause();
        let before = page.screen();
        for (serial, answer) in old {
            page.send(Message::Answered { serial, answer });
            assert!(page.screen() == before, "{view}: a stale answer was taken");
        }
        page.settle(&mut random, &mut known);
        let mut fresh = Page::seen(page.model.analysis.design.clone(), view, 1);
        fresh.settle(&mut random, &mut known);
        let (shown, wanted) = (page.screen(), fresh.screen());
        for id in ["verdict", "map-state", "plan-says", "joins", "uncorrected"] {
            assert_eq!(shown.text(id), wanted.text(id), "{view}: {id}");
        }
        assert_eq!(page.alive.len(), 1, "workers are left behind");
    }
}

/// Other axes are another map: nothing of the one before is written into it.
#[test]
fn an_answer_about_one_map_is_not_taken_for_another() {
    let mut known = Known::default();
    let mut page = Page::seen(Design::plain(0.9, 12.0), "map", 2);
    while !matches!(page.asked[0].task, Task::Clearances { .. }) {
        page.answer(0, &mut known);
    }
    let serial = page.asked[0].serial;
    let Task::Clearances { nodes, .. } = &page.asked[0].task else { unreachable!() };
    let told = Answer::Clearances(nodes.iter().map(|node| (*node, Some(123.0))).collect());
    page.choose("map-up", "2");
    page.send(Message::Answered { serial, answer: Some(told) });
    assert_eq!(page.model.map_state.as_ref().unwrap().grid.computed(), 0);
}

/// Steps of one unit are not taken for those of another.
#[test]
fn the_smallest_mandrels_of_another_unit_are_not_taken() {
    let mut known = Known::default();
    let mut page = Page::of(Design::plain(0.9, 12.0), 1);
    while !matches!(page.asked[0].task, Task::LeastMandrels { .. }) {
        page.answer(0, &mut known);
    }
    page.choose("unit", "inch");
    let is_proof = |asked: &Asked| matches!(asked.task, Task::Prove(_));
    assert!(page.asked.iter().all(is_proof), "{:?}", page.asked);
    page.settle(&mut SmallRng::seed_from_u64(1), &mut known);
    assert!(page.model.strip.as_ref().unwrap().mandrels(LengthUnit::Inch).is_some());
}

/// One that cannot be started, or breaks, leaves its work to the others; one that fails over its first
/// question does, too. Only where none is left, or one that has answered before fails over a question,
/// does the page say that the estimate stands.
#[test]
fn a_worker_that_fails_takes_nothing_with_it() {
    let design = Design::plain(0.9, 12.0);
    let mut known = Known::default();
    let mut whole = Page::seen(design.clone(), "map", 1);
    whole.settle(&mut SmallRng::seed_from_u64(0), &mut known);
    for (seed, breaks) in [(1, true), (2, false)] {
        let mut random = SmallRng::seed_from_u64(seed);
        let mut page = Page::seen(design.clone(), "map", 3);
        page.answer(0, &mut known);
        assert_eq!(page.asked.len(), 3);
        // Both new ones, with work in the hands of the first.
        for _ in 0..2 {
            let Asked { worker, serial, .. } = page.asked.pop().unwrap();
            assert_ne!(worker, page.asked[0].worker);
            page.send(match breaks {
                true => Message::WorkerFailed { worker },
                false => Message::Answered { serial, answer: None },
            });
            page.alive.remove(&worker);
        }
        assert_eq!(page.asked.len(), 1, "one is left");
        page.settle(&mut random, &mut known);
        assert_eq!(page.together, 3);
        assert!(page.screen() == whole.screen());
        // The last one.
        page.type_in("mandrel_mm", "12.5");
        page.pause();
        let Asked { worker, .. } = page.asked.pop().unwrap();
        page.send(Message::WorkerFailed { worker });
        assert!(page.screen().text("checking").unwrap().contains("the estimate stands"));
        page.type_in("mandrel_mm", "12.4");
        page.pause();
        assert!(page.asked.is_empty(), "nobody is there to be asked");
    }
    // A question over which a worker fails that has answered others; what the other does is taken.
    let mut page = Page::seen(design, "map", 2);
    page.settle(&mut SmallRng::seed_from_u64(3), &mut known);
    page.type_in("bore_mm", "2.4");
    page.pause();
    assert_eq!(page.asked.len(), 2);
    let Asked { serial, .. } = page.asked.remove(0);
    page.send(Message::Answered { serial, answer: None });
    assert!(page.screen().text("checking").unwrap().contains("the estimate stands"));
    let Asked { serial, task, .. } = page.asked.pop().unwrap();
    let Some(Answer::Strip(found)) = known.answer(serial, task) else { panic!("no strip") };
    let (strip, at) = (page.model.strip.clone().unwrap(), found[0].0);
    page.send(Message::Answered { serial, answer: Some(Answer::Strip(found)) });
    assert!(page.model.strip.as_ref() != Some(&strip), "what was found of place {at} is lost");
}
