//! What a teacher adds to the steps of the work.

use super::error::{DesignError, FieldPath, counted};
use serde::{Deserialize, Serialize};

/// A step of the work as it is taught.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lesson {
    /// Wound, sawn, soldered.
    Ring,
    /// Stretched.
    Oval,
    /// Pinched.
    Eight,
    /// Folded.
    Fold,
    /// One loop through the other.
    Through,
    /// Lying in the chain.
    Seated,
}

impl Lesson {
    /// Every step, in the order of the work.
    pub const ALL: [Lesson; 6] =
        [Lesson::Ring, Lesson::Oval, Lesson::Eight, Lesson::Fold, Lesson::Through, Lesson::Seated];

    /// Its name in a word or two.
    pub fn name(self) -> &'static str {
        match self {
            Lesson::Ring => "Ring",
            Lesson::Oval => "Oval",
            Lesson::Eight => "Figure eight",
            Lesson::Fold => "Fold",
            Lesson::Through => "Joining",
            Lesson::Seated => "In place",
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
    /// To the ring.
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
    /// To the way through.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub through: String,
    /// To the link seated.
    #[serde(skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 600)))]
    pub seated: String,
}

impl ClassNotes {
    /// The notes to a step.
    pub fn of(&self, step: Lesson) -> &str {
        match step {
            Lesson::Ring => &self.ring,
            Lesson::Oval => &self.oval,
            Lesson::Eight => &self.eight,
            Lesson::Fold => &self.fold,
            Lesson::Through => &self.through,
            Lesson::Seated => &self.seated,
        }
    }

    /// Writes the notes to a step; what is beyond [`MOST_NOTE`] letters falls away.
    pub fn write(&mut self, step: Lesson, words: &str) {
        let notes = match step {
            Lesson::Ring => &mut self.ring,
            Lesson::Oval => &mut self.oval,
            Lesson::Eight => &mut self.eight,
            Lesson::Fold => &mut self.fold,
            Lesson::Through => &mut self.through,
            Lesson::Seated => &mut self.seated,
        };
        *notes = words.chars().take(MOST_NOTE).collect();
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        Lesson::ALL.iter().all(|step| self.of(*step).is_empty())
    }

    pub(super) fn check(&self) -> Result<(), DesignError> {
        let fields = [
            "class.ring",
            "class.oval",
            "class.eight",
            "class.fold",
            "class.through",
            "class.seated",
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
        notes.write(Lesson::Ring, &long);
        assert_eq!(notes.ring.chars().count(), MOST_NOTE);
    }
}
