//! Trial links: what a maker measured, and what springback it shows.
//!
//! A trial says which mandrel and wire it was made on, so that it still means what it meant
//! when the design changes. Where a size has trials with their rings measured, their mean takes
//! the place of its `springback_mm`.
//! Source of the interval: Student's t, as in any text on statistics.
//! Evidence: `tests/trials.rs`.

use super::error::{DesignError, FieldPath, counted, in_ranges};
#[cfg(feature = "schema")]
use crate::documents::number_field::ranges;
use crate::documents::number_field::{MANDREL_RANGE, NumberField, WIRE_RANGE, number_field};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, StudentsT};
use std::f64::consts::PI;

/// One trial link, as far as it was measured.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&TRIAL_FIELDS)))]
#[serde(deny_unknown_fields)]
pub struct Trial {
    /// Mandrel it was wound on.
    pub mandrel_mm: f64,
    /// Its wire; any when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wire_mm: Option<f64>,
    /// Inside diameter of the soldered ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ring_inside_mm: Option<f64>,
    /// Inside length of the oval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oval_length_mm: Option<f64>,
    /// Bore of the lobes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bore_mm: Option<f64>,
    /// Clear gap between the legs at the fold.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fold_gap_mm: Option<f64>,
    /// Whether it could be joined.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub joined: Option<bool>,
}

/// Trials in one design.
pub const MOST_TRIALS: usize = 200;
/// Mandrels and wires as near as this are the same, mm: callipers show no less.
const SAME: f64 = 5e-3;

impl Trial {
    /// Whether it was made on this mandrel in this wire, mm.
    pub fn is_of(&self, mandrel: f64, wire: f64) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < SAME;
        near(self.mandrel_mm, mandrel) && self.wire_mm.is_none_or(|own| near(own, wire))
    }

    /// What its coil opened by in inside diameter, mm, sawn with a kerf of `kerf` mm: closing the
    /// cut takes a `π`th of it off the diameter.
    pub fn springback(&self, kerf: f64) -> Option<f64> {
        Some(self.ring_inside_mm? + kerf / PI - self.mandrel_mm)
    }
}

/// The numbers of a trial link.
pub static TRIAL_FIELDS: [NumberField<Trial>; 6] = [
    number_field!(mandrel_mm, MANDREL_RANGE[0], MANDREL_RANGE[1]),
    number_field!(optional wire_mm, WIRE_RANGE[0], WIRE_RANGE[1]),
    number_field!(optional ring_inside_mm, 0.01, 1e3),
    number_field!(optional oval_length_mm, 0.01, 5e3),
    number_field!(optional bore_mm, 0.01, 1e3),
    number_field!(optional fold_gap_mm, 0.0, 1e3),
];

/// Checks every trial.
pub(super) fn check(trials: &[Trial]) -> Result<(), DesignError> {
    counted(FieldPath::whole("trials"), "entries", trials.len(), 0..=MOST_TRIALS)?;
    for (index, trial) in trials.iter().enumerate() {
        in_ranges(&TRIAL_FIELDS, trial, None)
            .map_err(|fault| DesignError::Trial { index, fault: Box::new(fault) })?;
    }
    Ok(())
}

/// A mean of measurements, and how well they hold it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// How many.
    pub count: usize,
    /// Their mean: the least squares' answer for one unknown.
    pub mean: f64,
    /// Their standard deviation (divided by one less than their number); none for one alone.
    pub spread: Option<f64>,
    /// The mean is known to within this, either way, 95 times in 100; none for one alone.
    pub within: Option<f64>,
}

impl Mean {
    /// Of `values`; none where there are none.
    pub fn of(values: &[f64]) -> Option<Mean> {
        let count = values.len();
        if count == 0 {
            return None;
        }
        let mean = values.iter().sum::<f64>() / count as f64;
        let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
        let spread = (count > 1).then(|| (squares / (count - 1) as f64).sqrt());
        let within = spread.map(|s| s / (count as f64).sqrt() * t_95(count - 1));
        Some(Mean { count, mean, spread, within })
    }
}

/// Student's t that is passed, either way, 5 times in 100, for so many degrees of freedom.
///
/// # Panics
/// Where there are none.
pub fn t_95(freedom: usize) -> f64 {
    let distribution = StudentsT::new(0.0, 1.0, freedom as f64);
    distribution.expect("at least one degree of freedom").inverse_cdf(0.975)
}

/// What the trials on this mandrel and wire show of its springback, mm; none where no ring was
/// measured.
pub fn springback_shown(trials: &[Trial], mandrel: f64, wire: f64, kerf: f64) -> Option<Mean> {
    let own = trials.iter().filter(|trial| trial.is_of(mandrel, wire));
    Mean::of(&own.filter_map(|trial| trial.springback(kerf)).collect::<Vec<f64>>())
}
