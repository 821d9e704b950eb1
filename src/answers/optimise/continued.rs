//! A candidate's figures by continuation: what a local search asks between two places measured whole.
//!
//! Rest and turns of a single chain are continued from those of a candidate close by, and told with what
//! continuation and measurement differ by where all was measured. Where that does not come to an end, the figure
//! is measured.

use super::Figure;
use super::continued_limits::Limits;
use super::evaluation::{EvalContext, Evaluation};
use super::figure::Need;
use crate::geometry::curve::Pose;
use crate::motion::chain::{About, FINE, Limit, Weave, coil_of};
use crate::motion::continuation::ContinuedLink;
use std::sync::Arc;

/// What figures are continued from.
#[derive(Clone, Debug)]
pub(super) struct ContinuedFrom {
    /// Where they were measured.
    pub measured: Arc<Evaluation>,
    /// Close by; its own may be continued.
    pub from: Arc<Evaluation>,
}

impl ContinuedFrom {
    /// What is known close by, and of which candidate; else none, and of the one whose own is to be asked.
    fn known<T: Copy>(
        &self,
        of: impl Fn(&Limits) -> Option<&Option<T>>,
        is_measured: impl Fn(&Evaluation) -> bool,
    ) -> (Option<T>, &Evaluation) {
        let known = of(&self.from.continued.near).copied().flatten();
        let own = known.is_some() || is_measured(&self.from);
        (known, if own { &self.from } else { &self.measured })
    }
}

/// Continuation and measurement differ by no more than this: turns by twice what these are resolved to, rises in
/// wires, coils as a share.
const TURN_OFF: f64 = 2.0 * FINE;
const RISE_OFF: f64 = 2e-3;
const COIL_OFF: f64 = 2e-2;
/// Links looked at on each side.
const MOST_NEIGHBOURS: usize = 24;

impl Evaluation {
    /// A figure, continued where that is quicker; none where there is none.
    pub fn near(
        &self,
        figure: Figure,
        context: &EvalContext,
        anchor: &ContinuedFrom,
    ) -> Option<f64> {
        let near = || {
            let measured = &anchor.measured;
            let off =
                measured.figure(figure, context)? - measured.continued(figure, context, None)?;
            Some(self.continued(figure, context, Some(anchor))? + off)
        };
        let continues = self.continues(context, anchor)
            && matches!(figure.need(), Need::Rest | Need::Twist | Need::SwingX | Need::SwingY)
            && figure != Figure::CrowdingMm;
        let near = if continues { near() } else { None };
        near.or_else(|| self.figure(figure, context))
    }

    /// Whether its links lie, by continuation.
    pub fn lies_near(&self, context: &EvalContext, anchor: &ContinuedFrom) -> bool {
        self.continues(context, anchor) && self.rises(context, Some(anchor)).is_some()
    }

    fn continues(&self, context: &EvalContext, anchor: &ContinuedFrom) -> bool {
        context.weave == Weave::SINGLE && !std::ptr::eq(self, &*anchor.measured)
    }

    /// As [`Evaluation::figure`]; from another candidate, or from its own measured limits.
    fn continued(
        &self,
        figure: Figure,
        context: &EvalContext,
        anchor: Option<&ContinuedFrom>,
    ) -> Option<f64> {
        let rises = || self.rises(context, anchor);
        let turn =
            |about| Some(self.turn_near(about, context, anchor)?.rotation.angle().to_degrees());
        let coil = |about| Some(self.coil_near(about, context, anchor)?.1);
        match figure {
            Figure::PitchMm => Some(rises()?[0]),
            Figure::LinksPer100Mm => Some(100.0 / rises()?[0]),
            Figure::PlayMm => rises().map(|[pulled, pushed]| pulled - pushed),
            Figure::GramsPer100Mm => Some(self.grams(context) * 100.0 / rises()?[0]),
            Figure::SwingXDeg => turn(About::X),
            Figure::SwingYDeg => turn(About::Y),
            Figure::TwistDeg => turn(About::Z),
            Figure::CoilXMm => coil(About::X),
            Figure::CoilYMm => coil(About::Y),
            Figure::SupplenessX => Some(coil(About::X)? / self.across(context)?[0]),
            Figure::SupplenessY => Some(coil(About::Y)? / self.across(context)?[1]),
            _ => None,
        }
    }

    fn link(&self) -> &ContinuedLink {
        self.continued.link.get_or_init(|| ContinuedLink::of(self.body()))
    }

    fn limits(&self, anchor: Option<&ContinuedFrom>) -> &Limits {
        if anchor.is_some() { &self.continued.near } else { &self.continued.own }
    }

    /// How many links reach back to the first.
    fn reaching(&self, pushed: f64) -> usize {
        let reaching = (self.link().height() / pushed.max(0.1 * self.wire())).floor() as usize;
        reaching.clamp(2, MOST_NEIGHBOURS)
    }

    /// By how much a link is higher than another.
    fn higher(&self, other: &Evaluation) -> f64 {
        self.link().height() / other.link().height()
    }

    fn rises(&self, context: &EvalContext, anchor: Option<&ContinuedFrom>) -> Option<[f64; 2]> {
        *self.limits(anchor).rises.get_or_init(|| {
            let start = match anchor {
                Some(anchor) => {
                    let (rises, from) =
                        anchor.known(|at| at.rises.get(), |from| from.knows(Need::Rest));
                    rises
                        .or_else(|| from.rises(context, None))?
                        .map(|rise| rise * self.higher(from))
                }
                None => {
                    let rest = self.lying(context).as_ref().ok()?.rest();
                    [rest.pulled, rest.pushed]
                }
            };
            let neighbours = self.reaching(start[1]);
            let pulled = self.link().rise(start[0], 1.0, neighbours)?;
            let pushed = self.link().rise(start[1], -1.0, neighbours)?;
            let close = |a: f64, b: f64| (a - b).abs() <= RISE_OFF * self.wire();
            let same = anchor.is_some() || close(pulled, start[0]) && close(pushed, start[1]);
            (same && pushed < pulled).then_some([pulled, pushed])
        })
    }

    fn turn_near(
        &self,
        about: About,
        context: &EvalContext,
        anchor: Option<&ContinuedFrom>,
    ) -> Option<Pose> {
        *self.limits(anchor).turns[about as usize].get_or_init(|| {
            if let Some(anchor) = anchor {
                let (step, from) = anchor
                    .known(|at| at.turns[about as usize].get(), |from| from.has_turned(about));
                let start = step.or_else(|| from.turn_near(about, context, None))?;
                return self.link().turn(&raised(start, self.higher(from)), about, 1);
            }
            let limit = self.turn(about, context)?.plus;
            limit.stop?;
            let found = self.link().turn(&limit.step, about, 1)?;
            ((found.rotation.angle() - limit.angle).abs() <= TURN_OFF).then_some(found)
        })
    }

    fn coil_near(
        &self,
        about: About,
        context: &EvalContext,
        anchor: Option<&ContinuedFrom>,
    ) -> Option<(Pose, f64)> {
        *self.limits(anchor).coils.get(about as usize)?.get_or_init(|| {
            let neighbours = self.reaching(self.rises(context, anchor)?[1]);
            if let Some(anchor) = anchor {
                let (coil, from) = anchor
                    .known(|at| at.coils.get(about as usize)?.get(), |from| from.has_turned(about));
                let (start, _) = coil.or_else(|| from.coil_near(about, context, None))?;
                let start = raised(start, self.higher(from));
                let found = self.link().turn(&start, about, neighbours)?;
                return Some((found, self.inside(&found)));
            }
            // Where links further on are in the way, all turn less.
            let limit = self.turn(about, context)?.plus;
            limit.stop?;
            let found = self.link().turn(&limit.step, about, neighbours)?;
            let inside = self.inside(&found);
            let measured = self.coil(about, context)?;
            ((inside - measured).abs() <= COIL_OFF * measured).then_some((found, inside))
        })
    }

    /// The rod inside a coil of such steps, mm.
    fn inside(&self, step: &Pose) -> f64 {
        let limit = Limit { angle: step.rotation.angle(), stop: None, step: *step };
        coil_of(self.body(), self.body(), &limit).inside
    }
}

fn raised(mut step: Pose, by: f64) -> Pose {
    step.translation.vector *= by;
    step
}
