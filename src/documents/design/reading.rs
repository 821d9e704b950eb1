//! Reads a design from JSON, and says where it cannot.

use super::{Design, DesignError, VERSION};
use crate::documents::format::{DocumentKind, ReadError, read};

const KIND: DocumentKind =
    DocumentKind { noun: "design", version_field: "linkfold", version: VERSION };

impl Design {
    /// Reads a document.
    ///
    /// # Errors
    /// [`DesignError`] where it is not JSON, not a design, of another version, or holds a
    /// number outside its range. Whether the rings can be formed is asked where links are built.
    pub fn parse(text: &str) -> Result<Design, DesignError> {
        let design: Design = read(text, KIND)?;
        design.check()?;
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
