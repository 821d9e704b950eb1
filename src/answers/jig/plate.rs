//! The gauge plate: for every size and step a pocket that a good link goes into and one it does not.
//!
//! A pocket is the outer edge of the link as it lies, from above, of the folded loop from the side,
//! moved out (*go*) or in (*no-go*) by the tolerance. Since the wire's length is what it is, a
//! link that is too small somewhere reaches too far elsewhere and stays out of *go*; one that is too
//! small as a whole goes into *no-go*. Rows are the steps, told by one to four strokes; columns
//! the sizes, told by their strokes over *go*, with a bar over *no-go*.

use super::contour::{
    STROKE_LENGTH, bar, extents, moved, rectangle, strokes, strokes_width, with_disc,
};
use super::error::JigError;
use super::part::{BASE, Gauged, Jig, JigKind, JigMeasure, Pocket, STROKE_DEPTH};
use crate::geometry::link::{Forming, OutlineShape, boundary};
use crate::math::units::Mm;
use crate::mesh::{Contour, Prism};

/// What is left between two pockets, and round them, mm.
const BETWEEN: f64 = 2.4;
/// A finger notch is at most this wide, and at most this share of its pocket's lesser side, mm.
const NOTCH: f64 = 4.0;
const NOTCH_SHARE: f64 = 0.4;
const STEPS: usize = OutlineShape::ALL.len();

struct Cell {
    pocket: Pocket,
    contour: Contour,
    low: [f64; 2],
    size: [f64; 2],
    depth: f64,
}

pub(super) fn plate(sizes: &[Gauged], allowance: f64) -> Result<Jig, JigError> {
    let mut columns: Vec<Vec<Cell>> = Vec::new();
    let mut measures = Vec::new();
    for (size, forming, tolerance) in sizes {
        for is_go in [true, false] {
            let beyond = if is_go { tolerance.beside_mm } else { -tolerance.beside_mm };
            let cells = (0..STEPS).map(|step| cell(*size, forming, step, is_go, beyond, allowance));
            columns.push(cells.collect::<Result<_, _>>()?);
        }
        for step in 0..STEPS {
            let over_all = |beyond: f64| {
                let edge = boundary(forming, OutlineShape::ALL[step], beyond).unwrap_or_default();
                let [low, high] = extents(&edge);
                let axis = usize::from(OutlineShape::ALL[step] == OutlineShape::Fold);
                high[axis] - low[axis]
            };
            let what = ["ring, across", "oval, long", "eight, long", "fold, high"][step];
            let name = format!("size {}, {what}", size + 1);
            measures.push(JigMeasure {
                name,
                mm: over_all(0.0),
                go_mm: Some(over_all(tolerance.beside_mm)),
                no_go_mm: Some(over_all(-tolerance.beside_mm)),
            });
        }
    }
    let depth = columns.iter().flatten().map(|cell| cell.depth).fold(0.0, f64::max);
    let top = BASE + depth;
    let left = BETWEEN + strokes_width(STEPS) + BETWEEN;
    let row_heights: Vec<f64> = (0..STEPS)
        .map(|step| columns.iter().map(|cells| cells[step].size[1]).fold(STROKE_LENGTH, f64::max))
        .collect();
    let height =
        BETWEEN + row_heights.iter().map(|h| h + BETWEEN).sum::<f64>() + STROKE_LENGTH + BETWEEN;
    let mut prisms = Vec::new();
    let mut engraved = Vec::new();
    let mut pockets = Vec::new();
    let mut x = left;
    for (column, cells) in columns.into_iter().enumerate() {
        let (size, _, _) = sizes[column / 2];
        let is_go = column % 2 == 0;
        let width = cells.iter().map(|cell| cell.size[0]).fold(0.0, f64::max);
        let header = if is_go { strokes_width(size + 1) } else { STROKE_LENGTH };
        let width = width.max(header);
        let middle = x + 0.5 * width;
        let mut y = height - BETWEEN - 0.5 * STROKE_LENGTH;
        engraved.extend(match is_go {
            true => strokes([middle, y], size + 1),
            false => vec![bar([middle, y], STROKE_LENGTH)],
        });
        y -= 0.5 * STROKE_LENGTH + BETWEEN;
        for (cell, row) in cells.into_iter().zip(&row_heights) {
            let corner = [middle - 0.5 * cell.size[0], y - 0.5 * (row + cell.size[1])];
            let place = [corner[0] - cell.low[0], corner[1] - cell.low[1]];
            let bottom = top - cell.depth;
            prisms.push(Prism { contour: moved(&cell.contour, place), from: bottom, to: top });
            let middle = [middle, y - 0.5 * row];
            pockets.push(Pocket { place, middle, bottom, top, ..cell.pocket });
            y -= row + BETWEEN;
        }
        x += width + BETWEEN;
    }
    let mut y = height - BETWEEN - STROKE_LENGTH - BETWEEN;
    for (step, row) in row_heights.iter().enumerate() {
        let middle = [BETWEEN + 0.5 * strokes_width(STEPS), y - 0.5 * row];
        engraved.extend(strokes(middle, step + 1));
        y -= row + BETWEEN;
    }
    let engrave = |contour| Prism { contour, from: top - STROKE_DEPTH, to: top };
    prisms.extend(engraved.into_iter().map(engrave));
    prisms.insert(0, Prism { contour: rectangle([0.0, 0.0], [x, height]), from: 0.0, to: top });
    let remedy = if sizes.len() > 1 {
        "make a plate for one size at a time"
    } else {
        "have it cut from sheet, by its outlines"
    };
    let mut jig = Jig::of(JigKind::Plate, vec![prisms], remedy)?;
    (jig.pockets, jig.measures) = (pockets, measures);
    jig.tolerances = sizes.iter().map(|(_, _, tolerance)| *tolerance).collect();
    Ok(jig)
}

fn cell(
    size: usize,
    forming: &Forming,
    step: usize,
    is_go: bool,
    beyond: f64,
    allowance: f64,
) -> Result<Cell, JigError> {
    let shape = OutlineShape::ALL[step];
    let moved_out = beyond + 0.5 * allowance;
    let edge = boundary(forming, shape, moved_out).ok_or_else(|| JigError::TooThin {
        field: "pinch_jaw_mm",
        what: "the jaw that pinches the waist",
        value: Mm::new(forming.setting.pinch_jaw),
        least: Mm::new(2.0 * moved_out + 0.01),
        remedy: "take a thicker one",
    })?;
    let [low, high] = extents(&edge);
    let radius = NOTCH.min(NOTCH_SHARE * (high[0] - low[0]).min(high[1] - low[1]));
    let reach = notch_place(&edge, shape);
    let contour = with_disc(&edge, reach, radius).unwrap_or(edge);
    let [low, high] = extents(&contour);
    let wire = forming.setting.wire;
    let depth = match shape {
        OutlineShape::Fold => 2.0 * forming.eight.end_radius + wire,
        _ => wire,
    };
    Ok(Cell {
        pocket: Pocket {
            size,
            step,
            is_go,
            place: [0.0; 2],
            middle: [0.0; 2],
            bottom: 0.0,
            top: 0.0,
        },
        contour,
        low,
        size: [high[0] - low[0], high[1] - low[1]],
        depth,
    })
}

/// Where on `edge` a finger notch stands: over a lobe's middle, beside a leg, else in the middle of the
/// upper side.
fn notch_place(edge: &[[f64; 2]], shape: OutlineShape) -> [f64; 2] {
    let [low, high] = extents(edge);
    let middle = [0.5 * (low[0] + high[0]), high[1]];
    let wanted = match shape {
        OutlineShape::Eight => {
            let right = edge.iter().filter(|p| p[0] > middle[0]);
            right.fold([middle[0], low[1]], |best, p| if p[1] > best[1] { *p } else { best })
        }
        OutlineShape::Fold => [high[0], 0.5 * (low[1] + high[1])],
        _ => middle,
    };
    let next = edge.iter().cycle().skip(1);
    let nearest = edge.iter().zip(next).map(|(a, b)| {
        let along = [b[0] - a[0], b[1] - a[1]];
        let way = (wanted[0] - a[0]) * along[0] + (wanted[1] - a[1]) * along[1];
        let share = (way / (along[0] * along[0] + along[1] * along[1]).max(1e-12)).clamp(0.0, 1.0);
        [a[0] + share * along[0], a[1] + share * along[1]]
    });
    let off = |p: &[f64; 2]| (p[0] - wanted[0]).hypot(p[1] - wanted[1]);
    nearest.min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(wanted)
}
