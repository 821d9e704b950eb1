//! The page: the model, and what only the browser can hold. Sends messages to the one and
//! performs what it asks.

use super::canvas::{Board, Painter};
use super::class::{self, Class};
use super::colours::System;
use super::elements::Elements;
use super::linking::{self, Linking};
use super::page_storage::{self, PageStorage};
use super::renderer::Renderer;
use super::worker::{self, Workers};
use super::{bench, events, meanings, notice};
use crate::app::tabs::{MAP, OPTIMISE};
use crate::app::views::{self, Picture, Shown};
use crate::app::{
    Analysis, Effect, Gesture, Message, Model, SeenPicture, examples, screen, update,
};
use crate::documents::design::Design;
use crate::documents::storage::{self, SharedEntry};
use crate::documents::units::LengthUnit;
use crate::render::{MetalLook, PictureView as Eye, Viewpoint};
use js_sys::Function;
use std::cell::RefCell;
use std::collections::{BTreeMap, VecDeque};
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{
    Element, FileReader, HtmlInputElement, ScrollIntoViewOptions, ScrollLogicalPosition,
    Window as Browser,
};

/// All the page knows.
pub struct Page {
    pub browser: Browser,
    /// What the system asks for: dark, calm.
    pub system: System,
    pub elements: Elements,
    pub board: Board,
    pub model: Model,
    pub renderer: Renderer,
    pub home: Viewpoint,
    /// Where each finger or the mouse is held down, CSS pixels.
    pub pointers: BTreeMap<i32, (f64, f64)>,
    /// Where a finger came down on the map away from its point, CSS pixels.
    pub tapped_at: Option<(f64, f64)>,
    pub painter: Painter,
    /// How the picture was last seen.
    pub seen: Option<Eye>,
    pub frame_asked: bool,
    /// Name of the file being opened.
    pub opening: String,
    pub reader: FileReader,
    /// Reads a bench from a file.
    pub bench_reader: FileReader,
    /// Do what takes long, off the page's thread.
    pub workers: Option<Workers>,
    /// Called when a pause in typing is over, with its serial.
    paused: Option<Closure<dyn FnMut(f64)>>,
    /// Whether the page is being printed.
    pub printing: bool,
    /// What was pressed last.
    pub in_hand: Option<Element>,
    /// The focus moved, and nothing was pressed since.
    pub just_focused: bool,
    /// Keys were used in the menu last.
    pub menu_by_keys: bool,
    /// What a class sees.
    pub class: Class,
    /// What the browser keeps.
    pub page_storage: PageStorage,
    /// The bench there, as this page knows it.
    pub bench_entry: SharedEntry,
    /// The way to the clipboard.
    pub linking: Option<Linking>,
}

/// The page as its listeners hold it.
pub type Shared = Rc<RefCell<Page>>;

/// Starts the page on the elements of `index.html`. `new_worker` gives a worker that has this very
/// module, for what takes long.
///
/// # Errors
/// In words, where the page lacks an element or the browser a canvas.
#[wasm_bindgen]
pub fn start(new_worker: Function) -> Result<(), JsError> {
    let missing = |what: &str| JsError::new(&format!("the page has no {what}"));
    let browser = web_sys::window().ok_or_else(|| missing("window"))?;
    let document = browser.document().ok_or_else(|| missing("document"))?;
    let elements = Elements { document };
    let board = elements.get("picture").and_then(Board::new);
    let left = page_storage::found(&browser);
    let in_inches = left.habits.in_inches;
    let unit = if in_inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let design = match left.design {
        Some(design) => Analysis::of(design, left.habits.size, unit),
        None => {
            let first = examples().next().flatten();
            Analysis::of(first.ok_or_else(|| missing("opening design"))?, 0, unit)
        }
    };
    let (bench, bench_entry, of_bench) = bench::kept_bench(&browser);
    let mut page = Page {
        board: board.ok_or_else(|| missing("canvas to draw on"))?,
        model: Model::new(design.map_err(|e| JsError::new(&e.to_string()))?, bench),
        renderer: Renderer::default(),
        home: Viewpoint::default(),
        pointers: BTreeMap::new(),
        tapped_at: None,
        painter: Painter::default(),
        seen: None,
        frame_asked: false,
        opening: String::new(),
        reader: FileReader::new().map_err(|_| missing("way to read files"))?,
        bench_reader: FileReader::new().map_err(|_| missing("way to read files"))?,
        workers: None,
        paused: None,
        printing: false,
        in_hand: None,
        menu_by_keys: false,
        just_focused: false,
        class: Class::new(&elements).ok_or_else(|| missing("canvases for a class"))?,
        page_storage: left.page_storage,
        bench_entry,
        linking: None,
        system: System::new(&browser),
        browser,
        elements,
    };
    let said = [left.words, of_bench].into_iter().flatten().collect::<Vec<_>>().join(" ");
    page.model.unsaved = said;
    page.model.set_examples(examples().flatten().collect());
    meanings::set_up(&page.elements);
    page.offer_tour();
    page.recall_colours();
    page.show();
    page.draw();
    let page = Rc::new(RefCell::new(page));
    events::listen(&page);
    notice::listen(&page);
    class::listen(&page);
    start_waiting(&page);
    worker::start(&page, new_worker);
    linking::start(&page);
    Ok(())
}

/// Pauses in typing are heard.
fn start_waiting(page: &Shared) {
    let shared = page.clone();
    let paused = Closure::<dyn FnMut(f64)>::new(move |serial: f64| {
        Page::heard(&shared, |_| Message::Paused { serial: serial as u32 });
    });
    if let Ok(mut page) = page.try_borrow_mut() {
        page.paused = Some(paused);
    }
}

impl Page {
    /// Milliseconds from any beginning.
    pub fn now(&self) -> f64 {
        self.browser.performance().map_or(f64::NAN, |clock| clock.now())
    }

    /// Something came from outside an event of the page's own: it is a message, and drawn.
    pub fn heard(shared: &Shared, message: impl FnOnce(&mut Page) -> Message) {
        let Ok(mut page) = shared.try_borrow_mut() else { return };
        let message = message(&mut page);
        page.send(message);
        drop(page);
        events::ask_frame(shared);
    }

    /// Tells the model what happened, performs what it asks, shows what it says.
    pub fn send(&mut self, message: Message) {
        self.pass(message);
        self.show();
    }

    /// The same where only the picture changes.
    pub fn pass(&mut self, message: Message) {
        let mut messages = VecDeque::from([message]);
        while let Some(message) = messages.pop_front() {
            for effect in update(&mut self.model, message) {
                messages.extend(self.perform(effect));
            }
        }
    }

    /// Does what the model asks; what comes of it at once.
    fn perform(&mut self, effect: Effect) -> Option<Message> {
        match effect {
            Effect::Ask { worker, serial, task } => {
                let asked = self.workers.as_mut().and_then(|all| all.ask(worker, serial, *task));
                asked.is_none().then_some(Message::WorkerFailed { worker })
            }
            Effect::Stop { worker } => {
                if let Some(workers) = &mut self.workers {
                    workers.stop(worker);
                }
                None
            }
            Effect::Wait { serial, milliseconds } => {
                let heard: &Function = self.paused.as_ref()?.as_ref().unchecked_ref();
                let waits = self.browser.set_timeout_with_callback_and_timeout_and_arguments_1(
                    heard,
                    i32::try_from(milliseconds).unwrap_or(0),
                    &JsValue::from_f64(f64::from(serial)),
                );
                waits.is_err().then_some(Message::Paused { serial })
            }
            Effect::SaveDesign(design) => Some(Message::Saved(self.save_page(&design))),
            Effect::SaveFormer(design) => {
                self.keep_former(&design);
                None
            }
            Effect::SaveBench(bench) => Some(Message::BenchSaved(self.save_bench_here(&bench))),
            Effect::SaveHabits(habits) => {
                // Whether anything can be kept is said where the design is.
                let _ = storage::save_habits(self.page_storage.lasting(), &habits);
                None
            }
        }
    }

    /// Shows what the model says.
    pub fn show(&mut self) {
        let said = screen(&self.model);
        let message = said.text("message").unwrap_or("").to_string();
        let before = self.elements.element("message").and_then(|e| e.text_content());
        let hand_at = self.hand_at();
        self.renderer.show(&said, &self.elements);
        if before.as_deref() != Some(&message) {
            self.place_message(hand_at);
        }
    }

    /// Takes another design, with what is said of it; whether it can be made.
    pub fn replace(&mut self, design: Design, size: usize, words: &str) -> bool {
        let (at, words) = (self.now(), words.to_string());
        self.send(Message::Replaced { design: Box::new(design), size, words, at });
        !self.model.notice.is_problem
    }

    /// Changes words in the design, on which no answer hangs; it can be undone like any change.
    pub fn annotate(&mut self, edit: impl FnOnce(&mut Design)) {
        let mut design = self.model.analysis.design.clone();
        edit(&mut design);
        let at = self.now();
        self.send(Message::Noted { design: Box::new(design), at });
    }

    /// Says something about the page as a whole; nothing, to take it back.
    pub fn tell(&mut self, words: &str, problem: bool) {
        self.send(Message::Told { words: words.into(), is_problem: problem });
    }

    /// Sets the slider where the join looked at is tightest.
    pub fn go_to_tightest(&mut self) {
        self.send(Message::Tightest);
        self.set_slider();
        let options = ScrollIntoViewOptions::new();
        options.set_block(ScrollLogicalPosition::Nearest);
        self.board.canvas.scroll_into_view_with_scroll_into_view_options(&options);
    }

    /// Something is done on the picture as it was seen last.
    pub fn gesture(&mut self, gesture: Gesture) {
        let seen = SeenPicture { home: self.home, window: self.board.window(), view: self.seen };
        self.pass(Message::Gestured(gesture, seen));
    }

    /// Whether the fields hold something that is not in the design.
    pub fn at_fault(&self) -> bool {
        self.model.is_at_fault()
    }

    /// Whether the picture is the map.
    pub fn sees_map(&self) -> bool {
        self.model.sees(MAP)
    }

    /// Whether the picture is the trade-off.
    pub fn sees_trade_off(&self) -> bool {
        self.model.sees(OPTIMISE)
    }

    /// What the picture shows.
    pub fn picture(&self) -> Option<Picture> {
        views::picture(&self.model, self.board.window())
    }

    pub fn set_slider(&self) {
        if let Some(slider) = self.elements.get::<HtmlInputElement>("time") {
            slider.set_value(&format!("{:.4}", self.model.time));
        }
    }

    /// What the wire on the picture looks like.
    pub fn metal_look(&self) -> MetalLook {
        MetalLook::of(&self.model.analysis.design.metal.id)
    }

    /// Draws the picture and writes the words to it.
    pub fn draw(&mut self) {
        if self.model.class.is_on {
            return self.draw_class();
        }
        let Some(shown) = self.picture() else { return };
        let theme = self.theme().in_metal(self.metal_look());
        let density = self.browser.device_pixel_ratio().clamp(1.0, 3.0);
        let words = match shown.shown {
            Shown::Flat(drawing, words) => {
                self.seen = None;
                self.board.lay(&drawing, 1.0, density, theme);
                words
            }
            Shown::Scene(scene) => {
                self.home = scene.home;
                let window = self.board.window();
                // Fitted as seen from home, so that turning does not change the size.
                let view = self.model.camera.view(self.home, scene.fit(self.home, window), window);
                self.seen = Some(view);
                self.board.clear(window, density);
                let unit = self.model.analysis.unit;
                self.painter.paint(&mut self.board, &scene, &view, unit, density, theme);
                let measures = scene.measures.iter().map(|m| (m.name, m.reading));
                let read =
                    |(name, mm): (&str, f64)| format!("{name} {}", self.model.analysis.length(mm));
                let mut measures: Vec<String> = measures.map(read).collect();
                let spots = scene.spots.iter().map(|s| (s.name, s.reading));
                measures.extend(spots.map(read));
                // What no measure tells, the verdict does.
                let told = self.model.analysis.report.joins.get(self.model.shown_join());
                let told = told
                    .filter(|_| measures.is_empty() && !self.at_fault())
                    .map_or("", |join| &join.message);
                let measures = measures.join(", ");
                format!("The wire in three dimensions. {} {measures}{told}", shown.caption)
            }
        };
        self.elements.mark("picture", "aria-label", words.trim());
        self.elements.mark("time", "aria-valuetext", &shown.step);
        self.elements.say("caption", &shown.caption);
        let play = match (self.model.playing, self.calm()) {
            (true, _) => "Pause",
            (false, true) => "Next step",
            (false, false) => "Play",
        };
        self.elements.say("play", play);
    }
}
