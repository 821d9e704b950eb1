//! A comb beside the wire, as long at each place as the value there, and a band of shade on it.
//!
//! Limits: for flat outlines seen from above; seen from the side, comb and wire overlap.

use super::PictureView;
use super::drawing::{Anchor, Drawing, SHADES, Tone};
use crate::geometry::curve::{ClosedCurve, Vector};

/// A quantity along a closed wire with two mirror lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Comb {
    /// The wire's middle line, from the middle of a side.
    pub curve: ClosedCurve,
    /// Half the wire's diameter, mm.
    pub radius: f64,
    /// Values evenly along a quarter, from the middle of the side to the tip.
    pub values: Vec<f64>,
    /// Where the broken line stands.
    pub limit: f64,
    /// Where the greatest value is, in words.
    pub place: String,
}

/// Places round the wire at which the band changes and teeth may stand.
pub(super) const PLACES: usize = 240;
/// A tooth at every so many places.
pub(super) const TOOTH: usize = 3;
/// Length of a tooth at the limit, wire diameters: teeth over a hollow as wide as two wires do
/// not cross.
pub(super) const HIGH: f64 = 0.8;
/// Width of the band, of the wire's.
const BAND: f64 = 0.55;
/// Height of the letters, CSS pixels.
const LETTER: f64 = 13.0;

impl Comb {
    /// The value at a share of the way round.
    fn value(&self, share: f64) -> f64 {
        let half = share.rem_euclid(0.5);
        let along = 4.0 * half.min(0.5 - half) * self.values.len().saturating_sub(1) as f64;
        let (low, rest) = (along.floor() as usize, along.fract());
        let at = |i: usize| self.values.get(i).or(self.values.last()).copied().unwrap_or(0.0);
        at(low) + rest * (at(low + 1) - at(low))
    }
}

/// One place of the comb on the picture.
struct StrainPlace {
    on_wire: [f64; 2],
    /// Out from the wire, as long as a millimetre seen here.
    out: [f64; 2],
    value: f64,
}

/// Draws the comb over its wire.
pub(super) fn lay(comb: &Comb, view: &PictureView, drawing: &mut Drawing) {
    if !(comb.limit > 0.0) || comb.values.is_empty() {
        return;
    }
    let places = places(comb, view);
    let at = |place: &StrainPlace, far: f64| {
        [place.on_wire[0] + far * place.out[0], place.on_wire[1] + far * place.out[1]]
    };
    // The band: one line for as long as the shade stays.
    let shade = |value: f64| {
        let share = (value / comb.limit / 1.25).clamp(0.0, 1.0);
        (share * f64::from(SHADES - 1)).round() as u8
    };
    let mut start = 0;
    for i in 1..=PLACES {
        if i == PLACES || shade(places[i].value) != shade(places[start].value) {
            let through: Vec<[f64; 2]> = (start..=i).map(|k| places[k % PLACES].on_wire).collect();
            let tone = Tone::Strain { shade: shade(places[start].value) };
            drawing.stroke(tone, &through, 2.0 * BAND * comb.radius);
            start = i;
        }
    }
    let high = |value: f64| comb.radius * (1.0 + 2.0 * HIGH * value / comb.limit);
    for place in places.iter().step_by(TOOTH) {
        let past = place.value > comb.limit;
        let (tone, width) = if past { (Tone::Warning, 2.6) } else { (Tone::Ink, 1.2) };
        drawing.stroke(
            tone,
            &[at(place, comb.radius), at(place, high(place.value))],
            view.mm(width),
        );
    }
    // The limit: a broken line.
    for dash in places.chunks(TOOTH).step_by(2) {
        let through: Vec<[f64; 2]> = dash.iter().map(|place| at(place, high(comb.limit))).collect();
        drawing.stroke(Tone::Faint, &through, view.mm(1.4));
    }
    let most = places.iter().map(|place| place.value).fold(0.0, f64::max);
    let ends: Vec<[f64; 2]> =
        places.iter().map(|place| at(place, high(place.value.max(comb.limit)))).collect();
    label(comb, &ends, most, view, drawing);
}

fn places(comb: &Comb, view: &PictureView) -> Vec<StrainPlace> {
    let length = comb.curve.length();
    (0..PLACES)
        .map(|i| {
            let share = i as f64 / PLACES as f64;
            let point = comb.curve.point(share * length);
            let beyond = comb.curve.point((share * length + 1e-4 * length) % length);
            // The outline runs clockwise: its outside lies to the left.
            let outward = Vector::z().cross(&(beyond - point)).normalize();
            let [x, y, _] = view.aim(outward);
            StrainPlace { on_wire: view.flat(point), out: [x, y], value: comb.value(share) }
        })
        .collect()
}

/// The limit in words above the outline, the greatest value below it.
fn label(comb: &Comb, ends: &[[f64; 2]], most: f64, view: &PictureView, drawing: &mut Drawing) {
    let percent = |value: f64| format!("{:.1} %", 100.0 * value);
    let size = view.mm(LETTER);
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for end in ends {
        for i in 0..2 {
            low[i] = low[i].min(end[i]);
            high[i] = high[i].max(end[i]);
        }
    }
    let middle = 0.5 * (low[0] + high[0]);
    let mut write = |tone, y, words: String| {
        drawing.label(tone, [middle, y], Anchor::Middle, size, words);
    };
    let takes = format!("broken line: takes {}", percent(comb.limit));
    write(Tone::Faint, high[1] + 1.2 * size, takes);
    let past = most > comb.limit;
    let tone = if past { Tone::Warning } else { Tone::Ink };
    write(tone, low[1] - 1.2 * size, format!("most {} {}", percent(most), comb.place));
    if past {
        write(tone, low[1] - 2.5 * size, "more than it takes".into());
    }
}
