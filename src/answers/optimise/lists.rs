//! Candidates in the order of their worth, each asked no more than that takes.
//!
//! What is known of a candidate bounds its worth from one side: misses not yet known can only make
//! it worse. So the one that may be best is asked its next figure, and what comes out with all
//! known is better than everything still waiting.

use super::figure::Need;
use super::goal::{Goals, Score};
use super::search_space::SearchSpace;
use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

/// Candidates waiting.
#[derive(Debug)]
pub(super) struct Waiting {
    goals: Goals,
    needs: Vec<Need>,
    heap: BinaryHeap<Reverse<HeapEntry>>,
    /// The place in the sample decides between alike ones, not the change.
    evenly: bool,
}

#[derive(Debug)]
struct HeapEntry {
    score: Score,
    /// How many of the needs are known.
    known: usize,
    index: usize,
}

impl PartialEq for HeapEntry {
    fn eq(&self, other: &HeapEntry) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for HeapEntry {}
impl PartialOrd for HeapEntry {
    fn partial_cmp(&self, other: &HeapEntry) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for HeapEntry {
    fn cmp(&self, other: &HeapEntry) -> Ordering {
        self.score.order(&other.score).then(self.index.cmp(&other.index))
    }
}

impl Waiting {
    pub fn new(goals: Goals, evenly: bool) -> Waiting {
        let needs = goals.needs();
        Waiting { goals, needs, heap: BinaryHeap::new(), evenly }
    }

    /// Whether none waits.
    pub fn is_empty(&self) -> bool {
        self.heap.is_empty()
    }

    /// One more; not where it cannot be formed.
    pub fn add(&mut self, search_space: &SearchSpace, index: usize) {
        self.push(search_space, index, 1);
    }

    fn push(&mut self, search_space: &SearchSpace, index: usize, known: usize) {
        let candidate = &search_space.candidates[index];
        let Some(worked) = &candidate.worked else { return };
        let change = if self.evenly { 0.0 } else { candidate.change };
        let score = self.goals.score(worked, &search_space.context, self.needs[known - 1], change);
        self.heap.push(Reverse(HeapEntry { score, known, index }));
    }

    /// Asks the most promising one its next figure; the best of all, where all of it is known.
    /// `Err` where none waits.
    pub fn next(&mut self, search_space: &SearchSpace) -> Result<Option<(usize, Score)>, ()> {
        let Some(Reverse(HeapEntry { score, known, index })) = self.heap.pop() else {
            return Err(());
        };
        if known >= self.needs.len() {
            return Ok(Some((index, score)));
        }
        self.push(search_space, index, known + 1);
        Ok(None)
    }
}
