//! The waist pincher: two jaws that press a neck into an oval, with wings that meet when it is
//! narrow enough.
//!
//! Press: on either side of the nose the wire is bent there and back to the radius `ρ`, by its moment `M`
//! at both ends of a length of `2 ρ sin θ` along the link; a jaw presses two such bends, with
//! `F = 2 M / (ρ sin θ)`. They turn by `θ` of 45° and more, which is reckoned with.

use super::error::JigError;
use super::part::{Jig, JigKind, LEAST_WALL};
use super::tools::{CorrectedTools, thick_enough};
use crate::geometry::link::{Forming, push_arc};
use crate::math::units::Mm;
use crate::mechanics::printed::least_width;
use crate::mesh::{Contour, Prism};
use std::f64::consts::{FRAC_PI_2, SQRT_2};

/// Width of a wing, thickness of the jaw's back, room for the lobes beyond what they need, mm.
const WING: f64 = 4.0;
const BACK: f64 = 5.0;
const SPARE: f64 = 1.0;

pub(super) fn pincher(
    forming: &Forming,
    corrected: &CorrectedTools,
    allowance: f64,
) -> Result<Jig, JigError> {
    let tools = &corrected.tools;
    let wire = tools.wire;
    let slack = 0.5 * allowance;
    let edge = 0.5 * tools.pinch_jaw;
    let nose = tools.neck + edge;
    let radius = edge + 0.5 * wire;
    let newtons = SQRT_2 * 2.0 * corrected.moment(radius)? / radius;
    let strong = 0.5 * least_width(newtons, wire) - edge;
    let least = Mm::new(strong.max(0.5 * LEAST_WALL).max(0.5 * wire));
    if !(tools.neck > 0.0) {
        return Err(JigError::NoNeck { least });
    }
    thick_enough(2.0 * nose, LEAST_WALL + allowance, "neck_mm", "the jaws' nose")?;
    thick_enough(edge, slack + 0.05, "pinch_jaw_mm", "the rounding of the jaws")?;
    // Nose at y = 0, the wire above it.
    let lobes = forming.eight.end_radius.max(0.5 * (tools.oval_jaw + wire));
    let recess = lobes + 0.5 * wire + SPARE;
    let inner = 0.5 * forming.taut.inside_length() + wire + SPARE;
    let meet = wire + 0.5 * tools.waist_gap;
    let (outer, low) = (inner + WING, -recess - BACK);
    let mut right = vec![[outer, low], [outer, meet], [inner, meet], [inner, -recess]];
    right.push([nose - slack, -recess]);
    push_arc(&mut right, [tools.neck, -edge], edge - slack, [0.0, FRAC_PI_2]);
    let mut jaw: Contour = right.clone();
    jaw.extend(right.iter().rev().map(|[x, y]| [-x, *y]));
    if tools.neck < strong {
        let (value, times) = (Mm::new(tools.neck), (strong + edge) / nose);
        let (field, what) = ("neck_mm", "half the neck");
        return Err(JigError::TooWeak { field, what, value, least, times });
    }
    let height = (3.0 * wire).max(LEAST_WALL * 2.0);
    let apart = 2.0 * meet + 3.0;
    let other: Contour = jaw.iter().map(|[x, y]| [*x, apart - y]).collect();
    let part = |contour| vec![Prism { contour, from: 0.0, to: height }];
    let jig = Jig::of(JigKind::Waist, vec![part(jaw), part(other)], "press it with flat pliers")?
        .measuring("nose, width over its roundings", 2.0 * nose)
        .measuring("nose below the wings", meet)
        .measuring("rounding of the noses, radius", edge)
        .noting(format!(
            "Lay the oval flat between the noses, its middle over theirs, and close them in a vice until the wings meet. Press of some {newtons:.0} N."
        ));
    Ok(jig.noting(corrected.waist_note.into()))
}
