//! Who hears what: the browser's events, and frames.

use super::page::{Page, Shared};
use super::views::VIEWS;
use super::{costs, drawer, fields, meanings};
use crate::documents::units::LengthUnit;
use crate::render::Camera;
use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{
    Element, Event, EventTarget, HtmlElement, HtmlInputElement, HtmlSelectElement, KeyboardEvent,
};

/// Nearer or farther with one key or button.
const ZOOM_STEP: f64 = 1.2;

/// Sets up every listener.
pub fn listen(page: &Shared) {
    let (browser, document, canvas, [reader, bench_reader], asked) = {
        let page = page.borrow();
        let document = page.elements.document.clone();
        let readers = [page.reader.clone(), page.bench_reader.clone()];
        let (canvas, asked) = (page.board.canvas.clone(), page.system.0.clone());
        (page.browser.clone(), document, canvas, readers, asked)
    };
    // A list says "change" however it is set, by hand or by a program; a text "input" at each key.
    on(page, &document, "input", |page, event: Event| !of_list(&event) && page.changed(&event));
    on(page, &document, "change", |page, event: Event| of_list(&event) && page.changed(&event));
    on(page, &document, "click", |page, event: Event| page.clicked(&event));
    on(page, &document, "keydown", Page::tour_key);
    on(page, &document, "keydown", Page::shortcut);
    on(page, &browser, "resize", |_, _: Event| true);
    on(page, &canvas, "pointerdown", Page::held);
    on(page, &canvas, "pointerup", Page::released);
    on(page, &canvas, "pointercancel", Page::taken_away);
    on(page, &canvas, "pointermove", Page::dragged);
    on(page, &canvas, "wheel", Page::wheeled);
    on(page, &canvas, "keydown", Page::key);
    on(page, &browser, "hashchange", |page, _: Event| page.follow_link());
    on(page, &browser, "storage", |page, _: Event| {
        page.kept_elsewhere();
        false
    });
    // Read, or gone, or not allowed.
    for end in ["load", "error"] {
        on(page, &reader, end, |page, _: Event| {
            page.open_read();
            true
        });
        on(page, &bench_reader, end, |page, _: Event| {
            page.bench_read();
            false
        });
    }
    for asked in asked.iter().flatten() {
        on(page, asked, "change", |_, _: Event| true);
    }
    for (name, printing) in [("beforeprint", true), ("afterprint", false)] {
        on(page, &browser, name, move |page, _: Event| {
            page.print(printing);
            true
        });
    }
}

fn of_list(event: &Event) -> bool {
    event.target().is_some_and(|target| target.has_type::<HtmlSelectElement>())
}

/// Calls `act` on every such event, and draws in the next frame when it says so.
pub fn on<E: JsCast + 'static>(
    page: &Shared,
    target: &EventTarget,
    name: &str,
    act: impl Fn(&mut Page, E) -> bool + 'static,
) {
    let (shared, act) = (page.clone(), Rc::new(act));
    let heard = Closure::<dyn FnMut(Event)>::new(move |event: Event| {
        let Ok(event) = event.dyn_into::<E>() else { return };
        let act = act.clone();
        act_on(&shared, move |page| act(page, event));
    });
    let _ = target.add_event_listener_with_callback(name, heard.as_ref().unchecked_ref());
    // The page listens for as long as it lives.
    heard.forget();
}

/// Something done to the page; whether to draw.
type Act = Box<dyn FnOnce(&mut Page) -> bool>;

thread_local! {
    /// What came while the page was in use.
    static WAITING: RefCell<VecDeque<Act>> = const { RefCell::new(VecDeque::new()) };
}

/// Does `act` to the page, and draws in the next frame when it says so. What comes while another
/// act is being done, as a change of focus that it brings about, is done right after it.
pub fn act_on(page: &Shared, act: impl FnOnce(&mut Page) -> bool + 'static) {
    WAITING.with_borrow_mut(|waiting| waiting.push_back(Box::new(act)));
    let mut draw = false;
    while let Ok(mut free) = page.try_borrow_mut() {
        let Some(next) = WAITING.with_borrow_mut(VecDeque::pop_front) else { break };
        draw |= next(&mut free);
    }
    if draw {
        ask_frame(page);
    }
}

/// Draws in the next frame.
pub fn ask_frame(page: &Shared) {
    let Ok(mut held) = page.try_borrow_mut() else { return };
    if held.frame_asked {
        return;
    }
    held.frame_asked = true;
    let browser = held.browser.clone();
    drop(held);
    let shared = page.clone();
    let frame = Closure::once_into_js(move |now: f64| {
        act_on(&shared, move |page| {
            page.frame_asked = false;
            page.advance(now);
            page.sway(now);
            page.advance_class(now);
            page.draw();
            page.playing || page.class.playing || page.work.sways()
        });
    });
    let _ = browser.request_animation_frame(frame.unchecked_ref());
}

impl Page {
    /// Something was typed or chosen; whether to draw.
    fn changed(&mut self, event: &Event) -> bool {
        let Some(target) = event.target().and_then(|t| t.dyn_into::<Element>().ok()) else {
            return false;
        };
        self.tell("", false);
        match target.id().as_str() {
            "time" => {
                let input: Option<HtmlInputElement> = target.dyn_into().ok();
                self.time = input.map_or(0.0, |i| i.value_as_number()).clamp(0.0, 1.0);
                self.playing = false;
            }
            "example" => self.choose_design(),
            "size" => {
                let size = self.elements.value("size").parse().unwrap_or(0);
                if size < self.work.design.sizes.len() {
                    self.work.size = size;
                    self.show_all();
                    self.ask_anew();
                    self.keep_habits();
                }
            }
            "unit" => {
                let inch = self.elements.value("unit") == "inch";
                self.work.speak(if inch { LengthUnit::Inch } else { LengthUnit::Mm });
                self.ask_anew();
                self.show_all();
                self.keep_habits();
            }
            "colours" => self.keep_colours(),
            "wire-kind" => {
                let kind = self.elements.value("wire-kind");
                let work = &self.work;
                let nearest = fields::in_kind(&work.design, work.size, &kind, work.unit);
                if let (Some(wire), Some(text)) = (self.elements.input("wire"), nearest) {
                    wire.set_value(&text);
                }
                self.read_fields();
            }
            _ if ["data-field", "data-metal", "data-plan"]
                .iter()
                .any(|name| target.has_attribute(name)) =>
            {
                self.read_fields();
            }
            _ => return self.changed_beside(&target),
        }
        true
    }

    /// Something was typed or chosen beside the design's fields; whether to draw.
    fn changed_beside(&mut self, target: &Element) -> bool {
        match target.id().as_str() {
            "open-file" => self.open_chosen(),
            "bench-file" => self.open_bench(),
            id if costs::is_cost(id) => self.read_costs(),
            id if drawer::is_list(id) => self.read_drawer(id),
            "sheet-paper" => self.fill_sheet(),
            "weave" => self.choose_weave(),
            id if id.starts_with("class-") => self.class_set(id),
            _ if target.closest("#out").is_ok_and(|out| out.is_some()) => {
                self.show_out();
                self.elements.say("out-says", "");
                return false;
            }
            _ if target.closest(".panel").is_ok_and(|panel| panel.is_some()) => {
                self.ask_on();
                self.show_panel();
            }
            _ => return false,
        }
        true
    }

    /// Something was pressed; whether to draw.
    fn clicked(&mut self, event: &Event) -> bool {
        let Some(target) = event.target().and_then(|t| t.dyn_into::<HtmlElement>().ok()) else {
            return false;
        };
        self.took_in_hand(&target);
        if let Some(suggestion) = target.get_attribute("data-cure") {
            self.take_cure(suggestion.parse().unwrap_or(usize::MAX));
            return true;
        }
        if meanings::turn(&self.elements, &target) {
            return false;
        }
        match target.id().as_str() {
            "tightest" => self.go_to_tightest(),
            "play" => self.play(),
            "reset" => self.camera = Camera::default(),
            "nearer" => self.camera.zoom_at(ZOOM_STEP, 0.0, 0.0),
            "farther" => self.camera.zoom_at(1.0 / ZOOM_STEP, 0.0, 0.0),
            "message-away" => self.put_message_away(),
            "undo" => self.undo(),
            "redo" => self.redo(),
            // The page's script hears it.
            "renew-now" => return false,
            id if id.starts_with("tour-") => self.tour_pressed(id),
            id => match VIEWS.iter().position(|view| id.strip_prefix("view-") == Some(view.id)) {
                Some(view) => self.choose_view(view),
                None => return self.clicked_in_part(&target),
            },
        }
        true
    }

    /// Something was pressed in a part of the page of its own; whether to draw.
    fn clicked_in_part(&mut self, target: &HtmlElement) -> bool {
        if self.clicked_on_bench(target) {
            return false;
        }
        if let Some(act) = target.get_attribute("data-kept") {
            let row = target.get_attribute("data-row").and_then(|row| row.parse().ok());
            self.kept_pressed(&act, row.unwrap_or(usize::MAX));
            return true;
        }
        if let Some(trial) = target.get_attribute("data-trial") {
            self.drop_trial(trial.parse().unwrap_or(usize::MAX));
            return true;
        }
        if let Some(answer) = target.get_attribute("data-answer") {
            self.use_answer(answer.parse().unwrap_or(usize::MAX));
            return true;
        }
        if let Some(point) = target.get_attribute("data-point") {
            self.work.tuning.chosen = point.parse().ok();
            self.show_panel();
            return true;
        }
        match target.id().as_str() {
            "tune-stop" => self.stop_tuning(),
            "add-trial" => self.add_trial(),
            "save-chain" => self.save_table(0),
            "save-cuts" => self.save_table(1),
            "designs-button" => self.show_designs(),
            "keep" => self.keep_design(),
            "copy-link" => self.copy_link(),
            id if id.starts_with("class-") => self.class_pressed(id),
            "handout-print" => self.print_handout(),
            "save" => self.save_design(),
            "open" => {
                if let Some(input) = self.elements.get::<HtmlInputElement>("open-file") {
                    input.click();
                }
                return false;
            }
            id => {
                self.take_out(id);
                return false;
            }
        }
        true
    }

    /// A key on the picture; whether to draw.
    fn key(&mut self, event: KeyboardEvent) -> bool {
        if event.ctrl_key() || event.meta_key() || event.alt_key() {
            return false;
        }
        const TURN: f64 = 0.1;
        const MOVE: f64 = 30.0;
        let (right, up) = match event.key().as_str() {
            "ArrowLeft" => (-1.0, 0.0),
            "ArrowRight" => (1.0, 0.0),
            "ArrowUp" => (0.0, 1.0),
            "ArrowDown" => (0.0, -1.0),
            _ => (0.0, 0.0),
        };
        if self.sees_map() {
            if (right, up) != (0.0, 0.0) {
                event.prevent_default();
                return self.step_point(right, up, event.shift_key());
            }
            return false;
        }
        if !event.shift_key() && self.pull_by_key(&event.key(), (right, up)) {
            event.prevent_default();
            return true;
        }
        match event.key().as_str() {
            "+" | "=" => self.camera.zoom_at(ZOOM_STEP, 0.0, 0.0),
            "-" => self.camera.zoom_at(1.0 / ZOOM_STEP, 0.0, 0.0),
            "0" => self.camera = Camera::default(),
            _ if (right, up) == (0.0, 0.0) => return false,
            _ if event.shift_key() => self.camera.shift(MOVE * right, MOVE * up),
            _ => self.camera.turn(self.home, -TURN * right, -TURN * up),
        }
        event.prevent_default();
        true
    }
}
