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

/// What came back of the design on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Restored {
    /// None was kept.
    Nothing,
    /// The design.
    Design(Box<Design>),
    /// It cannot be read, and was put aside; why.
    Aside(String),
    /// It cannot be read, and there is no space to put it aside: it must not be written over.
    Stuck(String),
}

/// Keeps the design on the page.
///
/// # Errors
/// [`StorageError`]; then what was kept before stays.
pub fn save_page(shelf: &dyn Storage, design: &Design) -> Result<(), StorageError> {
    shelf.write(PAGE, &design.to_json())
}

/// Keeps a design that another takes the place of, beside the others, instead of the one
/// kept so before.
///
/// # Errors
/// [`StorageError`].
pub fn save_former(shelf: &dyn Storage, design: &Design) -> Result<(), StorageError> {
    replace(shelf, FORMER, &design.to_json(), |there| Design::parse(there).is_ok())
}

/// Puts `text` in the place of what stands under `key`; where that is not `known`, as a later
/// program's, it is put aside first.
///
/// # Errors
/// [`StorageError`]; then what was there stays.
pub fn replace(
    shelf: &dyn Storage,
    key: &str,
    text: &str,
    known: impl Fn(&str) -> bool,
) -> Result<(), StorageError> {
    if let Some(there) = shelf.read(key)?
        && !known(&there)
    {
        put_aside(shelf, key, &there)?;
    }
    shelf.write(key, text)
}

/// The design that another took the place of last; none where there is none to be read.
pub fn former(shelf: &dyn Storage) -> Option<Design> {
    Design::parse(&shelf.read(FORMER).ok()??).ok()
}

/// The design that was on the page, as `read` makes one of a text.
///
/// # Errors
/// [`StorageError`] where the shelf cannot be read.
pub fn restore<E: ToString>(
    shelf: &dyn Storage,
    read: impl Fn(&str) -> Result<Design, E>,
) -> Result<Restored, StorageError> {
    let Some(text) = shelf.read(PAGE)? else { return Ok(Restored::Nothing) };
    let why = match read(&text) {
        Ok(design) => return Ok(Restored::Design(Box::new(design))),
        Err(error) => error.to_string(),
    };
    Ok(match put_aside(shelf, PAGE, &text) {
        Ok(()) => Restored::Aside(why),
        Err(_) => Restored::Stuck(why),
    })
}

/// Puts `text`, which stands under `key` and cannot be read, aside, where it is listed.
///
/// # Errors
/// [`StorageError`]; then it stays where it is.
pub fn put_aside(shelf: &dyn Storage, key: &str, text: &str) -> Result<(), StorageError> {
    let taken = shelf.keys()?;
    let free = (1..).map(|n: u64| format!("{ASIDE}{n}")).find(|key| !taken.contains(key));
    shelf.write(&free.ok_or(StorageError::Full)?, text)?;
    shelf.remove(key)
}

/// What a maker is used to; the usual where nothing is known.
pub fn habits(shelf: &dyn Storage) -> Habits {
    let text = shelf.read(HABITS).ok().flatten();
    text.and_then(|text| json::read(&text).ok()).unwrap_or_default()
}

/// Keeps a maker's habits.
///
/// # Errors
/// [`StorageError`].
pub fn save_habits(shelf: &dyn Storage, habits: &Habits) -> Result<(), StorageError> {
    shelf.write(HABITS, &json::line(habits))
}
