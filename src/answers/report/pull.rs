//! Pull and seam, in figures and sentences.

use super::wording::{figures, newtons, share, span_newtons};
use crate::documents::units::{LengthUnit, length_words};
use crate::geometry::link::WireRegion;
use crate::math::units::Mm;
use crate::mechanics::material::BandedValue;
use crate::mechanics::strength::{Pull, Seam, StrengthError};
use serde::Serialize;

/// Pull.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PullReport {
    /// N per mm of growth of one link.
    pub stiffness_newtons_per_mm: BandedValue,
    /// The chain's pull per unit of strain, N: over its length in mm, N per mm.
    pub chain_newtons_per_strain: BandedValue,
    /// Greatest stress for a pull of 1 N, MPa.
    pub greatest_stress_mpa_per_newton: f64,
    /// The region of the link where it is.
    pub greatest_stress_at: &'static str,
    /// Pull at first set.
    pub first_set_newtons: BandedValue,
    /// Collapse, no less than (rigid–plastic lower bound).
    pub collapse_at_least_newtons: BandedValue,
    /// Collapse, no more than (rigid–plastic upper bound).
    pub collapse_at_most_newtons: BandedValue,
    /// Four strands torn: the join is lost by then at the latest.
    pub torn_newtons: BandedValue,
    /// The seam.
    pub seam: SeamReport,
    /// In a maker's words.
    pub message: Vec<String>,
}

/// The solder seam.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeamReport {
    /// Where it is, as a share of the way round; none where the design does not say.
    pub at_fraction: Option<f64>,
    /// The moment there over the greatest.
    pub moment_fraction: f64,
    /// The forming strain there over the greatest.
    pub strain_fraction: f64,
    /// The quietest place, as a share of the way round (its mirror images do as well).
    pub best_fraction: f64,
    /// Where that is.
    pub best_at: &'static str,
    /// In a maker's words.
    pub message: String,
}

pub(super) fn pull_report(
    pull: &Pull,
    seam: &Seam,
    given: Option<f64>,
    region: impl Fn(f64) -> WireRegion,
) -> PullReport {
    let place = region(pull.peak.at).name();
    let best = region(seam.best_at).name();
    let shares = format!(
        "{} of the greatest moment and {} of the greatest forming strain",
        share(seam.moment_fraction),
        share(seam.strain_fraction)
    );
    let seam_says = match given {
        None => format!(
            "Lay the seam in the {best}, about {} of the way from the waist to the tip: {shares} come to it. Away from the {}, where the moment is greatest.",
            share(4.0 * seam.best_at),
            region(seam.greatest_at).name()
        ),
        Some(at) if seam.is_quiet() => {
            format!("The seam in the {} lies well: {shares} come to it.", region(at).name())
        }
        Some(at) => format!(
            "Move the seam: in the {}, {shares} come to it; in the {best}, about {} of the way from the waist to the tip, at most {}.",
            region(at).name(),
            share(4.0 * seam.best_at),
            share(seam.best_fraction)
        ),
    };
    let message = vec![
        format!(
            "Annealed, a link starts to stretch for good at a pull of {}; the {place} is stressed most, and from there on the chain grows longer.",
            span_newtons(pull.first_set)
        ),
        gives_way(pull),
        format!(
            "By this model the join holds at least to the lower bound, {} with the softest metal; it is lost at the latest when four strands tear, at {} with the strongest.",
            newtons(pull.collapse_lower.low),
            newtons(pull.torn.high)
        ),
        "Computed, not tested, and no rating; a neck chain should part before it can hurt.".into(),
    ];
    PullReport {
        stiffness_newtons_per_mm: pull.stiffness,
        chain_newtons_per_strain: pull.chain_stiffness(),
        greatest_stress_mpa_per_newton: pull.peak.stress_per_newton,
        greatest_stress_at: place,
        first_set_newtons: pull.first_set,
        collapse_at_least_newtons: pull.collapse_lower,
        collapse_at_most_newtons: pull.collapse_upper,
        torn_newtons: pull.torn,
        seam: SeamReport {
            at_fraction: given,
            moment_fraction: seam.moment_fraction,
            strain_fraction: seam.strain_fraction,
            best_fraction: seam.best_at,
            best_at: best,
            message: seam_says,
        },
        message,
    }
}

fn gives_way(pull: &Pull) -> String {
    let [lower, upper] = [pull.collapse_lower.likely, pull.collapse_upper.likely].map(newtons);
    let told = if lower == upper {
        format!("at {lower}, where lower and upper bound agree")
    } else {
        format!("between {} N and {upper}", figures(pull.collapse_lower.likely))
    };
    format!(
        "It gives way without limit {told} (rigid–plastic, for the shape as drawn; annealed, likely metal)."
    )
}

/// Why the pull cannot be answered, in words.
pub(super) fn strength_words(error: &StrengthError, unit: LengthUnit) -> String {
    let StrengthError::NoSeat { short } = error else { return error.to_string() };
    let by = if *short > Mm::ZERO {
        format!(" ({} too tight)", length_words(*short, unit))
    } else {
        String::new()
    };
    format!(
        "the next link's waist does not fit inside these lobes{by}: widen the bore, close the waist gap, or take a thicker fold jaw"
    )
}
