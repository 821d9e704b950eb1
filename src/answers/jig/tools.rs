//! What tools are set to, so that the released link has the design's shape, and what they must bear.

use super::error::JigError;
use crate::answers::build::BuildError;
use crate::documents::design::{Design, Shapes};
use crate::geometry::link::{Fold, Forming, Oval, ToolDimension, ToolDimensions};
use crate::math::units::Mm;
use crate::mechanics::forming::Jaws;
use crate::mechanics::material::Band;
use crate::mechanics::printed::PostLoad;
use crate::mechanics::section::{Bending, RoundSection};

/// The tools of one size, springback allowed for.
pub struct CorrectedTools {
    /// Which size, from 0.
    pub size: usize,
    /// What they are set to.
    pub tools: ToolDimensions,
    /// Inside length to stretch to, mm.
    pub oval_length: f64,
    /// Half the angle to fold by, radians, as far as the tips let.
    pub half_angle: f64,
    /// What stays of the oval otherwise than meant, in a sentence; empty where nothing does.
    pub oval_note: &'static str,
    /// Of the waist.
    pub waist_note: &'static str,
    /// Of the fold.
    pub fold_note: &'static str,
    bending: Bending,
}

impl CorrectedTools {
    /// Of size `size`, worked to `forming`: the design's own figures where those are its tools', else
    /// corrected with the likely metal.
    pub fn of(design: &Design, size: usize, forming: &Forming) -> Result<Self, JigError> {
        let name = || design.sizes[size].name.clone();
        let typed = design.settings()?[size];
        let flow = design.metal.metal()?.flow_curve(Band::Likely);
        let working = |source| BuildError::Working { index: size, name: name(), source };
        let section =
            RoundSection::new(Mm::new(typed.wire)).map_err(|source| working(source.into()))?;
        let (mut oval_note, mut waist_note, mut fold_note) = ("", "", "");
        let (tools, oval_length, half_angle) = match design.metal.shapes {
            Shapes::AfterSpringback => {
                let held = Forming::new(typed).map_err(|source| BuildError::Form {
                    index: size,
                    name: name(),
                    source,
                })?;
                (typed, held.oval.inside_length(), held.fold.half_angle)
            }
            Shapes::AsTheJawsLeaveThem => {
                let jaws =
                    Jaws::for_released(&typed, flow, design.metal.anneals()).map_err(working)?;
                if jaws.oval_length.is_none() {
                    oval_note =
                        "Drawn taut, the oval springs back a little: the gauge knows by how much.";
                }
                if jaws.waist_gap.is_none() {
                    waist_note = "Pinched shut, the waist springs open further than the design's gap: close it again by hand.";
                }
                let tools = ToolDimensions {
                    oval_jaw: jaws.oval_jaw,
                    waist_gap: jaws.waist_gap.unwrap_or(0.0),
                    pinch_jaw: jaws.pinch_jaw,
                    fold_jaw: jaws.fold_jaw,
                    ..typed
                };
                let length = jaws.oval_length.unwrap_or(forming.taut.inside_length());
                (tools, length, 0.5 * jaws.fold_angle)
            }
        };
        let met = Fold::over(forming.eight, tools.fold_jaw, 0.0, ToolDimension::TipGap);
        let met = met.map_or(std::f64::consts::PI, |fold| fold.half_angle);
        if half_angle > met {
            fold_note = "The tips meet before the fold is bent as far as it springs back by: press them together after it is taken off.";
        }
        let half_angle = half_angle.min(met);
        Ok(CorrectedTools {
            size,
            tools,
            oval_length,
            half_angle,
            oval_note,
            waist_note,
            fold_note,
            bending: Bending::new(section, flow),
        })
    }

    /// Moment that bends annealed wire to this radius of its centreline, N·mm.
    pub fn moment(&self, radius: f64) -> Result<f64, JigError> {
        // Tighter than the model goes it is that of its tightest bend, nearly.
        let tightest = 0.51 * self.tools.wire;
        let moment = self.bending.moment(1.0 / radius.max(tightest));
        moment.map_err(|source| {
            BuildError::Working { index: self.size, name: String::new(), source: source.into() }
                .into()
        })
    }
}

/// Refuses a post of diameter `value`, named so, that would not bear its load. A thicker one of the same
/// length bears more in proportion at least, and its load is less.
pub fn bears(
    load: PostLoad,
    field: &'static str,
    what: &'static str,
    value: f64,
) -> Result<(), JigError> {
    let times = load.worst();
    if times <= 1.0 {
        return Ok(());
    }
    let (value, least) = (Mm::new(value), Mm::new(value * times));
    Err(JigError::TooWeak { field, what, value, least, times })
}

/// Refuses what would be thinner than plastic is printed.
pub fn thick_enough(
    value: f64,
    least: f64,
    field: &'static str,
    what: &'static str,
) -> Result<(), JigError> {
    if value >= least {
        return Ok(());
    }
    let (value, least) = (Mm::new(value), Mm::new(least));
    Err(JigError::TooThin {
        field,
        what,
        value,
        least,
        remedy: "take a steel rod of that thickness",
    })
}

/// The shapes to gauge: those of the released link. An oval that is drawn taut without a length of its own
/// is as long as what springs back leaves.
pub fn released(design: &Design, size: usize, forming: &Forming) -> Result<Forming, JigError> {
    let is_taut = design.sizes[size].oval_length_mm.is_none();
    if !is_taut || design.metal.shapes == Shapes::AfterSpringback {
        return Ok(*forming);
    }
    let flow = design.metal.metal()?.flow_curve(Band::Likely);
    let left = Jaws::for_released(&forming.setting, flow, design.metal.anneals());
    let left = left.ok().map(|jaws| jaws.left_oval_length);
    let oval = left.and_then(|length| {
        Oval::stretched(&forming.stretched, forming.setting.oval_jaw, Some(length)).ok()
    });
    Ok(Forming { oval: oval.unwrap_or(forming.oval), ..*forming })
}
