//! Lays a drawing on a canvas.

use crate::picture::{Anchor, Drawing, Mark, Theme, Tone, Window};
use std::collections::HashMap;
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// A canvas and its pen.
pub struct Board {
    pub canvas: HtmlCanvasElement,
    pen: CanvasRenderingContext2d,
    /// How much larger writing and lines are than on the page: for a reader far off.
    pub enlarged: f64,
    colours: Colours,
}

/// Colours as the browser wants them, written once for each tone of the theme in use.
#[derive(Default)]
struct Colours {
    theme: Option<&'static Theme>,
    written: HashMap<Tone, String>,
}

impl Colours {
    fn of(&mut self, tone: Tone, theme: &'static Theme) -> &str {
        if self.theme != Some(theme) {
            self.theme = Some(theme);
            self.written.clear();
        }
        self.written.entry(tone).or_insert_with(|| theme.colour(tone).to_string())
    }
}

impl Board {
    /// `None` where the browser gives no pen.
    pub fn new(canvas: HtmlCanvasElement) -> Option<Board> {
        let pen = canvas.get_context("2d").ok()??.dyn_into().ok()?;
        Some(Board { canvas, pen, enlarged: 1.0, colours: Colours::default() })
    }

    /// The canvas as it stands on the page, CSS pixels; enlarged, fewer and larger ones.
    pub fn window(&self) -> Window {
        Window {
            width: f64::from(self.canvas.client_width().max(1)) / self.enlarged,
            height: f64::from(self.canvas.client_height().max(1)) / self.enlarged,
        }
    }

    /// Draws; `scale` is CSS pixels to a millimetre, `density` device pixels to a CSS pixel.
    pub fn lay(&mut self, drawing: &Drawing, scale: f64, density: f64, theme: &'static Theme) {
        let window = self.window();
        let density = density * self.enlarged;
        let (width, height) = (window.width * density, window.height * density);
        if f64::from(self.canvas.width()) != width.round() {
            self.canvas.set_width(width.round() as u32);
        }
        if f64::from(self.canvas.height()) != height.round() {
            self.canvas.set_height(height.round() as u32);
        }
        let Board { pen, colours, .. } = self;
        let _ = pen.set_transform(density, 0.0, 0.0, density, 0.0, 0.0);
        pen.clear_rect(0.0, 0.0, window.width, window.height);
        pen.set_line_cap("round");
        pen.set_line_join("round");
        pen.set_text_baseline("middle");
        let at =
            |[x, y]: [f64; 2]| (0.5 * window.width + scale * x, 0.5 * window.height - scale * y);
        let path = |points: &[[f64; 2]], closed: bool| {
            for (i, point) in points.iter().enumerate() {
                let (x, y) = at(*point);
                if i == 0 { pen.move_to(x, y) } else { pen.line_to(x, y) }
            }
            if closed {
                pen.close_path();
            }
        };
        let mut marks = drawing.marks.iter().peekable();
        while let Some(mark) = marks.next() {
            match mark {
                Mark::Fill { tone, points } => {
                    pen.set_fill_style_str(colours.of(*tone, theme));
                    pen.begin_path();
                    path(&drawing.points[points.clone()], true);
                    // Neighbours of one shade make one path: fewer calls into the browser.
                    while let Some(Mark::Fill { points, .. }) = marks
                        .next_if(|m| matches!(m, Mark::Fill { tone: same, .. } if same == tone))
                    {
                        path(&drawing.points[points.clone()], true);
                    }
                    pen.fill();
                }
                Mark::Stroke { tone, points, width } => {
                    pen.set_stroke_style_str(colours.of(*tone, theme));
                    pen.set_line_width(width * scale);
                    pen.begin_path();
                    path(&drawing.points[points.clone()], false);
                    pen.stroke();
                }
                Mark::Label { tone, at: place, anchor, size, text } => {
                    let (x, y) = at(*place);
                    pen.set_font(&format!("600 {:.1}px system-ui, sans-serif", size * scale));
                    pen.set_text_align(match anchor {
                        Anchor::Start => "left",
                        Anchor::Middle => "center",
                        Anchor::End => "right",
                    });
                    pen.set_stroke_style_str(colours.of(Tone::Paper, theme));
                    pen.set_line_width(4.0);
                    let _ = pen.stroke_text(text, x, y);
                    pen.set_fill_style_str(colours.of(*tone, theme));
                    let _ = pen.fill_text(text, x, y);
                }
            }
        }
    }
}
