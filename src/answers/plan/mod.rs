//! The whole chain on paper: rings of each size and their order, wire, metal, ends, the hand.
//!
//! Model: the chain lies straight and pulled; each link advances by the pitch between it and the
//! link it hangs in, of whatever size that is. Nested counts: a longer chain has no fewer rings
//! of any size.
//! Conventions: mm, grams, shares.
//! Limits: no stretch under weight, no wear; how the hand errs is taken to be normal, and each
//! dimension by itself.
//! Evidence: `tests/plan.rs`, `tests/trials.rs`.

mod cost;
mod ends;
mod error;
mod hand;
mod layout;
mod materials;
mod scatter;
mod tables;
mod taper;

pub use cost::Cost;
pub use ends::{EndFit, EndRing};
pub use error::PlanError;
pub use hand::{Hand, HandDimension, HandMeasure, RingGrowth, Spread, Springback};
pub use layout::{Layout, SizePair, SizeRun};
pub use materials::{Materials, SizeMaterials, link_grams, wire_grams};
pub use scatter::{
    ERRORS, ErringPair, Failing, LyingPair, SHIFTS, erring, failing, failing_share, slopes,
};
pub use tables::{PlanTable, csv};
pub use taper::Counts;

use crate::documents::design::{Design, LengthBasis as Wanted, PlanChoice};
use crate::geometry::link::Forming;
use crate::motion::chain::{Body, Weave};
use std::f64::consts::PI;

/// A chain planned.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// What was asked for.
    pub choice: PlanChoice,
    /// The chain laid out, as near the length wanted as it comes.
    pub layout: Layout,
    /// Length wanted, laid flat, clasp included, mm.
    pub wanted: f64,
    /// Nearest lengths that can be made: not above, and above the one wanted, mm.
    pub nearest: [f64; 2],
    /// Mean thickness between neck or wrist and the outside, mm.
    pub thickness: f64,
    /// Wire and metal.
    pub materials: Materials,
    /// Whether the ring through the ends fits: at the first link's fold, at the last link's lobes.
    pub ends: [EndFit; 2],
}

/// Flat length of a chain `thickness` mm thick whose inside measures `inside` mm when worn round:
/// along its middle it is longer by `π` thicknesses, whatever the round's shape.
pub fn flat_length(inside: f64, thickness: f64) -> f64 {
    inside + PI * thickness
}

impl Plan {
    /// Plans the chain of `design`, whose sizes are worked to `formings`; without a plan in it,
    /// one of defaults.
    ///
    /// # Errors
    /// [`PlanError`] where it cannot be laid out.
    ///
    /// # Panics
    /// Where `formings` are not the design's, one for each size.
    pub fn of(design: &Design, formings: &[Forming]) -> Result<Plan, PlanError> {
        assert_eq!(design.sizes.len(), formings.len(), "one forming for each size");
        let choice = design.plan.clone().unwrap_or_default();
        choice.check().map_err(PlanError::from)?;
        let weave = design.weave.weave();
        let bodies: Vec<Body> = formings.iter().map(|f| Body::of(&f.fold)).collect();
        let mut pitches = layout::Pitches::new(&bodies, weave);
        let own: Vec<f64> =
            (0..bodies.len()).map(|size| pitches.advance(size, size)).collect::<Result<_, _>>()?;
        let thickness = thickness(&choice, &bodies, weave);
        let wanted = match choice.measured {
            Wanted::Flat => choice.length_mm,
            _ => flat_length(choice.length_mm + choice.ease_mm, thickness),
        };
        let growth = taper::Growth::new(&choice, &own, wanted)?;
        let mut lay = |step: usize| {
            Layout::of(&growth.counts(step), choice.one_ended, &mut pitches, choice.clasp_mm)
        };
        let shortest = lay(0)?;
        if shortest.length > wanted {
            return Err(PlanError::too_short(wanted, shortest.length));
        }
        // The last step that is not above what is wanted; every step is longer than the one before.
        let (mut under, mut over) = (0, growth.steps());
        if lay(over)?.length < wanted {
            return Err(PlanError::too_long(wanted, lay(over)?.length));
        }
        while over - under > 1 {
            let middle = under.midpoint(over);
            if lay(middle)?.length <= wanted { under = middle } else { over = middle }
        }
        let (low, high) = (lay(under)?, lay(over)?);
        let nearest = [low.length, high.length];
        let layout = if wanted - low.length <= high.length - wanted { low } else { high };
        pitches.check(&layout.order, &layout.places)?;
        let metal = design.metal.metal().map_err(PlanError::from)?;
        let materials = Materials::of(&layout, formings, metal.density(), &choice)?;
        let ring = EndRing::of(&choice, formings[layout.last()].setting.wire);
        let ends = ends::end_fits(&bodies[layout.first()], &bodies[layout.last()], ring);
        Ok(Plan { choice, layout, wanted, nearest, thickness, materials, ends })
    }

    /// Length inside when worn round, mm.
    pub fn inside(&self) -> f64 {
        self.layout.length - PI * self.thickness - self.choice.ease_mm
    }
}

/// Thickness of the chain, the mean over its length as the taper shares it.
fn thickness(choice: &PlanChoice, bodies: &[Body], weave: Weave) -> f64 {
    let of = |body: &Body| {
        let across = weave.extent(body);
        across.x.min(across.y)
    };
    let rest = (choice.length_mm - choice.clasp_mm).max(0.0);
    let shares = taper::shares(choice, bodies.len(), rest);
    bodies.iter().zip(&shares).map(|(body, share)| share * of(body)).sum()
}
