//! The browser layer: the page's only way in. Built for wasm32 only.
//!
//! Turns events into messages for [`crate::app`], performs the effects it asks for, shows what it
//! says. No geometry here.
//!
//! | file | what |
//! | --- | --- |
//! | `page` | the model, what only the browser can hold; performs effects, draws |
//! | `renderer` | brings the elements to what the model says |
//! | `worker` | the workers: told what the model asks |
//! | `sheet` | the maker's bench on the page, and the bench sheet to print |
//! | `documents` | examples, saving, opening |
//! | `bench` | the bench kept |
//! | `page_storage`, `browser_storage` | what the browser keeps: the design on the page, others by name |
//! | `linking` | a link with the design in it |
//! | `class` | the work shown to a class, step by step |
//! | `colours` | light, dark, high contrast; calm |
//! | `meanings` | each figure's meaning, one tap away |
//! | `notice` | what the page says about itself, in the flow where it is read |
//! | `tour` | the page in plain words, control by control |
//! | `remembered` | small choices kept from visit to visit |
//! | `out` | the picture and the work as files |
//! | `api` | the core for other pages |
//! | `events`, `pointer` | who hears what |
//! | `fault` | what is left of a panic |
//! | `elements`, `canvas` | the browser's own things |
//! | `shader` | wires and tools lit pixel by pixel |

mod api;
mod bench;
mod browser_storage;
mod canvas;
mod class;
mod colours;
mod crossing;
mod documents;
mod elements;
mod events;
mod fault;
mod linking;
mod meanings;
mod notice;
mod out;
mod page;
mod page_storage;
mod pointer;
mod remembered;
mod renderer;
mod shader;
mod sheet;
mod tour;
mod worker;

pub use page::start;
