use super::*;

const EXAMPLES: [&str; 4] = [
    include_str!("../../../www/examples/evening-class-bracelet.json"),
    include_str!("../../../www/examples/copper-practice.json"),
    include_str!("../../../www/examples/swelling-necklace.json"),
    include_str!("../../../www/examples/too-thick.json"),
];

fn link() -> String {
    fragment(&Design::parse(EXAMPLES[0]).unwrap()).unwrap()
}

/// Short enough for a message: many programs wrap or cut lines of more than 2000 letters
/// (common practice, no source).
#[test]
fn every_example_goes_through_a_short_link() {
    for text in EXAMPLES {
        let example = Design::parse(text).unwrap();
        let link = fragment(&example).unwrap();
        println!("{}: {} letters", example.name, link.len());
        assert!(link.len() < 600, "{}: {} letters", example.name, link.len());
        assert!(link.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b)), "{link}");
        assert_eq!(design(&link).unwrap(), example);
    }
}

/// CRC-32 finds every change within 32 bits, and one letter is six.
#[test]
fn one_letter_changed_is_never_read_as_a_design() {
    let link = link();
    for place in 0..link.len() {
        for letter in ['A', 'Q', '7', '_', '.', '%', 'é'] {
            let mut changed: Vec<char> = link.chars().collect();
            if changed[place] != letter {
                changed[place] = letter;
                let changed: String = changed.into_iter().collect();
                let error = design(&changed).expect_err(&changed);
                assert!(!error.to_string().is_empty());
            }
        }
    }
}

#[test]
fn a_link_cut_short_or_grown_is_refused() {
    let link = link();
    for end in 0..link.len() {
        assert!(design(&link[..end]).is_err(), "{end}");
    }
    for more in ["A", "AAAA", "=", " ", "&x=1", "%20"] {
        let found = design(&format!("{link}{more}"));
        assert!(matches!(found, Err(LinkError::Damaged { .. })), "{more}: {found:?}");
    }
}

#[test]
fn what_is_foreign_or_later_is_called_so() {
    for foreign in ["", "top", "design", "design.", "design..AAAA", "design.-1.AAAA", "design.x.y"]
    {
        assert_eq!(design(foreign), Err(LinkError::Foreign), "{foreign}");
    }
    for (later, found) in [("2", 2), ("0", 0), ("99999999999999999999", u32::MAX)] {
        assert_eq!(design(&format!("design.{later}.AAAA")), Err(LinkError::Version { found }));
    }
    // A later document in a link of this version.
    let later = packed(br#"{"linkfold": 2, "rows": []}"#).unwrap();
    assert_eq!(design(&later), Err(DesignError::Version { found: 2 }.into()));
}

/// Sixteen megabytes of spaces pack into some twenty thousand letters.
#[test]
fn a_link_that_unpacks_to_too_much_is_refused() {
    let link = packed(&vec![b' '; 16 << 20]).unwrap();
    assert!(link.len() < LONGEST_LINK, "{}", link.len());
    assert_eq!(design(&link), Err(LinkError::TooMuch { most: LONGEST_DOCUMENT }));
}

#[test]
fn what_unpacks_to_no_design_is_refused() {
    let deep = "[".repeat(100_000);
    let deep = format!("{{\"linkfold\": {deep}");
    for text in [&b"\xff\xfe"[..], b"", b"null", b"[]", b"{}", deep.as_bytes()] {
        let link = packed(text).unwrap();
        assert!(design(&link).is_err(), "{}", String::from_utf8_lossy(text));
    }
}

#[test]
fn what_is_too_long_is_neither_written_nor_read() {
    let mut long = Design::plain(0.9, 12.0);
    // Letters that do not pack: a sequence from a linear congruence, the Numerical Recipes one.
    let mut state = 1_u32;
    let letters = std::iter::repeat_with(|| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        char::from_u32(0x4e00 + (state >> 18)).unwrap_or('x')
    });
    long.notes = letters.take(40_000).collect();
    assert!(matches!(fragment(&long), Err(LinkError::TooLong { .. })));
    let endless = format!("design.1.{}", "A".repeat(LONGEST_LINK));
    assert!(matches!(design(&endless), Err(LinkError::TooLong { .. })));
}
