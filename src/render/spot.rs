//! A place to look at: a ring round it, the gap there, and its reading.

use super::PictureView;
use super::drawing::{Anchor, Drawing, Tone};
use super::measure::{LETTER_WIDE, anywhere, block, is_free};
use crate::documents::units::{LengthUnit, length_text, length_text_down};
use crate::geometry::curve::Point;

/// Two places on wires that come near one another, or overlap.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosestPlaces {
    /// What is read there, in a maker's words.
    pub name: &'static str,
    /// On one wire.
    pub from: Point,
    /// On the other.
    pub to: Point,
    /// How far apart, or how deep, mm.
    pub reading: f64,
    /// Whether it is a fault: crossed out, not only in another colour.
    pub wrong: bool,
}

impl ClosestPlaces {
    /// Where a link sticks: how deep the wires would have to overlap to go on, mm.
    pub(super) fn would_overlap(self, reading: f64) -> ClosestPlaces {
        ClosestPlaces { name: "would overlap", reading, wrong: true, ..self }
    }
}

/// The ring's radius, and from its middle to the label, CSS pixels.
const RING: f64 = 13.0;
const LEAD: [f64; 2] = [34.0, 30.0];
/// Height of the letters, CSS pixels.
const LETTER: f64 = 13.0;

/// Draws the ring, the gap within and the reading beside it.
pub(super) fn lay(
    spot: &ClosestPlaces,
    view: &PictureView,
    unit: LengthUnit,
    drawing: &mut Drawing,
) {
    let tone = if spot.wrong { Tone::Warning } else { Tone::Accent };
    let (from, to) = (view.flat(spot.from), view.flat(spot.to));
    let middle = [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])];
    let at = |x: f64, y: f64| [middle[0] + view.mm(x), middle[1] + view.mm(y)];
    let mut stroke = |points: &[[f64; 2]], width: f64| {
        drawing.stroke(Tone::Paper, points, view.mm(width + 2.5));
        drawing.stroke(tone, points, view.mm(width));
    };
    let ring: Vec<[f64; 2]> = (0..=32)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 32.0).sin_cos();
            at(RING * cos, RING * sin)
        })
        .collect();
    stroke(&ring, 2.0);
    if spot.wrong {
        let c = RING * std::f64::consts::FRAC_1_SQRT_2;
        stroke(&[at(-c, -c), at(c, c)], 2.0);
        stroke(&[at(-c, c), at(c, -c)], 2.0);
    } else {
        stroke(&[from, to], 2.0);
    }
    // To the right, and above, where there is clearance.
    // A clearance is told rounded down, like the verdict; an overlap is not made smaller.
    let reading = if spot.wrong { length_text } else { length_text_down };
    let words = format!("{} {}", spot.name, reading(spot.reading, unit));
    let wide = LETTER_WIDE * LETTER * words.chars().count() as f64 + 8.0;
    let [half_x, half_y] = view.half().map(|mm| mm * view.scale);
    let place = middle.map(|mm| mm * view.scale);
    let side = if place[0] + LEAD[0] + wide < half_x { 1.0 } else { -1.0 };
    let up = if place[1] + LEAD[1] + LETTER < half_y { 1.0 } else { -1.0 };
    // Clear of wire and readings where some direction and length of the line gives that.
    let label = |side: f64, times: f64| {
        let anchor = if side > 0.0 { Anchor::Start } else { Anchor::End };
        // Drawn in where neither side has space for all of it.
        let most = (half_x - wide).max(-half_x);
        let beside = (place[0] + side * (times * LEAD[0] + 10.0)) * side;
        (side * beside.min(most) - place[0], anchor)
    };
    let turns = [[side, up], [-side, up], [side, -up], [-side, -up]];
    let ways = [1.0, 1.7, 2.5, 3.5, 5.0].into_iter();
    let ways = ways.flat_map(|times| turns.map(|turn| (turn, times)));
    let is_clear = |&([side, up], times): &([f64; 2], f64)| {
        let (x, anchor) = label(side, times);
        let far = [place[0] + side * times * LEAD[0], place[1] + up * times * LEAD[1]];
        let block = block(at(x, up * times * LEAD[1]), anchor, view.mm(LETTER), &words);
        side * far[0] + wide < half_x
            && far[1].abs() + LETTER < half_y
            && is_free(drawing, &block, true)
    };
    let found = ways.into_iter().find(is_clear);
    let size = view.mm(LETTER);
    let free = |at: [f64; 2]| {
        let block = block(at, Anchor::Middle, size, &words);
        let near: [f64; 2] = std::array::from_fn(|i| middle[i].clamp(block[0][i], block[1][i]));
        let beside = (near[0] - middle[0]).hypot(near[1] - middle[1]) > view.mm(1.3 * RING);
        beside && is_free(drawing, &block, true)
    };
    let mut far = anywhere(&words, middle, size, view.half()).map(|place| place.at);
    // Else anywhere in the window.
    let far = if found.is_none() { far.find(|place| free(*place)) } else { None };
    if let Some(place) = far {
        let [low, high] = block(place, Anchor::Middle, size, &words);
        let end: [f64; 2] = std::array::from_fn(|i| middle[i].clamp(low[i], high[i]));
        let (dx, dy) = (end[0] - middle[0], end[1] - middle[1]);
        let share = view.mm(RING) / dx.hypot(dy).max(view.mm(RING));
        let start = [middle[0] + share * dx, middle[1] + share * dy];
        drawing.stroke(Tone::Paper, &[start, end], view.mm(1.4 + 2.5));
        drawing.stroke(tone, &[start, end], view.mm(1.4));
        return drawing.label(tone, place, Anchor::Middle, size, words);
    }
    let ([side, up], times) = found.unwrap_or(([side, up], 1.0));
    let lead = LEAD.map(|lead| times * lead);
    let edge = RING / LEAD[0].hypot(LEAD[1]);
    let (x, anchor) = label(side, times);
    let mut stroke = |points: &[[f64; 2]], width: f64| {
        drawing.stroke(Tone::Paper, points, view.mm(width + 2.5));
        drawing.stroke(tone, points, view.mm(width));
    };
    stroke(
        &[
            at(side * edge * LEAD[0], up * edge * LEAD[1]),
            at(side * lead[0], up * lead[1]),
            at(side * (lead[0] + 6.0), up * lead[1]),
        ],
        1.4,
    );
    drawing.label(tone, at(x, up * lead[1]), anchor, view.mm(LETTER), words);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::{Camera, Framing, Mark, Viewpoint, Window};

    /// Wherever the spot lies in a window that has space for the words at neither side.
    #[test]
    fn the_words_stay_in_the_window() {
        let window = Window { width: 240.0, height: 200.0 };
        let fit = Framing { centre: Point::origin(), scale: 20.0 };
        let view = Camera::default().view(Viewpoint::default(), fit, window);
        for place in -5..=5 {
            let x = f64::from(place);
            let (from, to) = (Point::new(x, 0.0, 0.0), Point::new(x, 0.0, 0.1));
            let spot = ClosestPlaces { name: "would overlap", from, to, reading: 0.4, wrong: true };
            let mut drawing = Drawing::default();
            lay(&spot, &view, LengthUnit::Mm, &mut drawing);
            let Some(Mark::Label { at, anchor, text, .. }) = drawing.marks.last() else {
                panic!("no words at {place}");
            };
            let [[start, _], [end, _]] = block(*at, *anchor, view.mm(LETTER), text);
            let half = view.half()[0];
            assert!(start >= -half && end <= half, "{place}: {at:?} {anchor:?}");
        }
    }
}
