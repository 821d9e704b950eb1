//! The dimensions that a search may change and a map may have: one table for both.

use crate::answers::build::dimension_words;
use crate::answers::report::Steps;
use crate::documents::design::{Design, SIZE_FIELDS, WIRE_RANGE, WireChoice};
use crate::documents::units::LengthUnit;
use crate::geometry::link::{ToolDimension, ToolDimensions};
use serde::{Deserialize, Serialize};

/// A dimension a maker sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Dimension {
    /// Wire diameter.
    WireMm,
    /// Mandrel.
    MandrelMm,
    /// Bore of the lobes.
    BoreMm,
    /// Clear gap at the waist.
    WaistGapMm,
    /// Jaws that pinch.
    PinchJawMm,
    /// Jaw folded over.
    FoldJawMm,
    /// Clear gap between the tips.
    TipGapMm,
}

use Dimension::*;

impl Dimension {
    /// Every one, in the order of the work.
    pub const ALL: [Dimension; 7] =
        [WireMm, MandrelMm, BoreMm, WaistGapMm, PinchJawMm, FoldJawMm, TipGapMm];

    /// Name in the wishes; the design's own but for the wire's.
    pub fn name(self) -> &'static str {
        match self {
            WireMm => "wire_mm",
            MandrelMm => "mandrel_mm",
            BoreMm => "bore_mm",
            WaistGapMm => "waist_gap_mm",
            PinchJawMm => "pinch_jaw_mm",
            FoldJawMm => "fold_jaw_mm",
            TipGapMm => "tip_gap_mm",
        }
    }

    /// The dimension of the tools.
    pub fn tool(self) -> ToolDimension {
        match self {
            WireMm => ToolDimension::Wire,
            MandrelMm => ToolDimension::Mandrel,
            BoreMm => ToolDimension::Bore,
            WaistGapMm => ToolDimension::WaistGap,
            PinchJawMm => ToolDimension::PinchJaw,
            FoldJawMm => ToolDimension::FoldJaw,
            TipGapMm => ToolDimension::TipGap,
        }
    }

    /// What a maker calls it.
    pub fn words(self) -> &'static str {
        dimension_words(self.tool())
    }

    /// Its value, mm.
    pub fn of(self, setting: &ToolDimensions) -> f64 {
        self.tool().of(setting).unwrap_or_default()
    }

    /// Sets it in one size of `design`, mm; a wire that several sizes share becomes its own. In a
    /// design that says its wire by gauge a wire of that gauge is said by its number.
    pub fn set(self, design: &mut Design, size: usize, mm: f64) {
        let alone = design.sizes.len() == 1;
        let gauge = Steps::of(design, LengthUnit::Mm).gauge_of(mm);
        let Some(chosen) = design.sizes.get_mut(size) else { return };
        match self {
            WireMm => {
                let wire = gauge.map_or(WireChoice::by_diameter(mm), WireChoice::by_gauge);
                if alone && chosen.wire.is_none() {
                    design.wire = wire;
                } else {
                    chosen.wire = Some(wire);
                }
            }
            _ => {
                for field in SIZE_FIELDS.iter().filter(|field| field.name == self.name()) {
                    (field.set)(chosen, Some(mm));
                }
            }
        }
    }

    /// The same, but a wire that several sizes share changes for all.
    pub fn set_shared(self, design: &mut Design, size: usize, mm: f64) {
        let shares = design.sizes.get(size).is_some_and(|chosen| chosen.wire.is_none());
        if self == WireMm && shares {
            design.wire = WireChoice::by_diameter(mm);
        } else {
            self.set(design, size, mm);
        }
    }

    /// Least and greatest a design takes, mm.
    pub fn limits(self) -> (f64, f64) {
        let own = SIZE_FIELDS.iter().find(|field| field.name == self.name());
        let [least, most] = own.map_or(WIRE_RANGE, |field| field.range);
        (least, most)
    }

    /// A range round the present value that a maker might mean, mm.
    pub fn usual_range(self, setting: &ToolDimensions) -> (f64, f64) {
        let own = self.of(setting);
        let (low, high) = match self {
            WaistGapMm | TipGapMm => (0.0, (2.0 * own).max(0.8 * setting.wire)),
            _ => (0.65 * own, 1.45 * own),
        };
        let (least, most) = self.limits();
        (low.max(least), high.min(most))
    }
}
