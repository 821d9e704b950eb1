//! Small choices kept from visit to visit; a browser that keeps nothing is no fault.

use web_sys::Window;

/// What was kept under `name`.
pub fn recall(browser: &Window, name: &str) -> Option<String> {
    browser.local_storage().ok()??.get_item(name).ok()?
}

/// Keeps `value` under `name`, if the browser lets us.
pub fn keep(browser: &Window, name: &str, value: &str) {
    if let Ok(Some(store)) = browser.local_storage() {
        let _ = store.set_item(name, value);
    }
}
