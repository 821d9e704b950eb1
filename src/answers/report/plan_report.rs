//! What is said of a planned chain: the records, without how they come about.

use super::hand::{FailingReport, HandReport};
use super::join::JoinAnswer;
use crate::math::units::{GRAMS_PER_PENNYWEIGHT, GRAMS_PER_TROY_OUNCE};
use serde::{Deserialize, Serialize};

/// How far a plan is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlanStanding {
    /// Laid out, and every neighbouring pair is proven to join.
    Finished,
    /// Laid out; none fails, but for a pair it is not proven.
    Open,
    /// A neighbouring pair does not join.
    Fails,
    /// It cannot be laid out.
    NotLaidOut,
}

/// The plan of a chain.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlanReport {
    /// How far it is.
    pub standing: PlanStanding,
    /// The answer in a sentence.
    pub message: String,
    /// The field at fault, where it cannot be laid out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// The plan, where it can.
    pub laid: Option<PlannedChain>,
    /// What trial links show.
    pub hand: HandReport,
    /// Cautions for what lies round a neck.
    pub cautions: Vec<String>,
}

/// A chain laid out, and what it takes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlannedChain {
    /// Length wanted, laid flat, clasp included.
    pub wanted_mm: f64,
    /// Length reached, likewise.
    pub length_mm: f64,
    /// The nearest lengths that can be made: not above the one wanted, and above it.
    pub nearest_mm: [f64; 2],
    /// Of which the clasp.
    pub clasp_mm: f64,
    /// Of which metal beyond the first and the last fold.
    pub beyond_mm: f64,
    /// Inside length, where it is worn round.
    pub inside_mm: Option<f64>,
    /// Thickness reckoned with there.
    pub thickness_mm: f64,
    /// Links.
    pub links: usize,
    /// Rings to make: links, trial links, spares; a pallion of solder each.
    pub rings: usize,
    /// Size by size.
    pub sizes: Vec<SizePlan>,
    /// From the first end to the last, stretch by stretch of one size.
    pub size_runs: Vec<SizeRunReport>,
    /// Which links hang in which.
    pub pitches: Vec<PitchReport>,
    /// Every pair of neighbouring sizes, with the verdict of its join.
    pub joins: Vec<PlanJoin>,
    /// Wire to buy.
    pub wire_mm: f64,
    /// The same in feet.
    pub wire_feet: f64,
    /// Metal to buy, g, dwt and ozt.
    pub wire_mass: Mass,
    /// Metal of the finished links.
    pub chain_mass: Mass,
    /// Of solder.
    pub solder: Vec<String>,
    /// The ring through the ends: the first link's, the last link's.
    pub ends: Vec<EndReport>,
    /// Links expected to fail to join, of an uneven hand; left out where not asked.
    pub failing: Option<FailingReport>,
    /// Cost and hours, where a bench was given.
    pub cost: Option<CostReport>,
}

/// One mass, three ways.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mass {
    /// Grams.
    pub grams: f64,
    /// Pennyweights.
    pub pennyweights: f64,
    /// Troy ounces.
    pub troy_ounces: f64,
}

impl Mass {
    pub(super) fn of(grams: f64) -> Mass {
        Mass {
            grams,
            pennyweights: grams / GRAMS_PER_PENNYWEIGHT,
            troy_ounces: grams / GRAMS_PER_TROY_OUNCE,
        }
    }
}

/// One size's part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SizePlan {
    /// Its name.
    pub name: String,
    /// Wire diameter.
    pub wire_diameter_mm: f64,
    /// Mandrel.
    pub mandrel_mm: f64,
    /// Width over all, across the lobes.
    pub width_mm: f64,
    /// Links in the chain.
    pub links: usize,
    /// Trial links.
    pub trial_links: usize,
    /// Rings made to be lost.
    pub spare_rings: usize,
    /// Rings to saw.
    pub rings: usize,
    /// Whole rings a coil.
    pub rings_per_coil: usize,
    /// Coils to wind.
    pub coils: usize,
    /// Wire a ring, the saw cut included.
    pub wire_per_ring_mm: f64,
    /// Wire lost at the coils' ends.
    pub coil_ends_mm: f64,
    /// Wire in all.
    pub wire_mm: f64,
    /// Metal of one link, g.
    pub link_grams: f64,
    /// Metal of its wire, g.
    pub wire_grams: f64,
}

/// Links of one size, one after the other.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct SizeRunReport {
    /// Which size, from 0.
    pub size: usize,
    /// How many links.
    pub links: usize,
    /// Where the first one's fold lies, the chain's first at 0.
    pub from_mm: f64,
    /// Where the next stretch begins, or the last link ends.
    pub to_mm: f64,
}

/// Links of one size hung in links of one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PitchReport {
    /// Size hung in, from 0.
    pub before: usize,
    /// Size that hangs.
    pub after: usize,
    /// How often.
    pub count: usize,
    /// What such a link adds to the length.
    pub pitch_mm: f64,
}

/// A pair of neighbours.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlanJoin {
    /// Which of the report's joins it is, from 0.
    pub join: usize,
    /// Size that receives.
    pub receiving: String,
    /// Size worked through it.
    pub incoming: String,
    /// How often they meet.
    pub count: usize,
    /// The verdict of the join.
    pub verdict: JoinAnswer,
    /// What it rests on.
    pub basis: String,
}

/// The ring through an end link.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EndReport {
    /// `first` or `last`.
    pub link: String,
    /// Whether it fits.
    pub fits: bool,
    /// Clearance, metal to metal.
    pub clearance_mm: f64,
    /// In a maker's words.
    pub message: String,
}

/// Cost and hours.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CostReport {
    /// Hours.
    pub hours: f64,
    /// Wire.
    pub metal: f64,
    /// Solder and flux.
    pub solder: f64,
    /// Whatever a chain costs besides.
    pub fixed: f64,
    /// Hours at the maker's rate.
    pub work: f64,
    /// All of it.
    pub total: f64,
    /// The bench's currency.
    pub currency: String,
}
