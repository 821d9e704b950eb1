//! The verdict on the whole design: every join counts, the worst decides and is named.

use super::model::Model;
use crate::answers::report::{DesignVerdict, JoinReport, WholeAnswer};

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
pub struct ShownVerdict {
    /// In a word.
    pub word: DesignVerdict,
    /// What it rests on.
    pub basis: Basis,
    /// In a sentence.
    pub message: String,
    /// The join that decides, as in the report.
    pub join: Option<usize>,
}

impl Basis {
    /// In a word.
    pub fn words(self) -> &'static str {
        match self {
            Basis::Nothing => "",
            Basis::Estimated => "estimated",
            Basis::Searched => "searched, not proven",
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

/// Of the design as it stands in the fields.
pub fn verdict(model: &Model) -> ShownVerdict {
    if let Some(entry) = model.entries.open.last() {
        let label = super::fields::find(&entry.place.key).map_or("A field", |field| field.label);
        let label = label.to_lowercase();
        let message = if entry.is_understood {
            format!("Not known: this {label} cannot be made.")
        } else {
            format!("Not known: {label} is not understood.")
        };
        return ShownVerdict {
            word: DesignVerdict::NotKnown,
            basis: Basis::Nothing,
            message,
            join: None,
        };
    }
    let joins = &model.analysis.report.joins;
    let Some(whole) = WholeAnswer::of(joins, model.analysis.size) else {
        let message = "Not known: the design has no links.".into();
        return ShownVerdict {
            word: DesignVerdict::NotKnown,
            basis: Basis::Nothing,
            message,
            join: None,
        };
    };
    let WholeAnswer { verdict: word, message, join: index, .. } = whole;
    // One join that fails settles it; that all hold is settled by the last of them.
    let settled =
        word == DesignVerdict::No || (0..joins.len()).all(|index| !model.analysis.is_open(index));
    let basis = match Basis::of(&joins[index]) {
        Basis::Proven if !settled => Basis::Estimated,
        basis => basis,
    };
    ShownVerdict { word, basis, message, join: Some(index) }
}

/// The verdict for a paper: on the last design that could be made, which is what stands on it.
pub fn paper_verdict(model: &Model) -> String {
    let whole = WholeAnswer::of(&model.analysis.report.joins, model.analysis.size);
    let mut words = whole.map_or_else(String::new, |whole| whole.line());
    if (0..model.analysis.report.joins.len()).any(|index| model.analysis.is_open(index)) {
        words += " Still being checked.";
    }
    if model.is_at_fault() {
        words = format!("The last design that could be made, not what is typed. {words}");
    }
    words
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
