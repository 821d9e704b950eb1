//! Where links of unequal sizes lie in one straight row, as it grows link by link.
//!
//! Model: links rise straight along z, turned as the weave has it. Each lies where it has most
//! clearance from those that are there, and those stay where they lie, as under the maker's hand.
//! A row of one size starts at the rise of [`super::seated`].
//! Limits: a later link may find no place that an earlier one, had it moved within its play, would
//! have left to it; clearances are real.

use super::rest::rising;
use super::{Body, ChainError, Weave};
use crate::geometry::curve::Pose;
use crate::geometry::distance::{Query, nearest_within};
use crate::math::units::Mm;

/// Heights tried for a link between the highest fold and the lowest tips of those that it goes
/// through; and steps in which the best of them is refined.
const TRIES: usize = 48;
const REFINED: usize = 24;

/// Poses of links of `sizes` (each a place in `bodies`), from the first to the last, in the frame of
/// the first one. The first `even` links are of one size and lie `rise` mm from one another.
///
/// # Errors
/// [`ChainError::Locks`] where one of them has no place clear of those before.
pub fn mixed_row(
    bodies: &[&Body],
    sizes: &[usize],
    weave: Weave,
    (even, rise): (usize, f64),
) -> Result<Vec<Pose>, ChainError> {
    let mut placed = weave.poses(&rising(rise), even.min(sizes.len()));
    let turns = weave.poses(&Pose::identity(), sizes.len());
    for turn in turns.into_iter().skip(even) {
        let (height, clearance, offset) = place(bodies, sizes, &turn, &placed, weave);
        if !(clearance >= 0.0) {
            let overlap = Mm::new((-clearance).min(1e6));
            return Err(ChainError::Locks { weave: weave.name(), overlap, offset });
        }
        placed.push(rising(height) * turn);
    }
    Ok(placed)
}

/// Where the link after `placed`, turned by `turn`, has most clearance from them: height, clearance,
/// and how far back the nearest of them is.
fn place(
    bodies: &[&Body],
    sizes: &[usize],
    turn: &Pose,
    placed: &[Pose],
    weave: Weave,
) -> (f64, f64, usize) {
    let next = placed.len();
    let own = bodies[sizes[next]];
    let clearance = |height: f64| {
        let pose = rising(height) * turn;
        let mut least = (f64::INFINITY, 0);
        for (back, (there, size)) in placed.iter().zip(sizes).enumerate().rev() {
            let other = bodies[*size];
            let metal = 0.5 * (own.wire + other.wire);
            let query = Query { cutoff: least.0 + metal, ..Query::default() };
            let seen = there.inverse() * pose;
            if let Some(found) = nearest_within(&other.tree, &own.tree, &seen, query) {
                least = (found.distance_at_most - metal, next - back);
            }
        }
        least
    };
    // It goes through the last links of its own chain: over their folds, under their tips.
    let through: Vec<usize> =
        (1..=weave.through()).filter_map(|k| next.checked_sub(k * weave.chains())).collect();
    let heights = through.iter().map(|&k| placed[k].translation.vector.z);
    let low = heights.clone().fold(f64::NEG_INFINITY, f64::max) - own.low.z;
    let tips = through.iter().zip(heights).map(|(&k, z)| z + bodies[sizes[k]].high.z);
    let high = tips.fold(f64::INFINITY, f64::min) - own.low.z;
    let at = |i: f64| low + (high - low) * i / TRIES as f64;
    let best =
        (1..TRIES).max_by(|&i, &j| clearance(at(i as f64)).0.total_cmp(&clearance(at(j as f64)).0));
    let (mut height, mut step) = (at(best.unwrap_or(1) as f64), 0.5 * (high - low) / TRIES as f64);
    let mut most = clearance(height);
    for _ in 0..REFINED {
        let better = [height - step, height + step].into_iter().map(|z| (z, clearance(z)));
        match better.max_by(|a, b| a.1.0.total_cmp(&b.1.0)) {
            Some((z, found)) if found.0 > most.0 => (height, most) = (z, found),
            _ => step *= 0.5,
        }
    }
    (height, most.0, most.1)
}
