//! The steps in order: what the tools are set to, and the shape at any moment.

use super::eight::Pinch;
use super::{Eight, Fold, FormError, Obstacle, Oval, Ring, ToolDimension, ToolDimensions};
use crate::geometry::curve::ClosedCurve;
use crate::math::units::Mm;

/// A step of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Ring to oval.
    Stretch,
    /// Oval to figure eight.
    Pinch,
    /// Figure eight to folded loop.
    Fold,
}

/// The shape at a moment of a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StepShape {
    /// On the way from ring to oval.
    Oval(Oval),
    /// On the way from oval to figure eight.
    Eight(Eight),
    /// On the way from figure eight to folded loop.
    Fold(Fold),
}

impl StepShape {
    /// The centreline.
    pub fn curve(&self) -> ClosedCurve {
        match self {
            StepShape::Oval(oval) => oval.curve(),
            StepShape::Eight(eight) => eight.curve(),
            StepShape::Fold(fold) => fold.curve(),
        }
    }
}

/// One size of link through all its steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forming {
    /// What the tools are set to.
    pub setting: ToolDimensions,
    /// The soldered ring.
    pub ring: Ring,
    /// A ring of the length that its centreline has once it is stretched: the same without growth.
    pub stretched: Ring,
    /// The oval as stretched.
    pub oval: Oval,
    /// The oval drawn taut, as pinching draws it.
    pub taut: Oval,
    /// The figure eight.
    pub eight: Eight,
    /// The folded loop, closed.
    pub fold: Fold,
}

impl Forming {
    /// Works `setting` through every step.
    ///
    /// # Errors
    /// [`FormError`] from the first step that cannot be done.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// // Bending does not lengthen the centreline.
    /// assert!((link.fold.curve().length() - link.stretched.centreline).abs() < 1e-9);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn new(setting: ToolDimensions) -> Result<Forming, FormError> {
        Forming::worked(setting).map_err(|error| match error {
            FormError::TooSmall { dimension: ToolDimension::Mandrel, value, least, obstacle } => {
                let least = Mm::new(least_mandrel(setting, least.get()));
                FormError::TooSmall { dimension: ToolDimension::Mandrel, value, least, obstacle }
            }
            other => other,
        })
    }

    fn worked(setting: ToolDimensions) -> Result<Forming, FormError> {
        let s = setting;
        let ring = Ring::off_mandrel(s.wire, s.mandrel, s.springback, s.kerf)?;
        let stretched = ring.grown(s.growth);
        let oval = Oval::stretched(&stretched, s.oval_jaw, s.oval_length)?;
        let taut = Oval::stretched(&stretched, s.oval_jaw, None)?;
        let pinch =
            Pinch { bore: s.bore, waist_gap: s.waist_gap, pinch_jaw: s.pinch_jaw, neck: s.neck };
        let eight = Eight::pinched(&stretched, pinch, s.mandrel)?;
        let fold = Fold::over(eight, s.fold_jaw, s.tip_gap, ToolDimension::TipGap)?;
        if let Some(open) = s.open_tip_gap {
            if open < s.tip_gap {
                return Err(FormError::TooSmall {
                    dimension: ToolDimension::OpenTipGap,
                    value: Mm::new(open),
                    least: Mm::new(s.tip_gap),
                    obstacle: Obstacle::ClosesWhileJoining,
                });
            }
            Fold::over(eight, s.fold_jaw, open, ToolDimension::OpenTipGap)?;
        }
        if let Some(bore) = s.threading_bore
            && !(bore >= s.waist_gap)
        {
            return Err(FormError::TooSmall {
                dimension: ToolDimension::ThreadingBore,
                value: Mm::new(bore),
                least: Mm::new(s.waist_gap),
                obstacle: Obstacle::PressedBelowWaist,
            });
        }
        Ok(Forming { setting, ring, stretched, oval, taut, eight, fold })
    }

    /// The shape when `fraction` (0 to 1) of `step` is done.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::{Forming, Step, ToolDimensions};
    /// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
    /// let half_way = link.at(Step::Pinch, 0.5).curve();
    /// assert!((half_way.length() - link.ring.centreline).abs() < 1e-9);
    /// # Ok::<(), linkfold::geometry::link::FormError>(())
    /// ```
    pub fn at(&self, step: Step, fraction: f64) -> StepShape {
        match step {
            Step::Stretch => {
                let by_now = self.ring.grown(self.setting.growth * fraction.clamp(0.0, 1.0));
                StepShape::Oval(self.oval.part_way(fraction).of_length(&by_now))
            }
            Step::Pinch => StepShape::Eight(self.part_pinched(fraction)),
            Step::Fold => StepShape::Fold(self.fold.opened_to(fraction * self.fold.half_angle)),
        }
    }

    fn part_pinched(&self, fraction: f64) -> Eight {
        self.eight.part_way(0.5 * (self.setting.oval_jaw + self.setting.wire), fraction)
    }
}

/// The least mandrel from `from` on that every step takes, to a thousandth of a wire above;
/// `from` where a tripled one does not help either, since then another dimension is at fault.
fn least_mandrel(setting: ToolDimensions, from: f64) -> f64 {
    let works = |mandrel: f64| Forming::worked(ToolDimensions { mandrel, ..setting }).is_ok();
    let (mut low, mut high) = (from, from);
    while !works(high) {
        low = high;
        high *= 1.1;
        if high > 3.0 * from {
            return from;
        }
    }
    while high - low > 1e-3 * setting.wire {
        let middle = 0.5 * (low + high);
        if works(middle) { high = middle } else { low = middle }
    }
    high
}
