//! What was done to the design, so that it can be undone and redone.
//!
//! Model: the designs before each step, whole. Changes of the same fields follow one another
//! within [`MOMENT_MS`], or in one hold of the hand, as one step.
//! Limits: [`MOST_STEPS`] steps and [`MOST_BYTES`] of documents; the oldest go first.
//! Conventions: time in milliseconds from any beginning; the caller has the clock.
//! Evidence: the tests below.

mod difference;

pub use difference::{Difference, again};

use crate::documents::design::Design;
use crate::documents::json;
use std::collections::VecDeque;

/// Changes of one field that follow within this belong together, ms: a number being typed.
pub const MOMENT_MS: f64 = 1500.0;
/// Steps kept.
pub const MOST_STEPS: usize = 200;
/// The designs kept are together no longer than this as documents, bytes.
pub const MOST_BYTES: usize = 8 << 20;

/// Which of a design's sizes is looked at.
pub type SizeIndex = usize;

/// A change of the design as it is made.
pub struct Change<'a> {
    /// The design before, and the size looked at.
    pub before: (&'a Design, SizeIndex),
    /// And after.
    pub after: (&'a Design, SizeIndex),
    /// When, ms.
    pub at: f64,
    /// Whether a hand holds the design and moves it about.
    pub is_held: bool,
}

/// The steps that led to the present design, and those taken back from it.
#[derive(Default)]
pub struct UndoHistory {
    past: VecDeque<UndoStep>,
    future: Vec<UndoStep>,
    bytes: usize,
}

struct UndoStep {
    /// The design on the far side: before a step that is past, after one taken back.
    design: Design,
    /// The size looked at before and after.
    sizes: [SizeIndex; 2],
    /// What it changed.
    difference: Difference,
    /// Length of the design as a document.
    bytes: usize,
    /// When it last grew, ms; none once nothing more may join it.
    open_at: Option<f64>,
    is_held: bool,
}

impl UndoStep {
    /// Whether a change goes on with this step.
    fn goes_on(&self, change: &Change, difference: &Difference) -> bool {
        let Some(at) = self.open_at else { return false };
        match (self.is_held, change.is_held) {
            (true, true) => true,
            (false, false) => {
                self.difference.same_fields(difference)
                    && (0.0..MOMENT_MS).contains(&(change.at - at))
            }
            _ => false,
        }
    }
}

impl UndoHistory {
    /// Notes a change; one that leaves the design as it is is none. What was taken back before
    /// it can no longer be redone. Returns what it changed.
    pub fn note(&mut self, change: &Change) -> Difference {
        let difference = Difference::between(change.before.0, change.after.0);
        if difference.is_none() {
            return difference;
        }
        self.forget_future();
        if let Some(last) = self.past.back_mut()
            && last.goes_on(change, &difference)
        {
            last.open_at = Some(change.at);
            last.sizes[1] = change.after.1;
            last.difference = Difference::between(&last.design, change.after.0);
            // Typed back to what it was: nothing was done.
            if last.difference.is_none() {
                self.drop_last();
            }
            return difference;
        }
        let design = change.before.0.clone();
        let bytes = json::line(&design).len();
        self.bytes += bytes;
        self.past.push_back(UndoStep {
            design,
            sizes: [change.before.1, change.after.1],
            difference: difference.clone(),
            bytes,
            open_at: Some(change.at),
            is_held: change.is_held,
        });
        // The step just made stays, however long its document.
        while self.past.len() > MOST_STEPS || (self.bytes > MOST_BYTES && self.past.len() > 1) {
            if let Some(oldest) = self.past.pop_front() {
                self.bytes -= oldest.bytes;
            }
        }
        difference
    }

    /// The control was released, or another got the focus: the next change is a step of its own.
    pub fn close(&mut self) {
        if let Some(last) = self.past.back_mut() {
            last.open_at = None;
        }
    }

    /// Takes the last step back from `present`: the design before it, and the size looked at.
    pub fn undo(&mut self, present: &Design) -> Option<(Design, SizeIndex)> {
        let step = self.past.pop_back()?;
        let (turned, found) = turned(step, present, 0);
        self.future.push(turned);
        self.close();
        Some(found)
    }

    /// Takes the step again that was last taken back.
    pub fn redo(&mut self, present: &Design) -> Option<(Design, SizeIndex)> {
        let step = self.future.pop()?;
        let (turned, found) = turned(step, present, 1);
        self.past.push_back(turned);
        self.close();
        Some(found)
    }

    /// What undoing would take back; none where there is nothing.
    pub fn undoable(&self) -> Option<&Difference> {
        self.past.back().map(|step| &step.difference)
    }

    /// What redoing would do.
    pub fn redoable(&self) -> Option<&Difference> {
        self.future.last().map(|step| &step.difference)
    }

    fn forget_future(&mut self) {
        self.bytes -= self.future.drain(..).map(|step| step.bytes).sum::<usize>();
    }

    fn drop_last(&mut self) {
        if let Some(last) = self.past.pop_back() {
            self.bytes -= last.bytes;
        }
    }
}

/// The step as seen from its other side, and the design there.
fn turned(step: UndoStep, present: &Design, side: usize) -> (UndoStep, (Design, SizeIndex)) {
    let UndoStep { design, sizes, difference, bytes, is_held, .. } = step;
    // Counted with the design it was made from: near enough for a limit.
    let there =
        UndoStep { design: present.clone(), sizes, difference, bytes, open_at: None, is_held };
    (there, (design, sizes[side]))
}

#[cfg(test)]
mod tests;
