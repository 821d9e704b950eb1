//! What was asked and what the core answered, last time it had an answer.

use super::drape_state::Hanging;
use super::map_state::Charted;
use super::tasks::{Answer, Planned, Proof, Task};
use super::tuning::Tuning;
use crate::answers::report::{
    JoinReport, MetalReport, PlayedPath, ProvenJoin, Report, SizeReport, pairs,
};

use crate::answers::build::BuildError;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::curve::Pose;
use crate::geometry::link::Forming;
use crate::render::{Joining, Pace};
use std::cell::OnceCell;

/// A design that can be worked, and the answer to it.
pub struct Analysis {
    /// The design.
    pub design: Design,
    /// Which of its sizes is looked at.
    pub size: usize,
    /// What the maker measures in.
    pub unit: LengthUnit,
    /// Every size worked through its steps.
    pub formings: Vec<Forming>,
    /// The answer; its sentences speak `unit`. A join's is by estimate until it is proven.
    pub report: Report,
    /// What is known beyond the estimate of each join.
    joins: Vec<Known>,
    /// Nothing can be proven here: the estimates stand.
    pub unprovable: bool,
    /// The map, where there is one.
    pub charted: Option<Charted>,
    /// The plan, once it has been asked for: first without, then with the hand's share.
    pub planned: Option<Planned>,
    /// What the tuner was asked and found.
    pub tuning: Tuning,
    /// The chain, once it has been asked for.
    pub hanging: Hanging,
    /// The metal section of each size, once it has been asked for.
    metals: Vec<OnceCell<Option<MetalReport>>>,
}

/// What is known of a join.
#[derive(Clone, Default)]
struct Known {
    /// Whether its report is the proven one.
    is_proven: bool,
    /// Its ways, the better first; none until they are found.
    paths: Vec<PlayedPath>,
    /// Where others lie already.
    before: Vec<Pose>,
    /// How a lesson goes through it; looked for once.
    pace: OnceCell<Pace>,
}

impl Analysis {
    /// Asks the core about `design`.
    ///
    /// # Errors
    /// [`BuildError`] where it cannot be worked.
    pub fn of(design: Design, size: usize, unit: LengthUnit) -> Result<Analysis, BuildError> {
        let formings = design.formings()?;
        let report = Report::at_once(&design, &formings, unit);
        let size = size.min(design.sizes.len().saturating_sub(1));
        let joins = vec![Known::default(); report.joins.len()];
        let (unprovable, charted) = (false, None);
        let metals = unasked(design.sizes.len());
        let hanging = Hanging::new();
        Ok(Analysis {
            design,
            size,
            unit,
            formings,
            report,
            joins,
            unprovable,
            charted,
            planned: None,
            tuning: Tuning::default(),
            hanging,
            metals,
        })
    }

    /// The same in another unit; proofs must be put into words anew.
    pub fn speak(&mut self, unit: LengthUnit) {
        self.unit = unit;
        self.hanging = Hanging::new();
        self.planned = None;
        self.report = Report::at_once(&self.design, &self.formings, unit);
        self.joins.iter_mut().for_each(|join| join.is_proven = false);
        self.metals = unasked(self.design.sizes.len());
    }

    /// The metal section of the size looked at; asked for once.
    pub fn metal(&self) -> Option<&MetalReport> {
        let ask = || MetalReport::of(&self.design, self.size, self.unit).ok();
        self.metals.get(self.size)?.get_or_init(ask).as_ref()
    }

    /// The steps of the size looked at.
    pub fn forming(&self) -> Option<&Forming> {
        self.formings.get(self.size)
    }

    /// The size looked at.
    pub fn size_report(&self) -> Option<&SizeReport> {
        self.report.sizes.get(self.size)
    }

    /// The size looked at, joined to its own kind.
    pub fn join_report(&self) -> Option<&JoinReport> {
        self.report.joins.get(self.size)
    }

    /// Whether a join still has to be proven.
    pub fn is_open(&self, index: usize) -> bool {
        !self.unprovable && self.joins.get(index).is_some_and(|join| !join.is_proven)
    }

    /// The task of proving a join.
    pub fn task(&self, index: usize) -> Task {
        Task::Prove(Proof { design: self.design.clone(), index, unit: self.unit })
    }

    /// Takes what was proven of a join.
    pub fn take_proof(&mut self, index: usize, proven: ProvenJoin) {
        if let (Some(report), Some(join)) =
            (self.report.joins.get_mut(index), self.joins.get_mut(index))
        {
            let ProvenJoin { report: proven, paths, before } = proven;
            *report = proven;
            *join = Known { is_proven: true, paths, before, pace: OnceCell::new() };
        }
        if let Some(planned) = &mut self.planned {
            planned.report.judge(&self.report.joins, self.unit);
        }
    }

    /// Takes what was found for the search.
    pub fn take_found(&mut self, answer: Answer) {
        let Analysis { design, size, tuning, .. } = self;
        match answer {
            Answer::Figures(figures) => tuning.now = Some((design.clone(), *size, figures)),
            // What was there before is shown until there is something new.
            Answer::Tuned(Ok(found))
                if !found.answers.is_empty() || found.progress.done || tuning.found.is_none() =>
            {
                (tuning.found, tuning.stale) = (Some(*found), false);
            }
            Answer::Tuned(Err(words)) => (tuning.fault, tuning.stopped) = (Some(words), true),
            Answer::Moves(moves) => tuning.moves.push(moves),
            _ => {}
        }
    }

    /// What is still to be asked of the plan, if anything.
    pub fn plan_task(&self, bench: &Bench) -> Option<Task> {
        let with_hand = match &self.planned {
            None => false,
            Some(planned) if planned.report.laid.as_ref().is_some_and(|l| l.failing.is_none()) => {
                true
            }
            Some(_) => return None,
        };
        let (design, joins) = (self.design.clone(), self.report.joins.clone());
        Some(Task::Plan { design, joins, bench: bench.clone(), with_hand, unit: self.unit })
    }

    /// A join to be played, by the order of work chosen.
    pub fn joining(&self, index: usize, path: usize) -> Option<Joining<'_>> {
        let (a, b) = pairs(self.formings.len()).nth(index)?;
        let Known { paths, before, .. } = self.joins.get(index)?;
        let path = paths.get(path).or(paths.first());
        let (receiving, incoming) = (self.formings.get(a)?, self.formings.get(b)?);
        Some(Joining { receiving, incoming, before, path })
    }

    /// How a lesson goes through the join of the size looked at, by the better way.
    pub fn pace(&self) -> Option<Pace> {
        let joining = self.joining(self.size, 0)?;
        Some(*self.joins.get(self.size)?.pace.get_or_init(|| Pace::of(&joining)))
    }

    /// A length as callipers show it.
    pub fn length(&self, mm: f64) -> String {
        length_text(mm, self.unit)
    }
}

fn unasked(sizes: usize) -> Vec<OnceCell<Option<MetalReport>>> {
    (0..sizes).map(|_| OnceCell::new()).collect()
}
