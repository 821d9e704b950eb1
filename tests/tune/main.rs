//! Tune against what is known: designs found again from their own figures, lists against every
//! choice, published test functions, refusals made on purpose.
#![cfg(not(target_arch = "wasm32"))]

mod any;
mod round_trip;
