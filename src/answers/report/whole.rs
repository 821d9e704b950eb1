//! The answer to a whole design: every join counts, the worst decides and is named.

use super::{JoinAnswer, JoinReport};
use serde::Serialize;

/// The answer in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DesignVerdict {
    /// They join, with the clearance wanted.
    Yes,
    /// They join, with less.
    Just,
    /// It cannot be told.
    NotKnown,
    /// They do not join.
    No,
}

impl DesignVerdict {
    /// As it is written in a report and in the stylesheet.
    pub fn name(self) -> &'static str {
        match self {
            DesignVerdict::Yes => "yes",
            DesignVerdict::Just => "just",
            DesignVerdict::NotKnown => "not-known",
            DesignVerdict::No => "no",
        }
    }

    /// Of one join.
    pub fn of(join: &JoinReport) -> DesignVerdict {
        match join.verdict {
            JoinAnswer::Passes if join.least_clearance_mm < join.margin_mm => DesignVerdict::Just,
            JoinAnswer::Passes | JoinAnswer::LikelyPasses => DesignVerdict::Yes,
            JoinAnswer::PassesIfSprung | JoinAnswer::Tight => DesignVerdict::Just,
            JoinAnswer::Undecided => DesignVerdict::NotKnown,
            JoinAnswer::DoesNotPass | JoinAnswer::LikelyDoesNotPass => DesignVerdict::No,
        }
    }
}

impl JoinReport {
    /// What the join is called.
    pub fn name(&self) -> String {
        if self.receiving == self.incoming {
            format!("{} through its own kind", self.incoming)
        } else {
            format!("{} through {}", self.incoming, self.receiving)
        }
    }

    /// What the answer rests on, in a word.
    pub fn basis_words(&self) -> &'static str {
        match self.basis.as_str() {
            "proof" => "proven",
            "search" => "searched, not proven",
            _ => "estimated",
        }
    }
}

/// The answer to a whole design.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WholeAnswer {
    /// In a word.
    pub verdict: DesignVerdict,
    /// What it rests on.
    pub basis: &'static str,
    /// In a sentence; where there are several joins and not all is well it names the one that
    /// decides.
    pub message: String,
    /// The join that decides, its place in the report.
    pub join: usize,
}

impl WholeAnswer {
    /// Of these joins, in the order of a report; of alike ones that of the size looked at decides,
    /// then the one with least clearance. None where there are none.
    pub fn of(joins: &[JoinReport], looked_at: usize) -> Option<WholeAnswer> {
        let worst = joins.iter().enumerate().max_by(|(a, one), (b, other)| {
            let rank =
                |index: usize, join: &JoinReport| (DesignVerdict::of(join), index == looked_at);
            let by_clearance = other.least_clearance_mm.total_cmp(&one.least_clearance_mm);
            rank(*a, one).cmp(&rank(*b, other)).then(by_clearance)
        });
        let (index, join) = worst?;
        let verdict = DesignVerdict::of(join);
        let message = if joins.len() > 1 && verdict != DesignVerdict::Yes {
            format!("{}: {}", join.name(), join.message)
        } else {
            join.message.clone()
        };
        Some(WholeAnswer { verdict, basis: join.basis_words(), message, join: index })
    }

    /// For the first line of a paper: the sentence and what it rests on.
    pub fn line(&self) -> String {
        if self.basis == "estimated" {
            self.message.clone()
        } else {
            format!("{} ({})", self.message.trim_end_matches('.'), self.basis) + "."
        }
    }
}
