//! From the light page, which a visit opens with, to the whole one.
//!
//! The light page shapes and joins. Whatever else is pressed asks the page's script for the whole
//! module; once that is there it takes the light page's place, where that left off, and what was
//! pressed is pressed again.

use super::elements::Elements;
use super::page::{Page, Shared};
use crate::answers::report::ProvenJoin;
use crate::documents::design::Design;
use crate::documents::json;
use crate::documents::undo::UndoSteps;
use crate::render::Camera;
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::wasm_bindgen;
use web_sys::{Element, HtmlInputElement};

/// Where the light page left off.
#[derive(Serialize, Deserialize)]
pub struct Handed {
    pub design: Design,
    pub opened: Option<Design>,
    pub size: usize,
    pub in_inches: bool,
    pub view: usize,
    pub time: f64,
    pub playing: bool,
    pub camera: Camera,
    pub tour: Option<usize>,
    pub steps: UndoSteps,
    /// What is proven of the joins, in their order.
    pub proofs: Vec<Option<ProvenJoin>>,
}

impl Handed {
    /// Reads what [`Door::leave`] wrote.
    pub fn read(text: &str) -> Option<Handed> {
        json::read(text).ok()
    }
}

#[wasm_bindgen]
extern "C" {
    /// Asks the page's script for the whole page; `target`, if any, then hears `event` again.
    #[wasm_bindgen(js_namespace = parts, js_name = whole)]
    fn ask_for_whole(target: Option<&Element>, event: &str);
}

/// The page's script's hold on the page.
#[wasm_bindgen]
pub struct Door(Shared);

impl Door {
    /// To this page.
    pub fn to(page: &Shared) -> Door {
        Door(page.clone())
    }
}

#[wasm_bindgen]
impl Door {
    /// Ends the light page; where it left off.
    pub fn leave(&self) -> Option<String> {
        let mut page = self.0.try_borrow_mut().ok()?;
        page.gone = true;
        page.end_helper();
        let work = &page.work;
        Some(json::line(&Handed {
            design: work.design.clone(),
            opened: page.opened.clone(),
            size: work.size,
            in_inches: work.unit == crate::math::units::LengthUnit::Inch,
            view: page.view,
            time: page.time,
            playing: page.playing,
            camera: page.camera,
            tour: page.tour,
            steps: page.history.steps(),
            proofs: work.proofs(),
        }))
    }
}

impl Page {
    /// What was pressed or changed belongs to the whole page.
    pub fn want_whole(&self, target: Option<&Element>, event: &str) {
        ask_for_whole(target, event);
    }

    /// As [`Page::show_all`]; what is typed and cannot be worked stays in its field.
    pub fn show_over(&mut self) {
        let kept = self.at_fault().then(|| texts(&self.elements));
        self.show_all();
        if let Some(kept) = kept {
            kept.iter().for_each(|(input, text)| input.set_value(text));
            self.read_fields();
        }
    }
}

fn texts(page: &Elements) -> Vec<(HtmlInputElement, String)> {
    let fields = page.inputs().into_iter().chain(page.get("seam"));
    fields.map(|input| (input.clone(), input.value())).collect()
}
