//! Names for places along a link.

/// A stretch of the link, as a maker would point to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// The middle, pinched and folded over.
    Waist,
    /// Between waist and lobe.
    Strand,
    /// The side of a lobe.
    LobeSide,
    /// The end of a lobe.
    Tip,
}

impl Spot {
    /// The name in words.
    pub fn name(self) -> &'static str {
        match self {
            Spot::Waist => "waist",
            Spot::Strand => "strand between waist and lobe",
            Spot::LobeSide => "side of the lobe",
            Spot::Tip => "tip of the lobe",
        }
    }
}
