//! The chain that is wanted: how long, how tapered, with what losses. Defaults are common
//! practice, no source.

use super::error::{DesignError, FieldPath, in_range};
use serde::{Deserialize, Serialize};

/// The whole chain. What is left out takes the default beside it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct PlanChoice {
    /// Length wanted, the clasp included, as `measured` says; 450 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 10, max = 20000)))]
    pub length_mm: f64,
    /// What `length_mm` measures; the chain laid flat.
    pub measured: LengthBasis,
    /// What a worn chain is longer than the neck or wrist; 0.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 500)))]
    pub ease_mm: f64,
    /// How the sizes share the length; even.
    pub taper: Taper,
    /// Whether the sizes follow one another once, from one end to the other; else from both
    /// ends to the middle.
    pub one_ended: bool,
    /// Stepped: how long each size but the last lies at an end; 40 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 0.1, max = 5000)))]
    pub step_mm: f64,
    /// What clasp and end rings add to the links, pulled; 15 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 500)))]
    pub clasp_mm: f64,
    /// Wire of the ring through the end links: the clasp's own or a jump ring; 0.8 of the end
    /// link's wire when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.05, max = 20)))]
    pub end_ring_wire_mm: Option<f64>,
    /// Its inside diameter; 4 of the end link's wires when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.1, max = 500)))]
    pub end_ring_inside_mm: Option<f64>,
    /// Trial links of each size; 3.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 100)))]
    pub trial_links: u32,
    /// Share of rings lost at saw, torch and jaws, made in addition; 0.05.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 1)))]
    pub loss_share: f64,
    /// Length of a close-wound coil; 80 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 2000)))]
    pub coil_mm: f64,
    /// Wire lost at both ends of a coil; 40 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 1000)))]
    pub coil_ends_mm: f64,
    /// Spread of the hand (standard deviation) in the ring's inside diameter; 0.05 mm. Trial
    /// links take its place.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 10)))]
    pub spread_ring_mm: f64,
    /// In the bore; 0.1 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 10)))]
    pub spread_bore_mm: f64,
    /// In the gap at the fold; 0.1 mm.
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 10)))]
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
        let held = |field, value, least, most| {
            in_range(FieldPath::whole(field), value, least, most).map(|_| ())
        };
        held("plan.length_mm", self.length_mm, 10.0, 20000.0)?;
        held("plan.ease_mm", self.ease_mm, 0.0, 500.0)?;
        held("plan.step_mm", self.step_mm, 0.1, 5000.0)?;
        held("plan.clasp_mm", self.clasp_mm, 0.0, 500.0)?;
        if let Some(wire) = self.end_ring_wire_mm {
            held("plan.end_ring_wire_mm", wire, 0.05, 20.0)?;
        }
        if let Some(inside) = self.end_ring_inside_mm {
            held("plan.end_ring_inside_mm", inside, 0.1, 500.0)?;
        }
        held("plan.trial_links", f64::from(self.trial_links), 0.0, 100.0)?;
        held("plan.loss_share", self.loss_share, 0.0, 1.0)?;
        held("plan.coil_mm", self.coil_mm, 1.0, 2000.0)?;
        held("plan.coil_ends_mm", self.coil_ends_mm, 0.0, 1000.0)?;
        held("plan.spread_ring_mm", self.spread_ring_mm, 0.0, 10.0)?;
        held("plan.spread_bore_mm", self.spread_bore_mm, 0.0, 10.0)?;
        held("plan.spread_fold_mm", self.spread_fold_mm, 0.0, 10.0)
    }
}
