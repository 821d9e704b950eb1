//! Playing a path: where the incoming link is when a fraction of it is done.
//!
//! Between waypoints it moves just as the proof has it move ([`PathSegment`]). Time goes with the
//! distance travelled, and slows down where there is little clearance.

use super::aperture::LinkBody;
use super::waypoint::{PathSegment, Phase, Waypoint};
use crate::geometry::curve::{Point, Pose};
use crate::geometry::distance::nearest;
use crate::geometry::link::Fold;

/// A path, ready to be played.
pub struct PathPlayer<'a> {
    waypoints: &'a [Waypoint],
    incoming: &'a Fold,
    receiving: LinkBody,
    contact_distance: f64,
    pivot: Point,
    /// Time at each waypoint; the last is 1.
    times: Vec<f64>,
}

/// One moment of a path.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// Incoming link's frame into the receiving link's.
    pub pose: Pose,
    /// Shape of the incoming link.
    pub shape: Fold,
    /// What is being done.
    pub phase: Phase,
    /// Clearance, mm, metal to metal; below zero where the wires overlap.
    pub clearance: f64,
    /// The nearest places on the two centrelines, receiving link's first, in its frame.
    pub nearest: [Point; 2],
}

/// Samples taken between two waypoints for the tightest place.
const SAMPLES: usize = 8;

impl<'a> PathPlayer<'a> {
    /// The path through `waypoints` of `incoming`, turning about `pivot`, through `receiving`, both
    /// closed as they lie in the chain, past those of the receiving kind that lie `before`;
    /// `None` for a path without waypoints.
    pub fn new(
        receiving: &Fold,
        before: &[Pose],
        incoming: &'a Fold,
        waypoints: &'a [Waypoint],
        pivot: Point,
    ) -> Option<PathPlayer<'a>> {
        waypoints.first()?;
        let contact_distance = 0.5 * (receiving.eight.wire + incoming.eight.wire);
        let others: Vec<(&Fold, Pose)> = before.iter().map(|pose| (receiving, *pose)).collect();
        let mut times = vec![0.0];
        for pair in waypoints.windows(2) {
            let spent = spent(&pair[0], &pair[1], &pivot, incoming, contact_distance);
            times.push(times.last().copied().unwrap_or(0.0) + spent);
        }
        let all = times.last().copied().unwrap_or(0.0).max(f64::MIN_POSITIVE);
        times.iter_mut().for_each(|time| *time /= all);
        Some(PathPlayer {
            waypoints,
            incoming,
            receiving: LinkBody::among(*receiving, &others),
            contact_distance,
            pivot,
            times,
        })
    }

    /// The moment when `fraction` of the path is done, from 0 to 1.
    pub fn at(&self, fraction: f64) -> Moment {
        let waypoint = self.waypoint(fraction);
        let shape = LinkBody::new(waypoint.shape(self.incoming));
        let found = nearest(&self.receiving.tree, &Pose::identity(), &shape.tree, &waypoint.pose);
        Moment {
            pose: waypoint.pose,
            shape: shape.fold,
            phase: waypoint.phase,
            clearance: found.distance_at_least - self.contact_distance,
            nearest: [found.point_a, found.point_b],
        }
    }

    /// Fraction of the path at which the waypoint `index` is reached.
    pub fn share_of(&self, index: usize) -> f64 {
        self.times[index.min(self.times.len() - 1)]
    }

    /// Fraction of the path at which it is tightest between the waypoint before `index` and it;
    /// where the wires overlap, that of the waypoint: between such, nothing was sought.
    pub fn tightest(&self, index: usize) -> f64 {
        if self.waypoints.get(index).is_some_and(|waypoint| waypoint.clearance < 0.0) {
            return self.share_of(index);
        }
        let (from, to) = (self.share_of(index.saturating_sub(1)), self.share_of(index));
        let look = |i: usize| from + (to - from) * i as f64 / SAMPLES as f64;
        let evaluations = (0..=SAMPLES).map(|i| (look(i), self.at(look(i)).clearance));
        evaluations.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(to, |(fraction, _)| fraction)
    }

    fn waypoint(&self, fraction: f64) -> Waypoint {
        let last = self.waypoints.len() - 1;
        let next = self.times.partition_point(|time| *time < fraction);
        if next == 0 || next > last {
            return self.waypoints[next.min(last)];
        }
        let (start, end) = (self.times[next - 1], self.times[next]);
        let motion =
            PathSegment::new(&self.waypoints[next - 1], &self.waypoints[next], &self.pivot);
        motion.waypoint((fraction - start) / (end - start))
    }
}

/// Time from one waypoint to the next: the furthest a tip moves, quicker where there is
/// more clearance.
fn spent(
    from: &Waypoint,
    to: &Waypoint,
    pivot: &Point,
    incoming: &Fold,
    contact_distance: f64,
) -> f64 {
    let centre = from.pose.inverse_transform_point(pivot);
    let straight = (to.pose * centre - pivot).norm();
    let turn = from.pose.rotation.angle_to(&to.pose.rotation);
    let bend = (to.half_angle - from.half_angle).abs();
    let opened = (to.leading_bore - from.leading_bore).abs();
    let clearance = from.clearance.min(to.clearance).max(0.0);
    let travelled = straight + (turn + bend) * incoming.eight.tip() + opened;
    travelled * contact_distance / (contact_distance + 2.0 * clearance) + 1e-9 * contact_distance
}

#[cfg(test)]
mod tests {
    use super::super::join_search::join;
    use super::*;
    use crate::geometry::link::{Forming, ToolDimensions};

    fn forming(mandrel: f64) -> Forming {
        let setting = ToolDimensions {
            oval_jaw: 2.8,
            bore: 2.8,
            fold_jaw: 2.8,
            ..ToolDimensions::usual(1.0, mandrel)
        };
        Forming::new(setting).unwrap()
    }

    #[test]
    fn a_proven_way_is_played_through_every_waypoint_with_the_clearance_proven() {
        let link = forming(13.5);
        let found = join(&link, &link);
        let path = found.best();
        assert!(path.at_least > 0.0, "{path:?}");
        let player =
            PathPlayer::new(&link.fold, &[], &link.fold, &path.waypoints, path.pivot).unwrap();
        let least = (0..=400)
            .map(|i| player.at(f64::from(i) / 400.0).clearance)
            .fold(f64::INFINITY, f64::min);
        assert!(least >= path.at_least - 1e-9, "{least}, {} proven", path.at_least);
        let tightest = player.at(player.tightest(path.tightest)).clearance;
        // Waypoints and the samples between them come within a hundredth of a wire of it.
        assert!(tightest <= path.at_most + 0.01, "{tightest}, {}", path.at_most);
        for (index, waypoint) in path.waypoints.iter().enumerate() {
            let played = player.at(player.share_of(index));
            let off = (played.pose * Point::origin() - waypoint.pose * Point::origin()).norm();
            assert!(off < 1e-9, "{index}: {off}");
        }
    }

    #[test]
    fn there_is_no_jump_and_no_panic_outside() {
        let link = forming(13.5);
        let found = join(&link, &link);
        let path = found.best();
        let player =
            PathPlayer::new(&link.fold, &[], &link.fold, &path.waypoints, path.pivot).unwrap();
        let at = |fraction: f64| player.waypoint(fraction).pose * Point::new(0.0, 0.0, 5.0);
        for i in 0..1000 {
            let moved = (at(f64::from(i + 1) / 1000.0) - at(f64::from(i) / 1000.0)).norm();
            assert!(moved < 1.0, "{i}: {moved}");
        }
        for fraction in [-1.0, 2.0, f64::NAN, f64::INFINITY] {
            assert!(player.at(fraction).clearance.is_finite());
        }
        assert!(PathPlayer::new(&link.fold, &[], &link.fold, &[], path.pivot).is_none());
    }
}
