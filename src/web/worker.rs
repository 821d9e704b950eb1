//! What runs in the page's helper, a Web Worker with the same module: one task a message, one
//! answer a message, JSON both ways.

use crate::bench::Bench;
use crate::design::Design;
use crate::json;
use crate::map::Question;
use crate::plan::{Plan, Table};
use crate::report::{JoinReport, PlanReport, ProvenJoin, plan_table, prove};
use crate::tune::{Dimension, Sensitivity, Tuned, Tuner, Wishes, figures, sensitivity};
use crate::units::LengthUnit;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use wasm_bindgen::prelude::wasm_bindgen;

/// A task, with a number by which its answer is known.
#[derive(Serialize, Deserialize)]
pub struct Request {
    pub serial: u32,
    pub task: Task,
}

/// What the helper is asked: little at a time, so that it can be asked something else soon.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// One join of a design, proven.
    Prove { design: Design, index: usize, unit: LengthUnit },
    /// Room at some places of a map.
    Rooms { question: Question, nodes: Vec<[u8; 2]> },
    /// The whole chain planned; with what an uneven hand fails at, or without.
    Plan { design: Design, joins: Vec<JoinReport>, bench: Bench, with_hand: bool, unit: LengthUnit },
    /// Every figure of one size.
    Figures { design: Design, size: usize },
    /// Some designs more looked at for wishes; begun anew where they are others than before.
    Tune { design: Design, wishes: Wishes, unit: LengthUnit, looks: usize },
    /// How figures move with one dimension.
    Moves { design: Design, size: usize, dimension: Dimension },
}

/// The answer to the request of the same number; none where there is none.
#[derive(Serialize, Deserialize)]
pub struct Reply {
    pub serial: u32,
    pub answer: Option<Answer>,
}

/// As the tasks.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    Proven(Box<ProvenJoin>),
    /// None where no link can be formed.
    Rooms(Vec<([u8; 2], Option<f64>)>),
    Plan(Box<Planned>),
    /// In the order of [`crate::tune::Figure::ALL`].
    Figures(Vec<Option<f64>>),
    /// What was found so far, or why nothing can be.
    Tuned(Result<Box<Tuned>, String>),
    Moves(Sensitivity),
}

/// A plan, and its tables: the chain, the cuts.
#[derive(Serialize, Deserialize)]
pub struct Planned {
    pub report: PlanReport,
    pub tables: [String; 2],
}

thread_local! {
    /// The tuner at work, and what it was asked.
    static TUNER: RefCell<Option<(Design, Wishes, LengthUnit, Tuner)>> = const { RefCell::new(None) };
}

fn tuned(
    design: Design,
    wishes: Wishes,
    unit: LengthUnit,
    looks: usize,
) -> Result<Box<Tuned>, String> {
    TUNER.with_borrow_mut(|held| {
        if !held.as_ref().is_some_and(|(d, w, u, _)| *d == design && *w == wishes && *u == unit) {
            let tuner = Tuner::new(&design, &wishes).map_err(|error| error.to_string())?;
            *held = Some((design, wishes, unit, tuner.speaking(unit)));
        }
        let Some((.., tuner)) = held else { return Err("nothing is looked for".into()) };
        tuner.step(looks);
        Ok(Box::new(tuner.found()))
    })
}

/// Answers a [`Request`] with a [`Reply`]; empty where it is no request.
#[wasm_bindgen]
pub fn answer(request: &str) -> String {
    let Ok(Request { serial, task }) = json::read(request) else {
        return String::new();
    };
    json::line(&Reply { serial, answer: done(task) })
}

fn done(task: Task) -> Option<Answer> {
    match task {
        Task::Prove { design, index, unit } => {
            let formings = design.formings().ok()?;
            prove(&design, &formings, index, unit).map(|proven| Answer::Proven(proven.into()))
        }
        Task::Plan { design, joins, bench, with_hand, unit } => {
            let formings = design.formings().ok()?;
            let plan = Plan::of(&design, &formings);
            let table = |which| {
                let laid = plan.as_ref().ok();
                laid.map_or(String::new(), |plan| plan_table(&design, &formings, plan, which))
            };
            let tables = [Table::Chain, Table::Cuts].map(table);
            let asked = (unit, with_hand);
            let report = PlanReport::of(&design, &formings, &plan, &joins, Some(&bench), asked);
            Some(Answer::Plan(Planned { report, tables }.into()))
        }
        Task::Figures { design, size } => figures(&design, size).ok().map(Answer::Figures),
        Task::Tune { design, wishes, unit, looks } => {
            Some(Answer::Tuned(tuned(design, wishes, unit, looks)))
        }
        Task::Moves { design, size, dimension } => {
            sensitivity(&design, size, dimension).ok().map(Answer::Moves)
        }
        Task::Rooms { question, nodes } => {
            let room = |node: [u8; 2]| (node, question.room_at(node).ok());
            Some(Answer::Rooms(nodes.into_iter().map(room).collect()))
        }
    }
}
