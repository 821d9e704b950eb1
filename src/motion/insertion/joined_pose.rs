//! The joined pose with most clearance.
//!
//! Along the axis that both links are symmetric about clearance is looked at height by height; from each of
//! its two greatest peaks the pose is moved in all six motions. Nearly always it stays upright, and the
//! peak on the axis is all but the answer; else it is sought from further aside, or hung aslant.
//! Limits: a search, no proof; `joined_pose_proof` has one.

use super::aperture::Aperture;
use super::pose_search::{PoseOptimum, PoseSearch, Twist, twist_between, twisted};
use super::problem::InsertionProblem;
use crate::geometry::curve::Pose;
use crate::geometry::distance::{Contact, Hint, Nearest, Query, nearest_within};
use crate::math::sort::sort_places;

/// Heights in the aperture looked at for the joined pose.
const HEIGHTS: usize = 12;
/// Lateral starts keep a pose found by symmetry from being a saddle, in units of `contact_distance`.
const ASIDE: f64 = 0.05;
/// Likewise from the best place on the axis. A pose found within `UPRIGHT` of there, in steps that are
/// `SHORT` of the usual, is taken: of 884 links on two maps and 300 random ones each was, and none was as
/// much as 1e-4 wires off what is found from further aside.
const BARELY_ASIDE: f64 = 0.01;
const UPRIGHT: f64 = 0.02;
const SHORT: f64 = 0.3;
/// Looks at the most for the best place on the axis; 3 are usual.
const CROSSINGS: usize = 6;
/// Turn about the line from leg to leg, radians, from which a joined pose is looked for where there
/// is none upright: the way in which it turns back when it is worked through.
const SLANT: f64 = 0.5;
/// A slanted pose that comes back to less than this, radians, is on its way to one found upright: of 884 links on
/// two maps those of 124 ended aslant and never came below 0.49 on the way, those of 162 came back.
const BACK: f64 = 0.4;
/// Steps aslant, where a long way is turned, in units of the usual.
const WIDE: f64 = 2.0;
/// Clearance beside two strands in a bore, as a share of `contact_distance`, below which a link is looked
/// for aslant though it fits upright.
const BARELY: f64 = 0.02;
/// A joined pose with less clearance than this, or that falls short by less, is sought until a step
/// gains less than the other, in units of `contact_distance`.
const CLOSE: f64 = 2e-3;
const FINEST: f64 = 2e-5;

impl InsertionProblem {
    /// The joined pose with most clearance, the fold closed; or the first found that has `enough` mm.
    pub fn seated(&self, enough: f64, near: &mut Vec<Contact>) -> PoseOptimum {
        let shape = &self.incoming;
        let upright = |height: f64| Aperture::guide(&shape.fold, 0.0, 0.0, height);
        let height = |i: usize| {
            let fraction = i as f64 / (HEIGHTS - 1) as f64;
            self.gate.low + fraction * (self.gate.high - self.gate.low)
        };
        let pose = |i: usize| upright(height(i));
        // Along the axis both links are symmetric about: a quick look finds the peaks.
        let query = Query { tolerance: 1e-3 * self.contact_distance, ..Query::default() };
        let mut hint = None;
        let mut look = |height: f64| {
            let query = Query { hint, ..query };
            let found = nearest_within(&self.receiving.tree, &shape.tree, &upright(height), query);
            hint = found.map(|n| n.hint);
            let slope = |n: Nearest| (n.point_b.z - n.point_a.z) / n.distance_at_most;
            Look {
                height,
                distance: found.map_or(0.0, |n| n.distance_at_least),
                slope: found.map_or(0.0, slope),
                hint,
            }
        };
        let seen: [Look; HEIGHTS] = std::array::from_fn(|i| look(height(i)));
        let at = |i: usize| seen.get(i).map_or(f64::NEG_INFINITY, |look| look.distance);
        let mut peaks: Vec<usize> =
            (0..HEIGHTS).filter(|&i| at(i) >= at(i.wrapping_sub(1)) && at(i) > at(i + 1)).collect();
        sort_places(&mut peaks, &mut |i, j| at(j).total_cmp(&at(i)));
        peaks.truncate(2);
        let search = self.search(enough, 40);
        let level = upright(0.0).rotation.inverse();
        let is_back = |pose: &Pose| (pose.rotation * level).scaled_axis().x.abs() < BACK;
        let mut reached = |i: usize, roll: f64| {
            if roll == 0.0 && (1..HEIGHTS - 1).contains(&i) {
                let around = [seen[i - 1], seen[i], seen[i + 1]];
                let top = peak(around, query.tolerance, &mut look);
                let mut start = upright(top.height);
                start.translation.vector.y += BARELY_ASIDE * self.contact_distance;
                let short = PoseSearch { stride: SHORT * search.stride, ..search };
                let found = short.run(&shape.tree, start, top.hint, near);
                // In height alone it may end anywhere.
                let mut moved = twist_between(&start, &found.pose, &self.pivot(), self.lever());
                moved[2] = 0.0;
                if moved.norm() < UPRIGHT * self.contact_distance {
                    return found;
                }
            }
            let mut start = pose(i);
            start.translation.vector.y += ASIDE * self.contact_distance;
            let start_search = if roll == 0.0 {
                search
            } else {
                // Each link is its own mirror image from leg to leg, and stays so turned about x; what
                // lies beside them in a row is left to the search with short strides.
                let allowed = Twist::new(0.0, 1.0, 1.0, 1.0, 0.0, 0.0);
                let stride = WIDE * search.stride;
                PoseSearch { allowed, stride, is_known: Some(&is_back), ..search }
            };
            let mut twist = Twist::zeros();
            twist[3] = roll * self.lever();
            let start = twisted(&start, &twist, &self.pivot(), self.lever());
            let reached = start_search.run(&shape.tree, start, None, near);
            if roll != 0.0 && is_back(&reached.pose) {
                return reached;
            }
            // Once more with short strides: the first ones may have shrunk too soon.
            let short = PoseSearch { stride: 0.2 * search.stride, ..search };
            short.run(&shape.tree, reached.pose, reached.hint, near)
        };
        let mut best = PoseOptimum { pose: pose(HEIGHTS - 1), distance: 0.0, hint: None };
        // Hung aslant, one strand over the other, where it does not fit upright; or barely, since the
        // strands fill the bore.
        let beside = 0.5
            * (self.receiving.fold.eight.bore() - self.incoming.fold.eight.waist_gap())
            - self.incoming.fold.eight.wire;
        let barely = if beside < BARELY * self.contact_distance { BARELY } else { 0.0 };
        for slant in [0.0, SLANT] {
            if best.distance > (1.0 + barely) * self.contact_distance {
                break;
            }
            for &i in &peaks {
                if best.distance < search.enough {
                    let found = reached(i, slant);
                    if found.distance > best.distance {
                        best = found;
                    }
                }
            }
        }
        best
    }

    /// `found` as near to the joined pose with most clearance as a verdict is told, where it hangs on that.
    pub fn seated_closely(&self, found: PoseOptimum, near: &mut Vec<Contact>) -> PoseOptimum {
        let clearance = found.distance - self.contact_distance;
        if clearance.abs() > CLOSE * self.contact_distance {
            return found;
        }
        let search = self.search(f64::INFINITY, 40);
        let finest = FINEST * self.contact_distance;
        let closer = PoseSearch { stride: 0.1 * search.stride, finest, ..search };
        let closest = closer.run(&self.incoming.tree, found.pose, found.hint, near);
        if closest.distance > found.distance { closest } else { found }
    }
}

/// The distance with the incoming link upright on the axis.
#[derive(Clone, Copy)]
struct Look {
    /// Height at which it is hung, mm.
    height: f64,
    /// Least distance of the centrelines, mm.
    distance: f64,
    /// How fast that grows with the height.
    slope: f64,
    hint: Option<Hint>,
}

/// The peak between the outer two of three neighbouring heights, to within `tolerance` mm: again and again
/// where two lines cross, along which the distance grows from below and from above.
fn peak(
    [mut below, middle, mut above]: [Look; 3],
    tolerance: f64,
    look: &mut dyn FnMut(f64) -> Look,
) -> Look {
    let (mut here, mut best) = (middle, middle);
    for _ in 0..CROSSINGS {
        if here.slope > 0.0 {
            below = here
        } else {
            above = here
        }
        if !(below.slope > 0.0 && above.slope < 0.0) {
            break;
        }
        let over = below.distance - above.distance + below.slope * (above.height - below.height);
        let cross = above.height - over / (below.slope - above.slope);
        if !(below.height < cross && cross < above.height) {
            break;
        }
        here = look(cross);
        if here.distance > best.distance {
            best = here;
        }
        let promised = below.distance + below.slope * (cross - below.height);
        if promised - best.distance < tolerance {
            break;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against closed forms: two lines, whose crossing one look finds, and a line with a circle, found in a few.
    #[test]
    fn the_peak_is_where_what_rises_meets_what_falls() {
        type Formula = fn(f64) -> (f64, f64);
        let rising: Formula = |x| (0.5 * x, 0.5);
        let falling: Formula = |x| (1.0 - x, -1.0);
        let circle: Formula = |x| ((1.0 - x * x).sqrt(), -x / (1.0 - x * x).sqrt());
        for (down, top, most_looks) in [(falling, 2.0 / 3.0, 2), (circle, 0.8f64.sqrt(), 5)] {
            let mut looks = 0;
            let mut look = |height: f64| {
                looks += 1;
                let (up, down) = (rising(height), down(height));
                let (distance, slope) = if up.0 < down.0 { up } else { down };
                Look { height, distance, slope, hint: None }
            };
            let around = [0.1, 0.5, 0.95].map(&mut look);
            let found = peak(around, 1e-6, &mut look);
            assert!((found.height - top).abs() < 1e-5, "{} {top}", found.height);
            assert!(looks <= 3 + most_looks, "{looks}");
        }
    }
}
