//! The inverse: which tool, or how much further, for the shape that is wanted.
//!
//! The size is formed and released again and again: what a round misses is asked for in addition in the
//! next, until the released link measures what was wanted.
//! Evidence: `tests/forming.rs`, which forms with the tools found.

use super::run::{Anneals, FormingError, FormingRun};
use crate::geometry::link::{Fold, Forming, ToolDimension, ToolDimensions};
use crate::mechanics::material::FlowCurve;
use std::f64::consts::PI;

/// A released length may miss what was wanted by this, mm: a tenth of what callipers show.
const CLOSE_ENOUGH: f64 = 1e-3;

/// Rounds of forming. Each leaves a few hundredths of what the one before missed.
const ROUNDS: usize = 6;

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
    /// Inside length of the oval that these tools leave; taut, where that is not what is wanted.
    pub left_oval_length: f64,
    /// Waist gap to pinch to; `None` where it springs open further than that even when pinched
    /// shut.
    pub waist_gap: Option<f64>,
    /// Waist gap that these tools leave; pinched shut, where that is not what is wanted.
    pub left_waist_gap: f64,
    /// Pinching jaws whose edges leave a neck's ends and the lobes' shoulders their radius; the
    /// design's own without a neck.
    pub pinch_jaw: f64,
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
    /// The tools that leave `wanted` in metal of this flow curve, and what they leave.
    ///
    /// # Errors
    /// [`FormingError`] naming a step that cannot be followed; [`FormingError::Section`] where the fold would have to be tighter than the wire's own radius.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::ToolDimensions;
    /// use linkfold::mechanics::forming::{Anneals, Jaws};
    /// use linkfold::mechanics::material::{Band, known_metal};
    /// let silver = known_metal("sterling-silver").unwrap().flow_curve(Band::Likely);
    /// let wanted = ToolDimensions { waist_gap: 1.0, ..ToolDimensions::usual(1.0, 13.0) };
    /// let jaws = Jaws::for_released(&wanted, silver, Anneals::default())?;
    /// assert!(jaws.waist_gap.unwrap() < 1.0); // pinched further, it springs open to 1 mm
    /// # Ok::<(), linkfold::mechanics::forming::FormingError>(())
    /// ```
    pub fn for_released(
        wanted: &ToolDimensions,
        flow: FlowCurve,
        anneals: Anneals,
    ) -> Result<Jaws, FormingError> {
        let first = FormingRun::of(wanted, flow, anneals)?;
        Jaws::from(&first, flow, anneals)
    }

    /// As [`Jaws::for_released`] for a size whose wanted dimensions were run as tools already.
    pub(super) fn from(
        first: &FormingRun,
        flow: FlowCurve,
        anneals: Anneals,
    ) -> Result<Jaws, FormingError> {
        let Forming { setting: wanted, eight, fold, taut, oval, .. } = &first.loaded;
        let wanted_length = oval.inside_length();
        let mut asked = WantedShape {
            oval_radius: 0.5 * (wanted.oval_jaw + wanted.wire),
            oval_length: wanted_length,
            waist_gap: wanted.waist_gap,
            pinch_radius: 0.5 * (wanted.pinch_jaw + wanted.wire),
        };
        let (wanted_radius, wanted_pinch) = (asked.oval_radius, asked.pinch_radius);
        let mut run = first.clone();
        let mut left = asked.left_by(&run);
        for _ in 0..ROUNDS {
            let next = WantedShape {
                oval_radius: asked.oval_radius + wanted_radius - left.oval_radius,
                oval_length: (asked.oval_length + wanted_length - left.oval_length)
                    .min(taut.inside_length()),
                waist_gap: (asked.waist_gap + wanted.waist_gap - left.waist_gap).max(0.0),
                pinch_radius: asked.pinch_radius + wanted_pinch - left.pinch_radius,
            };
            if next.near(&asked) {
                break;
            }
            // Where tools cannot be followed, the last that can stand, with what they leave.
            let Ok(formed) = FormingRun::of(&next.on(wanted), flow, anneals) else { break };
            (asked, run) = (next, formed);
            left = asked.left_by(&run);
        }
        let tighter = run.folding.bend_for(1.0 / fold.radius)?;
        let fraction = 1.0 / (fold.radius * tighter);
        let half = fold.half_angle / fraction;
        let over =
            Fold { radius: 1.0 / tighter, half_angle: half.min(PI), eight: *eight, pressed: None };
        let met = closed_tips(fold);
        let share = run.fold_share;
        let pressed = Fold {
            radius: met.radius / share,
            half_angle: met.half_angle * share,
            eight: *eight,
            pressed: None,
        };
        let reached = |left: f64, wanted: f64| (left - wanted).abs() <= 10.0 * CLOSE_ENOUGH;
        Ok(Jaws {
            mandrel: first.mandrel_for,
            oval_jaw: (2.0 * asked.oval_radius - wanted.wire).max(0.0),
            oval_length: reached(left.oval_length, wanted_length).then_some(asked.oval_length),
            left_oval_length: left.oval_length,
            waist_gap: reached(left.waist_gap, wanted.waist_gap).then_some(asked.waist_gap),
            left_waist_gap: left.waist_gap,
            pinch_jaw: (2.0 * asked.pinch_radius - wanted.wire).max(0.0),
            fold_jaw: (2.0 / tighter - wanted.wire).max(0.0),
            fold_angle: 2.0 * half,
            over_bend: 2.0 * (half - fold.half_angle),
            tips_meet_first: over.tip_gap() < 0.0 || half > PI,
            least_tip_gap: pressed.tip_gap().max(0.0),
        })
    }
}

/// Dimensions of the oval and the waist: as the tools are set, or as they are left.
#[derive(Clone, Copy)]
struct WantedShape {
    /// Radius of the oval's ends on the centreline.
    oval_radius: f64,
    oval_length: f64,
    waist_gap: f64,
    /// Radius of a neck's ends and of the lobes' shoulders on the centreline.
    pinch_radius: f64,
}

impl WantedShape {
    fn on(&self, wanted: &ToolDimensions) -> ToolDimensions {
        ToolDimensions {
            oval_jaw: (2.0 * self.oval_radius - wanted.wire).max(0.0),
            oval_length: Some(self.oval_length),
            waist_gap: self.waist_gap,
            pinch_jaw: (2.0 * self.pinch_radius - wanted.wire).max(0.0),
            ..*wanted
        }
    }

    /// What stays of it by `run`, whose tools are set so. The oval is followed nearly to the
    /// length asked for, and what springs back there stands for the rest.
    fn left_by(&self, run: &FormingRun) -> WantedShape {
        let change = |of: fn(&super::SprungShape) -> f64, pair: &[super::SprungShape; 2]| {
            of(&pair[1]) - of(&pair[0])
        };
        WantedShape {
            oval_radius: self.oval_radius * run.oval[1].tip_radius / run.oval[0].tip_radius,
            oval_length: self.oval_length + change(|shape| shape.inside_length, &run.oval),
            waist_gap: self.waist_gap + change(|shape| shape.waist_gap, &run.eight).max(0.0),
            pinch_radius: self.pinch_radius / run.neck_share,
        }
    }

    fn near(&self, other: &WantedShape) -> bool {
        let apart = [
            self.oval_radius - other.oval_radius,
            self.oval_length - other.oval_length,
            self.waist_gap - other.waist_gap,
            self.pinch_radius - other.pinch_radius,
        ];
        apart.iter().all(|difference| difference.abs() < CLOSE_ENOUGH)
    }
}

/// `fold` bent on until its tips meet, or as it is where they do not.
fn closed_tips(fold: &Fold) -> Fold {
    let wire = fold.eight.wire;
    Fold::over(fold.eight, 2.0 * fold.radius - wire, 0.0, ToolDimension::TipGap).unwrap_or(*fold)
}
