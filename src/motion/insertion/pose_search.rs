//! A local search for more clearance: the incoming pose moves where every near contact opens.
//!
//! Clearance is the least of several smooth distances, so its slope jumps from one to the
//! other. Each step takes the contacts that could become the least within the step and
//! solves `max over |x| ≤ Δ of min over i of (dᵢ + gᵢ·x)`, near enough, by its dual: the
//! shortest weighted mean of the slopes. Steps that do not help shrink Δ.
//! Source: the proximal bundle method of nonsmooth optimisation; the active set for its dual is
//! derived at [`best_step`].

use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::{Contact, Query, Tree, contacts, nearest_within};
use nalgebra::{SMatrix, SVector, Translation3, UnitQuaternion};

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
}

/// Where a search ended.
#[derive(Clone, Copy, Debug)]
pub struct PoseOptimum {
    /// The pose.
    pub pose: Pose,
    /// Least distance of the centrelines there, mm; never overstated.
    pub distance: f64,
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
    /// Searches from `start`. The curves never cross on the way: no step is longer than nine
    /// tenths of the distance at hand.
    pub fn run(&self, incoming: &Tree, start: Pose, near: &mut Vec<Contact>) -> PoseOptimum {
        let mut stride = self.stride;
        let mut here = PoseOptimum { pose: start, distance: 0.0 };
        let mut query = Query { tolerance: 0.1 * self.finest, ..Query::default() };
        if self.enough.is_finite() {
            // Far off, one quick look is all it takes.
            let cutoff = self.enough + query.tolerance;
            if nearest_within(self.receiving, incoming, &start, Query { cutoff, ..query }).is_none()
            {
                here.distance = self.enough;
                return here;
            }
        }
        let Some(found) = contacts(self.receiving, incoming, &start, 1.4 * stride, query, near)
        else {
            return here;
        };
        query.hint = Some(found.hint);
        here.distance = found.distance_at_least;
        for _ in 0..self.most_steps {
            // A point moves by at most the shift plus the turn times its arm.
            let centre = start.inverse_transform_point(&self.pivot);
            let arm = incoming.reach() + centre.coords.norm();
            let cap = 0.9 * here.distance / (1.0 + arm / self.lever);
            if here.distance >= self.enough || stride < self.finest {
                break;
            }
            let (step, promised) = self.step(near, here.distance, stride.min(cap));
            if promised < 0.1 * self.finest {
                break;
            }
            let next = twisted(&here.pose, &step, &self.pivot, self.lever);
            let kept = std::mem::take(near);
            let tried = contacts(self.receiving, incoming, &next, 1.4 * stride, query, near);
            match tried {
                Some(found) if found.distance_at_least > here.distance => {
                    let reached = found.distance_at_least;
                    let grown = if reached - here.distance > 0.5 * promised { 1.5 } else { 0.8 };
                    // No wider than at first: a wide band holds thousands of contacts.
                    stride = (stride * grown).min(self.stride);
                    query.hint = Some(found.hint);
                    here = PoseOptimum { pose: next, distance: reached };
                }
                _ => {
                    stride *= 0.35;
                    *near = kept;
                }
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
            let alike = |(d, g): &(f64, Twist)| {
                (g - slope).norm_squared() < ALIKE * ALIKE && *d <= contact.distance
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
    let mut step = level(slopes, mu);
    for _ in 0..3 {
        let length = step.norm();
        if length > 0.7 * stride || length < 1e-3 * stride {
            break;
        }
        mu *= (stride / length).min(8.0);
        step = level(slopes, mu);
    }
    let length = step.norm();
    if length > stride {
        step *= stride / length;
    }
    let reached = slopes.iter().map(|(d, g)| d + g.dot(&step)).fold(f64::INFINITY, f64::min);
    (step, reached - best)
}

/// The step for one μ.
fn level(slopes: &[(f64, Twist)], mu: f64) -> Twist {
    let mut active: [usize; MOST_ACTIVE] = [0; MOST_ACTIVE];
    let mut weights = [0.0; MOST_ACTIVE];
    let first = |i: &usize, j: &usize| slopes[*i].0.total_cmp(&slopes[*j].0);
    active[0] = (0..slopes.len()).min_by(first).unwrap_or(0);
    weights[0] = 1.0;
    let mut count = 1;
    for _ in 0..CHANGES {
        let Some((wanted, value)) = held_level(slopes, &active[..count], mu) else { break };
        // As far towards it as no weight falls below zero.
        let mut fraction = 1.0;
        let mut leaves = None;
        for k in 0..count {
            if wanted[k] < 0.0 {
                let to = weights[k] / (weights[k] - wanted[k]);
                if to < fraction {
                    (fraction, leaves) = (to, Some(k));
                }
            }
        }
        for k in 0..count {
            weights[k] += fraction * (wanted[k] - weights[k]);
        }
        if let Some(k) = leaves {
            count -= 1;
            active[k] = active[count];
            weights[k] = weights[count];
            continue;
        }
        let step = moved(slopes, &active[..count], &weights, mu);
        let reach = |i: usize| slopes[i].0 + slopes[i].1.dot(&step);
        let lowest = (0..slopes.len()).min_by(|&i, &j| reach(i).total_cmp(&reach(j)));
        let Some(lowest) = lowest else { break };
        if reach(lowest) > value - LEVEL * value.abs()
            || count == MOST_ACTIVE
            || active[..count].contains(&lowest)
        {
            break;
        }
        active[count] = lowest;
        weights[count] = 0.0;
        count += 1;
    }
    moved(slopes, &active[..count], &weights, mu)
}

fn moved(slopes: &[(f64, Twist)], active: &[usize], weights: &[f64], mu: f64) -> Twist {
    active.iter().zip(weights).fold(Twist::zeros(), |h, (&i, w)| h + slopes[i].1 * (mu * w))
}

/// Weights, summing to one, that hold all of `active` level, and their level.
fn held_level(
    slopes: &[(f64, Twist)],
    active: &[usize],
    mu: f64,
) -> Option<([f64; MOST_ACTIVE], f64)> {
    // dᵢ + μ gᵢ·Σ λ g = v for each, Σ λ = 1; divided by μ, so that no unit of length decides.
    let mut matrix = SMatrix::<f64, 8, 8>::identity();
    let mut right = SVector::<f64, 8>::zeros();
    let last = active.len();
    for (k, &i) in active.iter().enumerate() {
        for (l, &j) in active.iter().enumerate() {
            matrix[(k, l)] = slopes[i].1.dot(&slopes[j].1);
        }
        // A trace of weight keeps contacts that pull alike apart.
        matrix[(k, k)] += 1e-10;
        matrix[(k, last)] = -1.0;
        matrix[(last, k)] = 1.0;
        right[k] = -slopes[i].0 / mu;
    }
    matrix[(last, last)] = 0.0;
    right[last] = 1.0;
    let solved = matrix.lu().solve(&right)?;
    let mut weights = [0.0; MOST_ACTIVE];
    weights[..last].copy_from_slice(&solved.as_slice()[..last]);
    solved.iter().all(|x| x.is_finite()).then_some((weights, mu * solved[last]))
}
