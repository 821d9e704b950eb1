//! The share of a plan's joins that an uneven hand fails at, in parts that are asked by themselves.
//!
//! First every pair of sizes that meet by the slopes of its clearance; then, once it is known which
//! pair fails most, a sample of each, the largest of that one. What comes out hangs neither on the
//! order of the parts nor on who works them out. Model and evidence: `answers::plan`.

use super::hand::{FailingReport, failing_words};
use crate::answers::plan::{ErringPair, Failing, Hand, SHIFTS};
use crate::documents::design::Design;
use crate::documents::units::LengthUnit;
use crate::geometry::link::Forming;
use crate::math::map_indices;
use crate::motion::chain::Weave;
use serde::{Deserialize, Serialize};

/// Draws a shift for the pair most likely to fail, and for the others.
const DRAWS: [usize; 2] = [16, 3];
/// Shifts asked for together for that pair, and for the others.
const TOGETHER: [usize; 2] = [2, SHIFTS];

/// What is known of every pair.
#[derive(Clone, Debug)]
pub struct HandShare {
    /// Size hung in, size that hangs, how often.
    pairs: Vec<(usize, usize, usize)>,
    by_slopes: Vec<Option<Failing>>,
    shifts: Vec<[Option<f64>; SHIFTS]>,
}

/// A part of it to be found.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct HandPart {
    pair: usize,
    sizes: [usize; 2],
    /// Of the sample; by the slopes where left out.
    sample: Option<SamplePart>,
}

/// Some shifts of a pair's sample.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct SamplePart {
    by_slopes: Failing,
    draws: usize,
    from: usize,
    to: usize,
}

/// What was found of a part.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct HandFound {
    pair: usize,
    by_slopes: Option<Failing>,
    /// The first of the shifts.
    from: usize,
    shifts: Vec<f64>,
}

impl HandPart {
    /// A number that no other part of the same share has.
    pub fn number(&self) -> usize {
        self.pair * (SHIFTS + 1) + self.sample.map_or(0, |sample| sample.from + 1)
    }

    /// What is found of it for links of `design`, worked to `formings`; none where there are no such
    /// sizes.
    pub fn answer(&self, design: &Design, formings: &[Forming]) -> Option<HandFound> {
        let hand = Hand::of(design, formings, &design.plan.clone().unwrap_or_default());
        self.found(formings, &hand)
    }

    fn found(&self, formings: &[Forming], hand: &Hand) -> Option<HandFound> {
        let [receiving, incoming] = self.sizes.map(|size| formings.get(size));
        let pair = ErringPair::new(&receiving?.setting, &incoming?.setting, hand);
        let found = HandFound { pair: self.pair, by_slopes: None, from: 0, shifts: Vec::new() };
        let Some(SamplePart { by_slopes, draws, from, to }) = self.sample else {
            return Some(HandFound { by_slopes: Some(pair.by_slopes()), ..found });
        };
        let shifts = (from..to).map(|shift| pair.in_shift(&by_slopes, shift, draws)).collect();
        Some(HandFound { from, shifts, ..found })
    }
}

impl HandShare {
    /// Of these pairs, of which nothing is known: size hung in, size that hangs, how often.
    pub fn new(pairs: Vec<(usize, usize, usize)>) -> HandShare {
        let count = pairs.len();
        HandShare { pairs, by_slopes: vec![None; count], shifts: vec![[None; SHIFTS]; count] }
    }

    /// Finds all of it for links worked to `formings`.
    pub fn find(&mut self, formings: &[Forming], hand: &Hand) {
        loop {
            let parts = self.parts();
            if parts.is_empty() {
                return;
            }
            let found = map_indices(parts.len(), |index| parts[index].found(formings, hand));
            found.iter().flatten().for_each(|found| self.take(found));
            if found.iter().any(Option::is_none) {
                return;
            }
        }
    }

    /// What can be asked now: nothing once all is known.
    pub fn parts(&self) -> Vec<HandPart> {
        let unknown = |known: &Option<Failing>| known.is_none();
        let part = |pair: usize, sample| {
            let (receiving, incoming, _) = self.pairs[pair];
            HandPart { pair, sizes: [receiving, incoming], sample }
        };
        if self.by_slopes.iter().any(unknown) {
            let open = (0..self.pairs.len()).filter(|pair| unknown(&self.by_slopes[*pair]));
            return open.map(|pair| part(pair, None)).collect();
        }
        // The largest first, so that the small ones fill what time is left.
        let worst = self.worst();
        let others = (0..self.pairs.len()).filter(|pair| Some(*pair) != worst);
        let mut parts = Vec::new();
        for pair in worst.into_iter().chain(others) {
            let Some(by_slopes) = self.by_slopes[pair] else { continue };
            let (draws, together) = (self.draws(pair), TOGETHER[usize::from(Some(pair) != worst)]);
            let all = (0..SHIFTS).step_by(together);
            let open = all.filter(|from| self.shifts[pair][*from].is_none());
            parts.extend(open.map(|from| {
                part(pair, Some(SamplePart { by_slopes, draws, from, to: from + together }))
            }));
        }
        parts
    }

    /// Takes what was found of a part.
    pub fn take(&mut self, found: &HandFound) {
        let (Some(by_slopes), Some(shifts)) =
            (self.by_slopes.get_mut(found.pair), self.shifts.get_mut(found.pair))
        else {
            return;
        };
        if found.by_slopes.is_some() {
            *by_slopes = found.by_slopes;
        }
        for (slot, shift) in shifts.iter_mut().skip(found.from).zip(&found.shifts) {
            *slot = Some(*shift);
        }
    }

    /// What is said of it, once all is known.
    pub fn report(&self, weave: Weave, unit: LengthUnit) -> Option<FailingReport> {
        let found: Option<Vec<Failing>> = (0..self.pairs.len()).map(|pair| self.of(pair)).collect();
        let found = found?;
        let count = self.pairs.iter().map(|pair| pair.2 as f64).sum::<f64>().max(1.0);
        let mean = |value: fn(&Failing) -> f64| {
            let pairs = self.pairs.iter().zip(&found);
            pairs.map(|(pair, found)| pair.2 as f64 * value(found)).sum::<f64>() / count
        };
        let report = FailingReport {
            share: mean(|found| found.share),
            within: mean(|found| found.within),
            clearances: found.iter().map(|found| found.clearances).sum(),
            watch: None,
            message: String::new(),
        };
        let worst = self.worst().map(|worst| &found[worst]);
        Some(failing_words(report, worst, count, (weave, unit)))
    }

    /// The pair that fails most, by the slopes.
    fn worst(&self) -> Option<usize> {
        let weight = |pair: &usize| {
            self.pairs[*pair].2 as f64 * self.by_slopes[*pair].map_or(0.0, |found| found.share)
        };
        (0..self.pairs.len()).max_by(|a, b| weight(a).total_cmp(&weight(b)))
    }

    fn draws(&self, pair: usize) -> usize {
        DRAWS[usize::from(self.worst() != Some(pair))]
    }

    fn of(&self, pair: usize) -> Option<Failing> {
        let mut shifts = [0.0; SHIFTS];
        for (shift, known) in shifts.iter_mut().zip(&self.shifts[pair]) {
            *shift = (*known)?;
        }
        Some(self.by_slopes[pair]?.corrected(&shifts, self.draws(pair)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::design::PlanChoice;

    /// Each pair as `answers::plan::failing` has it, whose evidence is `tests/scatter.rs`; whatever
    /// the order in which the parts are found.
    #[test]
    fn the_parts_make_up_the_whole() {
        let mut design = Design::plain(1.0, 12.0);
        design.sizes.push(design.sizes[0].clone());
        design.sizes[1].mandrel_mm = 11.2;
        let choice = PlanChoice { spread_ring_mm: 0.1, ..PlanChoice::default() };
        let formings = design.formings().unwrap();
        let hand = Hand::of(&design, &formings, &choice);
        let pairs = vec![(0, 0, 30), (0, 1, 1), (1, 1, 40)];
        let mut forwards = HandShare::new(pairs.clone());
        forwards.find(&formings, &hand);
        let mut backwards = HandShare::new(pairs.clone());
        while let Some(part) = backwards.parts().pop() {
            assert_eq!(backwards.report(Weave::SINGLE, LengthUnit::Mm), None, "{part:?} is open");
            backwards.take(&part.found(&formings, &hand).unwrap());
        }
        let report = forwards.report(Weave::SINGLE, LengthUnit::Mm).unwrap();
        assert_eq!(backwards.report(Weave::SINGLE, LengthUnit::Mm), Some(report.clone()));
        let whole = |pair: usize| {
            let [a, b] = [pairs[pair].0, pairs[pair].1].map(|size| &formings[size].setting);
            crate::answers::plan::failing(a, b, &hand, forwards.draws(pair))
        };
        let mut share = 0.0;
        for (pair, (_, _, count)) in pairs.iter().enumerate() {
            assert_eq!(forwards.of(pair), Some(whole(pair)));
            share += *count as f64 * whole(pair).share / 71.0;
        }
        assert!((report.share - share).abs() < 1e-12 && share > 0.0, "{report:?} {share}");
    }
}
