//! linkfold: loop-in-loop chain, answered before metal is cut.
//!
//! The map. Each layer uses only itself and the layers above it in this table;
//! `tests/layers.rs` reads the table here and holds the code to it.
//!
//! | layer | what it answers |
//! | --- | --- |
//! | [`math`] | roots, integrals, banded systems, small maximin programmes, lengths; knows no wire |
//! | [`geometry`] | curves, the distance between them, every state of a link, meshes |
//! | [`mechanics`] | metals, bending and springback, forming, beams, the strength of a link |
//! | [`motion`] | one link worked through another; links in a chain; many links hanging |
//! | [`documents`] | the design, the bench and what else is saved or sent; units as typed |
//! | [`answers`] | the report, the plan of a whole chain, the map, the search for a design |
//! | [`render`] | pictures, charts, the bench sheet and the hand-out, as lists of marks |
//! | [`app`] | the page's work apart from the browser |
//! | `web` | the browser: DOM, canvas, storage, worker; built for wasm32 only |
//!
//! The native command (`src/cli`) stands above all of them, in a binary of its own.

pub mod answers;
pub mod app;
pub mod documents;
pub mod geometry;
pub mod math;
pub mod mechanics;
pub mod motion;
pub mod render;
#[cfg(target_arch = "wasm32")]
pub mod web;
