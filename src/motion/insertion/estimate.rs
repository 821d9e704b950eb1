//! The first estimate: three questions in closed form, or nearly, answered in microseconds.
//!
//! 1. *Pass*: the incoming lobe's widest place (`2 r` between wire centres) against the
//!    length of the receiving aperture shrunk by the wires.
//! 2. *Turn back*: two waist wires side by side inside the bore, `b ≥ 2 d + g`.
//! 3. *Fold*: the receiving link's two tips inside the fold, `J ≥ 2 d + tip gap`.
//!
//! Each is necessary, none is enough: an estimate never says "passes".

use super::aperture::Aperture;
use crate::geometry::link::Forming;

/// Where clearance is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Constriction {
    /// The widest place of the incoming lobe, in the length of the aperture.
    Aperture,
    /// Two waist wires side by side, in the bore.
    Bore,
    /// Two tips, in the fold.
    Fold,
}

/// Clearance at the three places, mm in all; below zero where it does not go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Length of the receiving aperture between metal and metal, mm.
    pub aperture_length: f64,
    /// Outside width of the incoming lobe, mm.
    pub lobe_width: f64,
    /// Clearance, mm, for two waist wires side by side in the bore.
    pub bore_clearance: f64,
    /// Clearance, mm, for two tips in the fold.
    pub fold_clearance: f64,
}

impl Estimate {
    /// Clearance at each place, mm, in the order of the work.
    pub fn clearances(&self) -> [(Constriction, f64); 3] {
        [
            (Constriction::Aperture, self.aperture_length - self.lobe_width),
            (Constriction::Bore, self.bore_clearance),
            (Constriction::Fold, self.fold_clearance),
        ]
    }

    /// The tightest place, and the clearance there, metal to metal, with the clearance shared
    /// evenly on both sides; mm.
    pub fn tightest(&self) -> (Constriction, f64) {
        let [mut least, others @ ..] = self.clearances();
        for clearance in others {
            if clearance.1 < least.1 {
                least = clearance;
            }
        }
        (least.0, 0.5 * least.1)
    }
}

/// Estimates the joining of `incoming` through both lobes of `receiving`.
///
/// # Examples
/// ```
/// use linkfold::motion::insertion::estimate;
/// use linkfold::geometry::link::{Forming, ToolDimensions};
/// let link = Forming::new(ToolDimensions::usual(1.0, 12.0))?; // wire and mandrel, mm
/// let (_, tightest) = estimate(&link, &link).tightest();
/// assert!(tightest > 0.0);
/// # Ok::<(), linkfold::geometry::link::FormError>(())
/// ```
pub fn estimate(receiving: &Forming, incoming: &Forming) -> Estimate {
    let (own, other) = (receiving.setting.wire, incoming.setting.wire);
    let gate = Aperture::of(&receiving.fold, 0.5 * (own + other));
    Estimate {
        aperture_length: gate.high - gate.low + other,
        lobe_width: 2.0 * incoming.eight.end_radius + other,
        bore_clearance: receiving.eight.bore() - 2.0 * other - incoming.eight.waist_gap(),
        fold_clearance: incoming.setting.fold_jaw - 2.0 * own - receiving.setting.tip_gap,
    }
}
