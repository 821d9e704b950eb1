//! How many links of each size: a chain that grows link by link and never loses one.
//!
//! The next link goes to the size that lies furthest behind its share of the length, by
//! Webster's rule of apportionment: the size with the least `(c + ½) p / s`, with `c` its
//! additions so far, `p` the length of one and `s` its share. Such rules never take a link away
//! as the chain grows (Balinski & Young, *Fair Representation*, on house monotony), so a longer
//! chain never takes less wire of any size. At both ends alike, a size grows by two links.

use super::PlanError;
use crate::documents::design::{PlanChoice, Taper};

/// Links in one plan: a rope of fine wire has some thousands.
const MOST_LINKS: usize = 20_000;

/// Links of every size, in the design's order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counts(pub Vec<usize>);

impl Counts {
    /// All of them.
    pub fn total(&self) -> usize {
        self.0.iter().sum()
    }

    /// Which size each link is, from the first end; the counts of all sizes but the last are even
    /// unless `one_ended`.
    pub fn order(&self, one_ended: bool) -> Vec<usize> {
        let Some((last, ends)) = self.0.split_last() else { return Vec::new() };
        let side = |size: usize| if one_ended { ends[size] } else { ends[size] / 2 };
        let up = (0..ends.len()).flat_map(|size| vec![size; side(size)]);
        let middle = vec![ends.len(); *last];
        let down = (0..ends.len()).rev().flat_map(|size| vec![size; side(size)]);
        let down: Vec<usize> = if one_ended { Vec::new() } else { down.collect() };
        up.chain(middle).chain(down).collect()
    }
}

/// What share of a chain of `length` mm every size has.
pub(super) fn shares(choice: &PlanChoice, sizes: usize, length: f64) -> Vec<f64> {
    let ends = if choice.one_ended { 1.0 } else { 2.0 };
    let weights: Vec<f64> = match choice.taper {
        Taper::Even => vec![1.0; sizes],
        Taper::Swelling => (1..=sizes).map(|place| place as f64).collect(),
        Taper::Stepped => {
            let step = ends * choice.step_mm;
            let rest = (length - step * (sizes - 1) as f64).max(0.0);
            (0..sizes).map(|size| if size + 1 < sizes { step } else { rest.max(1e-9) }).collect()
        }
    };
    let sum: f64 = weights.iter().sum();
    weights.iter().map(|weight| weight / sum).collect()
}

/// The chain as it grows.
pub(super) struct Growth {
    start: Vec<usize>,
    added: Vec<u8>,
    each: Vec<usize>,
}

impl Growth {
    /// Grown past `wanted` mm, or to the most links; `own` are the sizes' pitches.
    pub fn new(choice: &PlanChoice, own: &[f64], wanted: f64) -> Result<Growth, PlanError> {
        let sizes = own.len();
        let last = sizes - 1;
        let ends = if choice.one_ended { 1 } else { 2 };
        let each: Vec<usize> = (0..sizes).map(|s| if s == last { 1 } else { ends }).collect();
        let stepped = choice.taper == Taper::Stepped;
        let start: Vec<usize> = (0..sizes)
            .map(|size| {
                let along = if stepped && size != last {
                    (choice.step_mm / own[size]).round().clamp(1.0, MOST_LINKS as f64) as usize
                } else {
                    1
                };
                each[size] * along
            })
            .collect();
        let shares = shares(choice, sizes, wanted);
        let mut additions: Vec<f64> =
            start.iter().zip(&each).map(|(links, each)| (links / each) as f64).collect();
        let length = |size: usize| own[size] * each[size] as f64;
        let mut grown: f64 = (0..sizes).map(|size| additions[size] * length(size)).sum();
        let mut links: usize = start.iter().sum();
        let mut added = Vec::new();
        // Twice the length: pitches between unlike sizes may be shorter.
        while links < MOST_LINKS && (grown < 2.0 * wanted || added.len() < 2) {
            let behind = |size: usize| (additions[size] + 0.5) * length(size) / shares[size];
            let next = if stepped {
                last
            } else {
                (0..sizes).min_by(|&a, &b| behind(a).total_cmp(&behind(b))).unwrap_or(last)
            };
            additions[next] += 1.0;
            grown += length(next);
            links += each[next];
            added.push(next as u8);
        }
        if added.is_empty() {
            let most = (0..sizes).map(|size| additions[size] * length(size)).sum();
            return Err(PlanError::too_long(wanted, most));
        }
        Ok(Growth { start, added, each })
    }

    /// How often it grew.
    pub fn steps(&self) -> usize {
        self.added.len()
    }

    /// As it is after `steps`.
    pub fn counts(&self, steps: usize) -> Counts {
        let mut counts = self.start.clone();
        for &size in &self.added[..steps] {
            counts[usize::from(size)] += self.each[usize::from(size)];
        }
        Counts(counts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_share_the_length_as_the_taper_says() {
        let own = [2.0, 3.0, 4.0];
        let lengths = |choice: &PlanChoice, wanted: f64| -> Vec<f64> {
            let growth = Growth::new(choice, &own, wanted).unwrap();
            let counts = (0..=growth.steps()).map(|step| growth.counts(step));
            let measured = |c: &Counts| -> Vec<f64> {
                c.0.iter().zip(own).map(|(&n, p)| n as f64 * p).collect()
            };
            let near = counts.map(|c| measured(&c));
            near.min_by(|a, b| {
                let off = |x: &[f64]| (x.iter().sum::<f64>() - wanted).abs();
                off(a).total_cmp(&off(b))
            })
            .unwrap()
        };
        let even = PlanChoice::default();
        for (taper, shares) in [
            (Taper::Even, [200.0, 200.0, 200.0]),
            (Taper::Swelling, [100.0, 200.0, 300.0]),
            // 40 mm at both ends in steps of two links: 40/2 and 40/3, rounded.
            (Taper::Stepped, [80.0, 78.0, 442.0]),
        ] {
            let found = lengths(&PlanChoice { taper, ..even.clone() }, 600.0);
            for (found, share) in found.iter().zip(shares) {
                assert!((found - share).abs() <= 4.0, "{taper:?}: {found} {share}");
            }
        }
        let one = PlanChoice { one_ended: true, taper: Taper::Stepped, ..even };
        assert_eq!(lengths(&one, 600.0)[..2], [40.0, 39.0]);
    }

    #[test]
    fn a_chain_is_the_same_from_both_ends_unless_it_has_one() {
        let counts = Counts(vec![4, 2, 3]);
        assert_eq!(counts.order(false), [0, 0, 1, 2, 2, 2, 1, 0, 0]);
        assert_eq!(counts.order(true), [0, 0, 0, 0, 1, 1, 2, 2, 2]);
    }
}
