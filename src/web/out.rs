//! What is taken out of the page: the picture as a file, the work as a solid.

use super::canvas::Board;
use super::page::Page;
use crate::answers::jig::{JIG_CAUTIONS, Jig, JigError, JigRequest};
use crate::answers::report::{MeshPiece, MeshRequest, Modelled, modelled};
use crate::app::views::Shown;
use crate::mesh::{glb, stl};
use crate::render::{Drawing, PIXELS_PER_MM, jig_svg, svg};
use js_sys::{Array, Uint8Array};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::{Closure, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlCanvasElement, HtmlInputElement, Url};

/// A picture is at least this wide, device pixels, and at least twice as fine as the page.
const WIDE: f64 = 2400.0;

/// The picture as it stands on the page, not yet laid on anything.
struct Laid {
    drawing: Drawing,
    /// CSS pixels to a unit of the drawing.
    scale: f64,
    /// What it shows, in words.
    words: String,
    /// Whether its units are millimetres of the work.
    true_to_scale: bool,
}

impl Page {
    /// Does what a button under "Picture and solid as files" says; whether it is one.
    pub fn take_out(&mut self, id: &str) {
        let done = match id {
            "out-svg" => self.take_svg(),
            "out-png" => self.take_png(),
            "out-stl" => self.take_solid("stl"),
            "out-glb" => self.take_solid("glb"),
            "jig-stl" | "jig-glb" | "jig-svg" => self.take_jig(&id["jig-".len()..]),
            _ => return,
        };
        let (words, problem) = match done {
            Ok(words) => (words, "false"),
            Err(words) => (words, "true"),
        };
        let says = if id.starts_with("jig-") { "jig-saved" } else { "out-says" };
        self.elements.mark(says, "data-problem", problem);
        self.elements.say(says, &words);
    }

    /// Only a chain has links and clearance between them.
    pub fn show_out(&self) {
        self.elements.reveal("out-chain", self.elements.value("out-what") == "chain");
    }

    fn laid(&self) -> Option<Laid> {
        let shown = self.picture()?;
        Some(match shown.shown {
            Shown::Flat(drawing, _) if drawing.marks.is_empty() => return None,
            Shown::Flat(drawing, words) => {
                Laid { drawing, scale: 1.0, words, true_to_scale: false }
            }
            Shown::Scene(scene) => {
                // As the next frame draws it: what was pressed just before need not be drawn yet.
                let window = self.board.window();
                let view =
                    self.model.camera.view(scene.home, scene.fit(scene.home, window), window);
                let mut drawing = Drawing::default();
                scene.draw_into(&view, self.model.analysis.unit, &mut drawing);
                let words = shown.caption;
                Laid { drawing, scale: view.scale, words, true_to_scale: true }
            }
        })
    }

    fn take_svg(&mut self) -> Result<String, String> {
        let Laid { drawing, scale, words, true_to_scale } = self.laid().ok_or(NO_PICTURE)?;
        let window = self.board.window();
        let half = [0.5 * window.width / scale, 0.5 * window.height / scale];
        let paper = if true_to_scale { 1.0 } else { 1.0 / PIXELS_PER_MM };
        let text = svg(&drawing, half, paper, self.theme().in_metal(self.metal_look()), &words);
        self.hand_out(&self.named("svg"), "image/svg+xml", &text.into()).ok_or(NO_FILE)?;
        let size = if true_to_scale { "; printed as it is, it is true to scale" } else { "" };
        Ok(format!("The picture is saved as SVG{size}."))
    }

    fn take_png(&mut self) -> Result<String, String> {
        let shown = self.picture().ok_or(NO_PICTURE)?.shown;
        let window = self.board.window();
        let density = (WIDE / window.width).clamp(2.0, 6.0);
        let sheet = self.elements.document.create_element("canvas").map_err(|_| NO_FILE)?;
        let sheet: HtmlCanvasElement = sheet.dyn_into().map_err(|_| NO_FILE)?;
        let mut board = Board::new(sheet.clone()).ok_or(NO_FILE)?;
        let theme = self.theme().in_metal(self.metal_look());
        board.paper(window, density, theme);
        match shown {
            Shown::Flat(drawing, _) if drawing.marks.is_empty() => return Err(NO_PICTURE.into()),
            Shown::Flat(drawing, _) => board.lay_in(window, &drawing, 1.0, density, theme),
            Shown::Scene(scene) => {
                let fit = scene.fit(scene.home, window);
                let mut view = self.model.camera.view(scene.home, fit, window);
                view.fineness = density;
                let unit = self.model.analysis.unit;
                self.painter.paint(&mut board, &scene, &view, unit, density, theme);
            }
        }
        let name = self.named("png");
        let done = Closure::once_into_js(move |blob: JsValue| {
            if let Ok(blob) = blob.dyn_into::<Blob>() {
                offer(&name, &blob);
            }
        });
        sheet.to_blob(done.unchecked_ref()).map_err(|_| NO_FILE)?;
        let (wide, high) = (sheet.width(), sheet.height());
        Ok(format!("The picture is saved as PNG, {wide} by {high} pixels."))
    }

    fn take_solid(&mut self, kind: &str) -> Result<String, String> {
        let wanted = self.wanted()?;
        let made =
            modelled(&self.model.analysis.design, wanted).map_err(|error| error.to_string())?;
        let (bytes, mime, units) = match kind {
            "stl" => (stl(&made.model), "model/stl", "STL, in mm"),
            _ => (glb(&made.model), "model/gltf-binary", "glTF"),
        };
        let bytes = Uint8Array::from(bytes.as_slice());
        self.hand_out(&self.named(kind), mime, &bytes).ok_or(NO_FILE)?;
        Ok(format!("The solid is saved as {units}: {}.", self.described(&made)))
    }

    /// The gauge or the jig on the plan's page; outlines are for other tools than a printer, and allow
    /// for none.
    fn take_jig(&mut self, kind: &str) -> Result<String, String> {
        let work = &self.model.analysis;
        let (request, made) = self
            .model
            .jig_wanted()
            .zip(self.model.made_jig())
            .ok_or("Not saved: it is still being worked out.")?;
        let told = |error: JigError| format!("Not saved: {}.", error.message(work.unit));
        let jig = made.as_ref().map_err(|words| format!("Not saved: {words}."))?;
        let name = format!("{} {}", work.design.name, request.kind.name().to_lowercase());
        let name = super::documents::file_name(&name, kind);
        let (mime, content): (&str, JsValue) = match kind {
            "svg" => {
                let plain = match request.allowance_mm {
                    0.0 => None,
                    _ => {
                        let request = JigRequest { allowance_mm: 0.0, ..request };
                        Some(Jig::for_design(&work.design, request).map_err(told)?)
                    }
                };
                let title = format!("{}. {}", jig.title(&work.design), JIG_CAUTIONS.join(" "));
                ("image/svg+xml", jig_svg(plain.as_ref().unwrap_or(jig), &title).into())
            }
            _ => {
                let mesh = jig.mesh().map_err(told)?;
                let is_stl = kind == "stl";
                let bytes = if is_stl { stl(&mesh) } else { glb(&mesh) };
                let mime = if is_stl { "model/stl" } else { "model/gltf-binary" };
                (mime, Uint8Array::from(bytes.as_slice()).into())
            }
        };
        self.hand_out(&name, mime, &content).ok_or(NO_FILE)?;
        Ok(match kind {
            "svg" => "Outlines saved as SVG, true to scale: check the 50 mm line.".into(),
            _ => format!("Saved as {name}; keep what is printed away from torch and pickle."),
        })
    }

    /// What the fields under "Picture and solid as files" ask for.
    fn wanted(&self) -> Result<MeshRequest, String> {
        let value = |id: &str| self.elements.value(id);
        let ticked = |id| self.elements.get::<HtmlInputElement>(id).is_some_and(|i| i.checked());
        let number = |id: &str, name: &str| -> Result<f64, String> {
            let typed = value(id);
            let plain = typed.trim().replace(',', ".");
            plain.parse().map_err(|_| format!("{name} is \u{201c}{typed}\u{201d}: not a number."))
        };
        let piece = match value("out-what").as_str() {
            "ring" => MeshPiece::Ring,
            "oval" => MeshPiece::Oval,
            "eight" => MeshPiece::Eight,
            "chain" => {
                let links = number("out-links", "Links")?;
                if links.fract() != 0.0 {
                    return Err(format!("Links is {links}: it has to be a whole number."));
                }
                // What is too small or too large stays so, and is refused with the limits.
                MeshPiece::Chain { links: links as usize, apart: ticked("out-apart") }
            }
            _ => MeshPiece::Fold,
        };
        let scale = number("out-scale", "Enlarged, times")?;
        Ok(MeshRequest { piece, size: self.model.analysis.size, scale })
    }

    fn described(&self, made: &Modelled) -> String {
        let [low, high] = made.model.extents();
        let length = |mm: f64| self.model.analysis.length(mm);
        let size = (high - low).map(|mm| (10.0 * mm).ceil() / 10.0);
        let sides = [size.x, size.y, size.z].map(length).join(" by ");
        let clearance = match made.clearance {
            Some(clearance) if clearance > 0.0 => format!(", {} between links", length(clearance)),
            Some(_) => ", links touching".into(),
            None => String::new(),
        };
        format!("{sides} over all{clearance}")
    }

    fn named(&self, kind: &str) -> String {
        super::documents::file_name(&self.model.analysis.design.name, kind)
    }

    /// Hands a text or bytes out as a file; none where the browser gives no file.
    pub fn hand_out(&self, name: &str, kind: &str, content: &JsValue) -> Option<()> {
        let parts = Array::of1(content);
        let bag = BlobPropertyBag::new();
        bag.set_type(kind);
        let blob = if content.is_string() {
            Blob::new_with_str_sequence_and_options(&parts, &bag)
        } else {
            Blob::new_with_u8_array_sequence_and_options(&parts, &bag)
        };
        offer(name, &blob.ok()?)
    }
}

const NO_PICTURE: &str = "Not saved: there is no picture.";
const NO_FILE: &str = "Not saved: this browser gives no file.";

/// Milliseconds after which a file's address is given back: it has long been fetched.
const FETCHED: i32 = 60_000;

/// Offers a blob as a file of that name.
pub fn offer(name: &str, blob: &Blob) -> Option<()> {
    let address = Url::create_object_url_with_blob(blob).ok()?;
    let browser = web_sys::window()?;
    let link = browser.document()?.create_element("a").ok()?;
    let link: HtmlAnchorElement = link.dyn_into().ok()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    let forget = Closure::once_into_js(move || {
        let _ = Url::revoke_object_url(&address);
    });
    let forget = forget.unchecked_ref();
    browser.set_timeout_with_callback_and_timeout_and_arguments_0(forget, FETCHED).ok()?;
    Some(())
}
