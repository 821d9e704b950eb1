//! Light, dark or high contrast: as the system asks, or as chosen by hand and remembered; and
//! whether things may move.

use super::page::Page;
use super::remembered;
use crate::render::Theme;
use web_sys::{MediaQueryList, Window as Browser};

/// Under this name the choice is remembered.
const CHOICE: &str = "linkfold.colours";

/// What the system is asked for.
#[derive(Clone, Copy)]
enum Ask {
    Dark,
    Contrast,
    Forced,
    Calm,
}

const QUERIES: [&str; 4] = [
    "(prefers-color-scheme: dark)",
    "(prefers-contrast: more)",
    "(forced-colors: active)",
    "(prefers-reduced-motion: reduce)",
];

/// What the system answers, in the order of [`Ask`], asked for once: every frame reads it.
pub struct System(pub [Option<MediaQueryList>; 4]);

impl System {
    /// Asks.
    pub fn new(browser: &Browser) -> System {
        System(QUERIES.map(|query| browser.match_media(query).ok().flatten()))
    }

    fn wants(&self, what: Ask) -> bool {
        self.0[what as usize].as_ref().is_some_and(|found| found.matches())
    }
}

impl Page {
    /// Whether whoever reads has asked for calm: nothing moves by itself.
    pub fn calm(&self) -> bool {
        self.system.wants(Ask::Calm)
    }

    /// Takes up the colours chosen at an earlier visit.
    pub fn recall_colours(&self) {
        let known = ["light", "dark", "contrast"];
        if let Some(choice) = remembered::recall(&self.browser, CHOICE)
            && known.contains(&choice.as_str())
            && let Some(list) = self.elements.get::<web_sys::HtmlSelectElement>("colours")
        {
            list.set_value(&choice);
        }
    }

    /// Remembers the colours chosen.
    pub fn keep_colours(&self) {
        remembered::keep(&self.browser, CHOICE, &self.elements.value("colours"));
    }

    /// The colours in use; the stylesheet is told.
    pub fn theme(&self) -> &'static Theme {
        let choice = self.elements.value("colours");
        let by_system = !["light", "dark", "contrast"].contains(&choice.as_str());
        // Colours forced by the system lie behind whatever is drawn.
        let forced = self.system.wants(Ask::Forced);
        let high =
            forced || choice == "contrast" || (by_system && self.system.wants(Ask::Contrast));
        let dark = choice == "dark"
            || ((by_system || choice == "contrast" || forced) && self.system.wants(Ask::Dark));
        // Paper is white.
        let dark = dark && !self.printing;
        let (name, theme) = match (high, dark) {
            (false, false) => ("light", &Theme::LIGHT),
            (false, true) => ("dark", &Theme::DARK),
            (true, false) => ("contrast-light", &Theme::HIGH_CONTRAST),
            (true, true) => ("contrast-dark", &Theme::HIGH_CONTRAST_DARK),
        };
        if let Some(root) = self.elements.document.document_element()
            && root.get_attribute("data-colours").as_deref() != Some(name)
        {
            let _ = root.set_attribute("data-colours", name);
        }
        theme
    }

    /// Draws on white for the printer, or on the screen again.
    pub fn print(&mut self, printing: bool) {
        self.printing = printing;
        self.draw();
        if !printing {
            self.set_handout(false);
        }
    }
}
