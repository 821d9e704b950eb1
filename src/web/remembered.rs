//! Small choices kept from visit to visit; a browser that keeps nothing is no fault.

use super::browser_storage::BrowserStorage;
use crate::documents::storage::Storage;
use web_sys::Window;

/// What was kept under `name`.
pub fn recall(browser: &Window, name: &str) -> Option<String> {
    BrowserStorage::lasting(browser).read(name).ok()?
}

/// Keeps `value` under `name`, if the browser lets us.
pub fn keep(browser: &Window, name: &str, value: &str) {
    let _ = BrowserStorage::lasting(browser).write(name, value);
}
