//! The metal section of a size: figures from the forming run, sentences for the bench.

use super::forming::{FormingReport, forming_report};
use super::pull::{PullReport, pull_report, strength_words};
use super::tool_notes::{ToolNote, tool_notes};
use crate::answers::build::{BuildError, field_of, forming_words};
use crate::documents::design::{Design, DesignError, FieldPath, MOST_SIZES, MetalChoice, Shapes};
use crate::documents::units::LengthUnit;
use crate::geometry::link::{Forming, ToolDimensions};
use crate::mechanics::forming::{FormingAnalysis, FormingRun};
use crate::mechanics::material::Metal;
use crate::mechanics::strength::{Pull, Seam};
use serde::Serialize;

/// What stands beside every figure of this section.
pub const CAUTIONS: [&str; 7] = [
    "Torch and kiln: eye protection, moving air or extraction, nothing that burns within reach, an extinguisher at hand; metal that no longer glows is still hot.",
    "Solder: cadmium-free only, and flux fumes are not to be breathed.",
    "Pickle is acid: acid goes into water, never water into acid; copper, brass or plastic tongs, no steel in it; goggles and gloves; do not quench hot metal in it; rinse.",
    "The pull figures are computed for the drawing, not tested on a chain, and are not a rating: nothing may hang from it that could fall or hurt.",
    "A chain round a neck should part before it can hurt: leave it a weak link or a clasp that opens.",
    "Children's pieces have rules of their own: small parts, loops about the neck, lead, cadmium and nickel.",
    "Local codes and licensed practice come before anything written here.",
];

/// The metal's part in one size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MetalReport {
    /// Stable name.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Which shapes the verdict and the measures take.
    pub shapes: Shapes,
    /// What state the figures mean.
    pub state: String,
    /// Springback, strain and annealing; none where the forming cannot be followed.
    pub working: Option<FormingReport>,
    /// The tool beside each dimension; empty where the forming cannot be followed.
    pub tools: Vec<ToolNote>,
    /// Pull; none where the next link has no seat.
    pub pull: Option<PullReport>,
    /// What could not be answered, and why.
    pub unanswered: Vec<String>,
}

impl MetalReport {
    /// The metal section of one size; sentences speak `unit`. It starts from the tools: a forming after springback has
    /// other settings than the design.
    ///
    /// # Errors
    /// [`BuildError`] for a design that is none, or has no such size.
    pub fn of(design: &Design, index: usize, unit: LengthUnit) -> Result<MetalReport, BuildError> {
        MetalReport::threaded(design, index, None, unit)
    }

    /// As [`MetalReport::of`], with the bore, mm, that a join of this size was found to press the
    /// leading lobe to; the design's own takes its place where there is one.
    ///
    /// # Errors
    /// As [`MetalReport::of`].
    pub fn threaded(
        design: &Design,
        index: usize,
        threading_bore: Option<f64>,
        unit: LengthUnit,
    ) -> Result<MetalReport, BuildError> {
        let settings = design.settings()?;
        let found = settings.len();
        let setting = settings.get(index).ok_or(DesignError::Count {
            at: FieldPath::whole("sizes"),
            what: "entries",
            found,
            least: index + 1,
            most: MOST_SIZES,
        })?;
        let choice = &design.metal;
        let setting = ToolDimensions {
            threading_bore: setting.threading_bore.or(threading_bore),
            ..*setting
        };
        Ok(MetalReport::on(choice, &choice.metal()?, &setting, unit))
    }

    fn on(
        choice: &MetalChoice,
        metal: &Metal,
        setting: &ToolDimensions,
        unit: LengthUnit,
    ) -> MetalReport {
        let mut unanswered = Vec::new();
        let worked = FormingAnalysis::of(setting, metal, choice.anneals())
            .map_err(|error| {
                unanswered.push(format!(
                    "Springback and strain: {}.",
                    forming_words(&error, field_of(error.dimension()), unit)
                ))
            })
            .ok();
        let held = match &worked {
            Some(working) => Some(working.likely().loaded),
            None => Forming::new(*setting).ok(),
        };
        let pulled = held.and_then(|forming| {
            let answer = Pull::of(&forming.fold, metal);
            let answer = answer.map_err(|error| {
                unanswered.push(format!("Pull: {}.", strength_words(&error, unit)))
            });
            answer.ok().map(|pull| (forming, pull))
        });
        let along =
            worked.as_ref().map(|working| worst_along(working.likely())).unwrap_or_default();
        let working = worked.as_ref().map(|working| forming_report(working, metal, unit));
        let tools = working
            .as_ref()
            .map_or_else(Vec::new, |working| tool_notes(setting, working, choice.shapes, unit));
        MetalReport {
            id: metal.id().into(),
            name: metal.name().into(),
            shapes: choice.shapes,
            state: state(choice),
            working,
            tools,
            pull: pulled.map(|(forming, pull)| {
                let seam = Seam::of(&pull, &along, choice.seam_share);
                pull_report(&pull, &seam, choice.seam_share, |at| forming.eight.region_at(at))
            }),
            unanswered,
        }
    }
}

fn state(choice: &MetalChoice) -> String {
    let anneals = choice.anneals();
    let before = [
        (anneals.before_pinch, "the pinch"),
        (anneals.before_press, "the press"),
        (anneals.before_fold, "the fold"),
        (anneals.before_open, "the opening"),
    ];
    let before = before.into_iter().filter(|(is_so, _)| *is_so);
    let before: Vec<String> = before.map(|(_, step)| format!("before {step}")).collect();
    let annealed = if before.is_empty() {
        "not annealed after the soldering".into()
    } else {
        format!("annealed {}", before.join(" and "))
    };
    let shapes = match choice.shapes {
        Shapes::AsTheJawsLeaveThem => {
            "the design's dimensions are the finished link's, its tools allow for springback"
        }
        Shapes::AfterSpringback => {
            "the design's dimensions are its tools', the shapes those after springback, tips pinched shut last"
        }
    };
    format!(
        "Annealed wire wound, soldered (which anneals it), {annealed}; {shapes}. Ranges run from the soft to the hard end of the metal's record."
    )
}

/// The greatest plastic strain of any step after the soldering, place by place.
fn worst_along(run: &FormingRun) -> Vec<f64> {
    let mut worst: Vec<f64> = Vec::new();
    for step in &run.strains[1..] {
        let here: Vec<f64> = step.plastic().collect();
        worst.resize(here.len(), 0.0);
        for (most, now) in worst.iter_mut().zip(here) {
            *most = most.max(now);
        }
    }
    worst
}
