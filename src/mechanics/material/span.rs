//! An answer with its band: what the soft, the likely and the hard end of a record give.

use super::record::Band;
use serde::Serialize;

/// An answer, in its own unit, that carries its metal's band on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct BandedValue {
    /// Least of the three answers.
    pub low: f64,
    /// The answer with the best single values.
    pub likely: f64,
    /// Greatest of the three answers.
    pub high: f64,
}

impl BandedValue {
    /// The three answers, in the order of the bands; softer metal may give the greater one.
    pub fn of(answers: [f64; 3]) -> BandedValue {
        let [soft, likely, hard] = answers;
        BandedValue { low: soft.min(likely).min(hard), likely, high: soft.max(likely).max(hard) }
    }

    /// Asks `answer` at each end of the band.
    pub fn over(answer: impl Fn(Band) -> f64) -> BandedValue {
        BandedValue::of([Band::Low, Band::Likely, Band::High].map(answer))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_likely_answer_lies_within_whichever_end_is_greater() {
        let falling = BandedValue::over(|band| match band {
            Band::Low => 3.0,
            Band::Likely => 2.0,
            Band::High => 1.0,
        });
        assert_eq!(falling, BandedValue { low: 1.0, likely: 2.0, high: 3.0 });
    }
}
