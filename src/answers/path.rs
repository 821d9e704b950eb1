//! A join's path written out, so that it can be replayed by any other program.
//!
//! Every centreline is written as arcs and straights, every pose as a position and a rotation:
//! nothing of this crate is needed to lay the wires there and measure the distance between them.
//! Limits: what is proven holds for the whole motion; between two waypoints in which the fold
//! changes, the states written are samples of it.
//! Conventions: mm and radians, in the receiving link's frame; see [`CONVENTIONS`].
//! Evidence: `tests/insertion.rs` lays the lines of a written path and measures them with a general
//! collision library.

use super::build::BuildError;
use super::report::{JoinAnswer, JoinReport, PathReport, pairs, prove};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::curve::{ClosedCurve, Piece, Point, Pose, Vector};
use crate::geometry::link::Fold;
use crate::motion::insertion::{PathSegment, Phase, Waypoint, WorkOrder};
use serde::Serialize;

/// How a written path is to be read.
pub const CONVENTIONS: [&str; 5] = [
    "Lengths in mm, angles in radians, all in the receiving link's frame: x across the legs, y along the fold's axis, z from fold to tip.",
    "An arc is centre + radius (cos t out + sin t along) for t from 0 to turn; a straight is start + s direction for s from 0 to length. A centreline is the pieces one after the other, closed.",
    "A pose takes a point p of the incoming link's own frame to rotation p rotation* + position; the rotation is a unit quaternion w, x, y, z.",
    "From one waypoint to the next the body point that is at pivot when the motion starts moves straight, the body turns evenly about it on the shorter way, the fold's half angle and the leading lobe's bore change evenly.",
    "The wire is a round tube about its centreline. Each centreline written may be off the true one by deviation; clearance_at_least has both taken off already.",
];

/// States written between two waypoints in which the fold changes.
const BETWEEN: usize = 16;

/// A path, written out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PathDocument {
    /// Version of this form.
    pub linkfold_path: u32,
    /// How it is to be read.
    pub conventions: &'static [&'static str],
    /// The size that receives.
    pub receiving: String,
    /// The size that is worked through it.
    pub incoming: String,
    /// The weave's name.
    pub weave: &'static str,
    /// The order of work that was asked for, or the better one.
    pub order: WorkOrder,
    /// The answer for this path.
    pub verdict: JoinAnswer,
    /// No pose on the path has less clearance; absent where nothing is proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_at_least_mm: Option<f64>,
    /// Some pose on it has no more.
    pub clearance_at_most_mm: f64,
    /// Wire of the receiving link.
    pub receiving_wire_mm: f64,
    /// Wire of the incoming link.
    pub incoming_wire_mm: f64,
    /// How far a written centreline may be off the true one: receiving, incoming.
    pub deviation_mm: [f64; 2],
    /// Centrelines of the links that stay where they are, the receiving one first.
    pub in_place: Vec<Vec<WrittenPiece>>,
    /// About what the link turns.
    pub pivot_mm: [f64; 3],
    /// From outside to joined and closed.
    pub waypoints: Vec<WrittenWaypoint>,
}

/// One waypoint, and what lies between it and the one before.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WrittenWaypoint {
    /// What is being done on the way here.
    pub phase: Phase,
    /// The incoming link here.
    #[serde(flatten)]
    pub state: WrittenState,
    /// Clearance here, at least.
    pub clearance_mm: f64,
    /// No pose between the waypoint before and this has less; absent at the first, and where
    /// nothing is proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clearance_since_mm: Option<f64>,
    /// States at even fractions of the way here, where the fold changes on it; else empty.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub between: Vec<WrittenState>,
}

/// Where the incoming link is, and its shape.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WrittenState {
    /// Position.
    pub position_mm: [f64; 3],
    /// Rotation: w, x, y, z.
    pub rotation: [f64; 4],
    /// Half angle of the fold.
    pub half_angle_rad: f64,
    /// Bore of the leading lobe.
    pub leading_bore_mm: f64,
    /// The centreline in its own frame; absent where it is as at the waypoint before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub centreline: Option<Vec<WrittenPiece>>,
}

/// An arc or a straight.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase", tag = "kind")]
pub enum WrittenPiece {
    /// A straight.
    Straight {
        /// Where it starts.
        start_mm: [f64; 3],
        /// Unit vector.
        direction: [f64; 3],
        /// Its length.
        length_mm: f64,
    },
    /// An arc.
    Arc {
        /// Centre.
        centre_mm: [f64; 3],
        /// Unit vector from the centre to the start.
        out: [f64; 3],
        /// Unit tangent at the start.
        along: [f64; 3],
        /// Radius.
        radius_mm: f64,
        /// Angle run through.
        turn_rad: f64,
    },
}

/// Why there is no path to be written.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PathError {
    /// The design gives no links.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// There is no such join.
    #[error(
        "join {wanted} is asked for; this design has joins 1 to {most}, in the order of its report"
    )]
    NoJoin {
        /// What was asked for, counted from 1.
        wanted: usize,
        /// How many there are.
        most: usize,
    },
    /// The search has no path to show.
    #[error("no path was found for this join: {message}")]
    NoPath {
        /// What the report says of it.
        message: String,
    },
}

impl PathDocument {
    /// The path of the join at `index` of the design's report, counted from 0.
    ///
    /// # Errors
    /// [`PathError`] where the design gives no links, has no such join, or no path was found.
    ///
    /// # Examples
    /// ```
    /// use linkfold::answers::path::PathDocument;
    /// use linkfold::documents::design::Design;
    /// let path = PathDocument::of(&Design::plain(0.9, 12.0), 0).unwrap(); // wire and mandrel, mm
    /// assert!(path.clearance_at_least_mm.unwrap() > 0.0 && path.waypoints.len() > 2);
    /// ```
    pub fn of(design: &Design, index: usize) -> Result<PathDocument, PathError> {
        let formings = design.formings()?;
        let most = pairs(formings.len()).count();
        let missing = PathError::NoJoin { wanted: index.wrapping_add(1), most };
        let (receiving, incoming) = pairs(formings.len()).nth(index).ok_or(missing.clone())?;
        let proven = prove(design, &formings, index, LengthUnit::Mm).ok_or(missing)?;
        let JoinReport { paths, message, .. } = &proven.report;
        let (Some(of), Some(played)) = (paths.first(), proven.paths.first()) else {
            return Err(PathError::NoPath { message: message.clone() });
        };
        let (receiving, incoming) = (&formings[receiving].fold, &formings[incoming].fold);
        let own = receiving.curve();
        let others = proven.before.iter().map(|pose| own.moved(pose));
        let in_place = std::iter::once(own.clone()).chain(others);
        let PathReport { order, verdict, at_least_mm, at_most_mm, .. } = of;
        Ok(PathDocument {
            linkfold_path: 1,
            conventions: &CONVENTIONS,
            receiving: proven.report.receiving.clone(),
            incoming: proven.report.incoming.clone(),
            weave: design.weave.weave().name(),
            order: *order,
            verdict: *verdict,
            clearance_at_least_mm: *at_least_mm,
            clearance_at_most_mm: *at_most_mm,
            receiving_wire_mm: receiving.eight.wire,
            incoming_wire_mm: incoming.eight.wire,
            deviation_mm: [receiving.deviation(), incoming.deviation()],
            in_place: in_place.map(|curve| pieces(&curve)).collect(),
            pivot_mm: triple(&played.pivot.coords),
            waypoints: waypoints(&played.waypoints, &played.pivot, incoming, *at_least_mm),
        })
    }
}

fn waypoints(
    path: &[Waypoint],
    pivot: &Point,
    incoming: &Fold,
    at_least: Option<f64>,
) -> Vec<WrittenWaypoint> {
    let written = |waypoint: &Waypoint, before: Option<&Waypoint>| WrittenWaypoint {
        phase: waypoint.phase,
        state: state(waypoint, before, incoming),
        clearance_mm: waypoint.clearance,
        clearance_since_mm: before.and(at_least),
        between: Vec::new(),
    };
    let first = path.first().map(|waypoint| written(waypoint, None));
    let later = path.windows(2).map(|pair| {
        let (from, to) = (&pair[0], &pair[1]);
        let segment = PathSegment::new(from, to, pivot);
        let fractions = (1..BETWEEN).map(|i| i as f64 / BETWEEN as f64);
        let states = fractions.map(|t| state(&segment.waypoint(t), None, incoming));
        let between = if segment.is_rigid() { Vec::new() } else { states.collect() };
        WrittenWaypoint { between, ..written(to, Some(from)) }
    });
    first.into_iter().chain(later).collect()
}

fn state(waypoint: &Waypoint, before: Option<&Waypoint>, incoming: &Fold) -> WrittenState {
    let Pose { rotation, translation } = &waypoint.pose;
    // Many small turns leave it a trace off a unit.
    let rotation = rotation.quaternion().normalize();
    let shape = |of: &Waypoint| (of.half_angle, of.leading_bore);
    let same = before.is_some_and(|before| shape(before) == shape(waypoint));
    WrittenState {
        position_mm: triple(&translation.vector),
        rotation: [rotation.w, rotation.i, rotation.j, rotation.k],
        half_angle_rad: waypoint.half_angle,
        leading_bore_mm: waypoint.leading_bore,
        centreline: (!same).then(|| pieces(&waypoint.shape(incoming).curve())),
    }
}

fn pieces(curve: &ClosedCurve) -> Vec<WrittenPiece> {
    let written = |piece: &Piece| match piece {
        Piece::Straight(straight) => WrittenPiece::Straight {
            start_mm: triple(&straight.start.coords),
            direction: triple(&straight.direction),
            length_mm: straight.length,
        },
        Piece::Arc(arc) => WrittenPiece::Arc {
            centre_mm: triple(&arc.centre.coords),
            out: triple(&arc.out),
            along: triple(&arc.along),
            radius_mm: arc.radius,
            turn_rad: arc.turn,
        },
    };
    curve.pieces().iter().map(written).collect()
}

fn triple(vector: &Vector) -> [f64; 3] {
    [vector.x, vector.y, vector.z]
}
