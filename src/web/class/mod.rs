//! The work shown to a class: full screen, large, step by step, two designs side by side.

mod film;
mod keys;
mod print;
mod show;

use super::canvas::Board;
use super::elements::Elements;
use super::page::Page;
use crate::app::{LessonMove, Message};
use crate::render::{Theme, code, svg};
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::{Closure, JsValue};
use web_sys::{Element, HtmlInputElement, HtmlTextAreaElement};

use film::Film;
pub use keys::listen;

const NO_CODE: &str = "This page is served on this computer only, where no phone can open it. Served \
on the web, a code here opens the design on every phone.";

/// What the class is shown on.
pub struct Class {
    boards: [Board; 2],
    /// Where a finger came down, CSS pixels.
    touched: Option<(f64, f64)>,
    /// What hides the controls, and when it is to.
    sleep: JsValue,
    film: Option<Film>,
    last_film: Option<Film>,
    idle: Option<i32>,
}

impl Class {
    /// `None` where the page has no canvases for it.
    pub fn new(page: &Elements) -> Option<Class> {
        let board = |id: &str| page.get(id).and_then(Board::new);
        let class = page.element("class")?;
        let sleep = Closure::<dyn Fn()>::new(move || {
            let _ = class.set_attribute("data-idle", "yes");
        });
        Some(Class {
            boards: [board("class-picture-0")?, board("class-picture-1")?],
            touched: None,
            sleep: sleep.into_js_value(),
            idle: None,
            film: None,
            last_film: None,
        })
    }
}

impl Page {
    /// Shows the work to a class.
    pub fn open_class(&mut self) {
        self.list_kept();
        self.send(Message::Class(true));
        self.elements.reveal("class-film", self.can_record());
        self.elements.reveal("class", true);
        self.mark_class("on");
        if let Some(class) = self.elements.element("class") {
            ask_full_screen(&class);
        }
        self.elements.focus("#class-next");
        if let Some(work) = self.elements.element("class-work") {
            work.set_scroll_top(0);
        }
    }

    /// Goes back to the page.
    pub fn leave_class(&mut self) {
        if !self.model.class.is_on {
            return;
        }
        self.elements.reveal("class", false);
        self.mark_class("off");
        if self.elements.document.fullscreen_element().is_some() {
            self.elements.document.exit_fullscreen();
        }
        self.elements.focus("#menu-button");
        self.send(Message::Class(false));
    }

    fn mark_class(&self, state: &str) {
        if let Some(root) = self.elements.document.document_element() {
            let _ = root.set_attribute("data-class", state);
        }
    }

    /// Goes through the steps of the class.
    fn teach(&mut self, moves: LessonMove) {
        self.pass(Message::Taught(moves));
    }

    /// Something with an id that starts with `class-` was pressed.
    pub fn class_pressed(&mut self, id: &str) {
        match id {
            "class-open" => self.open_class(),
            "class-leave" => self.leave_class(),
            "class-next" => self.teach(LessonMove::Next { calm: self.calm() }),
            "class-back" => self.teach(LessonMove::Back { calm: self.calm() }),
            "class-slow" => self.teach(LessonMove::Slow),
            "class-play" => self.play_class(),
            "class-film" => self.record_class(),
            "class-code-show" => self.show_code(),
            "class-code-hide" => self.elements.reveal("class-code", false),
            _ => {}
        }
    }

    /// Something with an id that starts with `class-` was set.
    pub fn class_set(&mut self, id: &str) {
        match id {
            "class-time" => {
                let slider = self.elements.get::<HtmlInputElement>(id);
                let time = slider.map_or(0.0, |slider| slider.value_as_number());
                self.teach(LessonMove::To(time));
            }
            "class-beside" => {
                let name = self.elements.value(id);
                self.send(Message::BesideChosen(name));
            }
            "class-notes-shown" => {
                let tick = self.elements.get::<HtmlInputElement>(id);
                let value = tick.is_some_and(|tick| tick.checked()).to_string();
                let at = self.now();
                self.send(Message::Chosen { control: id.into(), value, at });
            }
            "class-note" => {
                let written = self.elements.get::<HtmlTextAreaElement>(id).map(|area| area.value());
                let step = self.model.class.step().0;
                let words = written.unwrap_or_default();
                self.annotate(|design| design.class.write(step, &words));
            }
            _ => {}
        }
    }

    /// Shows a code that opens the design on a student's own phone, or why there is none.
    fn show_code(&self) {
        let link = self.public_link();
        let drawn = link.as_deref().and_then(|link| code(link, 1.0));
        let words = "Opens this design on a phone.";
        let picture =
            drawn.map(|(drawing, half)| svg(&drawing, [half; 2], 1.0, &Theme::PRINT, words));
        let told = if picture.is_some() { words } else { NO_CODE };
        self.elements.say("class-code-words", told);
        if let Some(place) = self.elements.element("class-code-picture") {
            // Squares and our own words only.
            place.set_inner_html(&picture.unwrap_or_default());
        }
        self.elements.reveal("class-code", true);
        self.elements.focus("#class-code-hide");
    }

    fn play_class(&mut self) {
        let calm = self.calm();
        self.teach(LessonMove::Play { calm });
    }
}

/// Asks for the whole screen; where that is refused the class fills the page.
fn ask_full_screen(element: &Element) {
    let ask = Reflect::get(element, &"requestFullscreen".into()).ok();
    let Some(ask) = ask.and_then(|ask| ask.dyn_into::<Function>().ok()) else { return };
    let asked = ask.call0(element).ok().and_then(|asked| asked.dyn_into::<Promise>().ok());
    if let Some(asked) = asked {
        let refused = Closure::<dyn FnMut(wasm_bindgen::JsValue)>::new(|_| {});
        let _ = asked.catch(&refused);
        refused.forget();
    }
}
