//! A link that carries a whole design in its fragment, and the design back from it.
//!
//! Model: `design.1.` and base64url (RFC 4648 §5, unpadded) of a CRC-32 in four bytes, least
//! first, of all that follows: the design's document without spaces, deflated (RFC 1951).
//! Limits: [`LONGEST_LINK`] letters, [`LONGEST_DOCUMENT`] bytes unpacked; neither a longer
//! link nor one that unpacks to more is read further.
//! Evidence: the tests below; `tests/share_link.rs` reads links with unrelated programs.

use crate::documents::design::{Design, DesignError, LONGEST_DOCUMENT};
use crate::documents::json;
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD as LETTERS;
use crc::{CRC_32_ISO_HDLC, Crc, NoTable};
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};

/// The longest fragment written and read, letters.
pub const LONGEST_LINK: usize = 1 << 16;
/// The version of link this program writes and reads.
pub const LINK_VERSION: u32 = 1;

const CHECK: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);
const CHECK_BYTES: usize = 4;
/// The best there is: a design is short.
const EFFORT: u8 = 10;

/// Why a link carries no design that can be worked.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LinkError {
    /// Something else stands after the `#`.
    #[error(
        "what follows the # is not a design; a design begins with \u{201c}design.{LINK_VERSION}.\u{201d}"
    )]
    Foreign,
    /// Made by a later linkfold.
    #[error("the link is of version {found}; this program reads version {LINK_VERSION}")]
    Version {
        /// What it says.
        found: u32,
    },
    /// Longer than any link.
    #[error("the link has {letters} letters; at most {most} are read: send the design as a file")]
    TooLong {
        /// How many it has or would have.
        letters: usize,
        /// The limit.
        most: usize,
    },
    /// Cut short, or changed on its way.
    #[error("the link is damaged: {problem}; ask for it again, or for the design as a file")]
    Damaged {
        /// What is wrong.
        problem: &'static str,
    },
    /// Unpacks to far more than any design.
    #[error("the link unpacks to more than {most} bytes, which no design has")]
    TooMuch {
        /// The limit.
        most: usize,
    },
    /// Whole, but no design.
    #[error("{0}")]
    Design(#[from] DesignError),
}

/// The fragment that carries `design`, without the `#`: letters, digits, `-`, `_` and dots.
///
/// # Errors
/// [`LinkError::TooLong`] for a design that needs a file.
///
/// # Examples
/// ```
/// use linkfold::documents::design::Design;
/// use linkfold::documents::share;
/// let design = Design::plain(0.9, 12.0); // wire and mandrel, mm
/// let fragment = share::fragment(&design)?;
/// assert_eq!(share::design(&fragment)?, design);
/// # Ok::<(), linkfold::documents::share::LinkError>(())
/// ```
pub fn fragment(design: &Design) -> Result<String, LinkError> {
    packed(json::line(design).as_bytes())
}

fn packed(text: &[u8]) -> Result<String, LinkError> {
    let small = compress_to_vec(text, EFFORT);
    let mut bytes = CHECK.checksum(&small).to_le_bytes().to_vec();
    bytes.extend(small);
    let link = format!("design.{LINK_VERSION}.{}", LETTERS.encode(bytes));
    if link.len() > LONGEST_LINK {
        return Err(LinkError::TooLong { letters: link.len(), most: LONGEST_LINK });
    }
    Ok(link)
}

/// The design a fragment carries; `fragment` is what follows the `#`.
///
/// # Errors
/// [`LinkError`]. Whether the rings can be formed is asked where links are built.
pub fn design(fragment: &str) -> Result<Design, LinkError> {
    if fragment.len() > LONGEST_LINK {
        return Err(LinkError::TooLong { letters: fragment.len(), most: LONGEST_LINK });
    }
    let rest = fragment.strip_prefix("design.").ok_or(LinkError::Foreign)?;
    let (version, letters) = rest.split_once('.').ok_or(LinkError::Foreign)?;
    if version.is_empty() || !version.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(LinkError::Foreign);
    }
    let found = version.parse().unwrap_or(u32::MAX);
    if found != LINK_VERSION {
        return Err(LinkError::Version { found });
    }
    let damaged = |problem| LinkError::Damaged { problem };
    let bytes = LETTERS.decode(letters).map_err(|_| damaged("its letters are not all there"))?;
    let (check, small) =
        bytes.split_first_chunk::<CHECK_BYTES>().ok_or(damaged("it is cut short"))?;
    if CHECK.checksum(small) != u32::from_le_bytes(*check) {
        return Err(damaged("letters are missing or changed"));
    }
    let text =
        decompress_to_vec_with_limit(small, LONGEST_DOCUMENT).map_err(|fault| {
            match fault.status {
                TINFLStatus::HasMoreOutput => LinkError::TooMuch { most: LONGEST_DOCUMENT },
                _ => damaged("it cannot be unpacked"),
            }
        })?;
    let text = String::from_utf8(text).map_err(|_| damaged("it holds no text"))?;
    Ok(Design::parse(&text)?)
}

#[cfg(test)]
mod tests;
