//! The colours of every theme, metal and tool.

/// Red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub [u8; 3]);

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Colour([red, green, blue]) = self;
        write!(f, "#{red:02x}{green:02x}{blue:02x}")
    }
}

/// A set of colours. The page's stylesheet uses the same ones for paper, ink and measures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Theme {
    pub(super) paper: Colour,
    pub(super) square: Colour,
    pub(super) ink: Colour,
    pub(super) faint: Colour,
    pub(super) measure: Colour,
    pub(super) accent: Colour,
    pub(super) warning: Colour,
    pub(super) rim: Colour,
    /// The wire, and a loop told from it by a darker tone of its metal, from darkest to brightest, at even
    /// steps.
    pub(super) own: [Colour; 5],
    pub(super) other: [Colour; 5],
    /// Ground without clearance, from the deepest overlap to none, and with clearance, to the most.
    pub(super) without: [Colour; 5],
    pub(super) with: [Colour; 5],
}

const fn hex(code: u32) -> Colour {
    Colour([(code >> 16) as u8, (code >> 8) as u8, code as u8])
}

const fn scale([a, b, c, d, e]: [u32; 5]) -> [Colour; 5] {
    [hex(a), hex(b), hex(c), hex(d), hex(e)]
}

/// Strain from none to most, darker all the way; on metal, which is own in both themes.
pub(super) const STRAIN: [Colour; 5] = scale([0xf6ead0, 0xe3b778, 0xc9743f, 0x8e2f2a, 0x3d0f1c]);

/// Solder in every theme, darker than any metal.
pub(super) const SOLDER: [Colour; 5] = scale([0x000002, 0x080c14, 0x101626, 0x1a2138, 0x262e4b]);

/// Tools, in every theme: the brown of leather and wood, which no wire is.
pub(super) const TOOL: [Colour; 5] = scale([0x63584b, 0x7c7060, 0x948876, 0xab9f8d, 0xc0b5a4]);

const SILVER: [Colour; 5] = scale([0x302f2e, 0x858481, 0xd2d0cc, 0xf3f1ec, 0xfefdfb]);
const SILVER_DARK: [Colour; 5] = scale([0x161515, 0x4a4948, 0x93928f, 0xb6b5b1, 0xd2d1cd]);
const GOLD: [Colour; 5] = scale([0x301e03, 0x865f1c, 0xd4a142, 0xf6cc70, 0xfff4df]);
const GOLD_DARK: [Colour; 5] = scale([0x160b01, 0x4b330b, 0x95702b, 0xb89852, 0xd4bf8d]);
const COPPER: [Colour; 5] = scale([0x2d140d, 0x7f4a3a, 0xca856f, 0xeeb29e, 0xfdeee9]);
const COPPER_DARK: [Colour; 5] = scale([0x140604, 0x46261d, 0x8e5c4c, 0xb28575, 0xd0b2a7]);
const BRASS: [Colour; 5] = scale([0x291f06, 0x776128, 0xc1a455, 0xe6ce84, 0xfbf5e3]);
const BRASS_DARK: [Colour; 5] = scale([0x120c02, 0x423413, 0x877239, 0xac9a62, 0xccc099]);

/// In the order of [`Theme::ALL`].
pub(super) static COPPERS: [Theme; 4] = in_all(COPPER, COPPER_DARK);
pub(super) static GOLDS: [Theme; 4] = in_all(GOLD, GOLD_DARK);
pub(super) static BRASSES: [Theme; 4] = in_all(BRASS, BRASS_DARK);

const fn in_all(own: [Colour; 5], other: [Colour; 5]) -> [Theme; 4] {
    [
        Theme { own, other, ..Theme::LIGHT },
        Theme { own, other, ..Theme::DARK },
        Theme { own, other, ..Theme::HIGH_CONTRAST },
        Theme { own, other, ..Theme::HIGH_CONTRAST_DARK },
    ]
}

impl Theme {
    /// Dark marks on light paper.
    pub const LIGHT: Theme = Theme {
        paper: hex(0xf5f6f2),
        square: hex(0xdfe7e5),
        ink: hex(0x1c272c),
        faint: hex(0x5d6a6e),
        measure: hex(0xa32b1a),
        accent: hex(0x0b5a68),
        warning: hex(0xa32b1a),
        rim: hex(0x1f2529),
        own: SILVER,
        other: SILVER_DARK,
        without: scale([0xd9977e, 0xe2ac96, 0xebc1ae, 0xf2d4c6, 0xf8e6dd]),
        with: scale([0xdcecea, 0xc2dfde, 0xa6d0d1, 0x8ac1c4, 0x6fb1b6]),
    };

    /// Black on white: what is printed.
    pub const PRINT: Theme =
        Theme { paper: hex(0xffffff), ink: hex(0x000000), faint: hex(0x505050), ..Theme::LIGHT };

    /// Light marks on dark paper.
    pub const DARK: Theme = Theme {
        paper: hex(0x14191b),
        square: hex(0x20292c),
        ink: hex(0xe8ebe6),
        faint: hex(0x98a5a8),
        measure: hex(0xffa086),
        accent: hex(0x74c9d4),
        warning: hex(0xffa086),
        rim: hex(0x060809),
        own: SILVER,
        other: SILVER_DARK,
        without: scale([0x6e3424, 0x5e2f22, 0x4e2a20, 0x3f251e, 0x31201c]),
        with: scale([0x172e31, 0x193a3e, 0x1c464c, 0x1f535a, 0x226068]),
    };

    /// Black on white, for eyes or rooms in which the light theme is too faint.
    pub const HIGH_CONTRAST: Theme = Theme {
        paper: hex(0xffffff),
        square: hex(0xe2e2e2),
        ink: hex(0x000000),
        faint: hex(0x333333),
        measure: hex(0x8b0000),
        accent: hex(0x00329b),
        warning: hex(0x8b0000),
        rim: hex(0x000000),
        own: SILVER,
        other: SILVER_DARK,
        without: scale([0xf2a088, 0xf5b4a0, 0xf8c8b8, 0xfbdbcf, 0xfdede6]),
        with: scale([0xe4f2ff, 0xc8e4fb, 0xacd5f5, 0x90c6ef, 0x76b7e8]),
    };

    /// White on black, in high contrast.
    pub const HIGH_CONTRAST_DARK: Theme = Theme {
        paper: hex(0x000000),
        square: hex(0x262626),
        ink: hex(0xffffff),
        faint: hex(0xdcdcdc),
        measure: hex(0xffb4a0),
        accent: hex(0xffe34d),
        warning: hex(0xffb4a0),
        rim: hex(0xffffff),
        own: SILVER,
        other: SILVER_DARK,
        without: scale([0x662010, 0x541b0e, 0x42160c, 0x301009, 0x1e0a06]),
        with: scale([0x041424, 0x062038, 0x082c4c, 0x0a3860, 0x0c4474]),
    };
}
