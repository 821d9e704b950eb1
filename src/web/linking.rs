//! A link with the whole design in it: made, copied, followed.

use super::page::{Page, Shared};
use crate::documents::design::Design;
use crate::documents::share;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Clipboard, HtmlInputElement};

/// What hears whether the clipboard took the link.
pub struct Linking {
    copied: Closure<dyn FnMut(JsValue)>,
    refused: Closure<dyn FnMut(JsValue)>,
}

/// Gives the page its way to the clipboard, and opens the design its address carries.
pub fn start(page: &Shared) {
    let hear = |is_copied: bool| {
        let page = page.clone();
        Closure::<dyn FnMut(JsValue)>::new(move |_: JsValue| {
            if let Ok(mut page) = page.try_borrow_mut() {
                page.told_of_link(is_copied);
            }
        })
    };
    let linking = Linking { copied: hear(true), refused: hear(false) };
    if let Ok(mut page) = page.try_borrow_mut() {
        page.linking = Some(linking);
        page.follow_link();
    }
}

impl Page {
    /// Makes the link, and copies it where the browser lets the page.
    pub fn copy_link(&mut self) {
        if self.at_fault() {
            return self.tell("No link: first put right the field that is marked.", true);
        }
        let fragment = match share::fragment(&self.model.analysis.design) {
            Ok(fragment) => fragment,
            Err(error) => return self.tell(&format!("No link: {error}."), true),
        };
        let here = self.address();
        let Some(field) = self.elements.get::<HtmlInputElement>("link") else { return };
        field.set_value(&format!("{here}#{fragment}"));
        let asked = self.clipboard().zip(self.linking.as_ref()).map(|(clipboard, linking)| {
            let _ = clipboard.write_text(&field.value()).then2(&linking.copied, &linking.refused);
        });
        if asked.is_none() {
            self.told_of_link(false);
        }
    }

    /// A link that opens the design on another device; none where the page is served on this computer
    /// only, or the design goes into no link.
    pub fn public_link(&self) -> Option<String> {
        let location = self.browser.location();
        let host = location.hostname().ok()?;
        let is_local =
            host.is_empty() || host == "localhost" || host == "[::1]" || host.starts_with("127.");
        let fragment = share::fragment(&self.model.analysis.design).ok()?;
        (!is_local).then(|| format!("{}#{fragment}", self.address()))
    }

    /// The clipboard; a page that is not served safely has none.
    fn clipboard(&self) -> Option<Clipboard> {
        let found = js_sys::Reflect::get(&self.browser.navigator(), &"clipboard".into()).ok()?;
        found.dyn_into().ok()
    }

    fn told_of_link(&mut self, is_copied: bool) {
        self.elements.reveal("link-row", !is_copied);
        let Some(field) = self.elements.get::<HtmlInputElement>("link") else { return };
        let letters = field.value().chars().count();
        if is_copied {
            let words = format!("Link copied: {letters} letters, the whole design in them.");
            return self.tell(&words, false);
        }
        let _ = field.focus();
        field.select();
        self.tell("The browser does not let the page copy: copy the link from its field.", false);
    }

    /// Takes the design that the page's address carries, or says why not; whether to draw.
    pub fn follow_link(&mut self) -> bool {
        let Some(fragment) = self.carried() else { return false };
        let design = share::design(&fragment).map_err(|error| error.to_string());
        let workable = |design: Design| match design.formings() {
            Ok(_) => Ok(design),
            Err(error) => Err(error.to_string()),
        };
        match design.and_then(workable) {
            Ok(design) => {
                let name = match design.name.as_str() {
                    "" => "a design without a name".to_string(),
                    name => format!("\u{201c}{name}\u{201d}"),
                };
                let same = design == self.model.analysis.design;
                let undo = if same { "" } else { " Undo brings back the one before." };
                self.replace(design, 0, &format!("Opened {name} from the link.{undo}"));
                self.clear_address();
            }
            Err(error) => {
                let kept = "The design on the page stays as it was.";
                self.tell(&format!("Cannot open the link: {error}. {kept}"), true);
            }
        }
        true
    }

    /// What the page's address carries after its `#` that is no place on the page.
    fn carried(&self) -> Option<String> {
        let hash = self.browser.location().hash().ok()?;
        let fragment = hash.strip_prefix('#').filter(|rest| !rest.is_empty())?;
        self.elements.element(fragment).is_none().then(|| fragment.into())
    }

    /// What was opened goes on on the page: loaded again, it is not opened anew over it.
    fn clear_address(&self) {
        let here = self.address();
        if let Ok(history) = self.browser.history() {
            let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&here));
        }
    }

    /// The page's address, without what stands after its `#`.
    fn address(&self) -> String {
        let mut here = self.browser.location().href().unwrap_or_default();
        here.truncate(here.find('#').unwrap_or(here.len()));
        here
    }
}
