//! A map drawn flat: shaded ground, the lines where the answer turns, the present design.
//!
//! Conventions: CSS pixels from the middle of the window, y up; a drawing of this scale is
//! laid at 1. The ground without clearance is hatched as well as shaded.

use super::Window;
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, SHADES, Tone};
use super::measure::block;
use crate::answers::map::{CellBasis, FINEST, Grid, Question, Range};
use crate::documents::units::LengthUnit;

/// What is drawn.
pub struct Chart<'a> {
    /// What the map is of.
    pub question: &'a Question,
    /// What is known so far.
    pub grid: &'a Grid,
    /// Clearance asked for, mm.
    pub margin: f64,
    /// Wire of the present design, mm: clearance is shaded in proportion to it.
    pub wire: f64,
    /// Where the present design stands, mm.
    pub here: [f64; 2],
    /// Whether it fails there: its point then stands in the colour of a warning.
    pub fails: bool,
    /// What is said beside it.
    pub words: &'a str,
    /// What the axes speak.
    pub unit: LengthUnit,
}

/// Left, right, below and above the map, CSS pixels.
const BORDER: [f64; 4] = [52.0, 18.0, 46.0, 34.0];
/// Height of the letters, CSS pixels.
const LETTER: f64 = 12.0;
/// Between the lines of a hatching, CSS pixels.
const HATCH: f64 = 9.0;
/// Clearance, and overlap, that get the last shade, in wires.
const DEEPEST: (f64, f64) = (0.4, 0.8);
/// How far a patch of ground lies over the next, CSS pixels.
const OVERLAP: f64 = 0.6;
/// A name needs this share of its own size about it.
const LEAST_FREE: f64 = 0.5;
/// Bold letters are about this wide for their height.
const LETTER_WIDE: f64 = 0.66;

/// The map's edges in the window.
#[derive(Clone, Copy, Debug)]
struct MapFrame {
    left: f64,
    below: f64,
    width: f64,
    height: f64,
}

impl MapFrame {
    fn of(window: Window) -> MapFrame {
        let [left, right, below, above] = BORDER;
        MapFrame {
            left: left - 0.5 * window.width,
            below: below - 0.5 * window.height,
            width: (window.width - left - right).max(1.0),
            height: (window.height - below - above).max(1.0),
        }
    }

    /// Shares of the map to a place in the window.
    fn at(&self, x: f64, y: f64) -> [f64; 2] {
        [self.left + x * self.width, self.below + y * self.height]
    }
}

impl Chart<'_> {
    /// The dimensions at a place in the window, mm, held within the map.
    pub fn dimensions_at(question: &Question, window: Window, [x, y]: [f64; 2]) -> [f64; 2] {
        let frame = MapFrame::of(window);
        let share = [(x - frame.left) / frame.width, (y - frame.below) / frame.height];
        let [x, y] = share.map(|s| s.clamp(0.0, 1.0));
        [question.across.at(x), question.up.at(y)]
    }

    /// Where dimensions, mm, stand in the window.
    pub fn place_of(question: &Question, window: Window, here: [f64; 2]) -> [f64; 2] {
        let share = |range: &Range, mm: f64| range.share(mm).clamp(0.0, 1.0);
        MapFrame::of(window).at(share(&question.across, here[0]), share(&question.up, here[1]))
    }

    /// Adds the chart's marks.
    pub fn draw_into(&self, window: Window, drawing: &mut Drawing) {
        let frame = MapFrame::of(window);
        self.map_cells(&frame, drawing);
        self.hatching(&frame, drawing);
        let mut lines = Covered::default();
        for (level, width) in [(self.margin, 1.6), (0.0, 3.4)] {
            for pair in self.turn(level, &frame) {
                drawing.stroke(Tone::Ink, &pair, width);
                lines.add_wire(pair.to_vec(), 0.5 * width + 1.5, false);
            }
        }
        self.axes(&frame, drawing);
        let [x, y] = Chart::place_of(self.question, window, self.here);
        for from in [[frame.left, y], [x, frame.below]] {
            drawing.stroke(Tone::Accent, &[from, [x, y]], 1.2);
            lines.add_wire(vec![from, [x, y]], 2.0, false);
        }
        let said = self.point([x, y], window, &lines, drawing);
        lines.add_tool(said.to_vec());
        self.regions(&frame, &lines, drawing);
    }

    /// Clearance at a place of the finest grid, from what is known round it.
    fn clearance(&self, [i, j]: [u8; 2]) -> Option<f64> {
        if let Some(clearance) = self.grid.cell([i, j]).clearance() {
            return Some(clearance);
        }
        let stride = self.grid.stride()?;
        let low = |k: u8| (k / stride * stride).min(FINEST - stride);
        let (a, b) = (low(i), low(j));
        let share = |k: u8, low: u8| f64::from(k - low) / f64::from(stride);
        let at = |right: i32, up: i32| {
            let node = |from: u8, steps: i32| {
                let node = i32::from(from) + steps * i32::from(stride);
                u8::try_from(node).ok().filter(|node| *node <= FINEST)
            };
            self.grid.cell([node(a, right)?, node(b, up)?]).clearance()
        };
        let row = |up: i32| {
            Some(spline([at(-1, up), Some(at(0, up)?), Some(at(1, up)?), at(2, up)], share(i, a)))
        };
        let found = spline([row(-1), Some(row(0)?), Some(row(1)?), row(2)], share(j, b));
        // Nothing is made up that none of the four round it has.
        let round = [at(0, 0)?, at(1, 0)?, at(0, 1)?, at(1, 1)?];
        let least = round.into_iter().fold(f64::INFINITY, f64::min);
        Some(found.clamp(least, round.into_iter().fold(least, f64::max)))
    }

    fn shade(&self, clearance: f64) -> Tone {
        let half = f64::from(SHADES / 2);
        let (most, least) = (DEEPEST.0 * self.wire, DEEPEST.1 * self.wire);
        let share = if clearance < 0.0 { -clearance / least } else { clearance / most };
        let steps = (share.clamp(0.0, 0.999) * half) as u8;
        let shade = if clearance < 0.0 { SHADES / 2 - 1 - steps } else { SHADES / 2 + steps };
        Tone::MapClearance { shade }
    }

    fn map_cells(&self, frame: &MapFrame, drawing: &mut Drawing) {
        let edge = |k: f64| (k / f64::from(FINEST)).clamp(0.0, 1.0);
        // While the first look is not done, what is known stands for its whole square.
        let stride: u8 = if self.grid.stride().is_none() { 8 } else { 1 };
        let half = 0.5 * f64::from(stride);
        for j in (0..=FINEST).step_by(usize::from(stride)) {
            let mut run: Option<(Tone, f64, f64)> = None;
            let mut lay = |(tone, from, to): (Tone, f64, f64)| {
                let [low, high] = [edge(f64::from(j) - half), edge(f64::from(j) + half)];
                let ([left, below], [right, above]) =
                    (frame.at(edge(from), low), frame.at(edge(to), high));
                // A little over the next, so that no seam shows.
                let (right, above) = (right + OVERLAP, above + OVERLAP);
                drawing.fill(tone, &[[left, below], [right, below], [right, above], [left, above]]);
            };
            for i in (0..=FINEST).step_by(usize::from(stride)) {
                let tone = self.clearance([i, j]).map(|clearance| self.shade(clearance));
                let (from, to) = (f64::from(i) - half, f64::from(i) + half);
                run = match (run, tone) {
                    (Some((same, start, _)), Some(tone)) if same == tone => Some((tone, start, to)),
                    (before, tone) => {
                        before.into_iter().for_each(&mut lay);
                        tone.map(|tone| (tone, from, to))
                    }
                };
            }
            run.into_iter().for_each(&mut lay);
        }
    }

    /// Slanting lines over the ground without clearance.
    fn hatching(&self, frame: &MapFrame, drawing: &mut Drawing) {
        let lines = ((frame.width + frame.height) / HATCH) as usize;
        let step = 3.0;
        for line in 1..=lines {
            let sum = HATCH * line as f64;
            let mut run: Vec<[f64; 2]> = Vec::new();
            let start = (sum - frame.height).max(0.0);
            let count = ((sum.min(frame.width) - start) / step) as usize;
            for k in 0..=count {
                let x = start + step * k as f64;
                let share = [x / frame.width, (sum - x) / frame.height];
                let node = share.map(|s| (s.clamp(0.0, 1.0) * f64::from(FINEST)).round() as u8);
                if self.clearance(node).is_some_and(|clearance| clearance < 0.0) {
                    run.push(frame.at(share[0], share[1]));
                    if k < count {
                        continue;
                    }
                }
                if let [first, .., last] = run[..] {
                    drawing.stroke(Tone::Faint, &[first, last], 0.7);
                }
                run.clear();
            }
        }
    }

    /// The line along which there is `level` mm of clearance, piece by piece.
    fn turn(&self, level: f64, frame: &MapFrame) -> Vec<[[f64; 2]; 2]> {
        let Some(stride) = self.grid.stride() else { return Vec::new() };
        let mut pieces = Vec::new();
        // As fine as the turn is known.
        let stride = if self.grid.is_done() { 1 } else { stride };
        for j in (0..FINEST).step_by(usize::from(stride)) {
            for i in (0..FINEST).step_by(usize::from(stride)) {
                let ring =
                    [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(a, b)| [i + a * stride, j + b * stride]);
                let clearances = ring.map(|at| self.clearance(at));
                let mut ends = Vec::with_capacity(4);
                for k in 0..4 {
                    let (Some(from), Some(to)) = (clearances[k], clearances[(k + 1) % 4]) else {
                        continue;
                    };
                    if (from < level) != (to < level) {
                        let share = (level - from) / (to - from);
                        let (a, b) = (ring[k], ring[(k + 1) % 4]);
                        let along = |n: usize| {
                            let (a, b) = (f64::from(a[n]), f64::from(b[n]));
                            (a + share * (b - a)) / f64::from(FINEST)
                        };
                        ends.push(frame.at(along(0), along(1)));
                    }
                }
                pieces.extend(ends.chunks_exact(2).map(|pair| [pair[0], pair[1]]));
            }
        }
        pieces
    }

    fn axes(&self, frame: &MapFrame, drawing: &mut Drawing) {
        let corners = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0), (0.0, 0.0)];
        drawing.stroke(Tone::Ink, &corners.map(|(x, y)| frame.at(x, y)), 1.2);
        let Question { across, up, .. } = self.question;
        for (mm, text) in ticks(across, self.unit, frame.width / 64.0) {
            let [x, y] = frame.at(across.share(mm), 0.0);
            drawing.stroke(Tone::Ink, &[[x, y], [x, y - 5.0]], 1.2);
            drawing.label(Tone::Ink, [x, y - 14.0], Anchor::Middle, LETTER, text);
        }
        for (mm, text) in ticks(up, self.unit, frame.height / 40.0) {
            let [x, y] = frame.at(0.0, up.share(mm));
            drawing.stroke(Tone::Ink, &[[x, y], [x - 5.0, y]], 1.2);
            drawing.label(Tone::Ink, [x - 9.0, y], Anchor::End, LETTER, text);
        }
        let title = |range: &Range| format!("{}, {}", range.axis.words(), self.unit.name());
        let [right, below] = frame.at(1.0, 0.0);
        drawing.label(
            Tone::Ink,
            [right, below - 32.0],
            Anchor::End,
            LETTER,
            format!("{} →", title(across)),
        );
        let [left, above] = frame.at(0.0, 1.0);
        drawing.label(
            Tone::Ink,
            [left - 44.0, above + 16.0],
            Anchor::Start,
            LETTER,
            format!("↑ {}", title(up)),
        );
    }

    /// Names each kind of ground where it has most space for a name, off the lines and what is said of the
    /// point.
    fn regions(&self, frame: &MapFrame, lines: &Covered, drawing: &mut Drawing) {
        let Some(stride) = self.grid.stride() else { return };
        let stride = usize::from(stride.min(4));
        let kind = |at: [u8; 2]| match self.clearance(at) {
            None => CellBasis::Unformed,
            Some(clearance) if clearance < 0.0 => CellBasis::None,
            Some(clearance) if clearance < self.margin => CellBasis::Tight,
            Some(_) => CellBasis::Clear,
        };
        let nodes: Vec<[u8; 2]> = (0..=FINEST)
            .step_by(stride)
            .flat_map(|j| (0..=FINEST).step_by(stride).map(move |i| [i, j]))
            .collect();
        let kinds: Vec<CellBasis> = nodes.iter().map(|&at| kind(at)).collect();
        let pixels = |[i, j]: [u8; 2]| {
            let share = |k: u8| f64::from(k) / f64::from(FINEST);
            [share(i) * frame.width, share(j) * frame.height]
        };
        for (wanted, words) in [
            (CellBasis::Unformed, "cannot be shaped"),
            (CellBasis::None, "does not join"),
            (CellBasis::Tight, "joins, tight"),
            (CellBasis::Clear, "joins"),
        ] {
            let half = 0.5 * LETTER_WIDE * LETTER * words.chars().count() as f64;
            // How far from other ground and from the edges, a name being wider than high.
            let free = |at: [u8; 2]| {
                let [x, y] = pixels(at);
                let edges = (x.min(frame.width - x) / half).min(y.min(frame.height - y) / LETTER);
                let others = nodes.iter().zip(&kinds).filter(|(_, kind)| **kind != wanted);
                others.fold(edges, |free, (&other, _)| {
                    let [a, b] = pixels(other);
                    free.min(((a - x).abs() / half).max((b - y).abs() / LETTER))
                })
            };
            let own = nodes.iter().zip(&kinds).filter(|(_, kind)| **kind == wanted);
            let mut own: Vec<([u8; 2], f64)> = own.map(|(&at, _)| (at, free(at))).collect();
            own.retain(|(_, free)| *free >= LEAST_FREE);
            own.sort_by(|a, b| b.1.total_cmp(&a.1));
            let places = own.into_iter().map(|(at, _)| {
                let [x, y] = pixels(at);
                [frame.left + x, frame.below + y]
            });
            let is_clear =
                |at: &[f64; 2]| lines.is_clear(&block(*at, Anchor::Middle, LETTER, words));
            if let Some(place) = places.into_iter().find(is_clear) {
                drawing.label(Tone::Ink, place, Anchor::Middle, LETTER, words.into());
            }
        }
    }

    /// The present design, and what is said of it, which stays in the window.
    fn point(
        &self,
        [x, y]: [f64; 2],
        window: Window,
        lines: &Covered,
        drawing: &mut Drawing,
    ) -> [[f64; 2]; 4] {
        let ring = |radius: f64| -> Vec<[f64; 2]> {
            (0..=24)
                .map(|k| {
                    let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos();
                    [x + radius * cos, y + radius * sin]
                })
                .collect()
        };
        drawing.fill(Tone::Paper, &ring(9.0));
        let tone = if self.fails { Tone::Warning } else { Tone::Accent };
        drawing.fill(tone, &ring(6.5));
        drawing.stroke(tone, &ring(9.0), 1.4);
        let size = LETTER + 1.0;
        let wide = LETTER_WIDE * size * self.words.chars().count() as f64;
        let half = 0.5 * window.width - 4.0;
        let high = 0.5 * window.height - BORDER[3];
        // Beside it, over or under it, off the lines where some place is.
        let place = |side: f64, up: f64| {
            let start = if side > 0.0 { x + 15.0 } else { x - 15.0 - wide };
            [start.min(half - wide).max(-half), y + up]
        };
        let ups =
            if y + 24.0 < high { [18.0, -18.0, 36.0, -36.0] } else { [-18.0, -36.0, 0.0, 0.0] };
        let mut places = ups.into_iter().flat_map(|up| [place(1.0, up), place(-1.0, up)]);
        let corners = |at: [f64; 2]| {
            let [low, high] = block(at, Anchor::Start, size, self.words);
            [low, [high[0], low[1]], high, [low[0], high[1]]]
        };
        let is_clear = |at: &[f64; 2]| {
            let [low, _, top, _] = corners(*at);
            top[1] < high && low[1] > BORDER[2] - 0.5 * window.height && lines.is_clear(&[low, top])
        };
        let first = place(1.0, ups[0]);
        let at = places.find(is_clear).unwrap_or(first);
        drawing.label(tone, at, Anchor::Start, size, self.words.into());
        corners(at)
    }
}

/// A share of the way from the second to the third of four values in a row, so that neighbouring ways go
/// over into one another without a kink (Catmull and Rom's spline); those at the ends may be missing.
fn spline([before, a, b, after]: [Option<f64>; 4], share: f64) -> f64 {
    let (Some(a), Some(b)) = (a, b) else { return f64::NAN };
    let (before, after) = (before.unwrap_or(2.0 * a - b), after.unwrap_or(2.0 * b - a));
    let square = 2.0 * before - 5.0 * a + 4.0 * b - after;
    let cube = 3.0 * (a - b) + after - before;
    a + 0.5 * share * (b - before + share * (square + share * cube))
}

/// Round values on a range, about `most` of them, with what is written there.
fn ticks(range: &Range, unit: LengthUnit, most: f64) -> Vec<(f64, String)> {
    let (low, high) = (range.low / unit.in_mm(), range.high / unit.in_mm());
    let rough = (high - low) / most.max(2.0);
    if !(rough > 0.0 && rough.is_finite()) {
        return Vec::new();
    }
    let ten = 10f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|k| k * ten).into_iter().find(|s| *s >= rough * 0.999);
    let step = step.unwrap_or(10.0 * ten);
    let decimals = (-step.log10().floor()).max(0.0) as usize;
    let first = (low / step - 1e-9).ceil();
    (0..40)
        .map(|k| (first + f64::from(k)) * step)
        .take_while(|value| *value <= high + 1e-9 * step)
        .map(|value| (value * unit.in_mm(), format!("{value:.decimals$}")))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::Mark;
    use super::*;
    use crate::answers::dimension::Dimension;
    use crate::documents::design::Design;

    const WINDOW: Window = Window { width: 640.0, height: 420.0 };

    fn question() -> Question {
        Question::round(&Design::plain(1.0, 10.0), 0, [Dimension::MandrelMm, Dimension::WireMm])
            .unwrap()
    }

    fn chart<'a>(question: &'a Question, grid: &'a Grid) -> Chart<'a> {
        Chart {
            question,
            grid,
            margin: 0.05,
            wire: 1.0,
            here: [10.0, 1.0],
            fails: false,
            words: "passes",
            unit: LengthUnit::Mm,
        }
    }

    /// Clearance that turns along a known line: half way across.
    fn filled() -> Grid {
        let mut grid = Grid::new(0.05);
        loop {
            let wanted = grid.next(64);
            if wanted.is_empty() {
                return grid;
            }
            for at in wanted {
                grid.set(at, Some((f64::from(at[0]) - 32.0) / 64.0));
            }
        }
    }

    #[test]
    fn the_line_of_no_room_stands_where_the_room_ends() {
        let (question, grid) = (question(), filled());
        let mut drawing = Drawing::default();
        chart(&question, &grid).draw_into(WINDOW, &mut drawing);
        let frame = MapFrame::of(WINDOW);
        let thick = drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Stroke { points, width, .. } if *width == 3.4 => Some(points.clone()),
            _ => None,
        });
        let line: Vec<[f64; 2]> = thick.flat_map(|p| drawing.points[p].to_vec()).collect();
        assert!(line.len() >= 128, "{}", line.len());
        let middle = frame.at(0.5, 0.0)[0];
        assert!(line.iter().all(|p| (p[0] - middle).abs() < 1e-9));
        let labels: Vec<&str> = drawing
            .marks
            .iter()
            .filter_map(
                |m| if let Mark::Label { text, .. } = m { Some(text.as_str()) } else { None },
            )
            .collect();
        for words in ["joins", "does not join", "mandrel, mm →", "↑ wire, mm", "10"] {
            assert!(labels.contains(&words), "{words}: {labels:?}");
        }
    }

    /// The line of a round ground is round: between what is known, eight apart, it stays by it, and turns a
    /// little from piece to piece.
    #[test]
    fn the_line_is_spline() {
        let question = question();
        let mut grid = Grid::new(0.05);
        // A quarter of a circle about a corner, half the map wide.
        let known = |at: [u8; 2]| 0.5 - f64::from(at[0]).hypot(f64::from(at[1])) / 64.0;
        loop {
            let wanted = grid.next(64);
            if wanted.is_empty() {
                break;
            }
            wanted.into_iter().for_each(|at| grid.set(at, Some(known(at))));
        }
        let frame = MapFrame { left: 0.0, below: 0.0, width: 1.0, height: 1.0 };
        let pieces = chart(&question, &grid).turn(0.0, &frame);
        assert!(pieces.len() > 40, "{}", pieces.len());
        for [a, b] in &pieces {
            for p in [a, b] {
                assert!((p[0].hypot(p[1]) - 0.5).abs() < 0.004, "{p:?}");
            }
            // The way of a circle's piece is square to its middle's.
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let long = dx.hypot(dy);
            let along = (dx * (a[0] + b[0]) + dy * (a[1] + b[1])).abs();
            assert!(long < 0.004 || along / long < 0.08, "{a:?} {b:?}: {}", along / long);
        }
    }

    /// Names stand off the lines and off what is said of the point, wherever that is.
    #[test]
    fn names_stand_off_the_lines() {
        let question = question();
        let mut grid = Grid::new(0.05);
        loop {
            let wanted = grid.next(64);
            if wanted.is_empty() {
                break;
            }
            for at in wanted {
                let [x, y] = at.map(f64::from);
                grid.set(at, Some(((x * y).sqrt() - 22.0) / 64.0));
            }
        }
        let (mut named, mut all) = (0, 0);
        for window in [WINDOW, Window { width: 340.0, height: 330.0 }] {
            for k in 0..24 {
                let golden = [0.754_877_666, 0.569_840_291].map(|g| (f64::from(k) * g).fract());
                let here = [question.across.at(golden[0]), question.up.at(golden[1])];
                let mut drawing = Drawing::default();
                Chart { here, ..chart(&question, &grid) }.draw_into(window, &mut drawing);
                let mut lines = Covered::default();
                for mark in &drawing.marks {
                    if let Mark::Stroke { tone: Tone::Ink, points, width } = mark
                        && [1.6, 3.4].contains(width)
                    {
                        lines.add_wire(drawing.points[points.clone()].to_vec(), 0.5 * width, false);
                    }
                }
                all += 1;
                for mark in &drawing.marks {
                    let Mark::Label { at, anchor, size, text, .. } = mark else { continue };
                    if text.contains("join") {
                        assert!(lines.is_clear(&block(*at, *anchor, *size, text)), "{k}: {text}");
                        named += 1;
                    }
                }
            }
        }
        assert!(named >= 2 * all, "{named} names on {all} maps");
    }

    #[test]
    fn a_place_in_the_window_is_led_back_to_its_dimensions() {
        let question = question();
        let frame = MapFrame::of(WINDOW);
        let [x, y] = [question.across.share(11.0), question.up.share(0.8)];
        let found = Chart::dimensions_at(&question, WINDOW, frame.at(x, y));
        assert_eq!(Chart::place_of(&question, WINDOW, [11.0, 0.8]), frame.at(x, y));
        assert!((found[0] - 11.0).abs() < 1e-9 && (found[1] - 0.8).abs() < 1e-9, "{found:?}");
        let off = Chart::dimensions_at(&question, WINDOW, [1e9, f64::NEG_INFINITY]);
        assert_eq!(off, [question.across.high, question.up.low]);
    }

    #[test]
    fn an_unfinished_map_is_drawn_as_far_as_it_goes() {
        let question = question();
        let mut grid = Grid::new(0.05);
        for _ in 0..40 {
            let mut drawing = Drawing::default();
            chart(&question, &grid).draw_into(WINDOW, &mut drawing);
            assert!(drawing.points.iter().flatten().all(|v| v.is_finite()));
            for at in grid.next(9) {
                let formed = at[1] < 50;
                grid.set(at, formed.then_some((f64::from(at[0]) - f64::from(at[1])) / 64.0));
            }
        }
        let tiny = Window { width: 1.0, height: 1.0 };
        chart(&question, &grid).draw_into(tiny, &mut Drawing::default());
    }

    #[test]
    fn what_is_said_of_the_point_stays_in_a_narrow_window() {
        let (question, grid) = (question(), filled());
        let window = Window { width: 336.0, height: 330.0 };
        for mandrel in [question.across.low, 10.0, 12.0, question.across.high] {
            let words = "passes with 0.009 in, proven";
            let here = [mandrel, 1.0];
            let mut drawing = Drawing::default();
            Chart { here, words, ..chart(&question, &grid) }.draw_into(window, &mut drawing);
            let said = drawing.marks.iter().find_map(|mark| match mark {
                Mark::Label { text, at, size, .. } if text == words => Some((at[0], *size)),
                _ => None,
            });
            let (start, size) = said.unwrap();
            let end = start + LETTER_WIDE * size * words.len() as f64;
            assert!(start >= -168.0 && end <= 168.0, "{mandrel}: {start} to {end}");
        }
    }

    #[test]
    fn ticks_are_round_and_in_the_makers_unit() {
        let range = Range { axis: Dimension::MandrelMm, low: 7.8, high: 17.4 };
        let texts = |unit| ticks(&range, unit, 6.0).into_iter().map(|t| t.1).collect::<Vec<_>>();
        assert_eq!(texts(LengthUnit::Mm), ["8", "10", "12", "14", "16"]);
        assert_eq!(texts(LengthUnit::Inch), ["0.4", "0.5", "0.6"]);
    }
}
