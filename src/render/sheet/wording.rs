//! Text on paper: how wide it may come out, and where a line ends.

/// Width of `text` with letters `size` mm high, mm: never less than in any of the usual faces
/// without serifs, whichever the printing program takes.
pub fn wide(text: &str, size: f64) -> f64 {
    // Shares of the size, by kind of letter: the widest of each kind in DejaVu Sans Bold 2.37, which is
    // wider than most, as the font's own table of advance widths (hmtx) has it, rounded up.
    let of = |letter: char| match letter {
        'i' | 'j' | 'l' | ' ' | '.' | ',' | ':' | ';' | '\'' | '|' | 'I' => 0.4,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '/' | '!' => 0.52,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 1.11,
        'a'..='z' | '0'..='9' => 0.72,
        'A'..='Z' | '&' | '×' | 'ä' | 'ö' | 'ü' | 'é' | 'è' => 0.88,
        '·' | '°' | '’' | '“' | '”' => 0.66,
        _ => 1.11,
    };
    size * text.chars().map(of).sum::<f64>()
}

/// `text` cut to lines no wider than `most` mm; words too long for a line are cut.
pub fn wrapped(text: &str, size: f64, most: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if wide(&longer, size) <= most {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for letter in word.chars() {
            line.push(letter);
            if wide(&line, size) > most {
                let letter = line.pop().into_iter().collect();
                lines.push(std::mem::replace(&mut line, letter));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// `text` in one line no wider than `most` mm, its end left out where it is longer.
pub fn fitted(text: &str, size: f64, most: f64) -> String {
    let text: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if wide(&text, size) <= most {
        return text;
    }
    let mut kept = String::new();
    for letter in text.chars() {
        if wide(&kept, size) + wide(&letter.to_string(), size) + wide("…", size) > most {
            break;
        }
        kept.push(letter);
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_no_wider_than_asked_and_lose_no_letter() {
        let text = "a wire WWWWWWWWWWWWWWWWWWWWWWWWWWWWWW of 0.9 mm, and so on";
        for most in [8.0, 20.0, 47.0] {
            let lines = wrapped(text, 2.5, most);
            assert!(lines.iter().all(|line| wide(line, 2.5) <= most), "{lines:?}");
            let letters = |t: &str| t.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            assert_eq!(letters(&lines.concat()), letters(text));
            assert!(wide(&fitted(text, 2.5, most), 2.5) <= most);
        }
        assert_eq!(wrapped("", 2.5, 10.0), Vec::<String>::new());
        assert_eq!(fitted("short", 2.5, 100.0), "short");
    }
}
