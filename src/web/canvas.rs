//! Lays a drawing on a canvas.

use crate::picture::{Anchor, Drawing, Mark, Theme, Tone, Window};
use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// A canvas and its pen.
pub struct Board {
    pub canvas: HtmlCanvasElement,
    pen: CanvasRenderingContext2d,
}

impl Board {
    /// `None` where the browser gives no pen.
    pub fn new(canvas: HtmlCanvasElement) -> Option<Board> {
        let pen = canvas.get_context("2d").ok()??.dyn_into().ok()?;
        Some(Board { canvas, pen })
    }

    /// The canvas as it stands on the page, CSS pixels.
    pub fn window(&self) -> Window {
        Window {
            width: f64::from(self.canvas.client_width().max(1)),
            height: f64::from(self.canvas.client_height().max(1)),
        }
    }

    /// Draws; `scale` is CSS pixels to a millimetre, `density` device pixels to a CSS pixel.
    pub fn lay(&self, drawing: &Drawing, scale: f64, density: f64, theme: &Theme) {
        let window = self.window();
        let (width, height) = (window.width * density, window.height * density);
        if f64::from(self.canvas.width()) != width.round() {
            self.canvas.set_width(width.round() as u32);
        }
        if f64::from(self.canvas.height()) != height.round() {
            self.canvas.set_height(height.round() as u32);
        }
        let pen = &self.pen;
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
            let colour = theme.colour(mark.tone()).to_string();
            match mark {
                Mark::Fill { tone, points } => {
                    pen.set_fill_style_str(&colour);
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
                Mark::Stroke { points, width, .. } => {
                    pen.set_stroke_style_str(&colour);
                    pen.set_line_width(width * scale);
                    pen.begin_path();
                    path(&drawing.points[points.clone()], false);
                    pen.stroke();
                }
                Mark::Label { at: place, anchor, size, text, .. } => {
                    let (x, y) = at(*place);
                    pen.set_font(&format!("600 {:.1}px system-ui, sans-serif", size * scale));
                    pen.set_text_align(match anchor {
                        Anchor::Start => "left",
                        Anchor::Middle => "center",
                        Anchor::End => "right",
                    });
                    pen.set_stroke_style_str(&theme.colour(Tone::Paper).to_string());
                    pen.set_line_width(4.0);
                    let _ = pen.stroke_text(text, x, y);
                    pen.set_fill_style_str(&colour);
                    let _ = pen.fill_text(text, x, y);
                }
            }
        }
    }
}
