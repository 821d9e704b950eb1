//! The bench's wires, mandrels and round jaws as typed on the page.

use super::page::Page;
use crate::app::stock;
use crate::documents::bench::{Bench, typed};
use crate::documents::units::LengthUnit;
use web_sys::HtmlInputElement;

/// One list: its input, what it is called, and where its lengths are kept; none for the wires, which
/// may be gauges.
struct List {
    id: &'static str,
    name: &'static str,
    lengths: Option<fn(&mut Bench) -> &mut Vec<f64>>,
}

const LISTS: [List; 3] = [
    List { id: "drawer-wires", name: "Wires", lengths: None },
    List { id: "drawer-mandrels", name: "Mandrels", lengths: Some(|bench| &mut bench.mandrels_mm) },
    List { id: "drawer-jaws", name: "Round jaws", lengths: Some(|bench| &mut bench.round_jaws_mm) },
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

/// Whether the input `id` is one of the lists.
pub fn is_list(id: &str) -> bool {
    LISTS.iter().any(|list| list.id == id)
}

impl Page {
    /// Writes what the bench holds into the inputs.
    pub fn fill_drawer(&self) {
        let mut bench = self.model.bench.clone();
        for list in &LISTS {
            if let Some(input) = self.elements.get::<HtmlInputElement>(list.id) {
                input.set_value(&list.text(&mut bench, self.model.analysis.unit));
                self.elements.mark(list.id, "aria-invalid", "false");
                self.elements.say(&format!("{}-problem", list.id), "");
            }
        }
    }

    /// Takes the list that was typed, or says what is wrong with it and keeps the bench as it was.
    pub fn read_drawer(&mut self, id: &str) {
        let Some(list) = LISTS.iter().find(|list| list.id == id) else { return };
        let (mut bench, unit) = (self.model.bench.clone(), self.model.analysis.unit);
        let read = list.read(&mut bench, &self.elements.value(id), unit);
        let read = read.and_then(|()| {
            bench.check().map_err(|error| {
                let entry = error.at().and_then(|at| at.entry);
                let name = entry.map_or(list.name.into(), |(_, i)| format!("Entry {}", i + 1));
                error.told(&name, unit)
            })
        });
        let words = match &read {
            Ok(()) => String::new(),
            Err(words) => format!("{words}. The bench stays as it was."),
        };
        self.elements.say(&format!("{id}-problem"), &words);
        self.elements.mark(id, "aria-invalid", if read.is_ok() { "false" } else { "true" });
        if read.is_ok() {
            self.take_bench(bench);
        }
    }
}
