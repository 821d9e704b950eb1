//! The proof: between stations, clearance is bounded by that at the middle less the motion
//! to either side; halve until the bound is good enough. Where the straight way between
//! two stations comes too near, a station is put there and climbed.
//!
//! Errs safely: `at_least` may understate, never overstate.

use super::ascent::{Climb, nudge_between};
use super::join::tight_place;
use super::motion::{Motion, Station};
use super::passage::Scene;
use crate::clearance::{Contact, Hint, Query, Tree, nearest_within};
use crate::curve::{Point, Pose, Vector};
use crate::form::Span;

/// What is proven of a way.
#[derive(Clone, Debug)]
pub struct Proof {
    /// The stations, those put in while proving included.
    pub stations: Vec<Station>,
    /// No pose on the way has less clearance than this, mm, metal to metal.
    pub at_least: f64,
    /// Some pose on it has no more than this, mm.
    pub at_most: f64,
    /// Index of the station after the tightest place found.
    pub tightest: usize,
    /// Where the wires come nearest there: midway, receiving link's frame.
    pub place: Point,
    /// Distances asked for.
    pub queries: usize,
}

/// Stations put between two at the most, as a depth of halving.
const MOST_MENDING: u32 = 5;
/// Halvings of one motion: below, the motion is shorter than a millionth of a link.
const MOST_HALVINGS: u32 = 24;
/// Where a leg is cut, as shares of its length.
const LEG: [f64; 4] = [0.0, 0.15, 0.4, 1.0];
/// Distances asked for before giving up with what is proven so far.
const MOST_QUERIES: usize = 60_000;

/// Proves the way through `stations`, to within `tolerance` mm of the tightest pose met.
///
/// Gives up, with `at_least` below zero, once a pose with a clearance below zero cannot be
/// mended.
pub fn prove(
    scene: &Scene,
    stations: Vec<Station>,
    tolerance: f64,
    near: &mut Vec<Contact>,
) -> Proof {
    let tightest = stations.iter().map(|s| s.clearance).fold(f64::INFINITY, f64::min);
    let mut work = Work {
        scene,
        tolerance,
        near,
        proof: Proof {
            stations: Vec::with_capacity(2 * stations.len()),
            at_least: f64::INFINITY,
            at_most: f64::INFINITY,
            tightest: 0,
            place: Point::origin(),
            queries: 0,
        },
        goal: tightest - tolerance,
        exact: 0.05 * tolerance,
        rigid: None,
    };
    for pair in stations.windows(2) {
        work.proof.stations.push(pair[0]);
        work.leg(pair[0], pair[1], 0);
    }
    work.proof.stations.extend(stations.last().copied());
    let mut proof = work.proof;
    proof.at_least = if proof.queries > MOST_QUERIES { f64::NEG_INFINITY } else { work.goal };
    // A station may be tighter than all that had to be looked at between them.
    let least =
        proof.stations.iter().enumerate().min_by(|a, b| a.1.clearance.total_cmp(&b.1.clearance));
    if let Some((index, station)) = least
        && station.clearance + work.exact < proof.at_most
    {
        proof.at_most = station.clearance + work.exact;
        proof.tightest = index;
        proof.place = tight_place(scene, station);
    }
    proof
}

struct Work<'a, 'n> {
    scene: &'a Scene,
    tolerance: f64,
    near: &'n mut Vec<Contact>,
    proof: Proof,
    /// What everything proven so far has at least, mm.
    goal: f64,
    /// How exact a distance must be, mm.
    exact: f64,
    /// The rigid loop last asked about, and its half angle.
    rigid: Option<(f64, Tree)>,
}

/// A rigid part of the incoming link.
struct Part<'a> {
    tree: &'a Tree,
    /// A box in the body's frame that holds it all along.
    bounds: (Vector, Vector),
    /// Its pose in the body at a share of the motion.
    own: &'a dyn Fn(f64) -> Pose,
    /// How far it moves in the body while the share grows by one, mm.
    speed: f64,
    /// Allowance for its shape differing from the motion's own, mm.
    slack: f64,
    /// Give up rather than lower the goal: there is a finer way.
    still: bool,
}

impl Work<'_, '_> {
    /// Proves the motion from one station to the next, with new stations where needed.
    fn leg(&mut self, from: Station, to: Station, depth: u32) {
        if self.hopeless() {
            return;
        }
        if depth < MOST_MENDING
            && let Some(between) = self.mended(&from, &to)
        {
            self.leg(from, between, depth + 1);
            self.proof.stations.push(between);
            self.leg(between, to, depth + 1);
            return;
        }
        let scene = self.scene;
        let motion = Motion::new(&from, &to, &scene.pivot());
        if motion.is_rigid() {
            let kept = self.rigid.take().filter(|(angle, _)| *angle == from.half_angle);
            let (angle, tree) = kept.unwrap_or_else(|| {
                let shape = scene.incoming.opened_to(from.half_angle);
                (from.half_angle, Tree::new(&shape.curve()))
            });
            let identity = |_: f64| Pose::identity();
            let part = Part {
                tree: &tree,
                bounds: tree.bounds(),
                own: &identity,
                speed: 0.0,
                slack: 0.0,
                still: false,
            };
            self.part(&motion, (0.0, 1.0), &part);
            self.rigid = Some((angle, tree));
        } else {
            let span = Span { from: 0.0, to: f64::INFINITY };
            self.bending(&motion, (0.0, 1.0), span, 0);
        }
    }

    fn hopeless(&self) -> bool {
        self.proof.queries > MOST_QUERIES || self.goal <= 0.0
    }

    /// A station midway, climbed, if the straight way comes too near there.
    fn mended(&mut self, from: &Station, to: &Station) -> Option<Station> {
        let scene = self.scene;
        let motion = Motion::new(from, to, &scene.pivot());
        let mut between = motion.station(0.5);
        let own;
        let tree = match &self.rigid {
            Some((angle, tree)) if motion.is_rigid() && *angle == from.half_angle => tree,
            _ => {
                own = Tree::new(&scene.incoming.opened_to(between.half_angle).curve());
                &own
            }
        };
        self.proof.queries += 1;
        let wanted = self.goal + self.tolerance;
        let query =
            Query { cutoff: wanted + scene.apart, tolerance: 0.1 * self.tolerance, hint: None };
        let found = nearest_within(&scene.receiving.tree, tree, &between.pose, query)?;
        if found.distance_at_least - scene.apart >= wanted {
            return None;
        }
        let along = nudge_between(&from.pose, &to.pose, &scene.pivot(), 3.0 * scene.apart);
        let along = along.try_normalize(1e-9);
        let climb = Climb { along, ..scene.climb(wanted, 40) };
        let reached = climb.run(tree, between.pose, self.near);
        between.pose = reached.pose;
        between.clearance = reached.distance - scene.apart;
        let gained = reached.distance > found.distance_at_least + 0.1 * self.tolerance;
        gained.then_some(between)
    }

    /// Proves one rigid part over `share` of a motion. `own` is the part's pose in the
    /// body at a share; `extra` bounds its motion in the body per unit of share, and `slack`
    /// is the allowance for its shape, mm. `exact` where a pose found is truly on the way.
    ///
    /// False if the allowance alone is too much.
    fn part(&mut self, motion: &Motion, share: (f64, f64), part: &Part) -> bool {
        let scene = self.scene;
        let speed = motion.reach(part.bounds) + part.speed;
        let mut open = vec![(share.0, share.1, 0_u32)];
        let mut hint: Option<Hint> = None;
        while let Some((low, high, depth)) = open.pop() {
            if self.hopeless() {
                return true;
            }
            self.proof.queries += 1;
            let middle = 0.5 * (low + high);
            let slack = part.slack + 0.5 * (high - low) * speed;
            let query = Query {
                cutoff: self.goal + slack + scene.apart + self.exact,
                tolerance: self.exact,
                hint,
            };
            let pose = motion.pose(middle) * (part.own)(middle);
            let found = nearest_within(&scene.receiving.tree, part.tree, &pose, query);
            let Some(found) = found else { continue };
            hint = Some(found.hint);
            let clearance = found.distance_at_least - scene.apart;
            if clearance - slack >= self.goal {
                continue;
            }
            if clearance - part.slack < self.goal {
                if part.still {
                    return false;
                }
                self.met(found.distance_at_most - scene.apart, &found);
                // Nothing mends it: everything else is held to this instead.
                self.goal = clearance - part.slack - self.tolerance;
            }
            if depth >= MOST_HALVINGS {
                self.goal = self.goal.min(clearance - slack);
                continue;
            }
            open.push((middle, high, depth + 1));
            open.push((low, middle, depth + 1));
        }
        true
    }

    /// Proves a motion in which the fold closes, over `share` of it, for the wire over
    /// `span`: what is wrapped all along lies still in the body, what never is turns as a
    /// leg, and what lies between is taken in halves until it hardly moves.
    fn bending(&mut self, motion: &Motion, share: (f64, f64), span: Span, depth: u32) {
        if self.hopeless() {
            return;
        }
        let fold = &self.scene.incoming;
        let radius = fold.radius;
        let at = |t: f64| fold.opened_to(motion.half_angle(t));
        let (first, last) = (at(share.0).half_angle, at(share.1).half_angle);
        let (open, closed) = (first.min(last), first.max(last));
        let within = |from: f64, to: f64| Span { from: from.max(span.from), to: to.min(span.to) };
        let wrapped = within(0.0, radius * open);
        let between = within(radius * open, radius * closed);
        let leg = within(radius * closed, f64::INFINITY);
        let written = 2.0 * fold.deviation();
        let shape = fold.opened_to(closed);
        let identity = |_: f64| Pose::identity();
        let filled = |span: Span| span.to > span.from;
        if filled(wrapped) {
            let pieces = shape.wrapped_part(wrapped);
            if !pieces.is_empty() {
                let tree = Tree::of_pieces(&pieces);
                let part = Part {
                    tree: &tree,
                    bounds: tree.bounds(),
                    own: &identity,
                    speed: 0.0,
                    slack: written,
                    still: false,
                };
                self.part(motion, share, &part);
            }
        }
        // A point u from the waist moves by (u − R ψ) dψ: the further out, the more, but the
        // further off, too.
        let turn = (motion.half_angle(1.0) - motion.half_angle(0.0)).abs();
        let length = leg.to.min(fold.eight.tip()) - leg.from;
        for bounds in LEG.windows(2) {
            let span =
                Span { from: leg.from + bounds[0] * length, to: leg.from + bounds[1] * length };
            let pieces = if filled(span) { shape.flat_part(span) } else { Vec::new() };
            if pieces.is_empty() {
                continue;
            }
            let tree = Tree::of_pieces(&pieces);
            // Folding brings nothing further from the waist than it lies in the flat.
            let corner = Vector::new(span.to, fold.eight.end_radius, span.to).add_scalar(written);
            for side in [0, 1] {
                let part = Part {
                    tree: &tree,
                    bounds: (-corner, corner),
                    own: &|t| at(t).leg_poses()[side],
                    speed: turn * (span.to - radius * open),
                    slack: 0.5 * written,
                    still: false,
                };
                self.part(motion, share, &part);
            }
        }
        if filled(between) {
            let pieces = shape.wrapped_part(between);
            if pieces.is_empty() {
                return;
            }
            let tree = Tree::of_pieces(&pieces);
            // From where it lies wrapped: ∫ (u − R ψ) dψ.
            let moved = 0.5 * radius * (closed - open).powi(2);
            let still = moved > 0.1 * self.tolerance && depth < MOST_HALVINGS;
            let slack = written + moved;
            let part = Part {
                tree: &tree,
                bounds: tree.bounds(),
                own: &identity,
                speed: 0.0,
                slack,
                still,
            };
            if !self.part(motion, share, &part) {
                let middle = 0.5 * (share.0 + share.1);
                self.bending(motion, (share.0, middle), between, depth + 1);
                self.bending(motion, (middle, share.1), between, depth + 1);
            }
        }
    }

    fn met(&mut self, clearance: f64, found: &crate::clearance::Nearest) {
        if clearance < self.proof.at_most {
            self.proof.at_most = clearance;
            self.proof.tightest = self.proof.stations.len();
            self.proof.place = nalgebra::center(&found.point_a, &found.point_b);
        }
    }
}
