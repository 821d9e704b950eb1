//! The core for other pages: plain objects in and out.
//!
//! Called through `www/linkfold.js`, which `www/linkfold.d.ts` describes; nothing here touches a
//! document. What goes in is read as a document from a file is, with the same limits and the same
//! faults; a fault is thrown as an `Error` with `path`, `value` and `range`.

use super::crossing;
use crate::answers::build::BuildError;
use crate::answers::jig::{
    JIG_CAUTIONS, Jig, JigError, JigKind, JigMeasure, JigRequest, Tolerance,
};
use crate::answers::report::{PlanReport, Report};
use crate::documents::bench::{Bench, BenchError};
use crate::documents::design::{Design, DesignError};
use crate::documents::json;
use crate::documents::units::LengthUnit;
use crate::geometry::link::FormError;
use crate::mesh::{glb, stl};
use crate::render::{Chapter, LinkPicture, MetalLook, Theme, Window, jig_svg};
use js_sys::{Array, Error, Reflect, Uint8Array};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

/// Sides of a picture, CSS pixels.
const SIDES: [f64; 2] = [50.0, 4000.0];

/// The report on a design, every join proven.
#[wasm_bindgen]
pub fn check(design: JsValue) -> Result<JsValue, JsValue> {
    let design = design_of(design)?;
    plain(&Report::of(&design).map_err(|error| of_design(&error))?)
}

/// The plan of the whole chain, every join proven; with cost and hours where a bench is given.
#[wasm_bindgen]
pub fn plan(design: JsValue, bench: JsValue) -> Result<JsValue, JsValue> {
    let design = design_of(design)?;
    let bench = match bench.is_null() || bench.is_undefined() {
        true => None,
        false => {
            let text = value_of(bench)?.to_string();
            Some(Bench::parse(&text).map_err(|error| of_bench(&error))?)
        }
    };
    plain(&PlanReport::proven(&design, bench.as_ref()).map_err(|error| of_design(&error))?)
}

/// What a picture is asked to be.
#[derive(Deserialize)]
#[serde(default, deny_unknown_fields)]
struct PictureOptions {
    size: usize,
    step: PictureStep,
    width: f64,
    height: f64,
    colours: PictureColours,
    inches: bool,
}

impl Default for PictureOptions {
    fn default() -> PictureOptions {
        let (step, colours) = (PictureStep::Fold, PictureColours::Light);
        PictureOptions { size: 0, step, width: 480.0, height: 360.0, colours, inches: false }
    }
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum PictureStep {
    Oval,
    Eight,
    Fold,
    Joined,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum PictureColours {
    Light,
    Dark,
    Contrast,
    Print,
}

/// One link of the design as an SVG, with what callipers should read.
#[wasm_bindgen]
pub fn picture(design: JsValue, options: JsValue) -> Result<String, JsValue> {
    let design = design_of(design)?;
    let options = match options.is_null() || options.is_undefined() {
        true => PictureOptions::default(),
        false => json::read_value::<PictureOptions>(&value_of(options)?)
            .map_err(|error| fault(&error.place, JsValue::NULL, None, &error.to_string()))?,
    };
    for (path, side) in [("width", options.width), ("height", options.height)] {
        if !(SIDES[0]..=SIDES[1]).contains(&side) {
            let words =
                format!("{path} is {side}; it must lie between {} and {}", SIDES[0], SIDES[1]);
            return Err(fault(path, side.into(), Some(SIDES.map(Some)), &words));
        }
    }
    let formings = design.formings().map_err(|error| of_design(&error))?;
    let Some(forming) = formings.get(options.size) else {
        let most = formings.len() as f64 - 1.0;
        let words = format!("size is {}; this design's last size is {most}", options.size);
        let range = Some([Some(0.0), Some(most)]);
        return Err(fault("size", (options.size as f64).into(), range, &words));
    };
    let picture = LinkPicture {
        step: match options.step {
            PictureStep::Oval => Chapter::Stretch,
            PictureStep::Eight => Chapter::Pinch,
            PictureStep::Fold => Chapter::Fold,
            PictureStep::Joined => Chapter::Join,
        },
        seam: design.metal.seam_share,
        window: Window { width: options.width, height: options.height },
        unit: if options.inches { LengthUnit::Inch } else { LengthUnit::Mm },
        theme: match options.colours {
            PictureColours::Light => &Theme::LIGHT,
            PictureColours::Dark => &Theme::DARK,
            PictureColours::Contrast => &Theme::HIGH_CONTRAST,
            PictureColours::Print => &Theme::PRINT,
        }
        .in_metal(MetalLook::of(&design.metal.id)),
    };
    Ok(picture.svg(forming, &design.name))
}

/// Which gauge or jig is asked for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct JigOptions {
    what: JigKind,
    #[serde(default)]
    size: Option<usize>,
    #[serde(default)]
    print_allowance_mm: f64,
}

/// What is told of it; the files are added.
#[derive(Serialize)]
struct JigAnswer<'a> {
    name: String,
    svg: String,
    measures: &'a [JigMeasure],
    tolerances: &'a [Tolerance],
    notes: &'a [String],
    cautions: [&'static str; 3],
}

/// A gauge or a jig for the design's links: solids, outlines true to scale, what to check.
#[wasm_bindgen]
pub fn jig(design: JsValue, options: JsValue) -> Result<JsValue, JsValue> {
    let design = design_of(design)?;
    let options = json::read_value::<JigOptions>(&value_of(options)?)
        .map_err(|error| fault(&error.place, JsValue::NULL, None, &error.to_string()))?;
    let JigOptions { what: kind, size, print_allowance_mm: allowance_mm } = options;
    let request = JigRequest { kind, size, allowance_mm };
    let made = |request| Jig::for_design(&design, request).map_err(|error| of_jig(&error));
    let jig = made(request)?;
    let mesh = jig.mesh().map_err(|error| of_jig(&error))?;
    // Outlines are for other tools than a printer: with nothing taken off.
    let untouched = match request.allowance_mm {
        0.0 => None,
        _ => Some(made(JigRequest { allowance_mm: 0.0, ..request })?),
    };
    let name = jig.title(&design);
    let title = format!("{name}. {}", JIG_CAUTIONS.join(" "));
    let answer = plain(&JigAnswer {
        name,
        svg: jig_svg(untouched.as_ref().unwrap_or(&jig), &title),
        measures: &jig.measures,
        tolerances: &jig.tolerances,
        notes: &jig.notes,
        cautions: JIG_CAUTIONS,
    })?;
    for (name, bytes) in [("stl", stl(&mesh)), ("glb", glb(&mesh))] {
        // An object just made takes what it is given.
        let _ = Reflect::set(&answer, &name.into(), &Uint8Array::from(bytes.as_slice()));
    }
    Ok(answer)
}

fn of_jig(error: &JigError) -> JsValue {
    if let JigError::Design(error) = error {
        return of_design(error);
    }
    let (value, range) = error.limits().unzip();
    fault(&error.field(), value.into(), range, &error.to_string())
}

fn design_of(given: JsValue) -> Result<Design, JsValue> {
    let parsed = Design::parse(&value_of(given)?.to_string());
    parsed.map_err(|error| of_design(&error.into()))
}

fn value_of(given: JsValue) -> Result<Value, JsValue> {
    crossing::value(given)
        .map_err(|error| fault("", JsValue::NULL, None, &format!("not a plain object: {error}")))
}

fn plain(answer: &impl Serialize) -> Result<JsValue, JsValue> {
    crossing::plain(answer).map_err(|error| fault("", JsValue::NULL, None, &error.to_string()))
}

fn of_design(error: &BuildError) -> JsValue {
    let (value, range) = match error {
        BuildError::Design(error) => limits(error),
        BuildError::Form { source: FormError::TooSmall { value, least, .. }, .. } => {
            (Some(value.get()), Some([Some(least.get()), None]))
        }
        BuildError::Form { source: FormError::TooLarge { value, most, .. }, .. } => {
            (Some(value.get()), Some([None, Some(most.get())]))
        }
        _ => (None, None),
    };
    fault(&error.field(), value.into(), range, &error.to_string())
}

/// The value at fault and its limits, where both are numbers.
fn limits(error: &DesignError) -> (Option<f64>, Option<[Option<f64>; 2]>) {
    match error {
        DesignError::OutOfRange { value, least, most, .. } => {
            (Some(*value), Some([Some(*least), Some(*most)]))
        }
        DesignError::Count { found, least, most, .. } => {
            (Some(*found as f64), Some([Some(*least as f64), Some(*most as f64)]))
        }
        DesignError::Trial { fault, .. } => limits(fault),
        _ => (None, None),
    }
}

fn of_bench(error: &BenchError) -> JsValue {
    let (value, range) = match error {
        BenchError::OutOfRange { value, least, most, .. } => {
            (Some(*value), Some([Some(*least), Some(*most)]))
        }
        BenchError::Count { found, most, .. } => {
            (Some(*found as f64), Some([None, Some(*most as f64)]))
        }
        _ => (None, None),
    };
    fault(&error.field(), value.into(), range, &error.to_string())
}

/// What is thrown: `range` holds the least and the most, null where there is no limit.
fn fault(path: &str, value: JsValue, range: Option<[Option<f64>; 2]>, words: &str) -> JsValue {
    let error = Error::new(words);
    error.set_name("LinkfoldError");
    let value = if value.is_undefined() { JsValue::NULL } else { value };
    let limit = |limit: Option<f64>| limit.map_or(JsValue::NULL, JsValue::from);
    let range = match range {
        Some([least, most]) => Array::of2(&limit(least), &limit(most)).into(),
        None => JsValue::NULL,
    };
    for (name, content) in [("path", path.into()), ("value", value), ("range", range)] {
        // An object just made takes what it is given.
        let _ = Reflect::set(&error, &name.into(), &content);
    }
    error.into()
}
