//! The work shown to a class: full screen, large, step by step, two designs side by side.
//!
//! Time runs from 1, the ring, to the number of steps; a step is done at its whole number.

mod keys;
mod print;
mod show;

use super::canvas::Board;
use super::documents;
use super::elements::Elements;
use super::page::Page;
use crate::app::Message;
use crate::documents::design::Lesson;
use crate::render::TIGHTEST;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{Element, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement};

pub use keys::listen;

/// The last step.
const END: f64 = Lesson::ALL.len() as f64;
/// Where the tightest place is.
const TIGHT: f64 = 4.0 + TIGHTEST;
/// Where playing rests for a while, and where steps lead.
const STOPS: [f64; 7] = [1.0, 2.0, 3.0, 4.0, TIGHT, 5.0, END];
/// Seconds that a step takes, that the way through takes, and that playing rests.
const STEP_SECONDS: f64 = 4.0;
const THROUGH_SECONDS: f64 = 16.0;
const REST_SECONDS: f64 = 1.5;

/// What the class sees.
pub struct Class {
    pub on: bool,
    time: f64,
    pub playing: bool,
    last_frame: f64,
    rests: f64,
    boards: [Board; 2],
    /// What the design beside is called in the list of designs.
    beside_name: String,
    /// Where a finger came down, CSS pixels.
    touched: Option<(f64, f64)>,
}

impl Class {
    /// `None` where the page has no canvases for it.
    pub fn new(page: &Elements) -> Option<Class> {
        let board = |id: &str| page.get(id).and_then(Board::new);
        Some(Class {
            on: false,
            time: 1.0,
            playing: false,
            last_frame: 0.0,
            rests: 0.0,
            boards: [board("class-picture-0")?, board("class-picture-1")?],
            beside_name: String::new(),
            touched: None,
        })
    }

    /// The step, and how much of it is done.
    fn step(&self) -> (Lesson, f64) {
        let index = (self.time.ceil() as usize).clamp(1, Lesson::ALL.len()) - 1;
        (Lesson::ALL[index], (self.time - index as f64).clamp(0.0, 1.0))
    }

    fn go_to(&mut self, time: f64) {
        self.time = time.clamp(1.0, END);
        self.playing = false;
    }

    fn next(&mut self) {
        let on = STOPS.into_iter().find(|stop| *stop > self.time + 1e-6);
        self.go_to(on.unwrap_or(END));
    }

    fn back(&mut self) {
        let back = STOPS.into_iter().rev().find(|stop| *stop < self.time - 1e-6);
        self.go_to(back.unwrap_or(1.0));
    }
}

/// Before the name of a kept design in the list of those beside.
const KEPT: &str = "kept:";

impl Page {
    /// Shows the work to a class.
    pub fn open_class(&mut self) {
        self.model.playing = false;
        self.class.on = true;
        self.class.go_to(1.0);
        self.list_beside();
        let stale = self
            .model
            .beside
            .as_ref()
            .is_some_and(|beside| beside.unit != self.model.analysis.unit);
        if stale || self.class.beside_name.is_empty() {
            self.choose_beside();
        }
        self.elements.reveal("class", true);
        self.mark_class("on");
        if let Some(class) = self.elements.element("class") {
            ask_full_screen(&class);
        }
        self.elements.focus("#class-next");
        if let Some(work) = self.elements.element("class-work") {
            work.set_scroll_top(0);
        }
        self.send(Message::Class(true));
    }

    /// Goes back to the page.
    pub fn leave_class(&mut self) {
        if !std::mem::take(&mut self.class.on) {
            return;
        }
        self.class.playing = false;
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

    /// Fills the list of designs that may stand beside: those of the page's own list, and those kept by name.
    fn list_beside(&mut self) {
        let lists = ["example", "class-beside"];
        let [Some(designs), Some(list)] =
            lists.map(|id| self.elements.get::<HtmlSelectElement>(id))
        else {
            return;
        };
        let before = list.value();
        list.set_text_content(Some(""));
        self.elements.option(&list, "none", "none");
        let mut known = before == "none";
        let mut add = |value: &str, words: &str| {
            self.elements.option(&list, value, words);
            known |= value == before;
        };
        let options = designs.options();
        for option in (0..options.length()).filter_map(|i| options.item(i)) {
            let value = option.get_attribute("value").unwrap_or_default();
            add(&value, &option.text_content().unwrap_or_default());
        }
        for name in self.kept_names() {
            add(&format!("{KEPT}{name}"), &format!("{name} (kept here)"));
        }
        // At first one that does not join, or that does.
        let joins =
            self.model.analysis.join_report().is_none_or(|join| join.least_clearance_mm > 0.0);
        let usual = if joins { documents::TOO_THICK } else { documents::OPENING };
        list.set_value(if known { &before } else { usual });
    }

    /// Takes the design chosen to stand beside.
    pub(super) fn choose_beside(&mut self) {
        let name = self.elements.value("class-beside");
        let design = match name.strip_prefix(KEPT) {
            Some(name) => self.kept_design(name),
            None => self.model.design_named(&name),
        };
        self.class.beside_name = name;
        self.send(Message::Beside(design.map(Box::new)));
    }

    /// Something with an id that starts with `class-` was pressed.
    pub fn class_pressed(&mut self, id: &str) {
        match id {
            "class-open" => self.open_class(),
            "class-leave" => self.leave_class(),
            "class-next" => self.class.next(),
            "class-back" => self.class.back(),
            "class-play" => self.play_class(),
            _ => {}
        }
    }

    /// Something with an id that starts with `class-` was set.
    pub fn class_set(&mut self, id: &str) {
        match id {
            "class-time" => {
                let slider = self.elements.get::<HtmlInputElement>(id);
                let time = slider.map_or(1.0, |slider| slider.value_as_number());
                if time.is_finite() {
                    self.class.go_to(time);
                }
            }
            "class-beside" => self.choose_beside(),
            "class-note" => {
                let written = self.elements.get::<HtmlTextAreaElement>(id).map(|area| area.value());
                let step = self.class.step().0;
                let words = written.unwrap_or_default();
                self.annotate(|design| design.class.write(step, &words));
            }
            _ => {}
        }
    }

    fn play_class(&mut self) {
        if self.calm() {
            return self.class.next();
        }
        let class = &mut self.class;
        class.playing = !class.playing;
        (class.last_frame, class.rests) = (0.0, 0.0);
        if class.playing && class.time >= END {
            class.time = 1.0;
        }
    }

    /// Plays on to the frame at `now` milliseconds.
    pub fn advance_class(&mut self, now: f64) {
        let class = &mut self.class;
        if !class.on || !class.playing {
            return;
        }
        let passed = if class.last_frame > 0.0 { now - class.last_frame } else { 0.0 };
        let passed = 1e-3 * passed.clamp(0.0, 100.0);
        class.last_frame = now;
        if class.rests > 0.0 {
            class.rests -= passed;
            return;
        }
        let through = class.step().0 == Lesson::Through || class.time == 4.0;
        let seconds = if through { THROUGH_SECONDS } else { STEP_SECONDS };
        let time = class.time + passed / seconds;
        match STOPS.into_iter().find(|stop| *stop > class.time + 1e-9 && *stop <= time) {
            Some(stop) => (class.time, class.rests) = (stop, REST_SECONDS),
            None => class.time = time,
        }
        if class.time >= END {
            class.go_to(END);
        }
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
