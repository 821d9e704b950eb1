//! What runs beside the page, in a Web Worker, and what both tell one another: one task a
//! message, one answer a message, as plain objects (`web` has them cross by `serde-wasm-bindgen`).

mod answering;

pub use answering::answer;

use crate::answers::jig::{Jig, JigRequest};
use crate::answers::map::{Grid, Question};
use crate::answers::optimise::{Dimension, OptimiseResult, Sensitivity, Wishes};
use crate::answers::report::{
    HandFound, HandPart, JoinReport, LeastMandrels, PlanReport, ProvenJoin, SuggestionReport,
    UncorrectedPart,
};
use crate::answers::strip::{MandrelFound, StripQuestion};
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use serde::{Deserialize, Serialize};

/// A task, with a number by which its answer is known.
#[derive(Debug, Serialize, Deserialize)]
pub struct Request {
    /// Comes back with the answer.
    pub serial: u32,
    /// What is asked.
    pub task: Task,
}

/// The answer to the request of the same number.
#[derive(Debug, Serialize, Deserialize)]
pub struct Reply {
    /// That of the request.
    pub serial: u32,
    /// None where there is none.
    pub answer: Option<Answer>,
}

/// Which join of a design is to be proven.
#[derive(Debug, Serialize, Deserialize)]
pub struct Proof {
    /// The design.
    pub design: Design,
    /// The join's place in [`crate::answers::report::Report::joins`].
    pub index: usize,
    /// What the answer's sentences speak.
    pub unit: LengthUnit,
}

/// What the worker is asked: little at a time, so that it can be asked something else soon.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    /// One join of a design, proven.
    Prove(Proof),
    /// Clearance at some places of a map.
    Clearances {
        /// The map.
        question: Question,
        /// Its places.
        nodes: Vec<[u8; 2]>,
    },
    /// Clearance on some mandrels of the design's wire.
    Strip(StripQuestion),
    /// What comes of the design's tools without a correction for springback, for some of its joins.
    Uncorrected {
        /// The design.
        design: Design,
        /// Their places, as in [`Proof`].
        joins: Vec<usize>,
        /// What the answer's sentence speaks.
        unit: LengthUnit,
    },
    /// What other jaws would make of a size, whose join with its like wants for clearance.
    OtherJaws {
        /// The design.
        design: Design,
        /// Which of its sizes.
        size: usize,
        /// That join.
        join: Box<JoinReport>,
        /// What the answer's sentence speaks.
        unit: LengthUnit,
    },
    /// A part of the proof that a refused join has no joined pose.
    Refusal {
        /// The design.
        design: Design,
        /// The join's place in [`crate::answers::report::Report::joins`].
        index: usize,
        /// Which part, below [`crate::motion::insertion::PROOF_PARTS`].
        part: usize,
    },
    /// The smallest mandrels of the design's wire, with its own jaws and with any.
    LeastMandrels {
        /// The design, of one size, on whichever mandrel.
        design: Design,
        /// In which steps mandrels are had.
        unit: LengthUnit,
    },
    /// The whole chain planned, without what an uneven hand fails at.
    Plan {
        /// The design.
        design: Design,
        /// What is known of its joins.
        joins: Vec<JoinReport>,
        /// What it costs by.
        bench: Box<Bench>,
        /// What the answer's sentences speak.
        unit: LengthUnit,
    },
    /// Parts of the share that an uneven hand fails at.
    Hand {
        /// The design.
        design: Design,
        /// Which parts.
        parts: Vec<HandPart>,
    },
    /// A gauge or a jig.
    Jig {
        /// The design.
        design: Design,
        /// Which part.
        request: JigRequest,
        /// What a refusal speaks.
        unit: LengthUnit,
    },
    /// Every figure of one size.
    Figures {
        /// The design.
        design: Design,
        /// Which of its sizes.
        size: usize,
    },
    /// Some designs more looked at for wishes; begun anew where they are others than before.
    Optimise {
        /// The design that is begun with.
        design: Design,
        /// What is wished for.
        wishes: Wishes,
        /// What the answer's sentences speak.
        unit: LengthUnit,
        /// Designs to look at.
        evaluations: usize,
    },
    /// How figures move with one dimension.
    Moves {
        /// The design.
        design: Design,
        /// Which of its sizes.
        size: usize,
        /// The dimension.
        dimension: Dimension,
    },
}

impl Task {
    /// The numbers of the parts that it asks for, of what is asked for in parts of any size.
    pub fn parts(&self) -> Vec<usize> {
        match self {
            Task::Clearances { nodes, .. } => nodes.iter().copied().map(Grid::number).collect(),
            Task::Strip(question) => question.places().collect(),
            Task::Uncorrected { joins, .. } => joins.clone(),
            Task::Refusal { part, .. } => vec![*part],
            Task::Hand { parts, .. } => parts.iter().map(HandPart::number).collect(),
            _ => Vec::new(),
        }
    }
}

/// The answer to a task, told with the number of its request.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// To [`Task::Prove`].
    Proven(Box<ProvenJoin>),
    /// None where no link can be formed.
    Clearances(Vec<([u8; 2], Option<f64>)>),
    /// To [`Task::Strip`]: each place and what is found there.
    Strip(Vec<(usize, MandrelFound)>),
    /// To [`Task::Uncorrected`]: each join and what was found of it.
    Uncorrected(Vec<(usize, UncorrectedPart)>),
    /// To [`Task::OtherJaws`]: the change to them; none where none is proven.
    OtherJaws(Option<SuggestionReport>),
    /// To [`Task::Refusal`]: which part, and whether it was found.
    Refusal(usize, bool),
    /// To [`Task::LeastMandrels`].
    LeastMandrels(LeastMandrels),
    /// To [`Task::Plan`].
    Plan(Box<Planned>),
    /// To [`Task::Hand`].
    Hand(Vec<HandFound>),
    /// To [`Task::Jig`].
    Jig(Box<MadeJig>),
    /// In the order of [`crate::answers::optimise::Figure::ALL`].
    Figures(Vec<Option<f64>>),
    /// What was found so far, or why nothing can be.
    Optimised(Result<Box<OptimiseResult>, String>),
    /// To [`Task::Moves`].
    Moves(Sensitivity),
}

/// A gauge or a jig as it was asked for.
#[derive(Debug, Serialize, Deserialize)]
pub struct MadeJig {
    /// What was asked for.
    pub request: JigRequest,
    /// The part, or why there is none.
    pub made: Result<Jig, String>,
}

/// A plan, and its tables: the chain, the cuts.
#[derive(Debug, Serialize, Deserialize)]
pub struct Planned {
    /// What is said of it.
    pub report: PlanReport,
    /// Comma-separated.
    pub tables: [String; 2],
    /// Pairs of sizes that meet: that hung in, that which hangs, how often.
    pub hangs: Vec<(usize, usize, usize)>,
}
