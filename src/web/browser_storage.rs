//! The browser's storage, as the documents layer asks for it.

use crate::documents::storage::{Storage, StorageError};
use wasm_bindgen::JsValue;
use web_sys::{Storage as WebStorage, Window};

/// A storage of the browser; none where it gives none.
pub struct BrowserStorage(Option<WebStorage>);

impl BrowserStorage {
    /// What stays from one visit to the next, and is shared by every page.
    pub fn lasting(browser: &Window) -> BrowserStorage {
        BrowserStorage(browser.local_storage().ok().flatten())
    }

    /// What stays while this page is reloaded, and is its own.
    pub fn own(browser: &Window) -> BrowserStorage {
        BrowserStorage(browser.session_storage().ok().flatten())
    }

    fn storage(&self) -> Result<&WebStorage, StorageError> {
        self.0.as_ref().ok_or(StorageError::Forbidden)
    }
}

impl Storage for BrowserStorage {
    fn read(&self, key: &str) -> Result<Option<String>, StorageError> {
        self.storage()?.get_item(key).map_err(|_| StorageError::Forbidden)
    }

    fn write(&self, key: &str, text: &str) -> Result<(), StorageError> {
        self.storage()?.set_item(key, text).map_err(|error| why(&error))
    }

    fn remove(&self, key: &str) -> Result<(), StorageError> {
        self.storage()?.remove_item(key).map_err(|_| StorageError::Forbidden)
    }

    fn keys(&self) -> Result<Vec<String>, StorageError> {
        let storage = self.storage()?;
        let count = storage.length().map_err(|_| StorageError::Forbidden)?;
        // Fewer by now, if another page takes some away.
        Ok((0..count).filter_map(|index| storage.key(index).ok().flatten()).collect())
    }
}

/// A storage that is full says so by its error's name; two names are in use.
fn why(error: &JsValue) -> StorageError {
    let name = js_sys::Reflect::get(error, &"name".into()).ok().and_then(|name| name.as_string());
    match name.as_deref() {
        Some("QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED") => StorageError::Full,
        _ => StorageError::Forbidden,
    }
}
