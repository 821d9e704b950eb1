//! What a teacher adds to the steps of the work.

use super::error::{DesignError, FieldPath, counted};
use serde::{Deserialize, Serialize};

/// A step of the work as it is taught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lesson {
    /// Wound on the mandrel.
    Wind,
    /// Sawn into rings.
    Saw,
    /// A ring soldered shut.
    Solder,
    /// Stretched.
    Oval,
    /// Pinched.
    Eight,
    /// Folded.
    Fold,
    /// The next loop's tip goes through the first opening.
    First,
    /// Its widest place goes through the second.
    Second,
    /// At its waist it turns back.
    Turn,
    /// Its ends are bent up and its tips shut.
    Close,
    /// Link by link to a chain of five.
    Chain,
    /// That chain drawn straight, and bent.
    Bend,
}

impl Lesson {
    /// Every step, in the order of the work.
    pub const ALL: [Lesson; 12] = [
        Lesson::Wind,
        Lesson::Saw,
        Lesson::Solder,
        Lesson::Oval,
        Lesson::Eight,
        Lesson::Fold,
        Lesson::First,
        Lesson::Second,
        Lesson::Turn,
        Lesson::Close,
        Lesson::Chain,
        Lesson::Bend,
    ];

    /// Its name in a word or two.
    pub fn name(self) -> &'static str {
        match self {
            Lesson::Wind => "Wind",
            Lesson::Saw => "Saw",
            Lesson::Solder => "Solder",
            Lesson::Oval => "Oval",
            Lesson::Eight => "Figure eight",
            Lesson::Fold => "Fold",
            Lesson::First => "First opening",
            Lesson::Second => "Second opening",
            Lesson::Turn => "Quarter turn",
            Lesson::Close => "Close",
            Lesson::Chain => "Chain of five",
            Lesson::Bend => "In the hand",
        }
    }
}

/// Letters in the notes to one step.
pub const MOST_NOTE: usize = 600;

/// A teacher's notes, a text to each step.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct ClassNotes {
    /// To winding.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub wind: String,
    /// To sawing.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub saw: String,
    /// To the ring: its soldering.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub ring: String,
    /// To the oval.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub oval: String,
    /// To the figure eight.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub eight: String,
    /// To the fold.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub fold: String,
    /// To the first opening.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub through: String,
    /// To the second opening.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub second: String,
    /// To the quarter turn.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub turn: String,
    /// To closing.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub close: String,
    /// To the chain.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub seated: String,
    /// To the chain in the hand.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub bend: String,
}

impl ClassNotes {
    /// The notes to a step.
    pub fn of(&self, step: Lesson) -> &str {
        match step {
            Lesson::Wind => &self.wind,
            Lesson::Saw => &self.saw,
            Lesson::Solder => &self.ring,
            Lesson::Oval => &self.oval,
            Lesson::Eight => &self.eight,
            Lesson::Fold => &self.fold,
            Lesson::First => &self.through,
            Lesson::Second => &self.second,
            Lesson::Turn => &self.turn,
            Lesson::Close => &self.close,
            Lesson::Chain => &self.seated,
            Lesson::Bend => &self.bend,
        }
    }

    /// Writes the notes to a step; what is beyond [`MOST_NOTE`] letters falls away.
    pub fn write(&mut self, step: Lesson, words: &str) {
        let notes = match step {
            Lesson::Wind => &mut self.wind,
            Lesson::Saw => &mut self.saw,
            Lesson::Solder => &mut self.ring,
            Lesson::Oval => &mut self.oval,
            Lesson::Eight => &mut self.eight,
            Lesson::Fold => &mut self.fold,
            Lesson::First => &mut self.through,
            Lesson::Second => &mut self.second,
            Lesson::Turn => &mut self.turn,
            Lesson::Close => &mut self.close,
            Lesson::Chain => &mut self.seated,
            Lesson::Bend => &mut self.bend,
        };
        *notes = words.chars().take(MOST_NOTE).collect();
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        Lesson::ALL.iter().all(|step| self.of(*step).is_empty())
    }

    pub(super) fn check(&self) -> Result<(), DesignError> {
        let fields = [
            "class.wind",
            "class.saw",
            "class.ring",
            "class.oval",
            "class.eight",
            "class.fold",
            "class.through",
            "class.second",
            "class.turn",
            "class.close",
            "class.seated",
            "class.bend",
        ];
        for (field, step) in fields.into_iter().zip(Lesson::ALL) {
            let letters = self.of(step).chars().count();
            counted(FieldPath::whole(field), "letters", letters, 0..=MOST_NOTE)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    #[test]
    fn notes_go_with_the_document_and_old_documents_have_none() {
        let mut design = Design::plain(0.9, 12.0);
        assert!(design.class.is_empty() && !design.to_json().contains("class"));
        for step in Lesson::ALL {
            design
                .class
                .write(step, &format!("{}: slowly \u{1f525} \"and\" <softly>", step.name()));
        }
        let read = Design::parse(&design.to_json()).unwrap();
        assert_eq!(read, design);
        assert!(read.class.of(Lesson::Fold).starts_with("Fold: slowly"));
    }

    #[test]
    fn notes_that_are_none_are_refused_by_name() {
        let design = Design::plain(0.9, 12.0).to_json();
        let long = "\u{e9}".repeat(MOST_NOTE + 1);
        for (class, field) in [
            (format!("{{\"through\": \"{long}\"}}"), "class.through"),
            ("{\"ring\": 7}".into(), "class.ring"),
            ("{\"melt\": \"\"}".into(), "class.melt"),
            ("[]".into(), "class"),
            ("null".into(), "class"),
        ] {
            let text = design.replacen('{', &format!("{{\"class\": {class},"), 1);
            let error = Design::parse(&text).unwrap_err();
            assert_eq!(error.field(), field, "{error}");
        }
        let mut notes = ClassNotes::default();
        notes.write(Lesson::Wind, &long);
        assert_eq!(notes.wind.chars().count(), MOST_NOTE);
    }
}
