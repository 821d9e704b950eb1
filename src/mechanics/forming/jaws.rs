//! The inverse: which tool, or how much further, for the shape that is wanted.

use super::run::{FormingError, FormingRun};
use crate::geometry::link::{Fold, Forming, ToolDimension};
use std::f64::consts::PI;

/// Tools that leave, after springback, what the design asks for; mm and radians. `None` where
/// no such tool does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jaws {
    /// Mandrel whose coil has the design's mandrel as its inside diameter.
    pub mandrel: f64,
    /// Jaws whose ends keep the radius that the design's jaws give.
    pub oval_jaw: f64,
    /// Inside length to stretch to; `None` where that is past taut.
    pub oval_length: Option<f64>,
    /// Waist gap to pinch to; `None` where it springs open further than that even when pinched
    /// shut.
    pub waist_gap: Option<f64>,
    /// The least waist gap that one pinch leaves.
    pub least_waist_gap: f64,
    /// Fold jaw that keeps the design's radius.
    pub fold_jaw: f64,
    /// Angle to fold through over that jaw, both sides together.
    pub fold_angle: f64,
    /// How much further than the design's angle that is.
    pub over_bend: f64,
    /// Whether the tips meet before that angle is reached.
    pub tips_meet_first: bool,
    /// The tip gap left when the tips are pressed together over the design's own jaw and released.
    pub least_tip_gap: f64,
}

impl Jaws {
    /// From a run: what it gave back is asked for in advance.
    ///
    /// # Errors
    /// [`FormingError::Section`] where the fold would have to be tighter than the wire's own
    /// radius.
    pub fn of(run: &FormingRun) -> Result<Jaws, FormingError> {
        let Forming { setting, eight, fold, taut, oval, .. } = &run.held;
        let wire = setting.wire;
        let wanted_radius = 0.5 * (setting.oval_jaw + wire);
        let oval_radius = wanted_radius * run.oval[0].tip_radius / run.oval[1].tip_radius;
        let given_back = run.oval[0].inside_length - run.oval[1].inside_length;
        let oval_length = oval.inside_length() + given_back;
        let opens = (run.eight[1].waist_gap - run.eight[0].waist_gap).max(0.0);
        let tighter = run.folding.bend_for(1.0 / fold.radius)?;
        let fraction = 1.0 / (fold.radius * tighter);
        let half = fold.half_angle / fraction;
        let over =
            Fold { radius: 1.0 / tighter, half_angle: half.min(PI), eight: *eight, pressed: None };
        let met = closed_tips(fold);
        let left = Fold {
            radius: met.radius / run.fold_share,
            half_angle: met.half_angle * run.fold_share,
            eight: *eight,
            pressed: None,
        };
        Ok(Jaws {
            mandrel: run.mandrel_for,
            oval_jaw: (2.0 * oval_radius - wire).max(0.0),
            oval_length: (oval_length <= taut.inside_length()).then_some(oval_length),
            waist_gap: (setting.waist_gap >= opens).then_some(setting.waist_gap - opens),
            least_waist_gap: opens,
            fold_jaw: (2.0 / tighter - wire).max(0.0),
            fold_angle: 2.0 * half,
            over_bend: 2.0 * (half - fold.half_angle),
            tips_meet_first: over.tip_gap() < 0.0 || half > PI,
            least_tip_gap: left.tip_gap().max(0.0),
        })
    }
}

/// `fold` bent on until its tips meet, or as it is where they do not.
fn closed_tips(fold: &Fold) -> Fold {
    let wire = fold.eight.wire;
    Fold::over(fold.eight, 2.0 * fold.radius - wire, 0.0, ToolDimension::TipGap).unwrap_or(*fold)
}
