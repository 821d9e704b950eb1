//! The maker's bench on the page, and the bench sheet to print.
//!
//! The sheet takes the page's place while it is looked at; the stylesheet prints it at the
//! size its drawings say.

use super::documents::text_read;
use super::page::Page;
use crate::answers::plan::Plan;
use crate::app::{Message, paper_verdict};
use crate::documents::bench::{Bench, ConicalPliers};
use crate::documents::format::LONGEST_DOCUMENT;
use crate::documents::units::{length_words, parse_length};
use crate::math::units::Mm;
use crate::render::sheet::{Paper, Sheet};
use crate::render::{Theme, svg};
use web_sys::{HtmlElement, HtmlInputElement};

/// The pliers' lengths: the field's id and name on the page.
const LENGTHS: [(&str, &str); 3] = [
    ("pliers-tip", "Thick at the tip"),
    ("pliers-base", "Thick at the base"),
    ("pliers-length", "Length of the taper"),
];

impl Page {
    /// Something of the bench or the sheet was pressed; whether it was.
    pub fn clicked_on_bench(&mut self, target: &HtmlElement) -> bool {
        if let Some(index) = target.get_attribute("data-pliers") {
            self.drop_pliers(index.parse().unwrap_or(usize::MAX));
            return true;
        }
        if let Some(index) = target.get_attribute("data-pliers-change") {
            self.change_pliers(index.parse().unwrap_or(usize::MAX));
            return true;
        }
        match target.id().as_str() {
            "pliers-add" => self.add_pliers(),
            "bench-save" => self.save_bench(),
            "bench-open" => {
                if let Some(input) = self.elements.get::<HtmlInputElement>("bench-file") {
                    input.click();
                }
            }
            "sheet-open" => self.show_sheet(true),
            "sheet-close" => self.show_sheet(false),
            "sheet-print" => {
                self.print_later();
            }
            _ => return false,
        }
        true
    }

    /// Brings the sheet out, or the design back.
    fn show_sheet(&self, shown: bool) {
        if shown {
            self.fill_sheet();
        }
        self.elements.reveal("sheet", shown);
        if let Some(root) = self.elements.document.document_element() {
            let _ = root.set_attribute("data-sheet", if shown { "true" } else { "false" });
        }
        let to = if shown { "sheet-print" } else { "sheet-open" };
        if let Some(button) = self.elements.get::<HtmlElement>(to) {
            let _ = button.focus();
        }
        if shown {
            self.browser.scroll_to_with_x_and_y(0.0, 0.0);
        }
    }

    /// Draws the sheet of the design, for the paper chosen.
    pub fn fill_sheet(&self) {
        let Some(holder) = self.elements.element("sheet-pages") else { return };
        let paper = Paper::named(&self.elements.value("sheet-paper")).unwrap_or_default();
        let work = &self.model.analysis;
        let mut sheet = Sheet::of(&work.design, &work.formings, Some(&self.model.bench), work.unit);
        sheet.verdict = paper_verdict(&self.model);
        sheet.link = self.public_link();
        // A plan that cannot be laid out is told of where it is planned; here its counts are missing.
        if work.design.plan.is_some()
            && let Ok(plan) = Plan::of(&work.design, &work.formings)
        {
            sheet.take_plan(&plan);
        }
        let pages = sheet.pages(paper);
        let title = |i: usize| format!("{}, page {} of {}", sheet.title(), i + 1, pages.len());
        let drawn = pages.iter().enumerate();
        let text: String =
            drawn.map(|(i, page)| svg(page, paper.half(), 1.0, &Theme::PRINT, &title(i))).collect();
        // Words in it are escaped by the core.
        holder.set_inner_html(&text);
        self.elements.mark("sheet-pages", "data-paper", paper.name());
    }

    fn add_pliers(&mut self) {
        match self.with_typed_pliers() {
            Ok(bench) => {
                self.send(Message::BenchChanged(Box::new(bench)));
                self.elements.say("bench-problem", "");
                self.write_pliers(["", "", "", ""]);
                self.send(Message::PliersChosen(None));
            }
            Err(words) => self.elements.say("bench-problem", &words),
        }
    }

    /// Brings pliers into the fields; they are changed where they lie once that is pressed.
    fn change_pliers(&mut self, index: usize) {
        let Some(pliers) = self.model.bench.conical_pliers.get(index) else { return };
        let unit = self.model.analysis.unit;
        let [tip, base, length] = [pliers.tip_mm, pliers.base_mm, pliers.length_mm]
            .map(|mm| length_words(Mm::new(mm), unit));
        self.write_pliers([&pliers.name, &tip, &base, &length]);
        self.send(Message::PliersChosen(Some(index)));
        self.elements.focus("#pliers-name");
    }

    fn write_pliers(&self, texts: [&str; 4]) {
        let ids = ["pliers-name", "pliers-tip", "pliers-base", "pliers-length"];
        for (id, text) in ids.into_iter().zip(texts) {
            if let Some(input) = self.elements.get::<HtmlInputElement>(id) {
                input.set_value(text);
            }
        }
    }

    /// The bench with the pliers typed, or what is wrong with them in words.
    fn with_typed_pliers(&self) -> Result<Bench, String> {
        let mut typed = [0.0; 3];
        for ((id, name), mm) in LENGTHS.iter().zip(&mut typed) {
            let read = parse_length(&self.elements.value(id), self.model.analysis.unit);
            *mm = read.map_err(|error| format!("{name}: {error}"))?.get();
        }
        let [tip_mm, base_mm, length_mm] = typed;
        let name = self.elements.value("pliers-name").trim().to_owned();
        let mut bench = self.model.bench.clone();
        let pliers = ConicalPliers { name, tip_mm, base_mm, length_mm };
        let changed = self.model.pliers_changed;
        match changed.and_then(|index| bench.conical_pliers.get_mut(index)) {
            Some(there) => *there = pliers,
            None => bench.conical_pliers.push(pliers),
        }
        bench.check().map_err(|error| {
            let field = error.field();
            let known = ["tip_mm", "base_mm", "length_mm"].into_iter().zip(LENGTHS);
            let name = known.into_iter().find(|(end, _)| field.ends_with(end));
            error.message(name.map_or("The bench", |(_, (_, name))| name), self.model.analysis.unit)
        })?;
        Ok(bench)
    }

    fn drop_pliers(&mut self, index: usize) {
        if index < self.model.bench.conical_pliers.len() {
            let mut bench = self.model.bench.clone();
            bench.conical_pliers.remove(index);
            // Those behind it move up.
            self.send(Message::PliersChosen(None));
            self.send(Message::BenchChanged(Box::new(bench)));
        }
    }

    fn save_bench(&mut self) {
        let text = self.model.bench.to_json();
        match self.hand_out("bench.json", "application/json", &text.into()) {
            Some(()) => self.tell("Bench saved as a file.", false),
            None => self.tell("Bench not saved: this browser gives no file.", true),
        }
    }

    /// Starts to read the bench chosen; [`Page::bench_read`] is called when that is done.
    pub fn open_bench(&mut self) {
        let Some(input) = self.elements.get::<HtmlInputElement>("bench-file") else { return };
        if let Some(file) = input.files().and_then(|files| files.get(0)) {
            self.bench_reader.abort();
            if file.size() > LONGEST_DOCUMENT as f64 {
                self.elements.say("bench-problem", "Cannot open it: far longer than a bench.");
            } else if self.bench_reader.read_as_array_buffer(&file).is_err() {
                self.elements.say("bench-problem", "Cannot open it: the browser cannot read it.");
            }
        }
        // So that the same file can be chosen again.
        input.set_value("");
    }

    /// Takes the bench of the file that was read, or says why not and keeps the present one.
    pub fn bench_read(&mut self) {
        let read = text_read(&self.bench_reader).map_err(String::from);
        match read.and_then(|text| Bench::parse(&text).map_err(|error| error.to_string())) {
            Ok(bench) => {
                self.send(Message::BenchOpened(Box::new(bench)));
                self.send(Message::PliersChosen(None));
                self.elements.say("bench-problem", "");
                let named = format!("Opened the bench \u{201c}{}\u{201d}.", self.model.bench.name);
                let plain = "Opened the bench.";
                self.tell(if self.model.bench.name.is_empty() { plain } else { &named }, false);
            }
            Err(why) => {
                let words = format!("Cannot open that bench: {why}. The bench stays as it was.");
                self.elements.say("bench-problem", &words);
            }
        }
    }
}
