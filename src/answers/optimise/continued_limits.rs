//! The limits of a link's rest and turns, found by continuation.

use crate::geometry::curve::Pose;
use crate::motion::continuation::ContinuedLink;
use std::sync::OnceLock;

/// A link and its limits, each found when first asked for; none where continuation did not end.
#[derive(Debug, Default)]
pub(super) struct Continued {
    pub link: OnceLock<ContinuedLink>,
    /// From its own measured limits.
    pub own: Limits,
    /// From those of another.
    pub near: Limits,
}

#[derive(Debug, Default)]
pub(super) struct Limits {
    /// Pulled and pushed, mm.
    pub rises: OnceLock<Option<[f64; 2]>>,
    /// Of a link in the one before, about x, y and z.
    pub turns: [OnceLock<Option<Pose>>; 3],
    /// Of a coil, about x and y, and the rod inside, mm.
    pub coils: [OnceLock<Option<(Pose, f64)>>; 2],
}
