//! The figures of a join, as the report holds them.

use crate::answers::build::field_of;
use crate::documents::units::{LengthUnit, length_text, length_text_down};
use crate::geometry::curve::{Point, Pose};
use crate::geometry::link::ToolDimension;
use crate::motion::insertion::{RefusalBasis, Verdict, Waypoint, WorkOrder};
use serde::{Deserialize, Serialize};

/// One join: a link worked through both lobes of the one before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JoinReport {
    /// The size that receives.
    pub receiving: String,
    /// The size that is worked through it.
    pub incoming: String,
    /// The answer in a word.
    pub verdict: JoinAnswer,
    /// What the answer rests on: `proof`, `search` or `estimate`; `refused` where a weave's
    /// joining cannot be computed.
    pub basis: String,
    /// Least clearance, metal to metal; below zero where wires would overlap. Proven where
    /// `basis` is `proof` and it passes.
    pub least_clearance_mm: f64,
    /// Clearance asked for by the design.
    pub margin_mm: f64,
    /// The answer in a sentence.
    pub message: String,
    /// The estimate, place by place.
    pub reasons: Vec<Reason>,
    /// Clearance of the joined pair at rest, closed, with most clearance; absent in an estimate.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rest_clearance_mm: Option<f64>,
    /// Both orders of work, the better first; empty in an estimate.
    pub paths: Vec<PathReport>,
    /// The smallest change of each one dimension that gives the clearance asked for, where there is
    /// not enough.
    pub suggestions: Vec<SuggestionReport>,
}

impl JoinReport {
    /// The least clearance as callipers would show it; where it is proven, rounded down.
    pub fn clearance_text(&self, unit: LengthUnit) -> String {
        match self.verdict {
            JoinAnswer::Passes | JoinAnswer::PassesIfSprung => {
                length_text_down(self.least_clearance_mm, unit)
            }
            _ => length_text(self.least_clearance_mm, unit),
        }
    }
}

impl JoinReport {
    /// Bore, mm, that the leading lobe is pressed to on the way found; none where it goes as it is.
    pub fn threading_bore(&self) -> Option<f64> {
        self.paths.first()?.threading_bore_mm
    }
}

/// The answer in a word. An estimate never says "passes".
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum JoinAnswer {
    /// Proven to pass.
    Passes,
    /// Proven to pass if the tips are sprung open further than the design says.
    PassesIfSprung,
    /// It does not pass.
    DoesNotPass,
    /// Too near to tell.
    Undecided,
    /// Estimate: every condition holds with the clearance asked for.
    LikelyPasses,
    /// Estimate: it would go, but with less clearance than asked for.
    Tight,
    /// Estimate: a condition fails.
    LikelyDoesNotPass,
}

impl JoinAnswer {
    /// As it is written in a report.
    pub fn word(self) -> &'static str {
        match self {
            JoinAnswer::Passes => "passes",
            JoinAnswer::PassesIfSprung => "passes-if-sprung",
            JoinAnswer::DoesNotPass => "does-not-pass",
            JoinAnswer::Undecided => "undecided",
            JoinAnswer::LikelyPasses => "likely-passes",
            JoinAnswer::Tight => "tight",
            JoinAnswer::LikelyDoesNotPass => "likely-does-not-pass",
        }
    }
}

impl From<Verdict> for JoinAnswer {
    fn from(verdict: Verdict) -> JoinAnswer {
        match verdict {
            Verdict::Passes => JoinAnswer::Passes,
            Verdict::PassesIfSprung => JoinAnswer::PassesIfSprung,
            Verdict::DoesNotPass => JoinAnswer::DoesNotPass,
            Verdict::Undecided => JoinAnswer::Undecided,
        }
    }
}

/// Clearance at one place, by estimate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reason {
    /// Where: `aperture`, `bore` or `fold`.
    pub place: String,
    /// Clearance in all, below zero where it does not go.
    pub spare_mm: f64,
    /// In a maker's words.
    pub message: String,
}

/// One order of work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PathReport {
    /// `flat-then-folded` or `folded-then-joined`.
    pub order: WorkOrder,
    /// The answer for this order.
    pub verdict: JoinAnswer,
    /// What a refusal rests on: `section` and `joined-pose` are proofs; `rest` and `search`
    /// found no way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub argument: Option<RefusalBasis>,
    /// Least clearance of the way found: no less than this; absent where nothing is proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_least_mm: Option<f64>,
    /// And no more than this.
    pub at_most_mm: f64,
    /// What is being done where it is tightest.
    pub phase: String,
    /// Where that is: across the legs, along the fold, up the receiving link.
    pub place_mm: [f64; 3],
    /// Angle the incoming fold is bent through on the way in.
    pub folded_to_deg: f64,
    /// Clear gap between its tips then.
    pub open_tip_gap_mm: f64,
    /// Bore the leading lobe is pressed to until it is through; absent where it goes as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub threading_bore_mm: Option<f64>,
    /// Strain of the outermost fibre at that lobe's end when it is pressed, and again when it is
    /// opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub press_strain: Option<f64>,
    /// How much further than the design says the tips must be sprung open.
    pub sprung_mm: f64,
    /// In a maker's words.
    pub message: String,
}

/// Another dimension of the same change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChangeReport {
    /// The dimension, as named in the design.
    pub field: String,
    /// To what.
    pub to_mm: f64,
    /// Change.
    pub by_mm: f64,
}

impl ChangeReport {
    /// A change of `dimension` by `by_mm`.
    pub fn of(dimension: ToolDimension, to_mm: f64, by_mm: f64) -> ChangeReport {
        ChangeReport { field: field_of(dimension).into(), to_mm, by_mm }
    }
}

/// A change that gives the clearance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SuggestionReport {
    /// The dimension, as named in the design.
    pub field: String,
    /// To what.
    pub to_mm: f64,
    /// Change.
    pub by_mm: f64,
    /// What must change with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<ChangeReport>,
    /// Whether the changed join is proven to pass with the clearance asked for.
    pub proven: bool,
    /// In a maker's words.
    pub message: String,
}

impl SuggestionReport {
    /// Those changes together, the first of them leading; none where there are none.
    pub fn of(
        changes: impl IntoIterator<Item = ChangeReport>,
        proven: bool,
        message: String,
    ) -> Option<SuggestionReport> {
        let mut each = changes.into_iter();
        let ChangeReport { field, to_mm, by_mm } = each.next()?;
        Some(SuggestionReport { field, to_mm, by_mm, with: each.collect(), proven, message })
    }

    /// Whether it changes nothing but how the link is shaped.
    pub fn is_of_jaws(&self) -> bool {
        !matches!(self.field.as_str(), "wire" | "mandrel_mm")
    }
}

/// A proven join, and the path that can be played.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ProvenJoin {
    /// What is said of it.
    pub report: JoinReport,
    /// A path for each of the report's, from outside to joined and closed; where it does not
    /// pass, the best that was found, in which wires overlap.
    pub paths: Vec<PlayedPath>,
    /// Where links of the receiving kind lie already, besides the one gone through.
    pub before: Vec<Pose>,
}

/// A path, to be played by [`PathPlayer`](crate::motion::insertion::PathPlayer).
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlayedPath {
    /// Where it passes through.
    pub waypoints: Vec<Waypoint>,
    /// About what the link turns, receiving link's frame.
    pub pivot: Point,
    /// Share of it done where it is tightest.
    pub tightest_fraction: f64,
}
