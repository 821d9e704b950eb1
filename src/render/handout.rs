//! The hand-out to a class: every step with its picture, its measure, a line for one's own, the
//! teacher's notes and the cautions, as HTML with the pictures drawn in it.

use super::lesson::Taught;
use super::svg::escaped;
use super::{MetalLook, Theme};
use crate::documents::design::{Design, Lesson};
use crate::documents::units::length_text;
use std::fmt::Write;

/// The hand-out on `design`, whose sizes are `taught` in order, with the verdict on the whole of it
/// and these cautions: what stands in the body of a page.
pub fn handout(design: &Design, verdict: &str, taught: &[Taught], cautions: &[&str]) -> String {
    let mut text = String::new();
    let name = if design.name.is_empty() { "A loop-in-loop chain" } else { &design.name };
    // Writing to a String cannot fail.
    let _ = writeln!(text, "<h1>{}</h1>", escaped(name));
    let _ = writeln!(text, "<p class=\"verdict\">{}</p>", escaped(verdict));
    let look = MetalLook::of(&design.metal.id);
    if !design.notes.is_empty() {
        let _ = writeln!(text, "<p>{}</p>", escaped(&design.notes));
    }
    for (index, (one, size)) in taught.iter().zip(&design.sizes).enumerate() {
        if taught.len() > 1 {
            let _ = writeln!(text, "<h2>Size: {}</h2>", escaped(&size.name));
        }
        let setting = &one.joining.incoming.setting;
        let [wire, mandrel] = [setting.wire, setting.mandrel].map(|mm| length_text(mm, one.unit));
        let gauge = design.wire_choice(index).gauge;
        let gauge = gauge.map_or(String::new(), |gauge| format!("{}, ", gauge.short()));
        let _ = writeln!(text, "<p>Wire {gauge}{wire}, mandrel {mandrel}.</p>");
        if taught.len() > 1 {
            let _ = writeln!(text, "<p class=\"verdict\">{}</p>", escaped(&one.join.message));
        }
        for (i, step) in Lesson::ALL.into_iter().enumerate() {
            section(&mut text, one, (i + 1, step), design.class.of(step), look);
        }
    }
    text.push_str("<h2>Take care</h2>\n<ul>\n");
    for caution in cautions {
        let _ = writeln!(text, "<li>{}</li>", escaped(caution));
    }
    text.push_str("</ul>\n");
    text
}

/// The hand-out as a file of its own.
pub fn handout_file(
    design: &Design,
    verdict: &str,
    taught: &[Taught],
    cautions: &[&str],
) -> String {
    let body = handout(design, verdict, taught, cautions);
    let title = escaped(if design.name.is_empty() { "Hand-out" } else { &design.name });
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{body}</main>\n</body>\n</html>\n"
    )
}

const STYLE: &str =
    "body { font: 11pt/1.4 sans-serif; color: #000; background: #fff; max-width: 18cm; \
margin: 1cm auto; padding: 0 .5cm; }
h1, h2, h3 { font-family: serif; margin: .5em 0 .2em; }
.step { display: grid; grid-template-columns: 8.6cm 1fr; gap: .2cm .6cm; break-inside: avoid; \
border-top: 1px solid #888; padding: .3cm 0; }
.step svg { width: 100%; height: auto; }
.verdict, .measure { font-weight: bold; }
.note { border-left: 3px solid #555; padding-left: .3cm; white-space: pre-line; }
@media (max-width: 15cm) { .step { grid-template-columns: 1fr; } }
";

fn section(
    text: &mut String,
    taught: &Taught,
    (number, step): (usize, Lesson),
    note: &str,
    look: MetalLook,
) {
    let measure = taught.measure(step);
    let picture = taught.picture(step, Theme::HIGH_CONTRAST.in_metal(look));
    let caption = match step {
        Lesson::Through => {
            "Work the next loop through both lobes, and close it. The picture is of the tightest place."
        }
        step => taught.caption(step, 1.0),
    };
    let _ = write!(
        text,
        "<section class=\"step\">\n<div>{picture}</div>\n<div>\n<h3>{number}. {}</h3>\n<p>{caption}</p>\n\
         <p class=\"measure\">{}</p>\n",
        step.name(),
        escaped(&measure),
    );
    // The way through is tried, not measured.
    if step != Lesson::Through {
        text.push_str("<p>Measured on mine: ____________</p>\n");
    }
    if !note.is_empty() {
        let _ = writeln!(text, "<p class=\"note\">{}</p>", escaped(note));
    }
    text.push_str("</div>\n</section>\n");
}
