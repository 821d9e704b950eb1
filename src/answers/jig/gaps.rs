//! The gap gauge and the printer's test piece: slots over wires.
//!
//! A blade as thin as a waist gap or a tip gap cannot be printed, so that the gaps are measured over
//! the wires on either side: a card with slots, go and no-go, straddles the waist of the flat eight
//! across its length, and the tips of the folded loop from above. The card has a thickness, and what
//! its slot has to let in is the widest within that.

use super::contour::{STROKE_LENGTH, bar, strokes, strokes_width};
use super::error::JigError;
use super::part::{Gauged, Jig, JigKind, JigMeasure, STROKE_DEPTH};
use crate::geometry::link::{Forming, side_view};
use crate::mesh::{Contour, Prism};

/// Thickness of the card, and what is left between two slots, mm.
const CARD: f64 = 1.6;
const BETWEEN: f64 = 3.0;
/// Slots are deeper than the wire by this, mm.
const DEEPER: f64 = 1.0;
/// Slots of the test piece: how much wider than the wire, mm.
pub const TEST_STEPS: [f64; 4] = [0.0, 0.1, 0.2, 0.3];
const TEST_DEPTH: f64 = 6.0;
const TEST_HEIGHT: f64 = 4.0;

/// Width over both wires of the waist, within half a card of its middle.
fn over_waist(forming: &Forming) -> f64 {
    let places = forming.eight.curve().walk(0.01);
    let near = places.iter().filter(|(p, _)| p.x.abs() <= 0.5 * CARD);
    2.0 * near.map(|(p, _)| p.y.abs()).fold(0.0, f64::max) + forming.setting.wire
}

/// Width over both tips, a wire below their top.
fn over_tips(forming: &Forming) -> f64 {
    let edge = side_view(&forming.fold);
    let top = edge.iter().map(|p| p[1]).fold(f64::NEG_INFINITY, f64::max);
    let high = edge.iter().filter(|p| p[1] >= top - forming.setting.wire);
    2.0 * high.map(|p| p[0]).fold(0.0, f64::max)
}

/// A card whose upper edge has slots of these widths and depths, each in a cell at least `cell(k)`
/// wide; and the middles of the slots.
fn slotted(slots: &[(f64, f64)], body: f64, cell: impl Fn(usize) -> f64) -> (Contour, Vec<f64>) {
    let top = body + slots.iter().map(|(_, depth)| *depth).fold(0.0, f64::max);
    let (mut x, mut upper, mut middles) = (BETWEEN, Vec::new(), Vec::new());
    for (k, (width, depth)) in slots.iter().enumerate() {
        let cell = cell(k).max(*width);
        let (left, bottom) = (x + 0.5 * (cell - width), top - depth);
        upper.extend([[left, top], [left, bottom], [left + width, bottom], [left + width, top]]);
        middles.push(x + 0.5 * cell);
        x += cell + BETWEEN;
    }
    upper.extend([[x, top], [x, 0.0], [0.0, 0.0], [0.0, top]]);
    upper.reverse();
    (upper, middles)
}

pub(super) fn gap_gauge(sizes: &[Gauged], allowance: f64) -> Result<Jig, JigError> {
    let mut parts = Vec::new();
    let mut measures = Vec::new();
    let mut y = 0.0;
    for (size, forming, tolerance) in sizes {
        let wire = forming.setting.wire;
        let spread = 2.0 * tolerance.beside_mm;
        let gaps =
            [("waist", over_waist(forming), wire + DEEPER), ("tips", over_tips(forming), wire)];
        let mut slots = Vec::new();
        for (name, over, depth) in gaps {
            slots.extend([1.0, -1.0].map(|sign| (over + sign * spread + allowance, depth)));
            measures.push(JigMeasure {
                name: format!("size {}, over the {name}", size + 1),
                mm: over,
                go_mm: Some(over + spread),
                no_go_mm: Some(over - spread),
            });
        }
        let body = BETWEEN + STROKE_LENGTH + BETWEEN;
        let header = |k: usize| if k == 0 { strokes_width(size + 1) } else { STROKE_LENGTH };
        let (card, middles) = slotted(&slots, body, header);
        let mut prisms = vec![Prism { contour: card, from: 0.0, to: CARD }];
        let row = BETWEEN + 0.5 * STROKE_LENGTH;
        let mut engraved = strokes([middles[0], row], size + 1);
        engraved.extend([1, 3].map(|k| bar([middles[k], row], STROKE_LENGTH)));
        prisms.extend(engraved.into_iter().map(|contour| Prism {
            contour,
            from: CARD - STROKE_DEPTH,
            to: CARD,
        }));
        let deepest = wire + DEEPER;
        for prism in &mut prisms {
            prism.contour.iter_mut().for_each(|p| p[1] += y);
        }
        y += body + deepest + BETWEEN;
        parts.push(prisms);
    }
    let jig = Jig::of(JigKind::Feeler, parts, "make one for one size at a time")?;
    let note = "From the left: over the waist of the flat eight, go and no-go; over the tips of the folded loop, pushed down from above, go and no-go. No-go has a bar. Gaps are measured over the wires, since a blade as thin as they are cannot be printed.";
    Ok(Jig { measures, tolerances: sizes.iter().map(|(_, _, t)| *t).collect(), ..jig }
        .noting(note.into()))
}

/// Slots for wire of a diameter, each told by its strokes.
pub(super) fn test_piece(wire: f64) -> Result<Jig, JigError> {
    let slots = TEST_STEPS.map(|wider| (wire + wider, TEST_DEPTH));
    let body = 2.0 * BETWEEN + STROKE_LENGTH;
    let (card, middles) = slotted(&slots, body, |k| strokes_width(k + 1));
    let row = BETWEEN + 0.5 * STROKE_LENGTH;
    let engraved = (0..slots.len()).flat_map(|k| strokes([middles[k], row], k + 1));
    let mut prisms = vec![Prism { contour: card, from: 0.0, to: TEST_HEIGHT }];
    let engrave = |contour| Prism { contour, from: TEST_HEIGHT - STROKE_DEPTH, to: TEST_HEIGHT };
    prisms.extend(engraved.map(engrave));
    let mut jig = Jig::of(JigKind::Test, vec![prisms], "try a thinner wire")?;
    for (k, wider) in TEST_STEPS.iter().enumerate() {
        jig = jig.measuring(&format!("slot {}", k + 1), wire + wider);
    }
    let note = "Try the wire itself in the slots. The narrowest that it slides into without force tells what your printer makes too thick: 0, 0.1, 0.2 or 0.3 mm, from one stroke to four. Type that in once, and every part allows for it.";
    Ok(jig.noting(note.into()))
}
