//! Figures as a maker reads them.

use crate::documents::units::{LengthUnit, length_text, length_words};
use crate::math::units::Mm;
use crate::mechanics::forming::FormingStep;
use crate::mechanics::material::BandedValue;

/// Metres per second squared, standard gravity (ISO 80000-3; exact by definition).
const GRAVITY: f64 = 9.80665;

/// A length with its range: `0.63 mm (0.46 to 0.65)`; the range left out where it shows nothing.
pub(super) fn span_length(span: BandedValue, unit: LengthUnit) -> String {
    let [low, likely, high] = [span.low, span.likely, span.high].map(|mm| length_text(mm, unit));
    if low == high {
        return likely;
    }
    let number = |text: &str| text.split(' ').next().unwrap_or_default().to_owned();
    format!("{likely} ({} to {})", number(&low), number(&high))
}

/// A force with its range and the weight it equals.
pub(super) fn span_newtons(span: BandedValue) -> String {
    format!("{} ({} to {})", newtons(span.likely), figures(span.low), figures(span.high))
}

/// A force, and the mass that weighs as much.
pub(super) fn newtons(force: f64) -> String {
    let kilograms = force / GRAVITY;
    let mass = if kilograms < 1.0 {
        format!("{} g", figures(1000.0 * kilograms))
    } else {
        format!("{} kg", figures(kilograms))
    };
    format!("{} N, the weight of {mass}", figures(force))
}

/// Two significant figures, which is more than any of this is worth; "unknown" where it is none.
pub(super) fn figures(value: f64) -> String {
    if !value.is_finite() {
        return "unknown".into();
    }
    if value == 0.0 {
        return "0".into();
    }
    let places = (1 - value.abs().log10().floor() as i32).clamp(-12, 12);
    let rounded = round(value, 10f64.powi(places));
    format!("{rounded:.*}", places.max(0) as usize)
}

fn round(value: f64, times: f64) -> f64 {
    (value * times).round() / times
}

/// A share in hundredths.
pub(super) fn share(value: f64) -> String {
    format!("{:.0} %", 100.0 * value)
}

/// A share in hundredths, to one decimal.
pub(super) fn percent(value: f64) -> String {
    format!("{:.1} %", 100.0 * value)
}

/// A step as a maker names it.
pub(super) fn step_name(step: FormingStep) -> &'static str {
    match step {
        FormingStep::Wind => "winding",
        FormingStep::Stretch => "stretch",
        FormingStep::Pinch => "pinch",
        FormingStep::Press => "press",
        FormingStep::Fold => "fold",
        FormingStep::Open => "opening",
    }
}

pub(super) fn words(mm: f64, unit: LengthUnit) -> String {
    length_words(Mm::new(mm), unit)
}

/// A measure that was computed, in a sentence.
pub(super) fn measured(mm: f64, unit: LengthUnit) -> String {
    length_words(Mm::new(mm), unit)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_rounded_to_what_they_are_worth() {
        assert_eq!(figures(1234.0), "1200");
        assert_eq!(figures(0.012345), "0.012");
        assert_eq!(figures(9.99), "10.0");
        assert_eq!(figures(f64::INFINITY), "unknown");
        assert_eq!(figures(-0.0), "0");
        assert_eq!(newtons(3.4), "3.4 N, the weight of 350 g");
        let span = BandedValue { low: 0.456, likely: 0.633, high: 0.650 };
        assert_eq!(span_length(span, LengthUnit::Mm), "0.63 mm (0.46 to 0.65)");
    }
}
