//! Designs from outside and back: the examples, a file opened, a file saved.

use super::page::Page;
use crate::answers::build::workable;
use crate::app::examples;
use crate::documents::design::{Design, DesignError, LONGEST_DOCUMENT};
use web_sys::{FileReader, HtmlInputElement};

/// Whether a design is an example as it comes.
pub fn is_example(design: &Design) -> bool {
    examples().flatten().any(|example| example == *design)
}

impl Page {
    /// Takes the design chosen in the list.
    pub fn choose_design(&mut self) {
        if let Some(design) = self.model.design_named(&self.elements.value("example")) {
            self.replace(design, 0, "");
        }
    }

    /// Hands the design out as a file. What is marked wrong would not be in it: then not.
    pub fn save_design(&mut self) {
        if self.at_fault() {
            let words = "Not saved: first put right the field that is marked.";
            return self.tell(words, true);
        }
        let (name, text) =
            (self.model.analysis.design.name.clone(), self.model.analysis.design.to_json());
        self.save_text(&name, &text);
    }

    /// Hands a document out as a file.
    pub fn save_text(&mut self, name: &str, text: &str) {
        match self.hand_out(&file_name(name, "json"), "application/json", &text.into()) {
            Some(()) => self.tell("Saved as a file.", false),
            None => self.tell("Not saved: this browser gives no file.", true),
        }
    }

    /// Starts to read the file chosen; [`Page::open_read`] is called when that is done.
    pub fn open_chosen(&mut self) {
        let Some(input) = self.elements.get::<HtmlInputElement>("open-file") else { return };
        let file = input.files().and_then(|files| files.get(0));
        if let Some(file) = file {
            self.opening = file.name();
            let size = file.size();
            if size > LONGEST_DOCUMENT as f64 {
                let error = DesignError::TooLong { bytes: size as usize, most: LONGEST_DOCUMENT };
                self.cannot_open(&error.to_string());
            } else {
                self.reader.abort();
                if self.reader.read_as_array_buffer(&file).is_err() {
                    self.cannot_open("the browser cannot read it");
                }
            }
        }
        // So that the same file can be chosen again.
        input.set_value("");
    }

    /// Takes the design of the file that was read, or says why not and keeps the present one.
    pub fn open_read(&mut self) {
        let text = match text_read(&self.reader) {
            Ok(text) => text,
            Err(why) => return self.cannot_open(why),
        };
        match workable(&text) {
            Ok(design) => {
                let words = format!("Opened \u{201c}{}\u{201d}.", self.opening);
                self.replace(design, 0, &words);
            }
            Err(error) => self.cannot_open(&error.to_string()),
        }
    }

    /// Hands a table of the plan out as a file.
    pub fn save_table(&mut self, which: usize) {
        let Some(planned) = &self.model.analysis.planned else {
            return self.tell("No table yet: the plan is still being worked out.", true);
        };
        if self.at_fault() || planned.report.laid.is_none() {
            return self.tell("No table: first put right what is marked.", true);
        }
        let end = ["chain.csv", "cuts.csv"][which];
        let name = file_name(&self.model.analysis.design.name, end);
        let text = wasm_bindgen::JsValue::from_str(&planned.tables[which]);
        match self.hand_out(&name, "text/csv", &text) {
            Some(()) => self.tell("Saved as a file.", false),
            None => self.tell("Not saved: this browser gives no file.", true),
        }
    }

    fn cannot_open(&mut self, why: &str) {
        let name = self.opening.clone();
        let kept = "The design on the page stays as it was.";
        self.tell(&format!("Cannot open \u{201c}{name}\u{201d}: {why}. {kept}"), true);
    }
}

/// The text of the file that `reader` has read, or why there is none.
pub fn text_read(reader: &FileReader) -> Result<String, &'static str> {
    let bytes = reader.result().map_err(|_| "the browser cannot read it")?;
    if bytes.is_null() {
        return Err("the browser cannot read it: it may be gone, or not be allowed");
    }
    let bytes = js_sys::Uint8Array::new(&bytes).to_vec();
    String::from_utf8(bytes).map_err(|_| "it is not text in UTF-8")
}

/// The design's name as a file's: letters, digits and dashes.
pub fn file_name(name: &str, kind: &str) -> String {
    let plain: String =
        name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let stem: String = parts.join("-").chars().take(60).collect();
    format!("{}.{kind}", if stem.is_empty() { "design" } else { &stem })
}
