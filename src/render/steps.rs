//! Pictures of the steps of the work, one by one or side by side, as SVG.
//!
//! Evidence: the tests below; `tests/documents.rs` runs the command and compares the picture in
//! the README with what is drawn today.

use super::lesson::{TIGHTEST, Taught};
use super::svg::escaped;
use super::{Camera, Drawing, Theme, Tone, Window, svg};
use crate::documents::design::Lesson;
use std::fmt::Write;

/// One picture's window, CSS pixels.
const WINDOW: Window = Window { width: 330.0, height: 210.0 };
/// Height of the caption under a picture, CSS pixels.
const CAPTION: f64 = 44.0;
/// The steps that stand side by side; the way through is a motion, and no one picture.
const SIDE_BY_SIDE: [Lesson; 5] =
    [Lesson::Solder, Lesson::Oval, Lesson::Eight, Lesson::Fold, Lesson::Chain];

impl Taught<'_> {
    /// The moment of a step that tells most, with its tools and measures, as an SVG document.
    pub fn picture(&self, step: Lesson, theme: &Theme) -> String {
        self.frame(step, self.clearest(step), WINDOW, theme)
    }

    /// How much of a step is done in the moment that tells most.
    pub(super) fn clearest(&self, step: Lesson) -> f64 {
        match step {
            Lesson::Saw => 0.62,
            Lesson::Solder => 0.72,
            step if step == self.pace.tight_step() => TIGHTEST,
            _ => 1.0,
        }
    }

    /// A moment of a step, as an SVG document.
    pub fn frame(&self, step: Lesson, done: f64, window: Window, theme: &Theme) -> String {
        let scene = self.scene(step, done);
        let (viewpoint, framing) = self.shot(step, done, window);
        let view = Camera::default().view(viewpoint, framing, window);
        let mut drawing = Drawing::default();
        scene.draw_into(&view, self.unit, &mut drawing);
        let words = format!("{}: {}", step.name(), self.measure(step));
        svg(&drawing, view.half(), 1.0, theme, &words)
    }

    /// Ring, oval, figure eight, fold and chain side by side, each with its measure under it, as
    /// one SVG document titled `title`.
    pub fn pictures(&self, theme: &Theme, title: &str) -> String {
        let count = SIDE_BY_SIDE.len() as f64;
        let (width, height) = (count * WINDOW.width, WINDOW.height + CAPTION);
        let mut text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
             role=\"img\" font-family=\"system-ui, sans-serif\" font-size=\"14\" \
             text-anchor=\"middle\">\n<title>{}</title>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>\n",
            escaped(title),
            theme.colour(Tone::Paper),
        );
        for (column, step) in SIDE_BY_SIDE.into_iter().enumerate() {
            let left = column as f64 * WINDOW.width;
            // A nested document keeps its own frame: only its place and size are new.
            let inner = self.picture(step, theme);
            let frame = inner.find("viewBox").unwrap_or(0);
            let placed = format!(
                "<svg x=\"{left}\" y=\"0\" width=\"{}\" height=\"{}\" {}",
                WINDOW.width,
                WINDOW.height,
                &inner[frame..]
            );
            text.push_str(&placed);
            let middle = left + 0.5 * WINDOW.width;
            // Writing to a String cannot fail.
            let _ = writeln!(
                text,
                "<text x=\"{middle}\" y=\"{}\" font-weight=\"700\" fill=\"{ink}\">{}. {}</text>\n\
                 <text x=\"{middle}\" y=\"{}\" fill=\"{ink}\">{}</text>",
                WINDOW.height + 16.0,
                column + 1,
                step.name(),
                WINDOW.height + 36.0,
                escaped(&self.measure(step)),
                ink = theme.colour(Tone::Ink),
            );
        }
        text.push_str("</svg>\n");
        text
    }
}
