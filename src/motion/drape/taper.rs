//! The links of a chain of several sizes, in order, ready to be hung.

use super::DrapeLink;
use crate::motion::chain::{Body, Joint, Measures};
use std::f64::consts::PI;

/// What is known of the sizes of a chain, in the order in which they follow one another.
#[derive(Clone, Debug)]
pub struct Sizes {
    /// Each size's link.
    pub links: Vec<Body>,
    /// Each size among its own kind.
    pub own: Vec<Measures>,
    /// Where each size is followed by the next: the next worked through it, and it through
    /// the next. One fewer than sizes.
    pub across: Vec<[Joint; 2]>,
}

/// Which size each of `count` links is: the first size at both ends, the last in the middle,
/// in equal shares. All of one size where there are too few links for a taper.
///
/// # Examples
/// ```
/// use linkfold::motion::drape::taper;
/// let order = taper(3, 9);
/// assert_eq!(order.len(), 9);
/// assert_eq!(order.first(), order.last()); // the same size at both ends
/// ```
pub fn taper(sizes: usize, count: usize) -> Vec<usize> {
    if count < 2 * sizes {
        return vec![0; count];
    }
    let place = |i: usize| {
        let in_from_end = i.min(count - 1 - i);
        (2 * in_from_end * sizes / count).min(sizes - 1)
    };
    (0..count).map(place).collect()
}

impl Sizes {
    /// The links of `order`, sizes by their index; none where two follow that do not follow
    /// one another in the chain.
    pub fn hung(&self, order: &[usize]) -> Option<Vec<DrapeLink>> {
        let joint = |before: usize, after: usize| -> Option<(f64, [f64; 3])> {
            if before == after {
                let own = self.own.get(before)?;
                let twist = own.joint.twist;
                let twist = twist.plus.angle.min(twist.minus.angle);
                let turns = [own.coil_x.turn, own.coil_y.turn, twist];
                return Some((own.joint.rest.pulled, turns));
            }
            let [up, down] = self.across.get(before.min(after))?;
            let joint = match (after.checked_sub(before), before.checked_sub(after)) {
                (Some(1), _) => up,
                (_, Some(1)) => down,
                _ => return None,
            };
            let turns = [joint.swing_x, joint.swing_y, joint.twist];
            Some((joint.rest.pulled, turns.map(|ways| ways.plus.angle.min(ways.minus.angle))))
        };
        let link = |i: usize| {
            let size = order[i];
            let (body, own) = (self.links.get(size)?, self.own.get(size)?);
            let (pitch, _) = joint(size, *order.get(i + 1).unwrap_or(&size))?;
            let (_, limits) = joint(*order.get(i.wrapping_sub(1)).unwrap_or(&size), size)?;
            Some(DrapeLink {
                pitch,
                weight: 0.25 * PI * body.wire * body.wire * body.curve().length(),
                half_thickness: 0.5 * own.thickness.min(own.width),
                limits,
            })
        };
        (0..order.len()).map(link).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_taper_swells_to_the_middle_and_is_the_same_from_both_ends() {
        assert_eq!(taper(3, 12), [0, 0, 1, 1, 2, 2, 2, 2, 1, 1, 0, 0]);
        assert_eq!(taper(1, 4), [0; 4]);
        assert_eq!(taper(3, 5), [0; 5]);
        for (sizes, count) in [(3, 100), (4, 31), (12, 24), (2, 4)] {
            let order = taper(sizes, count);
            assert!(order.iter().eq(order.iter().rev()));
            assert!(order.windows(2).all(|pair| pair[0].abs_diff(pair[1]) <= 1), "{order:?}");
            assert_eq!(order.iter().max(), Some(&(sizes - 1)));
        }
    }
}
