//! The one answer: every module asked, nothing computed here but the sentences.
//!
//! [`Report::at_once`] answers within a keystroke, its joins by estimate; [`Report::of`]
//! has each of them proven, and the chain at rest measured, which takes some tens of
//! milliseconds a join. A page may ask for one join at a time, [`prove`], for one pair at rest,
//! [`analyse_chain`], and for one metal section, [`MetalReport::of`].
//!
//! Used by the page and the command alike. Lengths in mm, in fields that end in `_mm`;
//! angles in degrees, in fields that end in `_deg`; forces in newtons; strains as shares.

use crate::answers::build::{BuildError, SpringbackBasis};
use crate::answers::plan::Plan;
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::{Forming, Oval};
use crate::math::{both, map_indices};
use crate::motion::chain::Body;
use serde::Serialize;

mod best_shaping;
mod chain;
mod definitions;
mod forming;
mod hand;
mod hand_share;
mod join;
mod metal;
mod model;
mod plan;
mod plan_report;
mod proving;
mod pull;
mod refusal_proof;
mod strain;
mod take_suggestion;
mod tool_notes;
mod uncorrected;
mod whole;
mod wording;

pub use best_shaping::{
    BestShaping, LeastMandrels, ShapedReport, best_shapings, least_mandrels, other_jaws,
};
pub use chain::{ChainAnalysis, ChainReport, ChainSuggestionReport, Figures, StopReport};
pub use definitions::{DEFINITIONS, Definition};
pub use forming::{FormingReport, JawsReport, PressReport, ReleasedReport};
pub use hand::{
    FailingReport, GrowthReport, HandReport, MeasuredReport, SpreadReport, SpringbackReport,
};
pub use hand_share::{HandFound, HandPart, HandShare};
pub(in crate::answers) use join::row::{NoRow, rows as insertion_rows};
pub use join::{
    ChangeReport, JoinAnswer, JoinReport, PathReport, PlayedPath, ProvenJoin, Reason, Steps,
    SuggestionReport,
};
pub use metal::{CAUTIONS, MetalReport};
pub use model::{MeshPiece, MeshRequest, ModelError, Modelled, modelled};
pub use plan::plan_table;
pub use plan_report::{
    CostReport, EndReport, Mass, PitchReport, PlanJoin, PlanReport, PlanStanding, PlannedChain,
    SizePlan, SizeRunReport,
};
pub(in crate::answers) use proving::{
    all_joins, bare_join, goes_in, path_clearance_of, searched_clearance,
};
pub use proving::{analyse_chain, pairs, prove, prove_all};
use proving::{ask, names};
pub use pull::{PullReport, SeamReport};
pub use refusal_proof::is_refusal_proven;
use refusal_proof::prove_refusals;
pub use strain::{AnnealReport, StepReport, StrainStanding};
pub use tool_notes::{ToolNote, noted_fields, ring_note};
pub use uncorrected::{
    UncorrectedPart, UncorrectedReport, uncorrected, uncorrected_part, uncorrected_so_far,
};
pub use whole::{DesignVerdict, WholeAnswer};

/// Everything linkfold has to say about a design.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Version of this document.
    pub linkfold_report: u32,
    /// The design's name.
    pub name: String,
    /// The answer to the whole design; left out where it has no size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<WholeAnswer>,
    /// Every size, in the design's order.
    pub sizes: Vec<SizeReport>,
    /// Every join: each size with itself, then each neighbour with the next, both ways.
    pub joins: Vec<JoinReport>,
    /// What comes of tools set to the design's dimensions without a correction for springback; left
    /// out by [`Report::at_once`], and where the joins are on shapes after springback already.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uncorrected: Option<UncorrectedReport>,
    /// What other jaws would make of every size, in the design's order; empty where not asked.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub best_shaping: Vec<BestShaping>,
    /// How links lie and move in one another, for the same pairs; empty where not asked.
    pub chain: Vec<ChainReport>,
    /// The whole chain; left out where the design has no plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plan: Option<PlanReport>,
    /// What stands beside every mention of torch, acid and load.
    pub cautions: &'static [&'static str],
}

/// One size of link: what to measure at each step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SizeReport {
    /// The size's name; its mandrel where it has none.
    pub name: String,
    /// Wire diameter `d`.
    pub wire_mm: f64,
    /// Mandrel diameter.
    pub mandrel_mm: f64,
    /// Inside diameter of the soldered ring over the wire diameter, `M'/d`.
    pub ratio: f64,
    /// What the ring opens by in inside diameter when its coil leaves the mandrel.
    pub springback_mm: f64,
    /// Where that is from: `trials`, `measured` or `metal`.
    pub springback_basis: &'static str,
    /// Measured trial rings that it is fitted to; 0 where it is not.
    pub springback_rings: usize,
    /// Length of the soldered ring's centreline, kept through every step but for its growth.
    pub centreline_mm: f64,
    /// What it grows by when it is stretched, as a share of itself.
    pub growth_share: f64,
    /// Inside diameter of the soldered ring.
    pub ring_inside_mm: f64,
    /// Oval: inside length.
    pub oval_inside_length_mm: f64,
    /// Oval: inside width.
    pub oval_inside_width_mm: f64,
    /// Oval drawn taut, as pinching draws it: inside length.
    pub taut_inside_length_mm: f64,
    /// Eight: greatest inside width of a lobe.
    pub bore_mm: f64,
    /// Eight: clear gap at the waist.
    pub waist_gap_mm: f64,
    /// Eight: from the waist to the centre of the wire at the tip.
    pub tip_mm: f64,
    /// Eight: length over all.
    pub eight_length_mm: f64,
    /// Eight: width over all.
    pub eight_width_mm: f64,
    /// Fold: height over all.
    pub fold_height_mm: f64,
    /// Fold: clear gap between the legs, at the fold's centre.
    pub leg_gap_mm: f64,
    /// Fold: clear gap between the tips.
    pub tip_gap_mm: f64,
    /// Fold: angle the waist is bent through.
    pub fold_deg: f64,
    /// Springback, strain, annealing and pull in the design's metal; left out by
    /// [`Report::at_once`], since each takes some ten milliseconds.
    pub metal: Option<MetalReport>,
}

/// What a report asks of the modules, one after the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReportStage {
    /// The sizes are formed.
    Forming,
    /// Every join is proven or refused.
    Joins,
    /// The joins with jaws that are not corrected for springback.
    Uncorrected,
    /// Other jaws and the smallest mandrels; how the chain lies, swings and hangs, and what the metal bears.
    JawsAndChain,
    /// The plan, with the share that an uneven hand fails at.
    Plan,
}

impl ReportStage {
    /// All, in order.
    pub const ALL: [ReportStage; 5] = [
        ReportStage::Forming,
        ReportStage::Joins,
        ReportStage::Uncorrected,
        ReportStage::JawsAndChain,
        ReportStage::Plan,
    ];

    /// What is being done.
    pub fn words(self) -> &'static str {
        match self {
            ReportStage::Forming => "forming the links",
            ReportStage::Joins => "proving the joins",
            ReportStage::Uncorrected => "the joins without a correction for springback",
            ReportStage::JawsAndChain => "other jaws, and how the chain lies",
            ReportStage::Plan => "the plan",
        }
    }
}

impl Report {
    /// Asks every module about `design`, every join proven.
    ///
    /// # Errors
    /// [`BuildError`] where a size cannot be formed.
    ///
    /// # Examples
    /// ```
    /// use linkfold::answers::report::Report;
    /// use linkfold::documents::design::Design;
    /// let design = Design::plain(0.9, 12.0); // wire and mandrel, mm
    /// let report = Report::of(&design)?;
    /// assert!(report.joins[0].least_clearance_mm > 0.0);
    /// # Ok::<(), linkfold::answers::build::BuildError>(())
    /// ```
    pub fn of(design: &Design) -> Result<Report, BuildError> {
        Report::by_stages(design, |_| ())
    }

    /// The same, `begins` told of every stage when it begins.
    ///
    /// # Errors
    /// [`BuildError`] where a size cannot be formed.
    pub fn by_stages(design: &Design, begins: impl Fn(ReportStage)) -> Result<Report, BuildError> {
        begins(ReportStage::Forming);
        let formings = design.formings()?;
        begins(ReportStage::Joins);
        let mut report = Report::at_once(design, &formings, LengthUnit::Mm);
        report.joins = prove_all(design, &formings, LengthUnit::Mm);
        report.answer = WholeAnswer::of(&report.joins, 0);
        begins(ReportStage::Uncorrected);
        report.uncorrected = uncorrected(design, LengthUnit::Mm);
        begins(ReportStage::JawsAndChain);
        let bores: Vec<Option<f64>> = report.joins.iter().map(JoinReport::threading_bore).collect();
        let bodies: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
        // The smallest mandrels are one long search; what else there is to do goes beside it.
        let (shapings, (hung, metals)) = both(
            || best_shapings(design, &mut report.joins, LengthUnit::Mm),
            || {
                let hung = map_indices(bores.len(), |index| {
                    Some(analyse_chain(design, &formings, &bodies, index, LengthUnit::Mm)?.report)
                });
                let metals = map_indices(formings.len(), |index| {
                    let bore = bores.get(index).copied().flatten();
                    MetalReport::threaded(design, index, bore, LengthUnit::Mm)
                });
                (hung, metals)
            },
        );
        report.best_shaping = shapings;
        report.chain = hung.into_iter().flatten().collect();
        for (size, metal) in report.sizes.iter_mut().zip(metals) {
            size.metal = Some(metal?);
        }
        if design.plan.is_some() {
            begins(ReportStage::Plan);
            let (plan, asked) = (Plan::of(design, &formings), (LengthUnit::Mm, true));
            report.plan =
                Some(PlanReport::of(design, &formings, &plan, &report.joins, None, asked));
        }
        Ok(report)
    }

    /// Tries to prove, too, the refusals for want of a joined pose in the report on `design`: seconds
    /// for each.
    ///
    /// # Errors
    /// [`BuildError`] where a size cannot be formed.
    pub fn prove_refusals(&mut self, design: &Design) -> Result<(), BuildError> {
        prove_refusals(design, &design.formings()?, &mut self.joins, LengthUnit::Mm);
        self.answer = WholeAnswer::of(&self.joins, 0);
        Ok(())
    }

    /// The report on `design` whose sizes are already worked to `formings`, in order, its
    /// joins by estimate; its sentences speak `unit`, its numbers mm.
    pub fn at_once(design: &Design, formings: &[Forming], unit: LengthUnit) -> Report {
        let names = names(design, unit);
        // A design whose links were formed has its tools.
        let settings = design.settings().unwrap_or_default();
        let joins: Vec<JoinReport> = pairs(formings.len())
            .map(|(a, b)| {
                let ask = ask(design, &settings, unit, (a, b));
                join::estimated(&ask, (&names[a], &formings[a]), (&names[b], &formings[b]))
            })
            .collect();
        let springbacks = design.ring_springbacks().unwrap_or_default();
        let sizes = names.iter().zip(formings).zip(&springbacks);
        let sizes = sizes.map(|((n, f), ring)| size_report(n, f, ring.basis)).collect();
        Report {
            linkfold_report: 3,
            name: design.name.clone(),
            answer: WholeAnswer::of(&joins, 0),
            joins,
            sizes,
            uncorrected: None,
            best_shaping: Vec::new(),
            chain: Vec::new(),
            plan: None,
            cautions: &CAUTIONS,
        }
    }
}

fn size_report(name: &str, forming: &Forming, basis: SpringbackBasis) -> SizeReport {
    let Forming { setting, ring, oval, taut, eight, fold, .. } = forming;
    let length = |oval: &Oval| oval.inside_length();
    SizeReport {
        name: name.into(),
        wire_mm: setting.wire,
        mandrel_mm: setting.mandrel,
        ratio: ring.inside_diameter() / setting.wire,
        springback_mm: setting.springback,
        springback_basis: match basis {
            SpringbackBasis::Trials { .. } => "trials",
            SpringbackBasis::Measured => "measured",
            SpringbackBasis::Metal => "metal",
        },
        springback_rings: if let SpringbackBasis::Trials { rings } = basis { rings } else { 0 },
        centreline_mm: ring.centreline,
        growth_share: setting.growth,
        ring_inside_mm: ring.inside_diameter(),
        oval_inside_length_mm: length(oval),
        oval_inside_width_mm: oval.inside_width(),
        taut_inside_length_mm: length(taut),
        bore_mm: eight.bore(),
        waist_gap_mm: eight.waist_gap(),
        tip_mm: eight.tip(),
        eight_length_mm: 2.0 * eight.tip() + setting.wire,
        eight_width_mm: 2.0 * eight.end_radius + setting.wire,
        fold_height_mm: fold.outside_height(),
        leg_gap_mm: fold.leg_gap(),
        tip_gap_mm: fold.tip_gap(),
        fold_deg: 2.0 * fold.half_angle.to_degrees(),
        metal: None,
    }
}
