//! Documents of our own in JSON, read strictly: what a reader would guess at is refused.
//!
//! A document is one object with named fields and a version number of its own. Unknown fields
//! are refused by the types that are read (`deny_unknown_fields`); lists in place of objects,
//! other versions and text after the end are refused here.
//! Evidence: the tests of `design` and `bench`, `tests/documents.rs`.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// A document longer than this is none of ours, bytes.
pub const LONGEST_DOCUMENT: usize = 1 << 20;

/// What kind of document is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kind {
    /// What a maker calls it, without an article.
    pub noun: &'static str,
    /// The field that holds its version.
    pub version_field: &'static str,
    /// The version that is read.
    pub version: u32,
}

/// Why a text is no such document.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Not JSON, or not the fields wanted.
    #[error("{place}: {problem}")]
    Unreadable {
        /// Where: a field's path, or line and column.
        place: String,
        /// What is wrong there.
        problem: String,
    },
    /// Far longer than any such document.
    #[error("the document is {bytes} bytes long; a {noun} has at most {most}")]
    TooLong {
        /// What was wanted.
        noun: &'static str,
        /// Its length.
        bytes: usize,
        /// The limit.
        most: usize,
    },
    /// Made by a later linkfold, or not by one.
    #[error("\"{}\" is {found}; this program reads version {}", kind.version_field, kind.version)]
    Version {
        /// What was wanted.
        kind: Kind,
        /// What the document says.
        found: u32,
    },
}

/// Reads a document of the given kind. Numbers are not yet held to their ranges.
///
/// # Errors
/// [`ReadError`] where it is not JSON, not such a document, or of another version.
pub fn read<T: DeserializeOwned + Serialize>(text: &str, kind: Kind) -> Result<T, ReadError> {
    let noun = kind.noun;
    if text.len() > LONGEST_DOCUMENT {
        return Err(ReadError::TooLong { noun, bytes: text.len(), most: LONGEST_DOCUMENT });
    }
    // A list of values in the right order would pass for the document.
    if text.trim_start().starts_with('[') {
        return Err(ReadError::Unreadable {
            place: "line 1".into(),
            problem: format!("a {noun} is an object with named fields, not a list"),
        });
    }
    let given: Option<Value> = serde_json::from_str(text).ok();
    // The version first: a later document may have fields this program does not know.
    if let Some(found) = given.as_ref().and_then(|v| v.get(kind.version_field)?.as_u64())
        && found != u64::from(kind.version)
    {
        return Err(ReadError::Version { kind, found: u32::try_from(found).unwrap_or(u32::MAX) });
    }
    let reader = &mut serde_json::Deserializer::from_str(text);
    let read: T = serde_path_to_error::deserialize(&mut *reader).map_err(|error| {
        let path = error.path().to_string();
        let inner = error.into_inner();
        let place = if path == "." || inner.is_syntax() || inner.is_eof() {
            format!("line {}, column {}", inner.line(), inner.column())
        } else {
            path
        };
        let told = inner.to_string();
        let problem = told.split(" at line ").next().unwrap_or(&told).to_string();
        ReadError::Unreadable { place, problem }
    })?;
    reader.end().map_err(|error| ReadError::Unreadable {
        place: format!("line {}, column {}", error.line(), error.column()),
        problem: format!("there is more after the {noun}"),
    })?;
    if let (Some(given), Ok(read)) = (given, serde_json::to_value(&read))
        && let Some(place) = list_for_object(&given, &read)
    {
        let problem = "named fields in braces are wanted here, not a list".into();
        return Err(ReadError::Unreadable { place, problem });
    }
    Ok(read)
}

/// Where `given` holds a list and `read`, the same document as understood, an object. serde
/// takes a list of values in the right order for a structure.
fn list_for_object(given: &Value, read: &Value) -> Option<String> {
    let inside = |name: String, given: &Value, read: &Value| {
        let rest = list_for_object(given, read)?;
        Some(if rest.is_empty() || rest.starts_with('[') {
            format!("{name}{rest}")
        } else {
            format!("{name}.{rest}")
        })
    };
    match (given, read) {
        (Value::Array(_), Value::Object(_)) => Some(String::new()),
        (Value::Object(given), Value::Object(read)) => {
            given.iter().find_map(|(name, value)| inside(name.clone(), value, read.get(name)?))
        }
        (Value::Array(given), Value::Array(read)) => {
            let pairs = given.iter().zip(read).enumerate();
            pairs.into_iter().find_map(|(i, (a, b))| inside(format!("[{i}]"), a, b))
        }
        _ => None,
    }
}
