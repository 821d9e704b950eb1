//! The maker's bench: what wires and tools lie there, and what metal and hours cost.
//!
//! A JSON document of its own with a version number, kept apart from the designs worked there.
//! Everything may be left out; what then stands for it is common practice (no source). Lengths
//! in mm, in fields that end in `_mm`; money in whatever currency the maker names.
//! Evidence: the tests below and `tests/documents.rs`.

mod error;
pub mod typed;

pub use error::{BenchError, BenchField};

use crate::documents::design::{
    LONGEST_NAME, LONGEST_SHORT_NAME, MANDREL_RANGE, WireChoice, WireFault,
};
use crate::documents::format::{DocumentKind, read};
use crate::documents::json;
#[cfg(feature = "schema")]
use crate::documents::number_field::ranges;
use crate::documents::number_field::{NumberField, number_field};
use serde::{Deserialize, Serialize};

/// The version this crate writes and reads.
pub const VERSION: u32 = 1;

const KIND: DocumentKind =
    DocumentKind { noun: "bench", version_field: "linkfold_bench", version: VERSION };

/// Tools or wires in one list.
pub const MOST_ENTRIES: usize = 100;
/// What a printer may make too thick, mm.
pub const PRINT_ALLOWANCES: [f64; 2] = [0.0, 0.6];
/// Letters of a currency.
const LONGEST_CURRENCY: usize = 12;
/// Conical pliers on one bench.
pub const MOST_PLIERS: usize = 12;

/// What a maker has and reckons with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&BENCH_FIELDS)))]
#[serde(deny_unknown_fields)]
pub struct Bench {
    /// Version of the document: 1.
    #[cfg_attr(feature = "schema", schemars(range(min = 1, max = 1)))]
    pub linkfold_bench: u32,
    /// What the maker calls it.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_NAME)))]
    pub name: String,
    /// Wires in stock.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = MOST_ENTRIES)))]
    pub wires: Vec<WireChoice>,
    /// Diameters of the mandrels, mm.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(
        feature = "schema",
        schemars(length(max = MOST_ENTRIES), inner(range(min = MANDREL_RANGE[0], max = MANDREL_RANGE[1])))
    )]
    pub mandrels_mm: Vec<f64>,
    /// Diameters of the round jaws and rods to stretch, pinch and fold over, mm.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(
        feature = "schema",
        schemars(length(max = MOST_ENTRIES), inner(range(min = JAW_RANGE[0], max = JAW_RANGE[1])))
    )]
    pub round_jaws_mm: Vec<f64>,
    /// Pliers with tapering round jaws.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(length(max = MOST_PLIERS)))]
    pub conical_pliers: Vec<ConicalPliers>,
    /// How much narrower than meant the maker's printer makes a slot, mm, as the test piece shows; 0
    /// when left out.
    #[serde(default)]
    pub print_allowance_mm: f64,
    /// What material costs.
    #[serde(default)]
    pub prices: Prices,
    /// Minutes of work.
    #[serde(default)]
    pub minutes: Minutes,
    /// What an hour of work costs; 0, not reckoned, when left out.
    #[serde(default)]
    pub hourly_rate: f64,
    /// Word or sign of the currency; none when left out.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_CURRENCY)))]
    pub currency: String,
}

/// Pliers whose round jaws taper evenly.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&PLIERS_FIELDS)))]
#[serde(deny_unknown_fields)]
pub struct ConicalPliers {
    /// What the maker calls them.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(length(max = LONGEST_SHORT_NAME)))]
    pub name: String,
    /// Diameter at the tip, mm.
    pub tip_mm: f64,
    /// Diameter where the taper ends, mm; more than at the tip.
    pub base_mm: f64,
    /// Length of the taper, along its axis, mm.
    pub length_mm: f64,
}

/// What material costs, in the maker's currency. 0, not reckoned, where left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&PRICE_FIELDS)))]
#[serde(deny_unknown_fields, default)]
pub struct Prices {
    /// A gram of wire.
    pub metal_per_gram: f64,
    /// Solder and flux for one ring.
    pub solder_per_ring: f64,
    /// Whatever one chain costs besides: clasp, gas, box.
    pub fixed: f64,
}

/// Minutes of work for one ring, step by step. Defaults: common practice, no source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "schema", schemars(transform = ranges(&MINUTE_FIELDS)))]
#[serde(deny_unknown_fields, default)]
pub struct Minutes {
    /// Winding the coil; 0.1 when left out.
    pub wind: f64,
    /// Sawing; 0.3 when left out.
    pub saw: f64,
    /// Closing, soldering and pickling; 2 when left out.
    pub solder: f64,
    /// Stretching; 0.3 when left out.
    pub stretch: f64,
    /// Pinching; 0.3 when left out.
    pub pinch: f64,
    /// Folding; 0.5 when left out.
    pub fold: f64,
    /// Joining and closing; 1.5 when left out.
    pub join: f64,
    /// One anneal; 0.3 when left out.
    pub anneal: f64,
}

impl Default for Minutes {
    fn default() -> Minutes {
        Minutes {
            wind: 0.1,
            saw: 0.3,
            solder: 2.0,
            stretch: 0.3,
            pinch: 0.3,
            fold: 0.5,
            join: 1.5,
            anneal: 0.3,
        }
    }
}

impl Default for Bench {
    fn default() -> Bench {
        Bench {
            linkfold_bench: VERSION,
            name: String::new(),
            wires: Vec::new(),
            mandrels_mm: Vec::new(),
            round_jaws_mm: Vec::new(),
            conical_pliers: Vec::new(),
            print_allowance_mm: 0.0,
            prices: Prices::default(),
            minutes: Minutes::default(),
            hourly_rate: 0.0,
            currency: String::new(),
        }
    }
}

impl Bench {
    /// Reads a document.
    ///
    /// # Errors
    /// [`BenchError`] where it is not JSON, not a bench, of another version, or holds a number
    /// outside its range.
    pub fn parse(text: &str) -> Result<Bench, BenchError> {
        let bench: Bench = read(text, KIND)?;
        bench.check()?;
        Ok(bench)
    }

    /// The document as text, in the form [`Bench::parse`] reads.
    pub fn to_json(&self) -> String {
        json::lines(self)
    }

    /// Holds every number to its range.
    ///
    /// # Errors
    /// [`BenchError`] for the first that is outside.
    pub fn check(&self) -> Result<(), BenchError> {
        let at = BenchField::whole;
        counted(at("name"), "letters", self.name.chars().count(), LONGEST_NAME)?;
        counted(at("currency"), "letters", self.currency.chars().count(), LONGEST_CURRENCY)?;
        counted(at("wires"), "entries", self.wires.len(), MOST_ENTRIES)?;
        self.wire_diameters()?;
        for (list, field, [least, most]) in [
            (&self.mandrels_mm, "mandrels_mm", MANDREL_RANGE),
            (&self.round_jaws_mm, "round_jaws_mm", JAW_RANGE),
        ] {
            counted(at(field), "entries", list.len(), MOST_ENTRIES)?;
            for (index, mm) in list.iter().enumerate() {
                in_range(BenchField::entry(field, index, ""), *mm, least, most)?;
            }
        }
        counted(at("conical_pliers"), "entries", self.conical_pliers.len(), MOST_PLIERS)?;
        for (index, pliers) in self.conical_pliers.iter().enumerate() {
            pliers.check(index)?;
        }
        in_ranges(&BENCH_FIELDS, self, at)?;
        in_ranges(&PRICE_FIELDS, &self.prices, at)?;
        in_ranges(&MINUTE_FIELDS, &self.minutes, at)
    }

    /// Diameters of the wires in stock, mm, in the document's order.
    ///
    /// # Errors
    /// [`BenchError`] for the first that is no wire.
    pub fn wire_diameters(&self) -> Result<Vec<f64>, BenchError> {
        let wires = self.wires.iter().enumerate();
        wires
            .map(|(index, wire)| {
                wire.diameter().map_err(|fault| {
                    let field = match fault {
                        WireFault::OutOfRange { .. } => "diameter_mm",
                        WireFault::Gauge(_) => "gauge.number",
                        _ => "",
                    };
                    BenchError::Wire { at: BenchField::entry("wires", index, field), fault }
                })
            })
            .collect()
    }
}

impl ConicalPliers {
    fn check(&self, index: usize) -> Result<(), BenchError> {
        let at = |field| BenchField::entry("conical_pliers", index, field);
        counted(at("name"), "letters", self.name.chars().count(), LONGEST_SHORT_NAME)?;
        in_ranges(&PLIERS_FIELDS, self, at)?;
        if !(self.base_mm >= self.tip_mm + LEAST_TAPER) {
            return Err(BenchError::NoTaper {
                at: at("base_mm"),
                base: self.base_mm,
                least: self.tip_mm + LEAST_TAPER,
            });
        }
        Ok(())
    }
}

/// Jaws that taper by less in all are round jaws of one diameter, mm.
const LEAST_TAPER: f64 = 0.01;

/// Thinnest and thickest round jaw, mm.
pub const JAW_RANGE: [f64; 2] = [0.01, 1e3];

static BENCH_FIELDS: [NumberField<Bench>; 2] = [
    number_field!(print_allowance_mm, PRINT_ALLOWANCES[0], PRINT_ALLOWANCES[1]),
    number_field!(hourly_rate, 0.0, 1e5),
];

static PLIERS_FIELDS: [NumberField<ConicalPliers>; 3] = [
    number_field!(tip_mm, 0.05, 500.0),
    number_field!(base_mm, 0.05, 500.0),
    number_field!(length_mm, 1.0, 1e3),
];

static PRICE_FIELDS: [NumberField<Prices>; 3] = [
    number_field!(("prices.") metal_per_gram, 0.0, 1e5),
    number_field!(("prices.") solder_per_ring, 0.0, 1e5),
    number_field!(("prices.") fixed, 0.0, 1e6),
];

static MINUTE_FIELDS: [NumberField<Minutes>; 8] = [
    number_field!(("minutes.") wind, 0.0, 600.0),
    number_field!(("minutes.") saw, 0.0, 600.0),
    number_field!(("minutes.") solder, 0.0, 600.0),
    number_field!(("minutes.") stretch, 0.0, 600.0),
    number_field!(("minutes.") pinch, 0.0, 600.0),
    number_field!(("minutes.") fold, 0.0, 600.0),
    number_field!(("minutes.") join, 0.0, 600.0),
    number_field!(("minutes.") anneal, 0.0, 600.0),
];

/// Holds the numbers of a part to their ranges; `at` says where a field of it stands.
fn in_ranges<T>(
    fields: &[NumberField<T>],
    part: &T,
    at: impl Fn(&'static str) -> BenchField,
) -> Result<(), BenchError> {
    fields.iter().try_for_each(|field| match field.out_of_range(part) {
        Some(value) => in_range(at(field.name), value, field.range[0], field.range[1]),
        None => Ok(()),
    })
}

fn in_range(at: BenchField, value: f64, least: f64, most: f64) -> Result<(), BenchError> {
    if (least..=most).contains(&value) {
        Ok(())
    } else {
        Err(BenchError::OutOfRange { at, value, least, most })
    }
}

fn counted(
    at: BenchField,
    what: &'static str,
    found: usize,
    most: usize,
) -> Result<(), BenchError> {
    if found <= most { Ok(()) } else { Err(BenchError::Count { at, what, found, most }) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FULL: &str = r#"{
        "linkfold_bench": 1, "name": "Under the stairs",
        "wires": [{"diameter_mm": 0.9}, {"gauge": {"system": "awg", "number": 18}}],
        "mandrels_mm": [9, 12], "round_jaws_mm": [2.2],
        "conical_pliers": [{"name": "small", "tip_mm": 1.5, "base_mm": 6.5, "length_mm": 25}],
        "print_allowance_mm": 0.2,
        "prices": {"metal_per_gram": 1.1, "solder_per_ring": 0.02, "fixed": 4},
        "minutes": {"solder": 3}, "hourly_rate": 30, "currency": "crowns"
    }"#;

    #[test]
    fn a_bench_survives_being_written_and_read_and_may_be_empty() {
        let bench = Bench::parse(FULL).unwrap();
        assert_eq!(Bench::parse(&bench.to_json()).unwrap(), bench);
        assert_eq!((bench.minutes.solder, bench.minutes.join), (3.0, 1.5));
        // AWG 18 is 1.0237 mm (ASTM B258).
        let wires = bench.wire_diameters().unwrap();
        assert!((wires[1] - 1.0237).abs() < 1e-4, "{wires:?}");
        assert_eq!(Bench::parse(r#"{"linkfold_bench": 1}"#).unwrap(), Bench::default());
        assert_eq!(Bench::parse(&Bench::default().to_json()).unwrap(), Bench::default());
    }

    #[test]
    fn every_fault_names_its_field() {
        let many = format!("[{}9]", "9, ".repeat(100));
        let long = format!("\"{}\"", "x".repeat(201));
        for (from, to, field) in [
            ("[9, 12]", "[9, -12]", "mandrels_mm[1]"),
            ("[9, 12]", "[9, 0]", "mandrels_mm[1]"),
            ("[9, 12]", "[9, 1e300]", "mandrels_mm[1]"),
            ("[9, 12]", "[9, \"12\"]", "mandrels_mm[1]"),
            ("[9, 12]", "[9, null]", "mandrels_mm[1]"),
            ("[9, 12]", "{\"a\": 9}", "mandrels_mm"),
            ("[9, 12]", &many, "mandrels_mm"),
            ("[2.2]", "[NaN]", "line 4"),
            ("[2.2]", "[1e999]", "line 4"),
            ("[2.2]", "[0]", "round_jaws_mm[0]"),
            ("0.9", "-0.9", "wires[0].diameter_mm"),
            ("{\"diameter_mm\": 0.9}", "{}", "wires[0]"),
            ("{\"diameter_mm\": 0.9}", "[0.9]", "wires[0]"),
            ("18", "99", "wires[1].gauge.number"),
            ("\"tip_mm\": 1.5", "\"tip_mm\": 0", "conical_pliers[0].tip_mm"),
            ("\"tip_mm\": 1.5", "\"tip_mm\": 6.5", "conical_pliers[0].base_mm"),
            ("\"tip_mm\": 1.5, ", "", "conical_pliers[0]"),
            ("\"length_mm\": 25", "\"length_mm\": 0", "conical_pliers[0].length_mm"),
            ("\"length_mm\": 25", "\"length_mm\": 25, \"colour\": 1", "conical_pliers[0].colour"),
            ("\"print_allowance_mm\": 0.2", "\"print_allowance_mm\": 0.7", "print_allowance_mm"),
            ("\"fixed\": 4", "\"fixed\": -4", "prices.fixed"),
            ("\"fixed\": 4", "\"fixed\": 1e9", "prices.fixed"),
            ("\"metal_per_gram\": 1.1", "\"metal_per_gram\": -1", "prices.metal_per_gram"),
            ("\"solder_per_ring\": 0.02", "\"solder_per_ring\": 1e6", "prices.solder_per_ring"),
            ("{\"solder\": 3}", "{\"solder\": 601}", "minutes.solder"),
            ("{\"solder\": 3}", "{\"polish\": 3}", "minutes.polish"),
            ("{\"solder\": 3}", "[1, 2, 3, 4, 5, 6, 7, 8]", "minutes"),
            ("\"hourly_rate\": 30", "\"hourly_rate\": -30", "hourly_rate"),
            ("\"crowns\"", "\"thirteen chars\"", "currency"),
            ("\"Under the stairs\"", &long, "name"),
            ("\"linkfold_bench\": 1", "\"linkfold_bench\": 2", "linkfold_bench"),
            ("\"linkfold_bench\": 1", "\"linkfold_bench\": \"1\"", "linkfold_bench"),
            ("\"linkfold_bench\": 1, ", "", "document"),
            ("\"linkfold_bench\": 1", "\"linkfold\": 1", "linkfold"),
        ] {
            assert!(FULL.contains(from), "{from}");
            let error = Bench::parse(&FULL.replacen(from, to, 1)).expect_err(to);
            assert!(error.field().starts_with(field), "{to}: {} ({error})", error.field());
            assert!(error.to_string().lines().count() == 1, "{error}");
            assert!(!error.message("it", crate::documents::units::LengthUnit::Inch).is_empty());
        }
    }

    #[test]
    fn what_is_no_bench_at_all_is_refused() {
        let nested = "[".repeat(100_000);
        let huge = format!("{{\"linkfold_bench\": 1, \"name\": \"{}\"", "x".repeat(2 << 20));
        for text in ["", "{", "null", "7", "[1]", "{}", "{\"linkfold_bench\": 1} x", &nested, &huge]
        {
            let error = Bench::parse(text).expect_err("read");
            assert!(error.to_string().lines().count() == 1, "{error}");
        }
    }

    /// A bench made by a program and not by reading is held to the same ranges.
    #[test]
    fn numbers_that_are_none_are_refused() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -0.1] {
            let bench = Bench { mandrels_mm: vec![value], ..Bench::default() };
            assert!(bench.check().is_err(), "{value}");
            let bench = Bench { hourly_rate: value, ..Bench::default() };
            assert!(
                bench.check().unwrap_err().message("rate", Default::default()).contains("rate")
            );
            let pliers =
                ConicalPliers { name: String::new(), tip_mm: 1.0, base_mm: value, length_mm: 20.0 };
            assert!(Bench { conical_pliers: vec![pliers], ..Bench::default() }.check().is_err());
        }
    }
}
