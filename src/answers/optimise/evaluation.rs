//! One candidate: its figures, each computed when first asked for.

use super::continued_limits::Continued;
use super::figure::Need;
use super::{Figure, OptimiseError};
use crate::answers::plan::link_grams;
use crate::documents::design::Design;
use crate::geometry::link::{Forming, ToolDimensions};
use crate::mechanics::material::Metal;
use crate::mechanics::strength::Pull;
use crate::motion::chain::{About, Body, BothWays, ChainError, Seated, Weave};
use crate::motion::insertion::max_clearance;
use std::sync::OnceLock;

/// What a candidate is made of and how links follow one another.
#[derive(Clone, Debug)]
pub(super) struct EvalContext {
    pub metal: Metal,
    pub weave: Weave,
}

/// One size, formed.
#[derive(Debug)]
pub(super) struct Evaluation {
    /// What the tools are set to.
    tools: ToolDimensions,
    /// The shapes verdict and measures take.
    forming: Forming,
    body: OnceLock<Body>,
    lying: OnceLock<Result<Seated, f64>>,
    turns: [OnceLock<BothWays>; 3],
    coils: [OnceLock<f64>; 2],
    clearance: OnceLock<f64>,
    /// First set and stiffness.
    pull: OnceLock<Option<[f64; 2]>>,
    /// The limits, continued from those of a candidate close by.
    pub(super) continued: Continued,
}

impl Evaluation {
    /// The only size of `design`; none where it cannot be formed.
    pub fn of(design: &Design) -> Option<Evaluation> {
        let settings = design.settings().ok()?;
        let tools = *settings.first()?;
        let forming = *design.formings_of(settings).ok()?.first()?;
        Some(Evaluation {
            tools,
            forming,
            body: OnceLock::new(),
            lying: OnceLock::new(),
            turns: Default::default(),
            coils: Default::default(),
            clearance: OnceLock::new(),
            pull: OnceLock::new(),
            continued: Continued::default(),
        })
    }

    /// The same size with what was measured of it, nothing continued: for a search apart from others, which
    /// would else continue from places that hang on who came first.
    pub fn measured_alone(&self) -> Evaluation {
        Evaluation {
            tools: self.tools,
            forming: self.forming,
            body: self.body.clone(),
            lying: self.lying.clone(),
            turns: self.turns.clone(),
            coils: self.coils.clone(),
            clearance: self.clearance.clone(),
            pull: self.pull.clone(),
            continued: Continued::default(),
        }
    }

    /// Wire diameter, mm.
    pub fn wire(&self) -> f64 {
        self.forming.setting.wire
    }

    /// By how much wires overlap at best where the chain does not lie, mm; none where it lies.
    pub fn overlap(&self, context: &EvalContext) -> Option<f64> {
        self.lying(context).as_ref().err().copied()
    }

    /// Whether nothing need be computed for this.
    pub fn knows(&self, need: Need) -> bool {
        match need {
            Need::Shape => true,
            Need::Rest => self.lying.get().is_some(),
            Need::Pull => self.pull.get().is_some(),
            Need::JoiningClearance => self.clearance.get().is_some(),
            Need::Twist => self.turns[2].get().is_some(),
            Need::SwingY => self.coils[1].get().is_some(),
            Need::SwingX => self.coils[0].get().is_some(),
        }
    }

    /// Whether its turn about an axis was measured.
    pub(super) fn has_turned(&self, about: About) -> bool {
        self.turns[about as usize].get().is_some()
    }

    /// A figure; none where the chain does not lie or bears no pull.
    pub fn figure(&self, figure: Figure, context: &EvalContext) -> Option<f64> {
        let Forming { ring, eight, fold, .. } = &self.forming;
        let wire = self.wire();
        let rest = || self.lying(context).as_ref().ok().map(|lying| *lying.rest());
        let pitch = || rest().map(|rest| rest.pulled);
        let turn = |about| {
            self.turn(about, context)
                .map(|paths| paths.plus.angle.min(paths.minus.angle).to_degrees())
        };
        let coil = |about| self.coil(about, context);
        let found = match figure {
            Figure::Ratio => Some(ring.inside_diameter() / wire),
            Figure::CentrelineMm => Some(ring.centreline),
            Figure::TipMm => Some(eight.tip()),
            Figure::FoldHeightMm => Some(fold.outside_height()),
            Figure::WidthMm => self.across(context).map(|[width, _]| width),
            Figure::ThicknessMm => self.across(context).map(|[_, thickness]| thickness),
            Figure::PitchMm => pitch(),
            Figure::LinksPer100Mm => pitch().map(|pitch| 100.0 / pitch),
            Figure::PlayMm => rest().map(|rest| rest.play()),
            Figure::CrowdingMm => {
                let lying = self.lying(context).as_ref().ok();
                lying.map(|lying| lying.crowding(self.body()))
            }
            Figure::GramsPer100Mm => pitch().map(|pitch| self.grams(context) * 100.0 / pitch),
            Figure::JoiningClearanceMm => {
                let found = || max_clearance(&self.forming, &self.forming);
                (context.weave == Weave::SINGLE).then(|| *self.clearance.get_or_init(found))
            }
            Figure::FirstSetNewtons => self.pull(context).map(|[first_set, _]| first_set),
            Figure::StiffnessNewtonsPerMm => self.pull(context).map(|[_, stiffness]| stiffness),
            Figure::SwingXDeg => turn(About::X),
            Figure::SwingYDeg => turn(About::Y),
            Figure::TwistDeg => turn(About::Z),
            Figure::CoilXMm => coil(About::X),
            Figure::CoilYMm => coil(About::Y),
            Figure::SupplenessX => Some(coil(About::X)? / self.across(context)?[0]),
            Figure::SupplenessY => Some(coil(About::Y)? / self.across(context)?[1]),
        };
        found.filter(|value| value.is_finite())
    }

    /// Mass of a link, grams.
    pub(super) fn grams(&self, context: &EvalContext) -> f64 {
        link_grams(&self.forming, context.metal.density())
    }

    pub(super) fn body(&self) -> &Body {
        self.body.get_or_init(|| Body::of(&self.forming.fold))
    }

    pub(super) fn lying(&self, context: &EvalContext) -> &Result<Seated, f64> {
        self.lying.get_or_init(|| {
            Seated::of(self.body(), context.weave).map_err(|error| match error {
                ChainError::NoRest { overlap, .. } | ChainError::Locks { overlap, .. } => {
                    overlap.get()
                }
                // As far from lying as it is clear of what should stop it.
                ChainError::PullsOut { clearance } => clearance.get(),
            })
        })
    }

    /// Width and thickness over all.
    pub(super) fn across(&self, context: &EvalContext) -> Option<[f64; 2]> {
        if context.weave != Weave::SINGLE {
            return self.lying(context).as_ref().ok().map(|lying| lying.across(self.body()));
        }
        // In closed form, within what the wrap's arcs depart from it: the lobes' ends, and the
        // fold or, where legs part from it, the tips.
        let Forming { eight, fold, .. } = &self.forming;
        let legs = fold.radius * fold.half_angle.min(std::f64::consts::FRAC_PI_2).sin();
        let tips = 0.5 * (fold.tip_gap() + self.wire());
        Some([2.0 * eight.end_radius + self.wire(), 2.0 * legs.max(tips) + self.wire()])
    }

    pub(super) fn turn(&self, about: About, context: &EvalContext) -> Option<&BothWays> {
        let lying = self.lying(context).as_ref().ok()?;
        Some(self.turns[about as usize].get_or_init(|| lying.turns(self.body(), about)))
    }

    pub(super) fn coil(&self, about: About, context: &EvalContext) -> Option<f64> {
        let lying = self.lying(context).as_ref().ok()?;
        let paths = self.turn(about, context)?;
        let coil = self.coils.get(about as usize)?;
        Some(*coil.get_or_init(|| lying.coil(self.body(), paths).inside))
    }

    /// First set and stiffness, of the shape in the jaws, as the report's.
    fn pull(&self, context: &EvalContext) -> Option<[f64; 2]> {
        *self.pull.get_or_init(|| {
            let held = Forming::new(self.tools).ok()?;
            Pull::within_yield(&held.fold, &context.metal).ok()
        })
    }
}

/// Every figure of one size of `design`, in the order of [`Figure::ALL`]; none where the chain does not
/// lie, bears no pull, or does not coil.
///
/// # Errors
/// [`OptimiseError`] where the size is not there or cannot be formed.
pub fn figures(design: &Design, size: usize) -> Result<Vec<Option<f64>>, OptimiseError> {
    let (design, context) = alone(design, size)?;
    design.formings()?;
    let worked = Evaluation::of(&design);
    let figure = |figure: &Figure| worked.as_ref().and_then(|w| w.figure(*figure, &context));
    Ok(Figure::ALL.iter().map(figure).collect())
}

/// The design of one size alone, and what it is made of.
pub(super) fn alone(design: &Design, size: usize) -> Result<(Design, EvalContext), OptimiseError> {
    let sizes = design.sizes.len();
    let mut own = design.clone();
    own.sizes = design.sizes.get(size).cloned().into_iter().collect();
    if own.sizes.is_empty() {
        return Err(OptimiseError::NoSuchSize { found: size, sizes });
    }
    let context = EvalContext { metal: own.metal.metal()?, weave: own.weave.weave() };
    Ok((own, context))
}
