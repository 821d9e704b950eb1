//! Colours for tones: light and dark, and either in high contrast.

use super::drawing::{Finish, SHADES, Tone};

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
    paper: Colour,
    square: Colour,
    ink: Colour,
    faint: Colour,
    measure: Colour,
    accent: Colour,
    warning: Colour,
    rim: Colour,
    /// The wire, and a loop told from it by a darker tone of its metal, from darkest to brightest, at even
    /// steps.
    own: [Colour; 5],
    other: [Colour; 5],
    /// Ground without clearance, from the deepest overlap to none, and with clearance, to the most.
    without: [Colour; 5],
    with: [Colour; 5],
}

/// Strain from none to most, darker all the way; on metal, which is own in both themes.
const STRAIN: [Colour; 5] = [
    rgb(0xf6, 0xea, 0xd0),
    rgb(0xe3, 0xb7, 0x78),
    rgb(0xc9, 0x74, 0x3f),
    rgb(0x8e, 0x2f, 0x2a),
    rgb(0x3d, 0x0f, 0x1c),
];

/// Solder in every theme, darker than any metal.
const SOLDER: [Colour; 5] = [
    rgb(0x00, 0x00, 0x02),
    rgb(0x08, 0x0c, 0x14),
    rgb(0x10, 0x16, 0x26),
    rgb(0x1a, 0x21, 0x38),
    rgb(0x26, 0x2e, 0x4b),
];

/// Tools, in every theme: the brown of leather and wood, which no wire is.
const TOOL: [Colour; 5] = [
    rgb(0x63, 0x58, 0x4b),
    rgb(0x7c, 0x70, 0x60),
    rgb(0x94, 0x88, 0x76),
    rgb(0xab, 0x9f, 0x8d),
    rgb(0xc0, 0xb5, 0xa4),
];

const fn rgb(red: u8, green: u8, blue: u8) -> Colour {
    Colour([red, green, blue])
}

/// What a metal looks like when it is polished.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MetalLook {
    /// Silver, titanium and the like.
    White,
    /// Copper and bronze.
    Copper,
    /// Gold but white gold.
    Gold,
    /// Brass.
    Brass,
}

impl MetalLook {
    /// Of the metal with this id, one of the maker's own by what stands in it.
    pub fn of(id: &str) -> MetalLook {
        let named = |names: &[&str]| names.iter().any(|name| id.contains(name));
        if named(&["copper", "bronze"]) {
            MetalLook::Copper
        } else if named(&["brass"]) {
            MetalLook::Brass
        } else if named(&["gold"]) && !id.contains("white-gold") {
            MetalLook::Gold
        } else {
            MetalLook::White
        }
    }
}

const SILVER: [Colour; 5] = [
    rgb(0x30, 0x2f, 0x2e),
    rgb(0x85, 0x84, 0x81),
    rgb(0xd2, 0xd0, 0xcc),
    rgb(0xf3, 0xf1, 0xec),
    rgb(0xfe, 0xfd, 0xfb),
];
const SILVER_DARK: [Colour; 5] = [
    rgb(0x16, 0x15, 0x15),
    rgb(0x4a, 0x49, 0x48),
    rgb(0x93, 0x92, 0x8f),
    rgb(0xb6, 0xb5, 0xb1),
    rgb(0xd2, 0xd1, 0xcd),
];
const GOLD: [Colour; 5] = [
    rgb(0x30, 0x1e, 0x03),
    rgb(0x86, 0x5f, 0x1c),
    rgb(0xd4, 0xa1, 0x42),
    rgb(0xf6, 0xcc, 0x70),
    rgb(0xff, 0xf4, 0xdf),
];
const GOLD_DARK: [Colour; 5] = [
    rgb(0x16, 0x0b, 0x01),
    rgb(0x4b, 0x33, 0x0b),
    rgb(0x95, 0x70, 0x2b),
    rgb(0xb8, 0x98, 0x52),
    rgb(0xd4, 0xbf, 0x8d),
];
const COPPER: [Colour; 5] = [
    rgb(0x2d, 0x14, 0x0d),
    rgb(0x7f, 0x4a, 0x3a),
    rgb(0xca, 0x85, 0x6f),
    rgb(0xee, 0xb2, 0x9e),
    rgb(0xfd, 0xee, 0xe9),
];
const COPPER_DARK: [Colour; 5] = [
    rgb(0x14, 0x06, 0x04),
    rgb(0x46, 0x26, 0x1d),
    rgb(0x8e, 0x5c, 0x4c),
    rgb(0xb2, 0x85, 0x75),
    rgb(0xd0, 0xb2, 0xa7),
];
const BRASS: [Colour; 5] = [
    rgb(0x29, 0x1f, 0x06),
    rgb(0x77, 0x61, 0x28),
    rgb(0xc1, 0xa4, 0x55),
    rgb(0xe6, 0xce, 0x84),
    rgb(0xfb, 0xf5, 0xe3),
];
const BRASS_DARK: [Colour; 5] = [
    rgb(0x12, 0x0c, 0x02),
    rgb(0x42, 0x34, 0x13),
    rgb(0x87, 0x72, 0x39),
    rgb(0xac, 0x9a, 0x62),
    rgb(0xcc, 0xc0, 0x99),
];

/// In the order of [`Theme::ALL`].
static COPPERS: [Theme; 4] = in_all(COPPER, COPPER_DARK);
static GOLDS: [Theme; 4] = in_all(GOLD, GOLD_DARK);
static BRASSES: [Theme; 4] = in_all(BRASS, BRASS_DARK);

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
        paper: rgb(0xf5, 0xf6, 0xf2),
        square: rgb(0xdf, 0xe7, 0xe5),
        ink: rgb(0x1c, 0x27, 0x2c),
        faint: rgb(0x5d, 0x6a, 0x6e),
        measure: rgb(0xa3, 0x2b, 0x1a),
        accent: rgb(0x0b, 0x5a, 0x68),
        warning: rgb(0xa3, 0x2b, 0x1a),
        rim: rgb(0x1f, 0x25, 0x29),
        own: SILVER,
        other: SILVER_DARK,
        without: [
            rgb(0xd9, 0x97, 0x7e),
            rgb(0xe2, 0xac, 0x96),
            rgb(0xeb, 0xc1, 0xae),
            rgb(0xf2, 0xd4, 0xc6),
            rgb(0xf8, 0xe6, 0xdd),
        ],
        with: [
            rgb(0xdc, 0xec, 0xea),
            rgb(0xc2, 0xdf, 0xde),
            rgb(0xa6, 0xd0, 0xd1),
            rgb(0x8a, 0xc1, 0xc4),
            rgb(0x6f, 0xb1, 0xb6),
        ],
    };

    /// Black on white: what is printed.
    pub const PRINT: Theme = Theme {
        paper: rgb(0xff, 0xff, 0xff),
        ink: rgb(0x00, 0x00, 0x00),
        faint: rgb(0x50, 0x50, 0x50),
        ..Theme::LIGHT
    };

    /// Light marks on dark paper.
    pub const DARK: Theme = Theme {
        paper: rgb(0x14, 0x19, 0x1b),
        square: rgb(0x20, 0x29, 0x2c),
        ink: rgb(0xe8, 0xeb, 0xe6),
        faint: rgb(0x98, 0xa5, 0xa8),
        measure: rgb(0xff, 0xa0, 0x86),
        accent: rgb(0x74, 0xc9, 0xd4),
        warning: rgb(0xff, 0xa0, 0x86),
        rim: rgb(0x06, 0x08, 0x09),
        own: SILVER,
        other: SILVER_DARK,
        without: [
            rgb(0x6e, 0x34, 0x24),
            rgb(0x5e, 0x2f, 0x22),
            rgb(0x4e, 0x2a, 0x20),
            rgb(0x3f, 0x25, 0x1e),
            rgb(0x31, 0x20, 0x1c),
        ],
        with: [
            rgb(0x17, 0x2e, 0x31),
            rgb(0x19, 0x3a, 0x3e),
            rgb(0x1c, 0x46, 0x4c),
            rgb(0x1f, 0x53, 0x5a),
            rgb(0x22, 0x60, 0x68),
        ],
    };

    /// Black on white, for eyes or rooms in which the light theme is too faint.
    pub const HIGH_CONTRAST: Theme = Theme {
        paper: rgb(0xff, 0xff, 0xff),
        square: rgb(0xe2, 0xe2, 0xe2),
        ink: rgb(0x00, 0x00, 0x00),
        faint: rgb(0x33, 0x33, 0x33),
        measure: rgb(0x8b, 0x00, 0x00),
        accent: rgb(0x00, 0x32, 0x9b),
        warning: rgb(0x8b, 0x00, 0x00),
        rim: rgb(0x00, 0x00, 0x00),
        own: SILVER,
        other: SILVER_DARK,
        without: [
            rgb(0xf2, 0xa0, 0x88),
            rgb(0xf5, 0xb4, 0xa0),
            rgb(0xf8, 0xc8, 0xb8),
            rgb(0xfb, 0xdb, 0xcf),
            rgb(0xfd, 0xed, 0xe6),
        ],
        with: [
            rgb(0xe4, 0xf2, 0xff),
            rgb(0xc8, 0xe4, 0xfb),
            rgb(0xac, 0xd5, 0xf5),
            rgb(0x90, 0xc6, 0xef),
            rgb(0x76, 0xb7, 0xe8),
        ],
    };

    /// White on black, in high contrast.
    pub const HIGH_CONTRAST_DARK: Theme = Theme {
        paper: rgb(0x00, 0x00, 0x00),
        square: rgb(0x26, 0x26, 0x26),
        ink: rgb(0xff, 0xff, 0xff),
        faint: rgb(0xdc, 0xdc, 0xdc),
        measure: rgb(0xff, 0xb4, 0xa0),
        accent: rgb(0xff, 0xe3, 0x4d),
        warning: rgb(0xff, 0xb4, 0xa0),
        rim: rgb(0xff, 0xff, 0xff),
        own: SILVER,
        other: SILVER_DARK,
        without: [
            rgb(0x66, 0x20, 0x10),
            rgb(0x54, 0x1b, 0x0e),
            rgb(0x42, 0x16, 0x0c),
            rgb(0x30, 0x10, 0x09),
            rgb(0x1e, 0x0a, 0x06),
        ],
        with: [
            rgb(0x04, 0x14, 0x24),
            rgb(0x06, 0x20, 0x38),
            rgb(0x08, 0x2c, 0x4c),
            rgb(0x0a, 0x38, 0x60),
            rgb(0x0c, 0x44, 0x74),
        ],
    };

    /// The same with the wire in the colour of its metal.
    pub fn in_metal(&'static self, look: MetalLook) -> &'static Theme {
        let place = Theme::ALL.iter().position(|theme| *theme == self);
        match (look, place) {
            (MetalLook::Copper, Some(place)) => &COPPERS[place],
            (MetalLook::Gold, Some(place)) => &GOLDS[place],
            (MetalLook::Brass, Some(place)) => &BRASSES[place],
            _ => self,
        }
    }

    /// All of them, in white metal.
    pub const ALL: [&Theme; 4] =
        [&Theme::LIGHT, &Theme::DARK, &Theme::HIGH_CONTRAST, &Theme::HIGH_CONTRAST_DARK];

    /// A finish from darkest to brightest, at even steps.
    pub(super) fn metal(&self, finish: Finish) -> [Colour; 5] {
        match finish {
            Finish::Own => self.own,
            Finish::Other => self.other,
            Finish::Solder => SOLDER,
            Finish::Marked => [self.accent; 5],
        }
    }

    /// Tools from darkest to brightest, at even steps.
    pub(super) const TOOLS: [Colour; 5] = TOOL;

    /// Edges, in whatever light.
    pub(super) fn edges(&self) -> [Colour; 5] {
        [self.rim; 5]
    }

    /// The colour of a tone.
    pub fn colour(&self, tone: Tone) -> Colour {
        match tone {
            Tone::Metal { finish, shade } => along(&self.metal(finish), shade),
            Tone::MapClearance { shade } => {
                let half = SHADES / 2;
                let (scale, step) =
                    if shade < half { (&self.without, shade) } else { (&self.with, shade - half) };
                along(scale, 2 * step)
            }
            Tone::Strain { shade } => along(&STRAIN, shade),
            Tone::Tool { shade } => along(&TOOL, shade),
            Tone::Rim => self.rim,
            Tone::Paper => self.paper,
            Tone::Square => self.square,
            Tone::Ink => self.ink,
            Tone::Faint => self.faint,
            Tone::Measure => self.measure,
            Tone::Accent => self.accent,
            Tone::Warning => self.warning,
        }
    }
}

/// The colour at `shade` on an even scale of five.
fn along(scale: &[Colour; 5], shade: u8) -> Colour {
    let place = 4.0 * f64::from(shade.min(SHADES - 1)) / f64::from(SHADES - 1);
    let low = (place as usize).min(3);
    let share = place - low as f64;
    let (Colour(a), Colour(b)) = (scale[low], scale[low + 1]);
    let mix = |i: usize| {
        let (a, b) = (f64::from(a[i]), f64::from(b[i]));
        (a + share * (b - a)).round() as u8
    };
    Colour([mix(0), mix(1), mix(2)])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast by WCAG 2.2, definitions in its glossary.
    fn contrast(a: Colour, b: Colour) -> f64 {
        let light = |Colour(c): Colour| {
            let linear = c.map(|v| {
                let v = f64::from(v) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        };
        let (a, b) = (light(a), light(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    /// What success criteria 1.4.3 (AA) and 1.4.6 (AAA) ask of writing: 4.5 and 7.
    fn asked(theme: &Theme) -> f64 {
        let high = [&Theme::HIGH_CONTRAST, &Theme::HIGH_CONTRAST_DARK];
        if high.contains(&theme) { 7.0 } else { 4.5 }
    }

    /// White on black is 21, and #767676 on white the well-known least grey of 4.54.
    #[test]
    fn contrast_is_that_of_the_definition() {
        let white = rgb(0xff, 0xff, 0xff);
        assert!((contrast(white, rgb(0, 0, 0)) - 21.0).abs() < 1e-9);
        assert!((contrast(white, rgb(0x76, 0x76, 0x76)) - 4.54).abs() < 0.01);
    }

    #[test]
    fn writing_stands_out_from_the_paper_in_every_theme() {
        for theme in Theme::ALL.into_iter().chain([&Theme::PRINT]) {
            for tone in [Tone::Ink, Tone::Faint, Tone::Measure, Tone::Accent, Tone::Warning] {
                let (found, asked) = (contrast(theme.colour(tone), theme.paper), asked(theme));
                assert!(found >= asked, "{tone:?}: {found:.2}, {asked} asked");
            }
        }
    }

    #[test]
    fn writing_can_be_read_on_every_ground_of_a_map() {
        for theme in Theme::ALL {
            for shade in 0..SHADES {
                let map_cells = theme.colour(Tone::MapClearance { shade });
                let (found, asked) = (contrast(theme.ink, map_cells), asked(theme));
                assert!(found >= asked, "{shade}: {found:.2}, {asked} asked");
            }
        }
    }

    /// Criterion 1.4.11 asks 3 of what must be seen to understand a picture: the wire's edge on
    /// the paper, or where that is as dark as the paper, its bright side.
    #[test]
    fn a_wire_stands_out_from_the_paper_in_every_theme() {
        for theme in in_every_metal() {
            for finish in [Finish::Own, Finish::Other] {
                let bright = theme.colour(Tone::Metal { finish, shade: SHADES / 2 });
                let found = contrast(theme.rim, theme.paper).max(contrast(bright, theme.paper));
                assert!(found >= 3.0, "{finish:?}: {found:.2}, 3 asked");
            }
        }
    }

    /// A seam is told from either metal by brightness alone (3 asked, by criterion 1.4.11), at
    /// every shade that faces the reader.
    #[test]
    fn a_seam_stands_out_from_the_wire() {
        for theme in in_every_metal() {
            for finish in [Finish::Own, Finish::Other] {
                for shade in SHADES / 2..SHADES {
                    let at = |finish| theme.colour(Tone::Metal { finish, shade });
                    let found = contrast(at(finish), at(Finish::Solder));
                    assert!(found >= 3.0, "{finish:?} {shade}: {found:.2}");
                }
            }
        }
    }

    /// The page and the picture on it are of the same colours.
    #[test]
    fn the_stylesheet_has_the_colours_of_the_themes() {
        let style = include_str!("../../www/style.css");
        for (name, theme) in
            ["light", "dark", "contrast-light", "contrast-dark"].iter().zip(Theme::ALL)
        {
            let rule = style
                .lines()
                .find(|line| line.contains(&format!("[data-colours=\"{name}\"]")))
                .unwrap_or_else(|| panic!("no line for {name}"));
            for (variable, tone) in [
                ("paper", Tone::Paper),
                ("square", Tone::Square),
                ("ink", Tone::Ink),
                ("faint", Tone::Faint),
                ("accent", Tone::Accent),
                ("warning", Tone::Warning),
            ] {
                let wanted = format!("--{variable}: {};", theme.colour(tone));
                assert!(rule.contains(&wanted), "{name}: no {wanted}");
            }
        }
    }

    #[test]
    fn strain_darkens_from_shade_to_shade() {
        let paper = rgb(0xff, 0xff, 0xff);
        let dark = |shade| contrast(Theme::LIGHT.colour(Tone::Strain { shade }), paper);
        assert!((1..SHADES).all(|shade| dark(shade) > dark(shade - 1)));
    }

    /// Every theme in every metal.
    fn in_every_metal() -> impl Iterator<Item = &'static Theme> {
        let looks = [MetalLook::White, MetalLook::Copper, MetalLook::Gold, MetalLook::Brass];
        Theme::ALL.into_iter().flat_map(move |theme| looks.map(|look| theme.in_metal(look)))
    }

    /// Relative luminance as a printer in black and white or an eye without colours has it, 0 to 100
    /// (CIE 1976 L*).
    fn lightness(colour: Colour) -> f64 {
        // Contrast on black is (Y + 0.05) / 0.05.
        let luminance = 0.05 * contrast(colour, rgb(0, 0, 0)) - 0.05;
        if luminance > 0.008_856 { 116.0 * luminance.cbrt() - 16.0 } else { 903.3 * luminance }
    }

    /// Of polished metal each of red, green and blue comes back as a share: silver 0.972, 0.960, 0.915,
    /// gold 1, 0.766, 0.336, copper 0.955, 0.637, 0.538, brass 0.910, 0.778, 0.423, as tabled for rendering
    /// (Lagarde, *Feeding a physically based shading model*, 2011; brass from memory). Wires lit by one another have
    /// those colours and deeper ones: hue and order of red, green and blue are held here, not depth.
    #[test]
    fn a_metal_looks_like_itself() {
        assert_eq!(MetalLook::of("copper"), MetalLook::Copper);
        assert_eq!(MetalLook::of("yellow-gold-14k"), MetalLook::Gold);
        assert_eq!(MetalLook::of("brass-c260"), MetalLook::Brass);
        assert_eq!(MetalLook::of("sterling-silver"), MetalLook::White);
        assert_eq!(MetalLook::of("white-gold-18k"), MetalLook::White);
        // Where blue, red and green stand between least and most, of 0 to 1.
        let hue = |[red, green, blue]: [f64; 3]| (green - blue) / (red - blue);
        let linear = |Colour(c): Colour| {
            c.map(|v| {
                let v = f64::from(v) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            })
        };
        for (look, shares) in [
            (MetalLook::White, [0.972, 0.960, 0.915]),
            (MetalLook::Gold, [1.0, 0.766, 0.336]),
            (MetalLook::Copper, [0.955, 0.637, 0.538]),
            (MetalLook::Brass, [0.910, 0.778, 0.423]),
        ] {
            for theme in Theme::ALL {
                for finish in [Finish::Own, Finish::Other] {
                    let shade = SHADES / 4 * 3;
                    let theme = theme.in_metal(look);
                    let found = linear(theme.colour(Tone::Metal { finish, shade }));
                    assert!(found[0] >= found[1] && found[1] >= found[2], "{look:?}: {found:?}");
                    let apart = (hue(found) - hue(shares)).abs();
                    assert!(apart < 0.12, "{look:?}: {} {}", hue(found), hue(shares));
                    let saturated = 1.0 - shares[2] / shares[0];
                    assert!(1.0 - found[2] / found[0] > 0.8 * saturated, "{look:?} {found:?}");
                }
            }
        }
    }

    /// Two loops are told apart by lightness alone, in every metal and light, so that black and white print
    /// and eyes without colours tell them too: twenty steps of L* are some ten just seen differences.
    #[test]
    fn two_loops_are_told_apart_without_colours() {
        for theme in in_every_metal() {
            for shade in SHADES / 4..SHADES / 8 * 7 {
                let of = |finish| lightness(theme.colour(Tone::Metal { finish, shade }));
                let [own, other] = [Finish::Own, Finish::Other].map(of);
                assert!(own - other > 15.0, "{shade}: {own:.0} {other:.0}");
            }
        }
    }

    #[test]
    fn metal_brightens_from_shade_to_shade() {
        for theme in in_every_metal() {
            for finish in [Finish::Own, Finish::Other, Finish::Solder] {
                let sum = |shade| {
                    let Colour(c) = theme.colour(Tone::Metal { finish, shade });
                    c.iter().map(|&v| u32::from(v)).sum::<u32>()
                };
                assert!((1..SHADES).all(|shade| sum(shade) > sum(shade - 1)));
            }
        }
    }
}
