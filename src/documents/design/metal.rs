//! The metal of a design: which one, annealed when, and which shapes are meant.

use super::error::{DesignError, FieldPath, counted, in_ranges};
use super::own_metal::OwnMetal;
#[cfg(feature = "schema")]
use crate::documents::number_field::ranges;
use crate::documents::number_field::{NumberField, number_field};
use serde::{Deserialize, Serialize};

/// The metal, and how it is worked. What is left out is annealed sterling silver, soldered and
/// not annealed again, with shapes while held in the jaws.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&METAL_FIELDS)))]
#[serde(deny_unknown_fields, default)]
pub struct MetalChoice {
    /// Which metal: the id of one that linkfold knows, such as `fine-silver`, or of one of `own`.
    #[cfg_attr(feature = "schema", schemars(length(min = 1, max = 40)))]
    pub id: String,
    /// Metals of the maker's own.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = MOST_OWN)))]
    pub own: Vec<OwnMetal>,
    /// Steps before which the wire is annealed; soldering the ring anneals it in any case.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 4)))]
    pub anneal_before: Vec<AnnealBefore>,
    /// Which shapes the verdict and the picture take.
    pub shapes: Shapes,
    /// Where the solder seam lies, as a share of the way round from the middle of one waist wire:
    /// 0.25 and 0.75 are the tips, 0.5 the other waist wire. Advice alone when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seam_share: Option<f64>,
}

/// A step before which wire may be annealed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum AnnealBefore {
    /// Oval to eight.
    Pinch,
    /// Eight to folded loop.
    Fold,
    /// The leading lobe pressed narrow, to be threaded; counts where it is.
    Press,
    /// The leading lobe opened again in its place; counts where it was pressed.
    Open,
}

/// Which shapes are meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Shapes {
    /// As the jaws leave them, while they hold.
    #[default]
    AsTheJawsLeaveThem,
    /// After springback, with tips pinched shut last.
    AfterSpringback,
}

/// Own metals in one design.
const MOST_OWN: usize = 8;

impl Default for MetalChoice {
    fn default() -> MetalChoice {
        MetalChoice {
            id: "sterling-silver".into(),
            own: Vec::new(),
            anneal_before: Vec::new(),
            shapes: Shapes::default(),
            seam_share: None,
        }
    }
}

impl MetalChoice {
    /// Whether nothing was chosen.
    pub fn is_default(&self) -> bool {
        *self == MetalChoice::default()
    }

    /// Checks counts, and where the seam lies.
    pub(super) fn check(&self) -> Result<(), DesignError> {
        let at = FieldPath::whole;
        counted(at("metal.own"), "entries", self.own.len(), 0..=MOST_OWN)?;
        counted(at("metal.anneal_before"), "entries", self.anneal_before.len(), 0..=4)?;
        in_ranges(&METAL_FIELDS, self, None)
    }
}

/// The numbers of the metal.
static METAL_FIELDS: [NumberField<MetalChoice>; 1] =
    [number_field!(optional ("metal.") seam_share, 0.0, 1.0)];
