//! Wire, metal and solder.
//!
//! A ring takes `π (M' + d)` of wire: its centreline and the saw cut. Wire of a size is that
//! for every ring made (links, trial links, rings lost), and the ends of its coils. A round wire
//! bent into a closed ring has the volume of its section times its centreline (Pappus), which is
//! the torus' exactly; folding changes neither.

use super::{Layout, PlanError};
use crate::documents::design::PlanChoice;
use crate::geometry::link::Forming;
use crate::math::units::Mm;
use std::f64::consts::PI;

/// What one size takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SizeMaterials {
    /// Links in the chain.
    pub links: usize,
    /// Trial links.
    pub trials: usize,
    /// Rings made in addition, to be lost.
    pub spare: usize,
    /// Wire diameter, mm.
    pub wire_diameter: f64,
    /// Wire for one ring, the saw cut included, mm.
    pub wire_per_ring: f64,
    /// Whole rings of one coil.
    pub rings_per_coil: usize,
    /// Coils to wind.
    pub coils: usize,
    /// Wire lost at the ends of its coils, mm.
    pub ends: f64,
    /// Wire turned to dust at the saw, mm.
    pub dust: f64,
    /// Wire in all, mm.
    pub wire: f64,
    /// Metal of one link, g.
    pub link_grams: f64,
    /// Metal of its wire in all, g.
    pub wire_grams: f64,
}

impl SizeMaterials {
    /// Rings made, and pallions of solder: one a ring.
    pub fn rings(&self) -> usize {
        self.links + self.trials + self.spare
    }
}

/// What the whole chain takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Materials {
    /// Size by size, in the design's order.
    pub sizes: Vec<SizeMaterials>,
}

/// Metal of one link of `forming`, g, of a metal of `density` g/mm³.
pub fn link_grams(forming: &Forming, density: f64) -> f64 {
    wire_grams(forming.setting.wire, forming.ring.centreline, density)
}

/// Metal of `length` mm of round wire of diameter `wire` mm, g, of `density` g/mm³.
pub fn wire_grams(wire: f64, length: f64, density: f64) -> f64 {
    density * 0.25 * PI * wire * wire * length
}

impl Materials {
    pub(super) fn of(
        layout: &Layout,
        formings: &[Forming],
        density: f64,
        choice: &PlanChoice,
    ) -> Result<Materials, PlanError> {
        let size = |(&links, forming): (&usize, &Forming)| {
            let setting = &forming.setting;
            let trials = choice.trial_links as usize;
            let spare = (choice.loss_share * links as f64 - 1e-9).ceil().max(0.0) as usize;
            let rings_per_coil = (choice.coil_mm / setting.wire + 1e-9).floor() as usize;
            if rings_per_coil == 0 {
                let (coil, wire) = (Mm::new(choice.coil_mm), Mm::new(setting.wire));
                return Err(PlanError::CoilTooShort { coil, wire });
            }
            let rings = links + trials + spare;
            let coils = rings.div_ceil(rings_per_coil);
            let wire_per_ring = forming.ring.centreline + setting.kerf;
            let ends = coils as f64 * choice.coil_ends_mm;
            let wire = rings as f64 * wire_per_ring + ends;
            Ok(SizeMaterials {
                links,
                trials,
                spare,
                wire_diameter: setting.wire,
                wire_per_ring,
                rings_per_coil,
                coils,
                ends,
                dust: rings as f64 * setting.kerf,
                wire,
                link_grams: link_grams(forming, density),
                wire_grams: wire_grams(setting.wire, wire, density),
            })
        };
        let sizes = layout.counts.0.iter().zip(formings).map(size);
        Ok(Materials { sizes: sizes.collect::<Result<_, _>>()? })
    }

    /// Wire in all, mm; of every diameter together.
    pub fn wire(&self) -> f64 {
        self.sizes.iter().map(|size| size.wire).sum()
    }

    /// Metal to buy, g.
    pub fn wire_grams(&self) -> f64 {
        self.sizes.iter().map(|size| size.wire_grams).sum()
    }

    /// Metal of the finished links, g; clasp and solder left out.
    pub fn chain_grams(&self) -> f64 {
        self.sizes.iter().map(|size| size.links as f64 * size.link_grams).sum()
    }

    /// Links of the chain.
    pub fn links(&self) -> usize {
        self.sizes.iter().map(|size| size.links).sum()
    }

    /// Rings to make.
    pub fn rings(&self) -> usize {
        self.sizes.iter().map(SizeMaterials::rings).sum()
    }
}
