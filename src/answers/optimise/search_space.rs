//! Where an optimiser looks: the free dimensions as shares of their ranges, and what lies there.

use super::evaluation::{EvalContext, Evaluation, alone};
use super::{Dimension, Free, OptimiseError, Wishes};
use crate::documents::design::{Design, Shapes};
use crate::math::sort::{sort_by_number, sort_numbers};
use std::collections::HashMap;
use std::sync::Arc;

/// Dimensions are so many parts of a millimetre, far below what can be set, so that a place found
/// again by its share is the same place.
const WRITTEN: f64 = (1 << 30) as f64;

/// A free dimension.
#[derive(Clone, Debug)]
pub(super) struct Variable {
    pub dimension: Dimension,
    low: f64,
    high: f64,
    /// What it can be, ascending; empty where anything between.
    pub listed: Vec<f64>,
    /// Where anything between is searched: what may be offered, ascending; empty for all of it.
    offered: Vec<f64>,
}

impl Variable {
    fn of(free: &Free) -> Variable {
        let mut listed = free.list_mm.clone();
        sort_numbers(&mut listed);
        listed.dedup();
        let low = free.from_mm.or(listed.first().copied()).unwrap_or(0.0);
        let high = free.to_mm.or(listed.last().copied()).unwrap_or(low);
        let (listed, offered) = match free.from_mm {
            Some(_) => {
                listed.retain(|mm| (low..=high).contains(mm));
                (Vec::new(), listed)
            }
            None => (listed, Vec::new()),
        };
        Variable { dimension: free.dimension, low, high, listed, offered }
    }

    /// The value at a share of the range, mm: the nearest there is.
    pub fn at(&self, share: f64) -> f64 {
        let mm = self.low + share.clamp(0.0, 1.0) * (self.high - self.low);
        let nearest = |a: &&f64, b: &&f64| (*a - mm).abs().total_cmp(&(*b - mm).abs());
        // What may be offered is met to the last digit.
        let offered = self.offered.iter().find(|offered| (*offered - mm).abs() < 1e-9).copied();
        let written = (mm * WRITTEN).round() / WRITTEN;
        let written = written.clamp(self.low, self.high);
        self.listed.iter().min_by(nearest).copied().or(offered).unwrap_or(written)
    }

    /// The nearest values that may be offered on either side of one, the nearer first; itself where
    /// all may be.
    pub fn offered_round(&self, mm: f64) -> Vec<f64> {
        if self.offered.is_empty() {
            return vec![mm];
        }
        let (below, above): (Vec<f64>, Vec<f64>) =
            self.offered.iter().partition(|offered| **offered <= mm);
        let mut round: Vec<f64> = below.last().into_iter().chain(above.first()).copied().collect();
        sort_by_number(&mut round, |offered| (offered - mm).abs());
        round
    }

    /// The share at which a value stands.
    pub fn share(&self, mm: f64) -> f64 {
        let width = self.high - self.low;
        if width > 0.0 { ((mm - self.low) / width).clamp(0.0, 1.0) } else { 0.0 }
    }
}

/// A candidate, formed or not.
#[derive(Clone, Debug)]
pub(super) struct Candidate {
    /// Shares of the free dimensions' ranges.
    pub at: Vec<f64>,
    /// What it is; none where it cannot be formed.
    pub worked: Option<Arc<Evaluation>>,
    /// How far from the present design: the greatest change, as a share of its range.
    pub change: f64,
}

/// Where an optimiser looks.
#[derive(Clone, Debug)]
pub(super) struct SearchSpace {
    /// The whole design, and which size is worked on.
    pub whole: Design,
    pub size: usize,
    design: Design,
    pub context: EvalContext,
    pub variables: Vec<Variable>,
    pub candidates: Vec<Candidate>,
    seen: HashMap<Vec<u64>, usize>,
    /// In a copy, which candidates are still the other's own.
    shared: Vec<bool>,
    /// Where the present design stands, and its dimensions, mm.
    pub present: Vec<f64>,
    pub now: Vec<f64>,
}

impl SearchSpace {
    pub fn new(design: &Design, wishes: &Wishes) -> Result<SearchSpace, OptimiseError> {
        let (own, context) = alone(design, wishes.size)?;
        let variables: Vec<Variable> = wishes.free.iter().map(Variable::of).collect();
        let settings = own.settings()?;
        let now: Vec<f64> = variables
            .iter()
            .flat_map(|variable| settings.first().map(|s| variable.dimension.of(s)))
            .collect();
        let present =
            variables.iter().zip(&now).map(|(variable, mm)| variable.share(*mm)).collect();
        Ok(SearchSpace {
            whole: design.clone(),
            size: wishes.size,
            design: own,
            context,
            variables,
            candidates: Vec::new(),
            seen: HashMap::new(),
            shared: Vec::new(),
            present,
            now,
        })
    }

    /// The free dimensions at a place, mm.
    pub fn values(&self, at: &[f64]) -> Vec<f64> {
        self.variables.iter().zip(at).map(|(variable, share)| variable.at(*share)).collect()
    }

    /// The whole design with the free dimensions at a place.
    pub fn design_at(&self, at: &[f64]) -> Design {
        let mut design = self.whole.clone();
        for (variable, mm) in self.variables.iter().zip(self.values(at)) {
            variable.dimension.set(&mut design, self.size, mm);
        }
        design
    }

    /// The candidate at a place, made where it is new.
    pub fn candidate(&mut self, at: &[f64]) -> usize {
        let values = self.values(at);
        let key = key(&values);
        if let Some(&known) = self.seen.get(&key) {
            if self.shared.get_mut(known).is_some_and(std::mem::take)
                && let Some(worked) = &mut self.candidates[known].worked
            {
                *worked = Arc::new(worked.measured_alone());
            }
            return known;
        }
        let mut design = self.design.clone();
        for (variable, mm) in self.variables.iter().zip(&values) {
            variable.dimension.set(&mut design, 0, *mm);
        }
        let at: Vec<f64> = self.variables.iter().zip(&values).map(|(r, mm)| r.share(*mm)).collect();
        let moved = at.iter().zip(&self.present).map(|(a, b)| (a - b).abs());
        let change = moved.fold(0.0, f64::max);
        let worked = Evaluation::of(&design).map(Arc::new);
        self.candidates.push(Candidate { at, worked, change });
        self.seen.insert(key, self.candidates.len() - 1);
        self.candidates.len() - 1
    }

    /// A copy, to be searched apart from this one.
    pub fn copy(&self) -> SearchSpace {
        SearchSpace { shared: vec![true; self.candidates.len()], ..self.clone() }
    }

    /// Takes over what a copy found after its first `known` candidates; where each of the copy's stands here.
    pub fn adopt(&mut self, copy: SearchSpace, known: usize) -> Vec<usize> {
        let mut places: Vec<usize> = (0..known).collect();
        for candidate in copy.candidates.into_iter().skip(known) {
            let next = self.candidates.len();
            let place = *self.seen.entry(key(&self.values(&candidate.at))).or_insert(next);
            if place == next {
                self.candidates.push(candidate);
            }
            places.push(place);
        }
        places
    }

    /// Whether what is offered is not just anything that is searched.
    pub fn is_stepped(&self) -> bool {
        self.variables.iter().any(|variable| !variable.offered.is_empty())
    }

    /// Candidates round a place of which every dimension may be offered, the nearest first.
    pub fn offered_round(&mut self, at: &[f64]) -> Vec<usize> {
        let mut places = vec![Vec::new()];
        for (variable, mm) in self.variables.iter().zip(self.values(at)) {
            let round = variable.offered_round(mm);
            let with = |place: &Vec<f64>| {
                let each = round.iter().map(|mm| [&place[..], &[variable.share(*mm)]].concat());
                each.collect::<Vec<_>>()
            };
            places = places.iter().flat_map(with).collect();
        }
        places.iter().map(|place| self.candidate(place)).collect()
    }

    /// Which dimensions are free over a range.
    pub fn ranging(&self) -> Vec<bool> {
        self.variables.iter().map(|variable| variable.listed.is_empty()).collect()
    }

    /// How many ways to choose from all lists; none where some dimension is free over a range.
    pub fn choices(&self) -> Option<usize> {
        let count =
            |variable: &Variable| (!variable.listed.is_empty()).then_some(variable.listed.len());
        self.variables.iter().try_fold(1usize, |all, variable| all.checked_mul(count(variable)?))
    }

    /// The place of one choice from all lists.
    pub fn choice(&self, mut index: usize) -> Vec<f64> {
        let chosen = |variable: &Variable| {
            let count = variable.listed.len().max(1);
            let mm = variable.listed.get(index % count).copied().unwrap_or(variable.low);
            index /= count;
            variable.share(mm)
        };
        self.variables.iter().map(chosen).collect()
    }

    /// Whether forming alone takes milliseconds: after springback.
    pub fn is_slow(&self) -> bool {
        self.design.metal.shapes == Shapes::AfterSpringback
    }

    /// Places with one list a size on or back; none where all is listed, or nothing.
    pub fn beside(&self, at: &[f64]) -> Vec<Vec<f64>> {
        let mut places = Vec::new();
        for (j, variable) in self.variables.iter().enumerate() {
            if !self.ranging().contains(&true) {
                break;
            }
            let here = variable.at(at[j]);
            let place = variable.listed.iter().position(|mm| *mm == here);
            let Some(place) = place else { continue };
            let next = [place.checked_sub(1), Some(place + 1)];
            for mm in next.into_iter().flatten().filter_map(|i| variable.listed.get(i)) {
                let mut beside = at.to_vec();
                beside[j] = variable.share(*mm);
                places.push(beside);
            }
        }
        places
    }
}

fn key(values: &[f64]) -> Vec<u64> {
    values.iter().map(|mm| mm.to_bits()).collect()
}

/// Greatest difference of two places in any direction.
pub(super) fn distance(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| (x - y).abs()).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::super::{Figure, Wish};
    use super::*;

    fn space() -> SearchSpace {
        let free = vec![
            Free::over(Dimension::MandrelMm, 10.1, 15.3),
            Free::over(Dimension::BoreMm, 2.3, 3.4),
        ];
        let wishes = Wishes::new(vec![Wish::near(Figure::PitchMm, 6.0)], free);
        SearchSpace::new(&Design::plain(0.9, 12.0), &wishes).unwrap()
    }

    #[test]
    fn a_place_found_again_by_its_share_is_the_same() {
        let mut space = space();
        for i in 0..200 {
            let at = [(0.618 * i as f64).fract(), (0.414 * i as f64).fract()];
            let index = space.candidate(&at);
            let at = space.candidates[index].at.clone();
            assert_eq!(space.candidate(&at), index, "{at:?}");
        }
    }

    #[test]
    fn what_copies_find_is_taken_over_once() {
        let mut space = space();
        space.candidate(&[0.5, 0.5]);
        let mut copies = [space.copy(), space.copy()];
        for (copy, places) in copies.iter_mut().zip([[0.1, 0.2], [0.2, 0.3]]) {
            for share in places {
                copy.candidate(&[share, share]);
            }
        }
        let known = space.candidates.len();
        let places = copies.map(|copy| space.adopt(copy, known));
        assert_eq!(places, [vec![0, 1, 2], vec![0, 2, 3]]);
        assert_eq!(space.candidates.len(), 4);
    }
}
