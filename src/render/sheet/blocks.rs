//! What stands on the sheet: the table of sizes, the outlines of each, the cautions.

use super::flow::{Item, LETTER, LINE};
use super::outline::Outline;
use super::wording::{fitted, wide};
use super::{Sheet, SheetSize};
use crate::documents::units::{LengthUnit, length_text, stock_text};
use crate::geometry::link::{Forming, OutlineShape};
use crate::render::{Anchor, Drawing, Tone, code};

/// The steps that are ticked off.
const STEPS: [&str; 7] = ["wind", "saw", "solder", "stretch", "pinch", "fold", "join"];
/// Row of the table, mm.
const ROW: f64 = 6.6;
/// Width of a step's column, mm.
const TICK: f64 = 11.5;
/// Side of a box to tick, mm.
const BOX: f64 = 3.6;
/// Least clearance between two outlines, mm.
const APART: f64 = 7.0;

/// The plan's sentences and the table of sizes in working order.
pub fn opening(sheet: &Sheet, width: f64) -> Vec<Item> {
    let mut items = Vec::new();
    if !sheet.verdict.is_empty() {
        items.extend(Item::text(Tone::Ink, &sheet.verdict, width));
    }
    for sentence in &sheet.plan {
        items.extend(Item::text(Tone::Ink, sentence, width));
    }
    if sheet.sizes.iter().any(|size| size.rings.is_none()) {
        let words = "Counts not planned: write down the rings of each size.";
        items.extend(Item::text(Tone::Ink, words, width));
    }
    items.push(Item::gap(1.5));
    let ticks = TICK * STEPS.len() as f64;
    // Where each column starts; the name takes what is left.
    let [wire, mandrel, rings] = [58.0, 39.0, 20.0].map(|from_ticks| width - ticks - from_ticks);
    let mut head = Drawing::default();
    let mut title = |x: f64, anchor: Anchor, words: &str| {
        head.label(Tone::Faint, [x, -2.0], anchor, LETTER, words.into());
    };
    title(0.0, Anchor::Start, "Size, in working order");
    title(wire, Anchor::Start, "Wire");
    title(mandrel, Anchor::Start, "Mandrel");
    title(rings, Anchor::Start, "Rings");
    for (i, step) in STEPS.iter().enumerate() {
        title(width - ticks + TICK * (i as f64 + 0.5), Anchor::Middle, step);
    }
    head.stroke(Tone::Ink, &[[0.0, -4.4], [width, -4.4]], 0.25);
    items.push(Item { drawing: head, height: 4.6, keeps: true });
    for (i, size) in sheet.sizes.iter().enumerate() {
        let mut row = Drawing::default();
        let middle = -0.5 * ROW;
        let setting = &size.forming.setting;
        let mut write = |x: f64, words: String| {
            row.label(Tone::Ink, [x, middle], Anchor::Start, LETTER, words);
        };
        write(0.0, fitted(&format!("{}. {}", i + 1, size.name), LETTER, wire - 2.0));
        write(wire, size.wire.clone());
        write(mandrel, length_text(setting.mandrel, sheet.unit));
        match size.rings {
            Some(count) => write(rings, count.to_string()),
            None => row.stroke(
                Tone::Faint,
                &[[rings, middle - 1.6], [width - ticks - 4.0, middle - 1.6]],
                0.2,
            ),
        }
        for i in 0..STEPS.len() {
            let [x, y] = [width - ticks + TICK * (i as f64 + 0.5), middle];
            let half = 0.5 * BOX;
            let corners =
                [[-half, -half], [half, -half], [half, half], [-half, half], [-half, -half]];
            row.stroke(Tone::Ink, &corners.map(|[dx, dy]| [x + dx, y + dy]), 0.2);
        }
        row.stroke(Tone::Square, &[[0.0, -ROW], [width, -ROW]], 0.2);
        items.push(Item { drawing: row, height: ROW, keeps: i + 1 < sheet.sizes.len() });
    }
    items.push(Item::gap(5.0));
    items
}

/// A size's heading and its outlines.
pub fn size(
    index: usize,
    size: &SheetSize,
    unit: LengthUnit,
    width: f64,
    height: f64,
) -> Vec<Item> {
    let setting = &size.forming.setting;
    let mut wire = length_text(setting.wire, unit);
    if size.wire != wire {
        wire = format!("{}, {wire}", size.wire);
    }
    let mandrel = stock_text(setting.mandrel, unit);
    let count = match size.rings {
        Some(1) => "1 ring, ".to_owned(),
        Some(rings) => format!("{rings} rings, "),
        None => String::new(),
    };
    let told = format!("{count}wire {wire}, mandrel {mandrel}");
    let clearance = width - wide(&told, LETTER) - 6.0;
    let mut heading =
        Item::heading(fitted(&format!("{}. {}", index + 1, size.name), 3.6, clearance), width);
    heading.drawing.label(Tone::Ink, [width, -2.2], Anchor::End, LETTER, told);
    let mut items = vec![heading];
    // A row shares its page with the heading.
    let most = [width, height - items[0].height];
    let mut row: Vec<TableCell> = Vec::new();
    let mut too_large = Vec::new();
    for shape in [OutlineShape::Ring, OutlineShape::Oval, OutlineShape::Eight, OutlineShape::Fold] {
        let cell = TableCell::of(size.forming, shape, unit);
        let Some(cell) = cell.placed(most) else {
            too_large.push(shape);
            continue;
        };
        let used: f64 = row.iter().map(|cell| cell.width() + APART).sum();
        if !row.is_empty() && used + cell.width() > width {
            items.push(laid(std::mem::take(&mut row), width));
        }
        row.push(cell);
    }
    if !row.is_empty() {
        items.push(laid(row, width));
    }
    if !size.tools.is_empty() {
        let tools = format!("{}.", size.tools.join("; "));
        items.extend(Item::text(Tone::Ink, &tools, width).into_iter().map(Item::kept));
    }
    for shape in too_large {
        let cell = TableCell::of(size.forming, shape, unit);
        let words = format!("Larger than this paper and not drawn: {}.", cell.captions.join(", "));
        items.extend(Item::text(Tone::Warning, &words, width));
    }
    items.push(Item::gap(3.5));
    items
}

/// An outline and what to measure on it.
struct TableCell {
    outline: Outline,
    captions: Vec<String>,
}

impl TableCell {
    fn of(forming: &Forming, shape: OutlineShape, unit: LengthUnit) -> TableCell {
        let mm = |value: f64| length_text(value, unit);
        let Forming { ring, oval, eight, fold, .. } = forming;
        let captions = match shape {
            OutlineShape::Ring => {
                vec!["Ring".into(), format!("inside {}", mm(ring.inside_diameter()))]
            }
            OutlineShape::Oval => vec![
                "Oval".into(),
                format!("inside length {}", mm(oval.inside_length())),
                format!("inside width {}", mm(oval.inside_width())),
            ],
            OutlineShape::Eight => vec![
                "Eight".into(),
                format!("bore {}", mm(eight.bore())),
                format!("waist gap {}", mm(eight.waist_gap())),
                format!("length over all {}", mm(2.0 * eight.tip() + eight.wire)),
            ],
            OutlineShape::Fold => vec![
                "Fold, from the side".into(),
                format!("height {}", mm(fold.outside_height())),
                format!("leg gap {}", mm(fold.leg_gap())),
                format!("tip gap {}", mm(fold.tip_gap())),
            ],
        };
        TableCell { outline: Outline::of(forming, shape), captions }
    }

    fn size(&self) -> [f64; 2] {
        let [low, high] = self.outline.extents();
        [high[0] - low[0] + STROKE, high[1] - low[1] + STROKE]
    }

    fn width(&self) -> f64 {
        self.captions.iter().map(|c| wide(c, LETTER)).fold(self.size()[0], f64::max)
    }

    fn under(&self) -> f64 {
        2.0 + LINE * self.captions.len() as f64 + 2.0
    }

    /// Lying or standing within `most`; `None` where it fits neither way.
    fn placed(self, most: [f64; 2]) -> Option<TableCell> {
        let fits = |cell: &TableCell| {
            let [x, y] = cell.size();
            x <= most[0] && y + cell.under() <= most[1]
        };
        if fits(&self) {
            return Some(self);
        }
        let standing = TableCell { outline: self.outline.standing(), ..self };
        fits(&standing).then_some(standing)
    }
}

/// Width of an outline's line, mm; its middle is the edge.
const STROKE: f64 = 0.2;

/// Cells side by side, their outlines at one height.
fn laid(cells: Vec<TableCell>, width: f64) -> Item {
    let mut drawing = Drawing::default();
    let tallest = cells.iter().map(|cell| cell.size()[1]).fold(0.0, f64::max);
    let under = cells.iter().map(TableCell::under).fold(0.0, f64::max);
    let used: f64 = cells.iter().map(TableCell::width).sum();
    let gaps = (cells.len() - 1).max(1) as f64;
    let apart = ((width - used) / gaps).clamp(APART, 16.0);
    let mut x = 0.0;
    for cell in cells {
        let [low, high] = cell.outline.extents();
        let by = [x - low[0] + 0.5 * STROKE, -0.5 * tallest - 0.5 * (low[1] + high[1])];
        let moved = |p: &[f64; 2]| [p[0] + by[0], p[1] + by[1]];
        for edge in &cell.outline.edges {
            let mut points: Vec<[f64; 2]> = edge.iter().map(moved).collect();
            points.extend(edge.first().map(moved));
            drawing.stroke(Tone::Ink, &points, STROKE);
        }
        let span = cell.outline.span.map(|p| moved(&p));
        measure(&mut drawing, span);
        for (i, caption) in cell.captions.iter().enumerate() {
            let tone = if i == 0 { Tone::Faint } else { Tone::Ink };
            let y = -tallest - 2.0 - LINE * (i as f64 + 0.5);
            drawing.label(tone, [x, y], Anchor::Start, LETTER, caption.clone());
        }
        x += cell.width() + apart;
    }
    Item { drawing, height: tallest + under, keeps: false }
}

/// A thin line between two places, with a stop at each end.
fn measure(drawing: &mut Drawing, span: [[f64; 2]; 2]) {
    let [a, b] = span;
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx.hypot(dy);
    drawing.stroke(Tone::Measure, &span, 0.15);
    if length > 0.0 {
        let stop = 0.7f64.min(0.3 * length) / length;
        for [x, y] in span {
            let ends = [[x - stop * dy, y + stop * dx], [x + stop * dy, y - stop * dx]];
            drawing.stroke(Tone::Measure, &ends, 0.15);
        }
    }
}

/// What stands beside torch, acid and load.
pub fn cautions(cautions: &[&str], width: f64) -> Vec<Item> {
    let mut items = vec![Item::heading("Take care".into(), width)];
    for caution in cautions {
        let mut lines = Item::text(Tone::Ink, caution, width - INDENT);
        for (i, line) in lines.iter_mut().enumerate() {
            let mut drawing = Drawing::default();
            drawing.add_moved(&line.drawing, [INDENT, 0.0]);
            if i == 0 {
                let y = -0.5 * LINE;
                drawing.stroke(Tone::Ink, &[[0.4, y], [1.6, y]], 0.25);
            }
            line.drawing = drawing;
        }
        items.extend(lines);
    }
    // On one page where they fit one.
    items.into_iter().map(Item::kept).collect()
}

/// A code that opens the design.
pub fn code_of(link: &str, width: f64) -> Vec<Item> {
    let Some((code, half)) = code(link, SQUARE) else { return Vec::new() };
    let mut drawing = Drawing::default();
    drawing.add_moved(&code, [half, -half]);
    let words = fitted("Opens this design on a phone.", LETTER, width - 2.0 * half - 3.0);
    drawing.label(Tone::Ink, [2.0 * half + 3.0, -half], Anchor::Start, LETTER, words);
    vec![Item { drawing, height: 2.0 * half, keeps: true }]
}

/// A square of the code, mm: a phone reads it from a hand's length.
const SQUARE: f64 = 0.45;

/// Of a list's lines, mm.
const INDENT: f64 = 3.2;
