//! The browser door: the page's only way in. Built for wasm32 only.
//!
//! Reads what a person typed, asks the core, shows what it answers. No geometry here.
//!
//! | file | what |
//! | --- | --- |
//! | `page` | the page's state; asks the core, draws |
//! | `work` | what was asked and answered last: all a view needs |
//! | `views` | a file each: what the picture shows and what stands in its panel |
//! | `bench` | the design's fields, and complaints beside them |
//! | `fields` | what stands in a field, and back into the design |
//! | `metal` | the metal's controls, and back into the design |
//! | `answer` | the verdict and its reasons |
//! | `helper` | the page's side of its helper: what is asked next, what is cancelled |
//! | `charted` | the map of the design, and moving the design about on it |
//! | `hanging` | the chain measured, bent and hung, kept until the design changes |
//! | `sheet` | the maker's bench on the page, and the bench sheet to print |
//! | `documents` | examples, saving, opening |
//! | `costs` | the bench kept; its prices and minutes |
//! | `keeping`, `shelf` | what the browser keeps: the design on the page, others by name |
//! | `linking` | a link with the design in it |
//! | `undoing` | undo and redo |
//! | `class` | the work shown to a class, step by step |
//! | `colours` | light, dark, high contrast; calm |
//! | `meanings` | each figure's meaning, one tap away |
//! | `telling` | what the page says about itself, at an edge of the window |
//! | `tour` | the page in plain words, control by control |
//! | `remembered` | small choices kept from visit to visit |
//! | `out` | the picture and the work as files |
//! | `api` | the core for other pages |
//! | `events`, `pointer` | who hears what |
//! | `fault` | what is left of a panic |
//! | `elements`, `canvas` | the browser's own things |

mod answer;
mod api;
mod bench;
mod canvas;
mod charted;
mod class;
mod colours;
mod costs;
mod documents;
mod drawer;
mod elements;
mod events;
mod fault;
mod fields;
mod hanging;
mod helper;
mod keeping;
mod linking;
mod meanings;
mod metal;
mod out;
mod page;
mod planned;
mod pointer;
mod remembered;
mod sheet;
mod shelf;
mod telling;
mod tour;
mod tuning;
mod undoing;
mod views;
mod work;

pub use page::start;
