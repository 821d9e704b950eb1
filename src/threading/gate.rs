//! The gate: the receiving link's two facing apertures.

use crate::form::Fold;

/// Heights on the receiving link's axis between which its apertures are clear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gate {
    /// Lowest height at which a wire's centre on the axis clears the strands, mm.
    pub low: f64,
    /// Highest, under the tips, mm.
    pub high: f64,
}

impl Gate {
    /// Seen along x (leg to leg), for wire centres that keep `apart` mm from the centreline
    /// of `receiving`.
    pub fn of(receiving: &Fold, apart: f64) -> Gate {
        // A twentieth of a wire is the error of `low`; it errs towards less room.
        let step = 0.05 * receiving.eight.wire;
        let curve = receiving.curve();
        let seen: Vec<(f64, f64)> = curve.walk(step).iter().map(|(p, _)| (p.y, p.z)).collect();
        let clear = |z: f64| seen.iter().all(|(y, at)| y.hypot(at - z) >= apart);
        let high = receiving.tip_height() - apart;
        let mut low = high;
        while low > 0.0 && clear(low - step) {
            low -= step;
        }
        Gate { low, high }
    }
}
