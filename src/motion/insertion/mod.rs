//! Insertion: will this link go through that one.
//!
//! Two answers. The [`estimate`] asks three closed questions in microseconds. The [`join`]
//! looks for a motion of the incoming link from outside to joined and closed, makes its
//! least clearance as great as it can, and proves what it found (`verify`, where what "proven"
//! means is stated); what cannot be is shown by `infeasibility`.
//!
//! Model: rigid links of round wire; the receiving link is closed and does not move; the
//! incoming fold opens and closes by unwrapping from its jaw.
//! Limits: an estimate is no proof. "Does not pass" is a proof only where the argument is
//! [`RefusalBasis::Section`], or a [`JoinedPoseProof`], which takes seconds, has come to its end
//! ([`RefusalBasis::JoinedPose`]); else it says that a search found no way.
//! Conventions: mm; clearance is metal to metal, below zero where wires would overlap.
//! Evidence: `tests/joining.rs`, `tests/insertion.rs`.

mod aperture;
mod estimate;
mod infeasibility;
mod join;
mod join_search;
mod joined_pose;
mod joined_pose_proof;
mod joined_region;
mod overlap_bound;
mod player;
mod pose_box;
mod pose_search;
mod problem;
mod suggestion;
mod swept_clearance;
mod verify;
mod waypoint;

pub use estimate::{Constriction, Estimate, estimate};
pub use infeasibility::too_wide_by;
pub use join::{InsertionPath, Join, RefusalBasis, Verdict, WorkOrder, elastic_spread};
pub use join_search::{
    is_proven, join, join_in_row, max_clearance, max_clearance_in_row, path_clearance,
    reaches_clearance,
};
pub use joined_pose_proof::{JoinedPoseProof, PROOF_PARTS};
pub use player::{Moment, PathPlayer};
pub use problem::PlacedLink;
pub use suggestion::{
    CHANGEABLE, JoinSuggestion, ToolPair, is_of_incoming, searched_for, suggestion,
};
pub use waypoint::{PathSegment, Phase, Waypoint};
