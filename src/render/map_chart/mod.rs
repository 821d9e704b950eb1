//! A map drawn flat: shaded ground, the lines where the answer turns, the present design.
//!
//! Conventions: CSS pixels from the middle of the window, y up; a drawing of this scale is
//! laid at 1. The ground without clearance is hatched as well as shaded.

mod ground;

use super::Window;
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, Tone};
use super::measure::block;
use crate::answers::map::{CellBasis, FINEST, Grid, Question, Range};
use crate::documents::units::LengthUnit;
use crate::math::sort::sort_by_number;

/// What is drawn.
pub struct MapChart<'a> {
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

impl MapChart<'_> {
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
        let [x, y] = MapChart::place_of(self.question, window, self.here);
        for from in [[frame.left, y], [x, frame.below]] {
            drawing.stroke(Tone::Accent, &[from, [x, y]], 1.2);
            lines.add_wire(vec![from, [x, y]], 2.0, false);
        }
        let said = self.point([x, y], window, &lines, drawing);
        lines.add_tool(said.to_vec());
        self.regions(&frame, &lines, drawing);
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
            sort_by_number(&mut own, |(_, free)| -free);
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
mod tests;
