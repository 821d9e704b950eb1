//! What a maker wishes for, and which dimensions are free.

use super::error::VERSION;
use super::{Dimension, Figure, OptimiseError};
use crate::documents::design::Design;
#[cfg(feature = "schema")]
use crate::documents::design::MOST_SIZES;
use crate::motion::chain::Weave;
use serde::{Deserialize, Serialize};

/// Entries of one list.
const MOST_LISTED: usize = 200;
/// Greatest value of any figure.
const GREATEST: f64 = 1e6;

/// The chain wanted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wishes {
    /// Version of the document: 1.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 1)))]
    pub linkfold_wishes: u32,
    /// Which size of the design, from 0.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(range(min = 0, max = MOST_SIZES - 1)))]
    pub size: usize,
    /// Another seed looks in other places; the same one finds the same.
    #[serde(default)]
    pub seed: u32,
    /// What is wished for, each figure once.
    #[cfg_attr(feature = "schema", schemars(length(min = 1, max = Figure::ALL.len())))]
    pub wishes: Vec<Wish>,
    /// The dimensions that may change, each once; all others stay.
    #[cfg_attr(feature = "schema", schemars(length(min = 1, max = Dimension::ALL.len())))]
    pub free: Vec<Free>,
    /// Two figures to weigh against one another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trade_off: Option<TradeOff>,
}

/// One wish: near a value, or within limits, or as low or high as it goes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Wish {
    /// Of which figure.
    pub figure: Figure,
    /// The value wanted, in the figure's unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub near: Option<f64>,
    /// How far from it is near enough; a hundredth of it when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<f64>,
    /// No less than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_least: Option<f64>,
    /// No more than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
    /// As low or as high as all else allows; for one figure only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub better: Option<Better>,
}

/// Which way is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Better {
    /// The less the better.
    Low,
    /// The more the better.
    High,
}

/// A dimension that may change: over a range, or from a list; with both the range is searched, and
/// what is offered is from the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Free {
    /// The dimension.
    pub dimension: Dimension,
    /// Least.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_mm: Option<f64>,
    /// Greatest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to_mm: Option<f64>,
    /// The sizes there are on the bench, in any order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = MOST_LISTED)))]
    pub list_mm: Vec<f64>,
    /// What there is on the maker's bench, which must then be given.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub from_bench: bool,
}

/// Two figures to weigh against one another.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TradeOff {
    /// Across the plot.
    pub across: Side,
    /// Up the plot.
    pub up: Side,
}

/// One of them.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Side {
    /// Which figure.
    pub figure: Figure,
    /// Which way is better.
    pub better: Better,
}

impl Wish {
    /// A wish that says nothing yet.
    pub fn of(figure: Figure) -> Wish {
        Wish { figure, near: None, within: None, at_least: None, at_most: None, better: None }
    }

    /// Near `value`, within the usual hundredth.
    pub fn near(figure: Figure, value: f64) -> Wish {
        Wish { near: Some(value), ..Wish::of(figure) }
    }

    /// No less than `value`.
    pub fn at_least(figure: Figure, value: f64) -> Wish {
        Wish { at_least: Some(value), ..Wish::of(figure) }
    }

    /// No more than `value`.
    pub fn at_most(figure: Figure, value: f64) -> Wish {
        Wish { at_most: Some(value), ..Wish::of(figure) }
    }

    /// As low or as high as it goes.
    pub fn better(figure: Figure, better: Better) -> Wish {
        Wish { better: Some(better), ..Wish::of(figure) }
    }

    fn check(&self, at: &str) -> Result<(), OptimiseError> {
        let limited = self.at_least.is_some() || self.at_most.is_some();
        let shape = |advice| OptimiseError::Shape { at: at.into(), advice };
        if self.near.is_none() && !limited && self.better.is_none() {
            return Err(shape("give one of \"near\", \"at_least\", \"at_most\" and \"better\""));
        }
        if self.near.is_some() && (limited || self.better.is_some()) {
            return Err(shape("\"near\" stands alone, or with \"within\""));
        }
        if self.within.is_some() && self.near.is_none() {
            return Err(shape("\"within\" says how near to \"near\"; give that too"));
        }
        let numbers = [
            ("near", self.near, -GREATEST),
            ("within", self.within, 1e-6),
            ("at_least", self.at_least, -GREATEST),
            ("at_most", self.at_most, -GREATEST),
        ];
        for (name, value, least) in numbers {
            if let Some(value) = value {
                in_range(&format!("{at}.{name}"), value, least, GREATEST)?;
            }
        }
        match (self.at_least, self.at_most) {
            (Some(low), Some(high)) if !(low <= high) => {
                Err(OptimiseError::Reversed { at: at.into(), low, high })
            }
            _ => Ok(()),
        }
    }
}

impl Free {
    /// Free from `from_mm` to `to_mm`.
    pub fn over(dimension: Dimension, from_mm: f64, to_mm: f64) -> Free {
        Free {
            dimension,
            from_mm: Some(from_mm),
            to_mm: Some(to_mm),
            list_mm: Vec::new(),
            from_bench: false,
        }
    }

    /// What there is on the bench.
    pub fn from_bench(dimension: Dimension) -> Free {
        Free { dimension, from_mm: None, to_mm: None, list_mm: Vec::new(), from_bench: true }
    }

    /// One of a list.
    pub fn one_of(dimension: Dimension, list_mm: &[f64]) -> Free {
        Free { dimension, from_mm: None, to_mm: None, list_mm: list_mm.to_vec(), from_bench: false }
    }

    fn check(&self, at: &str) -> Result<(), OptimiseError> {
        let (least, most) = self.dimension.limits();
        counted(&format!("{at}.list_mm"), self.list_mm.len(), 0, MOST_LISTED)?;
        for (i, value) in self.list_mm.iter().enumerate() {
            in_range(&format!("{at}.list_mm[{i}]"), *value, least, most)?;
        }
        if self.from_bench {
            let advice = "\"from_bench\" stands alone, and wants a bench";
            return Err(OptimiseError::Shape { at: at.into(), advice });
        }
        match (self.from_mm, self.to_mm, self.list_mm.is_empty()) {
            (Some(low), Some(high), any) => {
                in_range(&format!("{at}.from_mm"), low, least, most)?;
                in_range(&format!("{at}.to_mm"), high, least, most)?;
                if !(low < high) {
                    return Err(OptimiseError::Reversed { at: at.into(), low, high });
                }
                if any || self.list_mm.iter().any(|mm| (low..=high).contains(mm)) {
                    return Ok(());
                }
                let advice = "nothing in \"list_mm\" lies between \"from_mm\" and \"to_mm\"";
                Err(OptimiseError::Shape { at: at.into(), advice })
            }
            (None, None, false) => Ok(()),
            _ => Err(OptimiseError::Shape {
                at: at.into(),
                advice: "give \"from_mm\" and \"to_mm\", or \"list_mm\", or all three",
            }),
        }
    }
}

impl Wishes {
    /// Wishes for the first size.
    pub fn new(wishes: Vec<Wish>, free: Vec<Free>) -> Wishes {
        Wishes { linkfold_wishes: VERSION, size: 0, seed: 0, wishes, free, trade_off: None }
    }

    /// Whether they make sense, and for `design`.
    ///
    /// # Errors
    /// [`OptimiseError`] for the first entry that does not.
    pub fn check(&self, design: &Design) -> Result<(), OptimiseError> {
        if self.linkfold_wishes != VERSION {
            return Err(OptimiseError::Version { found: self.linkfold_wishes });
        }
        design.settings()?;
        if self.size >= design.sizes.len() {
            return Err(OptimiseError::NoSuchSize { found: self.size, sizes: design.sizes.len() });
        }
        counted("wishes", self.wishes.len(), 1, Figure::ALL.len())?;
        counted("free", self.free.len(), 1, Dimension::ALL.len())?;
        let weave = design.weave.weave();
        let known = |figure: Figure, at: &dyn Fn() -> String| {
            if figure == Figure::JoiningClearanceMm && weave != Weave::SINGLE {
                return Err(OptimiseError::NoRoomInWeave { at: at(), weave: weave.name() });
            }
            Ok(())
        };
        for (i, wish) in self.wishes.iter().enumerate() {
            let at = format!("wishes[{i}]");
            if self.wishes[..i].iter().any(|other| other.figure == wish.figure) {
                return Err(OptimiseError::Twice { at, name: wish.figure.name() });
            }
            let before = self.wishes[..i].iter().any(|other| other.better.is_some());
            if before && wish.better.is_some() {
                let advice =
                    "only one figure can be as low or high as it goes; give the others limits";
                return Err(OptimiseError::Shape { at, advice });
            }
            wish.check(&at)?;
            known(wish.figure, &|| at.clone())?;
        }
        for (i, free) in self.free.iter().enumerate() {
            let at = format!("free[{i}]");
            if self.free[..i].iter().any(|other| other.dimension == free.dimension) {
                return Err(OptimiseError::Twice { at, name: free.dimension.name() });
            }
            free.check(&at)?;
        }
        if let Some(TradeOff { across, up }) = &self.trade_off {
            known(across.figure, &|| "trade_off.across".into())?;
            known(up.figure, &|| "trade_off.up".into())?;
            if across.figure == up.figure {
                let name = up.figure.name();
                return Err(OptimiseError::Twice { at: "trade_off.up".into(), name });
            }
        }
        Ok(())
    }
}

fn in_range(at: &str, value: f64, least: f64, most: f64) -> Result<(), OptimiseError> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(OptimiseError::OutOfRange { at: at.into(), value, least, most })
}

fn counted(at: &str, found: usize, least: usize, most: usize) -> Result<(), OptimiseError> {
    if (least..=most).contains(&found) {
        return Ok(());
    }
    Err(OptimiseError::Count { at: at.into(), found, least, most })
}
