//! The browser door: the page's only way in. Built for wasm32 only.

use wasm_bindgen::prelude::*;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement};

/// One page at work.
#[wasm_bindgen]
pub struct WebPage {
    pen: CanvasRenderingContext2d,
}

#[wasm_bindgen]
impl WebPage {
    /// Takes the canvas the page draws on.
    pub fn start(canvas: &HtmlCanvasElement) -> Result<WebPage, JsError> {
        let pen = canvas.get_context("2d").ok().flatten();
        let pen = pen.and_then(|pen| pen.dyn_into().ok());
        let page = WebPage { pen: pen.ok_or_else(|| JsError::new("no canvas to draw on"))? };
        page.draw()?;
        Ok(page)
    }

    fn draw(&self) -> Result<(), JsError> {
        self.pen.fill_text("ready", 10.0, 20.0).map_err(|_| JsError::new("cannot draw"))
    }
}
