//! The bench's wires, mandrels and round jaws as typed on the page.

use super::page::Page;
use crate::bench::{Bench, typed};
use crate::units::LengthUnit;
use web_sys::HtmlInputElement;

/// One list: its input, what it is called, its name in the document, how it is read and written.
struct List {
    id: &'static str,
    name: &'static str,
    field: &'static str,
    write: fn(&Bench, LengthUnit) -> String,
    read: fn(&mut Bench, &str, LengthUnit) -> Result<(), String>,
}

const LISTS: [List; 3] = [
    List {
        id: "drawer-wires",
        name: "Wires",
        field: "wires",
        write: |bench, unit| typed::wires_text(&bench.wires, unit),
        read: |bench, text, unit| {
            bench.wires = typed::wires(text, unit).map_err(|error| error.to_string())?;
            Ok(())
        },
    },
    List {
        id: "drawer-mandrels",
        name: "Mandrels",
        field: "mandrels_mm",
        write: |bench, unit| typed::lengths_text(&bench.mandrels_mm, unit),
        read: |bench, text, unit| {
            bench.mandrels_mm = typed::lengths(text, unit).map_err(|error| error.to_string())?;
            Ok(())
        },
    },
    List {
        id: "drawer-jaws",
        name: "Round jaws",
        field: "round_jaws_mm",
        write: |bench, unit| typed::lengths_text(&bench.round_jaws_mm, unit),
        read: |bench, text, unit| {
            bench.round_jaws_mm = typed::lengths(text, unit).map_err(|error| error.to_string())?;
            Ok(())
        },
    },
];

/// Whether the input `id` is one of the lists.
pub fn is_list(id: &str) -> bool {
    LISTS.iter().any(|list| list.id == id)
}

impl Page {
    /// Writes what the bench holds into the inputs.
    pub fn fill_drawer(&self) {
        for list in &LISTS {
            if let Some(input) = self.elements.get::<HtmlInputElement>(list.id) {
                input.set_value(&(list.write)(&self.bench, self.work.unit));
                self.elements.mark(list.id, "aria-invalid", "false");
                self.elements.say(&format!("{}-problem", list.id), "");
            }
        }
    }

    /// Takes the list that was typed, or says what is wrong with it and keeps the bench as it was.
    pub fn read_drawer(&mut self, id: &str) {
        let Some(list) = LISTS.iter().find(|list| list.id == id) else { return };
        let (mut bench, unit) = (self.bench.clone(), self.work.unit);
        let read = (list.read)(&mut bench, &self.elements.value(id), unit).and_then(|()| {
            bench.check().map_err(|error| {
                let at = error.field();
                let place = at.strip_prefix(list.field).and_then(|rest| rest.strip_prefix('['));
                let place = place.and_then(|rest| rest.split(']').next()?.parse::<usize>().ok());
                let name = place.map_or(list.name.into(), |i| format!("Entry {}", i + 1));
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
            self.ask_on();
        }
    }
}
