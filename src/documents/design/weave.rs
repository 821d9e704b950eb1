//! How the links follow one another, as a document names it.

use serde::{Deserialize, Serialize};

/// A weave by name.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum WeaveChoice {
    /// Each link through the one before.
    #[default]
    Single,
    /// Each link through the two before.
    Double,
    /// Two single chains crossed on one axis.
    TwoWaySingle,
    /// Two double chains crossed on one axis.
    TwoWayDouble,
    /// Three single chains crossed on one axis.
    ThreeWaySingle,
    /// Three double chains crossed on one axis.
    ThreeWayDouble,
    /// Each link through the three before.
    Triple,
    /// Two triple chains crossed on one axis.
    TwoWayTriple,
    /// Three triple chains crossed on one axis.
    ThreeWayTriple,
    /// Four single chains crossed on one axis.
    FourWaySingle,
    /// Four double chains crossed on one axis.
    FourWayDouble,
    /// Four triple chains crossed on one axis.
    FourWayTriple,
}

impl WeaveChoice {
    /// Every choice, the simplest first.
    pub const ALL: [WeaveChoice; 12] = [
        WeaveChoice::Single,
        WeaveChoice::Double,
        WeaveChoice::TwoWaySingle,
        WeaveChoice::TwoWayDouble,
        WeaveChoice::ThreeWaySingle,
        WeaveChoice::ThreeWayDouble,
        WeaveChoice::Triple,
        WeaveChoice::TwoWayTriple,
        WeaveChoice::ThreeWayTriple,
        WeaveChoice::FourWaySingle,
        WeaveChoice::FourWayDouble,
        WeaveChoice::FourWayTriple,
    ];

    /// Whether it is what a document that names none means.
    pub fn is_usual(&self) -> bool {
        *self == WeaveChoice::default()
    }
}
