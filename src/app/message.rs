//! Everything that can happen to the page.

use super::tasks::Answer;
use crate::documents::bench::Bench;
use crate::documents::design::Design;

/// Everything that can happen.
#[derive(Debug)]
pub enum Message {
    /// Something is typed in a field of the design, at a time in ms.
    Typed {
        /// The field's path.
        key: String,
        /// What stands in it now.
        text: String,
        /// When.
        at: f64,
    },
    /// Something is chosen from a list, ticked, or slid.
    Chosen {
        /// The control.
        control: String,
        /// What it holds now; of a box "true" or "false".
        value: String,
        /// When.
        at: f64,
    },
    /// Typing has paused.
    Paused {
        /// Of which wait.
        serial: u32,
    },
    /// There is a worker to ask.
    Ready,
    /// The worker answered.
    Answered {
        /// Which request.
        serial: u32,
        /// None where it stumbled.
        answer: Option<Answer>,
    },
    /// There is no worker, or it broke.
    WorkerFailed,
    /// The design was saved, or not.
    Saved(Result<(), String>),
    /// Back by a step.
    Undo,
    /// Forward by a step.
    Redo,
    /// Another design takes the place of the present one.
    Replaced {
        /// It.
        design: Box<Design>,
        /// Which of its sizes is looked at.
        size: usize,
        /// What is said of it; empty for nothing.
        words: String,
        /// When.
        at: f64,
    },
    /// Words in the design change, on which no answer depends.
    Noted {
        /// With the words changed.
        design: Box<Design>,
        /// When.
        at: f64,
    },
    /// A suggestion of the join looked at is taken.
    Suggested {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// An answer of the search is taken.
    Found {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A trial link of the size looked at is added.
    TrialAdded {
        /// When.
        at: f64,
    },
    /// A trial link is removed.
    TrialRemoved {
        /// Which one, from 0.
        index: usize,
        /// When.
        at: f64,
    },
    /// A size is added after the one looked at.
    SizeAdded {
        /// When.
        at: f64,
    },
    /// The size looked at is removed.
    SizeRemoved {
        /// When.
        at: f64,
    },
    /// The size looked at changes places with the one before or after it.
    SizeMoved {
        /// Whether with the one before.
        earlier: bool,
        /// When.
        at: f64,
    },
    /// A hand takes the design on the map, or lets it go.
    Dragged(bool),
    /// Another view is looked at.
    Viewed(usize),
    /// The search is to stop.
    SearchStopped,
    /// A point of the trade-off is looked at.
    PointChosen(usize),
    /// The bench changed.
    BenchChanged(Box<Bench>),
    /// A class begins or ends.
    Class(bool),
    /// What a class sees beside.
    Beside(Option<Box<Design>>),
    /// What was said is put away.
    Dismissed,
}
