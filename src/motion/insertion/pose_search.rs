//! A local search for more clearance: the incoming pose moves where every near contact opens.
//!
//! Clearance is the least of several smooth distances, so its slope jumps from one to the
//! other. Each step takes the contacts that could become the least within the step and
//! solves `max over |x| ≤ Δ of min over i of (dᵢ + gᵢ·x)`, near enough, by its dual: the
//! shortest weighted mean of the slopes. Steps that do not help shrink Δ.
//! Source: the proximal bundle method of nonsmooth optimisation; the active set for its dual is
//! derived at [`best_step`].

use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::{Contact, Hint, Query, Tree, contacts_within, nearest_within};
use nalgebra::{SVector, Translation3, UnitQuaternion};

/// A small motion: translation in mm, then rotation vector times the lever, in mm.
pub type Twist = SVector<f64, 6>;

/// Which motions are allowed, and how far to search.
#[derive(Clone, Copy)]
pub struct PoseSearch<'a> {
    /// The receiving link.
    pub receiving: &'a Tree,
    /// Centre of rotation in the receiving link's frame.
    pub pivot: Point,
    /// mm of motion that one radian counts for.
    pub lever: f64,
    /// Multiplies each of the six motions; 0 forbids it.
    pub allowed: Twist,
    /// A direction of no interest: that of the path. A unit vector.
    pub along: Option<Twist>,
    /// Enough: no need to search past this distance, mm.
    pub enough: f64,
    /// First trust radius, mm.
    pub stride: f64,
    /// Trust radius, or gain promised, at which to stop, mm.
    pub finest: f64,
    /// Queries at the most.
    pub most_steps: usize,
    /// A search that comes to such a pose is given up there.
    pub is_known: Option<&'a dyn Fn(&Pose) -> bool>,
}

/// Where a search ended.
#[derive(Clone, Copy, Debug)]
pub struct PoseOptimum {
    /// The pose.
    pub pose: Pose,
    /// Least distance of the centrelines there, mm; never overstated.
    pub distance: f64,
    /// Where they lie nearest, if that is known.
    pub hint: Option<Hint>,
}

/// `pose` moved by `twist` about `pivot`.
pub fn twisted(pose: &Pose, twist: &Twist, pivot: &Point, lever: f64) -> Pose {
    let turn = UnitQuaternion::from_scaled_axis(twist.fixed_rows::<3>(3) / lever);
    let shift = Vector::from(twist.fixed_rows::<3>(0));
    let about = Translation3::from(pivot.coords + shift) * turn * Translation3::from(-pivot.coords);
    about * pose
}

/// The twist about `pivot` that takes one pose to another, to first order.
pub fn twist_between(from: &Pose, to: &Pose, pivot: &Point, lever: f64) -> Twist {
    let delta = to * from.inverse();
    let shift = delta * pivot - pivot;
    let turn = delta.rotation.scaled_axis() * lever;
    Twist::new(shift.x, shift.y, shift.z, turn.x, turn.y, turn.z)
}

impl PoseSearch<'_> {
    /// Searches from `start`; `hint` says where wires may lie nearest. The curves never cross on the
    /// way: no step is longer than nine tenths of the distance at hand.
    pub fn run(
        &self,
        incoming: &Tree,
        start: Pose,
        hint: Option<Hint>,
        near: &mut Vec<Contact>,
    ) -> PoseOptimum {
        let tolerance = 0.1 * self.finest;
        let mut query = Query { tolerance, hint, ..Query::default() };
        // Far off, one quick look is all it takes.
        let within = Query { cutoff: self.enough + tolerance, ..query };
        let Some(found) = nearest_within(self.receiving, incoming, &start, within) else {
            let distance = if self.enough.is_finite() { self.enough } else { 0.0 };
            return PoseOptimum { pose: start, distance, hint };
        };
        query.hint = Some(found.hint);
        let mut here =
            PoseOptimum { pose: start, distance: found.distance_at_least, hint: query.hint };
        let mut stride = self.stride;
        // A point moves by at most the shift plus the turn times its arm.
        let centre = start.inverse_transform_point(&self.pivot);
        let arm = incoming.reach() + centre.coords.norm();
        let mut is_listed = false;
        for _ in 0..self.most_steps {
            let cap = 0.9 * here.distance / (1.0 + arm / self.lever);
            if here.distance >= self.enough || stride < self.finest {
                break;
            }
            if !is_listed {
                let limit = here.distance + tolerance + 1.4 * stride;
                contacts_within(self.receiving, incoming, &here.pose, limit, near);
                is_listed = true;
            }
            let (step, promised) = self.step(near, here.distance, stride.min(cap));
            if promised < 0.1 * self.finest {
                break;
            }
            let next = twisted(&here.pose, &step, &self.pivot, self.lever);
            query.stop = here.distance;
            match nearest_within(self.receiving, incoming, &next, query) {
                Some(found) if found.distance_at_least > here.distance => {
                    let reached = found.distance_at_least;
                    let grown = if reached - here.distance > 0.5 * promised { 1.5 } else { 0.8 };
                    // No wider than at first: a wide band holds thousands of contacts.
                    stride = (stride * grown).min(self.stride);
                    query.hint = Some(found.hint);
                    here = PoseOptimum { pose: next, distance: reached, hint: query.hint };
                    is_listed = false;
                    if self.is_known.is_some_and(|is_known| is_known(&next)) {
                        break;
                    }
                }
                _ => stride *= 0.35,
            }
        }
        here
    }

    /// The step of at most `stride` that promises most, and the gain it promises.
    fn step(&self, near: &[Contact], best: f64, stride: f64) -> (Twist, f64) {
        let mut slopes = [(0.0, Twist::zeros()); MOST_CONTACTS];
        let mut count = 0;
        for contact in near {
            if count == MOST_CONTACTS || contact.distance > best + 1.4 * stride {
                break;
            }
            if contact.distance <= 0.0 {
                continue;
            }
            let normal = (contact.point_b - contact.point_a) / contact.distance;
            let moment = (contact.point_b - self.pivot).cross(&normal) / self.lever;
            let mut slope = Twist::new(normal.x, normal.y, normal.z, moment.x, moment.y, moment.z);
            slope.component_mul_assign(&self.allowed);
            if let Some(along) = &self.along {
                slope -= along * slope.dot(along);
            }
            // One that is nearer and pulls the same way speaks for both.
            // The shift's part alone mostly tells them apart.
            let alike = |(d, g): &(f64, Twist)| {
                let mut apart = 0.0;
                for k in [0, 1, 2] {
                    apart += (g[k] - slope[k]).powi(2);
                }
                apart < ALIKE * ALIKE
                    && *d <= contact.distance
                    && (g - slope).norm_squared() < ALIKE * ALIKE
            };
            if !slopes[..count].iter().any(alike) {
                slopes[count] = (contact.distance, slope);
                count += 1;
            }
        }
        best_step(&slopes[..count], best, stride)
    }
}

/// Contacts considered in one step; nearest first, six would fix a pose.
const MOST_CONTACTS: usize = 48;
/// Two slopes this alike count as one: the step errs by this share of its length.
const ALIKE: f64 = 0.02;
/// Contacts that can bind at once: six motions and the gain.
const MOST_ACTIVE: usize = 7;
/// Contacts whose distances agree to this share are level.
const LEVEL: f64 = 1e-9;
/// Changes of the active set in one small problem, at the most; some twenty are usual.
const CHANGES: usize = 60;

/// Solves `max over x of min over i of (dᵢ + gᵢ·x) − |x|²/2μ` for the μ whose step is
/// `stride` long, or less where less is best; returns the step and the gain it promises.
///
/// The dual is a small convex program over the simplex: minimise `μ|h|²/2 + Σ λ d`,
/// `h = Σ λ g`; then `x = μ h`. Solved by an active set: the contacts in it are held level,
/// the lowest of the others joins, one whose weight would fall below zero leaves.
fn best_step(slopes: &[(f64, Twist)], best: f64, stride: f64) -> (Twist, f64) {
    if slopes.is_empty() {
        return (Twist::zeros(), 0.0);
    }
    // The step is no longer than μ times the longest slope, and grows with μ.
    let mut mu = stride;
    let mut active = ActiveSet::nearest(slopes);
    let mut step = active.settled(slopes, mu);
    for _ in 0..3 {
        let length = step.norm();
        if length > 0.7 * stride || length < 1e-3 * stride {
            break;
        }
        mu *= (stride / length).min(8.0);
        // Those that bound the shorter step mostly bound the longer.
        step = active.settled(slopes, mu);
    }
    let length = step.norm();
    if length > stride {
        step *= stride / length;
    }
    let reached = slopes.iter().map(|(d, g)| d + g.dot(&step)).fold(f64::INFINITY, f64::min);
    (step, reached - best)
}

/// The contacts that bind, and the weight of each; the weights sum to one.
struct ActiveSet {
    contacts: [usize; MOST_ACTIVE],
    weights: [f64; MOST_ACTIVE],
    count: usize,
}

impl ActiveSet {
    /// The nearest contact alone.
    fn nearest(slopes: &[(f64, Twist)]) -> ActiveSet {
        let first = |i: &usize, j: &usize| slopes[*i].0.total_cmp(&slopes[*j].0);
        let mut contacts = [0; MOST_ACTIVE];
        contacts[0] = (0..slopes.len()).min_by(first).unwrap_or(0);
        let mut weights = [0.0; MOST_ACTIVE];
        weights[0] = 1.0;
        ActiveSet { contacts, weights, count: 1 }
    }

    fn contacts(&self) -> &[usize] {
        &self.contacts[..self.count]
    }

    /// The step for one μ, begun from the contacts that bind so far.
    fn settled(&mut self, slopes: &[(f64, Twist)], mu: f64) -> Twist {
        for _ in 0..CHANGES {
            let Some((wanted, value)) = held_level(slopes, self.contacts(), mu) else { break };
            // As far towards it as no weight falls below zero.
            let mut fraction = 1.0;
            let mut leaves = None;
            let weights = &mut self.weights[..self.count];
            for (k, (weight, wanted)) in weights.iter().zip(&wanted).enumerate() {
                if *wanted < 0.0 {
                    let to = weight / (weight - wanted);
                    if to < fraction {
                        (fraction, leaves) = (to, Some(k));
                    }
                }
            }
            for (weight, wanted) in weights.iter_mut().zip(&wanted) {
                *weight += fraction * (wanted - *weight);
            }
            if let Some(k) = leaves {
                self.count -= 1;
                self.contacts[k] = self.contacts[self.count];
                self.weights[k] = self.weights[self.count];
                continue;
            }
            let step = self.step(slopes, mu);
            let reach = |i: usize| slopes[i].0 + slopes[i].1.dot(&step);
            let mut lowest = (f64::INFINITY, 0);
            for i in 0..slopes.len() {
                let reached = reach(i);
                if reached < lowest.0 {
                    lowest = (reached, i);
                }
            }
            if lowest.0 > value - LEVEL * value.abs()
                || self.count == MOST_ACTIVE
                || self.contacts().contains(&lowest.1)
            {
                break;
            }
            self.contacts[self.count] = lowest.1;
            self.weights[self.count] = 0.0;
            self.count += 1;
        }
        self.step(slopes, mu)
    }

    fn step(&self, slopes: &[(f64, Twist)], mu: f64) -> Twist {
        let weighted = self.contacts().iter().zip(&self.weights);
        weighted.fold(Twist::zeros(), |h, (&i, w)| h + slopes[i].1 * (mu * w))
    }
}

/// Weights, summing to one, that hold all of `active` level, and their level.
fn held_level(
    slopes: &[(f64, Twist)],
    active: &[usize],
    mu: f64,
) -> Option<([f64; MOST_ACTIVE], f64)> {
    // dᵢ + μ gᵢ·Σ λ g = v for each, Σ λ = 1; divided by μ, so that no unit of length decides. With
    // G the products of the slopes, λ = v G⁻¹ 1 − G⁻¹ d, each from one triangular factor.
    let count = active.len();
    let mut factor = [[0.0; MOST_ACTIVE]; MOST_ACTIVE];
    let mut ones = [1.0; MOST_ACTIVE];
    let mut distances = [0.0; MOST_ACTIVE];
    for k in 0..count {
        let (distance, slope) = &slopes[active[k]];
        for l in 0..=k {
            let mut sum = slope.dot(&slopes[active[l]].1);
            // A trace of weight keeps contacts that pull alike apart.
            sum += if l == k { 1e-10 } else { 0.0 };
            for (a, b) in factor[k].iter().zip(&factor[l]).take(l) {
                sum -= a * b;
            }
            factor[k][l] = if l < k { sum / factor[l][l] } else { sum.sqrt() };
        }
        distances[k] = distance / mu;
        for j in 0..k {
            ones[k] -= factor[k][j] * ones[j];
            distances[k] -= factor[k][j] * distances[j];
        }
        ones[k] /= factor[k][k];
        distances[k] /= factor[k][k];
    }
    let dot = |a: &[f64], b: &[f64]| -> f64 { a.iter().zip(b).map(|(a, b)| a * b).sum() };
    let (ones, distances) = (&ones[..count], &distances[..count]);
    let value = (1.0 + dot(ones, distances)) / dot(ones, ones);
    let mut weights = [0.0; MOST_ACTIVE];
    for k in (0..count).rev() {
        let mut sum = value * ones[k] - distances[k];
        for (row, weight) in factor.iter().zip(&weights).take(count).skip(k + 1) {
            sum -= row[k] * weight;
        }
        weights[k] = sum / factor[k][k];
    }
    let level = mu * value;
    (level.is_finite() && weights.iter().all(|x| x.is_finite())).then_some((weights, level))
}
