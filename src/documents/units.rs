//! Lengths, masses and ranges as a maker types and reads them, in millimetres or inches.

use crate::math::units::{GRAMS_PER_PENNYWEIGHT, GRAMS_PER_TROY_OUNCE, MM_PER_INCH, Mm};
use serde::{Deserialize, Serialize};

/// Why a text is not a length.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LengthError {
    /// The text is not a number, a fraction, or one of the two with a unit.
    #[error("\"{text}\" is not a length; try 1.02, 1.02 mm, 0.04 in or 3/8\"")]
    Unreadable {
        /// What was typed.
        text: String,
    },
}

/// Which unit a bare number means.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Mm,
    /// International inches.
    Inch,
}

impl LengthUnit {
    /// Millimetres in one of this unit.
    pub fn in_mm(self) -> f64 {
        match self {
            LengthUnit::Mm => 1.0,
            LengthUnit::Inch => MM_PER_INCH,
        }
    }

    /// Its short name.
    pub fn name(self) -> &'static str {
        match self {
            LengthUnit::Mm => "mm",
            LengthUnit::Inch => "in",
        }
    }

    /// Into so many parts this unit is divided where a length is told.
    fn places(self, length: Mm) -> f64 {
        let finest = match self {
            LengthUnit::Mm => 0.01,
            LengthUnit::Inch => 0.001 * MM_PER_INCH,
        };
        let mm = length.get().abs();
        let fewer = i32::from(mm >= finest) + i32::from(mm >= BY_RULE);
        10f64.powi(self.decimals() as i32 - fewer)
    }

    /// Decimals in a sentence at most: what callipers show, and one more.
    fn decimals(self) -> usize {
        match self {
            LengthUnit::Mm => 3,
            LengthUnit::Inch => 4,
        }
    }
}

/// A length in a sentence: two decimals of a millimetre or three of an inch at most, as callipers
/// show it, one more where it is shorter than they tell; without a tail of zeros.
pub fn length_words(length: Mm, unit: LengthUnit) -> String {
    in_steps(length, unit, f64::round)
}

/// As [`length_words`], rounded up: a least length that, typed as read, is still enough.
pub fn length_words_up(length: Mm, unit: LengthUnit) -> String {
    // A length that has these decimals, less a rounding error, stays as it is.
    in_steps(length, unit, |steps| (steps - 1e-6).ceil())
}

/// As [`length_words`], rounded down: what is there at least, or a greatest length that, typed as
/// read, still works.
pub fn length_words_down(length: Mm, unit: LengthUnit) -> String {
    in_steps(length, unit, |steps| (steps + 1e-6).floor())
}

fn in_steps(length: Mm, unit: LengthUnit, whole: impl Fn(f64) -> f64) -> String {
    let (value, places) = (length.get() / unit.in_mm(), unit.places(length));
    // The largest numbers have infinitely many steps.
    let is_readable = value.abs() < READABLE;
    trimmed(if is_readable { whole(value * places) / places } else { value }, unit)
}

/// Above this a number is written with its power of ten: no bench knows it, and all its digits fill a page.
const READABLE: f64 = 1e9;

/// A number in a sentence.
fn number_words(value: f64) -> String {
    if value.abs() < READABLE { value.to_string() } else { format!("{value:.2e}") }
}

fn trimmed(value: f64, unit: LengthUnit) -> String {
    if value.abs() >= READABLE {
        return format!("{} {}", number_words(value), unit.name());
    }
    let text = tidy(value, unit.decimals());
    format!("{} {}", if text == "-0" { "0" } else { &text }, unit.name())
}

/// A number with so many decimals, one or more, at most, and no zeros at their end.
pub fn tidy(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// Says of the field `name` that `value` does not lie between `least` and `most`; where the three
/// are lengths in mm, in `unit`, the limits rounded to the side that works.
pub fn range_words(
    name: &str,
    is_length: bool,
    [value, least, most]: [f64; 3],
    unit: LengthUnit,
) -> String {
    let (value, least, most) = match [value, least, most].map(Mm::try_from) {
        [Ok(value), Ok(least), Ok(most)] if is_length => {
            (length_words(value, unit), length_words_up(least, unit), length_words_down(most, unit))
        }
        _ => (number_words(value), number_words(least), number_words(most)),
    };
    format!("{name} is {value}; it must lie between {least} and {most}")
}

/// From here on a length is taken with a rule, not with callipers, mm.
const BY_RULE: f64 = 100.0;

/// Decimals that a hand can use: callipers show two of a millimetre or three of an inch, a rule
/// whole millimetres or hundredths of an inch.
fn decimals(mm: f64, unit: LengthUnit) -> usize {
    match (mm.abs() < BY_RULE, unit) {
        (true, LengthUnit::Mm) => 2,
        (false, LengthUnit::Mm) => 0,
        (true, LengthUnit::Inch) => 3,
        (false, LengthUnit::Inch) => 2,
    }
}

/// A length as callipers or a rule show it.
pub fn length_text(mm: f64, unit: LengthUnit) -> String {
    // Rounding leaves a closed gap a hair below nothing.
    let mm = if mm.abs() < 5e-7 { 0.0 } else { mm };
    format!("{:.*} {}", decimals(mm, unit), mm / unit.in_mm(), unit.name())
}

/// As [`length_text`], rounded down: what is there at least.
pub fn length_text_down(mm: f64, unit: LengthUnit) -> String {
    let step = unit.in_mm() / 10_f64.powi(decimals(mm, unit) as i32);
    length_text(step * (mm / step + 1e-6).floor(), unit)
}

/// A length of wire to buy: metres, or feet and the inches left.
pub fn wire_text(mm: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => format!("{:.2} m", 1e-3 * mm),
        LengthUnit::Inch => {
            // Rounded to the inch first, or 11.9 of them would make no foot.
            let inches = (mm / MM_PER_INCH).round();
            format!("{:.0} ft {:.0} in", (inches / 12.0).floor(), inches % 12.0)
        }
    }
}

/// A mass as a bench scale shows it: grams, or pennyweights and troy ounces.
pub fn mass_text(grams: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Mm => format!("{grams:.2} g"),
        LengthUnit::Inch => format!(
            "{:.2} dwt ({:.3} ozt)",
            grams / GRAMS_PER_PENNYWEIGHT,
            grams / GRAMS_PER_TROY_OUNCE
        ),
    }
}

/// A length as tools are sold and typed: a whole fraction of an inch as that, with millimetres beside it;
/// else as [`length_text`].
///
/// # Examples
/// ```
/// use linkfold::documents::units::{LengthUnit, stock_text};
/// assert_eq!(stock_text(11.1125, LengthUnit::Mm), "7/16\" (11.11 mm)");
/// assert_eq!(stock_text(38.1, LengthUnit::Inch), "1 1/2\" (1.500 in)");
/// assert_eq!(stock_text(12.0, LengthUnit::Mm), "12.00 mm");
/// ```
pub fn stock_text(mm: f64, unit: LengthUnit) -> String {
    let plain = length_text(mm, unit);
    let parts = mm / MM_PER_INCH * SIXTY_FOURTHS;
    // Whole and tenth millimetres are sold as such.
    let is_metric = (10.0 * mm - (10.0 * mm).round()).abs() < 1e-6 && unit == LengthUnit::Mm;
    if is_metric || (parts - parts.round()).abs() > 1e-6 || !(0.5..1e4).contains(&parts) {
        return plain;
    }
    let (mut above, mut below) = (parts.round() as u32, SIXTY_FOURTHS as u32);
    while above % 2 == 0 && below > 1 {
        (above, below) = (above / 2, below / 2);
    }
    let fraction = match (above / below, above % below) {
        (whole, 0) => format!("{whole}"),
        (0, rest) => format!("{rest}/{below}"),
        (whole, rest) => format!("{whole} {rest}/{below}"),
    };
    format!("{fraction}\" ({plain})")
}

/// Drills and rods in inches are sold by these.
const SIXTY_FOURTHS: f64 = 64.0;

/// A single-character fraction and what it stands for.
const FRACTIONS: [(char, &str); 15] = [
    ('\u{bd}', "1/2"),
    ('\u{bc}', "1/4"),
    ('\u{be}', "3/4"),
    ('\u{215b}', "1/8"),
    ('\u{215c}', "3/8"),
    ('\u{215d}', "5/8"),
    ('\u{215e}', "7/8"),
    ('\u{2153}', "1/3"),
    ('\u{2154}', "2/3"),
    ('\u{2155}', "1/5"),
    ('\u{2156}', "2/5"),
    ('\u{2157}', "3/5"),
    ('\u{2158}', "4/5"),
    ('\u{2159}', "1/6"),
    ('\u{215a}', "5/6"),
];

/// How a unit is written after a number; the longer of two with the same end stands first.
const UNIT_ENDINGS: [(&str, LengthUnit); 14] = [
    ("millimetres", LengthUnit::Mm),
    ("millimeters", LengthUnit::Mm),
    ("millimetre", LengthUnit::Mm),
    ("millimeter", LengthUnit::Mm),
    ("mm", LengthUnit::Mm),
    ("inches", LengthUnit::Inch),
    ("inch", LengthUnit::Inch),
    ("in", LengthUnit::Inch),
    ("''", LengthUnit::Inch),
    ("\u{2019}\u{2019}", LengthUnit::Inch),
    ("\u{2032}\u{2032}", LengthUnit::Inch),
    ("\"", LengthUnit::Inch),
    ("\u{2033}", LengthUnit::Inch),
    ("\u{201d}", LengthUnit::Inch),
];

/// The number in front of a unit, and the unit; none where no unit is written.
fn split_unit(plain: &str) -> (&str, Option<LengthUnit>) {
    let plain = plain.trim_end_matches('.').trim_end();
    let split = |(end, unit): &(&str, LengthUnit)| {
        plain.strip_suffix(end).map(|rest| (rest.trim(), Some(*unit)))
    };
    UNIT_ENDINGS.iter().find_map(split).unwrap_or((plain, None))
}

/// Whether a length is typed with its unit, so that it means the same in any setting.
pub fn names_unit(text: &str) -> bool {
    split_unit(&text.trim().to_lowercase()).1.is_some()
}

/// Reads a length as a maker types it: `1.02`, `1,02 mm`, `0.04 in`, `3/8"`, `3/8''`, `⅜ in`,
/// `1 1/2 inch`, `1-1/2 in`.
///
/// A bare number takes the unit `bare`. A comma stands for the decimal point.
///
/// # Errors
/// [`LengthError::Unreadable`] with the text when it is none of these, or its fraction
/// divides by zero.
pub fn parse_length(text: &str, bare: LengthUnit) -> Result<Mm, LengthError> {
    let unreadable = || LengthError::Unreadable { text: text.trim().chars().take(40).collect() };
    let mut plain = text.trim().to_lowercase().replace(',', ".").replace('\u{2044}', "/");
    for (sign, fraction) in FRACTIONS {
        plain = plain.replace(sign, &format!(" {fraction}"));
    }
    let (number, unit) = split_unit(&plain);
    // "1-1/2" is one and a half.
    let mut letters: Vec<char> = number.chars().collect();
    let is_digit = |letter: Option<&char>| letter.is_some_and(char::is_ascii_digit);
    for place in 1..letters.len() {
        let between = is_digit(letters.get(place - 1)) && is_digit(letters.get(place + 1));
        if letters[place] == '-' && between && number.contains('/') {
            letters[place] = ' ';
        }
    }
    let number: String = letters.into_iter().collect();
    let mut total = 0.0;
    let parts: Vec<&str> = number.split_whitespace().collect();
    let whole_first = parts.first().is_some_and(|first| !first.contains('/'));
    if parts.is_empty() || parts.len() > 2 || (parts.len() == 2 && !whole_first) {
        return Err(unreadable());
    }
    for (place, part) in parts.iter().enumerate() {
        let decimal = |t: &str| {
            let digits =
                t.chars().all(|c| c.is_ascii_digit() || c == '.' || (c == '-' && place == 0));
            if digits { t.parse::<f64>().ok() } else { None }
        };
        let value = match part.split_once('/') {
            Some((top, bottom)) => match (decimal(top), decimal(bottom)) {
                (Some(top), Some(bottom)) if bottom > 0.0 => top / bottom,
                _ => return Err(unreadable()),
            },
            None if place == 0 => decimal(part).ok_or_else(unreadable)?,
            None => return Err(unreadable()),
        };
        total += if place == 1 && total < 0.0 { -value } else { value };
    }
    Mm::try_from(total * unit.unwrap_or(bare).in_mm()).map_err(|_| unreadable())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_as_a_maker_types_them() {
        let mm = |t: &str| parse_length(t, LengthUnit::Mm).unwrap().get();
        assert_eq!(mm("1.02"), 1.02);
        assert_eq!(mm(" 1,02 MM "), 1.02);
        assert!((mm("3/8\"") - 9.525).abs() < 1e-12);
        assert!((mm("1 1/2 in") - 38.1).abs() < 1e-12);
        assert!((parse_length("1/4", LengthUnit::Inch).unwrap().get() - 6.35).abs() < 1e-12);
        for three_eighths in [
            "3/8 in",
            "3/8in.",
            "3/8''",
            "3/8\u{2033}",
            "3/8\u{201d}",
            "\u{215c}\"",
            "\u{215c} inch",
        ] {
            assert!((mm(three_eighths) - 9.525).abs() < 1e-12, "{three_eighths}");
        }
        for one_and_a_half in ["1-1/2 in", "1\u{bd}\"", "1 \u{bd} in", "1.5 inches", "1,5''"] {
            assert!((mm(one_and_a_half) - 38.1).abs() < 1e-12, "{one_and_a_half}");
        }
        assert!(
            names_unit("3/8''") && names_unit("2 mm.") && !names_unit("12") && !names_unit("1/2")
        );
    }

    #[test]
    fn nonsense_is_refused_with_the_text_in_the_message() {
        for text in [
            "",
            "abc",
            "1/0",
            "1 2 3",
            "nan",
            "inf",
            "1e400",
            "--1",
            "1/2/3",
            "0x10",
            "1 2",
            "mm",
            "1-2",
            "3/8/8 in",
            "\u{bd}\u{bd}",
            "1-1/2-1/2",
        ] {
            let error = parse_length(text, LengthUnit::Mm).unwrap_err();
            assert!(error.to_string().contains(text.trim()), "{text}: {error}");
        }
    }

    #[test]
    fn a_length_prints_without_a_tail_of_zeros() {
        assert_eq!(length_words(Mm::new(1.0), LengthUnit::Mm), "1 mm");
        assert_eq!(length_words(Mm::new(0.9), LengthUnit::Mm), "0.9 mm");
        assert_eq!(length_words(Mm::new(-0.00001), LengthUnit::Mm), "0 mm");
        assert_eq!(length_words(Mm::new(6.35), LengthUnit::Inch), "0.25 in");
    }

    #[test]
    fn a_length_no_bench_knows_is_short_all_the_same() {
        assert_eq!(length_words(Mm::new(1e300), LengthUnit::Mm), "1.00e300 mm");
        for words in [length_words, length_words_up, length_words_down] {
            assert_eq!(words(Mm::new(1.5e308), LengthUnit::Mm), "1.50e308 mm");
        }
        let words = range_words("Mandrel", true, [-1e300, 0.1, 1000.0], LengthUnit::Mm);
        assert_eq!(words, "Mandrel is -1.00e300 mm; it must lie between 0.1 mm and 1000 mm");
        let words = range_words("Price", false, [1e300, 0.0, 1000.0], LengthUnit::Mm);
        assert_eq!(words, "Price is 1.00e300; it must lie between 0 and 1000");
    }

    #[test]
    fn limits_are_rounded_to_the_side_that_works() {
        for (mm, unit, up, down) in [
            (6.0001, LengthUnit::Mm, "6.01 mm", "6 mm"),
            (6.0, LengthUnit::Mm, "6 mm", "6 mm"),
            (0.1 + 0.2, LengthUnit::Mm, "0.3 mm", "0.3 mm"),
            (10.0, LengthUnit::Inch, "0.394 in", "0.393 in"),
            (6.35, LengthUnit::Inch, "0.25 in", "0.25 in"),
        ] {
            assert_eq!(length_words_up(Mm::new(mm), unit), up);
            assert_eq!(length_words_down(Mm::new(mm), unit), down);
        }
    }

    #[test]
    fn readings_are_written_in_the_makers_unit() {
        assert_eq!(length_text(25.4, LengthUnit::Inch), "1.000 in");
        assert_eq!(length_text(0.9, LengthUnit::Mm), "0.90 mm");
        assert_eq!(length_text(-1e-16, LengthUnit::Mm), "0.00 mm");
        assert_eq!(wire_text(5500.0, LengthUnit::Mm), "5.50 m");
        // 5.5 m is 216.5 in, or 18 ft 1 in to the inch; 1 ozt is 20 dwt.
        assert_eq!(wire_text(5500.0, LengthUnit::Inch), "18 ft 1 in");
        assert_eq!(mass_text(31.103_476_8, LengthUnit::Inch), "20.00 dwt (1.000 ozt)");
    }
}
