//! Least distance between closed curves of arcs and straights, each in its own pose.
//!
//! Knows curves, not wires: a gap between tubes is this distance less both radii, the
//! caller's to take. Built for a planner that asks thousands of times per verdict: no
//! query allocates, and poses are not baked into the [`Tree`].
//!
//! # How a lower bound is earned
//! Every pair of places is accounted for by one of these, so `distance_at_least` never
//! overstates:
//! 1. *Capsules.* A stretch of arc lies within half its sagitta of its lifted chord; a run
//!    of stretches within a larger capsule. Distance of axes less both radii bounds the
//!    distance of everything inside.
//! 2. *Convexity.* Over a pair of short stretches the second derivatives of the squared
//!    distance are bounded in closed form. Where they prove it convex, its value and slope
//!    at any one pair of places bound it everywhere; at the minimum the slope is gone and
//!    bound and value agree to rounding.
//! 3. *One-way slope.* Where the slope along a stretch cannot change sign, an end is
//!    nearest, and an end against an arc is a closed form.
//! 4. *Axis.* Circles about one axis, or a wire along it, are the same distance all the way
//!    round; a closed form less the departure from that symmetry.
//! 5. *Halving*, with a quadratic bound whose error falls as the cube of the size.
//!
//! Each bound is lowered by a trace for rounding, a few hundred roundings of the largest
//! coordinate.
//!
//! Limits: the answer's interval is at most the tolerance asked for wide, and never
//! finer than [`EXACT`]; where curves are all but equidistant along a length
//! (nearly, not exactly, coaxial circles) a query may take a hundred times longer.
//! Conventions: mm; arc length along a piece from its start.
//! Source: point and circle: Eberly, *Distance to Circles in 3D* (Geometric Tools). The
//! rest is derived in `pair`.
//! Evidence: `tests/distance.rs` (closed forms, a slow oracle, an unrelated program).

mod arc_segment;
mod capsule;
mod contacts;
mod pair;
mod rigid_matrix;
mod search;
mod self_distance;
mod swept;
mod tree;

pub use contacts::{Contact, contacts, contacts_within};
pub use search::{EXACT, Hint, Nearest, Query, nearest, nearest_within};
pub use self_distance::self_distance;
pub use swept::{EvenMotion, stays_clear};
pub use tree::Tree;
