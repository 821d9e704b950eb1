//! The page as a pure state machine, apart from the browser.
//!
//! A [`Model`] is all the page knows; [`update`] takes a [`Message`] for everything that can
//! happen and returns the [`Effect`]s to be performed outside; [`screen()`] is what the page is to
//! show, a function of the model. No browser type, no clock: all of it is tested natively.
//!
//! | file | what |
//! | --- | --- |
//! | `model` | the state, the messages, how each changes it |
//! | `effect` | what is asked of the browser |
//! | `asking` | what the worker is asked next, and what is stopped |
//! | `fields` | the design's fields: one table of what they hold, show and read |
//! | `entries` | what is typed in them and is not, or not yet, in the design |
//! | `examples` | the designs to start from |
//! | `choices` | the design's lists and ticks |
//! | `controls` | controls that are no part of the design |
//! | `verdict` | the answer to the whole design |
//! | `analysis` | a design that can be made, with all that is known of it |
//! | `map_state`, `drape_state`, `tuning` | what is known of map, hung chain and search |
//! | `screen` | what an element is to show, as a value |
//! | `views` | a file each: the picture and the panel, and `head` above them |
//! | `tasks` | what the worker does |
//!
//! Evidence: `tests/page_model.rs`.

mod analysis;
mod asking;
mod choices;
mod controls;
mod drape_state;
mod effect;
mod entries;
mod examples;
mod fields;
mod map_state;
mod model;
mod screen;
pub mod tasks;
mod tuning;
mod verdict;
pub mod views;

pub use analysis::Analysis;
pub use asking::{Asked, Asking, PAUSE_MS, Subject};
pub use choices::CONTROLS as DESIGN_CONTROLS;
pub use controls::Controls;
pub use effect::Effect;
pub use entries::{Entries, Entry, Meaning, Place};
pub use examples::examples;
pub use fields::{Field, Value, all as all_fields, find as find_field};
pub use model::{Message, Model, Notice, place_of, undo_titles, update};
pub use screen::{Content, Node, Property, Screen};
pub use verdict::{Basis, Verdict, Word, standing, verdict};
pub use views::screen;
