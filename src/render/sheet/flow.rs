//! Pieces of a page laid one under another, and pages filled with them.

use super::wording::wrapped;
use crate::render::{Anchor, Drawing, Tone};

/// Height of the letters of plain text, mm: 7.4 points.
pub const LETTER: f64 = 2.6;
/// From line to line, mm.
pub const LINE: f64 = 3.7;

/// A part of a page that is not cut: a drawing whose top left corner is the origin, y up.
#[derive(Clone, Debug, Default)]
pub struct Item {
    pub drawing: Drawing,
    /// What it takes of the page, mm.
    pub height: f64,
    /// Whether it stays with the next one.
    pub keeps: bool,
}

impl Item {
    /// Empty space.
    pub fn gap(height: f64) -> Item {
        Item { height, ..Item::default() }
    }

    /// The same, kept with what follows.
    pub fn kept(self) -> Item {
        Item { keeps: true, ..self }
    }

    /// A heading with a line under it, `width` mm wide.
    pub fn heading(text: String, width: f64) -> Item {
        let mut drawing = Drawing::default();
        drawing.label(Tone::Ink, [0.0, -2.2], Anchor::Start, 3.6, text);
        drawing.stroke(Tone::Ink, &[[0.0, -4.6], [width, -4.6]], 0.25);
        Item { drawing, height: 6.2, keeps: true }
    }

    /// A text in as many lines as it takes, each an item; all but the last kept with the next.
    pub fn text(tone: Tone, text: &str, width: f64) -> Vec<Item> {
        let lines = wrapped(text, LETTER, width);
        let last = lines.len().saturating_sub(1);
        let line = |(i, line): (usize, String)| {
            let mut drawing = Drawing::default();
            drawing.label(tone, [0.0, -0.5 * LINE], Anchor::Start, LETTER, line);
            Item { drawing, height: LINE, keeps: i < last }
        };
        lines.into_iter().enumerate().map(line).collect()
    }
}

/// Lays items on as few pages as their order allows; each page `height` mm high. What is
/// kept together goes on one page where it fits one. An item higher than a page is not laid.
pub fn pages(items: Vec<Item>, height: f64) -> Vec<Drawing> {
    let mut pages = vec![Drawing::default()];
    let mut used = 0.0;
    let mut rest = items.as_slice();
    while !rest.is_empty() {
        let together = rest.iter().position(|item| !item.keeps).map_or(rest.len(), |i| i + 1);
        let (group, after) = rest.split_at(together);
        let wanted: f64 = group.iter().map(|item| item.height).sum();
        let one_page = wanted <= height;
        for (i, item) in group.iter().enumerate() {
            let needs = if one_page && i == 0 { wanted } else { item.height };
            let fresh = used == 0.0;
            if used + needs > height + 1e-9 && !fresh {
                pages.push(Drawing::default());
                used = 0.0;
            }
            // Space at the head of a page is no use.
            let is_gap = item.drawing.marks.is_empty();
            if item.height > height || (is_gap && used == 0.0) {
                continue;
            }
            if let Some(page) = pages.last_mut() {
                page.add_moved(&item.drawing, [0.0, -used]);
            }
            used += item.height;
        }
        rest = after;
    }
    pages.retain(|page| !page.marks.is_empty());
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(height: f64, keeps: bool) -> Item {
        let mut drawing = Drawing::default();
        drawing.stroke(Tone::Ink, &[[0.0, 0.0], [0.0, -height]], 0.1);
        Item { drawing, height, keeps }
    }

    #[test]
    fn what_is_kept_together_moves_to_the_next_page_together() {
        let laid = pages(vec![item(6.0, false), item(2.0, true), item(3.0, false)], 10.0);
        assert_eq!(laid.iter().map(|p| p.marks.len()).collect::<Vec<_>>(), [1, 2]);
        // Too much to be kept together is cut, and what is higher than a page is left out.
        let laid = pages(vec![item(6.0, true), item(6.0, true), item(11.0, false)], 10.0);
        assert_eq!(laid.iter().map(|p| p.marks.len()).collect::<Vec<_>>(), [1, 1]);
        let low = |p: &Drawing| p.extents(|_| true).unwrap()[0][1];
        assert!(laid.iter().all(|p| low(p) >= -10.0));
    }
}
