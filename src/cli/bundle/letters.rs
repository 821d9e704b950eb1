//! Bytes as letters that may stand in a script's tag: five for every four, where base 64 takes
//! five and a third.

/// The first letter, and the one that could end a tag, which is left out.
const FIRST: u8 = b'(';
const LEFT_OUT: u8 = b'<';

/// Four bytes at a time as a number to the base of 85; what is missing of the last four is nought.
/// `page.js` reads them.
pub fn letters(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(4) * 5);
    for four in bytes.chunks(4) {
        let mut whole = [0; 4];
        whole[..four.len()].copy_from_slice(four);
        let number = u32::from_be_bytes(whole);
        for place in (0..5).rev() {
            let digit = (number / 85_u32.pow(place) % 85) as u8;
            let letter = FIRST + digit;
            text.push(char::from(letter + u8::from(letter >= LEFT_OUT)));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 0 is five noughts, 2³² − 1 = 82·85⁴ + 23·85³ + 54·85² + 12·85 + 0 (by hand).
    #[test]
    fn numbers_are_written_to_the_base_of_85() {
        assert_eq!(letters(&[0; 4]), "(((((");
        let digits = [82, 23, 54, 12, 0].map(|digit: u8| {
            let letter = FIRST + digit;
            char::from(if letter < LEFT_OUT { letter } else { letter + 1 })
        });
        assert_eq!(letters(&[255; 4]), digits.iter().collect::<String>());
        assert_eq!(letters(&[1]), letters(&[1, 0, 0, 0]));
        let every: Vec<u8> =
            (0..=255).flat_map(|a: u8| [a, a.wrapping_mul(77), !a, a / 3]).collect();
        assert!(!letters(&every).contains(['<', '&', '\'', '"']));
    }
}
