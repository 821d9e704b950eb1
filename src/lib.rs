//! linkfold: loop-in-loop chain, answered before metal is cut.
//!
//! The map. The number is the floor; a room uses only rooms on lower floors
//! (`tests/floors.rs` holds us to it).
//!
//! | floor | room | what it answers |
//! | --- | --- | --- |
//! | 0 | [`units`] | millimetres, and lengths as a maker types them |
//! | 0 | [`json`] | JSON in and out, through one door for every type |
//! | 0 | [`numeric`] | roots of equations, integrals; knows no wire |
//! | 1 | [`document`] | documents of our own, read strictly |
//! | 1 | [`curve`] | arcs, straights and the closed centrelines made of them |
//! | 1 | [`metal`] | how heavy, stiff and strong a metal is, and how it hardens |
//! | 2 | [`clearance`] | how near two closed curves come, or one to itself |
//! | 2 | [`wire`] | gauge numbers; how a round wire bends, and how much of a bend it keeps |
//! | 3 | [`beam`] | how a bent wire gives under small loads, and where it is stressed most |
//! | 3 | [`rod`] | what shape a ring takes between round jaws, and keeps when let go |
//! | 4 | [`form`] | stretch, pinch, fold: a ring becomes a link |
//! | 5 | [`chain`] | how links lie, swing and hang in a chain |
//! | 5 | [`threading`] | what passes through what |
//! | 5 | [`working`] | what the metal gives back at each step, how hard it is worked, when to anneal |
//! | 5 | [`strength`] | how a link gives under a pull, and what it bears |
//! | 5 | [`solid`] | round wire as a surface, for printing and viewing |
//! | 6 | [`design`] | the one document a user saves |
//! | 7 | [`bench`] | the maker's own wires, tools, prices and minutes; where a diameter sits on a cone |
//! | 7 | [`history`] | what was done to the design, to be undone and redone |
//! | 7 | [`keep`] | designs kept in the browser, none lost |
//! | 7 | [`map`] | how the answer turns when two dimensions change |
//! | 7 | [`share`] | a link that carries a design |
//! | 8 | [`plan`] | the whole chain on paper: rings, wire, ends, the hand |
//! | 9 | [`report`] | the one answer: every room asked |
//! | 10 | [`tune`] | from the chain wanted to the dimensions to work to |
//! | 11 | [`picture`] | what to draw, as plain lists of marks |
//! | 12 | `helper` | what runs beside the page, built for wasm32 only |
//! | 13 | `web` | the browser's door, built for wasm32 only |

pub mod beam;
pub mod bench;
pub mod chain;
pub mod clearance;
pub mod curve;
pub mod design;
pub mod document;
pub mod form;
#[cfg(target_arch = "wasm32")]
pub mod helper;
pub mod history;
pub mod json;
pub mod keep;
pub mod map;
pub mod metal;
pub mod numeric;
pub mod picture;
pub mod plan;
pub mod report;
pub mod rod;
pub mod share;
pub mod solid;
pub mod strength;
pub mod threading;
pub mod tune;
pub mod units;
#[cfg(all(target_arch = "wasm32", not(feature = "helper")))]
pub mod web;
pub mod wire;
pub mod working;
