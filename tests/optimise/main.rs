//! The search for a design against what is known: designs found again from their own figures, lists against every
//! choice, published test functions, refusals made on purpose, wishes that make no sense.
#![cfg(not(target_arch = "wasm32"))]

mod any;
mod hostile;
mod lists;
mod maximin;
mod refusals;
mod round_trip;
mod sensitivities;
mod trade_off;
