//! What the model asks of the browser, and what comes back.

use super::tasks::Task;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::storage::Habits;

/// Something to be done outside.
#[derive(Debug)]
pub enum Effect {
    /// Ask a worker, started where need be; answered by [`super::Message::Answered`] with the same
    /// serial.
    Ask {
        /// Which worker, from 0.
        worker: usize,
        /// Comes back with the answer.
        serial: u32,
        /// What is asked.
        task: Box<Task>,
    },
    /// End a worker: what it was asked is not wanted any more, or there is no need of it.
    Stop {
        /// Which worker.
        worker: usize,
    },
    /// Wait for a pause in typing; answered by [`super::Message::Paused`], unless another wait
    /// begins first.
    Wait {
        /// Comes back with the answer.
        serial: u32,
        /// How long.
        milliseconds: u32,
    },
    /// Save the design for the next visit; answered by [`super::Message::Saved`].
    SaveDesign(Box<Design>),
    /// Save a design that another takes the place of.
    SaveFormer(Box<Design>),
    /// Save the bench for the next visit; answered by [`super::Message::BenchSaved`].
    SaveBench(Box<Bench>),
    /// Save what a maker is used to.
    SaveHabits(Habits),
}
