//! The designs kept in this browser, as their list is known.

use crate::documents::design::Design;
use crate::documents::storage::SavedEntry;

/// The list and what is being done with it.
#[derive(Clone, Debug, Default)]
pub struct Saved {
    /// Whether the list is seen.
    pub is_shown: bool,
    /// What is kept by a name, in order.
    pub rows: Vec<SavedEntry>,
    /// Why nothing can be kept.
    pub fault: Option<String>,
    /// The design that another took the place of.
    pub former: Option<Design>,
    /// The name that is being changed.
    pub renaming: Option<String>,
    /// The name of what was deleted last and can come back.
    pub deleted: Option<String>,
    /// The name to keep the design by, as it is typed.
    pub name: String,
}
