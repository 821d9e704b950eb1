//! A bound that shows wires too near all over a box of poses.
//!
//! *One pair of places.* `a` on the receiving centreline and `b` on the incoming one are no further
//! apart, anywhere in the box, than in its middle and as far as both stray along each axis.
//!
//! *A mean of pairs.* Where `Σ λᵢ (|aᵢ − (R bᵢ + t)|² − D²) < 0` with weights `λ ≥ 0` that sum to one,
//! some pair is nearer than `D`. With `t = t₀ + τ` that sum is
//!
//! ```text
//! |t₀|² − 2 ā·t₀ + Σλ(|a|² + |b|²) − D²  +  Σ_k (2 τ_k (t₀ − ā + R₀ b̄)_k + τ_k²)
//!   + 2 τ·(R − R₀) b̄  −  2 tr(Mᵀ R),       M = Σ λ (a − t₀) bᵀ
//! ```
//!
//! The second term is greatest at an end of each axis, the third is at most `2 |τ| |b̄|` times what
//! [`TurnBounds::most`] says. For the rotation `q/|q|`, `tr(Mᵀ R) = qᵀ K q / |q|²` with a symmetric `K`
//! of the entries of `M`: times `|q|²` the whole is a quadratic in `c`, bounded entry by entry. The
//! weights come from the linear part and are sound whatever they are: where a search for more
//! clearance comes to rest, a mean of the contacts' slopes is nothing, and the bound is as good as the
//! curvature lets it be.
//!
//! Sources: quaternions and rotations: Horn, *Closed-form solution of absolute orientation using unit
//! quaternions*, J. Opt. Soc. Am. A 4 (1987), for `K`; the rest is derived above.
//! Evidence: the test below, against distances of poses by chance.

use super::pose_box::{PoseBox, TurnBounds};
use crate::geometry::curve::Vector;
use crate::math::{Linear, mean_weights};
use nalgebra::{Matrix3, Matrix4, Vector4};

/// A place on the receiving centreline, and one on the incoming centreline after the chart's
/// half turn, mm.
#[derive(Clone, Copy, Debug)]
pub struct PlacePair {
    /// In the receiving link's frame.
    pub a: Vector,
    /// In the incoming link's.
    pub b: Vector,
}

/// Some places on a curve, and a ball about them.
pub struct PlaceGroup {
    middle: Vector,
    reach: f64,
    places: Vec<Vector>,
}

/// Places of a curve in groups of neighbours.
pub fn grouped(places: &[Vector]) -> Vec<PlaceGroup> {
    let group = |places: &[Vector]| {
        let middle = places.iter().sum::<Vector>() / places.len() as f64;
        let reach = places.iter().map(|p| (p - middle).norm()).fold(0.0, f64::max);
        PlaceGroup { middle, reach, places: places.to_vec() }
    };
    places.chunks(8).map(group).collect()
}

/// The least of what any one pair of places is apart at the most in `cell`, mm; infinite where
/// nothing comes near.
pub fn nearest_pair(
    cell: &PoseBox,
    bounds: &TurnBounds,
    receiving: &[PlaceGroup],
    incoming: &[PlaceGroup],
    distance: f64,
) -> f64 {
    let mut least = f64::INFINITY;
    for group_b in incoming {
        let middle = bounds.rotation * group_b.middle + cell.place;
        for group_a in receiving {
            let reach = distance + group_a.reach + group_b.reach;
            if (middle - group_a.middle).norm_squared() > reach * reach {
                continue;
            }
            for b in &group_b.places {
                let turned = bounds.rotation * b;
                let length = b.norm();
                // The first two parts of a stray go by axis, what is beyond any way.
                let even = bounds.even(&turned) + cell.half_place;
                let beyond = bounds.beyond * length;
                let at = turned + cell.place;
                for a in &group_a.places {
                    let apart = (at - a).abs();
                    if apart.norm_squared() < least * least {
                        let by_axis = (apart + even).norm() + beyond;
                        let any_way = (apart + cell.half_place).norm() + bounds.most * length;
                        least = least.min(by_axis).min(any_way);
                    }
                }
            }
        }
    }
    least
}

/// What [`mean_bound`] has found.
pub struct MeanBound {
    /// Below zero only where the sum is below zero all over the box; times `|q|²` of the middle over
    /// that of a pose, mm², it bounds the sum there.
    pub greatest: f64,
    /// By how much less it would be, by its linear part, were each part of the box half as wide.
    pub gains: [f64; 6],
}

/// Bounds the sum for the best weights of `pairs` and the distance `distance`, mm; `gains` are worked
/// out where it is not below zero and they are asked for.
pub fn mean_bound(
    cell: &PoseBox,
    bounds: &TurnBounds,
    pairs: &[PlacePair],
    distance: f64,
    wants_gains: bool,
) -> MeanBound {
    let square = cell.quaternion().norm_squared();
    let halves = cell.halves();
    // Turns for a unit of each part of `c`.
    let unit = [0, 1, 2].map(|k| {
        let mut part = Vector::zeros();
        part[k] = 1.0;
        2.0 / square * (part - part.cross(&cell.turn))
    });
    let about = |halves: &[f64; 6]| {
        let [x, y, z, turn @ ..] = halves;
        let moved = Vector::new(*x, *y, *z).norm();
        let most = (2.0 * Vector::from(turn.to_owned()).norm() / square.sqrt()).min(2.0);
        let function = |pair: &PlacePair| {
            let turned = bounds.rotation * pair.b;
            let (apart, from) = (turned + cell.place - pair.a, pair.a - cell.place);
            let moment = 2.0 * turned.cross(&apart);
            let slope = |k: usize| if k < 3 { 2.0 * apart[k] } else { moment.dot(&unit[k - 3]) };
            // About its second order, so that weights are not given to what bends away.
            let bend = |k: usize| {
                let w = turn[k] * unit[k];
                w.norm_squared() * from.dot(&turned) - w.dot(&from) * w.dot(&turned)
            };
            let bent = bend(0) + bend(1) + bend(2) + moved * (moved + 2.0 * most * pair.b.norm());
            Linear {
                value: apart.norm_squared() - distance * distance + bent,
                slope: std::array::from_fn(slope),
            }
        };
        let functions: Vec<Linear<6>> = pairs.iter().map(function).collect();
        mean_weights::<6, 7>(&functions, halves)
    };
    let (weights, value) = about(&halves);
    let greatest = weighed(cell, bounds, pairs, &weights, distance);
    let mut gains = [0.0; 6];
    if wants_gains && greatest >= 0.0 {
        for k in 0..6 {
            let mut less = halves;
            less[k] *= 0.5;
            gains[k] = value - about(&less).1;
        }
    }
    MeanBound { greatest, gains }
}

/// The bound for these weights.
fn weighed(
    cell: &PoseBox,
    bounds: &TurnBounds,
    pairs: &[PlacePair],
    weights: &[f64],
    distance: f64,
) -> f64 {
    let place = &cell.place;
    let (mut mean_a, mut mean_b, mut m) = (Vector::zeros(), Vector::zeros(), Matrix3::zeros());
    let mut constant = -distance * distance;
    for (PlacePair { a, b }, weight) in pairs.iter().zip(weights).filter(|(_, w)| **w > 0.0) {
        mean_a += a * *weight;
        mean_b += b * *weight;
        m += (a - place) * b.transpose() * *weight;
        constant += weight * (a.norm_squared() + b.norm_squared());
    }
    let slope = place - mean_a + bounds.rotation * mean_b;
    let half = &cell.half_place;
    let moved = 2.0 * half.dot(&slope.abs()) + half.norm_squared();
    let both = 2.0 * half.norm() * mean_b.norm() * bounds.most;
    let still = place.norm_squared() - 2.0 * mean_a.dot(place) + constant;
    let (trace, sum) = (m.trace(), m + m.transpose());
    let aside = Vector::new(m[(2, 1)] - m[(1, 2)], m[(0, 2)] - m[(2, 0)], m[(1, 0)] - m[(0, 1)]);
    let mut k = Matrix4::zeros();
    k[(0, 0)] = trace;
    k.fixed_view_mut::<3, 1>(1, 0).copy_from(&aside);
    k.fixed_view_mut::<1, 3>(0, 1).copy_from(&aside.transpose());
    k.fixed_view_mut::<3, 3>(1, 1).copy_from(&(sum - Matrix3::identity() * trace));
    let form = Matrix4::identity() * (still + moved + both) - k * 2.0;
    let q = Vector4::new(1.0, cell.turn.x, cell.turn.y, cell.turn.z);
    let along = form * q;
    let mut greatest = q.dot(&along);
    let turn = &cell.half_turn;
    for k in 0..3 {
        let (slope, bend) = (2.0 * along[k + 1].abs(), form[(k + 1, k + 1)]);
        // Bent down, it may be greatest within.
        greatest += if bend >= 0.0 || slope >= -2.0 * bend * turn[k] {
            slope * turn[k] + bend * turn[k] * turn[k]
        } else {
            -0.25 * slope * slope / bend
        };
        for l in 0..k {
            greatest += 2.0 * form[(k + 1, l + 1)].abs() * turn[k] * turn[l];
        }
    }
    greatest / q.norm_squared()
}

#[cfg(test)]
mod tests {
    use super::super::pose_box::half_turn;
    use super::super::pose_box::tests::{any_box, pose_in};
    use super::*;
    use crate::math::Rng;

    /// The sum itself, and the distance of single pairs, at poses of boxes by chance.
    #[test]
    fn no_pose_of_a_box_is_beyond_the_bounds() {
        let mut rng = Rng::new(9);
        let (mut shown, mut closest) = (0, f64::INFINITY);
        for i in 0..3000 {
            let cell = any_box(&mut rng, [0.03, 0.1, 0.3][i % 3]);
            let bounds = cell.turn_bounds();
            let mut any = |scale: f64| scale * (2.0 * rng.next_f64() - 1.0);
            let pairs: Vec<PlacePair> = (0..6)
                .map(|_| {
                    let b = Vector::from_fn(|_, _| any(2.0));
                    let off = Vector::from_fn(|_, _| any(0.8));
                    PlacePair { a: bounds.rotation * b + cell.place + off, b }
                })
                .collect();
            let mut weights: Vec<f64> = (0..6).map(|_| 1.0 + any(1.0)).collect();
            let sum: f64 = weights.iter().sum();
            weights.iter_mut().for_each(|weight| *weight /= sum);
            let greatest = weighed(&cell, &bounds, &pairs, &weights, 1.0);
            let found = mean_bound(&cell, &bounds, &pairs, 1.0, true);
            let groups = |of: &dyn Fn(&PlacePair) -> Vector| {
                grouped(&pairs.iter().map(of).collect::<Vec<_>>())
            };
            let nearest = nearest_pair(&cell, &bounds, &groups(&|p| p.a), &groups(&|p| p.b), 1.0);
            shown += usize::from(found.greatest < 0.0);
            for _ in 0..10 {
                let pose = pose_in(&cell, &mut rng);
                let turn = pose.rotation * half_turn(cell.chart).inverse();
                let apart = |p: &PlacePair| (turn * p.b + pose.translation.vector - p.a).norm();
                let each = pairs.iter().zip(&weights);
                // The bound is on |q|² times the sum; of a unit quaternion, 1 + c² is 1/w².
                let square = cell.quaternion().norm_squared() * turn.w * turn.w;
                let mean = each.map(|(p, w)| w * (apart(p).powi(2) - 1.0)).sum::<f64>() / square;
                assert!(mean <= greatest + 1e-9, "{mean} over {greatest}: {cell:?}");
                closest = closest.min(greatest - mean);
                let least = pairs
                    .iter()
                    .flat_map(|p| pairs.iter().map(|q| apart(&PlacePair { a: p.a, b: q.b })))
                    .fold(f64::INFINITY, f64::min);
                assert!(least <= nearest + 1e-9, "{least} over {nearest}: {cell:?}");
                assert!(found.greatest >= 0.0 || least < 1.0, "{least}: {cell:?}");
            }
        }
        assert!(shown > 300, "{shown} boxes shown too near");
        assert!(closest < 0.01, "a bound that says nothing: {closest}");
    }
}
