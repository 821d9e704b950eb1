//! Designs from outside and back: the examples, a file opened, a file saved.

use super::elements::Elements;
use super::page::Page;
use super::work::Work;
use crate::answers::build::BuildError;
use crate::documents::design::{Design, DesignError, LONGEST_DOCUMENT};
use std::sync::OnceLock;
use web_sys::{FileReader, HtmlInputElement, HtmlSelectElement};

/// The examples of `www/examples`, the opening design first.
const EXAMPLES: [&str; 4] = [
    include_str!("../../www/examples/evening-class-bracelet.json"),
    include_str!("../../www/examples/copper-practice.json"),
    include_str!("../../www/examples/swelling-necklace.json"),
    include_str!("../../www/examples/too-thick.json"),
];

/// The design the page opens with.
///
/// # Errors
/// None, as long as the example is a design; `tests/documents.rs` holds them to it.
pub fn first() -> Result<Design, BuildError> {
    Ok(Design::parse(EXAMPLES[0])?)
}

/// Fills the list of designs.
pub fn list_examples(page: &Elements) {
    let Some(list) = page.element("example") else { return };
    for (i, name) in example_names().iter().enumerate() {
        page.option(&list, &i.to_string(), name);
    }
}

/// Each example as a design.
fn examples() -> impl Iterator<Item = Option<Design>> {
    EXAMPLES.iter().map(|text| Design::parse(text).ok())
}

fn example_names() -> &'static [String] {
    static NAMES: OnceLock<Vec<String>> = OnceLock::new();
    NAMES.get_or_init(|| examples().map(|d| d.map(|d| d.name).unwrap_or_default()).collect())
}

/// Whether a design is an example as it comes.
pub fn is_example(design: &Design) -> bool {
    examples().flatten().any(|example| example == *design)
}

/// The design the page opens with, and the one that does not join, as the list names them.
pub const OPENING: &str = "0";
pub const TOO_THICK: &str = "3";

impl Page {
    /// The design that the list of designs knows by this value.
    pub fn design_named(&self, value: &str) -> Option<Design> {
        match value.parse().ok().and_then(|i: usize| EXAMPLES.get(i)) {
            Some(text) => Design::parse(text).ok(),
            None if value == "opened" => self.opened.clone(),
            None => None,
        }
    }

    /// Takes the design chosen in the list.
    pub fn choose_design(&mut self) {
        let design = self.design_named(&self.elements.value("example"));
        if let Some(Ok(work)) = design.map(|d| Work::of(d, 0, self.work.unit)) {
            self.take(work);
        }
    }

    /// The list stands at the design on the page: an example by its name, or one more entry.
    pub fn name_design(&mut self) {
        let Some(list) = self.elements.get::<HtmlSelectElement>("example") else { return };
        let name = &self.work.design.name;
        if let Some(index) = example_names().iter().position(|example| example == name) {
            return list.set_value(&index.to_string());
        }
        self.opened = Some(self.work.design.clone());
        let name = if name.is_empty() { "without a name" } else { name };
        match list.query_selector("option[value=opened]") {
            Ok(Some(option)) => option.set_text_content(Some(name)),
            _ => self.elements.option(&list, "opened", name),
        }
        list.set_value("opened");
    }

    /// Hands the design out as a file. What is marked wrong would not be in it: then not.
    pub fn save_design(&mut self) {
        if self.at_fault() {
            let words = "Not saved: first put right the field that is marked.";
            return self.tell(words, true);
        }
        let (name, text) = (self.work.design.name.clone(), self.work.design.to_json());
        self.save_text(&name, &text);
    }

    /// Hands a document out as a file.
    pub fn save_text(&self, name: &str, text: &str) {
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
        let work = Design::parse(&text).map_err(BuildError::from);
        let work = work.and_then(|design| Work::of(design, 0, self.work.unit));
        match work {
            Ok(work) => {
                self.take(work);
                self.tell(&format!("Opened \u{201c}{}\u{201d}.", self.opening), false);
            }
            Err(error) => self.cannot_open(&error.to_string()),
        }
    }

    fn cannot_open(&self, why: &str) {
        let name = &self.opening;
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
