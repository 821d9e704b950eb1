//! Contours of parts, in the plane.

use crate::geometry::link::push_arc;
use crate::mesh::Contour;
use std::f64::consts::TAU;

/// Width of an engraved stroke, and what is left between two, mm.
const STROKE: f64 = 1.0;
const BETWEEN: f64 = 1.4;
/// Length of a stroke, mm.
pub const STROKE_LENGTH: f64 = 3.0;

pub fn rectangle([x, y]: [f64; 2], [right, top]: [f64; 2]) -> Contour {
    vec![[x, y], [right, y], [right, top], [x, top]]
}

pub fn moved(contour: &[[f64; 2]], [x, y]: [f64; 2]) -> Contour {
    contour.iter().map(|p| [p[0] + x, p[1] + y]).collect()
}

/// Least and greatest x and y.
pub fn extents<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> [[f64; 2]; 2] {
    let all = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
    points.into_iter().fold(all, |[low, high], p| {
        [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
    })
}

/// Width of `count` strokes side by side.
pub fn strokes_width(count: usize) -> f64 {
    count as f64 * (STROKE + BETWEEN) - BETWEEN
}

/// `count` upright strokes about a middle.
pub fn strokes(middle: [f64; 2], count: usize) -> Vec<Contour> {
    let left = middle[0] - 0.5 * strokes_width(count);
    let [low, high] = [-0.5, 0.5].map(|share| middle[1] + share * STROKE_LENGTH);
    let stroke = |k: usize| {
        let x = left + k as f64 * (STROKE + BETWEEN);
        rectangle([x, low], [x + STROKE, high])
    };
    (0..count).map(stroke).collect()
}

/// One stroke along x, `length` long, about a middle.
pub fn bar([x, y]: [f64; 2], length: f64) -> Contour {
    rectangle([x - 0.5 * length, y - 0.5 * STROKE], [x + 0.5 * length, y + 0.5 * STROKE])
}

/// An anticlockwise contour together with a disc that it runs into and out of once; none where it
/// does not.
pub fn with_disc(contour: &[[f64; 2]], centre: [f64; 2], radius: f64) -> Option<Contour> {
    let off = |p: &[f64; 2]| (p[0] - centre[0]).hypot(p[1] - centre[1]) - radius;
    let count = contour.len();
    let is_in = |i: usize| off(&contour[i % count]) < 0.0;
    let entries: Vec<usize> = (0..count).filter(|&i| !is_in(i) && is_in(i + 1)).collect();
    let &[entry] = entries.as_slice() else { return None };
    let exit = (entry + 1..entry + count).find(|&i| is_in(i) && !is_in(i + 1))?;
    // By bisection: chords are short, and forty halvings are more than enough for a nanometre.
    let crossing = |i: usize| {
        let (a, b) = (contour[i % count], contour[(i + 1) % count]);
        let at = |s: f64| [a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1])];
        let (mut low, mut high) = (0.0, 1.0);
        let starts_in = off(&a) < 0.0;
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if (off(&at(middle)) < 0.0) == starts_in { low = middle } else { high = middle }
        }
        at(low)
    };
    let angle = |p: [f64; 2]| (p[1] - centre[1]).atan2(p[0] - centre[0]);
    let (from, to) = (angle(crossing(entry)), angle(crossing(exit)));
    let to = if to > from { to } else { to + TAU };
    let mut joined = Vec::new();
    push_arc(&mut joined, centre, radius, [from, to]);
    joined.extend((exit + 1..=entry + count).map(|i| contour[i % count]));
    Some(joined)
}
