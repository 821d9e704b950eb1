//! A whole chain laid out to scale along its length, in lines like writing, sizes marked: every link at its
//! pitch, from the face and, below, from the side.
//!
//! Conventions: CSS pixels from the middle of the window, y up; a drawing of this scale is laid
//! at 1.

use super::chain::{finish, laid_across, loop_of};
use super::drawing::{Anchor, Drawing, Mark, SHADES, Tone};
use super::strand::Strand;
use super::{Camera, Framing, Viewpoint, Window, tube};
use crate::answers::report::PlannedChain;
use crate::documents::units::LengthUnit;
use crate::geometry::curve::{Point, Pose};
use crate::math::units::MM_PER_INCH;
use crate::motion::chain::{Body, Weave};

/// Left and right of the lines, CSS pixels.
const SIDE: f64 = 14.0;
/// Height of the letters, CSS pixels.
const LETTER: f64 = 12.0;
/// Above a line for the sizes' names, below it for the rule, CSS pixels.
const ABOVE: f64 = 22.0;
const BELOW: f64 = 30.0;
/// Most lines the chain is laid in.
const MOST_LINES: usize = 8;
/// Between the row from the face and that from the side, wires.
const BETWEEN: f64 = 1.5;
/// More links than these are drawn as plain loops.
const IN_SHAPE: usize = 150;
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

/// From where a row is seen, how high it is and how far its middle lies over that of the line, mm.
struct Elevation {
    from: Viewpoint,
    height: f64,
    over: f64,
}

/// A link of the plan.
struct LaidLink {
    /// Its place in the chain, and its size.
    number: usize,
    size: usize,
    /// How it is turned about the chain.
    turned: Pose,
    /// Where its fold lies, and its middle, mm along the chain.
    fold: f64,
    middle: f64,
}

/// Draws the chain of `laid`, of these links by size.
pub fn lay_out(
    laid: &PlannedChain,
    links: &[Body],
    weave: Weave,
    window: Window,
    unit: LengthUnit,
    drawing: &mut Drawing,
) {
    let rows = rows(links, weave);
    let height = rows[0].height + rows[1].height + BETWEEN * widest(links);
    let steps = laid.size_runs.iter().map(|s| (s.to_mm - s.from_mm) / s.links.max(1) as f64);
    let lines = Lines::of(laid.length_mm, [height, steps.fold(0.0, f64::max)], window);
    for line in 0..lines.count {
        rule(&lines, line, laid.length_mm, 0.5 * lines.scale * height, unit, drawing);
    }
    let mut named = Vec::new();
    let mut places = Vec::new();
    let turns = weave.poses(&Pose::identity(), laid.size_runs.iter().map(|run| run.links).sum());
    let mut number = 0;
    for run in &laid.size_runs {
        let Some(size) = laid.sizes.get(run.size) else { continue };
        let step = (run.to_mm - run.from_mm) / run.links.max(1) as f64;
        if lines.scale * step < APART {
            for row in &rows {
                let tone = Tone::Metal { finish: finish(run.size, weave), shade: SHADES / 8 * 5 };
                band(&lines, [run.from_mm, run.to_mm], row, tone, drawing);
            }
        } else {
            places.extend((0..run.links).map(|link| {
                let fold = run.from_mm + link as f64 * step;
                let (number, middle) = (number + link, fold + 0.5 * step);
                LaidLink { number, size: run.size, turned: turns[number], fold, middle }
            }));
        }
        number += run.links;
        named.push((run.from_mm, run.to_mm, &size.name, run.links));
    }
    for line in 0..lines.count {
        for row in &rows {
            let there = places.iter().filter(|place| lines.line(place.middle) == line);
            let strands = there.filter_map(|place| {
                let start = line as f64 * lines.each;
                strand(place, links.get(place.size)?, weave, start, places.len() <= IN_SHAPE)
            });
            lay_row(&lines, line, row, &strands.collect::<Vec<_>>(), window, drawing);
        }
    }
    clasp(&lines, laid, drawing);
    names(&lines, &named, 0.5 * lines.scale * height, window, drawing);
}

fn widest(links: &[Body]) -> f64 {
    links.iter().map(|link| link.wire).fold(0.0, f64::max)
}

/// From the face, across the lobes, and under it from the side.
fn rows(links: &[Body], weave: Weave) -> [Elevation; 2] {
    let reach = |wide: fn(&Body) -> f64| {
        links.iter().map(|link| wide(link) + link.wire).fold(0.0, f64::max)
    };
    let [across, deep] =
        [reach(|link| link.high.y - link.low.y), reach(|link| link.high.x - link.low.x)];
    // Links of several chains are turned about the chain's length.
    let [face, side] = if weave.chains() > 1 { [across.max(deep); 2] } else { [across, deep] };
    let apart = 0.5 * BETWEEN * widest(links);
    [
        Elevation { from: Viewpoint::degrees(0.0, 90.0), height: face, over: 0.5 * side + apart },
        Elevation { from: Viewpoint::degrees(0.0, 0.0), height: side, over: -0.5 * face - apart },
    ]
}

/// A link where it lies, x along the chain from `start`.
fn strand(
    place: &LaidLink,
    link: &Body,
    weave: Weave,
    start: f64,
    in_shape: bool,
) -> Option<Strand> {
    let along = Pose::translation(place.fold - start, 0.0, 0.0);
    let pose = along * laid_across(1.0) * place.turned * Pose::translation(0.0, 0.0, -link.low.z);
    let curve = if in_shape { link.curve().clone() } else { loop_of(link) };
    Some(Strand {
        curve: curve.moved(&pose),
        radius: 0.5 * link.wire,
        finish: finish(place.number, weave),
        seam: None,
        part: None,
    })
}

/// Draws wires that start at a line's start, as a row sees them.
fn lay_row(
    lines: &Lines,
    line: usize,
    row: &Elevation,
    strands: &[Strand],
    window: Window,
    drawing: &mut Drawing,
) {
    let framing = Framing { centre: Point::origin(), scale: lines.scale };
    let view = Camera::default().view(row.from, framing, window);
    let mut drawn = Drawing::default();
    tube::draw(strands, &[], &view, &mut drawn);
    let [left, middle] = lines.at(line, line as f64 * lines.each, lines.scale * row.over);
    for mark in &drawn.marks {
        if let Mark::Fill { tone, points } = mark {
            let place = |[x, y]: &[f64; 2]| [left + lines.scale * x, middle + lines.scale * y];
            let corners: Vec<[f64; 2]> = drawn.points[points.clone()].iter().map(place).collect();
            drawing.fill(*tone, &corners);
        }
    }
}

/// Links too near to one another to be told apart.
fn band(lines: &Lines, [from, to]: [f64; 2], row: &Elevation, tone: Tone, drawing: &mut Drawing) {
    for line in lines.line(from)..=lines.line(to) {
        let (low, high) = (line as f64 * lines.each, (line + 1) as f64 * lines.each);
        let (from, to) = (from.max(low), to.min(high));
        if to > from {
            let corner = |along, over: f64| {
                let up = lines.scale * (row.over + 0.5 * over * row.height);
                lines.at(line, along, up)
            };
            let corners =
                [corner(from, -1.0), corner(to, -1.0), corner(to, 1.0), corner(from, 1.0)];
            drawing.fill(tone, &corners);
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::Design;
    use crate::render::drawing::Finish;

    /// Every link is there twice, from the face and from the side, at its pitch and as wide as it is; no wire
    /// leaves the window, on a desk and on a phone.
    #[test]
    fn every_link_is_drawn_from_both_sides_at_its_pitch() {
        let design = Design::plain(0.9, 12.0);
        let formings = design.formings().unwrap();
        let links: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
        let weave = design.weave.weave();
        let link = &links[0];
        let step = 7.0;
        for [width, height] in [[726.0, 494.0], [366.0, 338.0]] {
            let window = Window { width, height };
            let lines = Lines::of(10.0 * step, [20.0, step], window);
            for row in rows(&links, weave) {
                let turned = Pose::identity();
                let (fold, middle) = (2.0 * step, 2.5 * step);
                let place = LaidLink { number: 0, size: 0, turned, fold, middle };
                let mut drawing = Drawing::default();
                let strands = [strand(&place, link, weave, 0.0, true).unwrap()];
                lay_row(&lines, 0, &row, &strands, window, &mut drawing);
                let own = |tone| matches!(tone, Tone::Metal { finish: Finish::Own, .. });
                let [low, high] = drawing.extents(own).unwrap();
                // Facets are enlarged by half a pixel.
                let tall = (high[1] - low[1]) / lines.scale;
                assert!((tall - row.height).abs() < 2.0 / lines.scale, "{tall}, {}", row.height);
                let start = lines.at(0, 2.0 * step - 0.5 * link.wire, 0.0)[0];
                assert!((low[0] - start).abs() < 2.0, "{}, {start}", low[0]);
                let long = (high[0] - low[0]) / lines.scale;
                let whole = link.high.z - link.low.z + link.wire;
                assert!((long - whole).abs() < 2.0 / lines.scale, "{long}, {whole}");
            }
        }
    }
}
