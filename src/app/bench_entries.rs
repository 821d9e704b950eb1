//! The bench's lists, prices and minutes as they are typed; a bench that cannot be read so stays as
//! it was, and the field says why.

use super::stock;
use crate::documents::bench::{Bench, typed};
use crate::documents::units::LengthUnit;
use std::collections::BTreeMap;

/// Where a number of the bench is kept.
type BenchNumber = fn(&mut Bench) -> &mut f64;

/// The numbers: the input's id and where each is kept.
const NUMBERS: [(&str, BenchNumber); 13] = [
    ("print-allowance", |bench| &mut bench.print_allowance_mm),
    ("cost-metal", |bench| &mut bench.prices.metal_per_gram),
    ("cost-solder", |bench| &mut bench.prices.solder_per_ring),
    ("cost-fixed", |bench| &mut bench.prices.fixed),
    ("cost-hour", |bench| &mut bench.hourly_rate),
    ("minutes-wind", |bench| &mut bench.minutes.wind),
    ("minutes-saw", |bench| &mut bench.minutes.saw),
    ("minutes-solder", |bench| &mut bench.minutes.solder),
    ("minutes-stretch", |bench| &mut bench.minutes.stretch),
    ("minutes-pinch", |bench| &mut bench.minutes.pinch),
    ("minutes-fold", |bench| &mut bench.minutes.fold),
    ("minutes-join", |bench| &mut bench.minutes.join),
    ("minutes-anneal", |bench| &mut bench.minutes.anneal),
];
const CURRENCY: &str = "cost-currency";

/// One list: its input, what it is called, and where its lengths are kept; none for the wires, which
/// may be gauges.
struct List {
    id: &'static str,
    name: &'static str,
    lengths: Option<fn(&mut Bench) -> &mut Vec<f64>>,
}

const LISTS: [List; 3] = [
    List { id: "stock-wires", name: "Wires", lengths: None },
    List { id: "stock-mandrels", name: "Mandrels", lengths: Some(|bench| &mut bench.mandrels_mm) },
    List { id: "stock-jaws", name: "Round jaws", lengths: Some(|bench| &mut bench.round_jaws_mm) },
];

impl List {
    fn text(&self, bench: &mut Bench, unit: LengthUnit) -> String {
        match self.lengths {
            Some(lengths) => typed::lengths_text(lengths(bench), unit),
            None => typed::wires_text(&bench.wires, unit),
        }
    }

    fn read(&self, bench: &mut Bench, text: &str, unit: LengthUnit) -> Result<(), String> {
        match self.lengths {
            Some(lengths) => {
                *lengths(bench) = typed::lengths(text, unit).map_err(|error| error.to_string())?;
            }
            None => bench.wires = stock::wires(text, unit)?,
        }
        Ok(())
    }
}

/// What stands in the bench's fields.
#[derive(Clone, Debug, Default)]
pub struct BenchEntries {
    /// What was typed since the bench was last written into its fields, by field.
    typed: BTreeMap<String, String>,
    /// What is wrong with a list, by field.
    faults: BTreeMap<String, String>,
    /// What is wrong with prices and minutes.
    pub cost_fault: String,
    /// Why the bench cannot be saved; empty where it is.
    pub unsaved: String,
}

/// Whether the bench has such a field.
pub fn is_bench_field(id: &str) -> bool {
    is_cost(id) || LISTS.iter().any(|list| list.id == id)
}

fn is_cost(id: &str) -> bool {
    id == CURRENCY || NUMBERS.iter().any(|(known, _)| *known == id)
}

/// A field as it is shown.
pub struct ShownBenchField {
    /// Its element.
    pub id: &'static str,
    /// What stands in it.
    pub text: String,
    /// What is wrong with it, of a list; none of prices and minutes, which are told of together.
    pub fault: Option<String>,
}

impl BenchEntries {
    /// The fields of a bench.
    pub fn fields(&self, bench: &Bench, unit: LengthUnit) -> Vec<ShownBenchField> {
        let mut bench = bench.clone();
        let mut fields = Vec::new();
        for list in &LISTS {
            let text = self.text(list.id, list.text(&mut bench, unit));
            let fault = Some(self.faults.get(list.id).cloned().unwrap_or_default());
            fields.push(ShownBenchField { id: list.id, text, fault });
        }
        for (id, number) in NUMBERS {
            let text = self.text(id, number(&mut bench).to_string());
            fields.push(ShownBenchField { id, text, fault: None });
        }
        let text = self.text(CURRENCY, bench.currency.clone());
        fields.push(ShownBenchField { id: CURRENCY, text, fault: None });
        fields
    }

    fn text(&self, id: &str, of_bench: String) -> String {
        self.typed.get(id).cloned().unwrap_or(of_bench)
    }

    /// The fields hold the bench from now on, not what was typed.
    pub fn clear(&mut self) {
        (self.typed, self.faults) = Default::default();
        self.cost_fault.clear();
    }

    /// Whether a field holds what cannot be read.
    pub fn is_at_fault(&self) -> bool {
        !self.cost_fault.is_empty() || self.faults.values().any(|fault| !fault.is_empty())
    }

    /// Takes what is typed in a field: the bench with it, or none where the field says what is wrong.
    pub fn type_in(
        &mut self,
        id: &str,
        text: &str,
        bench: &Bench,
        unit: LengthUnit,
    ) -> Option<Bench> {
        self.typed.insert(id.into(), text.into());
        let read = match LISTS.iter().find(|list| list.id == id) {
            Some(list) => with_list(list, text, bench.clone(), unit),
            None => self.with_costs(bench.clone()),
        };
        let stays = |words: &str| format!("{words}. The bench stays as it was.");
        let fault = read.as_ref().err().map(|words| stays(words)).unwrap_or_default();
        if !is_cost(id) {
            self.faults.insert(id.into(), fault);
        } else if fault.is_empty() {
            self.cost_fault.clear();
        } else {
            self.cost_fault = format!("Prices, minutes and printer: {fault}");
        }
        read.ok()
    }

    /// The bench with the prices and minutes typed. Left empty, a price is nothing and a step takes
    /// its usual minutes.
    fn with_costs(&self, mut bench: Bench) -> Result<Bench, String> {
        let mut usual = Bench::default();
        for (id, number) in NUMBERS {
            let Some(typed) = self.typed.get(id) else { continue };
            let typed = typed.trim().replace(',', ".");
            *number(&mut bench) = if typed.is_empty() {
                *number(&mut usual)
            } else {
                typed.parse().map_err(|_| format!("\u{201c}{typed}\u{201d} is not a number"))?
            };
        }
        if let Some(currency) = self.typed.get(CURRENCY) {
            bench.currency = currency.trim().to_owned();
        }
        bench.check().map_err(|error| error.to_string())?;
        Ok(bench)
    }
}

fn with_list(list: &List, text: &str, mut bench: Bench, unit: LengthUnit) -> Result<Bench, String> {
    list.read(&mut bench, text, unit)?;
    bench.check().map_err(|error| {
        let entry = error.at().and_then(|at| at.entry);
        let name = entry.map_or(list.name.into(), |(_, i)| format!("Entry {}", i + 1));
        error.message(&name, unit)
    })?;
    Ok(bench)
}
