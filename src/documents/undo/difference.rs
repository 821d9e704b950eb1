//! What differs between two designs, by the documents' fields, and in words.
//!
//! A field that is added to the document needs nothing here: it is called by its name.

use crate::documents::design::{Design, WireChoice};
use crate::documents::json;
use crate::documents::units::{LengthUnit, length_words};
use crate::math::units::Mm;
use serde_json::Value;
use std::collections::BTreeSet;

/// More than this many fields at once is another design.
const FEW: usize = 3;

/// A text longer than this is not told whole, letters.
const LONG: usize = 40;

/// Names on the page where they are not the field's own.
const NAMES: [(&str, &str); 8] = [
    ("kerf_mm", "saw cut"),
    ("margin_mm", "clearance you want"),
    ("springback_mm", "ring springs open by"),
    ("growth_share", "ring grows when stretched"),
    ("open_tip_gap_mm", "tip gap while joining"),
    ("threading_bore_mm", "bore while threaded"),
    ("seam_share", "solder seam"),
    ("id", "metal"),
];

/// Which fields differ between two designs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Difference {
    paths: Vec<Vec<Key>>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Key {
    Field(String),
    Index(usize),
}

impl Difference {
    /// What differs between `a` and `b`.
    pub fn between(a: &Design, b: &Design) -> Difference {
        let mut paths = Vec::new();
        if a != b {
            walk(&written(a), &written(b), &mut Vec::new(), &mut paths);
            paths.iter_mut().for_each(up_to_wire);
            paths.dedup();
        }
        Difference { paths }
    }

    /// Whether nothing differs.
    pub fn is_none(&self) -> bool {
        self.paths.is_empty()
    }

    /// Whether the same fields differ.
    pub fn same_fields(&self, other: &Difference) -> bool {
        self.paths == other.paths
    }

    /// Whether one design took the place of another, rather than a field or two changing.
    pub fn is_whole(&self) -> bool {
        let renamed = |path: &Vec<Key>| matches!(&path[..], [Key::Field(name)] if name == "name");
        let resized = |path: &Vec<Key>| matches!(&path[..], [Key::Field(name)] if name == "sizes");
        self.paths.len() > FEW
            || self.paths.iter().any(resized)
            || (self.paths.len() > 1 && self.paths.iter().any(renamed))
    }

    /// The names of what differs, as they stand in `design`: "mandrel", "front: bore, wire".
    pub fn names(&self, design: &Design) -> String {
        if self.is_whole() {
            return format!("the design {}", called(design));
        }
        self.words(design, |_, _| String::new())
    }

    /// What differs, with what it is in `design`: "mandrel 12 mm, bore left out".
    pub fn values(&self, design: &Design, unit: LengthUnit) -> String {
        if self.is_whole() {
            return format!("the design {}", called(design));
        }
        let document = written(design);
        self.words(design, |path, name| format!(" {}", value_words(&document, path, name, unit)))
    }

    fn words(&self, design: &Design, value: impl Fn(&[Key], &str) -> String) -> String {
        let mut items: Vec<String> = Vec::new();
        for path in &self.paths {
            let last = path.iter().rev().find_map(|key| match key {
                Key::Field(name) => Some(name.as_str()),
                Key::Index(_) => None,
            });
            let field = last.unwrap_or_default();
            let whose = match &path[..] {
                [Key::Field(sizes), Key::Index(index), ..]
                    if sizes == "sizes" && design.sizes.len() > 1 =>
                {
                    match design.sizes.get(*index).map(|size| size.name.as_str()) {
                        Some("") | None => format!("size {}: ", index + 1),
                        Some(name) => format!("{name}: "),
                    }
                }
                [Key::Field(class), ..] if class == "class" => "note to the ".into(),
                _ => String::new(),
            };
            let item = format!("{whose}{}{}", name_of(field), value(path, field));
            let item = item.trim_end().to_string();
            if !items.contains(&item) {
                items.push(item);
            }
        }
        items.join(", ")
    }
}

/// What is as it was, in a sentence: "mandrel 12 mm again".
pub fn again(difference: &Difference, design: &Design, unit: LengthUnit) -> String {
    format!("{} again", difference.values(design, unit))
}

/// The document, with those sections that are not written when they are the usual.
fn written(design: &Design) -> Value {
    let mut document = json::as_value(design);
    if let Value::Object(fields) = &mut document {
        fields.insert("metal".into(), json::as_value(&design.metal));
        fields.insert("weave".into(), json::as_value(&design.weave));
    }
    document
}

fn called(design: &Design) -> String {
    match design.name.as_str() {
        "" => "without a name".into(),
        name => format!("\u{201c}{name}\u{201d}"),
    }
}

fn walk(a: &Value, b: &Value, here: &mut Vec<Key>, found: &mut Vec<Vec<Key>>) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            let nothing = Value::Object(Default::default());
            // In one order, whatever order the values are kept in.
            let keys: BTreeSet<&String> = a.keys().chain(b.keys()).collect();
            for key in keys {
                let (left, right) = (a.get(key), b.get(key));
                here.push(Key::Field(key.clone()));
                match (left, right) {
                    (Some(left), Some(right)) => walk(left, right, here, found),
                    // A section that is left out is one with nothing in it.
                    (Some(left @ Value::Object(_)), None) => walk(left, &nothing, here, found),
                    (None, Some(right @ Value::Object(_))) => walk(&nothing, right, here, found),
                    _ => found.push(here.clone()),
                }
                here.pop();
            }
        }
        (Value::Array(a), Value::Array(b))
            if a.len() == b.len() && a.iter().chain(b).all(Value::is_object) =>
        {
            for (index, (left, right)) in a.iter().zip(b).enumerate() {
                here.push(Key::Index(index));
                walk(left, right, here, found);
                here.pop();
            }
        }
        _ if a != b => found.push(here.clone()),
        _ => {}
    }
}

/// A wire is one thing, by whatever it is given.
fn up_to_wire(path: &mut Vec<Key>) {
    let wire = path.iter().position(|key| matches!(key, Key::Field(name) if name == "wire"));
    path.truncate(wire.map_or(path.len(), |index| index + 1));
}

fn name_of(field: &str) -> String {
    let known = NAMES.iter().find(|(name, _)| *name == field);
    let own = || field.trim_end_matches("_mm").replace('_', " ");
    known.map_or_else(own, |(_, words)| (*words).to_string())
}

fn value_words(document: &Value, path: &[Key], field: &str, unit: LengthUnit) -> String {
    let value = path.iter().try_fold(document, |value, key| match key {
        Key::Field(name) => value.get(name),
        Key::Index(index) => value.get(index),
    });
    // A note may be long; the document counts the seam round the loop, the page does not.
    if field == "seam_share" || matches!(path, [Key::Field(class), ..] if class == "class") {
        return String::new();
    }
    let Some(value) = value else {
        return "left out".into();
    };
    if field == "wire" {
        return json::read_value(value).map_or(String::new(), |w| wire(&w, unit));
    }
    if let Some(share) = value.as_f64().filter(|_| field == "growth_share") {
        return format!("{} %", 1e-3 * (1e5 * share).round());
    }
    let length = value.as_f64().filter(|_| field.ends_with("_mm"));
    match (value, length.and_then(|mm| Mm::try_from(mm).ok())) {
        (_, Some(mm)) => length_words(mm, unit),
        (Value::String(text), _) if text.is_empty() => "without".into(),
        (Value::String(text), _) if text.chars().count() > LONG => {
            let start: String = text.chars().take(LONG).collect();
            format!("\u{201c}{start}\u{2026}\u{201d}")
        }
        (Value::String(text), _) => text.replace('-', " "),
        (Value::Number(number), _) => number.to_string(),
        (Value::Bool(yes), _) => (if *yes { "yes" } else { "no" }).into(),
        (Value::Array(entries), _) => {
            let words: Vec<&str> = entries.iter().filter_map(Value::as_str).collect();
            if entries.is_empty() { "none".into() } else { words.join(" and ") }
        }
        _ => String::new(),
    }
}

fn wire(wire: &WireChoice, unit: LengthUnit) -> String {
    match (wire.gauge, wire.diameter_mm.and_then(|mm| Mm::try_from(mm).ok())) {
        (Some(gauge), _) => format!("{} {}", gauge.number, gauge.system.name()),
        (None, Some(mm)) => length_words(mm, unit),
        (None, None) => "left out".into(),
    }
}
