//! Reads a design from JSON, and says where it cannot.

use super::{Design, DesignError, LONGEST_DOCUMENT, VERSION};
use crate::json;
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
        // A list of values in the right order would pass for a design.
        if text.trim_start().starts_with('[') {
            return Err(DesignError::Unreadable {
                place: "line 1".into(),
                problem: "a design is an object with named fields, not a list".into(),
            });
        }
        // The version first: a later document may have fields this program does not know.
        let given = json::value(text).map_err(unreadable)?;
        if let Some(found) = given.get("linkfold").and_then(Value::as_u64)
            && found != u64::from(VERSION)
        {
            return Err(DesignError::Version { found: u32::try_from(found).unwrap_or(u32::MAX) });
        }
        let design: Design = json::read_value(&given).map_err(unreadable)?;
        design.settings()?;
        Ok(design)
    }
}

fn unreadable(fault: json::Fault) -> DesignError {
    let problem = match fault.problem.as_str() {
        "trailing characters" => "there is more after the design".into(),
        _ => fault.problem,
    };
    DesignError::Unreadable { place: fault.place, problem }
}
