//! What crosses between JavaScript and Rust: plain objects, by `serde-wasm-bindgen`.
//!
//! A type's code for serde is made for each reader and writer it meets, a fifth of the module where
//! there were two. So values cross ([`Value`]), which every type is read from and written to anyway.

use crate::documents::json::{self, JsonError};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use serde_wasm_bindgen::{Error, Serializer};
use wasm_bindgen::JsValue;

/// Why an object is not what is wanted.
#[derive(Debug, thiserror::Error)]
pub enum CrossingError {
    /// It holds what no value is, as a function.
    #[error("not a plain object: {0}")]
    NotPlain(#[from] Error),
    /// It holds something else.
    #[error(transparent)]
    Other(#[from] JsonError),
}

/// As a plain object.
pub fn plain(content: &impl Serialize) -> Result<JsValue, Error> {
    json::as_value(content).serialize(&Serializer::json_compatible())
}

/// What a plain object holds.
pub fn read<T: DeserializeOwned>(object: JsValue) -> Result<T, CrossingError> {
    Ok(json::read_value(&value(object)?)?)
}

/// A plain object as a value.
pub fn value(object: JsValue) -> Result<Value, Error> {
    serde_wasm_bindgen::from_value(object)
}
