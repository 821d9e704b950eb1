//! Places spread evenly over a box, from a seed.
//!
//! The additive recurrence of the generalised golden ratio: with `g` the positive root of
//! `g^(n+1) = g + 1`, the k-th place has coordinates `s_j + k g^(−j)`, modulo 1.
//! Source: Roberts, *The unreasonable effectiveness of quasirandom sequences* (2018),
//! extremelearning.com.au.

use crate::math::Rng;

/// A sequence over `n` dimensions.
#[derive(Clone, Debug)]
pub(super) struct SampleSpread {
    here: Vec<f64>,
    stride: Vec<f64>,
}

impl SampleSpread {
    pub fn new(dimensions: usize, seed: u32) -> SampleSpread {
        let mut root = 2.0_f64;
        for _ in 0..60 {
            root = (1.0 + root).powf(1.0 / (dimensions as f64 + 1.0));
        }
        let stride: Vec<f64> = (1..=dimensions).map(|j| root.powi(-(j as i32)).fract()).collect();
        let mut rng = Rng::new(seed);
        let here = stride.iter().map(|_| if seed == 0 { 0.5 } else { rng.next_f64() }).collect();
        SampleSpread { here, stride }
    }

    /// The next place.
    pub fn place(&mut self) -> Vec<f64> {
        for (at, stride) in self.here.iter_mut().zip(&self.stride) {
            *at = (*at + stride).fract();
        }
        self.here.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every box of a grid is met about as often as every other.
    #[test]
    fn places_are_spread_evenly() {
        for seed in [0, 1, 77] {
            let mut spread = SampleSpread::new(2, seed);
            let mut counts = [0; 16];
            for _ in 0..1600 {
                let place = spread.place();
                assert!(place.iter().all(|x| (0.0..1.0).contains(x)));
                counts[(place[0] * 4.0) as usize * 4 + (place[1] * 4.0) as usize] += 1;
            }
            assert!(counts.iter().all(|count| (90..=110).contains(count)), "{counts:?}");
        }
    }
}
