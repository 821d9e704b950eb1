//! Pseudo-random numbers, the same for the same seed.
//!
//! Source: Steele, Lea & Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014:
//! SplitMix64. Evidence: the test below, against its published first numbers.

/// A sequence of pseudo-random numbers.
#[derive(Clone, Debug)]
pub struct Rng(u64);

impl Rng {
    /// The sequence of this seed.
    pub fn new(seed: u32) -> Rng {
        Rng(u64::from(seed))
    }

    /// The next, from 0 up to, not including, 1.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::Rng;
    /// let (mut one, mut other) = (Rng::new(7), Rng::new(7));
    /// assert_eq!(one.next_f64(), other.next_f64());
    /// assert!((0.0..1.0).contains(&one.next_f64()));
    /// ```
    pub fn next_f64(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First numbers of SplitMix64 from seed 1234567, as Rosetta Code's task "Pseudo-random
    /// numbers/Splitmix64" lists them.
    #[test]
    fn the_sequence_is_the_published_one() {
        let published: [u64; 3] = [6457827717110365317, 3203168211198807973, 9817491932198370423];
        let mut rng = Rng::new(1234567);
        for number in published {
            assert_eq!(rng.next_f64(), (number >> 11) as f64 / (1u64 << 53) as f64);
        }
    }
}
