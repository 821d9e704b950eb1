//! Reads a design from JSON, and says where it cannot.

use super::{Design, DesignError, LONGEST_DOCUMENT, VERSION};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;

impl Design {
    /// Reads a document.
    ///
    /// # Errors
    /// [`DesignError`] where it is not JSON, not a design, of another version, or holds a
    /// number outside its range. Whether the rings can be formed is asked by
    /// [`Design::formings`].
    pub fn parse(text: &str) -> Result<Design, DesignError> {
        if text.len() > LONGEST_DOCUMENT {
            return Err(DesignError::TooLong { bytes: text.len(), most: LONGEST_DOCUMENT });
        }
        // The version first: a later document may have fields this program does not know.
        #[derive(Deserialize)]
        struct VersionOnly {
            linkfold: Option<serde_json::Value>,
        }
        if let Ok(VersionOnly { linkfold: Some(version) }) = serde_json::from_str(text)
            && let Some(found) = version.as_u64()
            && found != u64::from(VERSION)
        {
            return Err(DesignError::Version { found: u32::try_from(found).unwrap_or(u32::MAX) });
        }
        let design: Design = read_strictly(text)
            .map_err(|Fault { place, problem }| DesignError::Unreadable { place, problem })?;
        design.settings()?;
        Ok(design)
    }
}

/// Where a document is not what it should be.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// A field's path, or line and column.
    pub place: String,
    /// What is wrong there.
    pub problem: String,
}

/// Reads a whole document of named fields: nothing after it, no list for an object.
///
/// # Errors
/// [`Fault`], where it is.
pub fn read_strictly<T: DeserializeOwned + Serialize>(text: &str) -> Result<T, Fault> {
    let fault = |place: String, problem: &str| Fault { place, problem: problem.into() };
    // A list of values in the right order would pass for an object.
    if text.trim_start().starts_with('[') {
        let problem = "an object with named fields is wanted, not a list";
        return Err(fault("line 1".into(), problem));
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
        fault(place, told.split(" at line ").next().unwrap_or(&told))
    })?;
    reader.end().map_err(|error| {
        let place = format!("line {}, column {}", error.line(), error.column());
        fault(place, "there is more after its end")
    })?;
    if let (Ok(given), Ok(read)) = (serde_json::from_str(text), serde_json::to_value(&read))
        && let Some(place) = list_for_object(&given, &read)
    {
        return Err(fault(place, "named fields in braces are wanted here, not a list"));
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
