//! The verdict on the whole design: every join counts, the worst decides and is named.

use super::model::Model;
use crate::answers::report::{JoinAnswer, JoinReport, pairs};

/// The answer in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    /// They join, with the clearance wanted.
    Yes,
    /// They join, with less.
    Just,
    /// It cannot be told.
    NotKnown,
    /// They do not join.
    No,
}

/// What it rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Nothing: an entry is not in the design.
    Nothing,
    /// Conditions that are needed and not enough.
    Estimated,
    /// The best way found.
    Searched,
    /// Proven.
    Proven,
}

/// The verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// In a word.
    pub word: Word,
    /// What it rests on.
    pub basis: Basis,
    /// In a sentence.
    pub message: String,
    /// The join that decides, as in the report.
    pub join: Option<usize>,
}

impl Word {
    /// As the stylesheet knows it.
    pub fn name(self) -> &'static str {
        match self {
            Word::Yes => "yes",
            Word::Just => "just",
            Word::NotKnown => "not-known",
            Word::No => "no",
        }
    }

    /// Of one join.
    pub fn of(join: &JoinReport) -> Word {
        match join.verdict {
            JoinAnswer::Passes if join.least_clearance_mm < join.margin_mm => Word::Just,
            JoinAnswer::Passes | JoinAnswer::LikelyPasses => Word::Yes,
            JoinAnswer::PassesIfSprung | JoinAnswer::Tight => Word::Just,
            JoinAnswer::Undecided => Word::NotKnown,
            JoinAnswer::DoesNotPass | JoinAnswer::LikelyDoesNotPass => Word::No,
        }
    }
}

impl Basis {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Basis::Nothing => "",
            Basis::Estimated => "estimated",
            Basis::Searched => "searched",
            Basis::Proven => "proven",
        }
    }

    fn of(join: &JoinReport) -> Basis {
        match join.basis.as_str() {
            "proof" => Basis::Proven,
            "search" => Basis::Searched,
            _ => Basis::Estimated,
        }
    }
}

/// What a join is called.
pub fn name_of(join: &JoinReport) -> String {
    if join.receiving == join.incoming {
        format!("{} through its own kind", join.incoming)
    } else {
        format!("{} through {}", join.incoming, join.receiving)
    }
}

/// Of the design as it stands in the fields.
pub fn verdict(model: &Model) -> Verdict {
    if let Some(entry) = model.entries.open.last() {
        let label = super::fields::find(&entry.place.key).map_or("A field", |field| field.label);
        let label = label.to_lowercase();
        let message = if entry.is_understood {
            format!("Not known: this {label} cannot be made.")
        } else {
            format!("Not known: {label} is not understood.")
        };
        return Verdict { word: Word::NotKnown, basis: Basis::Nothing, message, join: None };
    }
    let joins = &model.analysis.report.joins;
    // The worst; of alike ones the size looked at, then the one with least clearance.
    let rank = |(index, join): &(usize, &JoinReport)| {
        (Word::of(join), *index == model.analysis.size, -join.least_clearance_mm)
    };
    let worst = joins.iter().enumerate().max_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    });
    let Some((index, join)) = worst else {
        let message = "Not known: the design has no links.".into();
        return Verdict { word: Word::NotKnown, basis: Basis::Nothing, message, join: None };
    };
    let word = Word::of(join);
    // One join that fails settles it; that all hold is settled by the last of them.
    let settled = word == Word::No || (0..joins.len()).all(|index| !model.analysis.is_open(index));
    let basis = match Basis::of(join) {
        Basis::Proven if !settled => Basis::Estimated,
        basis => basis,
    };
    let message = if pairs(model.analysis.formings.len()).count() > 1 && word != Word::Yes {
        format!("{}: {}", name_of(join), join.message)
    } else {
        join.message.clone()
    };
    Verdict { word, basis, message, join: Some(index) }
}

/// How far the answer to a join has come, where it has not come to its end.
pub fn standing(model: &Model, index: usize) -> &'static str {
    if !model.entries.open.is_empty() {
        ""
    } else if model.analysis.unprovable {
        "This browser could not check it: the estimate stands."
    } else if model.analysis.is_open(index) {
        "Checking\u{2026}"
    } else {
        ""
    }
}
