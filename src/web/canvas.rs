//! Lays a drawing on a canvas.

use super::shader::Shader;
use crate::documents::units::LengthUnit;
use crate::render::{Anchor, Drawing, Mark, PictureView, SHADES, Scene, Theme, Tone, Window};
use js_sys::JsString;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::wasm_bindgen;
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
    written: Vec<Option<JsString>>,
}

impl Colours {
    fn of(&mut self, tone: Tone, theme: &'static Theme) -> &JsString {
        if self.theme != Some(theme) {
            self.theme = Some(theme);
            self.written = vec![None; SLOTS];
        }
        self.written[slot(tone)].get_or_insert_with(|| theme.colour(tone).to_string().into())
    }
}

/// Scales of shades, and tones of one shade.
const SLOTS: usize = 7 * SHADES as usize + 8;

/// Where a tone's colour is kept.
fn slot(tone: Tone) -> usize {
    let shaded = |scale: usize, shade: u8| {
        8 + scale * usize::from(SHADES) + usize::from(shade.min(SHADES - 1))
    };
    match tone {
        Tone::Rim => 0,
        Tone::Paper => 1,
        Tone::Square => 2,
        Tone::Ink => 3,
        Tone::Faint => 4,
        Tone::Measure => 5,
        Tone::Accent => 6,
        Tone::Warning => 7,
        Tone::Metal { finish, shade } => shaded(finish as usize, shade),
        Tone::MapClearance { shade } => shaded(4, shade),
        Tone::Strain { shade } => shaded(5, shade),
        Tone::Tool { shade } => shaded(6, shade),
    }
}

#[wasm_bindgen]
extern "C" {
    /// The browser's pen, given colours that are its own strings already: thousands a frame.
    type Pen;
    #[wasm_bindgen(method, setter, js_name = fillStyle)]
    fn set_fill(this: &Pen, colour: &JsString);
    #[wasm_bindgen(method, setter, js_name = strokeStyle)]
    fn set_stroke(this: &Pen, colour: &JsString);
}

/// Draws scenes: pixel by pixel where the browser can, else by facets.
#[derive(Default)]
pub struct Painter {
    shader: Shader,
    drawing: Drawing,
}

impl Painter {
    /// Draws a scene on a board that is cleared, `density` device pixels to a pixel of its window.
    pub fn paint(
        &mut self,
        board: &mut Board,
        scene: &Scene,
        view: &PictureView,
        unit: LengthUnit,
        density: f64,
        theme: &'static Theme,
    ) {
        let size = [board.canvas.width(), board.canvas.height()];
        let Some(document) = board.canvas.owner_document() else { return };
        let drawing = &mut self.drawing;
        drawing.clear();
        if let Some(shaded) = self.shader.shade(&document, scene, view, size, theme) {
            scene.draw_under(view, drawing);
            board.lay_in(view.window, drawing, view.scale, density, theme);
            board.lay_image(shaded);
            drawing.clear();
            scene.draw_over(view, unit, drawing);
        } else {
            scene.draw_into(view, unit, drawing);
        }
        board.lay_in(view.window, drawing, view.scale, density, theme);
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
        self.clear(window, density);
        self.lay_in(window, drawing, scale, density, theme);
    }

    /// Lays the lower left corner of another canvas over all of this one.
    fn lay_image(&self, image: &HtmlCanvasElement) {
        let size = [self.canvas.width(), self.canvas.height()].map(f64::from);
        let top = f64::from(image.height()) - size[1];
        let _ = self.pen.set_transform(1.0, 0.0, 0.0, 1.0, 0.0, 0.0);
        // Fails only where there is no picture, as of a canvas without extent.
        let _ =
            self.pen.draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
                image, 0.0, top, size[0], size[1], 0.0, 0.0, size[0], size[1],
            );
    }

    /// Makes it empty, `density` device pixels to a pixel of `window`.
    pub fn clear(&self, window: Window, density: f64) {
        let (width, height) = (window.width * density, window.height * density);
        if f64::from(self.canvas.width()) != width.round() {
            self.canvas.set_width(width.round() as u32);
        }
        if f64::from(self.canvas.height()) != height.round() {
            self.canvas.set_height(height.round() as u32);
        }
        let _ = self.pen.set_transform(density, 0.0, 0.0, density, 0.0, 0.0);
        self.pen.clear_rect(0.0, 0.0, window.width, window.height);
    }

    /// Clears, and covers all with paper: on the page the canvas lies on paper already.
    pub fn paper(&mut self, window: Window, density: f64, theme: &'static Theme) {
        self.clear(window, density);
        let colour_pen: &Pen = self.pen.unchecked_ref();
        colour_pen.set_fill(self.colours.of(Tone::Paper, theme));
        self.pen.fill_rect(0.0, 0.0, window.width, window.height);
    }

    /// Draws as in a window of that size, over what is there.
    pub fn lay_in(
        &mut self,
        window: Window,
        drawing: &Drawing,
        scale: f64,
        density: f64,
        theme: &'static Theme,
    ) {
        let Board { pen, colours, .. } = self;
        let colour_pen: &Pen = pen.unchecked_ref();
        let _ = pen.set_transform(density, 0.0, 0.0, density, 0.0, 0.0);
        pen.set_line_cap("round");
        pen.set_line_join("round");
        pen.set_text_baseline("middle");
        let at =
            |[x, y]: [f64; 2]| (0.5 * window.width + scale * x, 0.5 * window.height - scale * y);
        // A fill closes its outlines by itself.
        let path = |points: &[[f64; 2]]| {
            for (i, point) in points.iter().enumerate() {
                let (x, y) = at(*point);
                if i == 0 { pen.move_to(x, y) } else { pen.line_to(x, y) }
            }
        };
        let mut marks = drawing.marks.iter().peekable();
        while let Some(mark) = marks.next() {
            match mark {
                Mark::Fill { tone, points } => {
                    colour_pen.set_fill(colours.of(*tone, theme));
                    pen.begin_path();
                    path(&drawing.points[points.clone()]);
                    // Neighbours of one shade make one path: fewer calls into the browser.
                    while let Some(Mark::Fill { points, .. }) = marks
                        .next_if(|m| matches!(m, Mark::Fill { tone: same, .. } if same == tone))
                    {
                        path(&drawing.points[points.clone()]);
                    }
                    pen.fill();
                }
                Mark::Stroke { tone, points, width } => {
                    colour_pen.set_stroke(colours.of(*tone, theme));
                    pen.set_line_width(width * scale);
                    pen.begin_path();
                    path(&drawing.points[points.clone()]);
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
                    colour_pen.set_stroke(colours.of(Tone::Paper, theme));
                    pen.set_line_width(4.0);
                    let _ = pen.stroke_text(text, x, y);
                    colour_pen.set_fill(colours.of(*tone, theme));
                    let _ = pen.fill_text(text, x, y);
                }
            }
        }
    }
}
