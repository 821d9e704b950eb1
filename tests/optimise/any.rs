//! Random designs, the same for the same seed.

use linkfold::answers::optimise::{Dimension, Figure, figures};
use linkfold::documents::design::Design;

/// Numbers without order.
pub struct Any(u64);

impl Any {
    pub fn new(seed: u64) -> Any {
        Any(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D)
    }

    /// Between two numbers.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1u64 << 53) as f64)
    }

    pub fn index(&mut self, count: usize) -> usize {
        (self.between(0.0, count as f64) as usize).min(count - 1)
    }
}

/// The dimensions that random designs differ in.
pub const SIX: [Dimension; 6] = [
    Dimension::WireMm,
    Dimension::MandrelMm,
    Dimension::BoreMm,
    Dimension::FoldJawMm,
    Dimension::WaistGapMm,
    Dimension::TipGapMm,
];

pub fn of(figures: &[Option<f64>], figure: Figure) -> Option<f64> {
    figures[Figure::ALL.iter().position(|f| *f == figure).unwrap()]
}

/// A design whose links lie, coil and join with the clearance it asks for, and its figures.
pub fn feasible(any: &mut Any) -> (Design, Vec<Option<f64>>) {
    loop {
        let d = any.between(0.6, 1.3);
        let values = [
            d,
            d * any.between(9.0, 16.0),
            d * any.between(2.4, 3.6),
            d * any.between(2.4, 3.6),
            d * any.between(0.0, 0.4),
            d * any.between(0.05, 0.5),
        ];
        let mut design = Design::plain(d, 10.0);
        for (dimension, mm) in SIX.iter().zip(values) {
            dimension.set(&mut design, 0, mm);
        }
        let Ok(found) = figures(&design, 0) else { continue };
        let clearance = of(&found, Figure::JoiningClearanceMm).unwrap_or(-1.0);
        if found.iter().all(Option::is_some) && clearance > 1.2 * design.margin_mm + 4e-3 * d {
            return (design, found);
        }
    }
}
