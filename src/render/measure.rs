//! Calliper measures drawn on the picture.

use super::PictureView;
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, Mark, Tone};
use crate::documents::units::{LengthUnit, length_text};
use crate::geometry::curve::{Point, Vector};
use crate::math::sort::sort_by_number;

/// A length between two places.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What is measured, in a maker's words.
    pub name: &'static str,
    /// One jaw of the callipers.
    pub from: Point,
    /// The other jaw.
    pub to: Point,
    /// From the jaws to where the dimension line stands clear of the wire, mm; none where it
    /// is read between the jaws. Lengthwise, it leads the label away.
    pub aside: Vector,
    /// What the callipers read, mm.
    pub reading: f64,
}

/// From the wire to the dimension line, CSS pixels.
const CLEAR: f64 = 14.0;
/// Height of the letters, CSS pixels.
const LETTER: f64 = 13.0;
/// Width of a bold letter over its height: 0.66 in the widest system face tried, and a little.
pub(super) const LETTER_WIDE: f64 = 0.69;
/// A measure seen so much end on, as a share of its length, is left out.
const END_ON: f64 = 0.15;

/// Draws the line between the jaws, clear of the wire, with a stop at each end, thin lines
/// back to what is measured, and the reading beside it.
pub(super) fn lay(
    measure: &Measure,
    view: &PictureView,
    unit: LengthUnit,
    covered: &Covered,
    drawing: &mut Drawing,
) {
    let jaws = [view.flat(measure.from), view.flat(measure.to)];
    let (dx, dy) = (jaws[1][0] - jaws[0][0], jaws[1][1] - jaws[0][1]);
    let length = dx.hypot(dy);
    if length < END_ON * (measure.to - measure.from).norm() {
        return;
    }
    // What is measured lies out of sight: its label would stand at the edge and tell nothing.
    let seen = view.half();
    if (0..2).any(|i| 0.5 * (jaws[0][i] + jaws[1][i]).abs() > seen[i]) {
        return;
    }
    // A closed gap has no direction: its stops stand upright.
    let along = if length > 1e-9 { [dx / length, dy / length] } else { [0.0, 1.0] };
    let [x, y, _] = view.aim(measure.aside);
    let far = x.hypot(y);
    let path = if far > 1e-9 { [x / far, y / far] } else { [0.0, 0.0] };
    let moved = |p: [f64; 2], by: [f64; 2]| [p[0] + by[0], p[1] + by[1]];
    // The label goes all the way aside; the line only so far as that is across the measure.
    let clear = far + view.mm(if far > 1e-9 { CLEAR } else { 0.0 });
    let out = [clear * path[0], clear * path[1]];
    let lengthways = out[0] * along[0] + out[1] * along[1];
    let led = lengthways.abs() > 0.5 * clear;
    let shift = if led { [0.0, 0.0] } else { out };
    let line = jaws.map(|jaw| moved(jaw, shift));
    let width = view.mm(1.4);
    let across = [-along[1], along[0]];
    let stop = view.mm(5.0);
    let middle = [0.5 * (line[0][0] + line[1][0]), 0.5 * (line[0][1] + line[1][1])];
    let mut stroke = |points: &[[f64; 2]], width: f64| {
        // A paler edge keeps the line readable where it crosses the wire.
        drawing.stroke(Tone::Paper, points, width + view.mm(2.0));
        drawing.stroke(Tone::Measure, points, width);
    };
    if led {
        stroke(&[middle, moved(middle, out)], 0.6 * width);
    } else if clear > 0.0 {
        for (jaw, end) in jaws.iter().zip(&line) {
            stroke(&[*jaw, *end], 0.6 * width);
        }
    }
    stroke(&line, width);
    for end in line {
        let at = |sign: f64| moved(end, [sign * stop * across[0], sign * stop * across[1]]);
        stroke(&[at(-1.0), at(1.0)], width);
    }
    let reading = length_text(measure.reading, unit);
    let full = format!("{} {reading}", measure.name);
    let middle = if led { moved(middle, out) } else { middle };
    let half = view.half();
    let wide = |text: &str| view.mm(LETTER_WIDE * LETTER) * text.chars().count() as f64;
    // Beside a line that stands, on the side away from the wire, or else on the other; in two lines
    // where the window has no space for one.
    let level = x.abs() > y.abs() || (far < 1e-9 && along[1].abs() > along[0].abs());
    let size = view.mm(LETTER);
    let mut places: Vec<Vec<Written>> = Vec::new();
    if level {
        let first = if x < 0.0 { -1.0 } else { 1.0 };
        for sign in [first, -first] {
            let anchor = if sign < 0.0 { Anchor::End } else { Anchor::Start };
            let start = middle[0] + sign * view.mm(9.0);
            let fits = |text: &str| sign * start + wide(text) < half[0];
            let line = |text: &str, lines_up: f64| Written {
                at: [start, middle[1] + view.mm(lines_up * 1.25 * LETTER)],
                anchor,
                text: text.into(),
            };
            if fits(&full) {
                places.push(vec![line(&full, 0.0)]);
            }
            if fits(measure.name) && fits(&reading) {
                places.push(vec![line(measure.name, 0.5), line(&reading, -0.5)]);
            }
        }
    }
    // Else above or below the whole of it, drawn in from the window's edges; below where it was
    // to stand beside, since what lies across is told above. Further away by whole lines, or else
    // nearer, where another reading stands already.
    let lean = if led { 0.0 } else { 0.5 * (line[1][1] - line[0][1]).abs() };
    let over = lean + view.mm(if level { 1.6 * LETTER } else { LETTER });
    let over = if y < 0.0 || level { -over } else { over };
    let most = [(half[0] - 0.5 * wide(&full)).max(0.0), (half[1] - view.mm(LETTER)).max(0.0)];
    for lines in [0.0, 1.0, 2.0, 3.0, -1.0, -2.0, -3.0, 4.0, 5.0, 6.0, -4.0, -5.0, -6.0] {
        let up = middle[1] + over + view.mm(1.3 * LETTER) * over.signum() * lines;
        let at = [middle[0].clamp(-most[0], most[0]), up.clamp(-most[1], most[1])];
        places.push(vec![Written { at, anchor: Anchor::Middle, text: full.clone() }]);
    }
    // Clear of wire and readings; with a line to it anywhere in the window; clear of readings at least.
    let is_free = |place: &&Vec<Written>, wire: bool| {
        place.iter().all(|one| {
            let block = block(one.at, one.anchor, size, &one.text);
            (!wire || covered.is_clear(&block)) && is_free(drawing, &block)
        })
    };
    let anywhere = || anywhere(&full, middle, size, half).map(|place| vec![place]);
    let beside = places.iter().find(|place| is_free(place, true)).cloned();
    let far = match beside {
        Some(_) => None,
        None => anywhere().find(|place| is_free(&place, true)),
    };
    let led = far.as_deref().and_then(<[Written]>::first).map(|written| {
        let [low, high] = block(written.at, written.anchor, size, &full);
        std::array::from_fn(|i| middle[i].clamp(low[i], high[i]))
    });
    let chosen = beside.or(far).or_else(|| places.iter().find(|p| is_free(p, false)).cloned());
    let Some(chosen) = chosen.or(places.first().cloned()) else { return };
    if let Some(end) = led {
        drawing.stroke(Tone::Paper, &[middle, end], 0.6 * width + view.mm(2.0));
        drawing.stroke(Tone::Measure, &[middle, end], 0.6 * width);
    }
    for Written { at, anchor, text } in chosen {
        drawing.label(Tone::Measure, at, anchor, size, text);
    }
}

/// Places of a text all over the window, the nearest to `middle` first.
pub(super) fn anywhere(
    text: &str,
    middle: [f64; 2],
    size: f64,
    half: [f64; 2],
) -> impl Iterator<Item = Written> + use<> {
    let [low, high] = block([0.0, 0.0], Anchor::Middle, size, text);
    let reach = [half[0] - high[0], half[1] - high[1]].map(|reach| reach.max(0.0));
    let step = [0.25 * (high[0] - low[0]), 0.5 * (high[1] - low[1])];
    let count = [0, 1].map(|i| (reach[i] / step[i]).floor() as i32);
    let place = |i: usize, k: i32| step[i] * f64::from(k);
    let columns = move |row| (-count[0]..=count[0]).map(move |k| [place(0, k), place(1, row)]);
    let mut all: Vec<[f64; 2]> = (-count[1]..=count[1]).flat_map(columns).collect();
    let far = |at: &[f64; 2]| (at[0] - middle[0]).hypot(at[1] - middle[1]);
    sort_by_number(&mut all, far);
    let text = text.to_string();
    all.into_iter().map(move |at| Written { at, anchor: Anchor::Middle, text: text.clone() })
}

/// A line of a label, and where it would stand.
#[derive(Clone)]
pub(super) struct Written {
    pub(super) at: [f64; 2],
    anchor: Anchor,
    text: String,
}

/// The lower left and upper right corner of what a label covers.
pub(super) fn block(at: [f64; 2], anchor: Anchor, size: f64, text: &str) -> [[f64; 2]; 2] {
    let wide = LETTER_WIDE * size * text.chars().count() as f64;
    let left = match anchor {
        Anchor::Start => at[0],
        Anchor::Middle => at[0] - 0.5 * wide,
        Anchor::End => at[0] - wide,
    };
    [[left, at[1] - 0.6 * size], [left + wide, at[1] + 0.6 * size]]
}

/// Whether no reading stands in that block yet.
pub(super) fn is_free(drawing: &Drawing, [low, high]: &[[f64; 2]; 2]) -> bool {
    let overlaps =
        |there: [[f64; 2]; 2]| (0..2).all(|i| there[0][i] < high[i] && low[i] < there[1][i]);
    !drawing.marks.iter().any(|mark| match mark {
        Mark::Label { at, anchor, size, text, .. } => overlaps(block(*at, *anchor, *size, text)),
        _ => false,
    })
}

/// How many labels are in `drawing`, and those that lie on a mark or on a label before them.
#[cfg(test)]
pub(super) fn covered_labels(drawing: &mut Drawing) -> (usize, Vec<String>) {
    let (labels, marks): (Vec<Mark>, Vec<Mark>) = std::mem::take(&mut drawing.marks)
        .into_iter()
        .partition(|mark| matches!(mark, Mark::Label { .. }));
    drawing.marks = marks;
    let (count, mut covered) = (labels.len(), Vec::new());
    for label in labels {
        let Mark::Label { at, anchor, size, text, .. } = &label else { continue };
        let block = block(*at, *anchor, *size, text);
        if !Covered::drawn(drawing).is_clear(&block) || !is_free(drawing, &block) {
            covered.push(text.clone());
        }
        drawing.marks.push(label);
    }
    (count, covered)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Labels stay whole within the window, wherever the work is turned.
    #[test]
    fn a_label_stays_in_the_window() {
        use crate::render::{Camera, Framing, Viewpoint, Window};
        let window = Window { width: 300.0, height: 200.0 };
        let fit = Framing { centre: Point::origin(), scale: 20.0 };
        let measure = Measure {
            name: "bore",
            from: Point::new(6.0, -1.3, 0.0),
            to: Point::new(6.0, 1.3, 0.0),
            aside: Vector::new(1.2, 0.0, 0.0),
            reading: 2.6,
        };
        for degrees in 0..36 {
            let home = Viewpoint::degrees(10.0 * f64::from(degrees), 40.0);
            let view = Camera::default().view(home, fit, window);
            let mut drawing = Drawing::default();
            lay(&measure, &view, LengthUnit::Mm, &Covered::default(), &mut drawing);
            for mark in &drawing.marks {
                let Mark::Label { at, anchor, text, .. } = mark else { continue };
                let [[start, _], [end, _]] = block(*at, *anchor, view.mm(LETTER), text);
                let half = view.half()[0] + 1e-9;
                assert!(start >= -half && end <= half, "{degrees}: {at:?} {anchor:?}");
            }
        }
    }

    /// A reading lies beside the wire and beside other readings, wherever the work is turned, on the
    /// pictures of a phone, a tablet, a laptop, that at 200 % and a projector.
    #[test]
    fn readings_keep_clear_of_the_wire_and_of_one_another() {
        use crate::documents::design::Design;
        use crate::motion::chain::{About, Body, Weave, measure};
        use crate::render::chain::lying;
        use crate::render::{Camera, Window, moment};
        let forming = Design::plain(0.9, 12.0).formings().unwrap()[0];
        let link = Body::of(&forming.fold);
        let found = measure(&link, Weave::SINGLE).unwrap();
        let row = lying(&link, &found, &found.bent(&link, About::X, 0.0), 6);
        let scenes = [moment(&forming, 0.2), moment(&forming, 0.4), moment(&forming, 0.65), row];
        let windows =
            [[366.0, 338.0], [788.0, 520.0], [780.0, 488.0], [320.0, 200.0], [1096.0, 702.0]];
        let mut all = 0;
        for [width, height] in windows {
            let window = Window { width, height };
            for (scene, turned) in scenes.iter().flat_map(|s| (0..12).map(move |turn| (s, turn))) {
                let mut camera = Camera::default();
                camera.turn(scene.home, 0.5 * f64::from(turned), 0.0);
                let view = camera.view(scene.home, scene.fit(scene.home, window), window);
                let mut drawing = Drawing::default();
                scene.draw_into(&view, LengthUnit::Mm, &mut drawing);
                let (count, covered) = covered_labels(&mut drawing);
                assert!(covered.is_empty(), "{covered:?} in {window:?}, turned {turned}");
                all += count;
            }
        }
        println!("{all} readings, none on wire or on another");
        assert!(all > 300, "{all}");
    }

    /// Two readings beneath one another's lines, as on a narrow phone, do not cover one another.
    #[test]
    fn readings_keep_clear_of_one_another() {
        use crate::render::{Camera, Framing, Viewpoint, Window};
        let window = Window { width: 366.0, height: 416.0 };
        let fit = Framing { centre: Point::origin(), scale: 30.0 };
        let measure = |name, x: f64| Measure {
            name,
            from: Point::new(x - 1.0, 0.0, 0.0),
            to: Point::new(x + 1.0, 0.0, 0.0),
            aside: Vector::new(0.0, 0.0, -2.0),
            reading: 2.0,
        };
        let view = Camera::default().view(Viewpoint::default(), fit, window);
        for apart in 0..20 {
            let mut drawing = Drawing::default();
            for (name, x) in [("leg gap", 0.0), ("height", 0.2 * f64::from(apart)), ("bore", 0.5)] {
                lay(&measure(name, x), &view, LengthUnit::Mm, &Covered::default(), &mut drawing);
            }
            let mut seen = Drawing::default();
            for mark in drawing.marks {
                let Mark::Label { at, anchor, size, text, .. } = &mark else { continue };
                assert!(is_free(&seen, &block(*at, *anchor, *size, text)), "{apart}: {text}");
                seen.marks.push(mark);
            }
            assert_eq!(seen.marks.len(), 3);
        }
    }
}
