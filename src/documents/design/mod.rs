//! The one document a user saves, checked on the way in.
//!
//! JSON with a version number. Lengths in mm, in fields that end in `_mm`; the wire by
//! diameter or by gauge. What is left out takes a proportion of the wire that a bench would
//! start from (common practice, no source): see [`Size`].
//! Evidence: the tests below and `tests/documents.rs`.

mod class;
mod error;
mod metal;
mod own_metal;
mod plan;
mod reading;
mod trial;
mod weave;

pub use crate::documents::format::LONGEST_DOCUMENT;
pub use crate::documents::number_field::{MANDREL_RANGE, WIRE_RANGE};
pub use class::{ClassNotes, Lesson, MOST_NOTE};
pub use error::{DesignError, FieldPath, VERSION, WireFault};
pub use metal::{AnnealBefore, MetalChoice, Shapes};
pub use own_metal::{OwnAnnealing, OwnBasis, OwnHardening, OwnHeat, OwnMetal, OwnQuantity};
pub use plan::{LengthBasis, PLAN_FIELDS, PlanChoice, Taper};
pub use trial::{MOST_TRIALS, Mean, TRIAL_FIELDS, Trial, springback_shown, t_95};
pub use weave::WeaveChoice;

use crate::documents::gauge::Gauge;
use crate::documents::json;
#[cfg(feature = "schema")]
use crate::documents::number_field::ranges;
use crate::documents::number_field::{NumberField, number_field};
use error::{counted, in_ranges};
use serde::{Deserialize, Serialize};

/// Sizes in one chain.
pub const MOST_SIZES: usize = 12;
/// The longest name of a design or a bench, letters.
pub const LONGEST_NAME: usize = 200;
/// The longest name of a size or of pliers, letters.
pub const LONGEST_SHORT_NAME: usize = 60;
/// The longest notes to a design, letters.
const LONGEST_NOTES: usize = 5000;

/// A chain as its maker means to make it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&DESIGN_FIELDS)))]
#[serde(deny_unknown_fields)]
pub struct Design {
    /// Version of the document: 1.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 1)))]
    pub linkfold: u32,
    /// What the maker calls it.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_NAME)))]
    pub name: String,
    /// Whatever else is worth keeping.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_NOTES)))]
    pub notes: String,
    /// The wire, unless a size has its own: round; half-round, square and flat wire are not modelled.
    pub wire: WireChoice,
    /// The metal, and how it is worked.
    #[serde(default, skip_serializing_if = "MetalChoice::is_default")]
    pub metal: MetalChoice,
    /// Width of the saw cut, mm.
    #[serde(default = "default_kerf")]
    pub kerf_mm: f64,
    /// Clearance asked for at the tightest place, mm: what a hand needs to work in.
    #[serde(default = "default_margin")]
    pub margin_mm: f64,
    /// How links follow one another; single when left out.
    #[serde(
        default,
        skip_serializing_if = "WeaveChoice::is_usual",
        deserialize_with = "weave::read"
    )]
    #[cfg_attr(feature = "schema", schemars(with = "weave::WeaveForm"))]
    pub weave: WeaveChoice,
    /// A teacher's notes to the steps of the work.
    #[serde(default, skip_serializing_if = "ClassNotes::is_empty")]
    pub class: ClassNotes,
    /// The sizes of link, in the order in which they follow one another along the chain.
    #[cfg_attr(feature = "schema", schemars(length(min = 1, max = MOST_SIZES)))]
    pub sizes: Vec<Size>,
    /// The chain that is to come of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plan: Option<PlanChoice>,
    /// Trial links that were made and measured; where rings were, they say the springback.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = MOST_TRIALS)))]
    pub trials: Vec<Trial>,
}

/// A saw blade 2/0 cuts about this wide (from memory; looked for, no maker's table was found).
fn default_kerf() -> f64 {
    0.26
}

/// A hundredth of a millimetre: less than a hand feels (common practice, no source).
fn default_margin() -> f64 {
    0.01
}

/// A wire, by diameter or by gauge: just one of the two.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(extend("minProperties" = 1, "maxProperties" = 1)))]
#[serde(deny_unknown_fields)]
pub struct WireChoice {
    /// Diameter, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "schema", schemars(range(min = WIRE_RANGE[0], max = WIRE_RANGE[1])))]
    pub diameter_mm: Option<f64>,
    /// Number in a gauge system.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gauge: Option<Gauge>,
}

/// One size of link. Every length in mm; `d` is the wire diameter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&SIZE_FIELDS)))]
#[serde(deny_unknown_fields)]
pub struct Size {
    /// What the maker calls it.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_SHORT_NAME)))]
    pub name: String,
    /// Its own wire, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wire: Option<WireChoice>,
    /// Mandrel diameter.
    pub mandrel_mm: f64,
    /// What the coil opens by in inside diameter when it leaves the mandrel, as measured; as the metal
    /// gives it when left out. Trial links with measured rings take its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub springback_mm: Option<f64>,
    /// What the closed ring's centreline grows by when it is stretched, as a share of itself: soft
    /// metals lengthen, fine silver most (common practice, no source). Trial links with a measured oval
    /// take its place; 0 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub growth_share: Option<f64>,
    /// Bore of the lobes; 2.5 d when left out in a single chain, what suits the weave in others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bore_mm: Option<f64>,
    /// Diameter of the jaws the ring is stretched over; the bore when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oval_jaw_mm: Option<f64>,
    /// Inside length to stretch to; taut when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oval_length_mm: Option<f64>,
    /// Clear gap at the waist; 0 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub waist_gap_mm: Option<f64>,
    /// Diameter of the jaws that pinch; 2 d when left out in a single chain, what suits the weave
    /// in others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pinch_jaw_mm: Option<f64>,
    /// Half the length of a straight neck in which the two wires lie side by side, with shoulders of
    /// the pinching jaws' radius and, from half a length of one wire on, parallel lobes; 0 where the
    /// strands flare from the waist on, as in a single chain when left out; what suits the weave in
    /// others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neck_mm: Option<f64>,
    /// Diameter of the jaw folded over; 2.5 d when left out in a single chain, what suits the weave
    /// in others.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fold_jaw_mm: Option<f64>,
    /// Clear gap between the tips of the finished link; 0.1 d when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tip_gap_mm: Option<f64>,
    /// Clear gap between the tips while joining; the tool looks for the best when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub open_tip_gap_mm: Option<f64>,
    /// Bore that the leading lobe is pressed to while it is threaded, and opened again from after;
    /// the tool looks for the best where it is left out, the bore itself where it is no less.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub threading_bore_mm: Option<f64>,
}

/// The numbers of the whole design.
pub static DESIGN_FIELDS: [NumberField<Design>; 2] =
    [number_field!(kerf_mm, 0.0, 10.0), number_field!(margin_mm, 0.0, 10.0)];

/// The numbers of a size, in the order of the work.
pub static SIZE_FIELDS: [NumberField<Size>; 13] = [
    number_field!(mandrel_mm, MANDREL_RANGE[0], MANDREL_RANGE[1]),
    number_field!(optional springback_mm, 0.0, 100.0),
    number_field!(optional growth_share, 0.0, 0.2),
    number_field!(optional bore_mm, 0.01, 1e3),
    number_field!(optional oval_jaw_mm, 0.01, 1e3),
    number_field!(optional oval_length_mm, 0.01, 5e3),
    number_field!(optional waist_gap_mm, 0.0, 1e3),
    number_field!(optional pinch_jaw_mm, 0.01, 1e3),
    number_field!(optional neck_mm, 0.0, 1e3),
    number_field!(optional fold_jaw_mm, 0.01, 1e3),
    number_field!(optional tip_gap_mm, 0.0, 1e3),
    number_field!(optional open_tip_gap_mm, 0.0, 1e3),
    number_field!(optional threading_bore_mm, 0.01, 1e3),
];

impl WireChoice {
    /// A wire given by its diameter, mm.
    pub fn by_diameter(diameter_mm: f64) -> WireChoice {
        WireChoice { diameter_mm: Some(diameter_mm), gauge: None }
    }

    /// A wire given by its gauge number.
    pub fn by_gauge(gauge: Gauge) -> WireChoice {
        WireChoice { diameter_mm: None, gauge: Some(gauge) }
    }

    /// The diameter, mm.
    ///
    /// # Errors
    /// [`WireFault`] where it is given by neither or by both, or off its range or table.
    pub fn diameter(&self) -> Result<f64, WireFault> {
        let [least, most] = WIRE_RANGE;
        match (self.diameter_mm, self.gauge) {
            (Some(mm), None) if (least..=most).contains(&mm) => Ok(mm),
            (Some(value), None) => Err(WireFault::OutOfRange { value, least, most }),
            (None, Some(gauge)) => Ok(gauge.diameter()?.get()),
            _ => Err(WireFault::Choice),
        }
    }

    /// The diameter, mm; `size` is whose wire it is, none for the one all share.
    fn of_size(&self, size: Option<usize>) -> Result<f64, DesignError> {
        let at = |field| FieldPath { size, field };
        self.diameter().map_err(|fault| match fault {
            WireFault::Choice => DesignError::WireChoice { at: at("wire") },
            WireFault::OutOfRange { value, least, most } => {
                DesignError::OutOfRange { at: at("wire.diameter_mm"), value, least, most }
            }
            WireFault::Gauge(fault) => DesignError::Gauge { at: at("wire.gauge.number"), fault },
        })
    }
}

impl Size {
    /// A size of which only the mandrel is settled.
    pub fn on_mandrel(mandrel_mm: f64) -> Size {
        Size {
            name: String::new(),
            wire: None,
            mandrel_mm,
            springback_mm: None,
            growth_share: None,
            bore_mm: None,
            oval_jaw_mm: None,
            oval_length_mm: None,
            waist_gap_mm: None,
            pinch_jaw_mm: None,
            neck_mm: None,
            fold_jaw_mm: None,
            tip_gap_mm: None,
            open_tip_gap_mm: None,
            threading_bore_mm: None,
        }
    }
}

impl Design {
    /// A design of one size with everything else in usual proportion.
    pub fn plain(wire_mm: f64, mandrel_mm: f64) -> Design {
        Design {
            linkfold: VERSION,
            name: String::new(),
            notes: String::new(),
            wire: WireChoice::by_diameter(wire_mm),
            metal: MetalChoice::default(),
            kerf_mm: default_kerf(),
            margin_mm: default_margin(),
            weave: WeaveChoice::default(),
            class: ClassNotes::default(),
            sizes: vec![Size::on_mandrel(mandrel_mm)],
            plan: None,
            trials: Vec::new(),
        }
    }

    /// The document as text, in the form [`Design::parse`] reads.
    pub fn to_json(&self) -> String {
        json::lines(self)
    }

    /// Checks every range and count, size by size in the order of the work.
    ///
    /// # Errors
    /// [`DesignError`] for the first field outside its range.
    pub fn check(&self) -> Result<(), DesignError> {
        let at = FieldPath::whole;
        counted(at("sizes"), "entries", self.sizes.len(), 1..=MOST_SIZES)?;
        counted(at("name"), "letters", self.name.chars().count(), 0..=LONGEST_NAME)?;
        counted(at("notes"), "letters", self.notes.chars().count(), 0..=LONGEST_NOTES)?;
        in_ranges(&DESIGN_FIELDS, self, None)?;
        self.metal.check()?;
        self.class.check()?;
        if let Some(plan) = &self.plan {
            plan.check()?;
        }
        trial::check(&self.trials)?;
        self.wire.of_size(None)?;
        (0..self.sizes.len()).try_for_each(|index| self.check_size(index))
    }

    fn check_size(&self, index: usize) -> Result<(), DesignError> {
        let size = &self.sizes[index];
        let at = |field| FieldPath { size: Some(index), field };
        counted(at("name"), "letters", size.name.chars().count(), 0..=LONGEST_SHORT_NAME)?;
        self.wire_of(index)?;
        in_ranges(&SIZE_FIELDS, size, Some(index))
    }

    /// The wire of the size at `index` as the maker chose it.
    pub fn wire_choice(&self, index: usize) -> &WireChoice {
        self.sizes.get(index).and_then(|size| size.wire.as_ref()).unwrap_or(&self.wire)
    }

    /// Wire diameter of the size at `index`, mm: its own, or the one all share.
    ///
    /// # Errors
    /// [`DesignError`] where that is no wire, or there is no such size.
    pub fn wire_of(&self, index: usize) -> Result<f64, DesignError> {
        match self.sizes.get(index) {
            Some(Size { wire: Some(own), .. }) => own.of_size(Some(index)),
            Some(_) => self.wire.of_size(None),
            None => Err(DesignError::Count {
                at: FieldPath::whole("sizes"),
                what: "entries",
                found: self.sizes.len(),
                least: index + 1,
                most: MOST_SIZES,
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: &str =
        r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": [{"mandrel_mm": 10}]}"#;

    #[test]
    fn a_design_survives_being_written_and_read() {
        let design = Design::parse(PLAIN).unwrap();
        assert_eq!(Design::parse(&design.to_json()).unwrap(), design);
    }

    #[test]
    fn an_old_document_means_annealed_sterling_as_the_jaws_leave_it() {
        let design = Design::parse(PLAIN).unwrap();
        assert!(design.metal.is_default() && !design.to_json().contains("metal"));
        assert_eq!(design.metal.id, "sterling-silver");
    }

    #[test]
    fn every_fault_names_its_field() {
        for (from, to, field) in [
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": -10", "sizes[0].mandrel_mm"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": 0", "sizes[0].mandrel_mm"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": 1e300", "sizes[0].mandrel_mm"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": \"10\"", "sizes[0].mandrel_mm"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": null", "sizes[0].mandrel_mm"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": 10, \"jaw\": 1", "sizes[0].jaw"),
            ("\"mandrel_mm\": 10", "\"mandrel_mm\": 10, \"bore_mm\": 0", "sizes[0].bore_mm"),
            ("\"diameter_mm\": 0.9", "", "wire"),
            ("0.9", "NaN", "line 1"),
            ("[{\"mandrel_mm\": 10}]", "[]", "sizes"),
            ("\"diameter_mm\": 0.9", "\"gauge\": {\"system\": \"awg\", \"number\": 99}", "wire"),
            (
                "\"diameter_mm\": 0.9",
                "\"gauge\": {\"system\": \"xyz\", \"number\": 9}",
                "wire.gauge",
            ),
            ("\"linkfold\": 1", "\"linkfold\": 2", "linkfold"),
            ("\"linkfold\": 1, ", "", "document"),
        ] {
            let text = PLAIN.replacen(from, to, 1);
            let error = Design::parse(&text).expect_err(&text);
            assert!(error.field().starts_with(field), "{text}: {} ({error})", error.field());
            assert!(!error.to_string().is_empty());
        }
    }
}
