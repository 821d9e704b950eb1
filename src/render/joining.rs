//! One link joined to another, played along the way that was found and proven.
//!
//! The tightest place is marked when it comes near; an overlap wherever there is one.

use super::drawing::Finish;
use super::spot::ClosestPlaces;
use super::strand::{ASIDE, strand};
use super::{Callout, Scene, Strand, Viewpoint, tools};
use crate::answers::report::PlayedPath;
use crate::geometry::curve::{ClosedCurve, Pose, Vector, push_biarc};
use crate::geometry::link::{Fold, Forming};
use crate::motion::insertion::{Moment, PathPlayer, Phase};
use nalgebra::Unit;

/// Two links and the way of one through the other.
pub struct Joining<'a> {
    /// The link that receives.
    pub receiving: &'a Forming,
    /// The link that is worked through it.
    pub incoming: &'a Forming,
    /// Where others of the receiving kind lie already.
    pub before: &'a [Pose],
    /// The way; none while it is not known.
    pub path: Option<&'a PlayedPath>,
}

/// Share of the way either side of the tightest place in which that is marked.
const NEAR: f64 = 0.06;
/// An overlap of less than this share of a wire is rounding.
const TOUCH: f64 = 1e-4;
/// Samples taken along the way for the place where the wires first touch.
const SAMPLES: usize = 100;
/// Share of the way skipped: from far off to the lobe's mouth.
const APPROACH: f64 = 0.06;

impl Joining<'_> {
    /// The scene when `share` of the joining is done, from 0 to 1, and what is done then;
    /// without a way, both links side by side.
    pub fn scene(&self, share: f64) -> (Scene, Option<Phase>) {
        let Some((player, tightest)) = self.player() else {
            return (self.links(&self.incoming.fold, &self.beside(), Vec::new()), None);
        };
        let share = APPROACH + (1.0 - APPROACH) * share;
        let moment = player.at(share);
        let near = (share - tightest).abs() < NEAR;
        let spots = self.spot(&moment, near).into_iter().collect();
        (self.links(&moment.shape, &moment.pose, spots), Some(moment.phase))
    }

    fn player(&self) -> Option<(PathPlayer<'_>, f64)> {
        let path = self.path?;
        let fold = &self.receiving.fold;
        let (waypoints, pivot) = (&path.waypoints, path.pivot);
        let player = PathPlayer::new(fold, self.before, &self.incoming.fold, waypoints, pivot)?;
        Some((player, path.tightest_fraction))
    }

    /// Where on its part of the slider the wires first touch, if they come to overlap, and the
    /// deepest overlap of the way, mm.
    pub fn sticks(&self) -> Option<(f64, f64)> {
        let (player, tightest) = self.player()?;
        let touch = -TOUCH * self.receiving.setting.wire;
        let clearance = |share: f64| player.at(APPROACH + (1.0 - APPROACH) * share).clearance;
        let deepest = player.at(tightest).clearance;
        let look = |i: usize| i as f64 / SAMPLES as f64;
        let first = (0..=SAMPLES).find(|i| clearance(look(*i)) < touch)?;
        let (mut free, mut stuck) = (look(first.max(1) - 1), look(first));
        for _ in 0..12 {
            let middle = 0.5 * (free + stuck);
            if clearance(middle) < touch { stuck = middle } else { free = middle }
        }
        Some((free, -deepest.min(clearance(stuck))))
    }

    /// Where on its part of the slider the tightest place is shown.
    pub fn tightest(&self) -> Option<f64> {
        let share = self.path?.tightest_fraction;
        Some(((share - APPROACH) / (1.0 - APPROACH)).clamp(0.0, 1.0))
    }

    /// As [`Joining::scene`]; the clearance read at the tightest place is that proven, `least` mm,
    /// and near it no less, so that one clearance has one value everywhere.
    pub fn proven_scene(&self, share: f64, least: Option<f64>) -> (Scene, Option<Phase>) {
        let (mut scene, phase) = self.scene(share);
        if let Some(least) = least
            && let Some(spot) = scene.spots.first_mut().filter(|spot| !spot.wrong)
            && let Some(tightest) = self.tightest().and_then(|tightest| self.touch(tightest))
        {
            spot.reading = (spot.reading - (tightest.reading - least).max(0.0)).max(least);
        }
        (scene, phase)
    }

    /// The scene where it sticks, `tight` of the joining done, as [`Joining::sticks`] has it, and
    /// what is done there: how deep the wires would have to overlap to go on.
    pub fn stuck(&self, tight: f64, overlap: f64) -> (Scene, Option<Phase>) {
        let (mut scene, phase) = self.scene(tight);
        let touch = scene.spots.pop().or_else(|| self.touch(tight));
        scene.spots.extend(touch.map(|spot| spot.would_overlap(overlap)));
        (scene, phase)
    }

    /// Where the wires are nearest one another at `share` of its part of the slider.
    pub(super) fn touch(&self, share: f64) -> Option<ClosestPlaces> {
        let moment = self.player()?.0.at(APPROACH + (1.0 - APPROACH) * share);
        self.spot(&moment, true)
    }

    /// Where on its part of the slider the incoming loop's tip stands between the two lobes, where
    /// its waist has come between them, and where it has turned back.
    pub(super) fn milestones(&self) -> Option<[f64; 3]> {
        let ((player, _), path) = (self.player()?, self.path?);
        let slider = |share: f64| ((share - APPROACH) / (1.0 - APPROACH)).clamp(0.0, 1.0);
        let last = |phases: &[Phase]| {
            let found = path.waypoints.iter().rposition(|point| phases.contains(&point.phase));
            found.map_or(0.0, |index| player.share_of(index))
        };
        let through = last(&[Phase::Enter, Phase::Pass]);
        let turned = last(&[Phase::Enter, Phase::Pass, Phase::TurnBack]);
        let tip = |share: f64| {
            let moment = player.at(share);
            let leading = moment.shape.spine(moment.shape.leading().tip()).0;
            (moment.pose * leading).x
        };
        let (mut before, mut beyond) = (0.0, through);
        let from = tip(before).signum();
        for _ in 0..20 {
            let middle = 0.5 * (before + beyond);
            if from * tip(middle) > 0.0 { before = middle } else { beyond = middle }
        }
        // A hair before the next phase begins.
        Some([before, through, turned].map(|share| slider(share) - 1e-6))
    }

    /// From which side the incoming loop comes: the sign of x.
    pub(super) fn comes_from(&self) -> Option<f64> {
        let pose = self.path?.waypoints.first()?.pose;
        let leading = self.incoming.fold.spine(self.incoming.fold.leading().tip()).0;
        Some((pose * leading).x.signum())
    }

    /// The two openings that the incoming loop goes through, the one it comes to first before the other:
    /// a thread along the inside of each lobe, and its name.
    pub(super) fn openings(&self) -> Vec<(Strand, Callout)> {
        let Some(side) = self.comes_from() else { return Vec::new() };
        let (fold, wire) = (&self.receiving.fold, self.receiving.setting.wire);
        let opening = |(side, name): (f64, &'static str)| {
            let eight = &fold.eight;
            // Level with the fold's straight legs; in the lobe's plane.
            let at = |u: f64| fold.spine(side * u).0;
            let edge = (fold.radius * fold.half_angle).min(eight.tip());
            let low = (eight.tip() - eight.end_radius).max(edge);
            let (middle, tip) = (at(low), at(eight.tip()));
            let up = (tip - middle).try_normalize(1e-9)?;
            let radius = eight.end_radius - 0.56 * wire;
            let (foot, across) = (middle - 0.8 * eight.end_radius * up, 0.6 * radius);
            let line = [
                (middle + radius * Vector::y(), up),
                (middle + radius * up, -Vector::y()),
                (middle - radius * Vector::y(), -up),
                (foot - across * Vector::y(), (-up + 0.4 * Vector::y()).normalize()),
                (foot - 0.9 * across * up, Vector::y()),
                (foot + across * Vector::y(), (up + 0.4 * Vector::y()).normalize()),
            ]
            .map(|(point, along)| (point, Unit::new_normalize(along)));
            let mut pieces = Vec::new();
            for (i, from) in line.iter().enumerate() {
                push_biarc(*from, line[(i + 1) % line.len()], &mut pieces);
            }
            let curve = ClosedCurve::new(pieces).ok()?;
            let thread = Strand {
                curve,
                radius: 0.07 * wire,
                finish: Finish::Marked,
                seam: None,
                part: None,
            };
            Some((thread, Callout { name, reading: None, at: middle + radius * up }))
        };
        let both = [(side, "first opening"), (-side, "second opening")];
        both.into_iter().filter_map(opening).collect()
    }

    /// Shape and place of the incoming link when `share` of the joining is done.
    pub(super) fn coming(&self, share: f64) -> Option<(Fold, Pose)> {
        let moment = self.player()?.0.at(APPROACH + (1.0 - APPROACH) * share.clamp(0.0, 1.0));
        Some((moment.shape, moment.pose))
    }

    /// Adds what does the work of the moment at `share` of the way, and names the loop that comes in.
    pub(super) fn add_tools(&self, scene: &mut Scene, share: f64) {
        let Some((player, _)) = self.player() else { return };
        let Moment { pose, shape, phase, .. } = player.at(APPROACH + (1.0 - APPROACH) * share);
        match phase {
            Phase::SwingUp => tools::swinging_up(scene, &shape, &pose),
            Phase::Open => tools::opening(scene, &shape, &pose),
            Phase::Close if share < 1.0 => tools::closing(scene, &shape, &pose),
            _ => {}
        }
    }

    fn spot(&self, moment: &Moment, near: bool) -> Option<ClosestPlaces> {
        let wires = [self.receiving.setting.wire, self.incoming.setting.wire];
        let overlaps = moment.clearance < -TOUCH * wires[0];
        if !(near || overlaps) {
            return None;
        }
        let [a, b] = moment.nearest;
        let across = (b - a).try_normalize(1e-9).unwrap_or_else(Vector::x);
        Some(ClosestPlaces {
            name: if overlaps { "overlap" } else { "clearance" },
            from: a + 0.5 * wires[0] * across,
            to: b - 0.5 * wires[1] * across,
            across,
            radius: 0.5 * wires[0].min(wires[1]),
            reading: moment.clearance.abs(),
            wrong: overlaps,
        })
    }

    fn links(&self, incoming: &Fold, pose: &Pose, spots: Vec<ClosestPlaces>) -> Scene {
        let still = self.receiving.fold.curve();
        let mut strands: Vec<Strand> = std::iter::once(still.clone())
            .chain(self.before.iter().map(|pose| still.moved(pose)))
            .map(|curve| strand(curve, self.receiving, Finish::Own))
            .collect();
        strands.push(strand(incoming.curve().moved(pose), self.incoming, Finish::Other));
        Scene { strands, spots, home: HOME, ..Scene::default() }
    }

    /// Beside the receiving link, clear of it.
    fn beside(&self) -> Pose {
        let half = |fold: &Fold| {
            let edge = fold.spine(fold.radius * fold.half_angle).0;
            fold.spine(fold.eight.tip()).0.x.max(edge.x).max(fold.radius)
        };
        let [own, other] = [self.receiving, self.incoming].map(|f| half(&f.fold) + f.setting.wire);
        Pose::translation(own + other, 0.0, 0.0)
    }
}

/// Leg to leg is seen at a slant: the way in, the tips and the waist show.
const HOME: Viewpoint = ASIDE;

/// What is done in a phase, in a maker's words.
pub fn phase_words(phase: Phase) -> &'static str {
    match phase {
        Phase::Enter => "Line up the next loop and feed its tip in.",
        Phase::Pass => "Ease its widest part through both openings.",
        Phase::TurnBack => {
            "Stop at the waist and give it a quarter turn: its two waist wires then lie side by side."
        }
        Phase::SwingUp => "Bend both ends up around the loop below.",
        Phase::Open => "Open the leading lobe again, with a scribe or an awl.",
        Phase::Close => "Pinch its tips shut.",
    }
}

/// A phase in a word or two.
pub fn phase_name(phase: Phase) -> &'static str {
    match phase {
        Phase::Enter => "as the tip goes in",
        Phase::Pass => "as its widest part goes through",
        Phase::TurnBack => "at the quarter turn",
        Phase::SwingUp => "as the ends are bent up",
        Phase::Open => "as the leading lobe is opened",
        Phase::Close => "as the tips close",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answers::report::{JoinAnswer, prove};
    use crate::documents::design::Design;
    use crate::documents::units::LengthUnit;

    fn played(wire: f64, mandrel: f64) -> (Forming, crate::answers::report::ProvenJoin) {
        let design = Design::plain(wire, mandrel);
        let formings = design.formings().unwrap();
        let proven = prove(&design, &formings, 0, LengthUnit::Mm).unwrap();
        (formings[0], proven)
    }

    #[test]
    fn the_phases_come_in_order_and_the_tightest_place_is_marked_with_the_clearance_proven() {
        let (forming, proven) = played(0.9, 13.5);
        assert_eq!(proven.report.verdict, JoinAnswer::Passes, "{:?}", proven.report);
        let path = &proven.paths[0];
        let joining =
            Joining { receiving: &forming, incoming: &forming, before: &[], path: Some(path) };
        let mut phases: Vec<Phase> =
            (0..=100).filter_map(|i| joining.scene(f64::from(i) / 100.0).1).collect();
        phases.dedup();
        let order = [Phase::Enter, Phase::Pass, Phase::TurnBack, Phase::SwingUp, Phase::Close];
        assert_eq!(phases, order);
        let (scene, _) = joining.scene(joining.tightest().unwrap());
        let spot = &scene.spots[0];
        assert!(!spot.wrong, "{spot:?}");
        let least = proven.report.least_clearance_mm;
        assert!((spot.reading - least).abs() < 0.05, "{spot:?}, {least}");
        assert!(((spot.from - spot.to).norm() - spot.reading).abs() < 1e-6, "{spot:?}");
    }

    #[test]
    fn an_overlap_is_marked_where_it_is_and_links_without_a_way_stand_apart() {
        let (forming, proven) = played(1.2, 9.6);
        let path = &proven.paths[0];
        let joining =
            Joining { receiving: &forming, incoming: &forming, before: &[], path: Some(path) };
        let (scene, _) = joining.scene(joining.tightest().unwrap());
        assert!(scene.spots[0].wrong && scene.spots[0].reading > 0.1, "{:?}", scene.spots);
        let waiting = Joining { path: None, ..joining };
        let (scene, phase) = waiting.scene(0.5);
        assert!(phase.is_none() && scene.spots.is_empty());
        let trees = [0, 1].map(|i| crate::geometry::distance::Tree::new(&scene.strands[i].curve));
        let at = Pose::identity();
        let apart = crate::geometry::distance::nearest(&trees[0], &at, &trees[1], &at);
        assert!(apart.distance_at_least > 1.2 && scene.strands.len() == 2, "{apart:?}");
    }
}
