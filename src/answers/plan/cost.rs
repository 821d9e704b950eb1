//! What the chain costs, and how long it takes, by the maker's own prices and minutes.
//!
//! Every ring made is wound, sawn, soldered, annealed as the design says, stretched, pinched and
//! folded, those that will be lost as well; links of the chain are joined besides.

use super::Materials;
use crate::documents::bench::Bench;
use crate::documents::design::Design;

/// Cost in the bench's currency, and hours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// Hours of work.
    pub hours: f64,
    /// Wire.
    pub metal: f64,
    /// Solder and flux.
    pub solder: f64,
    /// Whatever one chain costs besides.
    pub fixed: f64,
    /// Hours at the bench's rate.
    pub work: f64,
}

impl Cost {
    /// Of the chain of `design` that takes `materials`.
    pub fn of(design: &Design, materials: &Materials, bench: &Bench) -> Cost {
        let minutes = &bench.minutes;
        let anneals = design.metal.anneals();
        let annealed = f64::from(anneals.count());
        let ring = minutes.wind
            + minutes.saw
            + minutes.solder
            + minutes.stretch
            + minutes.pinch
            + minutes.fold
            + annealed * minutes.anneal;
        let (rings, links) = (materials.rings() as f64, materials.links() as f64);
        let hours = (rings * ring + links * minutes.join) / 60.0;
        Cost {
            hours,
            metal: materials.wire_grams() * bench.prices.metal_per_gram,
            solder: rings * bench.prices.solder_per_ring,
            fixed: bench.prices.fixed,
            work: hours * bench.hourly_rate,
        }
    }

    /// All of it, in the bench's currency.
    pub fn total(&self) -> f64 {
        self.metal + self.solder + self.fixed + self.work
    }
}
