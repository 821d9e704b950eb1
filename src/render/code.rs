//! A QR code of a link, to be read by a phone's camera.
//!
//! Source: ISO/IEC 18004 as the crate `qrcodegen` has it; middle error correction, so that a projector's
//! glare or a crease is borne.
//! Evidence: the test below has an unrelated program read what is drawn.

use super::drawing::{Drawing, Tone};
use qrcodegen::{QrCode, QrCodeEcc};

/// The clear border that the standard asks for, squares.
const QUIET: f64 = 4.0;

/// The code of `link` in squares of side `square` about the middle, and half its width with the clear
/// border; none where the link is longer than any code holds.
pub fn code(link: &str, square: f64) -> Option<(Drawing, f64)> {
    let code = QrCode::encode_text(link, QrCodeEcc::Medium).ok()?;
    let size = code.size();
    let mut drawing = Drawing::default();
    let at = |i: i32| square * (f64::from(i) - 0.5 * f64::from(size));
    for row in 0..size {
        let mut column = 0;
        while column < size {
            let from = column;
            while column < size && code.get_module(column, row) {
                column += 1;
            }
            if column > from {
                let [left, right, top, foot] = [at(from), at(column), -at(row), -at(row + 1)];
                drawing.fill(Tone::Ink, &[[left, foot], [right, foot], [right, top], [left, top]]);
            }
            column += 1;
        }
    }
    Some((drawing, square * (0.5 * f64::from(size) + QUIET)))
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;
    use crate::documents::design::Design;
    use crate::documents::share;
    use crate::render::Mark;

    /// Drawn, made a picture of eight pixels to a square, and read by an unrelated program: the link of
    /// every example.
    #[test]
    fn what_is_drawn_is_read_again() {
        for text in [
            include_str!("../../www/examples/evening-class-bracelet.json"),
            include_str!("../../www/examples/swelling-necklace.json"),
        ] {
            let design = Design::parse(text).unwrap();
            let link =
                format!("https://example.org/linkfold/#{}", share::fragment(&design).unwrap());
            let (drawing, half) = code(&link, 8.0).unwrap();
            let side = (2.0 * half) as usize;
            let mut dark = vec![false; side * side];
            for mark in &drawing.marks {
                let Mark::Fill { points, .. } = mark else { panic!("{mark:?}") };
                let corners = &drawing.points[points.clone()];
                let [left, right] = [corners[0][0], corners[1][0]].map(|x| (x + half) as usize);
                let [top, foot] = [corners[2][1], corners[0][1]].map(|y| (half - y) as usize);
                for row in top..foot {
                    dark[row * side + left..row * side + right].fill(true);
                }
            }
            let shade = |x: usize, y: usize| if dark[y * side + x] { 0 } else { 255 };
            let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, shade);
            let grids = image.detect_grids();
            assert_eq!(grids.len(), 1, "{} letters", link.len());
            assert_eq!(grids[0].decode().unwrap().1, link);
        }
        assert!(code(&"x".repeat(5000), 1.0).is_none());
    }
}
