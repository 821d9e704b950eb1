//! A drawing as an SVG file, true to scale: one user unit is one millimetre.

use super::{Anchor, Drawing, Mark, Theme, Tone};
use std::fmt::Write;

/// Writes `drawing`, which lies within `half` mm left, right, above and below the middle,
/// as a file that prints at its true size.
pub fn svg(drawing: &Drawing, half: [f64; 2], theme: &Theme, title: &str) -> String {
    let [x, y] = half;
    let (width, height) = (2.0 * x, 2.0 * y);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{height:.3}mm\" \
         viewBox=\"{:.3} {:.3} {width:.3} {height:.3}\" role=\"img\">\n<title>{}</title>\n\
         <rect x=\"{:.3}\" y=\"{:.3}\" width=\"{width:.3}\" height=\"{height:.3}\" fill=\"{}\"/>\n",
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
                push_path(&mut text, &drawing.points[points.clone()], true);
                while let Some(Mark::Fill { points, .. }) =
                    marks.next_if(|m| matches!(m, Mark::Fill { tone: same, .. } if same == tone))
                {
                    push_path(&mut text, &drawing.points[points.clone()], true);
                }
                // Writing to a String cannot fail.
                let _ = writeln!(text, "\" fill=\"{colour}\"/>");
            }
            Mark::Stroke { points, width, .. } => {
                text.push_str("<path d=\"");
                push_path(&mut text, &drawing.points[points.clone()], false);
                let _ = writeln!(
                    text,
                    "\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width:.4}\" \
                     stroke-linecap=\"round\"/>"
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
                    "<text x=\"{:.3}\" y=\"{:.3}\" font-size=\"{size:.3}\" text-anchor=\"{anchor}\" \
                     font-family=\"sans-serif\" fill=\"{colour}\" stroke=\"{}\" \
                     stroke-width=\"{:.3}\" paint-order=\"stroke\">{}</text>",
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

fn push_path(text: &mut String, points: &[[f64; 2]], closed: bool) {
    for (i, [x, y]) in points.iter().enumerate() {
        let _ = write!(text, "{}{x:.3} {:.3}", if i == 0 { 'M' } else { 'L' }, -y);
    }
    if closed {
        text.push('Z');
    }
}

pub(super) fn escaped(text: &str) -> String {
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
        let text = svg(&drawing, [10.0, 5.0], &Theme::LIGHT, "R&D");
        assert!(text.contains("width=\"20.000mm\" height=\"10.000mm\""), "{text}");
        assert!(text.contains("viewBox=\"-10.000 -5.000 20.000 10.000\""), "{text}");
        assert!(text.contains("L1.000 -2.000Z"), "{text}");
        assert_eq!(text.matches("<path").count(), 1, "one tone, one path: {text}");
        assert!(text.contains("a &lt; b") && text.contains("R&amp;D"), "{text}");
    }
}
