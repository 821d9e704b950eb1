//! Papers, the head of a page, and the document that a browser prints.

use super::Sheet;
use super::flow::LETTER;
use super::wording::fitted;
use crate::documents::units::{LengthUnit, length_text};
use crate::render::{Anchor, Drawing, Theme, Tone, svg};

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 × 11 in (ANSI/ASME Y14.1, size A).
    Letter,
}

/// Kept free round the page, mm; most printers reach to within 5 mm.
const BORDER: f64 = 10.0;
/// The head of a page, mm.
const HEAD: f64 = 17.0;
/// Length of the line that shows whether the printer keeps to scale, mm.
const CHECK: f64 = 50.0;

impl Paper {
    /// Every paper.
    pub const ALL: [Paper; 2] = [Paper::A4, Paper::Letter];

    /// Width and height, mm.
    pub fn size(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
        }
    }

    /// Half of each, mm: how far a page's marks may lie from its middle.
    pub fn half(self) -> [f64; 2] {
        self.size().map(|mm| 0.5 * mm)
    }

    /// Its name, lower case.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::Letter => "letter",
        }
    }

    /// The paper of that name.
    pub fn named(name: &str) -> Option<Paper> {
        Paper::ALL.into_iter().find(|paper| paper.name() == name)
    }

    /// Width and height of what stands under a page's head, mm.
    pub(super) fn body(self) -> (f64, f64) {
        let [width, height] = self.size();
        (width - 2.0 * BORDER, height - 2.0 * BORDER - HEAD)
    }

    /// A page: its head, and `body` under it.
    pub(super) fn page(
        self,
        sheet: &Sheet,
        body: &Drawing,
        number: usize,
        count: usize,
    ) -> Drawing {
        let (width, _) = self.body();
        let [x, y] = self.half().map(|half| half - BORDER);
        let mut page = Drawing::default();
        page.add_moved(&head(sheet, width, number, count), [-x, y]);
        page.add_moved(body, [-x, y - HEAD]);
        page
    }
}

fn head(sheet: &Sheet, width: f64, number: usize, count: usize) -> Drawing {
    let mut head = Drawing::default();
    let name = if sheet.name.trim().is_empty() { "Design without a name" } else { &sheet.name };
    let left = width - CHECK - 8.0;
    head.label(Tone::Ink, [0.0, -2.4], Anchor::Start, 4.6, fitted(name, 4.6, left));
    let about = fitted(&sheet.about, LETTER, left);
    head.label(Tone::Faint, [0.0, -7.4], Anchor::Start, LETTER, about);
    let page = format!(
        "Bench sheet, page {number} of {count}. Outlines are true to size: lay the link on them."
    );
    head.label(Tone::Faint, [0.0, -11.1], Anchor::Start, LETTER, fitted(&page, LETTER, left));
    let start = width - CHECK;
    head.stroke(Tone::Ink, &[[start, -2.4], [width, -2.4]], 0.3);
    for x in [start, width] {
        head.stroke(Tone::Ink, &[[x, -0.8], [x, -4.0]], 0.3);
    }
    let also = match sheet.unit {
        LengthUnit::Mm => String::new(),
        LengthUnit::Inch => format!(", {}", length_text(CHECK, LengthUnit::Inch)),
    };
    let words =
        [format!("This line is {CHECK:.0} mm{also}."), "If it is not, print at 100 %.".into()];
    for (words, y) in words.into_iter().zip([-7.4, -11.1]) {
        head.label(Tone::Faint, [start, y], Anchor::Start, LETTER, words);
    }
    head.stroke(Tone::Ink, &[[0.0, -14.0], [width, -14.0]], 0.5);
    head
}

/// The pages as one document that prints to scale: no scripts, no margins, a page each.
pub fn document(pages: &[Drawing], paper: Paper, title: &str) -> String {
    let [width, height] = paper.size();
    // What a title may not hold is the same as in the drawings.
    let escaped = title.replace('&', "&amp;").replace('<', "&lt;");
    let mut text = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{escaped}</title>\n\
         <style>\n@page {{ size: {width}mm {height}mm; margin: 0; }}\n\
         html, body {{ margin: 0; padding: 0; background: #fff; }}\n\
         svg {{ display: block; break-after: page; font-weight: 400; }}\n\
         svg:last-of-type {{ break-after: auto; }}\n\
         @media screen {{ svg {{ border-bottom: 1px dashed #888; }} }}\n\
         </style>\n</head>\n<body>\n"
    );
    for (i, page) in pages.iter().enumerate() {
        let title = format!("{title}, page {} of {}", i + 1, pages.len());
        text.push_str(&svg(page, paper.half(), 1.0, &Theme::PRINT, &title));
    }
    text.push_str("</body>\n</html>");
    text
}
