//! Colours for tones: light and dark, and either in high contrast.

mod palette;

use super::marks::{Finish, SHADES, Tone};
use palette::{BRASSES, COPPERS, GOLDS, SOLDER, STRAIN, TOOL};
pub use palette::{Colour, Theme};

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

impl Theme {
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
    pub fn metal(&self, finish: Finish) -> [Colour; 5] {
        match finish {
            Finish::Own => self.own,
            Finish::Other => self.other,
            Finish::Solder => SOLDER,
            Finish::Marked => [self.accent; 5],
        }
    }

    /// Tools from darkest to brightest, at even steps.
    pub const TOOLS: [Colour; 5] = TOOL;

    /// Edges, in whatever light.
    pub fn edges(&self) -> [Colour; 5] {
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
mod tests;
