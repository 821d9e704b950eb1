//! The ground of a map: its shades, the hatching where there is no clearance, and the lines along which
//! the answer turns, between the places that are known.

use super::{DEEPEST, HATCH, MapChart, MapFrame, OVERLAP};
use crate::answers::map::FINEST;
use crate::render::drawing::{Drawing, SHADES, Tone};

impl MapChart<'_> {
    /// Clearance at a place of the finest grid, from what is known round it.
    pub(super) fn clearance(&self, [i, j]: [u8; 2]) -> Option<f64> {
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

    pub(super) fn map_cells(&self, frame: &MapFrame, drawing: &mut Drawing) {
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
    pub(super) fn hatching(&self, frame: &MapFrame, drawing: &mut Drawing) {
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
    pub(super) fn turn(&self, level: f64, frame: &MapFrame) -> Vec<[[f64; 2]; 2]> {
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
}

/// A share of the way from the second to the third of four values in a row, so that neighbouring ways go
/// over into one another without a kink (Catmull and Rom's spline); those at the ends may be missing.
pub(super) fn spline([before, a, b, after]: [Option<f64>; 4], share: f64) -> f64 {
    let (Some(a), Some(b)) = (a, b) else { return f64::NAN };
    let (before, after) = (before.unwrap_or(2.0 * a - b), after.unwrap_or(2.0 * b - a));
    let square = 2.0 * before - 5.0 * a + 4.0 * b - after;
    let cube = 3.0 * (a - b) + after - before;
    a + 0.5 * share * (b - before + share * (square + share * cube))
}
