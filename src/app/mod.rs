//! The page's work apart from the browser.

#[cfg(target_arch = "wasm32")]
pub mod tasks;
