//! The metal of a design: which one, annealed when, and which shapes are meant.

use super::{DesignError, FieldPath, counted, in_range};
use crate::mechanics::material::{Metal, MetalRecord, known_metal, known_metals};
use serde::{Deserialize, Serialize};

/// The metal, and how it is worked. What is left out is annealed sterling silver, soldered and
/// not annealed again, with shapes as the jaws leave them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct MetalChoice {
    /// Which metal: the id of one that linkfold knows, such as `fine-silver`, or of one of `own`.
    #[cfg_attr(feature = "schema", schemars(length(min = 1, max = 40)))]
    pub id: String,
    /// Metals of the maker's own.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 8)))]
    pub own: Vec<MetalRecord>,
    /// Steps before which the wire is annealed; soldering the ring anneals it in any case.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = 2)))]
    pub anneal_before: Vec<AnnealBefore>,
    /// Which shapes the verdict and the picture take.
    pub shapes: Shapes,
    /// Where the solder seam lies, as a share of the way round from the middle of one waist wire:
    /// 0.25 and 0.75 are the tips, 0.5 the other waist wire. Advice alone when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = 1)))]
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

    /// The metal, with every record of the document checked.
    ///
    /// # Errors
    /// [`DesignError`] for a record that is no metal, an id that is taken or unknown, or a seam
    /// off the link.
    pub fn metal(&self) -> Result<Metal, DesignError> {
        let at = FieldPath::whole;
        counted(at("metal.own"), "entries", self.own.len(), 0..=MOST_OWN)?;
        counted(at("metal.anneal_before"), "entries", self.anneal_before.len(), 0..=2)?;
        if let Some(seam) = self.seam_share {
            in_range(at("metal.seam_share"), seam, 0.0, 1.0)?;
        }
        let mut found = known_metal(&self.id);
        for (index, record) in self.own.iter().enumerate() {
            let metal =
                Metal::new(record.clone()).map_err(|fault| DesignError::Metal { index, fault })?;
            let twice = self.own[..index].iter().any(|other| other.id == record.id);
            if twice || known_metal(&record.id).is_some() {
                return Err(DesignError::MetalTaken { index, id: record.id.clone() });
            }
            if record.id == self.id {
                found = Some(metal);
            }
        }
        found.ok_or_else(|| {
            let ids: Vec<String> = known_metals().iter().map(|m| m.id().to_owned()).collect();
            DesignError::UnknownMetal {
                id: self.id.chars().take(40).collect(),
                known: ids.join(", "),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;

    #[test]
    fn a_makers_own_metal_is_checked_field_by_field() {
        let mut design = Design::plain(0.9, 10.0);
        let mut record = known_metal("bronze").unwrap().record().clone();
        record.id = "shed-bronze".into();
        design.metal.own = vec![record];
        design.metal.id = "shed-bronze".into();
        let read = Design::parse(&design.to_json()).unwrap();
        assert_eq!(read.metal.metal().unwrap().id(), "shed-bronze");
        let told = |change: &dyn Fn(&mut Design)| {
            let mut bad = design.clone();
            change(&mut bad);
            let error = Design::parse(&bad.to_json()).unwrap_err();
            assert!(!error.to_string().is_empty());
            error.field()
        };
        assert_eq!(told(&|d| d.metal.id = "unobtainium".into()), "metal.id");
        assert_eq!(told(&|d| d.metal.own[0].yield_mpa.high = 1e9), "metal.own[0].yield_mpa");
        assert_eq!(told(&|d| d.metal.own[0].id = "copper".into()), "metal.own[0].id");
        assert_eq!(told(&|d| d.metal.own.push(d.metal.own[0].clone())), "metal.own[1].id");
        assert_eq!(told(&|d| d.metal.seam_share = Some(2.0)), "metal.seam_share");
    }
}
