//! What a JSON value holds, as serde asks for it; every fault knows where it arose.

use super::JsonError;
use serde::de::value::BorrowedStrDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Error, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;
use serde_json::{Map, Number, Value, map};
use std::fmt::{self, Display};
use std::slice;

/// Why it does not hold what is wanted. Boxed: it is handed on at every field.
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
pub struct Fault(pub Box<JsonError>);

/// A value to be read.
#[derive(Clone, Copy)]
pub struct ValueDeserializer<'de>(pub &'de Value);

impl Error for Fault {
    fn custom<T: Display>(problem: T) -> Fault {
        Fault::of(&format_args!("{problem}"))
    }
}

impl Fault {
    #[inline(never)]
    fn of(problem: &fmt::Arguments) -> Fault {
        let problem = shortened(problem.to_string());
        Fault(Box::new(JsonError { place: String::new(), problem }))
    }

    /// The same, seen from outside the list it arose in.
    #[inline(never)]
    fn at(self, index: usize) -> Fault {
        self.within(&format!("[{index}]"))
    }

    /// The same, seen from outside the field it arose in.
    #[inline(never)]
    fn within(mut self, field: &str) -> Fault {
        let place = &mut self.0.place;
        let dot = if place.is_empty() || place.starts_with('[') { "" } else { "." };
        *place = format!("{field}{dot}{place}");
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
    fn unexpected(self, visitor: &dyn serde::de::Expected) -> Fault {
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
        Fault::invalid_type(found, visitor)
    }
}

macro_rules! as_number {
    ($($name:ident)*) => {$(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            match self.0 {
                Value::Number(n) => number(n, visitor),
                _ => Err(self.unexpected(&visitor)),
            }
        }
    )*};
}

macro_rules! as_text {
    ($($name:ident)*) => {$(
        fn $name<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
            match self.0 {
                Value::String(s) => visitor.visit_borrowed_str(s),
                _ => Err(self.unexpected(&visitor)),
            }
        }
    )*};
}

impl<'de> Deserializer<'de> for ValueDeserializer<'de> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            // serde calls it a unit; who wrote the document does not.
            Value::Null => visitor.visit_unit().map_err(|fault: Fault| {
                Fault::custom(fault.0.problem.replace("unit value", "null"))
            }),
            Value::Bool(b) => visitor.visit_bool(*b),
            Value::Number(n) => number(n, visitor),
            Value::String(s) => visitor.visit_borrowed_str(s),
            Value::Array(items) => list(items, visitor),
            Value::Object(fields) => object(fields, visitor),
        }
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Null => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_newtype_struct(self)
    }

    /// Named fields only: a list of values in the right order would be a guess.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Object(fields) => object(fields, visitor),
            Value::Array(_) => {
                Err(Fault::custom("named fields in braces are wanted here, not a list"))
            }
            _ => Err(self.unexpected(&visitor)),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
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

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_unit()
    }

    // What each asks for and no more, or every visitor is compiled for every kind of value.
    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Bool(b) => visitor.visit_bool(*b),
            _ => Err(self.unexpected(&visitor)),
        }
    }

    as_number! {
        deserialize_i8 deserialize_i16 deserialize_i32 deserialize_i64 deserialize_u8
        deserialize_u16 deserialize_u32 deserialize_u64 deserialize_f32 deserialize_f64
    }

    as_text! { deserialize_char deserialize_str deserialize_string deserialize_identifier }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Array(items) => list(items, visitor),
            _ => Err(self.unexpected(&visitor)),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.0 {
            Value::Object(fields) => object(fields, visitor),
            _ => Err(self.unexpected(&visitor)),
        }
    }

    forward_to_deserialize_any! { i128 u128 bytes byte_buf unit unit_struct }
}

fn number<'de, V: Visitor<'de>>(number: &Number, visitor: V) -> Result<V::Value, Fault> {
    match (number.as_u64(), number.as_i64()) {
        (Some(n), _) => visitor.visit_u64(n),
        (_, Some(n)) => visitor.visit_i64(n),
        _ => visitor.visit_f64(number.as_f64().unwrap_or(f64::NAN)),
    }
}

fn list<'de, V: Visitor<'de>>(items: &'de [Value], visitor: V) -> Result<V::Value, Fault> {
    let mut list = ListDeserializer { items: items.iter(), at: 0 };
    let read = visitor.visit_seq(&mut list)?;
    if list.items.len() > 0 {
        return Err(Fault::invalid_length(items.len(), &"fewer entries in the list"));
    }
    Ok(read)
}

fn object<'de, V: Visitor<'de>>(
    fields: &'de Map<String, Value>,
    visitor: V,
) -> Result<V::Value, Fault> {
    visitor.visit_map(ObjectDeserializer { fields: fields.iter(), next: None })
}

struct ListDeserializer<'de> {
    items: slice::Iter<'de, Value>,
    at: usize,
}

impl<'de> SeqAccess<'de> for &mut ListDeserializer<'de> {
    type Error = Fault;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Fault> {
        let Some(item) = self.items.next() else { return Ok(None) };
        let at = self.at;
        self.at += 1;
        seed.deserialize(ValueDeserializer(item)).map(Some).map_err(|fault| fault.at(at))
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
    type Error = Fault;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Fault> {
        let Some((name, value)) = self.fields.next() else { return Ok(None) };
        self.next = Some((name, value));
        let key = seed.deserialize(BorrowedStrDeserializer::new(name));
        key.map(Some).map_err(|fault: Fault| fault.within(name))
    }

    fn next_value_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<T::Value, Fault> {
        let (name, value) = self.next.take().ok_or_else(|| Fault::custom("no value"))?;
        seed.deserialize(ValueDeserializer(value)).map_err(|fault| fault.within(name))
    }
}

struct VariantAccessor<'de> {
    name: &'de str,
    content: Option<ValueDeserializer<'de>>,
}

impl<'de> EnumAccess<'de> for VariantAccessor<'de> {
    type Error = Fault;
    type Variant = VariantAccessor<'de>;

    fn variant_seed<T: DeserializeSeed<'de>>(
        self,
        seed: T,
    ) -> Result<(T::Value, VariantAccessor<'de>), Fault> {
        Ok((seed.deserialize(BorrowedStrDeserializer::new(self.name))?, self))
    }
}

impl<'de> VariantAccessor<'de> {
    fn content(self) -> Result<ValueDeserializer<'de>, Fault> {
        let empty = || Fault::custom(format_args!("\"{}\" needs content", self.name));
        self.content.ok_or_else(empty)
    }
}

impl<'de> VariantAccess<'de> for VariantAccessor<'de> {
    type Error = Fault;

    fn unit_variant(self) -> Result<(), Fault> {
        match self.content {
            None | Some(ValueDeserializer(Value::Null)) => Ok(()),
            Some(_) => Err(Fault::custom(format_args!("\"{}\" takes no content", self.name))),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Fault> {
        seed.deserialize(self.content()?)
    }

    fn tuple_variant<V: Visitor<'de>>(self, _: usize, visitor: V) -> Result<V::Value, Fault> {
        self.content()?.deserialize_any(visitor)
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.content()?.deserialize_struct("", fields, visitor)
    }
}
