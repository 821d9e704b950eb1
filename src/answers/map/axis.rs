//! The dimensions a map can have, and how far round the present design it goes.

use crate::documents::design::{Design, WireChoice};
use crate::geometry::link::ToolDimensions;
use serde::{Deserialize, Serialize};

/// A dimension of a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Axis {
    /// Mandrel.
    Mandrel,
    /// Wire diameter.
    Wire,
    /// Bore of the lobes.
    Bore,
    /// Fold jaw.
    FoldJaw,
    /// Waist gap.
    WaistGap,
    /// Tip gap of the finished link.
    TipGap,
}

impl Axis {
    /// All of them, the most asked for first.
    pub const ALL: [Axis; 6] =
        [Axis::Mandrel, Axis::Wire, Axis::Bore, Axis::FoldJaw, Axis::WaistGap, Axis::TipGap];

    /// What a maker calls it.
    pub fn name(self) -> &'static str {
        match self {
            Axis::Mandrel => "mandrel",
            Axis::Wire => "wire",
            Axis::Bore => "bore",
            Axis::FoldJaw => "fold jaw",
            Axis::WaistGap => "waist gap",
            Axis::TipGap => "tip gap",
        }
    }

    /// Its value, mm.
    pub fn of(self, setting: &ToolDimensions) -> f64 {
        match self {
            Axis::Mandrel => setting.mandrel,
            Axis::Wire => setting.wire,
            Axis::Bore => setting.bore,
            Axis::FoldJaw => setting.fold_jaw,
            Axis::WaistGap => setting.waist_gap,
            Axis::TipGap => setting.tip_gap,
        }
    }

    /// Sets it in a size of `design`, mm. A wire that all sizes share changes for all.
    pub fn set(self, design: &mut Design, size: usize, mm: f64) {
        let Some(chosen) = design.sizes.get_mut(size) else { return };
        match self {
            Axis::Mandrel => chosen.mandrel_mm = mm,
            Axis::Wire => match &mut chosen.wire {
                Some(own) => *own = WireChoice::by_diameter(mm),
                None => design.wire = WireChoice::by_diameter(mm),
            },
            Axis::Bore => chosen.bore_mm = Some(mm),
            Axis::FoldJaw => chosen.fold_jaw_mm = Some(mm),
            Axis::WaistGap => chosen.waist_gap_mm = Some(mm),
            Axis::TipGap => chosen.tip_gap_mm = Some(mm),
        }
    }
}

/// A dimension from a least to a greatest value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Range {
    /// The dimension along this axis.
    pub axis: Axis,
    /// Least, mm.
    pub low: f64,
    /// Greatest, mm.
    pub high: f64,
}

impl Range {
    /// Round the present value: where the answer is likely to turn, in usual proportions.
    pub fn round(axis: Axis, setting: &ToolDimensions) -> Range {
        let own = axis.of(setting);
        let (low, high) = match axis {
            Axis::Mandrel | Axis::Wire | Axis::Bore | Axis::FoldJaw => (0.65 * own, 1.45 * own),
            // Gaps start from nothing.
            Axis::WaistGap | Axis::TipGap => (0.0, (2.0 * own).max(0.8 * setting.wire)),
        };
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
