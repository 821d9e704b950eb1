//! Documents of our own in JSON, read strictly: what a reader would guess at is refused.
//!
//! A document is one object with named fields and a version number of its own. Unknown fields
//! are refused by the types that are read (`deny_unknown_fields`), lists in place of objects by
//! `json`, other versions and text after the end here.
//! Evidence: the tests of `design` and `bench`, `tests/documents.rs`.

use crate::documents::json;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// A document longer than this is none of ours, bytes.
pub const LONGEST_DOCUMENT: usize = 1 << 20;

/// What kind of document is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DocumentKind {
    /// What a maker calls it, without an article.
    pub noun: &'static str,
    /// The field that holds its version.
    pub version_field: &'static str,
    /// The version that is read.
    pub version: u32,
}

/// Why a text is no such document.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
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
        kind: DocumentKind,
        /// What the document says.
        found: u32,
    },
}

/// Reads a document of the given kind. Numbers are not yet held to their ranges.
///
/// # Errors
/// [`ReadError`] where it is not JSON, not such a document, or of another version.
pub fn read<T: DeserializeOwned>(text: &str, kind: DocumentKind) -> Result<T, ReadError> {
    let noun = kind.noun;
    if text.len() > LONGEST_DOCUMENT {
        return Err(ReadError::TooLong { noun, bytes: text.len(), most: LONGEST_DOCUMENT });
    }
    // Told by what it should be, before anything else.
    if text.trim_start().starts_with('[') {
        return Err(ReadError::Unreadable {
            place: "line 1".into(),
            problem: format!("a {noun} is an object with named fields, not a list"),
        });
    }
    let unreadable = |fault: json::JsonError| {
        let problem = match fault.problem.as_str() {
            "trailing characters" => format!("there is more after the {noun}"),
            _ => fault.problem,
        };
        ReadError::Unreadable { place: fault.place, problem }
    };
    let given = json::value(text).map_err(unreadable)?;
    // The version first: a later document may have fields this program does not know.
    if let Some(found) = given.get(kind.version_field).and_then(Value::as_u64)
        && found != u64::from(kind.version)
    {
        return Err(ReadError::Version { kind, found: u32::try_from(found).unwrap_or(u32::MAX) });
    }
    json::read_value(&given).map_err(unreadable)
}
