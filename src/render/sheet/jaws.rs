//! Stripes on the maker's conical jaws: each pair of pliers true to scale, with a stripe where
//! each diameter sits, and the distances from the tip.

use super::flow::{Item, LETTER, LINE};
use super::{Sheet, SheetSize};
use crate::answers::jaw_marks::{JawMark, JawPosition, marks_of};
use crate::documents::bench::ConicalPliers;
use crate::documents::units::{LengthUnit, length_text};
use crate::math::sort::sort_by_number;
use crate::render::{Anchor, Drawing, Tone};

/// Diameters nearer to one another share a stripe, mm.
const ONE_STRIPE: f64 = 0.005;
/// Jaws are drawn up to this thickness, mm.
const THICKEST: f64 = 60.0;
/// From a jaw to the lines beside it, mm, and how many may stand there.
const BESIDE: f64 = 8.0;
const MOST_BESIDE: usize = 12;
/// Space for a stripe's number, mm.
const NUMBER: f64 = 4.2;

/// A diameter on one pair of pliers, and who wants it.
struct Stripe {
    mark: JawMark,
    wanted_by: Vec<(String, &'static str)>,
}

/// Every pair of pliers on the bench.
pub fn stripes(sheet: &Sheet, width: f64) -> Vec<Item> {
    let pliers = sheet.bench.map_or(&[][..], |bench| &bench.conical_pliers);
    pliers.iter().flat_map(|pliers| of_pliers(pliers, sheet, width)).collect()
}

fn of_pliers(pliers: &ConicalPliers, sheet: &Sheet, width: f64) -> Vec<Item> {
    let mm = |value: f64| length_text(value, sheet.unit);
    let name = if pliers.name.trim().is_empty() { "the conical pliers" } else { &pliers.name };
    let title = super::wording::fitted(&format!("Stripes on {name}"), 3.6, width);
    let told = format!(
        "From {} at the tip to {} after {}; {} along the jaw is {} of diameter.",
        mm(pliers.tip_mm),
        mm(pliers.base_mm),
        mm(pliers.length_mm),
        match sheet.unit {
            LengthUnit::Mm => "a millimetre".to_owned(),
            LengthUnit::Inch => format!("a millimetre ({})", mm(1.0)),
        },
        slip(pliers.slip(), sheet.unit),
    );
    let mut items = vec![Item::heading(title, width)];
    items.extend(Item::text(Tone::Ink, &told, width).into_iter().map(Item::kept));
    let stripes = wanted(pliers, &sheet.sizes);
    let lines = |width: f64| -> Vec<Item> {
        let numbered = stripes.iter().enumerate();
        numbered.flat_map(|(i, s)| Item::text(Tone::Ink, &line(i + 1, s, sheet), width)).collect()
    };
    let drawable = pliers.length_mm <= width && pliers.base_mm <= THICKEST;
    let beside = lines(width - pliers.length_mm - BESIDE);
    if !drawable {
        let words = "Longer or thicker than fits this paper: not drawn.";
        items.extend(Item::text(Tone::Faint, words, width).into_iter().map(Item::kept));
        items.extend(lines(width));
    } else if pliers.length_mm > 0.5 * width || beside.len() > MOST_BESIDE {
        items.push(drawn(pliers, &stripes).kept());
        items.extend(lines(width));
    } else {
        let mut both = drawn(pliers, &stripes);
        for (i, line) in beside.iter().enumerate() {
            let by = [pliers.length_mm + BESIDE, -LINE * i as f64];
            both.drawing.add_moved(&line.drawing, by);
        }
        both.height = both.height.max(LINE * beside.len() as f64);
        items.push(both);
    }
    items.push(Item::gap(3.5));
    items
}

/// The diameters that the sizes want, from thin to thick.
fn wanted(pliers: &ConicalPliers, sizes: &[SheetSize]) -> Vec<Stripe> {
    let mut stripes: Vec<Stripe> = Vec::new();
    for size in sizes {
        for mark in marks_of(&size.setting, pliers) {
            let who = (size.name.clone(), mark.used_as);
            let near = |s: &&mut Stripe| (s.mark.diameter - mark.diameter).abs() < ONE_STRIPE;
            match stripes.iter_mut().find(near) {
                Some(stripe) => stripe.wanted_by.push(who),
                None => stripes.push(Stripe { mark, wanted_by: vec![who] }),
            }
        }
    }
    sort_by_number(&mut stripes, |stripe| stripe.mark.diameter);
    stripes
}

fn line(number: usize, stripe: &Stripe, sheet: &Sheet) -> String {
    let mm = |value: f64| length_text(value, sheet.unit);
    let diameter = mm(stripe.mark.diameter);
    let place = match stripe.mark.position {
        JawPosition::On { from_tip } => format!("{diameter} sits {} from the tip", mm(from_tip)),
        JawPosition::ThinnerThanTip { by } => {
            format!("{diameter} is not on this jaw: {} less than its tip", mm(by))
        }
        JawPosition::ThickerThanBase { by } => {
            format!("{diameter} is not on this jaw: {} more than its base", mm(by))
        }
    };
    format!("{number}: {place}, {}.", wanted_by(stripe, sheet.sizes.len()))
}

/// Who wants a stripe: the tools, and for more than one size the sizes they are for.
fn wanted_by(stripe: &Stripe, sizes: usize) -> String {
    let mut tools: Vec<(&str, Vec<&str>)> = Vec::new();
    for (size, used_as) in &stripe.wanted_by {
        match tools.iter_mut().find(|(tool, _)| tool == used_as) {
            Some((_, sizes)) => sizes.push(size),
            None => tools.push((used_as, vec![size])),
        }
    }
    let told = |(tool, of): &(&str, Vec<&str>)| {
        if sizes == 1 { (*tool).to_owned() } else { format!("{tool} of {}", of.join(", ")) }
    };
    tools.iter().map(told).collect::<Vec<_>>().join("; ")
}

/// Small lengths need a decimal more than callipers show.
fn slip(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => format!("{mm:.3} mm"),
        LengthUnit::Inch => format!("{:.4} in", mm / unit.in_mm()),
    }
}

/// The jaw from the side, its tip to the left, stripes with their numbers over it.
fn drawn(pliers: &ConicalPliers, stripes: &[Stripe]) -> Item {
    // A number stands left over its stripe, and a step higher than the one before where that is
    // near: so no line to a number crosses another number.
    let mut numbers: Vec<(usize, usize, f64, f64)> = Vec::new();
    for (i, stripe) in stripes.iter().enumerate() {
        let JawPosition::On { from_tip } = stripe.mark.position else { continue };
        let level = match numbers.last() {
            Some((_, level, before, _)) if from_tip - before < NUMBER => level + 1,
            _ => 0,
        };
        numbers.push((i + 1, level, from_tip, 0.5 * stripe.mark.diameter));
    }
    let levels = numbers.iter().map(|(_, level, ..)| level + 1).max().unwrap_or(0);
    let over = LINE * levels as f64 + 1.0;
    let axis = -over - 1.0 - 0.5 * pliers.base_mm;
    let mut drawing = Drawing::default();
    let [tip, base] = [0.5 * pliers.tip_mm, 0.5 * pliers.base_mm];
    let length = pliers.length_mm;
    let corners = [[0.0, tip], [length, base], [length, -base], [0.0, -tip], [0.0, tip]];
    drawing.stroke(Tone::Ink, &corners.map(|[x, y]| [x, axis + y]), 0.2);
    for (number, level, x, half) in numbers {
        let top = -over + 0.5 * LINE + LINE * level as f64;
        drawing.stroke(Tone::Measure, &[[x, axis - half], [x, axis + half]], 0.4);
        drawing.stroke(Tone::Faint, &[[x, axis + half], [x, top]], 0.12);
        let at = [x - 0.5, top + 0.3 * LINE];
        drawing.label(Tone::Ink, at, Anchor::End, LETTER, number.to_string());
    }
    Item { drawing, height: over + pliers.base_mm + 4.0, keeps: false }
}
