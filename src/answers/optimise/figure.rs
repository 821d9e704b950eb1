//! The figures that can be wished for: each one of the report's.

use crate::documents::units::LengthUnit;
use serde::{Deserialize, Serialize};

/// A figure of the report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Figure {
    /// Inside diameter of the soldered ring over wire.
    Ratio,
    /// Wire in one ring.
    CentrelineMm,
    /// Waist to tip of the flat eight, on the centreline.
    TipMm,
    /// Height of the folded link over all.
    FoldHeightMm,
    /// Chain over all, across the lobes.
    WidthMm,
    /// Chain over all, from leg to leg.
    ThicknessMm,
    /// Advance per link, pulled.
    PitchMm,
    /// Links in 100 mm, pulled.
    #[serde(rename = "links_per_100_mm")]
    LinksPer100Mm,
    /// Pulled less pushed.
    PlayMm,
    /// Clearance to links further on, pulled straight.
    CrowdingMm,
    /// Mass of 100 mm of pulled chain, grams.
    #[serde(rename = "grams_per_100_mm")]
    GramsPer100Mm,
    /// Clearance when joining, to one side: what [`crate::motion::insertion::max_clearance`] finds.
    #[serde(alias = "joining_room_mm")]
    JoiningClearanceMm,
    /// Pull at first set, likely metal.
    FirstSetNewtons,
    /// Pull per mm of one link's growth, likely metal.
    StiffnessNewtonsPerMm,
    /// Turn about x.
    SwingXDeg,
    /// Turn about y.
    SwingYDeg,
    /// Turn about z.
    TwistDeg,
    /// Rod inside the tightest coil bent about x.
    CoilXMm,
    /// Likewise about y.
    CoilYMm,
    /// That rod over the width; less is suppler.
    SupplenessX,
    /// Likewise about y, over the thickness.
    SupplenessY,
}

/// What has to be known for a figure, in the order of what it costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// The shapes: microseconds.
    Shape,
    /// Where links lie: some milliseconds, as what follows.
    Rest,
    /// The pull.
    Pull,
    /// The clearance for joining.
    JoiningClearance,
    /// Turns about z, y and x.
    Twist,
    /// Swing about y.
    SwingY,
    /// Swing about x.
    SwingX,
}

use Figure::*;

impl Figure {
    /// Every one, in the order of the report.
    pub const ALL: [Figure; 21] = [
        Ratio,
        CentrelineMm,
        TipMm,
        FoldHeightMm,
        WidthMm,
        ThicknessMm,
        PitchMm,
        LinksPer100Mm,
        PlayMm,
        CrowdingMm,
        GramsPer100Mm,
        JoiningClearanceMm,
        FirstSetNewtons,
        StiffnessNewtonsPerMm,
        SwingXDeg,
        SwingYDeg,
        TwistDeg,
        CoilXMm,
        CoilYMm,
        SupplenessX,
        SupplenessY,
    ];

    /// What a maker calls it.
    pub fn words(self) -> &'static str {
        match self {
            Ratio => "ratio",
            CentrelineMm => "wire in one ring",
            TipMm => "waist to tip",
            FoldHeightMm => "height",
            WidthMm => "width",
            ThicknessMm => "thickness",
            PitchMm => "pitch",
            LinksPer100Mm => "links in 100 mm",
            PlayMm => "play",
            CrowdingMm => "clearance to links further on",
            GramsPer100Mm => "mass of 100 mm",
            JoiningClearanceMm => "clearance when joining",
            FirstSetNewtons => "pull that starts to stretch it",
            StiffnessNewtonsPerMm => "stiffness",
            SwingXDeg => "swing across the lobes",
            SwingYDeg => "swing from leg to leg",
            TwistDeg => "twist",
            CoilXMm => "coil across the lobes",
            CoilYMm => "coil from leg to leg",
            SupplenessX => "suppleness across the lobes",
            SupplenessY => "suppleness from leg to leg",
        }
    }

    /// Name in the wishes and in the answer.
    pub fn name(self) -> &'static str {
        match self {
            Ratio => "ratio",
            CentrelineMm => "centreline_mm",
            TipMm => "tip_mm",
            FoldHeightMm => "fold_height_mm",
            WidthMm => "width_mm",
            ThicknessMm => "thickness_mm",
            PitchMm => "pitch_mm",
            LinksPer100Mm => "links_per_100_mm",
            PlayMm => "play_mm",
            CrowdingMm => "crowding_mm",
            GramsPer100Mm => "grams_per_100_mm",
            JoiningClearanceMm => "joining_clearance_mm",
            FirstSetNewtons => "first_set_newtons",
            StiffnessNewtonsPerMm => "stiffness_newtons_per_mm",
            SwingXDeg => "swing_x_deg",
            SwingYDeg => "swing_y_deg",
            TwistDeg => "twist_deg",
            CoilXMm => "coil_x_mm",
            CoilYMm => "coil_y_mm",
            SupplenessX => "suppleness_x",
            SupplenessY => "suppleness_y",
        }
    }

    /// Unit as written after a number; empty for a mere number.
    pub fn unit(self) -> &'static str {
        match self {
            Ratio | LinksPer100Mm | SupplenessX | SupplenessY => "",
            GramsPer100Mm => "g",
            FirstSetNewtons => "N",
            StiffnessNewtonsPerMm => "N/mm",
            SwingXDeg | SwingYDeg | TwistDeg => "°",
            _ => "mm",
        }
    }

    /// Whether it is a length, which is told in the maker's unit.
    pub fn is_length(self) -> bool {
        self.unit() == "mm"
    }

    /// A value in words, a length in `unit`.
    pub fn told(self, value: f64, unit: LengthUnit) -> String {
        let own = self.unit();
        if self.is_length() {
            let places = if self == JoiningClearanceMm { 3 } else { 2 };
            let (places, name) = match unit {
                LengthUnit::Mm => (places, "mm"),
                LengthUnit::Inch => (places + 1, "in"),
            };
            return format!("{:.*} {name}", places, value / unit.in_mm());
        }
        let places = if own == "°" { 1 } else { 2 };
        let gap = if matches!(own, "" | "°") { "" } else { " " };
        format!("{value:.places$}{gap}{own}")
    }

    /// What has to be known for it.
    pub(super) fn need(self) -> Need {
        match self {
            Ratio | CentrelineMm | TipMm | FoldHeightMm | WidthMm | ThicknessMm => Need::Shape,
            PitchMm | LinksPer100Mm | PlayMm | CrowdingMm | GramsPer100Mm => Need::Rest,
            JoiningClearanceMm => Need::JoiningClearance,
            FirstSetNewtons | StiffnessNewtonsPerMm => Need::Pull,
            SwingXDeg | CoilXMm | SupplenessX => Need::SwingX,
            SwingYDeg | CoilYMm | SupplenessY => Need::SwingY,
            TwistDeg => Need::Twist,
        }
    }

    /// How finely the report resolves it: angles to [`crate::motion::chain::FINE`], others to what no
    /// hand measures.
    pub fn grain(self) -> f64 {
        match self.unit() {
            "°" => crate::motion::chain::FINE.to_degrees(),
            "mm" => 1e-3,
            "" => 1e-3,
            _ => 1e-2,
        }
    }

    /// How near to `value` is near enough where a maker does not say: a hundredth of it.
    pub fn usual_tolerance(self, value: f64) -> f64 {
        (0.01 * value.abs()).max(self.grain())
    }
}
