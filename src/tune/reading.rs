//! Reads wishes from JSON, and says where it cannot.

use super::{TuneError, VERSION, Wishes};
use crate::design::{Fault, read_strictly};
use serde::Deserialize;

/// A document longer than this is not wishes, bytes.
const LONGEST: usize = 1 << 18;

impl Wishes {
    /// Reads a document. Whether it makes sense for a design is asked by [`Wishes::check`].
    ///
    /// # Errors
    /// [`TuneError`] where it is not JSON, not wishes, or of another version.
    pub fn parse(text: &str) -> Result<Wishes, TuneError> {
        if text.len() > LONGEST {
            return Err(TuneError::TooLong { bytes: text.len(), most: LONGEST });
        }
        // The version first: a later document may have fields this program does not know.
        #[derive(Deserialize)]
        struct VersionOnly {
            linkfold_wishes: Option<serde_json::Value>,
        }
        if let Ok(VersionOnly { linkfold_wishes: Some(version) }) = serde_json::from_str(text)
            && let Some(found) = version.as_u64()
            && found != u64::from(VERSION)
        {
            return Err(TuneError::Version { found: u32::try_from(found).unwrap_or(u32::MAX) });
        }
        read_strictly(text).map_err(|Fault { place, problem }| TuneError::Unreadable { place, problem })
    }

    /// The document as text, in the form [`Wishes::parse`] reads.
    pub fn to_json(&self) -> String {
        serde_json::to_string_pretty(self).expect("wishes hold finite numbers and names")
    }
}
