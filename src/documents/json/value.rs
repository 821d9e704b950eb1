//! What a JSON value holds, as serde asks for it; every fault knows where it arose.

use super::JsonError;
use serde::de::value::BorrowedStrDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Value, map};
use std::fmt::Display;
use std::slice;

/// A value to be read.
#[derive(Clone, Copy)]
pub struct ValueDeserializer<'de>(pub &'de Value);

impl Error for JsonError {
    fn custom<T: Display>(problem: T) -> JsonError {
        JsonError { place: String::new(), problem: shortened(problem.to_string()) }
    }
}

impl JsonError {
    /// The same, seen from outside the field it arose in.
    fn within(mut self, field: &str) -> JsonError {
        let dot = if self.place.is_empty() || self.place.starts_with('[') { "" } else { "." };
        self.place = format!("{field}{dot}{}", self.place);
        self
    }
}

/// A fault may repeat a text of the document, and that may be long: its middle is left out.
fn shortened(problem: String) -> String {
    const MOST: usize = 300;
    let letters: Vec<char> = problem.chars().collect();
    if letters.len() <= MOST {
        return problem;
    }
    let (start, end) = (&letters[..MOST / 2], &letters[letters.len() - MOST / 3..]);
    format!("{}\u{2026}{}", String::from_iter(start), String::from_iter(end))
}

impl<'de> ValueDeserializer<'de> {
    fn unexpected(self, visitor: &dyn serde::de::Expected) -> JsonError {
        let found = match self.0 {
            Value::Null => Unexpected::Other("null"),
            Value::Bool(b) => Unexpected::Bool(*b),
            Value::Number(n) => match (n.as_u64(), n.as_i64()) {
                (Some(n), _) => Unexpected::Unsigned(n),
                (_, Some(n)) => Unexpected::Signed(n),
                _ => Unexpected::Float(n.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(s) => Unexpected::Str(s),
            Value::Array(_) => Unexpected::Seq,
            Value::Object(_) => Unexpected::Map,
        };
        JsonError::invalid_type(found, visitor)
    }
}

impl<'de> Deserializer<'de> for ValueDeserializer<'de> {
    type Error = JsonError;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, JsonError> {
        match self.0 {
            // serde calls it a unit; who wrote the document does not.
            Value::Null => visitor.visit_unit().map_err(|fault: JsonError| {
                JsonError::custom(fault.problem.replace("unit value", "null"))
            }),
            Value::Bool(b) => visitor.visit_bool(*b),
            Value::Number(n) => match (n.as_u64(), n.as_i64()) {
                (Some(n), _) => visitor.visit_u64(n),
                (_, Some(n)) => visitor.visit_i64(n),
                _ => visitor.visit_f64(n.as_f64().unwrap_or(f64::NAN)),
            },
            Value::String(s) => visitor.visit_borrowed_str(s),
            Value::Array(items) => list(items, visitor),
            Value::Object(fields) => object(fields, visitor),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, JsonError> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, JsonError> {
        visitor.visit_newtype_struct(self)
    }

    /// Named fields only: a list of values in the right order would be a guess.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, JsonError> {
        match self.0 {
            Value::Object(fields) => object(fields, visitor),
            Value::Array(_) => {
                Err(JsonError::custom("named fields in braces are wanted here, not a list"))
            }
            _ => Err(self.unexpected(&visitor)),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, JsonError> {
        match self.0 {
            Value::String(name) => visitor.visit_enum(VariantAccessor { name, content: None }),
            Value::Object(fields) if fields.len() == 1 => match fields.iter().next() {
                Some((name, content)) => {
                    let variant =
                        VariantAccessor { name, content: Some(ValueDeserializer(content)) };
                    visitor.visit_enum(variant).map_err(|fault| fault.within(name))
                }
                None => Err(self.unexpected(&visitor)),
            },
            _ => Err(self.unexpected(&visitor)),
        }
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, JsonError> {
        visitor.visit_unit()
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map identifier
    }
}

fn list<'de, V: Visitor<'de>>(items: &'de [Value], visitor: V) -> Result<V::Value, JsonError> {
    let mut list = ListDeserializer { items: items.iter(), at: 0 };
    let read = visitor.visit_seq(&mut list)?;
    if list.items.len() > 0 {
        return Err(JsonError::invalid_length(items.len(), &"fewer entries in the list"));
    }
    Ok(read)
}

fn object<'de, V: Visitor<'de>>(
    fields: &'de Map<String, Value>,
    visitor: V,
) -> Result<V::Value, JsonError> {
    visitor.visit_map(ObjectDeserializer { fields: fields.iter(), next: None })
}

struct ListDeserializer<'de> {
    items: slice::Iter<'de, Value>,
    at: usize,
}

impl<'de> SeqAccess<'de> for &mut ListDeserializer<'de> {
    type Error = JsonError;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, JsonError> {
        let Some(item) = self.items.next() else { return Ok(None) };
        let at = self.at;
        self.at += 1;
        seed.deserialize(ValueDeserializer(item))
            .map(Some)
            .map_err(|fault| fault.within(&format!("[{at}]")))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.items.len())
    }
}

struct ObjectDeserializer<'de> {
    fields: map::Iter<'de>,
    next: Option<(&'de str, &'de Value)>,
}

impl<'de> MapAccess<'de> for ObjectDeserializer<'de> {
    type Error = JsonError;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, JsonError> {
        let Some((name, value)) = self.fields.next() else { return Ok(None) };
        self.next = Some((name, value));
        let key = seed.deserialize(BorrowedStrDeserializer::new(name));
        key.map(Some).map_err(|fault: JsonError| fault.within(name))
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, JsonError> {
        let (name, value) = self.next.take().ok_or_else(|| JsonError::custom("no value"))?;
        seed.deserialize(ValueDeserializer(value)).map_err(|fault| fault.within(name))
    }
}

struct VariantAccessor<'de> {
    name: &'de str,
    content: Option<ValueDeserializer<'de>>,
}

impl<'de> EnumAccess<'de> for VariantAccessor<'de> {
    type Error = JsonError;
    type Variant = VariantAccessor<'de>;

    fn variant_seed<T: DeserializeSeed<'de>>(
        self,
        seed: T,
    ) -> Result<(T::Value, VariantAccessor<'de>), JsonError> {
        Ok((seed.deserialize(BorrowedStrDeserializer::new(self.name))?, self))
    }
}

impl<'de> VariantAccessor<'de> {
    fn content(self) -> Result<ValueDeserializer<'de>, JsonError> {
        let empty = || JsonError::custom(format_args!("\"{}\" needs content", self.name));
        self.content.ok_or_else(empty)
    }
}

impl<'de> VariantAccess<'de> for VariantAccessor<'de> {
    type Error = JsonError;

    fn unit_variant(self) -> Result<(), JsonError> {
        match self.content {
            None | Some(ValueDeserializer(Value::Null)) => Ok(()),
            Some(_) => Err(JsonError::custom(format_args!("\"{}\" takes no content", self.name))),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, JsonError> {
        seed.deserialize(self.content()?)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, JsonError> {
        self.content()?.deserialize_any(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, JsonError> {
        self.content()?.deserialize_struct("", fields, visitor)
    }
}
