//! A metal of the maker's own, as the document holds it. Whether the values can be those of a
//! metal is asked where links are built.

use serde::{Deserialize, Serialize};

/// What a value rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum OwnBasis {
    /// The likely value stands in the source named.
    Published,
    /// Computed from other values, as the source says.
    Derived,
    /// Remembered, not looked up; the band is wide to match.
    Memory,
    /// Given by the maker.
    #[default]
    Own,
}

/// A value with its band, its source and the day it was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OwnQuantity {
    /// Least that should surprise nobody.
    pub low: f64,
    /// Best single value.
    pub likely: f64,
    /// Most that should surprise nobody.
    pub high: f64,
    /// What it rests on.
    #[serde(default)]
    pub standing: OwnBasis,
    /// Work and place, or how it was derived.
    #[serde(default)]
    pub source: String,
    /// When it was read, as `2026-11-25`.
    #[serde(default)]
    pub read: String,
}

/// Hollomon's constants, σ = K εⁿ in true stress and true strain.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OwnHardening {
    /// K, MPa.
    pub strength_mpa: f64,
    /// n.
    pub exponent: f64,
    /// What they rest on.
    #[serde(default)]
    pub standing: OwnBasis,
    /// Work and place, or how they were derived.
    #[serde(default)]
    pub source: String,
    /// When they were read.
    #[serde(default)]
    pub read: String,
}

/// Where a metal may be heated to anneal it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum OwnHeat {
    /// Torch or kiln, in air, with flux if it oxidises.
    TorchOrKiln,
    /// Vacuum or inert gas only: hot, it takes up gas from the air and turns brittle.
    VacuumOrInert,
}

/// How to anneal.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OwnAnnealing {
    /// From where it softens to where it is harmed, °C.
    pub celsius: OwnQuantity,
    /// Where it may be heated.
    pub heat: OwnHeat,
    /// What to do, for the bench.
    pub method: String,
}

/// A metal of the maker's own: the form to fill in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OwnMetal {
    /// Stable name for files: lower-case letters, digits and hyphens, such as `fine-silver`.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Density, g/cm³.
    pub density_g_per_cm3: OwnQuantity,
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: OwnQuantity,
    /// Poisson's ratio.
    pub poisson_ratio: OwnQuantity,
    /// Yield stress, annealed, MPa (0.2 % proof where there is no sharp yield).
    pub yield_mpa: OwnQuantity,
    /// Tensile strength, annealed, MPa.
    pub tensile_mpa: OwnQuantity,
    /// Elongation at break, annealed, as a share: 0.44 is 44 %.
    pub elongation: OwnQuantity,
    /// Hollomon's constants; left out, they are derived from yield and tensile strength.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hardening: Option<OwnHardening>,
    /// Where melting begins, °C.
    pub solidus_celsius: OwnQuantity,
    /// Where melting is complete, °C.
    pub liquidus_celsius: OwnQuantity,
    /// How to anneal it.
    pub annealing: OwnAnnealing,
}
