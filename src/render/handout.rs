//! The hand-out to a class: every size with its wire and mandrel, every step with its picture, its tools and its
//! measure, when to anneal, a line for one's own, the teacher's notes and the cautions, as HTML with the
//! pictures drawn in it.

use super::lesson::Taught;
use super::svg::escaped;
use super::{MetalLook, Theme, Window, code, svg};
use crate::answers::report::MetalReport;
use crate::documents::design::{Design, Lesson};
use crate::documents::units::{length_text, stock_text};
use std::fmt::Write;

/// What is handed out.
pub struct Handout<'a> {
    /// On what.
    pub design: &'a Design,
    /// The verdict on the whole of it.
    pub verdict: &'a str,
    /// A link that opens it; none where the page is on one computer only.
    pub link: Option<&'a str>,
    /// What to beware of.
    pub cautions: &'a [&'a str],
}

/// One picture's window, CSS pixels.
const WINDOW: Window = Window { width: 330.0, height: 158.0 };
/// A square of the code, mm: a phone reads it from a hand's length.
const SQUARE: f64 = 0.4;

impl Handout<'_> {
    /// What stands in the body of a page, the sizes in the design's order.
    pub fn body(&self, sizes: &[Taught]) -> String {
        let design = self.design;
        let mut text = String::from("<header>\n<div>\n");
        let name = if design.name.is_empty() { "A loop-in-loop chain" } else { &design.name };
        // Writing to a String cannot fail.
        let _ = writeln!(text, "<h1>{}</h1>", escaped(name));
        let _ = writeln!(text, "<p class=\"verdict\">{}</p>", escaped(self.verdict));
        let look = MetalLook::of(&design.metal.id);
        if !design.notes.is_empty() {
            let _ = writeln!(text, "<p>{}</p>", escaped(&design.notes));
        }
        text += "</div>\n";
        if let Some((drawing, half)) = self.link.and_then(|link| code(link, SQUARE)) {
            let words = "Opens this design on a phone";
            let code = svg(&drawing, [half; 2], 1.0, &Theme::PRINT, words);
            let _ = writeln!(
                text,
                "<figure class=\"code\">{code}<figcaption>{words}</figcaption></figure>"
            );
        }
        text += "</header>\n";
        for (index, (one, size)) in sizes.iter().zip(&design.sizes).enumerate() {
            if sizes.len() > 1 {
                let _ = writeln!(text, "<h2>Size: {}</h2>", escaped(&size.name));
            }
            let setting = &one.joining.incoming.setting;
            let wire = length_text(setting.wire, one.unit);
            let mandrel = escaped(&stock_text(setting.mandrel, one.unit));
            let gauge = design.wire_choice(index).gauge;
            let gauge = gauge.map_or(String::new(), |gauge| format!("{}, ", gauge.short()));
            let _ = writeln!(text, "<p>Wire {gauge}{wire}, mandrel {mandrel}.</p>");
            if sizes.len() > 1 {
                let _ = writeln!(text, "<p class=\"verdict\">{}</p>", escaped(&one.join.message));
            }
            let metal = MetalReport::of(design, index, one.unit).ok();
            text += "<div class=\"steps\">\n";
            for (i, step) in Lesson::ALL.into_iter().enumerate() {
                let anneal = metal.as_ref().and_then(|metal| anneal(metal, step));
                section(&mut text, one, (i + 1, step), design.class.of(step), anneal, look);
            }
            text += "</div>\n";
        }
        text += "<section class=\"care\">\n<h2>Take care</h2>\n<ul>\n";
        for caution in self.cautions {
            let _ = writeln!(text, "<li>{}</li>", escaped(caution));
        }
        text += "</ul>\n</section>\n";
        text
    }

    /// The hand-out as a file of its own.
    pub fn file(&self, sizes: &[Taught]) -> String {
        let body = self.body(sizes);
        let name = &self.design.name;
        let title = escaped(if name.is_empty() { "Hand-out" } else { name });
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{body}</main>\n</body>\n</html>\n"
        )
    }
}

const STYLE: &str =
    "body { font: 9.5pt/1.25 sans-serif; color: #000; background: #fff; max-width: 18.4cm; \
margin: 0 auto; padding: .3cm; }
@page { margin: 1cm; }
h1, h2, h3 { font-family: serif; margin: .3em 0 .1em; }
p { margin: .15em 0; }
header { display: grid; grid-template-columns: 1fr auto; gap: .5cm; }
.code { margin: 0; text-align: center; font-size: 8pt; }
.steps { display: grid; grid-template-columns: 1fr 1fr; gap: 0 .6cm; }
.step { break-inside: avoid; border-top: 1px solid #888; padding: .15cm 0 .2cm; }
.step svg { width: 100%; height: auto; display: block; }
.care { break-inside: avoid; font-size: 8.5pt; }
.care ul { margin: 0; padding-left: .6cm; }
.verdict, .measure { font-weight: bold; }
.note { border-left: 3px solid #555; padding-left: .3cm; white-space: pre-line; }
@media (max-width: 15cm) { .steps { grid-template-columns: 1fr; } }
";

/// What to do about annealing before a step, as the design has it or as its metal asks.
fn anneal(metal: &MetalReport, step: Lesson) -> Option<&'static str> {
    let working = metal.working.as_ref()?;
    let name = match step {
        Lesson::Oval => "stretch",
        Lesson::Eight => "pinch",
        Lesson::Fold => "fold",
        _ => return None,
    };
    if working.steps.iter().any(|known| known.step == name && known.annealed_before) {
        Some("Anneal first.")
    } else if working.anneal.before.contains(&name) {
        Some("Anneal first: the metal asks for it, the design has it not yet.")
    } else {
        None
    }
}

fn section(
    text: &mut String,
    taught: &Taught,
    (number, step): (usize, Lesson),
    note: &str,
    anneal: Option<&str>,
    look: MetalLook,
) {
    let measure = taught.measure(step);
    let done = taught.clearest(step);
    let picture = taught.frame(step, done, WINDOW, Theme::HIGH_CONTRAST.in_metal(look));
    let _ = writeln!(
        text,
        "<section class=\"step\">\n{picture}<h3>{number}. {}</h3>\n<p>{}</p>",
        step.name(),
        taught.caption(step, done),
    );
    if let Some(anneal) = anneal {
        let _ = writeln!(text, "<p class=\"measure\">{anneal}</p>");
    }
    // The way through is tried, not measured.
    let is_tried = [Lesson::First, Lesson::Second, Lesson::Turn, Lesson::Close].contains(&step);
    let own = if is_tried { "" } else { " &nbsp;Mine: ________" };
    let _ = writeln!(text, "<p><span class=\"measure\">{}</span>{own}</p>", escaped(&measure));
    if !note.is_empty() {
        let _ = writeln!(text, "<p class=\"note\">{}</p>", escaped(note));
    }
    text.push_str("</section>\n");
}
