//! The designs to start from.

use crate::documents::design::Design;

/// The examples of `www/examples`, the opening design first.
const EXAMPLES: [&str; 4] = [
    include_str!("../../www/examples/evening-class-bracelet.json"),
    include_str!("../../www/examples/copper-practice.json"),
    include_str!("../../www/examples/swelling-necklace.json"),
    include_str!("../../www/examples/too-thick.json"),
];

/// Their places: the one the page opens with, and the one that does not join.
pub(super) const OPENING: usize = 0;
pub(super) const TOO_THICK: usize = 3;

/// Each as a design; none for one that is none (`tests/documents.rs` finds it).
pub fn examples() -> impl Iterator<Item = Option<Design>> {
    EXAMPLES.iter().map(|text| Design::parse(text).ok())
}
