//! The page's state: asks the core when something changed, and draws.

use super::canvas::Board;
use super::class::{self, Class};
use super::colours::System;
use super::elements::Elements;
use super::helper::Helper;
use super::keeping::{self, Keeping};
use super::linking::{self, Linking};
use super::views::{Shown, VIEWS, View};
use super::work::Work;
use super::{
    answer, bench, costs, documents, events, fields, helper, meanings, metal, planned, telling,
    views,
};
use crate::answers::build::BuildError;
use crate::documents::bench::Bench;
use crate::documents::design::Design;
use crate::documents::undo::UndoHistory;
use crate::documents::units::LengthUnit;
use crate::render::{Camera, Chapter, Drawing, PictureView as Eye, Viewpoint};
use js_sys::Function;
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{
    Element, FileReader, HtmlInputElement, HtmlSelectElement, ScrollIntoViewOptions,
    ScrollLogicalPosition, Window as Browser,
};

/// Seconds in which the link is made, and in which it is joined.
const MAKING_SECONDS: f64 = 9.0;
const JOINING_SECONDS: f64 = 12.0;

/// All the page knows.
pub struct Page {
    pub browser: Browser,
    /// What the system asks for: dark, calm.
    pub system: System,
    pub elements: Elements,
    pub board: Board,
    pub work: Work,
    /// Which of [`VIEWS`] is seen.
    pub view: usize,
    /// Where the slider stands, 0 to 1.
    pub time: f64,
    pub playing: bool,
    last_frame: f64,
    pub camera: Camera,
    /// As it was when the first finger came down.
    pub camera_held: Camera,
    pub home: Viewpoint,
    /// Where each finger or the mouse is held down, CSS pixels.
    pub pointers: BTreeMap<i32, (f64, f64)>,
    drawing: Drawing,
    /// How the picture was last seen.
    pub seen: Option<Eye>,
    pub frame_asked: bool,
    /// The design on the page last that is no example.
    pub opened: Option<Design>,
    /// Name of the file being opened.
    pub opening: String,
    pub reader: FileReader,
    /// The maker's bench, and what reads it from a file.
    pub bench: Bench,
    pub bench_reader: FileReader,
    /// Does what takes long, off the page's thread.
    pub helper: Option<Helper>,
    /// Whether the map's point is held and moved about.
    pub holds_point: bool,
    /// Whether the page is being printed.
    pub printing: bool,
    /// What was pressed last.
    pub in_hand: Option<Element>,
    /// The most room that a message took at the window's lower edge, CSS pixels.
    pub room_kept: Cell<f64>,
    /// Where the tour is, while it is taken.
    pub tour: Option<usize>,
    /// What a class sees.
    pub class: Class,
    /// What was done to the design.
    pub history: UndoHistory,
    /// What the browser keeps.
    pub keeping: Keeping,
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
    let left = keeping::found(&browser);
    let in_inches = left.habits.in_inches;
    let unit = if in_inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let design = match left.design {
        Some(design) => Work::of(design, left.habits.size, unit),
        None => documents::first().and_then(|design| Work::of(design, 0, unit)),
    };
    let (bench, of_bench) = costs::kept_bench(&browser);
    let mut page = Page {
        board: board.ok_or_else(|| missing("canvas to draw on"))?,
        work: design.map_err(|e| JsError::new(&e.to_string()))?,
        view: 0,
        time: 0.65,
        playing: false,
        last_frame: 0.0,
        camera: Camera::default(),
        camera_held: Camera::default(),
        home: Viewpoint::default(),
        pointers: BTreeMap::new(),
        drawing: Drawing::default(),
        seen: None,
        frame_asked: false,
        opened: None,
        opening: String::new(),
        reader: FileReader::new().map_err(|_| missing("way to read files"))?,
        bench,
        bench_reader: FileReader::new().map_err(|_| missing("way to read files"))?,
        helper: None,
        holds_point: false,
        printing: false,
        in_hand: None,
        room_kept: Cell::new(0.0),
        tour: None,
        class: Class::new(&elements).ok_or_else(|| missing("canvases for a class"))?,
        history: UndoHistory::default(),
        keeping: left.keeping,
        linking: None,
        system: System::new(&browser),
        browser,
        elements,
    };
    let said = [left.words, of_bench].into_iter().flatten().collect::<Vec<_>>().join(" ");
    page.elements.say("unkept", &said);
    documents::list_examples(&page.elements);
    page.list_views();
    meanings::set_up(&page.elements);
    page.offer_tour();
    page.recall_colours();
    page.show_all();
    page.show_undo();
    page.name_design();
    if let Some(list) = page.elements.get::<HtmlSelectElement>("unit") {
        list.set_value(if in_inches { "inch" } else { "mm" });
    }
    page.draw();
    let page = Rc::new(RefCell::new(page));
    events::listen(&page);
    telling::listen(&page);
    class::listen(&page);
    helper::start(&page, new_worker);
    linking::start(&page);
    Ok(())
}

impl Page {
    pub fn current(&self) -> &'static View {
        &VIEWS[self.view]
    }

    fn list_views(&self) {
        let Some(list) = self.elements.element("views") else { return };
        for view in &VIEWS {
            if let Some(button) = self.elements.add(&list, "button", view.name) {
                button.set_id(&format!("view-{}", view.id));
                let _ = button.set_attribute("type", "button");
                let _ = button.set_attribute("aria-controls", &format!("panel-{}", view.id));
            }
        }
    }

    /// Takes a new answer, and writes everything anew.
    pub fn take(&mut self, work: Work) {
        self.put(work);
        self.show_all();
    }

    /// Puts a new answer in place of the old, so that it can be undone. Every change of the
    /// design comes through here.
    pub fn put(&mut self, work: Work) {
        self.note(&work);
        self.seat(work);
    }

    /// As [`Page::put`], without a step to undo; a map that still serves is kept.
    pub fn seat(&mut self, mut work: Work) {
        work.charted = self.work.charted.take();
        work.tuning = std::mem::take(&mut self.work.tuning);
        work.unprovable = self.helper.as_ref().is_some_and(|helper| helper.broken);
        self.work = work;
        self.ask_anew();
        self.show_undo();
        self.name_design();
        self.autosave();
    }

    /// Writes everything but the picture.
    pub fn show_all(&self) {
        bench::fill(&self.work, &self.elements);
        self.fill_bench();
        metal::fill(&self.work, &self.elements);
        planned::fill(&self.work, &self.elements);
        bench::content(&self.elements);
        self.show_answer();
    }

    /// Writes the verdict and the panel.
    pub fn show_answer(&self) {
        answer::show(&self.work, &self.elements);
        self.show_panel();
    }

    /// Writes the panel of the view seen, and puts the others away.
    pub fn show_panel(&self) {
        for (i, view) in VIEWS.iter().enumerate() {
            let seen = i == self.view;
            self.elements.reveal(&format!("panel-{}", view.id), seen);
            let pressed = if seen { "true" } else { "false" };
            self.elements.mark(&format!("view-{}", view.id), "aria-pressed", pressed);
        }
        self.elements.reveal("player", self.current().span.is_some());
        let (map, tune) = (self.sees_map(), self.sees_tune());
        let flat = map || tune || self.sees_plan();
        self.elements.reveal("eye", !flat);
        self.elements.reveal("hint-turn", !flat);
        self.elements.reveal("hint-map", map);
        self.elements.reveal("hint-tune", tune);
        self.elements.mark("picture", "data-flat", if flat { "true" } else { "false" });
        (self.current().show)(&self.work, &self.elements);
    }

    /// Goes to another view; the slider goes with it where it stands outside.
    pub fn choose_view(&mut self, view: usize) {
        self.view = view;
        if let Some((start, end)) = self.current().span
            // Where one view's part ends, the next one's has not begun.
            && (self.time > end || (start > 0.0 && self.time <= start))
        {
            self.time = end;
            self.playing = false;
            self.set_slider();
        }
        self.ask_on();
        self.show_panel();
    }

    /// Takes a cure of the join looked at.
    pub fn take_cure(&mut self, suggestion: usize) {
        let index = self.work.shown_join(&self.elements);
        let Work { design, size, unit, report, .. } = &self.work;
        let Some(suggestion) =
            report.joins.get(index).and_then(|join| join.suggestions.get(suggestion))
        else {
            return;
        };
        let taken = suggestion.taken(design, index, *unit).and_then(|d| Work::of(d, *size, *unit));
        let words = format!("Changed: {}", suggestion.message);
        self.take_told(taken, &words);
    }

    /// Takes a changed design, and says so; or why it cannot be worked.
    pub fn take_told(&mut self, work: Result<Work, BuildError>, words: &str) {
        match work {
            Ok(work) => {
                self.take(work);
                self.tell(words, false);
            }
            Err(error) => self.tell(&error.to_string(), true),
        }
    }

    /// Sets the slider where the join looked at is tightest.
    pub fn go_to_tightest(&mut self) {
        if let Some(time) = self.tightest_time() {
            self.time = time;
            self.playing = false;
            self.set_slider();
            let options = ScrollIntoViewOptions::new();
            options.set_block(ScrollLogicalPosition::Nearest);
            self.board.canvas.scroll_into_view_with_scroll_into_view_options(&options);
        }
    }

    /// Takes what was typed and chosen; keeps the last good answer where it cannot be worked.
    pub fn read_fields(&mut self) {
        let kind = self.elements.value("wire-kind");
        let Work { design, size, unit, .. } = &self.work;
        let typed = bench::typed(&self.elements);
        let typed = fields::with_typed(design, *size, &kind, *unit, &typed);
        let typed = typed.and_then(|design| metal::with_chosen(&design, &self.elements));
        match typed.map(|design| planned::with_chosen(&design, &self.elements)) {
            Ok(design) => match Work::of(design, *size, *unit) {
                Ok(work) => {
                    self.put(work);
                    bench::content(&self.elements);
                    self.show_answer();
                }
                Err(error) => bench::refuse(&self.elements, &error, &self.work),
            },
            Err((field, words)) => bench::unreadable(&self.elements, &field, &words),
        }
    }

    /// Whether the fields hold something that cannot be worked.
    pub fn at_fault(&self) -> bool {
        let root = self.elements.document.document_element();
        root.and_then(|root| root.get_attribute("data-design")).as_deref() == Some("bad")
    }

    /// Plays on to the present frame, at `now` milliseconds.
    pub fn advance(&mut self, now: f64) {
        if !self.playing {
            return;
        }
        if self.last_frame > 0.0 {
            let made = Chapter::Fold.end();
            let seconds = if self.time < made {
                MAKING_SECONDS / made
            } else {
                JOINING_SECONDS / (1.0 - made)
            };
            self.time += (now - self.last_frame).clamp(0.0, 100.0) / (1000.0 * seconds);
        }
        self.last_frame = now;
        if self.time >= 1.0 {
            (self.time, self.playing) = (1.0, false);
        }
        self.set_slider();
    }

    /// Starts and stops the demonstration.
    ///
    /// Where calm is asked for it goes on to the next step instead.
    pub fn play(&mut self) {
        if self.calm() {
            return self.step_on();
        }
        self.playing = !self.playing;
        self.last_frame = 0.0;
        if self.playing && self.time >= 1.0 {
            // From where the view begins.
            self.time = self.current().span.map_or(0.0, |(start, _)| start);
        }
    }

    /// Goes to the end of the next step of the view, or from its end to its start.
    fn step_on(&mut self) {
        let (start, end) = self.current().span.unwrap_or((0.0, 1.0));
        let tightest = self.tightest_time();
        let stops = [
            Some(Chapter::Stretch.end()),
            Some(Chapter::Pinch.end()),
            Some(Chapter::Fold.end()),
            tightest,
            Some(1.0),
        ];
        let on = |stop: &f64| *stop > self.time + 1e-3 && *stop <= end;
        let next = stops.into_iter().flatten().filter(on).fold(f64::INFINITY, f64::min);
        self.time = if next.is_finite() { next } else { start };
        self.playing = false;
        self.set_slider();
    }

    /// Where on the slider the join looked at is tightest.
    fn tightest_time(&self) -> Option<f64> {
        let index = self.work.shown_join(&self.elements);
        let share = self.work.joining(index, views::way_chosen(&self.elements))?.tightest()?;
        let start = Chapter::Fold.end();
        // The chapter's first moment belongs to the one before.
        Some((start + share * (1.0 - start)).max(start + 1e-3))
    }

    fn set_slider(&self) {
        if let Some(slider) = self.elements.get::<HtmlInputElement>("time") {
            slider.set_value(&format!("{:.4}", self.time));
        }
    }

    /// Draws the picture and writes the words to it.
    pub fn draw(&mut self) {
        if self.class.on {
            return self.draw_class();
        }
        let shown = (self.current().picture)(&self.work, self.time, &self.elements);
        let Some(shown) = shown else { return };
        let theme = self.theme();
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
                let view = self.camera.view(self.home, scene.fit(self.home, window), window);
                self.seen = Some(view);
                self.drawing.clear();
                scene.draw_into(&view, self.work.unit, &mut self.drawing);
                self.board.lay(&self.drawing, view.scale, density, theme);
                let measures = scene.measures.iter().map(|m| (m.name, m.reading));
                let read = |(name, mm): (&str, f64)| format!("{name} {}", self.work.length(mm));
                let mut measures: Vec<String> = measures.map(read).collect();
                let spots = scene.spots.iter().map(|s| (s.name, s.reading));
                measures.extend(spots.map(read));
                // What no measure tells, the verdict does.
                let told = self.work.report.joins.get(self.work.shown_join(&self.elements));
                let told = told.filter(|_| measures.is_empty()).map_or("", |join| &join.message);
                let measures = measures.join(", ");
                format!("The wire in three dimensions. {} {measures}{told}", shown.caption)
            }
        };
        self.elements.mark("picture", "aria-label", words.trim());
        self.elements.mark("time", "aria-valuetext", &shown.step);
        self.elements.say("caption", &shown.caption);
        let play = match (self.playing, self.calm()) {
            (true, _) => "Pause",
            (false, true) => "Next step",
            (false, false) => "Play",
        };
        self.elements.say("play", play);
    }
}
