//! What runs in the page's helper, a Web Worker with the same module: one task a message, one
//! answer a message, JSON both ways.

use crate::design::Design;
use crate::json;
use crate::map::Question;
use crate::report::{ProvenJoin, prove};
use crate::units::LengthUnit;
use serde::{Deserialize, Serialize};
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
        Task::Rooms { question, nodes } => {
            let room = |node: [u8; 2]| (node, question.room_at(node).ok());
            Some(Answer::Rooms(nodes.into_iter().map(room).collect()))
        }
    }
}
