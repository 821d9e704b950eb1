//! The verdict on one join: both orders of work, the best way found, what is proven.

use super::waypoint::Waypoint;
use crate::geometry::curve::{Point, Pose};
use crate::geometry::link::Fold;
use serde::{Deserialize, Serialize};

/// The answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Proven: a motion without contact exists.
    Passes,
    /// Not with the tips opened as the design says, but with them sprung further.
    PassesIfSprung,
    /// It does not go; see the argument.
    DoesNotPass,
    /// Between the two, within the stated band.
    Undecided,
}

/// What "does not pass" rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RefusalBasis {
    /// A proof: the lobe is wider than the opening it must go through.
    Section,
    /// No proof: no joined pose without overlap was found, the tips closed.
    Rest,
    /// A proof, which [`join`] leaves to be had later: no joined pose without overlap exists, the tips
    /// closed.
    JoinedPose,
    /// No proof: the widest way found overlaps.
    Search,
}

/// Order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WorkOrder {
    /// The flat figure eight threaded first, then folded in place.
    FlatThenFolded,
    /// Folded part-way first, then worked through; the tips closed last.
    FoldedThenJoined,
}

/// One order of work, tried.
#[derive(Clone, Debug, PartialEq)]
pub struct InsertionPath {
    /// Which order.
    pub order: WorkOrder,
    /// The answer.
    pub verdict: Verdict,
    /// What a refusal rests on.
    pub argument: Option<RefusalBasis>,
    /// Half angle the incoming fold is held at on the way in, radians.
    pub open: f64,
    /// Bore that the leading lobe is pressed to until it is through, mm; none where it is threaded
    /// as it is.
    pub threading_bore: Option<f64>,
    /// Clear gap between the incoming tips then, mm.
    pub open_tip_gap: f64,
    /// How much further the tips must be sprung than the design says, mm.
    pub sprung: f64,
    /// The least clearance on the way is at least this, mm: proven, and minus infinity where
    /// nothing is.
    pub at_least: f64,
    /// And at most this, mm, on the path found.
    pub at_most: f64,
    /// Index of the waypoint at or before which it is tightest.
    pub tightest: usize,
    /// Where the wires come nearest there, receiving link's frame.
    pub place: Point,
    /// From outside to joined and closed. From each to the next the body point that starts at
    /// `pivot` moves straight, the body turns evenly about it, the fold closes evenly.
    pub waypoints: Vec<Waypoint>,
    /// About what the link turns, receiving link's frame.
    pub pivot: Point,
}

/// One link joined to the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// Clearance of the joined pair, closed, with most clearance, mm.
    pub rest: f64,
    /// The incoming link's pose then.
    pub rest_pose: Pose,
    /// Each order of work: the one the design asks for first, by saying how far the fold stands
    /// open; else the better first.
    pub paths: Vec<InsertionPath>,
}

impl Join {
    /// The order of work asked for, else the better.
    pub fn best(&self) -> &InsertionPath {
        &self.paths[0]
    }
}

/// How far the tips of `fold` can be sprung open before the wire takes a set, mm, for a metal
/// that yields at the strain `yield_strain`.
///
/// The fold is bent evenly over its wrapped length `2 R ψ`; first yield is at a change of
/// curvature of `2 ε / d`, and the tips swing about the fold's middle at the height of
/// the legs. An estimate: a pull at the tips bends the fold most at its middle.
pub fn elastic_spread(fold: &Fold, yield_strain: f64) -> f64 {
    let bend = 2.0 * yield_strain / fold.eight.wire;
    bend * 2.0 * fold.radius * fold.half_angle * fold.tip_height()
}
