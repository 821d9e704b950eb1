//! The figures that can be wished for: each one of the report's.

use crate::documents::units::LengthUnit;
use serde::{Deserialize, Serialize};

/// The figures in the order of the report: each with its name in the wishes and in the answer, and what
/// a maker calls it.
macro_rules! figures {
    ($($(#[$about:meta])* $figure:ident = $name:literal, $words:literal;)*) => {
        /// A figure of the report.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        pub enum Figure {
            $($(#[$about])* #[serde(rename = $name)] $figure,)*
        }

        impl Figure {
            /// Every one, in the order of the report.
            pub const ALL: [Figure; 21] = [$(Figure::$figure),*];

            /// What a maker calls it.
            pub fn words(self) -> &'static str {
                match self {
                    $(Figure::$figure => $words,)*
                }
            }

            /// Name in the wishes and in the answer.
            pub fn name(self) -> &'static str {
                match self {
                    $(Figure::$figure => $name,)*
                }
            }
        }
    };
}

figures! {
    /// Inside diameter of the soldered ring over wire.
    Ratio = "ratio", "ratio";
    /// Wire in one ring.
    CentrelineMm = "centreline_mm", "wire in one ring";
    /// Waist to tip of the flat eight, on the centreline.
    TipMm = "tip_mm", "waist to tip";
    /// Height of the folded link over all.
    FoldHeightMm = "fold_height_mm", "height";
    /// Chain over all, across the lobes.
    WidthMm = "width_mm", "width";
    /// Chain over all, from leg to leg.
    ThicknessMm = "thickness_mm", "thickness";
    /// Advance per link, pulled.
    PitchMm = "pitch_mm", "pitch";
    /// Links in 100 mm, pulled.
    LinksPer100Mm = "links_per_100_mm", "links in 100 mm";
    /// Pulled less pushed.
    PlayMm = "play_mm", "play";
    /// Clearance to links further on, pulled straight.
    CrowdingMm = "crowding_mm", "clearance to links further on";
    /// Mass of 100 mm of pulled chain, grams.
    GramsPer100Mm = "grams_per_100_mm", "mass of 100 mm";
    /// Clearance when joining, to one side: what [`crate::motion::insertion::max_clearance`] finds.
    #[serde(alias = "joining_room_mm")]
    JoiningClearanceMm = "joining_clearance_mm", "clearance when joining";
    /// Pull at first set, likely metal.
    FirstSetNewtons = "first_set_newtons", "pull that starts to stretch it";
    /// Pull per mm of one link's growth, likely metal.
    StiffnessNewtonsPerMm = "stiffness_newtons_per_mm", "stiffness";
    /// Turn about x.
    SwingXDeg = "swing_x_deg", "swing across the lobes";
    /// Turn about y.
    SwingYDeg = "swing_y_deg", "swing from leg to leg";
    /// Turn about z.
    TwistDeg = "twist_deg", "twist";
    /// Rod inside the tightest coil bent about x.
    CoilXMm = "coil_x_mm", "coil across the lobes";
    /// Likewise about y.
    CoilYMm = "coil_y_mm", "coil from leg to leg";
    /// That rod over the width; less is suppler.
    SupplenessX = "suppleness_x", "suppleness across the lobes";
    /// Likewise about y, over the thickness.
    SupplenessY = "suppleness_y", "suppleness from leg to leg";
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
    pub fn text(self, value: f64, unit: LengthUnit) -> String {
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

    /// How finely the report resolves it: angles to [`crate::motion::chain::FINE`], a twentieth of a
    /// degree, others to what no hand measures: 0.001 mm, a thousandth of a ratio, 0.01 g, N or N/mm.
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
