//! What stands before the class.

use super::super::page::Page;
use crate::answers::report::{ChainAnalysis, WholeAnswer, Word};
use crate::app::Analysis;
use crate::documents::design::Lesson;
use crate::render::{
    Camera, Chapter, Drawing, Framing, MetalLook, Pace, Scene, Taught, Viewpoint, short_verdict,
};
use web_sys::{HtmlInputElement, HtmlTextAreaElement};

/// Height of a window, CSS pixels, at which writing on a picture is as large as on the page; on
/// a higher one it grows.
const PAGE_HIGH: f64 = 330.0;

/// What is shown of one design.
struct Seen {
    scene: Scene,
    focus: Option<(crate::geometry::curve::Point, f64)>,
    caption: &'static str,
    measure: String,
    verdict: String,
    word: &'static str,
}

/// A size of a design as it is taught, with what is known of it by now.
pub fn taught<'a>(
    work: &'a Analysis,
    size: usize,
    hung: &'a Option<ChainAnalysis>,
) -> Option<Taught<'a>> {
    let found = hung.as_ref().and_then(|hung| hung.measures.as_ref());
    Some(Taught {
        joining: work.joining(size, 0)?,
        join: work.report.joins.get(size)?,
        chain: work.bodies().get(size).zip(found),
        pace: work.pace(size, 0).unwrap_or(Pace { tight: 1.0, overlap: None }),
        seam: work.design.metal.seam_share,
        unit: work.unit,
    })
}

fn seen(work: &Analysis, step: Lesson, done: f64) -> Option<Seen> {
    // Measuring a chain takes a while: only where it is shown.
    let hung = if step == Lesson::Seated { work.hung() } else { std::rc::Rc::new(None) };
    let taught = taught(work, work.size, &hung)?;
    let scene = taught.scene(step, done);
    // Of the whole design, like the verdict on the page.
    let whole = WholeAnswer::of(&work.report.joins, work.size)?;
    let join = work.report.joins.get(whole.join)?;
    let is_open = (0..work.report.joins.len()).any(|index| work.is_open(index));
    let verdict = if is_open && whole.verdict != Word::No {
        "Being checked…".into()
    } else if whole.join == work.size {
        taught.verdict()
    } else {
        format!("{}. {}", short_verdict(join, work.unit), join.name())
    };
    Some(Seen {
        focus: taught.focus(step, done, &scene),
        caption: taught.caption(step, done),
        measure: taught.measure(step),
        verdict,
        word: join.verdict.word(),
        scene,
    })
}

fn name(work: &Analysis) -> String {
    let design = &work.design;
    let size = design.sizes.get(work.size).map_or("", |size| size.name.as_str());
    match (design.name.as_str(), design.sizes.len()) {
        ("", _) => "This design".into(),
        (name, 1) => name.into(),
        (name, _) => format!("{name}, {size}"),
    }
}

impl Page {
    /// Draws what the class sees.
    pub fn draw_class(&mut self) {
        let (step, done) = self.model.class.step();
        let theme = self.theme();
        let density = self.browser.device_pixel_ratio().clamp(1.0, 3.0);
        let boards = &mut self.class.boards;
        let (time, playing) = (self.model.class.time, self.model.class.is_playing);
        let beside = &self.model.beside;
        self.elements.reveal("class-figure-beside", beside.is_some());
        self.elements.mark("class-pair", "data-pair", if beside.is_some() { "yes" } else { "no" });
        let works = [Some(&self.model.analysis), beside.as_ref()];
        let all: Vec<Option<Seen>> =
            works.iter().map(|work| work.and_then(|work| seen(work, step, done))).collect();
        // The words first: how many lines they take says how high the pictures are.
        for (i, (seen, work)) in all.iter().zip(works).enumerate() {
            let (Some(seen), Some(work)) = (seen, work) else { continue };
            let id = |part: &str| format!("class-{part}-{i}");
            let (name, told) = (name(work), format!("{}. {}.", seen.measure, seen.verdict));
            let words = format!("{name}: {} {told}", seen.caption);
            self.elements.mark(&id("picture"), "aria-label", &words);
            self.elements.say(&id("name"), &name);
            self.elements.say(&id("verdict"), &seen.verdict);
            self.elements.mark(&id("verdict"), "data-verdict", seen.word);
            self.elements.say(&id("measure"), &seen.measure);
        }
        let number = Lesson::ALL.iter().position(|known| *known == step).unwrap_or(0) + 1;
        let title = format!("{number} of {}: {}", Lesson::ALL.len(), step.name());
        self.elements.say("class-step", &title);
        // Where they are not at the same, what is common to both.
        let mut captions = all.iter().flatten().map(|seen| seen.caption);
        let caption = captions.next().unwrap_or_default();
        let same = captions.all(|other| other == caption);
        let caption = if same { caption } else { Chapter::Join.caption() };
        self.elements.say("class-caption", caption);
        for board in boards.iter_mut() {
            board.enlarged = (f64::from(board.canvas.client_height()) / PAGE_HIGH).clamp(1.0, 3.0);
        }
        // Both in one proportion, so that the eye can compare them.
        let fits = all.iter().zip(boards.iter()).map(|(seen, board)| {
            seen.as_ref().map(|seen| seen.scene.fit(seen.scene.home, board.window()))
        });
        let fits: Vec<Option<Framing>> = fits.collect();
        let scale = fits.iter().flatten().map(|fit| fit.scale).fold(f64::INFINITY, f64::min);
        let mut drawing = Drawing::default();
        for (i, (seen, fit)) in all.iter().zip(&fits).enumerate() {
            let (Some(seen), Some(fit), Some(work)) = (seen, fit, works[i]) else { continue };
            let mut fit = Framing { centre: fit.centre, scale };
            if let Some((place, nearer)) = seen.focus {
                let share = 1.0 - 1.0 / nearer;
                fit.centre += share * (place - fit.centre);
                fit.scale *= nearer;
            }
            let home: Viewpoint = seen.scene.home;
            let view = Camera::default().view(home, fit, boards[i].window());
            drawing.clear();
            seen.scene.draw_into(&view, work.unit, &mut drawing);
            let look = MetalLook::of(&work.design.metal.id);
            boards[i].lay(&drawing, view.scale, density, theme.in_metal(look));
        }
        self.elements.mark("class-time", "aria-valuetext", &title);
        if let Some(slider) = self.elements.get::<HtmlInputElement>("class-time") {
            slider.set_value(&format!("{time:.3}"));
        }
        let play = if playing { "Pause" } else { "Play" };
        self.elements.say("class-play", play);
        self.elements.reveal("class-play", playing || !self.calm());
        self.write_note(step);
    }

    /// The teacher's notes to the step: to be written, or to be read, or hidden.
    fn write_note(&self, step: Lesson) {
        let shown = self.model.controls.is_ticked("class-notes-shown");
        self.elements.reveal("class-note-part", shown);
        let notes = self.model.analysis.design.class.of(step);
        if let Some(area) = self.elements.get::<HtmlTextAreaElement>("class-note")
            && area.value() != notes
        {
            area.set_value(notes);
        }
    }
}
