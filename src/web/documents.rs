//! Designs from outside and back: the examples, a file opened, a file saved.

use super::elements::Elements;
use super::page::Page;
use super::work::Work;
use crate::design::{Design, DesignError, LONGEST_DOCUMENT};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, HtmlSelectElement, Url};

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
pub fn first() -> Result<Design, DesignError> {
    Design::parse(EXAMPLES[0])
}

/// Fills the list of designs.
pub fn list_examples(page: &Elements) {
    let Some(list) = page.element("example") else { return };
    for (i, text) in EXAMPLES.iter().enumerate() {
        let name = Design::parse(text).map(|d| d.name).unwrap_or_default();
        page.option(&list, &i.to_string(), &name);
    }
}

/// What kind of file is handed out.
#[derive(Clone, Copy)]
pub struct Kind {
    /// Its media type.
    pub media: &'static str,
    /// How its name ends.
    pub end: &'static str,
}

impl Page {
    /// Takes the design chosen in the list.
    pub fn choose_design(&mut self) {
        let chosen = self.elements.value("example");
        let design = match chosen.parse().ok().and_then(|i: usize| EXAMPLES.get(i)) {
            Some(text) => Design::parse(text).ok(),
            None => self.opened.clone(),
        };
        if let Some(Ok(work)) = design.map(|d| Work::of(d, 0, self.work.unit)) {
            self.take(work);
        }
    }

    /// Hands the design out as a file. What is marked wrong would not be in it: then not.
    pub fn save_design(&mut self) {
        if self.at_fault() {
            let words = "Not saved: first put right the field that is marked.";
            return self.tell(words, true);
        }
        match self.offer_file() {
            Some(()) => self.tell("Saved as a file.", false),
            None => self.tell("Not saved: this browser gives no file.", true),
        }
    }

    fn offer_file(&mut self) -> Option<()> {
        let text = self.work.design.to_json();
        self.offer_text(&text, Kind { media: "application/json", end: ".json" })
    }

    /// Hands `text` out as a file named after the design.
    pub fn offer_text(&mut self, text: &str, file: Kind) -> Option<()> {
        let parts = js_sys::Array::of1(&text.into());
        let kind = BlobPropertyBag::new();
        kind.set_type(file.media);
        let blob = Blob::new_with_str_sequence_and_options(&parts, &kind).ok()?;
        let address = Url::create_object_url_with_blob(&blob).ok()?;
        // The one before has long been fetched.
        if let Some(before) = self.offered.replace(address.clone()) {
            let _ = Url::revoke_object_url(&before);
        }
        let link = self.elements.document.create_element("a").ok()?;
        let link: HtmlAnchorElement = wasm_bindgen::JsCast::dyn_into(link).ok()?;
        link.set_href(&address);
        link.set_download(&(file_stem(&self.work.design.name) + file.end));
        link.click();
        Some(())
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
        let Ok(bytes) = self.reader.result() else {
            return self.cannot_open("the browser cannot read it");
        };
        let bytes = js_sys::Uint8Array::new(&bytes).to_vec();
        let Ok(text) = String::from_utf8(bytes) else {
            return self.cannot_open("it is not text in UTF-8");
        };
        let work = Design::parse(&text).and_then(|d| Work::of(d, 0, self.work.unit));
        match work {
            Ok(work) => {
                self.opened = Some(work.design.clone());
                self.list_opened(&work.design.name);
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

    /// The opened design stands in the list with the examples.
    fn list_opened(&self, name: &str) {
        let Some(list) = self.elements.get::<HtmlSelectElement>("example") else { return };
        let name = if name.is_empty() { &self.opening } else { name };
        match list.query_selector("option[value=opened]") {
            Ok(Some(option)) => option.set_text_content(Some(name)),
            _ => self.elements.option(&list, "opened", name),
        }
        list.set_value("opened");
    }

    /// Says something about the page as a whole.
    pub fn tell(&self, words: &str, problem: bool) {
        self.elements.mark("message", "data-problem", if problem { "true" } else { "false" });
        self.elements.say("message", words);
    }
}

/// The design's name as a file's: letters, digits and dashes.
fn file_stem(name: &str) -> String {
    let plain: String =
        name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    let stem: String = parts.join("-").chars().take(60).collect();
    if stem.is_empty() { "design".into() } else { stem }
}
