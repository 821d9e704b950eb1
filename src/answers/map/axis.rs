//! The dimensions a map can have, and how far round the present design it goes.

use crate::answers::dimension::Dimension;
use crate::geometry::link::ToolDimensions;
use serde::{Deserialize, Serialize};

/// The dimensions a map can have, the most asked for first.
pub const AXES: [Dimension; 6] = [
    Dimension::MandrelMm,
    Dimension::WireMm,
    Dimension::BoreMm,
    Dimension::FoldJawMm,
    Dimension::WaistGapMm,
    Dimension::TipGapMm,
];

/// A dimension from a least to a greatest value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Range {
    /// The dimension along this axis.
    pub axis: Dimension,
    /// Least, mm.
    pub low: f64,
    /// Greatest, mm.
    pub high: f64,
}

impl Range {
    /// Round the present value: where the answer is likely to turn, in usual proportions.
    pub fn round(axis: Dimension, setting: &ToolDimensions) -> Range {
        let (low, high) = axis.usual_range(setting);
        Range { axis, low, high }
    }

    /// The value at a share of the range, mm.
    pub fn at(&self, share: f64) -> f64 {
        self.low + share * (self.high - self.low)
    }

    /// The share at which a value stands.
    pub fn share(&self, mm: f64) -> f64 {
        (mm - self.low) / (self.high - self.low)
    }

    /// Whether a value lies on it.
    pub fn holds(&self, mm: f64) -> bool {
        (-1e-9..=1.0 + 1e-9).contains(&self.share(mm))
    }
}
