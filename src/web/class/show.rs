//! What stands before the class.

use super::super::page::Page;
use crate::answers::report::{ChainAnalysis, DesignVerdict, WholeAnswer};
use crate::app::Analysis;
use crate::documents::design::Lesson;
use crate::geometry::curve::Point;
use crate::render::{Camera, Chapter, Framing, MetalLook, Scene, Taught, Viewpoint, short_verdict};
use web_sys::{HtmlInputElement, HtmlTextAreaElement};

/// Height of a window, CSS pixels, at which writing on a picture is as large as on the page; on
/// a higher one it grows.
const PAGE_HIGH: f64 = 330.0;

/// What is drawn of one design, and from where.
struct Pictured {
    scene: Scene,
    viewpoint: Viewpoint,
    framing: Framing,
    /// What is looked at from nearer, and how much nearer.
    focus: Option<(Point, f64)>,
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
        pace: work.pace(size, 0).unwrap_or_default(),
        seam: work.design.metal.seam_share,
        unit: work.unit,
    })
}

/// The verdict on the whole design, like that on the page, and its word for the stylesheet.
fn verdict(work: &Analysis, taught: &Taught) -> Option<(String, &'static str)> {
    let whole = WholeAnswer::of(&work.report.joins, work.size)?;
    let join = work.report.joins.get(whole.join)?;
    let is_open = (0..work.report.joins.len()).any(|index| work.is_open(index));
    let words = if is_open && whole.verdict != DesignVerdict::No {
        "Being checked…".into()
    } else if whole.join == work.size {
        taught.verdict()
    } else {
        format!("{}. {}", short_verdict(join, work.unit), join.name())
    };
    Some((words, join.verdict.word()))
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
        let (time, playing) = (self.model.class.time, self.model.class.is_playing());
        let beside = &self.model.beside;
        self.elements.reveal("class-figure-beside", beside.is_some());
        self.elements.mark("class-pair", "data-pair", if beside.is_some() { "yes" } else { "no" });
        let works = [Some(&self.model.analysis), beside.as_ref()];
        // Measuring a chain takes a while: only where it is shown, or the camera comes from there.
        let hung = works.map(|work| match work {
            Some(work) if step >= Lesson::Chain => work.hung(),
            _ => std::rc::Rc::new(None),
        });
        let all: Vec<Option<(&Analysis, Taught)>> = works
            .iter()
            .zip(&hung)
            .map(|(work, hung)| Some(((*work)?, taught((*work)?, (*work)?.size, hung)?)))
            .collect();
        // The words first: how many lines they take says how high the pictures are.
        for (i, (work, taught)) in
            all.iter().enumerate().filter_map(|(i, one)| Some((i, one.as_ref()?)))
        {
            let id = |part: &str| format!("class-{part}-{i}");
            let Some((verdict, word)) = verdict(work, taught) else { continue };
            let (name, measure) = (name(work), taught.measure(step));
            let words = format!("{name}: {} {measure}. {verdict}.", taught.caption(step, done));
            self.elements.mark(&id("picture"), "aria-label", &words);
            self.elements.say(&id("name"), &name);
            self.elements.say(&id("verdict"), &verdict);
            self.elements.mark(&id("verdict"), "data-verdict", word);
            self.elements.say(&id("measure"), &measure);
        }
        let number = Lesson::ALL.iter().position(|known| *known == step).unwrap_or(0) + 1;
        let title = format!("{number} of {}: {}", Lesson::ALL.len(), step.name());
        self.elements.say("class-step", &title);
        // Where they are not at the same, what is common to both.
        let mut captions = all.iter().flatten().map(|(_, taught)| taught.caption(step, done));
        let caption = captions.next().unwrap_or_default();
        let same = captions.all(|other| other == caption);
        let caption = if same { caption } else { Chapter::Join.caption() };
        self.elements.say("class-caption", caption);
        self.elements.say("class-caution", &Taught::cautions(step).join(" "));
        self.elements.say("class-key", Taught::colour_words(step));
        let is_filmed = self.class.film.is_some();
        let (boards, painter) = (&mut self.class.boards, &mut self.painter);
        for board in boards.iter_mut() {
            board.enlarged = (f64::from(board.canvas.client_height()) / PAGE_HIGH).clamp(1.0, 3.0);
        }
        let scenes: Vec<Option<Pictured>> = all
            .iter()
            .zip(boards.iter())
            .map(|(one, board)| {
                let (_, taught) = one.as_ref()?;
                let scene = taught.scene(step, done);
                let (viewpoint, framing) = taught.shot(step, done, board.window());
                let focus = taught.focus(step, done, &scene);
                Some(Pictured { scene, viewpoint, framing, focus })
            })
            .collect();
        // Both in one proportion, so that the eye can compare them.
        let known = || scenes.iter().flatten();
        let scale = known().map(|shown| shown.framing.scale).fold(f64::INFINITY, f64::min);
        let nearer = known().filter_map(|shown| Some(shown.focus?.1)).fold(1.0, f64::max);
        for (i, (one, shown)) in all.iter().zip(&scenes).enumerate() {
            let (Some((work, _)), Some(shown)) = (one, shown) else { continue };
            let mut fit = Framing { scale: scale * nearer, ..shown.framing };
            if let Some((place, _)) = shown.focus {
                fit.centre += (1.0 - 1.0 / nearer) * (place - fit.centre);
            }
            let mut view = Camera::default().view(shown.viewpoint, fit, boards[i].window());
            view.fineness = density * boards[i].enlarged;
            let theme = theme.in_metal(MetalLook::of(&work.design.metal.id));
            let (board, density) = (&mut boards[i], view.fineness);
            if is_filmed {
                // On the page it lies on paper already.
                board.paper(view.window, density, theme);
            } else {
                board.clear(view.window, density);
            }
            painter.paint(board, &shown.scene, &view, work.unit, density, theme);
        }
        self.elements.mark("class-time", "aria-valuetext", &title);
        if let Some(slider) = self.elements.get::<HtmlInputElement>("class-time") {
            slider.set_value(&format!("{time:.3}"));
        }
        let slow = if self.model.class.is_slow { "true" } else { "false" };
        self.elements.mark("class-slow", "aria-pressed", slow);
        let play = if playing { "Pause" } else { "Play" };
        self.elements.say("class-play", play);
        self.elements.reveal("class-play", playing || !self.calm());
        let film = if is_filmed { "Save film" } else { "Record film" };
        self.elements.say("class-film", film);
        self.write_note(step);
        self.watch_film();
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
