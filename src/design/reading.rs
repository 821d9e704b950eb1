//! Reads a design from JSON, and says where it cannot.

use super::{Design, DesignError, VERSION};
use crate::document::{Kind, ReadError, read};
use serde_json::Value;

const KIND: Kind = Kind { noun: "design", version_field: "linkfold", version: VERSION };

impl Design {
    /// Reads a document.
    ///
    /// # Errors
    /// [`DesignError`] where it is not JSON, not a design, of another version, or holds a
    /// number outside its range. Whether the rings can be formed is asked by
    /// [`Design::formings`].
    pub fn parse(text: &str) -> Result<Design, DesignError> {
        let design: Design = read(text, KIND)?;
        // What holds nothing of its own is not written, and cannot be compared.
        if let Ok(given) = serde_json::from_str::<Value>(text)
            && let Some(place) = ["metal", "class"].into_iter().find(|name| given[*name].is_array())
        {
            let problem = "named fields in braces are wanted here, not a list".into();
            return Err(DesignError::Unreadable { place: place.into(), problem });
        }
        design.settings()?;
        Ok(design)
    }
}

impl From<ReadError> for DesignError {
    fn from(error: ReadError) -> DesignError {
        match error {
            ReadError::Unreadable { place, problem } => DesignError::Unreadable { place, problem },
            ReadError::TooLong { bytes, most, .. } => DesignError::TooLong { bytes, most },
            ReadError::Version { found, .. } => DesignError::Version { found },
        }
    }
}
