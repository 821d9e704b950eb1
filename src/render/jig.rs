//! A gauge or a jig from above: what is cut, what engraved, and where a good link goes.

use super::{Anchor, Drawing, Theme, Tone, Window, svg};
use crate::answers::jig::{Jig, STROKE_DEPTH, step_name};

/// Width of a line, height of letters, and what is left round the part: mm in a file, CSS pixels on the
/// page.
const IN_FILE: [f64; 3] = [0.1, 2.0, 4.0];
const ON_PAGE: [f64; 3] = [1.5, 12.0, 16.0];
/// The line that tells the scale, mm.
const SCALE: f64 = 50.0;

fn half_size(jig: &Jig) -> [f64; 2] {
    let [low, high] = jig.extents();
    [0, 1].map(|i| 0.5 * (high[i] - low[i]))
}

/// The part's outlines, its middle at the origin, `scale` times as large.
fn outlines(jig: &Jig, scale: f64, [line, letter, _]: [f64; 3]) -> Drawing {
    let [low, high] = jig.extents();
    let middle = [0, 1].map(|i| 0.5 * (low[i] + high[i]));
    let at = |p: [f64; 2]| [0, 1].map(|i| scale * (p[i] - middle[i]));
    let mut drawing = Drawing::default();
    for prism in jig.parts.iter().flatten() {
        let is_engraved = prism.to - prism.from <= STROKE_DEPTH + 1e-9;
        let mut through: Vec<[f64; 2]> = prism.contour.iter().copied().map(at).collect();
        through.extend(through.first().copied());
        drawing.stroke(if is_engraved { Tone::Measure } else { Tone::Ink }, &through, line);
    }
    for pocket in &jig.pockets {
        let go = if pocket.is_go { "go" } else { "no-go" };
        let words = format!("{} {} {go}", pocket.size + 1, step_name(pocket.step));
        drawing.label(Tone::Ink, at(pocket.middle), Anchor::Middle, letter, words);
    }
    drawing
}

/// The part as large as the window allows, in CSS pixels.
pub fn jig_picture(jig: &Jig, window: Window) -> Drawing {
    let [x, y] = half_size(jig);
    let space = [window.width, window.height].map(|side| (0.5 * side - ON_PAGE[2]).max(1.0));
    outlines(jig, (space[0] / x).min(space[1] / y), ON_PAGE)
}

/// The outlines true to scale, as a file for a laser, or to glue on sheet and saw along, with a line to
/// check the scale by.
pub fn jig_svg(jig: &Jig, title: &str) -> String {
    let [line, letter, round] = IN_FILE;
    let mut drawing = outlines(jig, 1.0, IN_FILE);
    let [x, y] = half_size(jig);
    let foot = -y - 2.0 * round;
    let ends = [[-0.5 * SCALE, foot], [0.5 * SCALE, foot]];
    drawing.stroke(Tone::Measure, &ends, line);
    for [x, y] in ends {
        drawing.stroke(Tone::Measure, &[[x, y - 1.0], [x, y + 1.0]], line);
    }
    let below = [0.0, foot - letter];
    drawing.label(Tone::Ink, below, Anchor::Middle, letter, format!("{SCALE} mm"));
    let half = [x.max(0.5 * SCALE) + round, y + 3.0 * round + letter];
    svg(&drawing, half, 1.0, &Theme::PRINT, title)
}
