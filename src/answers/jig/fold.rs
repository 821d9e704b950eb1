//! The fold block: a core that the waist is folded over, whose flanks stop the legs, and a fence with
//! stops that centre the flat eight by its tips.
//!
//! The eight stands on edge between core and fence. The core is the fold jaw with a flank on either side
//! along the leg as it lies when bent far enough to spring back to the design's angle.
//! Force: both wires are bent by the moment `M`; pressed where the legs are free, at a lever of what is
//! not wrapped, the two legs together push with `4 M / lever` (equilibrium of each leg).

use super::contour::{extents, rectangle};
use super::error::JigError;
use super::part::{BASE, Jig, JigKind, LEAST_WALL};
use super::tools::{CorrectedTools, bears, thick_enough};
use crate::geometry::link::{Forming, push_arc};
use crate::mechanics::printed::{Post, PostLoad, Push};
use crate::mesh::{Contour, Prism};
use std::f64::consts::FRAC_PI_2;

/// Play of the wire between core and fence, and of the tips between their stops, mm.
const PLAY: f64 = 0.15;
/// Thickness of the fence; how far its stops reach beyond the wire; plate round it all, mm.
const FENCE: f64 = 3.0;
const BEYOND: f64 = 2.0;
const ROUND: f64 = 4.0;
/// Share of a free leg that its flank reaches along.
const FLANK: f64 = 0.6;
/// A lever is no shorter than so many wires: nobody bends with less.
const LEAST_LEVER: f64 = 2.0;

pub(super) fn fold_block(
    forming: &Forming,
    corrected: &CorrectedTools,
    allowance: f64,
) -> Result<Jig, JigError> {
    let tools = &corrected.tools;
    let (jaw, wire, eight) = (tools.fold_jaw, tools.wire, &forming.eight);
    let (field, what) = ("fold_jaw_mm", "the jaw of the fold");
    thick_enough(jaw, LEAST_WALL + allowance, field, what)?;
    let slack = 0.5 * allowance;
    let bend = 0.5 * (jaw + wire);
    let free = eight.tip() - bend * corrected.half_angle;
    let core = core(0.5 * jaw - slack, corrected.half_angle, FLANK * free);
    let lever = free.max(LEAST_LEVER * wire);
    let newtons = 4.0 * corrected.moment(bend)? / lever;
    let width = 2.0 * eight.end_radius + wire;
    // Pushed along y.
    let turned: Contour = core.iter().map(|[x, y]| [*y, -x]).collect();
    let load = PostLoad::of(
        Post { contour: &turned, width: jaw - allowance },
        Push { newtons, height: 0.5 * width, wires: 2.0, wire },
    );
    bears(load, field, what, jaw)?;
    let face = -(0.5 * jaw + wire + PLAY + slack);
    let stop = eight.tip() + 0.5 * wire + PLAY + slack;
    let end = face + wire + BEYOND;
    let fence = vec![
        [-stop - FENCE, face - FENCE],
        [stop + FENCE, face - FENCE],
        [stop + FENCE, end],
        [stop, end],
        [stop, face],
        [-stop, face],
        [-stop, end],
        [-stop - FENCE, end],
    ];
    let [_, high] = extents(core.iter().chain(&fence));
    let base = rectangle(
        [-stop - FENCE - ROUND, face - FENCE - ROUND],
        [stop + FENCE + ROUND, high[1].max(0.5 * eight.tip()) + ROUND],
    );
    let (top, height) = (2.0 * BASE, width + 1.0);
    let standing = |contour| Prism { contour, from: top, to: top + height };
    let prisms = vec![Prism { contour: base, from: 0.0, to: top }, standing(core), standing(fence)];
    let jig = Jig::of(JigKind::Fold, vec![prisms], "fold over a steel rod in a vice")?
        .measuring("core, width", jaw)
        .measuring("between the stops for the tips", 2.0 * (stop - slack))
        .noting(format!(
            "Stand the flat eight on edge between core and fence, its tips between the stops, and press both legs round the core until they lie on its flanks: {:.0}° in all, and the fold springs back from there. Force of some {newtons:.0} N.",
            2.0 * corrected.half_angle.to_degrees()
        ));
    Ok(jig.noting(corrected.fold_note.into()))
}

/// A disc of `radius` about the origin, and a flank `reach` mm long from where each leg leaves it, as
/// far as it stays thick enough between them.
fn core(radius: f64, half_angle: f64, reach: f64) -> Contour {
    let (sin, cos) = half_angle.sin_cos();
    let most = if cos < 0.0 { (radius * sin - 0.5 * LEAST_WALL) / -cos } else { f64::INFINITY };
    let reach = reach.min(most);
    if !(reach > 0.0) {
        return crate::geometry::link::circle([0.0; 2], radius);
    }
    let mut contour = Vec::new();
    let middle = -FRAC_PI_2;
    push_arc(&mut contour, [0.0; 2], radius, [middle - half_angle, middle + half_angle]);
    let end = [radius * sin + reach * cos, -radius * cos + reach * sin];
    contour.extend([end, [-end[0], end[1]]]);
    contour
}
