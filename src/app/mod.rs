//! The page as a pure state machine, apart from the browser.
//!
//! A [`Model`] is all the page knows; [`update`] takes a [`Message`] for everything that can
//! happen and returns the [`Effect`]s to be performed outside; [`screen()`] is what the page is to
//! show, a function of the model. No browser type, no clock: all of it is tested natively.
//!
//! | file | what |
//! | --- | --- |
//! | `model` | the state |
//! | `message`, `update` | all that can happen, and how it changes the state |
//! | `changes`, `sizes` | the design changed, undone; sizes and trial links added and removed |
//! | `effect` | what is asked of the browser |
//! | `pending`, `requests` | what is waited for; what which worker is asked next, what is stopped |
//! | `fields` | the design's fields: one table of what they hold, show and read |
//! | `entries` | what is typed in them and is not, or not yet, in the design |
//! | `examples` | the designs to start from |
//! | `choices` | the design's lists and ticks |
//! | `bench_entries`, `stock` | the bench's fields as they are typed |
//! | `controls` | controls that are no part of the design |
//! | `verdict` | the answer to the whole design |
//! | `analysis` | a design that can be made, with all that is known of it |
//! | `map_state`, `drape_state`, `optimise_state` | what is known of map, hung chain and search |
//! | `map_moves`, `in_hand` | the design dragged about on the map, a hand on the chain |
//! | `gestures` | hands and keys on the picture, the player, what moves by itself |
//! | `tabs` | the views by name, and the tabs they stand on |
//! | `saved` | the designs kept in this browser |
//! | `lesson`, `teaching`, `tour` | how far a class has been shown the work and beside what, and a newcomer the page |
//! | `screen` | what an element is to show, as a value |
//! | `views` | a file each: the picture and the panel, and `head` above them |
//! | `tasks` | what a worker does |
//!
//! Evidence: `tests/page_model.rs`.

mod analysis;
mod bench_entries;
mod changes;
mod choices;
mod controls;
mod drape_state;
mod effect;
mod entries;
mod examples;
mod fields;
mod gestures;
mod in_hand;
mod lesson;
mod map_moves;
mod map_state;
mod message;
mod model;
mod optimise_state;
mod pending;
mod requests;
mod saved;
mod screen;
mod sizes;
pub mod stock;
pub mod tabs;
pub mod tasks;
mod teaching;
mod tour;
mod update;
mod verdict;
pub mod views;

pub use crate::answers::report::DesignVerdict;
pub use analysis::Analysis;
pub use bench_entries::is_bench_field;
pub use choices::CONTROLS as DESIGN_CONTROLS;
pub use controls::Controls;
pub use effect::Effect;
pub use entries::{Entries, Entry, Meaning, Place};
pub use examples::examples;
pub use fields::{Field, Value, all as all_fields, find as find_field};
pub use gestures::{Gesture, SeenPicture};
pub use lesson::{LessonMove, LessonState};
pub use message::Message;
pub use model::{Model, Notice, place_of, undo_titles};
pub use pending::{MOST_WORKERS, PAUSE_MS, PendingRequest, PendingRequests, Subject};
pub use saved::Saved;
pub use screen::{Content, Node, Property, Screen};
pub use tour::{STOPS as TOUR_STOPS, Tour, TourMove};
pub use update::update;
pub use verdict::{Basis, ShownVerdict, paper_verdict, standing, verdict};
pub use views::screen;
