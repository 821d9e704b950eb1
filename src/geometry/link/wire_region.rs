//! Names for places along a link.

/// A stretch of the link, as a maker would point to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WireRegion {
    /// The middle, pinched and folded over.
    Waist,
    /// Between waist and lobe.
    Strand,
    /// The side of a lobe.
    LobeSide,
    /// The end of a lobe.
    Tip,
}

impl WireRegion {
    /// The name in words.
    pub fn name(self) -> &'static str {
        match self {
            WireRegion::Waist => "waist",
            WireRegion::Strand => "strand between waist and lobe",
            WireRegion::LobeSide => "side of the lobe",
            WireRegion::Tip => "tip of the lobe",
        }
    }
}
