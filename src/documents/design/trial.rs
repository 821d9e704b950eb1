//! Trial links: what a maker measured, and what springback it shows.
//!
//! A trial says which mandrel and wire it was made on, so that it still means what it meant
//! when the design changes. Where a size has trials with their rings measured, their mean takes
//! the place of its `springback_mm`.
//! Source of the interval: Student's t, as in any text on statistics.
//! Evidence: `tests/trials.rs`.

use super::error::{DesignError, FieldPath, counted, in_range};
use serde::{Deserialize, Serialize};
use statrs::distribution::{ContinuousCDF, StudentsT};
use std::f64::consts::PI;

/// One trial link, as far as it was measured.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Trial {
    /// Mandrel it was wound on.
    #[cfg_attr(feature = "schema", schemars(range(min = 0.1, max = 1000)))]
    pub mandrel_mm: f64,
    /// Its wire; any when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.05, max = 20)))]
    pub wire_mm: Option<f64>,
    /// Inside diameter of the soldered ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.01, max = 1000)))]
    pub ring_inside_mm: Option<f64>,
    /// Inside length of the oval.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.01, max = 5000)))]
    pub oval_length_mm: Option<f64>,
    /// Bore of the lobes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0.01, max = 1000)))]
    pub bore_mm: Option<f64>,
    /// Clear gap between the legs at the fold.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 1000)))]
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

    fn check(&self) -> Result<(), DesignError> {
        let held = |field, value: Option<f64>, least, most| match value {
            Some(value) => in_range(FieldPath::whole(field), value, least, most).map(|_| ()),
            None => Ok(()),
        };
        held("mandrel_mm", Some(self.mandrel_mm), 0.1, 1e3)?;
        held("wire_mm", self.wire_mm, 0.05, 20.0)?;
        held("ring_inside_mm", self.ring_inside_mm, 0.01, 1e3)?;
        held("oval_length_mm", self.oval_length_mm, 0.01, 5e3)?;
        held("bore_mm", self.bore_mm, 0.01, 1e3)?;
        held("fold_gap_mm", self.fold_gap_mm, 0.0, 1e3)
    }
}

/// Checks every trial.
pub(super) fn check(trials: &[Trial]) -> Result<(), DesignError> {
    counted(FieldPath::whole("trials"), "entries", trials.len(), 0..=MOST_TRIALS)?;
    for (index, trial) in trials.iter().enumerate() {
        trial.check().map_err(|fault| DesignError::Trial { index, fault: Box::new(fault) })?;
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
