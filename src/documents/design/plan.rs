//! The chain that is wanted: how long, how tapered, with what losses. Defaults are common
//! practice, no source.

use super::error::{DesignError, in_ranges};
#[cfg(feature = "schema")]
use crate::documents::number_field::ranges;
use crate::documents::number_field::{NumberField, WIRE_RANGE, number_field};
use serde::{Deserialize, Serialize};

/// The whole chain. What is left out takes the default beside it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&PLAN_FIELDS)))]
#[serde(deny_unknown_fields, default)]
pub struct PlanChoice {
    /// Length wanted, the clasp included, as `measured` says; 450 mm.
    pub length_mm: f64,
    /// What `length_mm` measures; the chain laid flat.
    pub measured: LengthBasis,
    /// What a worn chain is longer than the neck or wrist; 0.
    pub ease_mm: f64,
    /// How the sizes share the length; even.
    pub taper: Taper,
    /// Whether the sizes follow one another once, from one end to the other; else from both
    /// ends to the middle.
    pub one_ended: bool,
    /// Stepped: how long each size but the last lies at an end; 40 mm.
    pub step_mm: f64,
    /// What clasp and end rings add to the links, pulled; 15 mm.
    pub clasp_mm: f64,
    /// Wire of the ring through the end links: the clasp's own or a jump ring; 0.8 of the end
    /// link's wire when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_ring_wire_mm: Option<f64>,
    /// Its inside diameter; 4 of the end link's wires when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_ring_inside_mm: Option<f64>,
    /// Trial links of each size; 3.
    pub trial_links: u32,
    /// Share of rings lost at saw, torch and jaws, made in addition; 0.05.
    pub loss_share: f64,
    /// Length of a close-wound coil; 80 mm.
    pub coil_mm: f64,
    /// Wire lost at both ends of a coil; 40 mm.
    pub coil_ends_mm: f64,
    /// Spread of the hand (standard deviation) in the ring's inside diameter; 0.05 mm. Trial
    /// links take its place.
    pub spread_ring_mm: f64,
    /// In the bore; 0.1 mm.
    pub spread_bore_mm: f64,
    /// In the gap at the fold; 0.1 mm.
    pub spread_fold_mm: f64,
}

/// What a length measures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum LengthBasis {
    /// The chain laid flat and pulled, clasp included.
    #[default]
    Flat,
    /// Round a neck, under the chain.
    RoundNeck,
    /// Round a wrist, under the chain.
    RoundWrist,
}

/// How sizes share the length, from the first at an end to the last.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Taper {
    /// Each size lies along an equal share of the length.
    #[default]
    Even,
    /// Each size but the last lies along a stated length at an end; the last takes the rest.
    Stepped,
    /// Each size lies along more than the one before: lengths as 1 to 2 to 3.
    Swelling,
}

impl Default for PlanChoice {
    fn default() -> PlanChoice {
        PlanChoice {
            length_mm: 450.0,
            measured: LengthBasis::Flat,
            ease_mm: 0.0,
            taper: Taper::Even,
            one_ended: false,
            step_mm: 40.0,
            clasp_mm: 15.0,
            end_ring_wire_mm: None,
            end_ring_inside_mm: None,
            trial_links: 3,
            loss_share: 0.05,
            coil_mm: 80.0,
            coil_ends_mm: 40.0,
            spread_ring_mm: 0.05,
            spread_bore_mm: 0.1,
            spread_fold_mm: 0.1,
        }
    }
}

impl PlanChoice {
    /// Checks every number.
    ///
    /// # Errors
    /// [`DesignError`] for the first outside its range.
    pub fn check(&self) -> Result<(), DesignError> {
        in_ranges(&PLAN_FIELDS, self, None)
    }
}

/// The numbers of the plan.
pub static PLAN_FIELDS: [NumberField<PlanChoice>; 13] = [
    number_field!(("plan.") length_mm, 10.0, 2e4),
    number_field!(("plan.") ease_mm, 0.0, 500.0),
    number_field!(("plan.") step_mm, 0.1, 5e3),
    number_field!(("plan.") clasp_mm, 0.0, 500.0),
    number_field!(optional ("plan.") end_ring_wire_mm, WIRE_RANGE[0], WIRE_RANGE[1]),
    number_field!(optional ("plan.") end_ring_inside_mm, 0.1, 500.0),
    NumberField {
        name: "plan.trial_links",
        range: [0.0, 100.0],
        get: |plan| Some(f64::from(plan.trial_links)),
        // A count that is read is a whole number from 0 on.
        set: |plan, count| plan.trial_links = count.map_or(plan.trial_links, |count| count as u32),
    },
    number_field!(("plan.") loss_share, 0.0, 1.0),
    number_field!(("plan.") coil_mm, 1.0, 2e3),
    number_field!(("plan.") coil_ends_mm, 0.0, 1e3),
    number_field!(("plan.") spread_ring_mm, 0.0, 10.0),
    number_field!(("plan.") spread_bore_mm, 0.0, 10.0),
    number_field!(("plan.") spread_fold_mm, 0.0, 10.0),
];
