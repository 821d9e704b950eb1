//! Forming the metal: what springs back at each step, how hard it is worked, when to anneal.
//!
//! The steps and the metal's state in each:
//! 1. *wind*: annealed straight wire bent round the mandrel; the coil springs open in closed
//!    form (`section::Bending`): [`wound`]. Soldering the ring shut anneals it.
//! 2. *stretch*, 3. *pinch*: the closed ring is followed by the rod of `ring_rod`, which keeps the
//!    history of every place. A closed ring springs back unlike a free bend: its parts hold one
//!    another. What the rod springs back by from loaded to released is taken off the shape that the jaws
//!    leave (`geometry::link`), length by length.
//! 4. *fold*: a free bend round the jaw, across the plane of the earlier ones: legs open by the
//!    share that the wire does not keep. Unless annealed first, its metal is as hard as the
//!    waist has become.
//!
//! A neck is pinched between flat jaws with rounded edges, and what they do not shape, its shoulders
//! and the lobes' ends, is bent place by place to what is drawn (`shaping`); the greater strain of the
//! two counts. So is a lobe that is *pressed* to be threaded, before the fold, and *opened* after it.
//!
//! Limits: the taut oval itself cannot be followed, since its wire is drawn along its length:
//! stretching is followed to [`FOLLOWED`] of the way, and what springs back there stands for
//! the rest. Tools are corrected by forming with them again, [`Jaws::for_released`].
//! Strains add up by plane: in-plane a and fold b leave √(a² + b²) at the worst fibre.
//! Conventions: mm, MPa, radians; places along the link as shares of the whole way round from
//! the waist's middle: the tip at 0.25.
//! Evidence: `tests/forming.rs`; kernels: `tests/bending.rs`, `tests/ring_rod.rs`; speed:
//! `benches/metal.rs`.

mod anneal;
mod jaws;
mod run;
mod shaping;
mod strain;

pub use anneal::{Advice, advise};
pub use jaws::Jaws;
pub use run::{Anneals, FOLLOWED, FormingError, FormingRun, PressedLobe, SprungShape, wound};
pub use strain::{FormingStep, StepStrain};

use crate::geometry::link::ToolDimensions;
use crate::mechanics::material::{Band, BandedValue, FlowCurve, Metal};

/// One size worked in one metal, at the soft, the likely and the hard end of its record.
#[derive(Clone, Debug)]
pub struct FormingAnalysis {
    runs: [FormingRun; 3],
    allowance: BandedValue,
    /// The likely metal, and how it is annealed.
    worked: (FlowCurve, Anneals),
}

impl FormingAnalysis {
    /// Works `setting` in `metal`.
    ///
    /// # Errors
    /// [`FormingError`] naming the step that cannot be followed.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::link::ToolDimensions;
    /// use linkfold::mechanics::forming::{Anneals, FormingAnalysis};
    /// use linkfold::mechanics::material::known_metal;
    /// let silver = known_metal("sterling-silver").unwrap();
    /// let tools = ToolDimensions::usual(1.0, 12.0);
    /// let analysis = FormingAnalysis::of(&tools, &silver, Anneals::default())?;
    /// assert!(analysis.allowance().likely > 0.0);
    /// # Ok::<(), linkfold::mechanics::forming::FormingError>(())
    /// ```
    pub fn of(
        setting: &ToolDimensions,
        metal: &Metal,
        anneals: Anneals,
    ) -> Result<FormingAnalysis, FormingError> {
        let run = |band| FormingRun::of(setting, metal.flow_curve(band), anneals);
        Ok(FormingAnalysis {
            runs: [run(Band::Low)?, run(Band::Likely)?, run(Band::High)?],
            allowance: BandedValue::over(|band| metal.strain_allowance(band)),
            worked: (metal.flow_curve(Band::Likely), anneals),
        })
    }

    /// The tools that leave, released, what was asked of the jaws; with the likely metal.
    ///
    /// # Errors
    /// As [`Jaws::for_released`].
    pub fn corrected_tools(&self) -> Result<Jaws, FormingError> {
        let (flow, anneals) = self.worked;
        Jaws::from(self.likely(), flow, anneals)
    }

    /// The run with the best single values.
    pub fn likely(&self) -> &FormingRun {
        &self.runs[1]
    }

    /// One figure of every run.
    pub fn span(&self, figure: impl Fn(&FormingRun) -> f64) -> BandedValue {
        let [low, likely, high] = &self.runs;
        BandedValue::of([figure(low), figure(likely), figure(high)])
    }

    /// Strain that annealed wire takes before it should be annealed again.
    pub fn allowance(&self) -> BandedValue {
        self.allowance
    }

    /// Greatest plastic strain added up since the last anneal, after each step.
    pub fn plastic_peaks(&self) -> Vec<BandedValue> {
        let of = |step: usize| {
            self.span(|run| run.strains.get(step).map_or(0.0, |strain| strain.plastic_peak().0))
        };
        (0..self.likely().strains.len()).map(of).collect()
    }
}

/// What `setting` leaves after springback with the likely metal: the same tools, the shapes that
/// stay.
///
/// # Errors
/// As [`FormingAnalysis::of`].
///
/// # Examples
/// ```
/// use linkfold::geometry::link::ToolDimensions;
/// use linkfold::mechanics::forming::{Anneals, sprung};
/// use linkfold::mechanics::material::known_metal;
/// let silver = known_metal("sterling-silver").unwrap();
/// let tools = ToolDimensions::usual(1.0, 12.0);
/// let released = sprung(&tools, &silver, Anneals::default())?;
/// assert!(released.waist_gap > tools.waist_gap); // a pinched waist springs open
/// # Ok::<(), linkfold::mechanics::forming::FormingError>(())
/// ```
pub fn sprung(
    setting: &ToolDimensions,
    metal: &Metal,
    anneals: Anneals,
) -> Result<ToolDimensions, FormingError> {
    Ok(FormingRun::of(setting, metal.flow_curve(Band::Likely), anneals)?.released_tools)
}
