//! What page and helper tell one another: one task a message, one answer a message, JSON both
//! ways.

use crate::bench::Bench;
use crate::design::Design;
use crate::map::Question;
use crate::report::{JoinReport, PlanReport, ProvenJoin};
use crate::tune::{Dimension, Sensitivity, Tuned, Wishes};
use crate::units::LengthUnit;
use serde::{Deserialize, Serialize};

/// A task, with a number by which its answer is known.
#[derive(Serialize, Deserialize)]
pub struct Request<T> {
    pub serial: u32,
    pub task: T,
}

/// Which join of a design is to be proven.
#[derive(Serialize, Deserialize)]
pub struct Proof {
    pub design: Design,
    pub index: usize,
    pub unit: LengthUnit,
}

/// What the helper is asked: little at a time, so that it can be asked something else soon.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// One join of a design, proven.
    Prove(Proof),
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

/// The answer to a task, told with the number of its request.
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
