//! The proof: between waypoints, clearance is bounded by that at the middle less the motion
//! to either side; halve until the bound is good enough. Where the straight motion between
//! two waypoints comes too near, a waypoint is put there and moved to more clearance.
//!
//! Errs safely: `at_least` may understate, never overstate. It holds for the wire, not only for
//! its written form: the chain of bounds is the distance of written centrelines at a pose, less
//! how far the parts move to the ends of their stretch of the motion, less the departure of each
//! written fold from the true wrap ([`crate::geometry::link::WRAP_DEVIATION`]), less the contact
//! distance; the fold's metal stays round and its tools exact.

use super::problem::InsertionProblem;
use super::problem::tight_place;
use super::swept_clearance::{SweptClearance, Violation};
use super::waypoint::{PathSegment, Waypoint};
use crate::geometry::curve::Point;
use crate::geometry::distance::{Contact, Tree};

/// What is proven of a path.
#[derive(Clone, Debug)]
pub struct PathProof {
    /// The waypoints, those put in while proving included.
    pub waypoints: Vec<Waypoint>,
    /// No pose on the path has less clearance than this, mm, metal to metal; minus infinity
    /// where nothing is proven.
    pub at_least: f64,
    /// Some pose on it has no more than this, mm.
    pub at_most: f64,
    /// Index of the waypoint after the tightest place found.
    pub tightest: usize,
    /// Where the wires come nearest there: midway, receiving link's frame.
    pub place: Point,
}

/// Waypoints put between two at the most, as a depth of halving.
const MOST_MENDING: u32 = 5;

/// Poses are mended that meet the goal by less than this share of the tolerance.
const COMFORT: f64 = 0.4;
/// A waypoint put in stands at least this share of the motion from its ends.
const MIDDLE: f64 = 0.2;

/// Proves the path through `waypoints`, to within `tolerance` mm of the tightest pose met.
///
/// Gives up, with `at_least` minus infinity, once a pose cannot be mended that has less
/// clearance than `least_wanted` mm.
pub fn prove(
    scene: &InsertionProblem,
    waypoints: Vec<Waypoint>,
    tolerance: f64,
    least_wanted: f64,
    near: &mut Vec<Contact>,
) -> PathProof {
    let tightest = waypoints.iter().map(|s| s.clearance).fold(f64::INFINITY, f64::min);
    let mut work = PathVerifier {
        scene,
        near,
        check: SweptClearance::new(scene, tightest - tolerance, tolerance, least_wanted),
        waypoints: Vec::with_capacity(2 * waypoints.len()),
        at_most: f64::INFINITY,
        tightest: 0,
        place: Point::origin(),
    };
    for pair in waypoints.windows(2) {
        work.waypoints.push(pair[0]);
        work.leg(pair[0], pair[1], 0);
    }
    work.waypoints.extend(waypoints.last().copied());
    let PathVerifier { check, waypoints, mut at_most, mut tightest, mut place, .. } = work;
    // A waypoint may be tighter than all that had to be looked at between them.
    let least = waypoints.iter().enumerate().min_by(|a, b| a.1.clearance.total_cmp(&b.1.clearance));
    if let Some((index, waypoint)) = least
        && waypoint.clearance + check.exact < at_most
    {
        (at_most, tightest) = (waypoint.clearance + check.exact, index);
        place = tight_place(scene, waypoint);
    }
    // What was checked are the written centrelines; the wire's own run is off by no more than
    // this from both together.
    let written = scene.receiving.fold.deviation() + scene.incoming.fold.deviation();
    let at_least = if check.given_up() { f64::NEG_INFINITY } else { check.goal - written };
    let at_most = at_most + written;
    PathProof { waypoints, at_least, at_most, tightest, place }
}

struct PathVerifier<'a, 'n> {
    scene: &'a InsertionProblem,
    near: &'n mut Vec<Contact>,
    check: SweptClearance<'a>,
    waypoints: Vec<Waypoint>,
    at_most: f64,
    tightest: usize,
    place: Point,
}

impl PathVerifier<'_, '_> {
    /// Proves the motion from one waypoint to the next, with new waypoints where needed.
    fn leg(&mut self, from: Waypoint, to: Waypoint, depth: u32) {
        let motion = PathSegment::new(&from, &to, &self.scene.pivot());
        if depth < MOST_MENDING && !self.check.given_up() {
            let Err(fault) = self.check.motion(&motion, COMFORT * self.check.tolerance) else {
                return;
            };
            if let Some(between) = self.mended(&motion, &fault) {
                self.leg(from, between, depth + 1);
                self.waypoints.push(between);
                self.leg(between, to, depth + 1);
                return;
            }
        }
        while !self.check.given_up() {
            let Err(fault) = self.check.motion(&motion, 0.0) else { return };
            // Nothing mends it: everything is held to what there is here instead.
            if fault.at_most < self.at_most {
                self.at_most = fault.at_most;
                self.tightest = self.waypoints.len();
                self.place = fault.place;
            }
            self.check.lower(&fault);
        }
    }

    /// A waypoint near the fault, moved square to the path to more clearance; none if that gains nothing.
    fn mended(&mut self, motion: &PathSegment, fault: &Violation) -> Option<Waypoint> {
        let scene = self.scene;
        // Off the ends, or dividing would not come to an end.
        let between = motion.waypoint(fault.fraction.clamp(MIDDLE, 1.0 - MIDDLE));
        let tree = Tree::new(&between.shape(&scene.incoming.fold).curve());
        let enough = self.check.goal + self.check.tolerance;
        let between = scene.moved_aside(between, motion, &tree, enough, None, self.near);
        (between.clearance > fault.at_most + 0.1 * self.check.tolerance).then_some(between)
    }
}
