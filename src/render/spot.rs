//! A place to look at: a ring round it, the gap there, and its reading.

use super::PictureView;
use super::covered::Covered;
use super::drawing::{Anchor, Drawing, Tone};
use super::measure::{LETTER_WIDE, anywhere, block, is_free};
use crate::documents::units::{LengthUnit, length_text, length_text_down};
use crate::geometry::curve::{Point, Vector};

/// Two places on wires that come near one another, or overlap.
#[derive(Clone, Debug, PartialEq)]
pub struct ClosestPlaces {
    /// What is read there, in a maker's words.
    pub name: &'static str,
    /// On one wire.
    pub from: Point,
    /// On the other.
    pub to: Point,
    /// From one wire to the other where they are nearest, of length 1.
    pub across: Vector,
    /// Half the thinner wire, mm.
    pub radius: f64,
    /// How far apart, or how deep, mm.
    pub reading: f64,
    /// Whether it is a fault: the overlap is drawn as deep as it is, between two arrows.
    pub wrong: bool,
}

impl ClosestPlaces {
    /// Where a link sticks: how deep the wires would have to overlap to go on, mm.
    pub(super) fn would_overlap(self, reading: f64) -> ClosestPlaces {
        ClosestPlaces { name: "would overlap", reading, wrong: true, ..self }
    }
}

/// The ring's radius, that round an overlap, and from its middle to the label, CSS pixels.
const RING: f64 = 13.0;
const WIDE_RING: f64 = 20.0;
const LEAD: [f64; 2] = [34.0, 30.0];
/// Height of the letters, CSS pixels.
const LETTER: f64 = 13.0;

/// Draws the ring, the gap within and the reading beside it.
pub(super) fn lay(
    spot: &ClosestPlaces,
    view: &PictureView,
    unit: LengthUnit,
    covered: &Covered,
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
    let ring = if spot.wrong { WIDE_RING } else { RING };
    let round: Vec<[f64; 2]> = (0..=32)
        .map(|i| {
            let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 32.0).sin_cos();
            at(ring * cos, ring * sin)
        })
        .collect();
    stroke(&round, 2.0);
    if spot.wrong {
        overlap(spot, middle, view, drawing);
    } else {
        stroke(&[from, to], 2.0);
    }
    // To the right, and above, where there is space.
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
            && covered.is_clear(&block)
            && is_free(drawing, &block)
    };
    let found = ways.into_iter().find(is_clear);
    let size = view.mm(LETTER);
    let free = |at: [f64; 2]| {
        let block = block(at, Anchor::Middle, size, &words);
        let near: [f64; 2] = std::array::from_fn(|i| middle[i].clamp(block[0][i], block[1][i]));
        let beside = (near[0] - middle[0]).hypot(near[1] - middle[1]) > view.mm(1.3 * ring);
        beside && covered.is_clear(&block) && is_free(drawing, &block)
    };
    let mut far = anywhere(&words, middle, size, view.half()).map(|place| place.at);
    // Else anywhere in the window.
    let far = if found.is_none() { far.find(|place| free(*place)) } else { None };
    if let Some(place) = far {
        let [low, high] = block(place, Anchor::Middle, size, &words);
        let end: [f64; 2] = std::array::from_fn(|i| middle[i].clamp(low[i], high[i]));
        let (dx, dy) = (end[0] - middle[0], end[1] - middle[1]);
        let share = view.mm(ring) / dx.hypot(dy).max(view.mm(ring));
        let start = [middle[0] + share * dx, middle[1] + share * dy];
        drawing.stroke(Tone::Paper, &[start, end], view.mm(1.4 + 2.5));
        drawing.stroke(tone, &[start, end], view.mm(1.4));
        return drawing.label(tone, place, Anchor::Middle, size, words);
    }
    let ([side, up], times) = found.unwrap_or(([side, up], 1.0));
    let lead = LEAD.map(|lead| times * lead);
    let edge = ring / LEAD[0].hypot(LEAD[1]);
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

/// What two round wires would have in common where one lies across the other, as deep as told, and
/// from both sides an arrow: along the way from one to the other, true to scale.
fn overlap(spot: &ClosestPlaces, middle: [f64; 2], view: &PictureView, drawing: &mut Drawing) {
    let [x, y, _] = view.aim(spot.across);
    let seen = x.hypot(y);
    // Seen end on it has no depth on the picture; it is drawn upright, at its full depth.
    let (along, deep) = if seen > 0.2 { ([x / seen, y / seen], seen) } else { ([0.0, 1.0], 1.0) };
    let half = 0.5 * deep * spot.reading.max(0.0);
    let radius = spot.radius.max(half);
    // Two circles of the wire's radius, so far into one another.
    let wide = (radius * radius - (radius - half) * (radius - half)).sqrt();
    let at = |u: f64, v: f64| {
        [middle[0] + u * along[0] - v * along[1], middle[1] + u * along[1] + v * along[0]]
    };
    let edge = |v: f64| (radius * radius - v * v).max(0.0).sqrt() - (radius - half);
    let share = |i: usize| wide * (2.0 * i as f64 / STEPS as f64 - 1.0);
    let there = (0..=STEPS).map(|i| at(edge(share(i)), share(i)));
    let back = (0..=STEPS).rev().map(|i| at(-edge(share(i)), share(i)));
    let lens: Vec<[f64; 2]> = there.chain(back).collect();
    let outline: Vec<[f64; 2]> = lens.iter().chain(lens.first()).copied().collect();
    drawing.stroke(Tone::Paper, &outline, view.mm(2.4));
    drawing.fill(Tone::Warning, &lens);
    // From outside the ring, so that it is told from a clearance without colour.
    let ring = view.mm(WIDE_RING);
    for side in [-1.0, 1.0] {
        let (tip, end) = (side * ring, side * (ring + view.mm(ARROW)));
        let barb = side * (ring + view.mm(6.0));
        let barbs = [at(barb, view.mm(4.5)), at(tip, 0.0), at(barb, -view.mm(4.5))];
        for (tone, width) in [(Tone::Paper, 4.5), (Tone::Warning, 2.2)] {
            drawing.stroke(tone, &[at(end, 0.0), at(tip, 0.0)], view.mm(width));
            drawing.stroke(tone, &barbs, view.mm(width));
        }
    }
}

/// Steps of the overlap's edge, and length of its arrows, CSS pixels.
const STEPS: usize = 16;
const ARROW: f64 = 15.0;

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
            let spot = ClosestPlaces {
                name: "would overlap",
                from,
                to,
                across: Vector::z(),
                radius: 0.5,
                reading: 0.4,
                wrong: true,
            };
            let mut drawing = Drawing::default();
            lay(&spot, &view, LengthUnit::Mm, &Covered::default(), &mut drawing);
            let Some(Mark::Label { at, anchor, text, .. }) = drawing.marks.last() else {
                panic!("no words at {place}");
            };
            let [[start, _], [end, _]] = block(*at, *anchor, view.mm(LETTER), text);
            let half = view.half()[0];
            assert!(start >= -half && end <= half, "{place}: {at:?} {anchor:?}");
        }
    }

    /// An overlap is as deep on the picture as it is told, along the way between the wires.
    #[test]
    fn an_overlap_is_drawn_as_deep_as_it_is() {
        let fit = Framing { centre: Point::origin(), scale: 40.0 };
        let window = Window { width: 600.0, height: 400.0 };
        let view = Camera::default().view(Viewpoint::degrees(0.0, 90.0), fit, window);
        for (across, reading) in [(Vector::x(), 0.2), (Vector::y(), 0.5), (Vector::x(), 1.0)] {
            let (from, to) = (Point::origin(), Point::origin());
            let name = "would overlap";
            let spot = ClosestPlaces { name, from, to, across, radius: 0.5, reading, wrong: true };
            let mut drawing = Drawing::default();
            lay(&spot, &view, LengthUnit::Mm, &Covered::default(), &mut drawing);
            let filled = drawing.marks.iter().find_map(|mark| match mark {
                Mark::Fill { tone: Tone::Warning, points } => Some(points.clone()),
                _ => None,
            });
            let lens = &drawing.points[filled.unwrap()];
            let reach = |i: usize| {
                let along = lens.iter().map(|p| p[i]);
                along.clone().fold(f64::MIN, f64::max) - along.fold(f64::MAX, f64::min)
            };
            let (deep, wide) =
                if across.x > 0.5 { (reach(0), reach(1)) } else { (reach(1), reach(0)) };
            assert!((deep - reading).abs() < 1e-9, "{deep}, told {reading}");
            // The common chord of two circles of 0.5 whose middles are 1 less the depth apart.
            let chord = (1.0 - (1.0 - reading) * (1.0 - reading)).sqrt();
            assert!((wide - chord).abs() < 1e-9, "{wide}, {chord}");
        }
    }
}
