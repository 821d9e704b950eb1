//! What is typed in the design's fields: the text stays as it was typed; what it says goes into
//! the design once it is understood and such a link can be made.
//!
//! An entry that is not in the design is open: not understood, or impossible together with the
//! rest. It stays open, with its text, until it is typed anew, undone, or another entry makes it
//! possible.

use super::fields::{self, Field, Value};
use crate::answers::build::BuildError;
use crate::documents::design::Design;
use crate::documents::units::{LengthUnit, names_unit};
use std::collections::{BTreeMap, VecDeque};

/// Texts remembered of a field, so that one that comes back by undo is shown as it was typed.
const REMEMBERED: usize = 8;

/// Which field: of one size, or of the whole design.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The size; none for a field of the whole design.
    pub size: Option<usize>,
    /// The field's path.
    pub key: String,
}

/// Another way to mean what is typed, tried and found possible.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meaning {
    /// As it would be typed.
    pub text: String,
    /// In words: "18 gauge? That is 1.02 mm."
    pub words: String,
}

/// An entry that is not in the design.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Where it was typed.
    pub place: Place,
    /// What was typed.
    pub text: String,
    /// What is wrong with it.
    pub fault: String,
    /// Whether it is understood, and impossible.
    pub is_understood: bool,
    /// What else it may mean.
    pub meanings: Vec<Meaning>,
}

/// What is typed in the design's fields.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Entries {
    /// Those not in the design, the one typed last at the end.
    pub open: Vec<Entry>,
    remembered: BTreeMap<Place, VecDeque<String>>,
}

impl Place {
    /// Of a field, with this size looked at.
    pub fn of(field: &Field, size: usize) -> Place {
        Place { size: field.is_of_size().then_some(size), key: field.key.clone() }
    }
}

impl Entries {
    /// The open entry of a field.
    pub fn at(&self, place: &Place) -> Option<&Entry> {
        self.open.iter().find(|entry| entry.place == *place)
    }

    /// What a field shows: what was typed there, as it was typed.
    pub fn text(&self, field: &Field, design: &Design, size: usize, unit: LengthUnit) -> String {
        let place = Place::of(field, size);
        if let Some(entry) = self.at(&place) {
            return entry.text.clone();
        }
        let Some(value) = field.value(design, size) else { return String::new() };
        let typed = self.remembered.get(&place).into_iter().flatten();
        // Left empty, a field may hold what is usual.
        let means_it = |text: &&String| {
            field.read(text, unit).is_ok_and(|read| {
                let mut with = design.clone();
                field.put(&mut with, size, &read);
                field.value(&with, size).as_ref() == Some(&value)
            })
        };
        let same = typed.rev().find(means_it);
        same.cloned().unwrap_or_else(|| field.text(&value, unit))
    }

    /// Takes what is typed in a field, and what of all open entries can be taken into `design`.
    pub fn type_in(
        &mut self,
        design: &Design,
        (size, field): (usize, &Field),
        text: &str,
        unit: LengthUnit,
    ) -> Design {
        let place = Place::of(field, size);
        let as_shown = self.at(&place).is_none() && self.text(field, design, size, unit) == text;
        // Untouched, a length stays as the document has it: what is shown is rounded.
        if as_shown {
            return design.clone();
        }
        self.open.retain(|entry| entry.place != place);
        self.open.push(Entry {
            place,
            text: text.into(),
            fault: String::new(),
            is_understood: false,
            meanings: Vec::new(),
        });
        self.settle(design, size, unit)
    }

    /// The design with every open entry that can be taken into it; the others say why not.
    pub fn settle(&mut self, design: &Design, size: usize, unit: LengthUnit) -> Design {
        let mut read: Vec<(Entry, Option<(Field, Value)>)> = Vec::new();
        for mut entry in std::mem::take(&mut self.open) {
            let Some(field) = fields::find(&entry.place.key) else { continue };
            let value = match field.read(&entry.text, unit) {
                Ok(value) => Some((field, value)),
                Err(words) => {
                    (entry.fault, entry.is_understood) = (words, false);
                    None
                }
            };
            read.push((entry, value));
        }
        let put = |design: &Design, entry: &Entry, (field, value): &(Field, Value)| {
            let mut with = design.clone();
            field.put(&mut with, entry.place.size.unwrap_or(size), value);
            with
        };
        // All together, since one may make another possible; else one after the other.
        let mut all = design.clone();
        for (entry, value) in &read {
            if let Some(value) = value {
                all = put(&all, entry, value);
            }
        }
        let works = all.formings().is_ok();
        let mut taken = if works { all } else { design.clone() };
        for (mut entry, value) in read {
            if let Some(value) = value {
                let with = put(&taken, &entry, &value);
                let fault = if works { None } else { with.formings().err() };
                let Some(error) = fault else {
                    taken = with;
                    self.remember(entry.place, entry.text);
                    continue;
                };
                entry.is_understood = true;
                entry.fault = impossible(&with, (&entry, &value.0), size, &error, unit);
            }
            self.open.push(entry);
        }
        for index in 0..self.open.len() {
            let meanings = possible_meanings(&self.open[index], &taken, size, unit);
            self.open[index].meanings = meanings;
        }
        taken
    }

    /// Drops the open entries.
    pub fn clear_open(&mut self) -> Vec<Entry> {
        std::mem::take(&mut self.open)
    }

    /// Keeps a text to be shown as it was typed.
    pub fn remember(&mut self, place: Place, text: String) {
        let texts = self.remembered.entry(place).or_default();
        texts.retain(|known| *known != text);
        texts.push_back(text);
        if texts.len() > REMEMBERED {
            texts.pop_front();
        }
    }
}

/// Other meanings of an entry that can be made.
fn possible_meanings(
    entry: &Entry,
    design: &Design,
    size: usize,
    unit: LengthUnit,
) -> Vec<Meaning> {
    let Some(field) = fields::find(&entry.place.key) else { return Vec::new() };
    let can_be_made = |text: &str| {
        let Ok(value) = field.read(text, unit) else { return false };
        let mut with = design.clone();
        field.put(&mut with, entry.place.size.unwrap_or(size), &value);
        with.formings().is_ok()
    };
    let found = field.meanings(&entry.text, unit).into_iter();
    let found = found.filter(|(text, _)| can_be_made(text));
    found.map(|(text, words)| Meaning { text, words }).take(2).collect()
}

/// Why an entry that is understood is impossible, the field that was typed named first.
fn impossible(
    with: &Design,
    (entry, field): (&Entry, &Field),
    size: usize,
    error: &BuildError,
    unit: LengthUnit,
) -> String {
    let own_size = entry.place.size.unwrap_or(size);
    let at = error.at();
    let of_field = |key: &str| key == field.key || key.starts_with(&format!("{}.", field.key));
    let at_own_size = at.is_none_or(|at| at.size.is_none_or(|size| size == own_size));
    let whose = at.and_then(|at| at.size).filter(|size| *size != own_size).map(|size| {
        let name = with.sizes.get(size).map_or("", |size| size.name.as_str());
        if name.is_empty() { format!("Size {}: ", size + 1) } else { format!("{name}: ") }
    });
    let whose = whose.unwrap_or_default();
    if at_own_size && at.is_some_and(|at| of_field(at.field)) {
        return sentence(&error.message(field.label, unit));
    }
    let blamed = at.map(|at| at.field.split('.').next().unwrap_or(at.field));
    let label = blamed.and_then(fields::find).map_or("It", |field| field.label);
    let told = sentence(&error.message(label, unit));
    // Where something else was likely meant, that is offered below, and the rest is noise.
    if !field.meanings(&entry.text, unit).is_empty() {
        return format!(
            "{} {} does not fit the rest of this design.",
            field.label,
            said(entry, unit)
        );
    }
    format!("{} {} cannot be made. {whose}{told}", field.label, entry.text.trim())
}

/// What was typed, in the unit it was taken in.
fn said(entry: &Entry, unit: LengthUnit) -> String {
    let text = entry.text.trim();
    if names_unit(text) { text.into() } else { format!("{text} {}", unit.name()) }
}

fn sentence(words: &str) -> String {
    if words.ends_with('.') { words.into() } else { format!("{words}.") }
}
