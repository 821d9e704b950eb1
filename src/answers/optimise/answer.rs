//! An answer: a design, asked of the whole report anew, and how it does by the wishes.

use super::goal::{Goal, Goals, Sense};
use super::search_space::SearchSpace;
use super::{Dimension, Figure};
use crate::answers::plan::wire_grams;
use crate::answers::report::{self, JoinReport, Report, analyse_chain, bare_join};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use crate::math::sort::sort_by;
use crate::mechanics::strength::Pull;
use crate::motion::chain::Body;
use serde::{Deserialize, Serialize};

/// A design that was looked for, as the report sees it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DesignAnswer {
    /// Every wish is met and the join is proven with the clearance the design asks for.
    pub meets_all: bool,
    /// The join is proven, with that clearance.
    pub joins: bool,
    /// What is said of the join.
    pub join_message: String,
    /// Clearance of the join, metal to metal, proven where it joins.
    pub least_clearance_mm: f64,
    /// The free dimensions.
    pub changed: Vec<Changed>,
    /// Every wish, in order; one with two limits stands twice.
    pub kept: Vec<WishResult>,
    /// What it gives up, in words; empty where it meets all.
    pub gives_up: Vec<String>,
    /// Every figure that was asked for, as reported.
    pub figures: Vec<(Figure, f64)>,
    /// The whole design.
    pub design: Design,
}

/// A free dimension of an answer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Changed {
    /// The dimension.
    pub dimension: Dimension,
    /// To this, mm.
    pub mm: f64,
    /// From this.
    pub was_mm: f64,
}

/// How one wish is met.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WishResult {
    /// Of which figure.
    pub figure: Figure,
    /// The figure as reported; none where there is none.
    pub value: Option<f64>,
    /// Whether it is as wished.
    pub met: bool,
    /// Beyond the wished value or limit by this much; 0 inside a limit.
    pub off: f64,
    /// In words.
    pub message: String,
}

/// A limit counts as kept to this share of itself: rounding.
const ROUNDING: f64 = 1e-9;

impl Goal {
    /// The wish in words.
    pub fn wanted(&self, unit: LengthUnit) -> String {
        let told = self.figure.text(self.value, unit);
        match self.sense {
            Sense::Near => told,
            Sense::AtLeast => format!("at least {told}"),
            Sense::AtMost => format!("at most {told}"),
        }
    }

    fn kept(&self, value: Option<f64>, unit: LengthUnit) -> WishResult {
        let Some(found) = value else {
            let message =
                format!("{}: none, where {} was wished", self.figure.words(), self.wanted(unit));
            return WishResult { figure: self.figure, value, met: false, off: f64::MAX, message };
        };
        let off = found - self.value;
        let rounding = ROUNDING * self.value.abs();
        let (met, off) = match self.sense {
            Sense::Near => (off.abs() <= self.within * (1.0 + ROUNDING), off),
            Sense::AtLeast => (off >= -rounding, off.min(0.0)),
            Sense::AtMost => (off <= rounding, off.max(0.0)),
        };
        let path = if off > 0.0 { "more" } else { "less" };
        let by = if met {
            String::new()
        } else {
            format!(", {} {path} than wished", self.figure.text(off.abs(), unit))
        };
        let message = format!(
            "{} {} ({}){by}",
            self.figure.words(),
            self.figure.text(found, unit),
            self.wanted(unit)
        );
        WishResult { figure: self.figure, value, met, off, message }
    }
}

/// The figures of one size as the report gives them, and its join.
struct Reported {
    figures: Vec<(Figure, Option<f64>)>,
    join: JoinReport,
}

/// `clearance` is the clearance found for joining, which the report proves from below.
fn reported(
    design: &Design,
    size: usize,
    clearance: Option<f64>,
    (pulled, unit): (bool, LengthUnit),
) -> Option<Reported> {
    let formings = design.formings().ok()?;
    let report = Report::at_once(design, &formings, unit);
    let shapes = report.sizes.get(size)?;
    let bodies: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
    let chain = analyse_chain(design, &formings, &bodies, size, unit)?.report.figures;
    let chain = chain.as_ref();
    let pull = if pulled { first_set_and_stiffness(design, size) } else { None };
    let join = bare_join(design, &formings, size, unit)?;
    let mass = |pitch: f64| {
        let density = design.metal.metal().ok()?.density();
        Some(wire_grams(shapes.wire_mm, shapes.centreline_mm, density) * 100.0 / pitch)
    };
    let figure = |figure: Figure| match figure {
        Figure::Ratio => Some(shapes.ratio),
        Figure::CentrelineMm => Some(shapes.centreline_mm),
        Figure::TipMm => Some(shapes.tip_mm),
        Figure::FoldHeightMm => Some(shapes.fold_height_mm),
        Figure::WidthMm => chain.map(|c| c.width_mm),
        Figure::ThicknessMm => chain.map(|c| c.thickness_mm),
        Figure::PitchMm => chain.map(|c| c.pitch_mm),
        Figure::LinksPer100Mm => chain.map(|c| c.links_per_100_mm),
        Figure::PlayMm => chain.map(|c| c.play_mm),
        Figure::CrowdingMm => chain.and_then(|c| c.crowding_mm),
        Figure::GramsPer100Mm => chain.and_then(|c| mass(c.pitch_mm)),
        Figure::JoiningClearanceMm => clearance,
        Figure::FirstSetNewtons => pull.map(|[first_set, _]| first_set),
        Figure::StiffnessNewtonsPerMm => pull.map(|[_, stiffness]| stiffness),
        Figure::SwingXDeg => chain.map(|c| c.swing_x_deg),
        Figure::SwingYDeg => chain.map(|c| c.swing_y_deg),
        Figure::TwistDeg => chain.map(|c| c.twist_deg),
        Figure::CoilXMm => chain.map(|c| c.coil_x_mm),
        Figure::CoilYMm => chain.map(|c| c.coil_y_mm),
        Figure::SupplenessX => chain.map(|c| c.suppleness_x),
        Figure::SupplenessY => chain.map(|c| c.suppleness_y),
    };
    let figures = Figure::ALL.map(|of| (of, figure(of).filter(|value| value.is_finite()))).to_vec();
    Some(Reported { figures, join })
}

/// As in the report's section on metal, which asks much else that takes longer: of the shape in the jaws.
fn first_set_and_stiffness(design: &Design, size: usize) -> Option<[f64; 2]> {
    let held = Forming::new(*design.settings().ok()?.get(size)?).ok()?;
    Pull::within_yield(&held.fold, &design.metal.metal().ok()?).ok()
}

/// The candidate as the report sees it; none where the report does not form it. Beside the wished
/// figures those of `also` are told.
pub(super) fn checked(
    search_space: &SearchSpace,
    goals: &Goals,
    also: &[Figure],
    index: usize,
) -> Option<DesignAnswer> {
    let candidate = &search_space.candidates[index];
    let design = search_space.design_at(&candidate.at);
    let worked = candidate.worked.as_ref()?;
    let asked = |figure: Figure| {
        also.contains(&figure)
            || goals.all.iter().any(|goal| goal.origin.wish().is_some() && goal.figure == figure)
            || goals.aim.is_some_and(|(aimed, _)| aimed == figure)
    };
    let pulled = asked(Figure::FirstSetNewtons) || asked(Figure::StiffnessNewtonsPerMm);
    let clearance = worked.figure(Figure::JoiningClearanceMm, &search_space.context);
    let Reported { figures, join } =
        reported(&design, search_space.size, clearance, (pulled, goals.unit))?;
    let value = |figure: Figure| figures.iter().find(|(of, _)| *of == figure)?.1;
    let joins =
        join.verdict == report::JoinAnswer::Passes && join.least_clearance_mm >= goals.margin;
    let mut kept: Vec<(usize, WishResult)> = (goals.all.iter())
        .filter_map(|goal| Some((goal.origin.wish()?, goal.kept(value(goal.figure), goals.unit))))
        .collect();
    sort_by(&mut kept, |a, b| a.0.cmp(&b.0));
    let kept: Vec<WishResult> = kept.into_iter().map(|(_, kept)| kept).collect();
    let mut gives_up: Vec<String> =
        kept.iter().filter(|kept| !kept.met).map(|kept| kept.message.clone()).collect();
    if !joins {
        gives_up.push(format!("the join: {}", join.message.trim_end_matches('.')));
    }
    let values = search_space.values(&candidate.at);
    let changed = search_space.variables.iter().zip(values).zip(&search_space.now);
    Some(DesignAnswer {
        meets_all: gives_up.is_empty(),
        joins,
        join_message: join.message,
        least_clearance_mm: join.least_clearance_mm,
        changed: changed
            .map(|((variable, mm), was)| Changed {
                dimension: variable.dimension,
                mm,
                was_mm: *was,
            })
            .collect(),
        kept,
        gives_up,
        figures: figures
            .iter()
            .filter(|(f, _)| asked(*f))
            .filter_map(|(f, v)| Some((*f, (*v)?)))
            .collect(),
        design,
    })
}
