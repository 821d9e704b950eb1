//! A drawing as an SVG file of the size it is meant to have on paper.

use super::theme::Theme;
use super::{Anchor, Drawing, Mark, Tone};
use std::fmt::Write;

/// CSS pixels to a millimetre: 96 to the inch, as CSS has it.
pub const PIXELS_PER_MM: f64 = 96.0 / 25.4;

/// Writes `drawing`, which lies within `half` left, right, above and below the middle, as a
/// file that prints with `paper` mm to each of its units: 1 is true to scale.
pub fn svg(drawing: &Drawing, half: [f64; 2], paper: f64, theme: &Theme, title: &str) -> String {
    debug_assert!(drawing.points.iter().flatten().all(|part| part.is_finite()), "{title}");
    let [x, y] = half;
    let (width, height) = (2.0 * x, 2.0 * y);
    let (wide, high) = (paper * width, paper * height);
    // A five-thousandth of the picture cannot be seen; on what is true to scale it can be measured.
    let least = if (paper - 1.0).abs() < 1e-12 { 3.0 } else { 0.0 };
    let digits = (3.7 - x.max(y).max(1e-6).log10()).clamp(least, 9.0) as usize;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide:.3}mm\" height=\"{high:.3}mm\" \
         viewBox=\"{:.digits$} {:.digits$} {width:.digits$} {height:.digits$}\" role=\"img\" \
         font-family=\"system-ui, sans-serif\" font-weight=\"600\" stroke-linecap=\"round\" \
         stroke-linejoin=\"round\">\n<title>{}</title>\n\
         <rect x=\"{:.digits$}\" y=\"{:.digits$}\" width=\"{width:.digits$}\" \
         height=\"{height:.digits$}\" fill=\"{}\"/>\n",
        -x,
        -y,
        escaped(title),
        -x,
        -y,
        theme.colour(Tone::Paper),
    );
    let mut marks = drawing.marks.iter().peekable();
    while let Some(mark) = marks.next() {
        let colour = theme.colour(mark.tone());
        match mark {
            Mark::Fill { tone, points } => {
                text.push_str("<path d=\"");
                let mut at = None;
                push_path(&mut text, &drawing.points[points.clone()], true, digits, &mut at);
                while let Some(Mark::Fill { points, .. }) =
                    marks.next_if(|m| matches!(m, Mark::Fill { tone: same, .. } if same == tone))
                {
                    push_path(&mut text, &drawing.points[points.clone()], true, digits, &mut at);
                }
                // Writing to a String cannot fail.
                let _ = writeln!(text, "\" fill=\"{colour}\"/>");
            }
            Mark::Stroke { points, width, .. } => {
                text.push_str("<path d=\"");
                push_path(&mut text, &drawing.points[points.clone()], false, digits, &mut None);
                let _ = writeln!(
                    text,
                    "\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width:.digits$}\"/>"
                );
            }
            Mark::Label { at, anchor, size, text: words, .. } => {
                let anchor = match anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                // A third of the size down: the middle of the letters on the place's height.
                let _ = writeln!(
                    text,
                    "<text x=\"{:.digits$}\" y=\"{:.digits$}\" font-size=\"{size:.digits$}\" \
                     text-anchor=\"{anchor}\" fill=\"{colour}\" stroke=\"{}\" \
                     stroke-width=\"{:.digits$}\" paint-order=\"stroke\">{}</text>",
                    at[0],
                    -at[1] + 0.35 * size,
                    theme.colour(Tone::Paper),
                    0.3 * size,
                    escaped(words),
                );
            }
        }
    }
    text.push_str("</svg>\n");
    text
}

/// Adds a subpath, each corner as the step from the one before: as exact, and half as long. A corner that is
/// nowhere is left out, and so is a subpath that has no other.
/// `at` is where the subpath before started, in units of the last digit.
fn push_path(
    text: &mut String,
    points: &[[f64; 2]],
    closed: bool,
    digits: usize,
    at: &mut Option<[i64; 2]>,
) {
    let unit = 10f64.powi(digits as i32);
    let mut last = at.unwrap_or_default();
    let before = text.len();
    let somewhere = points.iter().filter(|[x, y]| x.is_finite() && y.is_finite());
    for (i, [x, y]) in somewhere.enumerate() {
        let place = [unit * x, -unit * y].map(|part| part.round() as i64);
        text.push(match (i, at.is_some()) {
            (0, false) => 'M',
            (0, true) => 'm',
            _ => 'l',
        });
        let [x, y] = [0, 1].map(|axis| place[axis].saturating_sub(last[axis]));
        push_number(text, x, digits);
        if y >= 0 {
            text.push(' ');
        }
        push_number(text, y, digits);
        if i == 0 {
            *at = Some(place);
        }
        last = place;
    }
    if closed && text.len() > before {
        text.push('z');
    }
}

/// Adds `value` units of the last of `digits` digits after the point, without needless noughts.
fn push_number(text: &mut String, value: i64, digits: usize) {
    let unit = 10u64.pow(digits as u32);
    let [whole, part] = [value.unsigned_abs() / unit, value.unsigned_abs() % unit];
    if value < 0 {
        text.push('-');
    }
    if whole > 0 || part == 0 {
        let _ = write!(text, "{whole}");
    }
    if part > 0 {
        let part = format!("{part:0digits$}");
        let _ = write!(text, ".{}", part.trim_end_matches('0'));
    }
}

/// Words as XML takes them: what means something to it is written out, what it knows no
/// letter for is left out.
pub fn escaped(text: &str) -> String {
    let known = |c: &char| !c.is_control() && !matches!(c, '\u{FFFE}' | '\u{FFFF}');
    let text: String = text.chars().filter(known).collect();
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_true_to_scale_and_its_words_are_escaped() {
        let mut drawing = Drawing::default();
        drawing.fill(Tone::Rim, &[[0.0, 0.0], [1.0, 0.0], [1.0, 2.0]]);
        drawing.fill(Tone::Rim, &[[0.0, 0.0], [-1.0, 0.0], [1.0, 2.0]]);
        drawing.label(Tone::Ink, [0.0, 1.0], Anchor::Start, 2.0, "a < b".into());
        let text = svg(&drawing, [10.0, 5.0], 2.0, &Theme::LIGHT, "R&D\u{1}");
        assert!(text.contains("width=\"40.000mm\" height=\"20.000mm\""), "{text}");
        assert!(text.contains("viewBox=\"-10.00 -5.00 20.00 10.00\""), "{text}");
        assert!(text.contains("M0 0l1 0l0-2zm0 0l-1 0l2-2z"), "{text}");
        assert_eq!(text.matches("<path").count(), 1, "one tone, one path: {text}");
        assert!(text.contains("a &lt; b") && text.contains("<title>R&amp;D</title>"), "{text}");
    }

    #[test]
    fn a_corner_that_is_nowhere_is_left_out_and_so_is_a_subpath_without_others() {
        let (sound, nowhere) = ([[0.0, 0.0], [1.0, 0.0], [1.0, 2.0]], f64::NAN);
        let mut text = String::new();
        let mut at = None;
        for points in [
            &[[nowhere, 0.0], [f64::INFINITY, nowhere]][..],
            &sound,
            &[],
            &[[nowhere; 2]],
            &[[0.0, 0.0], [0.0, nowhere], [1.0, 0.0]],
        ] {
            push_path(&mut text, points, true, 0, &mut at);
        }
        assert_eq!(text, "M0 0l1 0l0-2zm0 0l1 0z");
    }
}
