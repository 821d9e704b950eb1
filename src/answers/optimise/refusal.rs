//! Cannot be had: which wishes stand in the way, and what can be had instead.
//!
//! At the best design found, the wishes that are missed or just kept press on one another. Each is
//! released in turn: where all others can then be had, it is one that binds, and it is brought as
//! near to what was wished as the others allow. Where releasing one is not enough, each is
//! brought as near as it comes by itself: those that are not met even so bind.
//! Limits: as far as the search sees.

use super::Figure;
use super::goal::{Goal, Goals, Sense};
use super::lists::Waiting;
use super::search::{FigurePush, WishSearch};
use crate::documents::units::length_text;
use crate::math::sort::sort_by_number;
use serde::{Deserialize, Serialize};

/// Why not all wishes can be had.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Refusal {
    /// In a sentence.
    pub message: String,
    /// The wishes that bind: each is the only one to be released; or, where no one is, those that
    /// cannot be met even by themselves.
    pub binding: Vec<Relaxed>,
    /// Free dimensions that stand at an end of their range or list in the best design.
    pub ends: Vec<Ended>,
}

impl Refusal {
    /// What meets the wishes lies between what may be offered.
    pub(super) fn between() -> Refusal {
        let message = "Only sizes between those that can be bought or set would do all of this; these come nearest.";
        Refusal { message: message.into(), binding: Vec::new(), ends: Vec::new() }
    }
}

/// A wish released.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Relaxed {
    /// Of which figure.
    pub figure: Figure,
    /// What was wished.
    pub wanted: f64,
    /// The nearest that can be had: all else as wished, or nothing else wished.
    pub nearest: f64,
    /// In words.
    pub message: String,
}

/// A dimension at an end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ended {
    /// Name of the dimension.
    pub dimension: super::Dimension,
    /// Where it stands, mm.
    pub mm: f64,
    /// At its greatest, else its least.
    pub greatest: bool,
}

/// A wish presses from this miss on.
const PRESSES: f64 = 0.7;
/// So many are released in turn.
const MOST: usize = 5;
/// Places looked at to let one go.
const EVALUATIONS: usize = 90;
/// Candidates of lists asked for one.
const ASKED: usize = 4000;
/// At an end to this share of the range.
const END: f64 = 1e-4;

/// Letting wishes go, one after the other.
#[derive(Debug)]
pub(super) struct Refusing {
    best: usize,
    pressing: Vec<Goal>,
    /// To be tried by themselves, where releasing one was not enough.
    alone: Vec<Goal>,
    by_itself: bool,
    found: Vec<Relaxed>,
}

impl Refusing {
    pub fn new(search: &WishSearch, best: usize) -> Refusing {
        let mut missed: Vec<(f64, Goal)> = Vec::new();
        if let Some(worked) = &search.search_space.candidates[best].worked {
            for goal in &search.goals.all {
                let miss = search.goals.miss(goal, worked, &search.search_space.context, true);
                if miss >= PRESSES {
                    missed.push((miss, *goal));
                }
            }
        }
        sort_by_number(&mut missed, |(miss, _)| -miss);
        missed.truncate(MOST);
        missed.reverse();
        let pressing: Vec<Goal> = missed.into_iter().map(|(_, goal)| goal).collect();
        // The clearance that the design asks for itself stands behind every wish.
        let alone = pressing.iter().filter(|goal| goal.origin.wish().is_some()).copied().collect();
        Refusing { best, pressing, alone, by_itself: false, found: Vec::new() }
    }

    /// Lets the next one go, or tries it by itself; the whole refusal once all are.
    pub fn act(&mut self, search: &mut WishSearch) -> Option<Refusal> {
        if self.pressing.is_empty() && self.found.is_empty() && !self.by_itself {
            self.pressing = std::mem::take(&mut self.alone);
            self.by_itself = true;
        }
        let Some(goal) = self.pressing.pop() else { return Some(self.refusal(search)) };
        let by_itself = self.by_itself;
        let held = |other: &&Goal| **other != goal && !(by_itself && other.origin.wish().is_some());
        let others = search.goals.all.iter().filter(held).copied().collect();
        let relaxed = Goals { all: others, aim: None, ..search.goals.clone() };
        let whole = std::mem::replace(&mut search.goals, relaxed);
        let found = nearest(search, self.best, &goal);
        search.goals = whole;
        let value = found.and_then(|index| {
            let worked = search.search_space.candidates[index].worked.as_ref()?;
            worked.figure(goal.figure, &search.search_space.context)
        });
        if let Some(nearest) = value.filter(|value| !by_itself || goal.miss(*value) > 1.0) {
            let how = if by_itself { "at best, by itself" } else { "with all else as wished" };
            let message = format!(
                "{} ({} wished) comes to {} {how}",
                goal.figure.words(),
                goal.wanted(search.goals.unit),
                goal.figure.text(nearest, search.goals.unit)
            );
            self.found.push(Relaxed { figure: goal.figure, wanted: goal.value, nearest, message });
        }
        None
    }

    fn refusal(&mut self, search: &WishSearch) -> Refusal {
        let search_space = &search.search_space;
        let at = &search_space.candidates[self.best].at;
        let ended = search_space
            .variables
            .iter()
            .zip(at)
            .filter(|(variable, _)| variable.listed.len() != 1);
        let ends: Vec<Ended> = ended
            .filter(|(_, share)| **share <= END || **share >= 1.0 - END)
            .map(|(variable, share)| Ended {
                dimension: variable.dimension,
                mm: variable
                    .offered_round(variable.at(*share))
                    .first()
                    .copied()
                    .unwrap_or_default(),
                greatest: *share > 0.5,
            })
            .collect();
        let binding = std::mem::take(&mut self.found);
        let mut message = if binding.is_empty() {
            "Not all of this was found together, and letting go of no one wish alone is enough."
                .to_string()
        } else {
            let each: Vec<&str> = binding.iter().map(|relaxed| relaxed.message.as_str()).collect();
            let link = if self.by_itself { "; and " } else { "; or " };
            format!("Not all of this was found together: {}.", each.join(link))
        };
        for Ended { dimension, mm, greatest } in &ends {
            let end = if *greatest { "greatest" } else { "least" };
            let mm = length_text(*mm, search.goals.unit);
            message += &format!(" The {} stands at its {end}, {mm}.", dimension.words());
        }
        Refusal { message, binding, ends }
    }
}

/// The candidate nearest to `goal` of those that meet all goals; none where none does.
fn nearest(search: &mut WishSearch, best: usize, goal: &Goal) -> Option<usize> {
    let value = |search: &WishSearch, index: usize| {
        let worked = search.search_space.candidates[index].worked.as_ref()?;
        worked.figure(goal.figure, &search.search_space.context)
    };
    if search.search_space.choices().is_some() {
        let path = match goal.sense {
            Sense::AtLeast => 1.0,
            Sense::AtMost => -1.0,
            Sense::Near => 0.0,
        };
        if path != 0.0 {
            search.goals.aim = Some((goal.figure, path));
        }
        let mut waiting = Waiting::new(search.goals.clone(), false);
        (0..search.search_space.candidates.len())
            .for_each(|i| waiting.add(&search.search_space, i));
        let mut nearest: Option<(usize, f64)> = None;
        for _ in 0..ASKED {
            match waiting.next(&search.search_space) {
                Ok(None) => {}
                Ok(Some((index, score))) if score.meets() => {
                    let off = (value(search, index)? - goal.value).abs();
                    if nearest.is_none_or(|(_, least)| off < least) {
                        nearest = Some((index, off));
                    }
                    if path != 0.0 {
                        break;
                    }
                }
                _ => break,
            }
        }
        return nearest.map(|(index, _)| index);
    }
    let start = search.search_space.candidates[best].at.clone();
    let met = search.fitted(&start, EVALUATIONS);
    if !search.score(met).meets() {
        return None;
    }
    let path = match goal.sense {
        Sense::AtLeast => 1.0,
        Sense::AtMost => -1.0,
        Sense::Near => (goal.value - value(search, met)?).signum(),
    };
    let figure = goal.figure;
    let push = FigurePush { figure, path, evaluations: EVALUATIONS, worth: 0.0, tries: true };
    let pushed = search.pushed(met, push);
    // Past the value wished is nearer than it seems: the goal itself is then within reach.
    Some(pushed)
}
