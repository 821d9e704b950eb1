//! What stands as an answer: candidates known whole, and what the report says of the best of them.

use super::Figure;
use super::answer::{DesignAnswer, checked};
use super::goal::{Goals, Score};
use super::search::WishSearch;
use super::search_space::distance;
use crate::math::sort::sort_by;

/// Answers told.
pub(super) const ANSWERS: usize = 4;
/// Candidates asked about at most, where proofs let them down.
const MOST: usize = 6 * ANSWERS;
/// A miss of this share of the tolerance is none.
const EXACT: f64 = 0.2;
/// Answers nearer than this share of every range are one.
const APART: f64 = 0.03;

/// Candidates known whole, and answers.
#[derive(Debug)]
pub(super) struct Ranking {
    finals: Vec<(usize, Score)>,
    answers: Vec<(usize, DesignAnswer)>,
    /// Figures told beside those wished for.
    also: Vec<Figure>,
    /// So many of the best are asked about.
    wanted: usize,
}

/// What is to be done next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Next {
    /// To ask again.
    Ask,
    /// To look for more choices from the lists: proofs let down those there are.
    Look,
    Done,
}

impl Ranking {
    pub fn new(also: Vec<Figure>) -> Ranking {
        Ranking { finals: Vec::new(), answers: Vec::new(), also, wanted: ANSWERS }
    }

    pub fn add(&mut self, index: usize, score: Score) {
        self.finals.push((index, score));
    }

    /// The best, apart from one another; they stand no more.
    pub fn take_best(&mut self, search: &WishSearch) -> Vec<usize> {
        sort_by(&mut self.finals, |a, b| a.1.order(&b.1).then(a.0.cmp(&b.0)));
        let chosen = self.chosen(search, false);
        self.finals.clear();
        chosen
    }

    pub fn count(&self) -> usize {
        self.finals.len()
    }

    pub fn answers(&self) -> Vec<DesignAnswer> {
        self.answers.iter().map(|(_, answer)| answer.clone()).collect()
    }

    pub fn has_answers(&self) -> bool {
        !self.answers.is_empty()
    }

    pub fn also(&self) -> &[Figure] {
        &self.also
    }

    pub fn wanted(&self) -> usize {
        self.wanted
    }

    pub fn best(&self) -> Option<(usize, Score)> {
        self.finals.iter().min_by(|a, b| a.1.order(&b.1)).copied()
    }

    /// Whether all wishes are met by some candidate.
    pub fn meets(&self) -> bool {
        self.finals.iter().any(|(_, score)| score.meets())
    }

    /// Whether just what is wished was found.
    pub fn is_exact(&self, goals: &Goals) -> bool {
        goals.aim.is_none() && self.finals.iter().any(|(_, score)| score.worst <= EXACT)
    }

    /// Asks the report about a candidate; whether it knows it.
    pub fn ask(&mut self, search: &WishSearch, index: usize) -> bool {
        let answer = checked(&search.search_space, &search.goals, &self.also, index);
        let known = answer.is_some();
        self.answers.extend(answer.map(|answer| (index, answer)));
        known
    }

    /// Asks about the best that was not asked about, or puts the answers in their order.
    pub fn check(&mut self, search: &WishSearch, listed: bool) -> Next {
        sort_by(&mut self.finals, |a, b| a.1.order(&b.1).then(a.0.cmp(&b.0)));
        let chosen = self.chosen(search, listed);
        let asked = |index: &usize| self.answers.iter().any(|(known, _)| known == index);
        if let Some(index) = chosen.iter().copied().find(|index| !asked(index)) {
            if !self.ask(search, index) {
                self.finals.retain(|(known, _)| *known != index);
            }
            return Next::Ask;
        }
        // What was to join by search and does not by proof comes last.
        let let_down =
            |(index, answer): &(usize, DesignAnswer)| search.score(*index).meets() && !answer.joins;
        self.answers.retain(|(index, _)| chosen.contains(index));
        if self.answers.iter().all(let_down) && self.meets() && self.wanted < MOST {
            let further = chosen.len() < self.finals.len();
            if further || listed {
                self.wanted += ANSWERS;
                return if further { Next::Ask } else { Next::Look };
            }
        }
        let place = |index: usize| chosen.iter().position(|known| *known == index);
        let rank = |answer: &(usize, DesignAnswer)| (let_down(answer), place(answer.0));
        sort_by(&mut self.answers, |a, b| rank(a).cmp(&rank(b)));
        self.answers.truncate(ANSWERS);
        Next::Done
    }

    /// The best, apart from one another.
    fn chosen(&self, search: &WishSearch, listed: bool) -> Vec<usize> {
        let candidates = &search.search_space.candidates;
        let mut chosen: Vec<usize> = Vec::new();
        for (index, _) in &self.finals {
            let at = &candidates[*index].at;
            let apart = |other: &usize| {
                *other != *index && (listed || distance(at, &candidates[*other].at) > APART)
            };
            if chosen.len() < self.wanted && chosen.iter().all(apart) {
                chosen.push(*index);
            }
        }
        chosen
    }
}
