//! The page at work: what was typed, what is shown, what the pointer does.

use super::canvas::Board;
use super::fields::{self, Typed};
use crate::design::Design;
use crate::form::Forming;
use crate::picture::{Camera, Chapter, Drawing, Theme, Viewpoint, length_text, moment};
use crate::report::Report;
use crate::units::LengthUnit;
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{
    Document, Element, Event, HtmlElement, HtmlInputElement, HtmlSelectElement, KeyboardEvent,
    PointerEvent, WheelEvent, Window as Browser,
};

/// The examples of `www/examples`, the opening design first.
const EXAMPLES: [&str; 4] = [
    include_str!("../../www/examples/evening-class-bracelet.json"),
    include_str!("../../www/examples/copper-practice.json"),
    include_str!("../../www/examples/swelling-necklace.json"),
    include_str!("../../www/examples/too-thick.json"),
];

/// Seconds the whole demonstration takes.
const PLAYING_SECONDS: f64 = 14.0;

struct Page {
    browser: Browser,
    document: Document,
    board: Board,
    design: Design,
    size: usize,
    unit: LengthUnit,
    formings: Vec<Forming>,
    report: Option<Report>,
    time: f64,
    playing: bool,
    last_frame: f64,
    camera: Camera,
    home: Viewpoint,
    pointers: BTreeMap<i32, (f64, f64)>,
    drawing: Drawing,
    frame_asked: bool,
}

type Shared = Rc<RefCell<Page>>;

/// Starts the page on the elements of `index.html`.
///
/// # Errors
/// In words, where the page lacks an element or the browser a canvas.
#[wasm_bindgen]
pub fn start() -> Result<(), JsError> {
    let missing = |what: &str| JsError::new(&format!("the page has no {what}"));
    let browser = web_sys::window().ok_or_else(|| missing("window"))?;
    let document = browser.document().ok_or_else(|| missing("document"))?;
    let canvas = document.get_element_by_id("picture").and_then(|e| e.dyn_into().ok());
    let board = canvas.and_then(Board::new).ok_or_else(|| missing("canvas to draw on"))?;
    let design = Design::parse(EXAMPLES[0]).map_err(|e| JsError::new(&e.to_string()))?;
    let page = Page {
        browser,
        document,
        board,
        design,
        size: 0,
        unit: LengthUnit::Mm,
        formings: Vec::new(),
        report: None,
        time: 0.65,
        playing: false,
        last_frame: 0.0,
        camera: Camera::default(),
        home: Viewpoint::default(),
        pointers: BTreeMap::new(),
        drawing: Drawing::default(),
        frame_asked: false,
    };
    let page = Rc::new(RefCell::new(page));
    {
        let mut page = page.borrow_mut();
        page.list_examples();
        page.fill_fields();
        page.work_out();
        page.draw();
    }
    listen(&page)
}

fn listen(page: &Shared) -> Result<(), JsError> {
    let (browser, canvas) = {
        let page = page.borrow();
        (page.browser.clone(), page.board.canvas.clone())
    };
    let document = page.borrow().document.clone();
    on(page, &document, "input", |page, event: Event| page.changed(&event));
    on(page, &document, "click", |page, event: Event| page.clicked(&event));
    on(page, &browser, "resize", |_, _: Event| true);
    on(page, &canvas, "pointerdown", |page, event: PointerEvent| {
        let _ = page.board.canvas.set_pointer_capture(event.pointer_id());
        let place = (f64::from(event.client_x()), f64::from(event.client_y()));
        page.pointers.insert(event.pointer_id(), place);
        false
    });
    for name in ["pointerup", "pointercancel"] {
        on(page, &canvas, name, |page, event: PointerEvent| {
            page.pointers.remove(&event.pointer_id());
            false
        });
    }
    on(page, &canvas, "pointermove", Page::dragged);
    on(page, &canvas, "wheel", |page, event: WheelEvent| {
        event.prevent_default();
        let window = page.board.window();
        let right = f64::from(event.offset_x()) - 0.5 * window.width;
        let up = 0.5 * window.height - f64::from(event.offset_y());
        page.camera.zoom_at((-0.0015 * event.delta_y()).exp(), right, up);
        true
    });
    on(page, &canvas, "keydown", Page::key);
    if let Ok(Some(dark)) = browser.match_media("(prefers-color-scheme: dark)") {
        on(page, &dark, "change", |_, _: Event| true);
    }
    Ok(())
}

/// Calls `act` on every such event, and draws in the next frame when it says so.
fn on<E: JsCast + 'static>(
    page: &Shared,
    target: &web_sys::EventTarget,
    name: &str,
    act: impl Fn(&mut Page, E) -> bool + 'static,
) {
    let shared = page.clone();
    let heard = Closure::<dyn FnMut(Event)>::new(move |event: Event| {
        let Ok(event) = event.dyn_into::<E>() else { return };
        let draw = shared.try_borrow_mut().is_ok_and(|mut page| act(&mut page, event));
        if draw {
            ask_frame(&shared);
        }
    });
    let _ = target.add_event_listener_with_callback(name, heard.as_ref().unchecked_ref());
    // The page listens for as long as it lives.
    heard.forget();
}

fn ask_frame(page: &Shared) {
    let Ok(mut held) = page.try_borrow_mut() else { return };
    if held.frame_asked {
        return;
    }
    held.frame_asked = true;
    let browser = held.browser.clone();
    drop(held);
    let shared = page.clone();
    let frame = Closure::once_into_js(move |now: f64| {
        let again = shared.try_borrow_mut().is_ok_and(|mut page| {
            page.frame_asked = false;
            page.advance(now);
            page.draw();
            page.playing
        });
        if again {
            ask_frame(&shared);
        }
    });
    let _ = browser.request_animation_frame(frame.unchecked_ref());
}

impl Page {
    fn element(&self, id: &str) -> Option<Element> {
        self.document.get_element_by_id(id)
    }

    fn say(&self, id: &str, words: &str) {
        if let Some(element) = self.element(id)
            && element.text_content().as_deref() != Some(words)
        {
            element.set_text_content(Some(words));
        }
    }

    fn list_examples(&self) {
        let Some(list) = self.element("example") else { return };
        for (i, text) in EXAMPLES.iter().enumerate() {
            let name = Design::parse(text).map(|d| d.name).unwrap_or_default();
            let _ = self.option(&list, &i.to_string(), &name);
        }
    }

    fn option(&self, list: &Element, value: &str, words: &str) -> Option<()> {
        let option = self.document.create_element("option").ok()?;
        option.set_attribute("value", value).ok()?;
        option.set_text_content(Some(words));
        list.append_child(&option).ok()?;
        Some(())
    }

    fn inputs(&self) -> Vec<HtmlInputElement> {
        let Ok(found) = self.document.query_selector_all("input[data-field]") else {
            return Vec::new();
        };
        (0..found.length()).filter_map(|i| found.get(i)?.dyn_into().ok()).collect()
    }

    fn select(&self, id: &str) -> Option<HtmlSelectElement> {
        self.element(id)?.dyn_into().ok()
    }

    /// Writes the design into the fields.
    fn fill_fields(&self) {
        let shown = fields::shown(&self.design, self.size, self.unit);
        for input in self.inputs() {
            let name = input.get_attribute("data-field").unwrap_or_default();
            if let Some((_, text)) = shown.iter().find(|(field, _)| *field == name) {
                input.set_value(text);
            }
        }
        if let Some(kind) = self.select("wire-kind") {
            kind.set_value(fields::wire_kind(&self.design, self.size));
        }
        if let Some(list) = self.select("size") {
            list.set_text_content(Some(""));
            for (i, size) in self.design.sizes.iter().enumerate() {
                let name = if size.name.is_empty() { "one size" } else { &size.name };
                let _ = self.option(&list, &i.to_string(), name);
            }
            list.set_value(&self.size.to_string());
        }
        self.say("notes", &self.design.notes);
    }

    /// Takes what was typed; keeps the last good picture where it cannot be worked.
    fn read_fields(&mut self) {
        let typed: Vec<Typed> = self
            .inputs()
            .iter()
            .map(|input| Typed {
                name: input.get_attribute("data-field").unwrap_or_default(),
                text: input.value(),
            })
            .collect();
        let kind = self.select("wire-kind").map(|s| s.value()).unwrap_or_default();
        match fields::with_typed(&self.design, self.size, &kind, self.unit, &typed) {
            Ok(design) => {
                let before = std::mem::replace(&mut self.design, design);
                if !self.work_out() {
                    // The fields keep what was typed; the design stays one that can be worked.
                    self.design = before;
                }
            }
            Err((field, words)) => self.complain(&field, &words),
        }
    }

    /// Asks the core; whether it had an answer.
    fn work_out(&mut self) -> bool {
        match self.design.formings() {
            Ok(formings) => {
                self.report = Some(Report::of_formed(&self.design, &formings));
                self.formings = formings;
                self.complain("", "");
                self.show_report();
                true
            }
            Err(error) => {
                self.complain(&error.field(), &error.to_string());
                false
            }
        }
    }

    /// Marks the field at fault and says what is wrong; nothing for an empty text.
    fn complain(&self, field: &str, words: &str) {
        for input in self.inputs() {
            let name = input.get_attribute("data-field").unwrap_or_default();
            let bad = !words.is_empty() && field.split(['.', ' ']).any(|part| part == name);
            let _ = input.set_attribute("aria-invalid", if bad { "true" } else { "false" });
        }
        self.say("problem", words);
        if let Some(root) = self.document.document_element() {
            let _ =
                root.set_attribute("data-design", if words.is_empty() { "good" } else { "bad" });
        }
    }

    fn show_report(&self) {
        let Some(report) = &self.report else { return };
        let (Some(size), Some(join)) = (report.sizes.get(self.size), report.joins.get(self.size))
        else {
            return;
        };
        self.say("verdict", &join.says);
        if let Some(verdict) = self.element("verdict") {
            let word = serde_json::to_value(join.verdict).unwrap_or_default();
            let _ = verdict.set_attribute("data-verdict", word.as_str().unwrap_or_default());
        }
        let reasons: Vec<String> = join.reasons.iter().map(|r| r.says.clone()).collect();
        self.list("reasons", "li", &reasons);
        let mm = |value: f64| length_text(value, self.unit);
        for (name, text) in [
            ("ratio", format!("{:.2}", size.ratio)),
            ("centreline", mm(size.centreline_mm)),
            ("ring", mm(size.ring_inside_mm)),
            ("oval-length", mm(size.oval_inside_length_mm)),
            ("oval-width", mm(size.oval_inside_width_mm)),
            ("bore", mm(size.bore_mm)),
            ("waist", mm(size.waist_gap_mm)),
            ("eight-length", mm(size.eight_length_mm)),
            ("height", mm(size.fold_height_mm)),
            ("leg-gap", mm(size.leg_gap_mm)),
            ("tip-gap", mm(size.tip_gap_mm)),
            ("fold", format!("{:.0}°", size.fold_deg)),
            ("clearance", mm(join.least_clearance_mm)),
        ] {
            self.say(&format!("figure-{name}"), &text);
        }
    }

    fn list(&self, id: &str, tag: &str, lines: &[String]) {
        let Some(list) = self.element(id) else { return };
        list.set_text_content(Some(""));
        for line in lines {
            if let Ok(item) = self.document.create_element(tag) {
                item.set_text_content(Some(line));
                let _ = list.append_child(&item);
            }
        }
    }

    fn changed(&mut self, event: &Event) -> bool {
        let Some(target) = event.target().and_then(|t| t.dyn_into::<Element>().ok()) else {
            return false;
        };
        let value = |id: &str| self.select(id).map(|s| s.value()).unwrap_or_default();
        match target.id().as_str() {
            "time" => {
                let input: Option<HtmlInputElement> = target.dyn_into().ok();
                self.time = input.map_or(0.0, |i| i.value_as_number()).clamp(0.0, 1.0);
                self.playing = false;
            }
            "example" => {
                let text = value("example").parse().ok().and_then(|i: usize| EXAMPLES.get(i));
                if let Some(Ok(design)) = text.map(|t| Design::parse(t)) {
                    (self.design, self.size) = (design, 0);
                    self.fill_fields();
                    self.work_out();
                }
            }
            "size" => {
                let size = value("size").parse().unwrap_or(0);
                if size < self.design.sizes.len() {
                    self.size = size;
                    self.fill_fields();
                    self.work_out();
                }
            }
            "unit" => {
                let inch = value("unit") == "inch";
                self.unit = if inch { LengthUnit::Inch } else { LengthUnit::Mm };
                self.fill_fields();
                self.show_report();
            }
            "wire-kind" => {
                let inputs = self.inputs();
                let wire = inputs
                    .iter()
                    .find(|i| i.get_attribute("data-field").as_deref() == Some("wire"));
                let nearest =
                    fields::in_kind(&self.design, self.size, &value("wire-kind"), self.unit);
                if let (Some(wire), Some(text)) = (wire, nearest) {
                    wire.set_value(&text);
                }
                self.read_fields();
            }
            _ if target.has_attribute("data-field") => self.read_fields(),
            _ => return false,
        }
        true
    }

    fn clicked(&mut self, event: &Event) -> bool {
        let target = event.target().and_then(|t| t.dyn_into::<HtmlElement>().ok());
        match target.map(|t| t.id()).as_deref() {
            Some("play") => {
                self.playing = !self.playing;
                self.last_frame = 0.0;
                if self.playing && self.time >= 1.0 {
                    self.time = 0.0;
                }
                true
            }
            Some("reset") => {
                self.camera = Camera::default();
                true
            }
            _ => false,
        }
    }

    fn dragged(&mut self, event: PointerEvent) -> bool {
        let to = (f64::from(event.client_x()), f64::from(event.client_y()));
        let Some(from) = self.pointers.insert(event.pointer_id(), to) else {
            self.pointers.remove(&event.pointer_id());
            return false;
        };
        let (right, down) = (to.0 - from.0, to.1 - from.1);
        let other = self.pointers.iter().find(|(id, _)| **id != event.pointer_id());
        match other.map(|(_, place)| *place) {
            Some(other) => {
                let apart = |p: (f64, f64)| (p.0 - other.0).hypot(p.1 - other.1).max(1.0);
                self.camera.zoom_at(apart(to) / apart(from), 0.0, 0.0);
                self.camera.shift(0.5 * right, -0.5 * down);
            }
            None => self.camera.drag(self.home, right, down, self.board.window()),
        }
        true
    }

    fn key(&mut self, event: KeyboardEvent) -> bool {
        const TURN: f64 = 0.1;
        match event.key().as_str() {
            "ArrowLeft" => self.camera.turn(self.home, TURN, 0.0),
            "ArrowRight" => self.camera.turn(self.home, -TURN, 0.0),
            "ArrowUp" => self.camera.turn(self.home, 0.0, -TURN),
            "ArrowDown" => self.camera.turn(self.home, 0.0, TURN),
            "+" | "=" => self.camera.zoom_at(1.15, 0.0, 0.0),
            "-" => self.camera.zoom_at(1.0 / 1.15, 0.0, 0.0),
            "0" => self.camera = Camera::default(),
            _ => return false,
        }
        event.prevent_default();
        true
    }

    fn advance(&mut self, now: f64) {
        if !self.playing {
            return;
        }
        if self.last_frame > 0.0 {
            self.time += (now - self.last_frame).clamp(0.0, 100.0) / (1000.0 * PLAYING_SECONDS);
        }
        self.last_frame = now;
        if self.time >= 1.0 {
            (self.time, self.playing) = (1.0, false);
        }
    }

    fn draw(&mut self) {
        let Some(forming) = self.formings.get(self.size) else { return };
        let scene = moment(forming, self.time);
        self.home = scene.home;
        let window = self.board.window();
        let fit = scene.fit(self.camera.viewpoint(self.home), window);
        let view = self.camera.view(self.home, fit, window);
        self.drawing.clear();
        scene.draw_into(&view, self.unit, &mut self.drawing);
        let dark = self.browser.match_media("(prefers-color-scheme: dark)").ok().flatten();
        let theme = if dark.is_some_and(|d| d.matches()) { Theme::DARK } else { Theme::LIGHT };
        let density = self.browser.device_pixel_ratio().clamp(1.0, 3.0);
        self.board.lay(&self.drawing, view.scale, density, &theme);
        let (chapter, _) = Chapter::at(self.time);
        self.say("caption", chapter.caption());
        self.say("play", if self.playing { "Pause" } else { "Play" });
        let measures: Vec<String> = scene
            .measures
            .iter()
            .map(|m| format!("{} {}", m.name, length_text(m.reading, self.unit)))
            .collect();
        let words =
            format!("The wire in three dimensions. {} {}", chapter.caption(), measures.join(", "));
        let _ = self.board.canvas.set_attribute("aria-label", words.trim());
        let slider: Option<HtmlInputElement> = self.element("time").and_then(|e| e.dyn_into().ok());
        if let Some(slider) = slider
            && self.playing
        {
            slider.set_value(&format!("{:.4}", self.time));
        }
    }
}
