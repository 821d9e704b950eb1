//! A JSON value in which no object names a field twice: of two, a reader would guess which is
//! meant. Its texts hold no letter that is not seen where it stands: no control character but tab
//! and the ends of lines, and none that turns the words after it about (the explicit directional
//! formatting of Unicode's annex 9); a name with one would rewrite the sentence it is told in.

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// Such a value.
pub struct UniqueKeys(pub Value);

impl<'de> Deserialize<'de> for UniqueKeys {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<UniqueKeys, D::Error> {
        reader.deserialize_any(Reading)
    }
}

/// A text without what is not seen.
fn seen(text: &str) -> String {
    let is_seen = |c: &char| match c {
        '\n' | '\r' | '\t' => true,
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => false,
        c => !c.is_control(),
    };
    text.chars().filter(is_seen).collect()
}

/// No field's name is longer, letters.
const LONGEST_FIELD: usize = 100;

struct Reading;

impl<'de> Visitor<'de> for Reading {
    type Value = UniqueKeys;

    fn expecting(&self, to: &mut fmt::Formatter) -> fmt::Result {
        to.write_str("JSON")
    }

    fn visit_unit<E: Error>(self) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(Value::Null))
    }

    fn visit_bool<E: Error>(self, value: bool) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(value.into()))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(value.into()))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(value.into()))
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(value.into()))
    }

    fn visit_str<E: Error>(self, value: &str) -> Result<UniqueKeys, E> {
        Ok(UniqueKeys(seen(value).into()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<UniqueKeys, A::Error> {
        let mut items = Vec::new();
        while let Some(UniqueKeys(item)) = list.next_element()? {
            items.push(item);
        }
        Ok(UniqueKeys(Value::Array(items)))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut object: A) -> Result<UniqueKeys, A::Error> {
        let mut fields = Map::new();
        while let Some((name, UniqueKeys(value))) = object.next_entry::<String, UniqueKeys>()? {
            let name = seen(&name);
            let letters = name.chars().count();
            if letters > LONGEST_FIELD {
                return Err(A::Error::custom(format_args!(
                    "a field's name has {letters} letters, none has more than {LONGEST_FIELD}"
                )));
            }
            if fields.contains_key(&name) {
                return Err(A::Error::custom(format_args!("field `{name}` is given twice")));
            }
            fields.insert(name, value);
        }
        Ok(UniqueKeys(Value::Object(fields)))
    }
}
