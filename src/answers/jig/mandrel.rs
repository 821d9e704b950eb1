//! The winding mandrel: a rod of the design's own diameter, whose coil springs open to the design's ring,
//! with a groove that the saw runs in, and a grip.

use super::contour::rectangle;
use super::error::JigError;
use super::part::{Jig, JigKind, LEAST_WALL};
use super::tools::{CorrectedTools, thick_enough};
use crate::answers::plan::Plan;
use crate::documents::design::Design;
use crate::geometry::link::{Forming, push_arc};
use crate::math::units::Mm;
use crate::mechanics::printed::torsion_load;
use crate::mesh::Prism;
use std::f64::consts::PI;

/// The groove is wider than the saw cut by this, mm, and at most so deep.
const GROOVE_SPARE: f64 = 0.6;
const GROOVE_DEPTH: f64 = 2.0;
/// Thickness beside half a groove a quarter as deep as the rod is thick, half-way down, in diameters
/// of the rod: √(0.5² − 0.37²) = 0.336, less what its facets cut off.
const BESIDE: f64 = 0.31;
/// Length of the grip; how much thicker it is than the rod; bare rod beside the coil, mm.
const GRIP: f64 = 20.0;
const GRIP_SPARE: f64 = 6.0;
const BARE: f64 = 3.0;

pub(super) fn mandrel(
    design: &Design,
    formings: &[Forming],
    corrected: &CorrectedTools,
    allowance: f64,
) -> Result<Jig, JigError> {
    let tools = &corrected.tools;
    let (diameter, what) = (tools.mandrel, "the mandrel");
    let radius = 0.5 * (diameter - allowance);
    let groove = tools.kerf + GROOVE_SPARE;
    let depth = GROOVE_DEPTH.min(0.25 * diameter);
    // Beside and under the groove.
    let least = ((LEAST_WALL + 0.5 * groove) / BESIDE).max(LEAST_WALL + depth) + allowance;
    thick_enough(diameter, least, "mandrel_mm", what)?;
    // As much again as the bending, for the pull that keeps the coil close.
    let torque = 2.0 * corrected.moment(0.5 * (diameter + tools.wire))?;
    let times = torsion_load(diameter - 2.0 * depth, torque);
    if times > 1.0 {
        // Stress falls with the cube; the bend becomes gentler too.
        let least = 2.0 * depth + (diameter - 2.0 * depth) * times.cbrt();
        let (value, least) = (Mm::new(diameter), Mm::new(least));
        return Err(JigError::TooWeak { field: "mandrel_mm", what, value, least, times });
    }
    let choice = design.plan.clone().unwrap_or_default();
    let whole = (choice.coil_mm / tools.wire).floor().max(1.0);
    let planned = Plan::of(design, formings).ok();
    let planned = planned.and_then(|plan| Some(plan.materials.sizes.get(corrected.size)?.rings()));
    let rings = planned.map_or(whole, |rings| whole.min(rings as f64));
    let coil = rings * tools.wire;
    let half = 0.5 * groove;
    let edge = (half / radius).asin();
    let mut contour = Vec::new();
    push_arc(&mut contour, [0.0, 0.0], radius, [edge, 2.0 * PI - edge]);
    contour.extend([[radius - depth, -half], [radius - depth, half]]);
    let side = radius + 0.5 * GRIP_SPARE;
    let prisms = vec![
        Prism { contour: rectangle([-side; 2], [side; 2]), from: 0.0, to: GRIP },
        Prism { contour, from: GRIP, to: GRIP + coil + 2.0 * BARE },
    ];
    let remedy = "plan shorter coils";
    let jig = Jig::of(JigKind::Mandrel, vec![prisms], remedy)?
        .measuring("rod, diameter", diameter)
        .measuring("rod, length for the coil", coil + 2.0 * BARE)
        .measuring("coil off the rod, inside", diameter + tools.springback)
        .noting(format!(
            "For a close-wound coil of {rings} rings. Hook the wire's end in the groove; off the rod the coil opens, which the ring's size allows for. Saw along the groove."
        ));
    Ok(jig)
}
