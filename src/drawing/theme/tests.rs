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
    let white = Colour([0xff; 3]);
    assert!((contrast(white, Colour([0; 3])) - 21.0).abs() < 1e-9);
    assert!((contrast(white, Colour([0x76; 3])) - 4.54).abs() < 0.01);
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
    let style = include_str!("../../../www/style.css");
    for (name, theme) in ["light", "dark", "contrast-light", "contrast-dark"].iter().zip(Theme::ALL)
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
    let paper = Colour([0xff; 3]);
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
    let luminance = 0.05 * contrast(colour, Colour([0; 3])) - 0.05;
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
