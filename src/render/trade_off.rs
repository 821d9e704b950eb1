//! A trade-off drawn flat: one figure across, one up, a point for each design.
//!
//! Conventions: CSS pixels from the middle of the window, y up; a drawing of this scale is laid at 1.

use super::Window;
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, Tone};
use super::measure::block;

/// What is drawn.
pub struct TradeOffChart<'a> {
    /// Both figures of every point, along the line.
    pub points: &'a [[f64; 2]],
    /// The point looked at.
    pub chosen: Option<usize>,
    /// Where the present design stands.
    pub here: Option<[f64; 2]>,
    /// What runs across and up, with units.
    pub names: [&'a str; 2],
    /// What is said in the middle while there is nothing to draw.
    pub empty: &'a str,
}

/// Left, right, below and above the plot, CSS pixels.
const BORDER: [f64; 4] = [56.0, 22.0, 50.0, 36.0];
/// Height of the letters, CSS pixels.
const LETTER: f64 = 12.0;
/// Radius of a point, and of the one looked at.
const DOTS: (f64, f64) = (5.0, 8.0);
/// Half the side of the present design's mark.
const HERE: f64 = 6.0;
/// A point is taken from this far, CSS pixels: the half of what a finger covers.
const TAKES: f64 = 26.0;
/// Half the height of a line of writing, CSS pixels.
const LINE: f64 = 7.5;
/// Ticks along an axis, about.
const TICKS: f64 = 4.0;

impl TradeOffChart<'_> {
    /// Adds the plot's marks.
    pub fn draw_into(&self, window: Window, drawing: &mut Drawing) {
        let Some(frame) = self.frame(window) else {
            let text = self.empty.to_string();
            drawing.label(Tone::Faint, [0.0, 0.0], Anchor::Middle, LETTER, text);
            return;
        };
        let [low, high] = [frame.at([frame.low[0], frame.low[1]]), frame.at(frame.high)];
        drawing.stroke(Tone::Ink, &[[low[0], high[1]], low, [high[0], low[1]]], 1.4);
        self.ticks(&frame, drawing);
        let line: Vec<[f64; 2]> = self.points.iter().map(|p| frame.at(*p)).collect();
        drawing.stroke(Tone::Accent, &line, 1.6);
        if let Some(at) = self.here.map(|here| frame.at(here)) {
            let corner = |x: f64, y: f64| [at[0] + x * HERE, at[1] + y * HERE];
            let round = [corner(-1.0, 0.0), corner(0.0, 1.0), corner(1.0, 0.0), corner(0.0, -1.0)];
            drawing.fill(Tone::Ink, &round);
            // Beside it, to the side where there is more space.
            let (anchor, beside) =
                if at[0] > 0.0 { (Anchor::End, -10.0) } else { (Anchor::Start, 10.0) };
            let place = [at[0] + beside, at[1] - 12.0];
            drawing.label(Tone::Ink, place, anchor, LETTER, "now".into());
        }
        for (index, at) in line.iter().enumerate() {
            let chosen = self.chosen == Some(index);
            dot(drawing, Tone::Accent, *at, if chosen { DOTS.1 } else { DOTS.0 });
            if chosen {
                dot(drawing, Tone::Paper, *at, DOTS.1 - 2.5);
                dot(drawing, Tone::Accent, *at, DOTS.1 - 4.5);
            }
        }
        self.ends(&frame, &line, window, drawing);
        let [across, up] = self.names;
        let below = [high[0], low[1] - 36.0];
        drawing.label(Tone::Ink, below, Anchor::End, LETTER, format!("{across} →"));
        let above = [low[0] - 44.0, high[1] + 20.0];
        drawing.label(Tone::Ink, above, Anchor::Start, LETTER, format!("↑ {up}"));
    }

    /// What each end of the line has most and least of, beside it and off the line.
    fn ends(&self, frame: &PlotFrame, line: &[[f64; 2]], window: Window, drawing: &mut Drawing) {
        let [Some(first), Some(last)] = [self.points.first(), self.points.last()] else { return };
        let mut covered = Covered::default();
        covered.add_wire(line.to_vec(), DOTS.1, false);
        line.iter().for_each(|at| covered.add_wire(vec![*at, [at[0] + 0.1, at[1]]], DOTS.1, false));
        if let Some([x, y]) = self.here.map(|here| frame.at(here)) {
            // With the word beside it.
            covered.add_wire(vec![[x - 40.0, y - 6.0], [x + 40.0, y - 6.0]], 14.0, false);
        }
        let half = [0.5 * window.width - 4.0, 0.5 * window.height - BORDER[3]];
        let floor = frame.at(frame.low)[1];
        for (end, other) in [(first, last), (last, first)] {
            let [x, y] = frame.at(*end);
            let side = |by: usize| if end[by] > other[by] { "most" } else { "least" };
            let name = |by: usize| self.names[by].split(',').next().unwrap_or_default();
            if (0..2).any(|by| !(end[by] != other[by]) || !end[by].is_finite()) {
                continue;
            }
            let words = [0, 1].map(|by| format!("{} {}", side(by), name(by)));
            let wide = words.iter().map(|line| line.chars().count()).max().unwrap_or(0);
            let [_, [reach, _]] = block([0.0; 2], Anchor::Middle, LETTER, &"m".repeat(wide));
            // In a window narrower than the words they stand in its middle.
            let most = (half[0] - reach).max(0.0);
            let free = |at: &[f64; 2]| {
                let low = [at[0] - reach, at[1] - 2.0 * LINE];
                let high = [at[0] + reach, at[1] + 2.0 * LINE];
                low[1] > floor && high[1] < half[1] && covered.is_clear(&[low, high])
            };
            let places = [1.0, 2.0, 3.0, 4.0].into_iter().flat_map(|far| {
                let up = 14.0 + 18.0 * far;
                [[0.0, up], [reach, up], [-reach, up], [0.0, -up], [reach, -up], [-reach, -up]]
                    .map(|[dx, dy]| [(x + dx).clamp(-most, most), y + dy])
            });
            let Some(at) = places.into_iter().find(free) else { continue };
            for (line, words) in [LINE, -LINE].into_iter().zip(words) {
                drawing.label(Tone::Ink, [at[0], at[1] + line], Anchor::Middle, LETTER, words);
            }
            covered.add_tool(vec![
                [at[0] - reach, at[1] - 2.0 * LINE],
                [at[0] + reach, at[1] - 2.0 * LINE],
                [at[0] + reach, at[1] + 2.0 * LINE],
                [at[0] - reach, at[1] + 2.0 * LINE],
            ]);
        }
    }

    /// The point at a place of the window, if one is near.
    pub fn point_at(&self, window: Window, place: [f64; 2]) -> Option<usize> {
        let frame = self.frame(window)?;
        let off = |p: &[f64; 2]| {
            let at = frame.at(*p);
            (at[0] - place[0]).hypot(at[1] - place[1])
        };
        let near = self.points.iter().map(off).enumerate();
        let nearest = near.min_by(|a, b| a.1.total_cmp(&b.1))?;
        (nearest.1 <= TAKES).then_some(nearest.0)
    }

    fn frame(&self, window: Window) -> Option<PlotFrame> {
        let all: Vec<[f64; 2]> = self
            .points
            .iter()
            .copied()
            .chain(self.here)
            .filter(|p| p.iter().all(|x| x.is_finite()))
            .collect();
        if self.points.is_empty() || all.is_empty() {
            return None;
        }
        let ends = |by: usize| {
            let low = all.iter().map(|p| p[by]).fold(f64::INFINITY, f64::min);
            let high = all.iter().map(|p| p[by]).fold(f64::NEG_INFINITY, f64::max);
            let spare = (0.08 * (high - low)).max(0.01 * high.abs()).max(1e-9);
            (low - spare, high + spare)
        };
        let (across, up) = (ends(0), ends(1));
        let [left, right, below, above] = BORDER;
        Some(PlotFrame {
            low: [across.0, up.0],
            high: [across.1, up.1],
            corner: [left - 0.5 * window.width, below - 0.5 * window.height],
            size: [
                (window.width - left - right).max(1.0),
                (window.height - below - above).max(1.0),
            ],
        })
    }

    fn ticks(&self, frame: &PlotFrame, drawing: &mut Drawing) {
        for by in 0..2 {
            let step = round_step((frame.high[by] - frame.low[by]) / TICKS);
            let places = (-step.log10().floor()).clamp(0.0, 4.0) as usize;
            let first = (frame.low[by] / step).ceil();
            let count = ((frame.high[by] / step).floor() - first).clamp(0.0, 12.0) as usize;
            for i in 0..=count {
                let value = (first + i as f64) * step;
                let mut place = frame.low;
                place[by] = value;
                let at = frame.at(place);
                let (end, label, anchor) = if by == 0 {
                    ([at[0], at[1] - 5.0], [at[0], at[1] - 15.0], Anchor::Middle)
                } else {
                    ([at[0] - 5.0, at[1]], [at[0] - 9.0, at[1]], Anchor::End)
                };
                drawing.stroke(Tone::Ink, &[at, end], 1.2);
                drawing.label(Tone::Faint, label, anchor, LETTER, format!("{value:.places$}"));
            }
        }
    }
}

struct PlotFrame {
    low: [f64; 2],
    high: [f64; 2],
    corner: [f64; 2],
    size: [f64; 2],
}

impl PlotFrame {
    fn at(&self, figures: [f64; 2]) -> [f64; 2] {
        std::array::from_fn(|by| {
            let share = (figures[by] - self.low[by]) / (self.high[by] - self.low[by]);
            self.corner[by] + share * self.size[by]
        })
    }
}

fn dot(drawing: &mut Drawing, tone: Tone, at: [f64; 2], radius: f64) {
    let corner = |i: usize| {
        let (sin, cos) = (i as f64 * std::f64::consts::PI / 8.0).sin_cos();
        [at[0] + radius * cos, at[1] + radius * sin]
    };
    drawing.fill(tone, &std::array::from_fn::<_, 16, _>(corner));
}

/// 1, 2 or 5 times a power of ten, no less than `step`.
fn round_step(step: f64) -> f64 {
    let ten = 10f64.powf(step.max(1e-12).log10().floor());
    [1.0, 2.0, 5.0].into_iter().map(|n| n * ten).find(|s| *s >= step).unwrap_or(10.0 * ten)
}

#[cfg(test)]
mod tests {
    use super::*;

    use crate::render::Mark;

    const WINDOW: Window = Window { width: 400.0, height: 300.0 };

    fn trade(points: &[[f64; 2]]) -> TradeOffChart<'_> {
        TradeOffChart {
            points,
            chosen: Some(1),
            here: Some([2.0, 9.0]),
            names: ["a", "b"],
            empty: "none",
        }
    }

    #[test]
    fn a_point_is_found_where_it_is_drawn_and_nowhere_else() {
        let points = [[1.0, 10.0], [2.0, 30.0], [4.0, 40.0]];
        let trade = trade(&points);
        let frame = trade.frame(WINDOW).unwrap();
        for (index, point) in points.iter().enumerate() {
            let [x, y] = frame.at(*point);
            assert_eq!(trade.point_at(WINDOW, [x + 5.0, y - 5.0]), Some(index));
            assert!(x.abs() < 200.0 && y.abs() < 150.0, "{x} {y}");
        }
        assert_eq!(trade.point_at(WINDOW, [-190.0, 140.0]), None);
    }

    #[test]
    fn more_lies_to_the_right_and_higher_and_all_marks_are_in_the_window() {
        let points = [[1.0, 10.0], [2.0, 30.0], [4.0, 40.0]];
        let mut drawing = Drawing::default();
        trade(&points).draw_into(WINDOW, &mut drawing);
        let [low, high] = drawing.extents(|_| true).unwrap();
        assert!(low[0] > -200.0 && high[0] < 200.0 && low[1] > -150.0 && high[1] < 150.0);
        let frame = trade(&points).frame(WINDOW).unwrap();
        let (a, b) = (frame.at(points[0]), frame.at(points[2]));
        assert!(a[0] < b[0] && a[1] < b[1]);
    }

    /// Each end of the line says what it has most and least of, whichever way the line runs, off the line.
    #[test]
    fn each_end_says_what_it_is() {
        for (points, told) in [
            ([[1.0, 40.0], [2.0, 30.0], [4.0, 10.0]], ["least a", "most b", "most a", "least b"]),
            ([[4.0, 40.0], [2.0, 30.0], [1.0, 10.0]], ["most a", "most b", "least a", "least b"]),
        ] {
            let mut drawing = Drawing::default();
            trade(&points).draw_into(WINDOW, &mut drawing);
            let mut line = Covered::default();
            let frame = trade(&points).frame(WINDOW).unwrap();
            line.add_wire(points.map(|p| frame.at(p)).to_vec(), 1.0, false);
            let mut found = Vec::new();
            for mark in &drawing.marks {
                let Mark::Label { at, anchor, size, text, .. } = mark else { continue };
                if text.starts_with("most") || text.starts_with("least") {
                    assert!(line.is_clear(&block(*at, *anchor, *size, text)), "{text} at {at:?}");
                    found.push(text.as_str());
                }
            }
            assert_eq!(found, told);
        }
    }

    #[test]
    fn nothing_and_one_point_and_no_numbers_are_drawn_without_a_panic() {
        for points in [vec![], vec![[3.0, 3.0]], vec![[f64::NAN, 1.0], [f64::INFINITY, 2.0]]] {
            let mut drawing = Drawing::default();
            TradeOffChart { here: None, ..trade(&points) }.draw_into(WINDOW, &mut drawing);
            assert!(!drawing.marks.is_empty());
        }
    }

    /// The ends' words may be wider than the window: once that ended the page on a phone held across.
    #[test]
    fn a_window_of_any_size_takes_it() {
        let points = [[1.0, 10.0], [2.0, 30.0], [4.0, 40.0]];
        for width in [0.0, 1.0, 40.0, 90.0, 120.0, 150.0, 200.0, 4000.0] {
            for height in [0.0, 30.0, 100.0, 3000.0] {
                let mut drawing = Drawing::default();
                trade(&points).draw_into(Window { width, height }, &mut drawing);
                let extents = drawing.extents(|_| true);
                assert!(extents.is_none_or(|ends| ends.iter().flatten().all(|x| x.is_finite())));
            }
        }
    }

    #[test]
    fn steps_are_round() {
        for (step, round) in [(0.3, 0.5), (1.0, 1.0), (7.0, 10.0), (0.012, 0.02)] {
            assert!((round_step(step) / round - 1.0_f64).abs() < 1e-9, "{step}");
        }
    }
}
