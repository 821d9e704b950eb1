//! Who hears what: the browser's events, and frames.

use super::meanings;
use super::page::{Page, Shared};
use crate::app::tabs::VIEWS;
use crate::app::{DESIGN_CONTROLS, Gesture, Message, is_bench_field};
use std::cell::RefCell;
use std::collections::VecDeque;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{
    Element, Event, EventTarget, HtmlElement, HtmlInputElement, HtmlSelectElement,
    HtmlTextAreaElement, KeyboardEvent,
};

/// Sets up every listener.
pub fn listen(page: &Shared) {
    let tools = page.borrow().elements.element("tools");
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
    on(page, &document, "focusin", |page, _: Event| {
        page.just_focused = true;
        false
    });
    on(page, &document, "click", |page, event: Event| page.clicked(&event));
    on(page, &document, "keydown", |page, event: KeyboardEvent| {
        page.key_in_menu(&event);
        false
    });
    on(page, &document, "keydown", Page::tour_key);
    on(page, &document, "keydown", Page::shortcut);
    on(page, &browser, "resize", |_, _: Event| true);
    on(page, &canvas, "pointerdown", Page::held);
    on(page, &canvas, "touchstart", Page::touched);
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
    if let Some(tools) = tools {
        on(page, &tools, "toggle", |page, event: Event| {
            let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
            let value = target.is_some_and(|tools| tools.has_attribute("open")).to_string();
            let at = page.now();
            page.send(Message::Chosen { control: "tools-open".into(), value, at });
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
            let calm = page.calm();
            let plays = page.model.playing;
            page.pass(Message::Frame { now, calm });
            if plays {
                page.set_slider();
            }
            page.draw();
            page.model.moves()
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
        self.pass(Message::Dismissed);
        let id = target.id();
        if event.type_() == "change" && !self.menu_by_keys {
            self.close_menu_after(&target);
        }
        self.renderer.touched(&id);
        let at = self.now();
        if let Some(key) = target.get_attribute("data-field") {
            self.renderer.touched(&format!("@{key}"));
            let text = target.dyn_ref::<HtmlInputElement>().map(HtmlInputElement::value);
            self.send(Message::Typed { key, text: text.unwrap_or_default(), at });
            return true;
        }
        let in_panel = target.closest(".panel").is_ok_and(|panel| panel.is_some());
        let of_model = ["size", "unit", "strip"].contains(&id.as_str())
            || DESIGN_CONTROLS.contains(&id.as_str())
            || target.has_attribute("data-design");
        match id.as_str() {
            "time" => {
                let input: Option<HtmlInputElement> = target.dyn_into().ok();
                self.send(Message::Slid(input.map_or(0.0, |input| input.value_as_number())));
            }
            field if is_bench_field(field) => {
                let (field, text) = chosen(&target);
                self.send(Message::BenchTyped { field, text });
            }
            "keep-name" => {
                let (_, name) = chosen(&target);
                self.send(Message::NameTyped(name));
            }
            "example" => self.choose_design(),
            // Before what the model says of them is shown again.
            id if id.starts_with("class-") => self.class_set(id),
            "colours" => {
                self.keep_colours();
                self.show();
            }
            _ if of_model || in_panel => {
                let (control, value) = chosen(&target);
                self.send(Message::Chosen { control, value, at });
            }
            _ => {
                self.show();
                return self.changed_beside(&target);
            }
        }
        true
    }

    /// Something was typed or chosen beside the design's fields; whether to draw.
    fn changed_beside(&mut self, target: &Element) -> bool {
        match target.id().as_str() {
            "open-file" => self.open_chosen(),
            "bench-file" => self.open_bench(),
            "sheet-paper" => self.fill_sheet(),
            _ if target.closest("#out").is_ok_and(|out| out.is_some()) => {
                self.show_out();
                self.elements.say("out-says", "");
                return false;
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
        self.close_menu(&target);
        // The tap that goes into wire or mandrel marks what is there: the next number takes its
        // place.
        if std::mem::take(&mut self.just_focused)
            && target.closest(".basics").is_ok_and(|basics| basics.is_some())
            && let Some(input) = target.dyn_ref::<HtmlInputElement>()
        {
            input.select();
        }
        self.menu_by_keys = false;
        if let Some(message) = self.pressed(&target) {
            let was_removed = matches!(message, Message::WishRemoved(_));
            self.send(message);
            if was_removed {
                // Its row is gone with the button.
                self.elements.focus("#optimise-add");
            }
            return true;
        }
        if let Some(key) = target.get_attribute("data-of") {
            let text = target.get_attribute("data-means").unwrap_or_default();
            let at = self.now();
            self.send(Message::Typed { key: key.clone(), text, at });
            // The button is gone with the fault.
            if let Some(input) = self.elements.input(&key) {
                let _ = input.focus();
            }
            return true;
        }
        if meanings::turn(&self.elements, &target) {
            return false;
        }
        match target.id().as_str() {
            "tightest" => self.go_to_tightest(),
            "play" => {
                let calm = self.calm();
                self.send(Message::Played { calm });
                self.set_slider();
            }
            "reset" => self.send(Message::CameraReset),
            "nearer" => self.gesture(Gesture::key("+")),
            "farther" => self.gesture(Gesture::key("-")),
            "message-away" => self.put_message_away(),
            "undo" => self.send(Message::Undo),
            "redo" => self.send(Message::Redo),
            // The page's script hears it.
            "renew-now" => return false,
            id if id.starts_with("tour-") => self.tour_pressed(id),
            id => {
                let of_tab = id.strip_prefix("tab-").and_then(|id| self.model.view_of_tab(id));
                let own = id.strip_prefix("view-");
                let own = VIEWS.iter().position(|view| own == Some(view.id));
                match own.or(of_tab) {
                    Some(view) => self.look_at(view),
                    None => return self.clicked_in_part(&target),
                }
            }
        }
        true
    }

    /// The menu closes when something else is pressed, or one of its buttons.
    fn close_menu(&self, target: &HtmlElement) {
        let inside = |css: &str| target.closest(css).is_ok_and(|found| found.is_some());
        if (!inside("#menu") || inside("#menu button"))
            && let Some(menu) = self.elements.element("menu")
        {
            let _ = menu.remove_attribute("open");
        }
    }

    /// The menu closes once something is chosen in it by hand. By keys a list goes through every
    /// entry on the way, so that it stays.
    fn close_menu_after(&self, target: &Element) {
        if target.closest("#menu").is_ok_and(|found| found.is_some())
            && let Some(menu) = self.elements.element("menu")
        {
            let _ = menu.remove_attribute("open");
            self.elements.focus("#menu-button");
        }
    }

    /// A key pressed: in the menu Escape closes it.
    fn key_in_menu(&mut self, event: &KeyboardEvent) {
        let target = event.target().and_then(|target| target.dyn_into::<Element>().ok());
        let inside = target.as_ref().and_then(|target| target.closest("#menu").ok()).flatten();
        self.menu_by_keys = inside.is_some();
        if let Some(menu) = inside.filter(|menu| menu.has_attribute("open"))
            && event.key() == "Escape"
        {
            let _ = menu.remove_attribute("open");
            self.elements.focus("#menu-button");
            event.prevent_default();
        }
    }

    /// What is meant by pressing an element, where the model decides it all.
    fn pressed(&self, target: &HtmlElement) -> Option<Message> {
        let at = self.now();
        let row = |name: &str| {
            let value = target.get_attribute(name)?;
            Some(value.parse::<usize>().unwrap_or(usize::MAX))
        };
        if let Some(index) = row("data-suggestion") {
            return Some(Message::Suggested { index, at });
        }
        if let Some(index) = row("data-trial") {
            return Some(Message::TrialRemoved { index, at });
        }
        if let Some(index) = row("data-answer") {
            return Some(Message::Found { index, at });
        }
        if let Some(index) = row("data-wish") {
            return Some(Message::WishRemoved(index));
        }
        if let Some(index) = row("data-point") {
            return Some(Message::PointChosen(index));
        }
        Some(match target.id().as_str() {
            "optimise-stop" => Message::SearchStopped,
            "add-trial" => Message::TrialAdded { at },
            "size-add" => Message::SizeAdded { at },
            "size-remove" => Message::SizeRemoved { at },
            "size-earlier" => Message::SizeMoved { earlier: true, at },
            "size-later" => Message::SizeMoved { earlier: false, at },
            _ => return None,
        })
    }

    /// Goes to another view.
    pub fn look_at(&mut self, view: usize) {
        self.send(Message::Viewed(view));
        self.set_slider();
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
        match target.id().as_str() {
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

    /// Ctrl or Cmd with Z or Y anywhere on the page; whether to draw.
    fn shortcut(&mut self, event: KeyboardEvent) -> bool {
        let of_strip = event.target().and_then(|target| target.dyn_into::<Element>().ok());
        if of_strip.is_some_and(|target| target.id() == "strip") {
            let up = match event.key().as_str() {
                "ArrowRight" | "ArrowUp" => true,
                "ArrowLeft" | "ArrowDown" => false,
                _ => return false,
            };
            // The slider's own step is none that can be bought.
            event.prevent_default();
            self.renderer.touched("strip");
            let at = self.now();
            self.send(Message::StripStepped { up, at });
            return true;
        }
        if event.key() == "Enter" && !event.is_composing() {
            return self.entered(&event);
        }
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() || event.default_prevented() {
            return false;
        }
        let back = match (event.key().to_lowercase().as_str(), event.shift_key()) {
            ("z", false) => true,
            ("z", true) | ("y", false) => false,
            _ => return false,
        };
        if self.leaves_to_field() {
            return false;
        }
        event.prevent_default();
        self.send(if back { Message::Undo } else { Message::Redo });
        true
    }

    /// Whether the keys belong to the text field in hand: one that holds no part of the design,
    /// or one whose text is not in the design because it cannot be worked.
    fn leaves_to_field(&self) -> bool {
        let Some(focus) = self.elements.document.active_element() else { return false };
        let input = focus.dyn_ref::<HtmlInputElement>();
        let is_text = input.is_some_and(|input| {
            !matches!(input.type_().as_str(), "range" | "checkbox" | "radio" | "file" | "button")
        });
        let is_text = is_text
            || focus.has_type::<HtmlTextAreaElement>()
            || focus.dyn_ref::<HtmlElement>().is_some_and(HtmlElement::is_content_editable);
        is_text && (!focus.has_attribute("data-field") || self.at_fault())
    }

    /// A key on the picture; whether to draw.
    fn key(&mut self, event: KeyboardEvent) -> bool {
        if event.ctrl_key() || event.meta_key() || event.alt_key() {
            return false;
        }
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
                let to = self.model.stepped(right, up, event.shift_key());
                return to.is_some_and(|to| self.move_point(to));
            }
            return false;
        }
        let key = event.key();
        if !self.model.knows_key(&key, (right, up) != (0.0, 0.0)) {
            return false;
        }
        let shift = event.shift_key();
        self.gesture(Gesture::Key { key, arrow: [right, up], shift });
        self.show();
        event.prevent_default();
        true
    }
}

/// What is chosen in a control: its name and what it holds; of radio buttons their common name.
fn chosen(target: &Element) -> (String, String) {
    if let Some(input) = target.dyn_ref::<HtmlInputElement>() {
        return match input.type_().as_str() {
            "checkbox" => (input.id(), input.checked().to_string()),
            "radio" => (input.name(), input.value()),
            _ => (input.id(), input.value()),
        };
    }
    let value = target.dyn_ref::<HtmlSelectElement>().map(HtmlSelectElement::value);
    (target.id(), value.unwrap_or_default())
}
