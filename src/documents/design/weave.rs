//! How the links follow one another, as a document names it.

use serde::de::value::{MapAccessDeserializer, StrDeserializer};
use serde::de::{Error, MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use std::fmt;

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

/// A weave by two numbers.
#[derive(Clone, Copy, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WeaveNumbers {
    /// Chains crossed on one axis.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 4)))]
    chains: u32,
    /// Links of its own chain that each goes through.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 3)))]
    through: u32,
}

/// How a document may say its weave: by name, or by its two numbers.
#[cfg(feature = "schema")]
#[derive(schemars::JsonSchema)]
#[schemars(untagged)]
#[allow(dead_code, reason = "stands for the schema only")]
pub enum WeaveForm {
    /// By name.
    Name(WeaveChoice),
    /// By two numbers.
    Numbers(WeaveNumbers),
}

/// Reads a weave by name or by its two numbers.
pub(super) fn read<'de, D: Deserializer<'de>>(from: D) -> Result<WeaveChoice, D::Error> {
    struct Reader;
    impl<'de> Visitor<'de> for Reader {
        type Value = WeaveChoice;

        fn expecting(&self, to: &mut fmt::Formatter) -> fmt::Result {
            to.write_str("a weave's name, or its `chains` (1 to 4) and `through` (1 to 3)")
        }

        fn visit_str<E: Error>(self, name: &str) -> Result<WeaveChoice, E> {
            WeaveChoice::deserialize(StrDeserializer::new(name))
        }

        fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<WeaveChoice, A::Error> {
            let WeaveNumbers { chains, through } =
                WeaveNumbers::deserialize(MapAccessDeserializer::new(map))?;
            WeaveChoice::of(chains, through).ok_or_else(|| {
                A::Error::custom(format!(
                    "{chains} chains through {through}: `chains` is 1 to 4, `through` 1 to 3"
                ))
            })
        }
    }
    from.deserialize_any(Reader)
}

impl WeaveChoice {
    /// The weave of `chains` crossed on one axis, each link through `through` before it.
    pub fn of(chains: u32, through: u32) -> Option<WeaveChoice> {
        use WeaveChoice::*;
        let rows = [
            [Single, Double, Triple],
            [TwoWaySingle, TwoWayDouble, TwoWayTriple],
            [ThreeWaySingle, ThreeWayDouble, ThreeWayTriple],
            [FourWaySingle, FourWayDouble, FourWayTriple],
        ];
        let row = rows.get(chains.checked_sub(1)? as usize)?;
        row.get(through.checked_sub(1)? as usize).copied()
    }

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
