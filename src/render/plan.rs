//! A whole chain laid out to scale along its length, in lines like writing, sizes marked.
//!
//! Conventions: CSS pixels from the middle of the window, y up; a drawing of this scale is laid
//! at 1.

use super::Window;
use super::drawing::{Anchor, Drawing, Finish, SHADES, Tone};
use crate::answers::report::PlannedChain;
use crate::documents::units::LengthUnit;
use crate::math::units::MM_PER_INCH;

/// Left and right of the lines, CSS pixels.
const SIDE: f64 = 14.0;
/// Height of the letters, CSS pixels.
const LETTER: f64 = 12.0;
/// Above a line for the sizes' names, below it for the rule, CSS pixels.
const ABOVE: f64 = 22.0;
const BELOW: f64 = 30.0;
/// Most lines the chain is laid in.
const MOST_LINES: usize = 8;
/// Corners of a link.
const CORNERS: usize = 16;
/// Links nearer to one another than this, CSS pixels, are drawn as a band.
const APART: f64 = 2.5;

/// The chain as it is laid in the window.
struct Lines {
    /// CSS pixels to a millimetre.
    scale: f64,
    /// Chain to a line, mm.
    each: f64,
    /// How many.
    count: usize,
    left: f64,
    top: f64,
    height: f64,
}

impl Lines {
    /// The number of lines that shows the chain largest.
    fn of(length: f64, [width, step]: [f64; 2], window: Window) -> Lines {
        let wide = (window.width - 2.0 * SIDE).max(1.0);
        let with = |count: usize| {
            let each = length / count as f64;
            let height = window.height / count as f64 - ABOVE - BELOW;
            // A link whose middle lies on the line may reach over its ends.
            (wide / (each + 1.3 * step)).min(height.max(1.0) / width.max(1e-9))
        };
        let count = (1..=MOST_LINES).max_by(|&a, &b| {
            // Of like scale the fewer lines.
            with(a).total_cmp(&with(b)).then(b.cmp(&a))
        });
        let count = count.unwrap_or(1);
        let scale = with(count);
        let height = (window.height / count as f64).min(ABOVE + BELOW + scale * width + 40.0);
        let each = length / count as f64;
        Lines {
            scale,
            each,
            count,
            left: -0.5 * scale * each,
            top: 0.5 * height * count as f64,
            height,
        }
    }

    /// Which line a place of the chain lies in.
    fn line(&self, along: f64) -> usize {
        ((along / self.each).max(0.0) as usize).min(self.count - 1)
    }

    /// Where a place of the chain lies, `up` CSS pixels over its middle.
    fn at(&self, line: usize, along: f64, up: f64) -> [f64; 2] {
        let x = self.left + self.scale * (along - line as f64 * self.each);
        let middle = self.top - self.height * (line as f64 + 0.5) + 0.5 * (BELOW - ABOVE);
        [x, middle + up]
    }
}

/// Draws the chain of `laid`.
pub fn lay_out(laid: &PlannedChain, window: Window, unit: LengthUnit, drawing: &mut Drawing) {
    let width = laid.sizes.iter().map(|size| size.width_mm).fold(0.0, f64::max);
    let steps = laid.size_runs.iter().map(|s| (s.to_mm - s.from_mm) / s.links.max(1) as f64);
    let lines = Lines::of(laid.length_mm, [width, steps.fold(0.0, f64::max)], window);
    for line in 0..lines.count {
        rule(&lines, line, laid.length_mm, 0.5 * lines.scale * width, unit, drawing);
    }
    let mut named = Vec::new();
    for stretch in &laid.size_runs {
        let Some(size) = laid.sizes.get(stretch.size) else { continue };
        let half = 0.5 * lines.scale * size.width_mm;
        let finish = if stretch.size % 2 == 0 { Finish::Own } else { Finish::Other };
        let tone = Tone::Metal { finish, shade: SHADES / 8 * 5 };
        let step = (stretch.to_mm - stretch.from_mm) / stretch.links.max(1) as f64;
        if lines.scale * step < APART {
            band(&lines, stretch.from_mm, stretch.to_mm, half, tone, drawing);
        } else {
            for link in 0..stretch.links {
                let from = stretch.from_mm + link as f64 * step;
                link_at(&lines, from + 0.5 * step, step, half, tone, drawing);
            }
        }
        named.push((stretch.from_mm, stretch.to_mm, &size.name, stretch.links));
    }
    clasp(&lines, laid, drawing);
    names(&lines, &named, 0.5 * lines.scale * width, window, drawing);
}

fn band(lines: &Lines, from: f64, to: f64, half: f64, tone: Tone, drawing: &mut Drawing) {
    for line in lines.line(from)..=lines.line(to) {
        let (low, high) = (line as f64 * lines.each, (line + 1) as f64 * lines.each);
        let (from, to) = (from.max(low), to.min(high));
        if to > from {
            let corner = |along, up| lines.at(line, along, up);
            let corners =
                [corner(from, -half), corner(to, -half), corner(to, half), corner(from, half)];
            drawing.fill(tone, &corners);
        }
    }
}

/// A link seen from above: an oval a little longer than its pitch, for it lies in the next.
fn link_at(lines: &Lines, middle: f64, step: f64, half: f64, tone: Tone, drawing: &mut Drawing) {
    let line = lines.line(middle);
    let long = 0.62 * lines.scale * step;
    let [x, y] = lines.at(line, middle, 0.0);
    let oval: Vec<[f64; 2]> = (0..=CORNERS)
        .map(|corner| {
            let (sin, cos) = (std::f64::consts::TAU * corner as f64 / CORNERS as f64).sin_cos();
            [x + long * cos, y + half * sin]
        })
        .collect();
    drawing.fill(tone, &oval[..CORNERS]);
    drawing.stroke(Tone::Rim, &oval, 1.0);
}

/// The clasp's share of the length, dashed.
fn clasp(lines: &Lines, laid: &PlannedChain, drawing: &mut Drawing) {
    if !(laid.clasp_mm > 0.0) {
        return;
    }
    let from = laid.length_mm - laid.clasp_mm;
    let dash = (5.0 / lines.scale).max(laid.clasp_mm / 200.0);
    let mut at = from;
    while at < laid.length_mm {
        let line = lines.line(at);
        let to = (at + 0.6 * dash).min(laid.length_mm);
        drawing.stroke(Tone::Faint, &[lines.at(line, at, 0.0), lines.at(line, to, 0.0)], 2.0);
        at += dash;
    }
    let [x, y] = lines.at(lines.count - 1, laid.length_mm, 0.5 * BELOW);
    drawing.label(Tone::Faint, [x, y], Anchor::End, LETTER, "clasp".into());
}

/// Names over the stretches where there is space for them, a tick where each begins.
fn names(
    lines: &Lines,
    named: &[(f64, f64, &String, usize)],
    half: f64,
    window: Window,
    drawing: &mut Drawing,
) {
    // Where the last name of a line ended.
    let mut taken = vec![f64::NEG_INFINITY; lines.count];
    for &(from, _, name, links) in named {
        let line = lines.line(from + 1e-9);
        let [x, y] = lines.at(line, from, half);
        drawing.stroke(Tone::Accent, &[[x, y + 2.0], [x, y + 10.0]], 1.5);
        let text = format!("{name}: {links}");
        let wide = 0.6 * LETTER * text.chars().count() as f64;
        if x + 4.0 > taken[line] && x + 4.0 + wide < 0.5 * window.width {
            taken[line] = x + 10.0 + wide;
            drawing.label(Tone::Ink, [x + 4.0, y + 12.0], Anchor::Start, LETTER, text);
        }
    }
}

/// A rule under a line: a tick each centimetre or half inch, a number each fifth.
fn rule(
    lines: &Lines,
    line: usize,
    length: f64,
    half: f64,
    unit: LengthUnit,
    drawing: &mut Drawing,
) {
    let tick = match unit {
        LengthUnit::Mm => 10.0,
        LengthUnit::Inch => 0.5 * MM_PER_INCH,
    };
    // No closer than six pixels, no numbers closer than a number is wide.
    let tick = [1.0, 5.0, 10.0, 50.0, 100.0]
        .map(|times| times * tick)
        .into_iter()
        .find(|tick| tick * lines.scale >= 6.0)
        .unwrap_or(1000.0 * tick);
    let numbered = if 4.0 * tick * lines.scale >= 40.0 { 4 } else { 10 };
    let (low, high) = (line as f64 * lines.each, ((line + 1) as f64 * lines.each).min(length));
    let base = -half - 6.0;
    let (start, end) = (lines.at(line, low, base), lines.at(line, high, base));
    drawing.stroke(Tone::Faint, &[start, end], 1.0);
    let first = (low / tick - 1e-9).ceil() as usize;
    for step in first..=(high / tick + 1e-9).floor() as usize {
        let along = step as f64 * tick;
        let tall = if step % numbered == 0 { 7.0 } else { 4.0 };
        let [x, y] = lines.at(line, along, base);
        drawing.stroke(Tone::Faint, &[[x, y], [x, y - tall]], 1.0);
        if step % numbered == 0 {
            let text = match unit {
                LengthUnit::Mm => format!("{along:.0}"),
                LengthUnit::Inch => format!("{:.0} in", along / MM_PER_INCH),
            };
            drawing.label(Tone::Faint, [x, y - 15.0], Anchor::Middle, LETTER, text);
        }
    }
}
