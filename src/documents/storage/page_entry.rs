//! What the page keeps by itself: the design on it, the one before, and a maker's habits.

use super::{ASIDE, Storage, StorageError};
use crate::documents::design::Design;
use crate::documents::json;
use serde::{Deserialize, Serialize};

/// The design on the page.
const PAGE: &str = "linkfold/page";
/// The design that another took the place of.
const FORMER: &str = "linkfold/former";
const HABITS: &str = "linkfold/habits";

/// What a maker is used to, from one visit to the next.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Habits {
    /// Lengths in inches rather than millimetres.
    pub in_inches: bool,
    /// Which size is looked at.
    pub size: usize,
}

/// An entry that every window of the page writes, as one of them knows it.
///
/// What a window finds there that it neither read nor wrote itself is another's, or a later
/// program's: it is put aside before anything takes its place, and goes from there once the
/// window whose it is has kept something newer. The same text in two windows is one.
#[derive(Debug)]
pub struct SharedEntry {
    key: &'static str,
    /// What stood there when this window last read or wrote it.
    seen: Option<String>,
    /// Whether this window wrote that.
    is_own: bool,
}

impl SharedEntry {
    /// The entry under `key`, of which nothing is known yet.
    pub const fn new(key: &'static str) -> SharedEntry {
        SharedEntry { key, seen: None, is_own: false }
    }

    /// What stands there, to be written over by this window; none where there is nothing.
    ///
    /// # Errors
    /// [`StorageError`].
    pub fn read(&mut self, storage: &dyn Storage) -> Result<Option<String>, StorageError> {
        (self.seen, self.is_own) = (storage.read(self.key)?, false);
        Ok(self.seen.clone())
    }

    /// Whether something else stands there than this window knows.
    pub fn is_changed(&self, storage: &dyn Storage) -> bool {
        storage.read(self.key).is_ok_and(|there| there.is_some() && there != self.seen)
    }

    /// What stands there cannot be read: it is put aside, at once or before it is written over.
    ///
    /// # Errors
    /// [`StorageError`]; then it stays where it is.
    pub fn put_aside(&mut self, storage: &dyn Storage) -> Result<(), StorageError> {
        let Some(text) = self.seen.take() else { return Ok(()) };
        put_aside(storage, &text)?;
        storage.remove(self.key)
    }

    /// Keeps `text` there.
    ///
    /// # Errors
    /// [`StorageError`]; then what this window and others kept before stays.
    pub fn write(&mut self, storage: &dyn Storage, text: String) -> Result<(), StorageError> {
        let there = storage.read(self.key)?;
        if let Some(there) = &there
            && *there != text
            && self.seen.as_ref() != Some(there)
        {
            put_aside(storage, there)?;
        }
        if there.as_ref() != Some(&text) {
            storage.write(self.key, &text)?;
        }
        let before = self.seen.replace(text);
        if std::mem::replace(&mut self.is_own, true)
            && before != self.seen
            && let Some(before) = before
        {
            // Older than what is kept now; where it cannot be taken away it does no harm.
            let _ = take_away(storage, &before);
        }
        Ok(())
    }
}

/// The design on the page: in this window's own storage, which a reload goes on from, and in the
/// lasting one.
pub struct PageEntry {
    lasting: SharedEntry,
    /// Whether the own storage holds what cannot be read and could not be put aside.
    is_own_held: bool,
}

/// Why the design of the last visit is not on the page, or what is changed is not kept.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PageFault {
    /// It cannot be read, and was put aside; why.
    #[error("The design of the last visit cannot be read ({0}). It is put aside, under Designs.")]
    Aside(String),
    /// It cannot be read, and there is no space to put it aside: it is not written over.
    #[error(
        "The design of the last visit cannot be read ({0}). Storage is too full to put it aside, so \
         what you change here is not kept: save it as a file."
    )]
    Stuck(String),
    /// The storage does not serve.
    #[error("What you change here is not kept: {0}.")]
    Storage(#[from] StorageError),
}

impl PageEntry {
    /// What an earlier visit left, of this very window rather than of another, as `read` makes a
    /// design of a text; and what there is to say about it.
    pub fn restore<E: ToString>(
        own: &dyn Storage,
        lasting: &dyn Storage,
        read: impl Fn(&str) -> Result<Design, E>,
    ) -> (PageEntry, Option<Design>, Option<PageFault>) {
        let mut page = PageEntry { lasting: SharedEntry::new(PAGE), is_own_held: false };
        let mut fault = None;
        if let Ok(Some(text)) = own.read(PAGE) {
            match read(&text) {
                Ok(design) => {
                    (page.lasting.seen, page.lasting.is_own) = (Some(text), true);
                    return (page, Some(design), None);
                }
                Err(why) => match put_aside(lasting, &text).and_then(|()| own.remove(PAGE)) {
                    Ok(()) => fault = Some(PageFault::Aside(why.to_string())),
                    Err(_) => page.is_own_held = true,
                },
            }
        }
        let text = match page.lasting.read(lasting) {
            Ok(Some(text)) => text,
            Ok(None) => return (page, None, fault),
            Err(error) => return (page, None, Some(error.into())),
        };
        match read(&text) {
            Ok(design) => (page, Some(design), fault),
            Err(why) => {
                let why = why.to_string();
                let fault = match page.lasting.put_aside(lasting) {
                    Ok(()) => PageFault::Aside(why),
                    Err(_) => PageFault::Stuck(why),
                };
                (page, None, Some(fault))
            }
        }
    }

    /// Keeps the design on the page for the next visit.
    ///
    /// # Errors
    /// [`PageFault::Storage`]; then what was kept before stays.
    pub fn save(
        &mut self,
        own: &dyn Storage,
        lasting: &dyn Storage,
        design: &Design,
    ) -> Result<(), PageFault> {
        let text = design.to_json();
        if !self.is_own_held {
            let _ = own.write(PAGE, &text);
        }
        Ok(self.lasting.write(lasting, text)?)
    }
}

/// Keeps a design that another takes the place of, beside the others, instead of the one
/// kept so before; where that cannot be read, as a later program's, it is put aside first.
///
/// # Errors
/// [`StorageError`]; then what was there stays.
pub fn save_former(storage: &dyn Storage, design: &Design) -> Result<(), StorageError> {
    if let Some(there) = storage.read(FORMER)?
        && Design::parse(&there).is_err()
    {
        put_aside(storage, &there)?;
    }
    storage.write(FORMER, &design.to_json())
}

/// The design that another took the place of last; none where there is none to be read.
pub fn former(storage: &dyn Storage) -> Option<Design> {
    Design::parse(&storage.read(FORMER).ok()??).ok()
}

/// Puts a text aside, where it is listed; once, however often it is asked.
fn put_aside(storage: &dyn Storage, text: &str) -> Result<(), StorageError> {
    let taken = storage.keys()?;
    for key in taken.iter().filter(|key| key.starts_with(ASIDE)) {
        if storage.read(key)?.as_deref() == Some(text) {
            return Ok(());
        }
    }
    let free = (1..).map(|n: u64| format!("{ASIDE}{n}")).find(|key| !taken.contains(key));
    storage.write(&free.ok_or(StorageError::Full)?, text)
}

/// Takes a text away again that was put aside.
fn take_away(storage: &dyn Storage, text: &str) -> Result<(), StorageError> {
    for key in storage.keys()?.iter().filter(|key| key.starts_with(ASIDE)) {
        if storage.read(key)?.as_deref() == Some(text) {
            storage.remove(key)?;
        }
    }
    Ok(())
}

/// What a maker is used to; the usual where nothing is known.
pub fn habits(storage: &dyn Storage) -> Habits {
    let text = storage.read(HABITS).ok().flatten();
    text.and_then(|text| json::read(&text).ok()).unwrap_or_default()
}

/// Keeps a maker's habits.
///
/// # Errors
/// [`StorageError`].
pub fn save_habits(storage: &dyn Storage, habits: &Habits) -> Result<(), StorageError> {
    storage.write(HABITS, &json::line(habits))
}
