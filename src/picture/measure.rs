//! Calliper measures drawn on the picture.

use super::View;
use super::drawing::{Anchor, Drawing, Tone};
use crate::curve::Point;
use crate::units::LengthUnit;

/// A length between two places.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// What is measured, in a maker's words.
    pub name: &'static str,
    /// One jaw of the callipers.
    pub from: Point,
    /// The other jaw.
    pub to: Point,
    /// What the callipers read, mm.
    pub reading: f64,
}

/// A length in the unit a maker works in: two decimals of a millimetre, three of an inch.
pub fn length_text(mm: f64, unit: LengthUnit) -> String {
    // Rounding leaves a closed gap a hair below nothing.
    let mm = if mm.abs() < 5e-7 { 0.0 } else { mm };
    match unit {
        LengthUnit::Mm => format!("{mm:.2} mm"),
        LengthUnit::Inch => format!("{:.3} in", mm / unit.in_mm()),
    }
}

/// Draws the line between the jaws, a stop at each end, and the reading beside it.
pub(super) fn lay(measure: &Measure, view: &View, unit: LengthUnit, drawing: &mut Drawing) {
    let (a, b) = (view.flat(measure.from), view.flat(measure.to));
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length = dx.hypot(dy);
    let width = view.mm(1.5);
    // Seen end on, a line has no direction: the stops stand upright.
    let aside = if length > 1e-9 { [-dy / length, dx / length] } else { [0.0, 1.0] };
    let stop = view.mm(6.0);
    drawing.stroke(Tone::Measure, &[a, b], width);
    for end in [a, b] {
        let at = |sign: f64| [end[0] + sign * stop * aside[0], end[1] + sign * stop * aside[1]];
        drawing.stroke(Tone::Measure, &[at(-1.0), at(1.0)], width);
    }
    let text = format!("{} {}", measure.name, length_text(measure.reading, unit));
    // Beside lines that stand, above lines that lie.
    let standing = dy.abs() > dx.abs();
    let middle = [0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1])];
    let (at, anchor) = if standing {
        ([middle[0] + view.mm(9.0), middle[1]], Anchor::Start)
    } else {
        ([middle[0], middle[1] + view.mm(13.0)], Anchor::Middle)
    };
    drawing.label(Tone::Measure, at, anchor, view.mm(13.0), text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_are_written_in_the_makers_unit() {
        assert_eq!(length_text(25.4, LengthUnit::Inch), "1.000 in");
        assert_eq!(length_text(0.9, LengthUnit::Mm), "0.90 mm");
        assert_eq!(length_text(-1e-16, LengthUnit::Mm), "0.00 mm");
    }
}
