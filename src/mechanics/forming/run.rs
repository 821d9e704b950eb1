//! One size in one metal, step by step.

use super::shaping::ShapedWire;
use super::strain::{FormingStep, StepStrain};
use crate::geometry::link::{Eight, Fold, FormError, Forming, ToolDimension, ToolDimensions};
use crate::math::units::Mm;
use crate::mechanics::material::FlowCurve;
use crate::mechanics::ring_rod::{RingRod, RodError, RodSettings, RodShape};
use crate::mechanics::section::{Bending, RoundSection, SectionError};

/// Share of the way from round to taut to which stretching is followed: at the last few
/// hundredths the pull along the wire passes any metal's yield, which the rod leaves out.
pub const FOLLOWED: f64 = 0.95;

/// Segments of the rod to a quarter: a fifth of the tightest bend's radius each, within limits
/// that hold its time and its error (`benches/metal.rs`, `tests/forming.rs`).
const FEWEST_SEGMENTS: f64 = 40.0;
const MOST_SEGMENTS: f64 = 128.0;

/// Mean over a section of the strain that sets its moment, over that at the surface:
/// ∫|y| |y| dA / ∫|y| dA / r = 3π/16.
const MEAN_STRAIN: f64 = 3.0 * std::f64::consts::PI / 16.0;

/// Steps before which the wire is annealed, besides the soldering.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Anneals {
    /// Between stretching and pinching.
    pub before_pinch: bool,
    /// Between pinching and folding.
    pub before_fold: bool,
    /// Before the leading lobe is pressed narrow to be threaded.
    pub before_press: bool,
    /// Before it is opened again.
    pub before_open: bool,
}

impl Anneals {
    /// How many there are.
    pub fn count(&self) -> u8 {
        let all = [self.before_pinch, self.before_fold, self.before_press, self.before_open];
        all.into_iter().map(u8::from).sum()
    }
}

/// Why a size cannot be followed in its metal.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FormingError {
    /// The coil stays elastic on so thick a mandrel.
    #[error("wire wound on a mandrel of {mandrel} stays elastic; it yields below {most}")]
    StaysElastic {
        /// The mandrel.
        mandrel: Mm,
        /// Where the surface just yields.
        most: Mm,
    },
    /// The fold stays elastic over so thick a jaw.
    #[error("wire folded over a jaw of {jaw} stays elastic; it yields below {most}")]
    FoldStaysElastic {
        /// The fold jaw.
        jaw: Mm,
        /// Where the surface just yields.
        most: Mm,
    },
    /// The shape that springback leaves is no link.
    #[error("after springback: {source}")]
    Shape {
        /// The step that fails.
        #[from]
        source: FormError,
    },
    /// The rod does not follow.
    #[error("{step:?}: {source}")]
    Rod {
        /// While doing what.
        step: FormingStep,
        /// What the rod says.
        source: RodError,
    },
    /// A bend outside what a section can answer.
    #[error(transparent)]
    Section(#[from] SectionError),
}

impl FormingError {
    /// The dimension at fault.
    pub fn dimension(&self) -> ToolDimension {
        match self {
            FormingError::Shape { source } => source.dimension(),
            FormingError::Rod { step: FormingStep::Stretch, .. } => ToolDimension::OvalJaw,
            FormingError::Rod { step: FormingStep::Pinch, .. } => ToolDimension::PinchJaw,
            FormingError::FoldStaysElastic { .. } => ToolDimension::FoldJaw,
            _ => ToolDimension::Mandrel,
        }
    }
}

/// The rod's own outline, which no jaw but its two holds: mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SprungShape {
    /// Clear length inside.
    pub inside_length: f64,
    /// Greatest clear width inside.
    pub inside_width: f64,
    /// Clear gap at the middle.
    pub waist_gap: f64,
    /// Radius of the centreline at the tip.
    pub tip_radius: f64,
}

impl SprungShape {
    fn of(shape: &RodShape, wire: f64) -> SprungShape {
        let tip = shape.curvatures.last().copied().unwrap_or(0.0);
        SprungShape {
            inside_length: shape.inside_length,
            inside_width: shape.width - wire,
            waist_gap: shape.waist_gap,
            tip_radius: 1.0 / tip.abs().max(1e-9),
        }
    }
}

/// Bores of a lobe that is pressed narrow and opened again, mm; its end springs as a bend by itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PressedLobe {
    /// Wanted while threading.
    pub threading_bore: f64,
    /// Pressed to this, it springs open to that.
    pub press_to: f64,
    /// Opened to this, it springs back to its finished bore; none where no opening does.
    pub open_to: Option<f64>,
    /// Change of strain of the outermost fibre at the lobe's end when it is pressed, and as much
    /// again when it is opened.
    pub bend: f64,
}

/// One size in one metal.
#[derive(Clone, Debug)]
pub struct FormingRun {
    /// The shape as the jaws leave it, on the ring that the tools give.
    pub loaded: Forming,
    /// What a coil of this metal opens by in inside diameter, mm; the ring's own figure is the tools'.
    pub coil_springback: f64,
    /// Mandrel that would leave a coil of the mandrel's own diameter inside, mm.
    pub mandrel_for: f64,
    /// The oval as far as it is followed, loaded and released.
    pub oval: [SprungShape; 2],
    /// The eight, loaded and released.
    pub eight: [SprungShape; 2],
    /// Pull along the wire while the oval is loaded, as far as followed, MPa.
    pub stretch_stress: f64,
    /// Share of a fold's angle that is left after release.
    pub fold_share: f64,
    /// How the metal bends when it is folded.
    pub(super) folding: Bending,
    /// Share that is left after release of the curvature at a neck's ends and at the lobes' shoulders; 1 without a
    /// neck, where the rod follows the waist.
    pub neck_share: f64,
    /// What the leading lobe is pressed and opened to, where it is pressed to be threaded.
    pub press: Option<PressedLobe>,
    /// Strain, step by step, in the order of the work.
    pub strains: Vec<StepStrain>,
    /// The released shapes, written as tools that would leave them without springback.
    pub released_tools: ToolDimensions,
}

impl FormingRun {
    /// Works `setting` in metal of this flow curve.
    ///
    /// # Errors
    /// [`FormingError`].
    pub fn of(
        setting: &ToolDimensions,
        flow: FlowCurve,
        anneals: Anneals,
    ) -> Result<FormingRun, FormingError> {
        let wire = setting.wire;
        let section = RoundSection::new(Mm::new(wire))?;
        let bending = Bending::new(section, flow);
        let wound = 2.0 / (setting.mandrel + wire);
        let coil_springback = opens_by(&bending, setting)?;
        let mandrel_for = 2.0 / bending.bend_for(wound)? - wire;
        let loaded = Forming::new(*setting)?;

        let tightest = 0.5 * (setting.oval_jaw.min(setting.pinch_jaw) + wire);
        let segments = (0.25 * loaded.stretched.centreline / (0.2 * tightest))
            .clamp(FEWEST_SEGMENTS, MOST_SEGMENTS) as usize;
        let settings = RodSettings { segments, ..RodSettings::default() };
        let stretching = |source| FormingError::Rod { step: FormingStep::Stretch, source };
        let pinching = |source| FormingError::Rod { step: FormingStep::Pinch, source };
        let mean = Mm::new(2.0 * loaded.stretched.radius());
        let mut rod = RingRod::annealed(section, flow, mean, settings).map_err(stretching)?;
        let round = rod.shape();
        let reach = FOLLOWED * (loaded.taut.inside_length() - round.inside_length);
        let to = loaded.oval.inside_length().min(round.inside_length + reach);
        let to = Mm::new(to.max(round.inside_length));
        let oval_held = rod.stretch(Mm::new(setting.oval_jaw), to).map_err(stretching)?;
        let oval_kept = rod.release().map_err(stretching)?;
        let flat = oval_kept.curvatures.clone();
        if anneals.before_pinch {
            rod.anneal();
        }
        let gap = setting.waist_gap.min(oval_kept.waist_gap).max(0.0);
        let radius = section.radius();
        let annealed_at = if anneals.before_pinch { &flat } else { &round.curvatures };
        let mut shaped = ShapedWire::of(&rod, radius, annealed_at);
        let neck = Mm::new(setting.neck);
        let eight_held =
            rod.pinch_to_neck(Mm::new(setting.pinch_jaw), neck, Mm::new(gap)).map_err(pinching)?;
        let eight_released = rod.release().map_err(pinching)?;

        let mut strains = vec![
            StepStrain::wound(radius * wound, flow),
            StepStrain::bent(
                FormingStep::Stretch,
                false,
                radius,
                (&oval_held.shape, &round.curvatures),
                &oval_kept,
            ),
        ];
        let mut pinched = StepStrain::bent(
            FormingStep::Pinch,
            anneals.before_pinch,
            radius,
            (&eight_held.shape, annealed_at),
            &eight_released,
        );
        let released = eight_released.curvatures.iter().zip(annealed_at);
        let mut outer_released: Vec<f64> =
            released.map(|(now, then)| radius * (now - then).abs()).collect();
        let drawn = loaded.eight.curvatures(rod.places());
        let bent = shaped.bend(&drawn).map_err(pinching)?;
        let mut neck_share = 1.0;
        if setting.neck > 0.0 {
            // Where no jaw of the rod's takes hold, the wire is bent to the shape that is drawn.
            raise(&mut pinched.in_plane, &bent.plastic);
            raise(&mut pinched.outer, &bent.outer);
            raise(&mut outer_released, &shaped.outer_released());
            neck_share = shaped.residual_share_at_the_waist(&drawn);
        }
        strains.push(pinched);

        let pressed = pressed_eight(setting, &loaded);
        let mut press = None;
        if let (Some(eight), Some(before)) = (&pressed, strains.last()) {
            let to = eight.curvatures(rod.places());
            let (last, own) = (to.last().copied(), drawn.last().copied());
            let (Some(last), Some(own)) = (last, own) else { unreachable!("a quarter has places") };
            if anneals.before_press {
                shaped.anneal();
            }
            let press_to = shaped.bore_to_leave(last).unwrap_or(eight.bore());
            let bent = shaped.bend(&to).map_err(pinching)?;
            let step = StepStrain::further(FormingStep::Press, anneals.before_press, before, bent);
            if anneals.before_press {
                outer_released = shaped.outer_released();
            } else {
                raise(&mut outer_released, &shaped.outer_released());
            }
            strains.push(step);
            press = Some(PressedLobe {
                threading_bore: eight.bore(),
                press_to,
                open_to: None,
                bend: radius * (last - own).abs(),
            });
        }

        let worked = strains.last().and_then(|s| s.in_plane.first()).copied().unwrap_or(0.0);
        let worked = if anneals.before_fold { 0.0 } else { MEAN_STRAIN * worked };
        let folding = Bending::new(section, flow.worked(worked));
        let jaw = 1.0 / loaded.fold.radius;
        let fold_share = folding.residual_curvature(jaw)? / jaw;
        if !(fold_share > LEAST_RESIDUAL) {
            let most = Mm::new((2.0 / folding.yield_curvature() - setting.wire).clamp(0.0, 1e9));
            return Err(FormingError::FoldStaysElastic { jaw: Mm::new(setting.fold_jaw), most });
        }
        let before = strains.last().filter(|_| !anneals.before_fold);
        let before = before.map(|step| (outer_released.as_slice(), step.in_plane.as_slice()));
        strains.push(StepStrain::folded(&loaded.fold, before, &eight_released, folding.flow()));
        if anneals.before_fold {
            shaped.anneal();
        }
        if let (Some(press), Some(before)) = (&mut press, strains.last()) {
            if anneals.before_open {
                shaped.anneal();
            }
            press.open_to = drawn.last().and_then(|own| shaped.bore_to_leave(*own));
            let bent = shaped.bend(&drawn).map_err(pinching)?;
            strains.push(StepStrain::further(FormingStep::Open, anneals.before_open, before, bent));
        }

        let oval = [SprungShape::of(&oval_held.shape, wire), SprungShape::of(&oval_kept, wire)];
        let eight =
            [SprungShape::of(&eight_held.shape, wire), SprungShape::of(&eight_released, wire)];
        let released_tools = released_tools(&loaded, &oval, &eight, (fold_share, neck_share));
        Ok(FormingRun {
            loaded,
            coil_springback,
            mandrel_for,
            oval,
            eight,
            stretch_stress: oval_held.axial_stress,
            fold_share,
            neck_share,
            press,
            folding,
            strains,
            released_tools,
        })
    }

    /// The fold released: its angle, both sides together, radians, and the tip gap it leaves.
    pub fn released_fold_angles(&self) -> (f64, f64) {
        let fold = &self.loaded.fold;
        let half_angle = fold.half_angle * self.fold_share;
        let radius = fold.radius / self.fold_share;
        let open = Fold { radius, half_angle, ..*fold };
        (2.0 * half_angle, open.tip_gap().max(0.0))
    }

    /// The shapes that stay.
    ///
    /// # Errors
    /// [`FormError`] where they are no link.
    pub fn released(&self) -> Result<Forming, FormError> {
        Forming::new(self.released_tools)
    }
}

/// Less of a curvature than this share is none: the wire springs off straight.
const LEAST_RESIDUAL: f64 = 1e-6;

/// What a coil of annealed wire opens by in inside diameter, mm.
fn opens_by(bending: &Bending, setting: &ToolDimensions) -> Result<f64, FormingError> {
    let wound = 2.0 / (setting.mandrel + setting.wire);
    let kept = bending.residual_curvature(wound)?;
    if !(kept > LEAST_RESIDUAL * wound) {
        let most = Mm::new((2.0 / bending.yield_curvature() - setting.wire).clamp(0.0, 1e9));
        return Err(FormingError::StaysElastic { mandrel: Mm::new(setting.mandrel), most });
    }
    Ok(2.0 / kept - 2.0 / wound)
}

/// `tools` with what a coil of annealed wire opens by on their mandrel.
///
/// # Errors
/// [`FormingError::StaysElastic`]; [`FormingError::Section`] for wire that is none.
///
/// # Examples
/// ```
/// use linkfold::geometry::link::ToolDimensions;
/// use linkfold::mechanics::forming::wound;
/// use linkfold::mechanics::material::{Band, known_metal};
/// let silver = known_metal("sterling-silver").unwrap().flow_curve(Band::Likely);
/// let ring = wound(&ToolDimensions::usual(1.0, 12.0), silver)?;
/// assert!(ring.springback > 0.1); // mm in inside diameter
/// # Ok::<(), linkfold::mechanics::forming::FormingError>(())
/// ```
pub fn wound(tools: &ToolDimensions, flow: FlowCurve) -> Result<ToolDimensions, FormingError> {
    let bending = Bending::new(RoundSection::new(Mm::new(tools.wire))?, flow);
    Ok(ToolDimensions { springback: opens_by(&bending, tools)?, ..*tools })
}

/// The tools that would leave, without springback, what `held` leaves with it. The tip gap stays:
/// a finished link's tips are pinched shut last, whatever the fold gives back.
fn released_tools(
    loaded: &Forming,
    oval: &[SprungShape; 2],
    eight: &[SprungShape; 2],
    (fold_share, neck_share): (f64, f64),
) -> ToolDimensions {
    let s = loaded.setting;
    let given =
        |of: &dyn Fn(&SprungShape) -> f64, pair: &[SprungShape; 2]| of(&pair[1]) - of(&pair[0]);
    let oval_radius = 0.5 * (s.oval_jaw + s.wire) * oval[1].tip_radius / oval[0].tip_radius;
    let oval_jaw = (2.0 * oval_radius - s.wire)
        .clamp(s.oval_jaw, s.oval_jaw.max(loaded.stretched.inside_diameter() * 0.999));
    let ring = loaded.stretched.inside_diameter();
    let longest = loaded.taut.inside_length();
    let oval_length = loaded.oval.inside_length() + given(&|shape| shape.inside_length, oval);
    // A thicker jaw leaves a shorter taut oval.
    let longest = longest - (oval_jaw - s.oval_jaw) * (0.5 * std::f64::consts::PI - 1.0);
    let bore = s.bore + given(&|shape| shape.inside_width, eight).max(0.0);
    let waist_gap = s.waist_gap + given(&|shape| shape.waist_gap, eight).max(0.0);
    let kept = ToolDimensions {
        oval_jaw,
        oval_length: Some(oval_length.clamp(ring, longest.max(ring))),
        bore,
        waist_gap,
        ..s
    };
    let fold_jaw = 2.0 * loaded.fold.radius / fold_share - s.wire;
    let kept = ToolDimensions { fold_jaw, ..kept };
    if s.neck == 0.0 {
        return kept;
    }
    // The ends of the neck and the shoulders open, and the neck yields the length that they take.
    let pinch_jaw = (s.pinch_jaw + s.wire) / neck_share - s.wire;
    let rounder = ToolDimensions { pinch_jaw, ..kept };
    match Forming::new(rounder) {
        Err(FormError::TooLarge { dimension: ToolDimension::Neck, most, .. }) => {
            ToolDimensions { neck: most.get(), ..rounder }
        }
        _ => rounder,
    }
}

/// The eight with its leading lobe pressed as `setting` says; none where it is not, or cannot be.
fn pressed_eight(setting: &ToolDimensions, loaded: &Forming) -> Option<Eight> {
    let bore = setting.threading_bore.filter(|bore| *bore < setting.bore)?;
    loaded.eight.with_bore(bore)
}

/// Raises each of `values` to that of `least`.
fn raise(values: &mut [f64], least: &[f64]) {
    values.iter_mut().zip(least).for_each(|(value, least)| *value = value.max(*least));
}
