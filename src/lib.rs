//! linkfold: loop-in-loop chain, answered before metal is cut.
//!
//! The map. Each layer uses itself and those named beside it, which all stand above it;
//! `tests/layers.rs` reads the table here and holds the code to it.
//!
//! | layer | uses | what it answers |
//! | --- | --- | --- |
//! | [`math`] | | roots, integrals, banded systems, small maximin programmes, lengths; knows no wire |
//! | [`geometry`] | `math` | curves, the distance between them, every state of a link |
//! | [`mechanics`] | `math`, `geometry` | metals, bending and springback, forming, beams, the strength of a link |
//! | [`motion`] | `math`, `geometry` | one link worked through another; links in a chain; many links hanging |
//! | [`drawing`] | `math`, `geometry` | marks, the camera, wires and solids laid as marks; knows no design |
//! | [`mesh`] | `math`, `geometry` | closed surfaces of tubes and prisms, and the files that hold them |
//! | [`documents`] | `math` | the design, the bench and what else is saved or sent; units as typed |
//! | [`answers`] | `math`, `geometry`, `mechanics`, `motion`, `mesh`, `documents` | links from a design, the report, the plan of a whole chain, the map, the search for a design |
//! | [`render`] | `math`, `geometry`, `motion`, `drawing`, `documents`, `answers` | pictures, charts, the bench sheet and the hand-out, as lists of marks |
//! | [`app`] | `math`, `geometry`, `motion`, `drawing`, `documents`, `answers`, `render` | the page's work apart from the browser |
//! | `web` | `math`, `geometry`, `motion`, `mesh`, `drawing`, `documents`, `answers`, `render`, `app` | the browser: DOM, canvas, storage, worker; built for wasm32 only |
//!
//! The native command (`src/cli`) stands above all of them, in a binary of its own.
//!
//! # One link through the layers
//!
//! A maker has wire of 0.9 mm and a mandrel of 12 mm. The [design document](documents::design)
//! holds just that; `answers::build` fills in the usual proportions and turns it into the tools
//! of every step, and [`geometry::link`] into shapes: ring, oval, figure eight, fold, each a
//! closed line of arcs and straights whose length is that of the ring.
//!
//! ```
//! use linkfold::documents::design::Design;
//! let design = Design::plain(0.9, 12.0); // wire and mandrel, mm
//! let link = &design.formings()?[0];
//! assert!((link.fold.curve().length() - link.ring.centreline).abs() < 1e-9);
//! # Ok::<(), linkfold::answers::build::BuildError>(())
//! ```
//!
//! Metal springs back: [`mechanics::forming`] follows each step through the moment and curvature
//! of the [section](mechanics::section), says what is left when the jaws open, how far the wire is
//! strained and when to anneal. Will a second link go through? [`motion::insertion`] searches for
//! a path and proves that no two wires touch on it, by bounds on the
//! [distance](geometry::distance) of their centrelines; how the joined links lie, swing and hang is
//! for [`motion::chain`] and [`motion::drape`], and what they bear for [`mechanics::strength`].
//!
//! ```
//! # use linkfold::documents::design::Design;
//! use linkfold::motion::insertion::{Verdict, join};
//! # let design = Design::plain(0.9, 12.0);
//! # let link = &design.formings()?[0];
//! assert_eq!(join(link, link).best().verdict, Verdict::Passes);
//! # Ok::<(), linkfold::answers::build::BuildError>(())
//! ```
//!
//! [`answers`] puts this into a report in the maker's words, into a plan of the whole chain, a map
//! over two dimensions, or a search for the dimensions that give a wanted chain. [`render`] draws
//! it as lists of marks, the same for screen, SVG and print.

// A crate of their own, since Cargo sets by the crate whether to compile for speed or for size.
pub use linkfold_kernel::{drawing, geometry, math, mechanics, motion};

pub mod answers;
pub mod app;
pub mod documents;
pub mod mesh;
pub mod render;
#[cfg(target_arch = "wasm32")]
pub mod web;
