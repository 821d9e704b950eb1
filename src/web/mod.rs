//! The browser door: the page's only way in. Built for wasm32 only.
//!
//! Reads what a person typed, asks the core once, shows what it answers. No geometry here.

mod canvas;
mod fields;
mod page;

pub use page::start;
