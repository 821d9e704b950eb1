//! Designs kept in the browser: the one on the page, and those kept by name.
//!
//! Model: a [`Storage`] holds texts by key, and may at any time be forbidden, full, or changed
//! by another page. Each design is an entry of its own, so that pages that keep different
//! designs never touch one another's.
//! Promises: what cannot be read is never written over, only put aside or, asked for by
//! name, deleted; an entry that is not as this page last saw it is not written over unasked; what
//! two windows keep of the design on the page is both there at the next visit. Every step leaves
//! what was kept before, wherever it is broken off.
//! Evidence: the tests below, `tests/storage.rs` and `tests/end_to_end/keep.rs`.

mod page_entry;

pub use page_entry::{
    Habits, PageEntry, PageFault, SharedEntry, former, habits, save_former, save_habits,
};

use crate::documents::design::{Design, DesignError, LONGEST_NAME};
use crate::math::sort::sort_by;
use std::collections::BTreeMap;

/// Where a design kept by name stands: this, then its name.
const KEPT: &str = "linkfold/kept/";
/// Where what could not be read is put aside: this, then a number.
const ASIDE: &str = "linkfold/aside/";

/// Where texts are kept.
pub trait Storage {
    /// The text under a key; none where there is none.
    ///
    /// # Errors
    /// [`StorageError`], here and below.
    fn read(&self, key: &str) -> Result<Option<String>, StorageError>;
    /// Puts a text under a key, or leaves what is there.
    fn write(&self, key: &str, text: &str) -> Result<(), StorageError>;
    /// Takes a key away.
    fn remove(&self, key: &str) -> Result<(), StorageError>;
    /// Every key, in any order.
    fn keys(&self) -> Result<Vec<String>, StorageError>;
}

/// Why a storage does not serve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StorageError {
    /// The browser gives no storage here.
    #[error("this browser does not let the page keep anything; save the design as a file")]
    Forbidden,
    /// Nothing more fits.
    #[error("this browser's storage for the page is full; delete a kept design, or save as a file")]
    Full,
}

/// Why a design is not kept, renamed or deleted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SaveError {
    /// The storage does not serve.
    #[error("{0}")]
    Storage(#[from] StorageError),
    /// A name that is none.
    #[error("give it a name of 1 to {LONGEST_NAME} letters; this one has {letters}")]
    Name {
        /// How long it is.
        letters: usize,
    },
    /// Another design has the name.
    #[error("another design is kept as \u{201c}{name}\u{201d}")]
    Taken {
        /// The name.
        name: String,
    },
    /// What is there is none that this program can read.
    #[error(
        "what is kept as \u{201c}{name}\u{201d} cannot be read here and stays untouched; take another name"
    )]
    Unreadable {
        /// The name.
        name: String,
    },
    /// Another page changed or deleted it meanwhile.
    #[error("\u{201c}{name}\u{201d} has changed in another window; look at the list again")]
    Changed {
        /// The name.
        name: String,
    },
}

/// An entry of the list of kept designs.
#[derive(Clone, Debug, PartialEq)]
pub struct SavedEntry {
    /// Its name; of what was put aside, the words for it.
    pub name: String,
    /// Where it stands.
    key: String,
    /// What stands there.
    pub text: String,
    /// The design, or why it is none.
    pub design: Result<Design, DesignError>,
}

/// What was deleted, to be brought back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deleted {
    /// Its name.
    pub name: String,
    key: String,
    text: String,
}

/// Keeps designs by name, and knows which of them this page has seen.
#[derive(Default)]
pub struct DesignStore {
    /// What stood under each name when this page opened or kept it.
    seen: BTreeMap<String, String>,
    /// The name that was found taken last, and by what: the maker was asked whether to replace it.
    asked: Option<(String, String)>,
}

impl DesignStore {
    /// Every kept design by name, then what was put aside.
    ///
    /// # Errors
    /// [`StorageError`].
    pub fn list(&self, storage: &dyn Storage) -> Result<Vec<SavedEntry>, StorageError> {
        let mut found = Vec::new();
        for key in storage.keys()? {
            let name = match (key.strip_prefix(KEPT), key.strip_prefix(ASIDE)) {
                (Some(name), _) => name.to_string(),
                (_, Some(number)) => format!("Put aside {number}"),
                _ => continue,
            };
            // Gone since the keys were read: no longer kept.
            let Some(text) = storage.read(&key)? else { continue };
            let design = Design::parse(&text);
            let name = match &design {
                Ok(design) if key.starts_with(ASIDE) => {
                    format!("{name}, from another window: {}", design.name)
                }
                _ => name,
            };
            found.push(SavedEntry { name, design, key, text });
        }
        let place = |kept: &SavedEntry| (kept.is_aside(), kept.name.to_lowercase());
        sort_by(&mut found, |a, b| place(a).cmp(&place(b)));
        Ok(found)
    }

    /// Notes that the page shows a kept design: keeping it again under its name is meant.
    pub fn opened(&mut self, kept: &SavedEntry) {
        self.seen.insert(kept.name.clone(), kept.text.clone());
    }

    /// Keeps `design` under its name; whether in the place of another. Asked a second time after
    /// [`SaveError::Taken`], it takes the place of what was found then.
    ///
    /// # Errors
    /// [`SaveError`]; then nothing is changed.
    pub fn keep(&mut self, storage: &dyn Storage, design: &Design) -> Result<bool, SaveError> {
        let asked = self.asked.take();
        let name = checked_name(&design.name)?;
        let key = format!("{KEPT}{name}");
        let text = design.to_json();
        let there = storage.read(&key)?.filter(|there| *there != text);
        if let Some(there) = &there {
            if Design::parse(there).is_err() {
                return Err(SaveError::Unreadable { name });
            }
            let found = (name.clone(), there.clone());
            if self.seen.get(&name) != Some(there) && asked.as_ref() != Some(&found) {
                self.asked = Some(found);
                return Err(SaveError::Taken { name });
            }
        }
        storage.write(&key, &text)?;
        self.seen.insert(name, text);
        Ok(there.is_some())
    }

    /// Gives a kept design another name.
    ///
    /// # Errors
    /// [`SaveError`]; then it keeps its name.
    pub fn rename(
        &mut self,
        storage: &dyn Storage,
        kept: &SavedEntry,
        to: &str,
    ) -> Result<(), SaveError> {
        let to = checked_name(to)?;
        let Ok(design) = &kept.design else {
            return Err(SaveError::Unreadable { name: kept.name.clone() });
        };
        if to == kept.name {
            return Ok(());
        }
        unchanged(storage, kept)?;
        let key = format!("{KEPT}{to}");
        if storage.read(&key)?.is_some() {
            return Err(SaveError::Taken { name: to });
        }
        let text = Design { name: to.clone(), ..design.clone() }.to_json();
        storage.write(&key, &text)?;
        if let Err(error) = storage.remove(&kept.key) {
            // Under both names, where the new one cannot be taken away either.
            let _ = storage.remove(&key);
            return Err(error.into());
        }
        self.seen.remove(&kept.name);
        self.seen.insert(to, text);
        Ok(())
    }

    /// Deletes a kept design, or what was put aside; it can be brought back.
    ///
    /// # Errors
    /// [`SaveError`]; then it stays.
    pub fn delete(
        &mut self,
        storage: &dyn Storage,
        kept: &SavedEntry,
    ) -> Result<Deleted, SaveError> {
        unchanged(storage, kept)?;
        storage.remove(&kept.key)?;
        self.seen.remove(&kept.name);
        let SavedEntry { name, key, text, .. } = kept.clone();
        Ok(Deleted { name, key, text })
    }

    /// Brings back what was deleted.
    ///
    /// # Errors
    /// [`SaveError::Taken`] where its name was given away meanwhile; [`SaveError::Storage`].
    pub fn bring_back(
        &mut self,
        storage: &dyn Storage,
        deleted: &Deleted,
    ) -> Result<(), SaveError> {
        if storage.read(&deleted.key)?.is_some() {
            return Err(SaveError::Taken { name: deleted.name.clone() });
        }
        Ok(storage.write(&deleted.key, &deleted.text)?)
    }
}

impl SavedEntry {
    /// Whether it was put aside because it could not be read.
    pub fn is_aside(&self) -> bool {
        self.key.starts_with(ASIDE)
    }
}

/// A name without spaces round it.
fn checked_name(name: &str) -> Result<String, SaveError> {
    let name = name.trim();
    let letters = name.chars().count();
    if (1..=LONGEST_NAME).contains(&letters) {
        Ok(name.to_string())
    } else {
        Err(SaveError::Name { letters })
    }
}

/// That an entry is still as it was listed.
fn unchanged(storage: &dyn Storage, kept: &SavedEntry) -> Result<(), SaveError> {
    if storage.read(&kept.key)?.as_deref() == Some(&kept.text) {
        return Ok(());
    }
    Err(SaveError::Changed { name: kept.name.clone() })
}

#[cfg(test)]
mod tests;
