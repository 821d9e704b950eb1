//! The path through: waypoints tracked outwards from the joined pose.
//!
//! The joined, closed pose is found first. From there the work is undone: the fold opens,
//! the link turns by a quarter turn at its waist, and is drawn out along its own line of
//! symmetry. Each waypoint starts from the one before it, carried on along the guide, and is moved
//! square to the path, in all six motions, to where clearance is greatest. The waypoints are then
//! reversed.

use super::aperture::{Aperture, LinkBody};
use super::pose_search::{PoseOptimum, PoseSearch, Twist, twist_between};
use super::waypoint::{PathSegment, Phase, Waypoint};
use crate::geometry::curve::{Point, Pose};
use crate::geometry::distance::{Contact, Hint, Query, Tree, nearest, nearest_within};
use crate::geometry::link::Fold;
use nalgebra::Translation3;
use std::f64::consts::FRAC_PI_2;

/// Who goes through whom, with what is needed to ask again and again.
pub struct InsertionProblem {
    /// The receiving link, closed.
    pub receiving: LinkBody,
    /// The incoming link, closed.
    pub incoming: LinkBody,
    /// The receiving link's aperture.
    pub gate: Aperture,
    /// Distance of the centrelines when the wires touch, mm.
    pub contact_distance: f64,
}

/// A link that lies in the row already.
#[derive(Clone, Copy, Debug)]
pub struct PlacedLink<'a> {
    /// Its shape, closed.
    pub fold: &'a Fold,
    /// Where it lies, in the frame of the nearest one that is gone through.
    pub pose: Pose,
    /// Whether the next link goes through it as well.
    pub is_gone_through: bool,
}

/// How a leading lobe is threaded that is pressed narrow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Press {
    /// Its bore until it is through, mm.
    pub bore: f64,
    /// Whether it goes in with its width along the aperture's length, to be turned back by a
    /// quarter turn at the waist, like a lobe that is not pressed; or lies as it will in the chain.
    pub turned: bool,
}

/// How far waypoints are looked for.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    /// No search goes past this clearance, mm.
    pub enough: f64,
    /// A waypoint with less clearance than this is the last, mm.
    pub wanted: f64,
    /// Halvings of the motions between them at which clearance is looked at, too.
    pub halvings: u32,
}

/// A joined pose turned by less than this, radians, counts as upright.
const ASLANT: f64 = 0.3;
/// Steps in which the fold is opened and the link turned back.
const OPENINGS: usize = 8;
const TURNS: usize = 6;
/// Steps in which the legs are set upright and the leading lobe is pressed.
const UPRIGHTS: usize = 2;
const PRESSINGS: usize = 6;
/// Half angle of a fold whose legs stand along the chain, radians: from here on closing is
/// pinching the tips.
const STANDING: f64 = 1.4;
/// How far the line of symmetry is drawn out from one waypoint to the next, in units of
/// `contact_distance`; and waypoints at the most.
const DRAWN: f64 = 0.8;
const MOST_DRAWS: f64 = 24.0;
/// How closely clearance between waypoints is looked at, in units of `contact_distance`.
const LOOK: f64 = 1e-3;

impl InsertionProblem {
    /// The pair, `receiving` and `incoming` closed as they will lie in the chain.
    pub fn new(receiving: &Fold, incoming: &Fold) -> InsertionProblem {
        let contact_distance = 0.5 * (receiving.eight.wire + incoming.eight.wire);
        let body = LinkBody::new(*receiving);
        InsertionProblem {
            incoming: if incoming == receiving { body.clone() } else { LinkBody::new(*incoming) },
            receiving: body,
            gate: Aperture::of(receiving, contact_distance),
            contact_distance,
        }
    }

    /// `incoming` worked into a row: through `receiving` and those of `others` that are gone through
    /// as well, past the rest of them.
    ///
    /// Where wires are unequal the thickest is kept clear of everywhere.
    pub fn in_row(receiving: &Fold, incoming: &Fold, others: &[PlacedLink]) -> InsertionProblem {
        let thickest =
            others.iter().map(|other| other.fold.eight.wire).fold(receiving.eight.wire, f64::max);
        let contact_distance = 0.5 * (thickest + incoming.eight.wire);
        let mut gate = Aperture::of(receiving, contact_distance);
        for other in others.iter().filter(|other| other.is_gone_through) {
            let own = Aperture::of(other.fold, contact_distance);
            gate = gate.with_lower(&own, -other.pose.translation.vector.z);
        }
        let beside: Vec<(&Fold, Pose)> = others.iter().map(|o| (o.fold, o.pose)).collect();
        InsertionProblem {
            receiving: LinkBody::among(*receiving, &beside),
            incoming: LinkBody::new(*incoming),
            gate,
            contact_distance,
        }
    }

    /// Where the incoming link's line of symmetry goes through: about here the work turns.
    pub fn pivot(&self) -> Point {
        Point::new(0.0, 0.0, self.gate.high)
    }

    /// mm of motion that a radian counts for: about what the turn moves where wires meet, and
    /// for long links enough for their ends not to hold up every step.
    pub fn lever(&self) -> f64 {
        (3.0 * self.contact_distance).max(0.3 * self.incoming.fold.eight.tip())
    }

    /// The search for more clearance here, unless said otherwise.
    pub fn search(&self, enough: f64, most_steps: usize) -> PoseSearch<'_> {
        PoseSearch {
            receiving: &self.receiving.tree,
            pivot: self.pivot(),
            lever: self.lever(),
            allowed: Twist::repeat(1.0),
            along: None,
            enough: enough + self.contact_distance,
            stride: 0.1 * self.contact_distance,
            finest: 2e-4 * self.contact_distance,
            most_steps,
            is_known: None,
        }
    }

    /// `between`, a waypoint on `motion`, moved square to it to more clearance, up to `enough` mm.
    pub fn moved_aside(
        &self,
        between: Waypoint,
        motion: &PathSegment,
        tree: &Tree,
        enough: f64,
        hint: Option<Hint>,
        near: &mut Vec<Contact>,
    ) -> Waypoint {
        let along = motion.direction(self.lever());
        let search = PoseSearch { along, ..self.search(enough, 40) };
        let reached = search.run(tree, between.pose, hint, near);
        let clearance = reached.distance - self.contact_distance;
        Waypoint { pose: reached.pose, clearance, ..between }
    }

    /// Waypoints from outside to joined and closed, the incoming fold held at the half angle
    /// `open` until it is seated. `seat` is the joined pose, closed.
    ///
    /// No search goes past `enough` mm of clearance; the first waypoint with less than `wanted` mm
    /// is the last that is looked for. Where it is tightest between two, at one of so many `halvings` of the
    /// motion, one is put there.
    pub fn waypoints(
        &self,
        open: f64,
        pressed: Option<Press>,
        seat: PoseOptimum,
        Reach { enough, wanted, halvings }: Reach,
        near: &mut Vec<Contact>,
    ) -> Vec<Waypoint> {
        let mut track = WaypointBuilder {
            scene: self,
            enough,
            wanted,
            least: f64::INFINITY,
            hint: seat.hint,
            near,
            waypoints: Vec::new(),
        };
        track.push(seat, &self.incoming.fold, Phase::Close);
        let mut shape = None;
        for (fold, phase) in self.unfolding(open, pressed) {
            if track.is_over() {
                return track.waypoints;
            }
            let opened = LinkBody::new(fold);
            track.step(&opened, Pose::identity(), None, phase);
            shape = Some(opened);
        }
        let Some(shape) = shape else { return Vec::new() };
        let guide = |u: f64, roll: f64| {
            let fraction = (roll / FRAC_PI_2).abs();
            let height = fraction * self.gate.middle(self.contact_distance)
                + (1.0 - fraction) * self.gate.high;
            Aperture::guide(&shape.fold, u, roll, height)
        };
        // A link that hangs aslant is turned already by so much.
        let here = track.waypoints.last().map_or(seat.pose, |last| last.pose);
        let about = (here.rotation * guide(0.0, 0.0).rotation.inverse()).scaled_axis().x;
        let slant = if about.abs() > ASLANT { about.clamp(-FRAC_PI_2, FRAC_PI_2) } else { 0.0 };
        let mut last = guide(0.0, slant);
        let mut go = |track: &mut WaypointBuilder, u: f64, roll: f64, phase: Phase| {
            if track.is_over() {
                return;
            }
            let next = guide(u, roll);
            let carried = next * last.inverse();
            let here = track.waypoints.last().map_or(next, |s| s.pose);
            let along = twist_between(&here, &(carried * here), &self.pivot(), self.lever());
            track.step(&shape, carried, along.try_normalize(1e-9), phase);
            track.look_between(&shape, halvings);
            last = next;
        };
        let turned = pressed.is_none_or(|press| press.turned);
        let turns = if turned { TURNS } else { 0 };
        let quarter = FRAC_PI_2.copysign(slant);
        for i in 1..=turns {
            let roll = slant + (quarter - slant) * i as f64 / TURNS as f64;
            go(&mut track, 0.0, roll, if i == TURNS { Phase::Pass } else { Phase::TurnBack });
        }
        let tip = shape.fold.leading().tip();
        let outside = tip + 2.0 * self.contact_distance;
        let draws =
            (outside / (DRAWN * self.contact_distance)).ceil().clamp(6.0, MOST_DRAWS) as usize;
        for i in 1..=draws {
            let u = outside * i as f64 / draws as f64;
            let entering = u > tip - shape.fold.leading().end_radius;
            let roll = if turned { quarter } else { slant };
            go(&mut track, u, roll, if entering { Phase::Enter } else { Phase::Pass });
        }
        let mut waypoints = track.waypoints;
        waypoints.extend(waypoints.last().map(|last| self.far_away(last, &shape)));
        waypoints.reverse();
        waypoints
    }

    /// Shapes from the closed fold to the one that is threaded, the lobe pressed to `pressed` mm
    /// on the way, each with what is done on the way to it when the work goes forwards.
    ///
    /// The lobe is opened where the legs stand upright: folded further, it would meet the other.
    fn unfolding(&self, open: f64, pressed: Option<Press>) -> Vec<(Fold, Phase)> {
        let closed = self.incoming.fold.half_angle;
        let between = |from: f64, to: f64, count: usize| {
            // The last is `to` exactly: a bore that is off by a rounding would count as one opened.
            let value = move |i: usize| {
                if i == count { to } else { from + (to - from) * i as f64 / count as f64 }
            };
            (1..=count).map(move |i| (value(i - 1), value(i)))
        };
        let folding = |before: f64, angle: f64| {
            if 0.5 * (angle + before) > STANDING { Phase::Close } else { Phase::SwingUp }
        };
        let mut shapes = Vec::new();
        let Some(Press { bore, turned }) = pressed else {
            for (before, angle) in between(closed, open, OPENINGS) {
                shapes.push((self.incoming.fold.opened_to(angle), folding(before, angle)));
            }
            // The last is arrived at by turning.
            shapes.iter_mut().last().into_iter().for_each(|(_, phase)| *phase = Phase::TurnBack);
            return shapes;
        };
        let upright = closed.min(FRAC_PI_2);
        for (_, angle) in between(closed, upright, UPRIGHTS) {
            shapes.push((self.incoming.fold.opened_to(angle), Phase::Close));
        }
        let stood = self.incoming.fold.opened_to(upright);
        shapes.iter_mut().last().into_iter().for_each(|(_, phase)| *phase = Phase::Open);
        for (_, narrow) in between(stood.eight.bore(), bore, PRESSINGS) {
            shapes.push((stood.pressed_to(narrow), Phase::Open));
        }
        shapes.iter_mut().last().into_iter().for_each(|(_, phase)| *phase = Phase::SwingUp);
        for (_, angle) in between(upright, open, OPENINGS) {
            shapes.push((stood.opened_to(angle).pressed_to(bore), Phase::SwingUp));
        }
        let arrived = if turned { Phase::TurnBack } else { Phase::Pass };
        shapes.iter_mut().last().into_iter().for_each(|(_, phase)| *phase = arrived);
        shapes
    }

    /// `last`, drawn out along x until the links are two wires apart whatever their turn.
    fn far_away(&self, last: &Waypoint, shape: &LinkBody) -> Waypoint {
        let middle = Point::new(0.0, 0.0, 0.5 * self.receiving.fold.tip_height());
        let own = self.receiving.tree.reach() + middle.z;
        let centre = last.pose.translation.vector;
        let clearance = 2.0 * self.contact_distance;
        let clear = own + shape.tree.reach() + self.contact_distance + clearance;
        // Away from where the incoming body's origin lies now, along x.
        let away = Translation3::new(clear.copysign(centre.x) - centre.x, 0.0, 0.0);
        Waypoint { pose: away * last.pose, phase: Phase::Enter, clearance, ..*last }
    }
}

/// Waypoints so far, from the joined pose outwards.
struct WaypointBuilder<'a, 'n> {
    scene: &'a InsertionProblem,
    enough: f64,
    wanted: f64,
    /// The least clearance so far.
    least: f64,
    /// Where the wires lay nearest at the last waypoint.
    hint: Option<Hint>,
    near: &'n mut Vec<Contact>,
    waypoints: Vec<Waypoint>,
}

impl WaypointBuilder<'_, '_> {
    fn push(&mut self, reached: PoseOptimum, shape: &Fold, phase: Phase) {
        let clearance = reached.distance - self.scene.contact_distance;
        self.least = self.least.min(clearance);
        let (half_angle, leading_bore) = (shape.half_angle, shape.leading().bore());
        self.waypoints.push(Waypoint {
            pose: reached.pose,
            half_angle,
            leading_bore,
            phase,
            clearance,
        });
    }

    /// Whether some waypoint has less than is wanted.
    fn is_over(&self) -> bool {
        self.least < self.wanted
    }

    /// The next waypoint: the last one `carried` on, then moved square to `along` to more clearance.
    fn step(&mut self, shape: &LinkBody, carried: Pose, along: Option<Twist>, phase: Phase) {
        let Some(last) = self.waypoints.last() else { return };
        let search = PoseSearch { along, ..self.scene.search(self.enough, 40) };
        let reached = search.run(&shape.tree, carried * last.pose, self.hint, self.near);
        self.hint = reached.hint;
        self.push(reached, &shape.fold, phase);
    }

    /// Looks at the motion between the last two waypoints, the fold held.
    fn look_between(&mut self, shape: &LinkBody, halvings: u32) {
        if let [.., before, last] = self.waypoints[..] {
            self.waypoints.pop();
            self.look_half_way(shape, &before, &last, halvings);
            self.waypoints.push(last);
        }
    }

    /// Where the straight motion has less clearance half-way than there is anywhere so far, a waypoint is put
    /// there and moved square to it to more clearance; likewise in both halves.
    fn look_half_way(&mut self, shape: &LinkBody, from: &Waypoint, to: &Waypoint, halvings: u32) {
        if halvings == 0 {
            return;
        }
        let (scene, contact) = (self.scene, self.scene.contact_distance);
        let motion = PathSegment::new(from, to, &scene.pivot());
        let mut middle = motion.waypoint(0.5);
        let (cutoff, tolerance) = (self.least + contact, LOOK * contact);
        let query = Query { cutoff, tolerance, hint: self.hint, ..Query::default() };
        let nearer = nearest_within(&scene.receiving.tree, &shape.tree, &middle.pose, query);
        if let Some(found) = nearer {
            let hint = Some(found.hint);
            middle = scene.moved_aside(middle, &motion, &shape.tree, self.least, hint, self.near);
            self.least = self.least.min(middle.clearance);
        }
        self.look_half_way(shape, from, &middle, halvings - 1);
        if nearer.is_some() {
            self.waypoints.push(middle);
        }
        self.look_half_way(shape, &middle, to, halvings - 1);
    }
}

/// Where the wires come nearest with the incoming link at `waypoint`: midway between them,
/// receiving link's frame.
pub(super) fn tight_place(scene: &InsertionProblem, waypoint: &Waypoint) -> Point {
    let shape = LinkBody::new(waypoint.shape(&scene.incoming.fold));
    let found = nearest(&scene.receiving.tree, &Pose::identity(), &shape.tree, &waypoint.pose);
    nalgebra::center(&found.point_a, &found.point_b)
}
