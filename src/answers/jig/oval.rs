//! The oval former: two posts with rounded ends, one on a slide that stops where the oval is long
//! enough.
//!
//! Pull: in a quarter of the ring half the pull acts at a lever of `r`, the radius of the oval's ends,
//! against the moment that bends the end and the one that straightens the side, so that the last of the
//! bend takes `P = 2 (M(1/r) + M(1/R)) / r`, `R` the ring's radius (equilibrium of a quarter).

use super::contour::rectangle;
use super::error::JigError;
use super::part::{BASE, Jig, JigKind, LEAST_WALL};
use super::tools::{CorrectedTools, bears, thick_enough};
use crate::geometry::link::{Forming, push_arc};
use crate::math::units::Mm;
use crate::mechanics::printed::{Post, PostLoad, Push};
use crate::mesh::{Contour, Prism};
use std::f64::consts::{FRAC_PI_2, PI};

/// Thickness of the slide, its play on either side, length and height of its knob, mm.
const SLIDE: f64 = 3.0;
const PLAY: f64 = 0.2;
const KNOB: f64 = 8.0;
/// Between the posts when they stand together, mm.
const APART: f64 = 0.6;
/// Plate round the channel, mm.
const ROUND: f64 = 6.0;

pub(super) fn oval_former(
    forming: &Forming,
    corrected: &CorrectedTools,
    allowance: f64,
) -> Result<Jig, JigError> {
    let tools = &corrected.tools;
    let (jaw, length, wire) = (tools.oval_jaw, corrected.oval_length, tools.wire);
    let (field, what) = ("oval_jaw_mm", "the jaw of the oval");
    thick_enough(jaw, LEAST_WALL + allowance, field, what)?;
    let inside = forming.ring.inside_diameter();
    // Side by side they go into the ring.
    let post = (3.0 * jaw).min(0.475 * (inside - APART - 0.4));
    if !(post >= jaw) {
        let (value, most) = (Mm::new(jaw), Mm::new((0.475 * (inside - APART - 0.4)).max(0.0)));
        let remedy = "two such posts do not stand side by side in the ring; take thinner jaws";
        return Err(JigError::TooThick { field, what, value, most, remedy });
    }
    let slack = 0.5 * allowance;
    let end = 0.5 * (jaw + wire);
    let moments = corrected.moment(end)? + corrected.moment(forming.ring.radius())?;
    let newtons = 2.0 * moments / end;
    // Both rounded ends lie outwards; the first post's at x = 0.
    let shape = |outer: f64, side: f64| -> Contour {
        let radius = 0.5 * jaw - slack;
        let mut contour = Vec::new();
        let centre = [outer + side * 0.5 * jaw, 0.0];
        push_arc(&mut contour, centre, radius, [FRAC_PI_2, FRAC_PI_2 + side * PI]);
        let inner = outer + side * (post - slack);
        contour.extend([[inner, -radius], [inner, radius]]);
        contour
    };
    let still = shape(0.0, 1.0);
    let load = PostLoad::of(
        Post { contour: &still, width: jaw - allowance },
        Push { newtons, height: 0.5 * wire, wires: 1.0, wire },
    );
    bears(load, field, what, jaw)?;
    let height = 2.0 * wire + 1.0;
    let top = BASE + SLIDE;
    // The slide from its post's inner side on, drawn out; it begins at `start` when pushed in.
    let start = post + APART;
    let together = start + post;
    let ring_end = (inside + wire + 1.0 - together).max(wire + 3.0);
    let slide = post + ring_end + KNOB;
    let drawn = length - post;
    let half = 0.5 * (jaw + 4.0).max(8.0);
    let channel = rectangle(
        [start - slack, -half - PLAY - slack],
        [drawn + slide + slack, half + PLAY + slack],
    );
    let base = rectangle([-wire - ROUND, -half - ROUND], [drawn + slide + ROUND, half + ROUND]);
    let fixed = vec![
        Prism { contour: base, from: 0.0, to: top },
        Prism { contour: channel, from: BASE, to: top },
        Prism { contour: still, from: top, to: top + height },
    ];
    let aside = 2.0 * half + 2.0 * ROUND;
    let beside = |contour: Contour| contour.into_iter().map(|[x, y]| [x, y + aside]).collect();
    // A hair inside the slide's own edge, which ends where the post does.
    let left = drawn - 0.5;
    let bar = rectangle([left + slack, -half + slack], [drawn + slide - slack, half - slack]);
    let knob = [drawn + post + ring_end, drawn + slide - 1.0];
    let knob = rectangle([knob[0], 1.0 - half], [knob[1], half - 1.0]);
    let moving = vec![
        Prism { contour: beside(bar), from: 0.0, to: SLIDE },
        Prism { contour: beside(shape(length, -1.0)), from: SLIDE, to: SLIDE + height },
        Prism { contour: beside(knob), from: SLIDE, to: SLIDE + KNOB },
    ];
    let jig = Jig::of(JigKind::Oval, vec![fixed, moving], "have it made of metal")?
        .measuring("posts, width", jaw)
        .measuring("over both posts, slide drawn out", length)
        .noting(format!(
            "Lay the ring round both posts, the slide pushed in, and draw the slide to its stop, held down. Pull of some {newtons:.0} N."
        ));
    Ok(jig.noting(corrected.oval_note.into()))
}
