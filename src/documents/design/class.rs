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
#[cfg_attr(feature = "schema", schemars(transform = lengths))]
#[serde(deny_unknown_fields, default)]
pub struct ClassNotes {
    /// To winding.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub wind: String,
    /// To sawing.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub saw: String,
    /// To the ring: its soldering.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub ring: String,
    /// To the oval.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub oval: String,
    /// To the figure eight.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub eight: String,
    /// To the fold.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub fold: String,
    /// To the first opening.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub through: String,
    /// To the second opening.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub second: String,
    /// To the quarter turn.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub turn: String,
    /// To closing.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub close: String,
    /// To the chain.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub seated: String,
    /// To the chain in the hand.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub bend: String,
}

/// A text's path in the document, and where it is kept.
type NoteField = (&'static str, fn(&ClassNotes) -> &String, fn(&mut ClassNotes) -> &mut String);

fn field(step: Lesson) -> NoteField {
    macro_rules! note {
        ($name:ident) => {
            (concat!("class.", stringify!($name)), |notes| &notes.$name, |notes| &mut notes.$name)
        };
    }
    match step {
        Lesson::Wind => note!(wind),
        Lesson::Saw => note!(saw),
        Lesson::Solder => note!(ring),
        Lesson::Oval => note!(oval),
        Lesson::Eight => note!(eight),
        Lesson::Fold => note!(fold),
        Lesson::First => note!(through),
        Lesson::Second => note!(second),
        Lesson::Turn => note!(turn),
        Lesson::Close => note!(close),
        Lesson::Chain => note!(seated),
        Lesson::Bend => note!(bend),
    }
}

impl ClassNotes {
    /// The notes to a step.
    pub fn of(&self, step: Lesson) -> &str {
        (field(step).1)(self)
    }

    /// Writes the notes to a step; what is beyond [`MOST_NOTE`] letters falls away.
    pub fn write(&mut self, step: Lesson, words: &str) {
        *(field(step).2)(self) = words.chars().take(MOST_NOTE).collect();
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        Lesson::ALL.iter().all(|step| self.of(*step).is_empty())
    }

    pub(super) fn check(&self) -> Result<(), DesignError> {
        for step in Lesson::ALL {
            let letters = self.of(step).chars().count();
            counted(FieldPath::whole(field(step).0), "letters", letters, 0..=MOST_NOTE)?;
        }
        Ok(())
    }
}

/// Writes the greatest length into the schema of the notes.
#[cfg(feature = "schema")]
fn lengths(schema: &mut schemars::Schema) {
    let properties = schema.get_mut("properties").and_then(|all| all.as_object_mut());
    for text in properties.into_iter().flat_map(|all| all.values_mut()) {
        if let Some(text) = text.as_object_mut() {
            text.insert("maxLength".into(), MOST_NOTE.into());
        }
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
