//! Words of the maker's own in sentences of ours.

use std::borrow::Cow;

/// Left to right mark (Unicode Standard Annex 9, 2.6): takes no space.
const LEFT_TO_RIGHT: char = '\u{200e}';

/// A name as it stands in a list of one of our sentences. After a name that is written from right to left
/// what follows, another count or name, would be shown before it (Annex 9, W7 and N1); a mark prevents that.
///
/// # Examples
/// ```
/// use linkfold::documents::maker_text::in_list;
/// assert_eq!(in_list("back"), "back");
/// assert_eq!(in_list("גב"), "גב\u{200e}");
/// ```
pub fn in_list(name: &str) -> Cow<'_, str> {
    if name.contains(is_right_to_left) {
        Cow::Owned(format!("{name}{LEFT_TO_RIGHT}"))
    } else {
        Cow::Borrowed(name)
    }
}

/// Whether a letter is from the blocks that are written from right to left (Unicode Character Database,
/// `DerivedBidiClass.txt`, classes R and AL).
fn is_right_to_left(letter: char) -> bool {
    matches!(
        letter,
        '\u{200f}'
            | '\u{590}'..='\u{8ff}'
            | '\u{fb1d}'..='\u{fdff}'
            | '\u{fe70}'..='\u{feff}'
            | '\u{10800}'..='\u{10fff}'
            | '\u{1e800}'..='\u{1efff}'
    )
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;

    use unicode_bidi::{BidiClass, BidiInfo, Level, bidi_class};

    /// By `unicode-bidi`, which has the Unicode Character Database.
    #[test]
    fn every_letter_from_right_to_left_is_known() {
        for letter in '\0'..=char::MAX {
            if matches!(bidi_class(letter), BidiClass::R | BidiClass::AL) {
                assert!(is_right_to_left(letter), "{letter:?}");
            }
        }
        for name in ["", "back 2", "Öse", "πλοκή", "звено", "鎖", "№ 3 – a"] {
            assert_eq!(in_list(name), name);
        }
    }

    /// As the same library lays a line out from left to right.
    #[test]
    fn every_count_is_shown_before_its_own_name() {
        let shown = |line: String| {
            let laid = BidiInfo::new(&line, Some(Level::ltr()));
            let paragraph = &laid.paragraphs[0];
            let shown = laid.reorder_line(paragraph, paragraph.range.clone());
            shown.replace(LEFT_TO_RIGHT, "")
        };
        assert_eq!(shown(format!("6 {}, 10 {}.", in_list("ג"), in_list("خ"))), "6 ג, 10 خ.");
        assert_ne!(shown("6 ג, 10 خ.".into()), "6 ג, 10 خ.", "without a mark");
    }
}
