//! Why a design gives no links: the document's own error, or the core's with its field and words.

use crate::documents::design::{DesignError, FieldPath};
use crate::documents::units::{LengthUnit, length_words, length_words_down, length_words_up};
use crate::geometry::link::{FormError, Obstacle, ToolDimension};
use crate::mechanics::forming::{FormingError, FormingStep};
use crate::mechanics::material::{MetalError, MetalProperty};

/// Why a design gives no links.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BuildError {
    /// The document itself is at fault.
    #[error(transparent)]
    Design(#[from] DesignError),
    /// A maker's own metal that is none.
    #[error("metal.own[{index}].{}", metal_words(source))]
    Metal {
        /// Which of the own metals, from 0.
        index: usize,
        /// What its record lacks.
        source: MetalError,
    },
    /// A maker's own metal by the name of another.
    #[error("metal.own[{index}].id \"{id}\" is another metal's; give yours a name of its own")]
    MetalTaken {
        /// Which of the own metals, from 0.
        index: usize,
        /// The id.
        id: String,
    },
    /// A metal that nobody knows.
    #[error("metal.id \"{id}\" is neither one of your own metals nor one of {known}")]
    UnknownMetal {
        /// The id.
        id: String,
        /// What there is.
        known: String,
    },
    /// A size whose springback cannot be followed.
    #[error("sizes[{index}]{}: {}", named(name), self.message(field_of(source.dimension()), LengthUnit::Mm))]
    Working {
        /// Which size, from 0.
        index: usize,
        /// Its name.
        name: String,
        /// The step that failed.
        source: FormingError,
    },
    /// A size whose ring cannot be formed so.
    #[error("sizes[{index}]{}: {}", named(name), self.message(field_of(source.dimension()), LengthUnit::Mm))]
    Form {
        /// Which size, from 0.
        index: usize,
        /// Its name.
        name: String,
        /// The step that failed.
        source: FormError,
    },
}

fn named(name: &str) -> String {
    if name.is_empty() { String::new() } else { format!(" ({name})") }
}

impl BuildError {
    /// Which field is at fault; none for the document as a whole.
    pub fn at(&self) -> Option<FieldPath> {
        match self {
            BuildError::Design(error) => error.at(),
            BuildError::Metal { .. } | BuildError::MetalTaken { .. } => {
                Some(FieldPath::whole("metal.own"))
            }
            BuildError::UnknownMetal { .. } => Some(FieldPath::whole("metal.id")),
            BuildError::Working { index, source, .. } => {
                Some(FieldPath { size: Some(*index), field: field_of(source.dimension()) })
            }
            BuildError::Form { index, source, .. } => {
                Some(FieldPath { size: Some(*index), field: field_of(source.dimension()) })
            }
        }
    }

    /// Path of the field at fault, such as `sizes[0].mandrel_mm`; where reading stopped, or
    /// empty for the document as a whole.
    pub fn field(&self) -> String {
        match self {
            BuildError::Design(error) => error.field(),
            BuildError::Metal { index, source } => {
                format!("metal.own[{index}].{}", property_field(source.property()))
            }
            BuildError::MetalTaken { index, .. } => format!("metal.own[{index}].id"),
            _ => self.at().map(|at| at.to_string()).unwrap_or_default(),
        }
    }

    /// The message to stand beside the field, which the reader knows as `name`; lengths in
    /// `unit`.
    pub fn message(&self, name: &str, unit: LengthUnit) -> String {
        match self {
            BuildError::Design(error) => error.message(name, unit),
            BuildError::Working { source, .. } => forming_words(source, name, unit),
            BuildError::Form { source, .. } => form_words(source, name, unit),
            other => other.to_string(),
        }
    }
}

/// The design's field for a dimension of the tools.
pub fn field_of(dimension: ToolDimension) -> &'static str {
    match dimension {
        ToolDimension::Wire => "wire",
        ToolDimension::Mandrel => "mandrel_mm",
        ToolDimension::OvalJaw => "oval_jaw_mm",
        ToolDimension::OvalLength => "oval_length_mm",
        ToolDimension::Bore => "bore_mm",
        ToolDimension::WaistGap => "waist_gap_mm",
        ToolDimension::PinchJaw => "pinch_jaw_mm",
        ToolDimension::FoldJaw => "fold_jaw_mm",
        ToolDimension::TipGap => "tip_gap_mm",
        ToolDimension::OpenTipGap => "open_tip_gap_mm",
        ToolDimension::Neck => "neck_mm",
        ToolDimension::ThreadingBore => "threading_bore_mm",
    }
}

/// What a maker calls a dimension of the tools.
pub fn dimension_words(dimension: ToolDimension) -> &'static str {
    match dimension {
        ToolDimension::Wire => "wire",
        ToolDimension::Mandrel => "mandrel",
        ToolDimension::OvalJaw => "oval jaw",
        ToolDimension::OvalLength => "oval length",
        ToolDimension::Bore => "bore",
        ToolDimension::WaistGap => "waist gap",
        ToolDimension::PinchJaw => "pinch jaw",
        ToolDimension::Neck => "neck",
        ToolDimension::FoldJaw => "fold jaw",
        ToolDimension::TipGap => "tip gap",
        ToolDimension::OpenTipGap => "tip gap while joining",
        ToolDimension::ThreadingBore => "bore while threading",
    }
}

/// Why a ring cannot be formed so, in words; the dimension is called `name`.
fn form_words(error: &FormError, name: &str, unit: LengthUnit) -> String {
    match *error {
        FormError::TooSmall { value, least, obstacle, dimension } => {
            let (value, least) = (length_words(value, unit), length_words_up(least, unit));
            let why = obstacle_words(obstacle);
            let more =
                if dimension == ToolDimension::Mandrel { " (joining needs more)" } else { "" };
            format!("{name} is {value}: {why}; the smallest that can be shaped is {least}{more}")
        }
        FormError::TooLarge { value, most, obstacle, .. } => {
            let (value, most) = (length_words(value, unit), length_words_down(most, unit));
            let why = obstacle_words(obstacle);
            format!("{name} is {value}: {why}; the most that works here is {most}")
        }
    }
}

fn obstacle_words(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::NoInside => "the closed ring has no inside left",
        Obstacle::JawsTooThick => "the ring does not go round the jaws",
        Obstacle::ShorterThanRing => "the ring is longer than that inside before it is stretched",
        Obstacle::LongerThanTaut => "the ring is taut on these jaws before it is that long",
        Obstacle::RingTooSmall => "the ring is too small to be pinched to this bore on these jaws",
        Obstacle::WaistWiderThanLobes => "the waist would be wider than the lobes",
        Obstacle::GapLongerThanEight => "the flat figure eight is no longer than that",
        Obstacle::LegsTooShort => {
            "the legs are too short to bring the tips together round this jaw"
        }
        Obstacle::ClosesWhileJoining => "the tips would stand closer while joining than after",
        Obstacle::NeckTooLong => {
            "the ring is too small for a neck this long and lobes of this bore"
        }
        Obstacle::PressedBelowWaist => "the pressed lobe would be narrower than the waist",
    }
}

/// Why a size cannot be followed in its metal, in words; the dimension is called `name`.
pub(in crate::answers) fn forming_words(
    error: &FormingError,
    name: &str,
    unit: LengthUnit,
) -> String {
    match error {
        FormingError::StaysElastic { mandrel, most } => format!(
            "{name} is {}: wire this thin springs off it straight; the most that leaves a ring is about {}",
            length_words(*mandrel, unit),
            length_words_down(*most, unit)
        ),
        FormingError::FoldStaysElastic { jaw, most } => format!(
            "the fold jaw is {}: wire this thin springs off it straight; the most that leaves a fold is about {}",
            length_words(*jaw, unit),
            length_words_down(*most, unit)
        ),
        FormingError::Shape { source } => {
            format!("after springback {}", form_words(source, name, unit))
        }
        FormingError::Rod { step: FormingStep::Stretch, source } => format!("stretching: {source}"),
        FormingError::Rod { step: FormingStep::Pinch, source } => format!("pinching: {source}"),
        other => other.to_string(),
    }
}

/// The field of an own metal's record for a property.
fn property_field(property: MetalProperty) -> &'static str {
    match property {
        MetalProperty::Id => "id",
        MetalProperty::Density => "density_g_per_cm3",
        MetalProperty::YoungsModulus => "youngs_modulus_mpa",
        MetalProperty::PoissonRatio => "poisson_ratio",
        MetalProperty::Yield => "yield_mpa",
        MetalProperty::Tensile => "tensile_mpa",
        MetalProperty::Elongation => "elongation",
        MetalProperty::Solidus => "solidus_celsius",
        MetalProperty::Liquidus => "liquidus_celsius",
        MetalProperty::AnnealingTemperature => "annealing.celsius",
        MetalProperty::HardeningStrength => "hardening.strength_mpa",
        MetalProperty::HardeningExponent => "hardening.exponent",
    }
}

/// Why a record is no metal's, in words that begin with the field.
fn metal_words(error: &MetalError) -> String {
    let field = property_field(error.property());
    match error {
        MetalError::Id { id } => format!(
            "id \"{id}\": use 1 to 40 lower-case letters, digits and hyphens, such as fine-silver"
        ),
        MetalError::Band { low, likely, high, .. } => format!(
            "{field}: low {low}, likely {likely}, high {high} must be numbers that rise or stay level"
        ),
        MetalError::OutOfRange { value, least, most, .. } => {
            format!("{field} is {value}; a metal lies between {least} and {most}: check the unit")
        }
        MetalError::Disordered { value, greater, share, limit, .. } => {
            let of = if *share < 1.0 { format!("{share} of ") } else { String::new() };
            let greater = property_field(*greater);
            format!(
                "{field} is {value}, above {of}{greater}, which is {limit}; one of the two is wrong"
            )
        }
    }
}
