//! How far a link of a single chain rises and turns, continued from a link of nearly the same shape.
//!
//! Model: as [`super::chain`]. A limit, pulled, pushed or turned, is a place where clearance is used up; from one
//! shape to a near one it moves little.
//! Method: from the limit of the other shape the furthest move that keeps clearance at every place where wires are
//! nearly nearest, each taken as linear; so again with the places nearest there, until nothing moves. A turn
//! frees all three shifts: a linear programme in these for every turn, and the root of what it leaves.
//! Limits: a search, no proof: what stands on the way to a limit is not seen, and where another kind of limit
//! comes first nothing or the wrong one is found. To be asked between two answers of [`super::chain`], not instead.
//! Source: Fletcher, *Practical Methods of Optimization*, 2nd ed., ch. 14 (from memory).
//! Evidence: the tests below, against [`super::chain`].

use super::chain::{About, Body};
use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::{Contact, Hint, Query, Tree, contacts};
use crate::math::{Linear, TrustRegion, maximise_min};
use nalgebra::{Translation3, UnitQuaternion};

/// Moves before it is given up; 3 to 6 are usual.
const MOVES: usize = 60;
/// Places this much further apart than the nearest count, in wires.
const BAND: f64 = 0.03;
/// The longest move, in wires.
const REACH: f64 = 0.1;
/// A limit is found when it moves by less than this, in wires, and no wires overlap by more.
const FOUND: f64 = 1e-6;
/// A turn is found when it promises less than this, at the link's height, in wires.
const TURNED: f64 = 1e-5;
/// How much heavier an overlap weighs than a turn of as much at the link's height: more than a turn gains by it.
/// The heavier, the slower where wires run along one another, as in a twist.
const HEAVY: f64 = 100.0;
const HEAVY_IN_TWIST: f64 = 30.0;
/// Places known are dropped when they are further apart than so many reaches.
const STALE: f64 = 4.0;
/// Places nearer to one another than this are one, in wires.
const APART: f64 = 0.1;
/// A link hinges about here, in wires over its fold.
const HINGE: f64 = 1.5;

/// A link whose limits are continued from another's.
#[derive(Debug)]
pub struct ContinuedLink {
    tree: Tree,
    wire: f64,
    /// Height over all, mm.
    height: f64,
    /// About where it hinges.
    hinge: Point,
}

impl ContinuedLink {
    /// The link of `body`.
    pub fn of(body: &Body) -> ContinuedLink {
        let hinge = Point::new(0.0, 0.0, body.low.z + HINGE * body.wire);
        ContinuedLink {
            tree: Tree::new(body.curve()),
            wire: body.wire,
            height: body.size().z,
            hinge,
        }
    }

    /// Height over all, mm.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// The places nearly nearest, nearer than a cutoff, of a link and the one posed so.
    fn places(
        &self,
        pose: &Pose,
        (hint, cutoff): (Option<Hint>, f64),
        found: &mut Vec<Contact>,
    ) -> Option<Hint> {
        let band = BAND * self.wire;
        let query = Query { tolerance: 0.1 * band, hint, cutoff, ..Query::default() };
        let nearest = contacts(&self.tree, &self.tree, pose, band, query, found);
        let mut first = true;
        found.retain(|place| std::mem::take(&mut first) || place.settled);
        nearest.map(|nearest| nearest.hint)
    }

    /// The limit of rising, upwards (`way` 1) or downwards (−1), near the rise `from`, mm; all links as
    /// many further on as `neighbours` are looked at. None where it was not found.
    pub fn rise(&self, from: f64, way: f64, neighbours: usize) -> Option<f64> {
        let mut found = Vec::new();
        let mut hints = vec![None; neighbours];
        let mut at = from;
        for _ in 0..MOVES {
            let mut most = REACH * self.wire;
            let mut least = f64::INFINITY;
            for (k, hint) in (1..).zip(&mut hints) {
                let pose = Pose::translation(0.0, 0.0, k as f64 * at);
                // What is further apart leaves the longest move.
                let cutoff = self.wire * (1.0 + k as f64 * REACH);
                *hint = self.places(&pose, (*hint, cutoff), &mut found).or(*hint);
                for place in &found {
                    let clearance = place.distance - self.wire;
                    let closing = -way * k as f64 * (place.point_b.z - place.point_a.z);
                    least = least.min(clearance);
                    if closing > 0.0 {
                        most = most.min(clearance * place.distance / closing);
                    }
                }
            }
            most = most.max(-REACH * self.wire);
            if most.abs() < FOUND * self.wire {
                return (least > -10.0 * FOUND * self.wire).then_some(at);
            }
            at += way * most;
        }
        None
    }

    /// The limit of turning right-handed about an axis, near the step `from`, every link alike against the one
    /// before; all links as many further on as `neighbours` are looked at. None where it was not found.
    pub fn turn(&self, from: &Pose, about: About, neighbours: usize) -> Option<Pose> {
        let (axis, heavy) = match about {
            About::X => (Vector::x(), HEAVY),
            About::Y => (Vector::y(), HEAVY),
            About::Z => (Vector::z(), HEAVY_IN_TWIST),
        };
        let mut trust =
            TrustRegion { radius: REACH * self.wire, greatest: 2.0 * REACH * self.wire };
        let mut hints = vec![None; neighbours];
        let mut pairs = Vec::new();
        let mut here = (*from, self.touch(from, &mut hints, &mut pairs));
        for _ in 0..MOVES {
            let (step, clearance) = here;
            // Further by `u`, mm at the link's height, and the heavier, wires that overlap.
            let mut functions = vec![Linear { value: 0.0, slope: [0.0, 0.0, 0.0, 1.0] }];
            functions.extend(pairs.iter().map(|pair| {
                let (value, shift, turn) = self.tilt(&step, pair);
                let turn = turn.dot(&axis) / self.height;
                let slope = [shift.x, shift.y, shift.z, turn].map(|slope| heavy * slope);
                let slope = [slope[0], slope[1], slope[2], slope[3] + 1.0];
                Linear { value: heavy * value, slope }
            }));
            let ([x, y, z, u], promised) = maximise_min(&functions, &[trust.radius; 4]);
            let merit = heavy * clearance.min(0.0);
            let promise = promised - merit;
            if !(promise > TURNED * self.wire) {
                return (clearance > -TURNED * self.wire).then_some(step);
            }
            let middle = (step * self.hinge).coords;
            let turned = UnitQuaternion::from_scaled_axis(u / self.height * axis) * step.rotation;
            let place = middle + Vector::new(x, y, z) - turned * self.hinge.coords;
            let next = Pose::from_parts(Translation3::from(place), turned);
            let useful = STALE * trust.radius;
            pairs.retain(|pair| self.tilt(&step, pair).0 < useful);
            let there = self.touch(&next, &mut hints, &mut pairs);
            let kept = (u + heavy * there.min(0.0) - merit) / promise;
            if trust.judge(kept) {
                here = (next, there);
            }
        }
        None
    }

    /// The clearance at a step; adds the places where wires come nearest.
    fn touch(&self, step: &Pose, hints: &mut [Option<Hint>], pairs: &mut Vec<Pair>) -> f64 {
        let (mut pose, mut least) = (Pose::identity(), f64::INFINITY);
        let mut found = Vec::new();
        for (k, hint) in hints.iter_mut().enumerate() {
            pose *= step;
            let nearest = self.places(&pose, (*hint, least + BAND * self.wire), &mut found);
            *hint = nearest.or(*hint);
            least = found.first().map_or(least, |place| place.distance.min(least));
            let back = pose.inverse();
            let first = pairs.len();
            for place in &found {
                let pair = Pair { offset: k + 1, a: place.point_a, b: back * place.point_b };
                let apart = |other: &Pair| {
                    (other.a - pair.a).norm().max((other.b - pair.b).norm()) > APART * self.wire
                };
                if pairs[first..].iter().all(apart) {
                    pairs.push(pair);
                }
            }
        }
        least - self.wire
    }

    /// The clearance of two places, and how it changes as the step shifts and turns about the hinge.
    fn tilt(&self, step: &Pose, pair: &Pair) -> (f64, Vector, Vector) {
        let middle = step * self.hinge;
        let mut point = (0..pair.offset).fold(pair.b, |point, _| step * point);
        let between = point - pair.a;
        let distance = between.norm();
        let mut normal = between / distance.max(f64::MIN_POSITIVE);
        let (mut shift, mut turn) = (Vector::zeros(), Vector::zeros());
        let back = step.inverse();
        for _ in 0..pair.offset {
            shift += normal;
            turn += (point - middle).cross(&normal);
            point = back * point;
            normal = back.rotation * normal;
        }
        (distance - self.wire, shift, turn)
    }
}

/// Two places, each fixed to its own link.
struct Pair {
    /// How many links further on the other is.
    offset: usize,
    a: Point,
    b: Point,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::link::{Forming, ToolDimensions};
    use crate::math::Rng;
    use crate::motion::chain::{FINE, Seated, Weave};

    fn body(of: [f64; 4]) -> Option<Body> {
        let [mandrel, bore, fold_jaw, waist_gap] = of;
        let setting = ToolDimensions {
            oval_jaw: bore,
            bore,
            fold_jaw,
            waist_gap,
            ..ToolDimensions::usual(1.0, mandrel)
        };
        Some(Body::of(&Forming::new(setting).ok()?.fold))
    }

    /// Continued from links a few hundredths larger or smaller, against each measured by itself: a measured
    /// turn is never over the limit, and under it by at most [`FINE`].
    #[test]
    fn limits_are_those_of_the_chain_measured_anew() {
        let mut rng = Rng::new(5);
        let mut any = |low: f64, high: f64| low + (high - low) * rng.next_f64();
        let (mut asked, mut found) = (0, 0);
        while asked < 120 {
            let of = [any(9.5, 15.0), any(2.3, 3.4), any(2.3, 3.4), any(0.0, 0.3)];
            let near = of.map(|mm| mm * (1.0 + any(-0.02, 0.02)));
            let (Some(one), Some(other)) = (body(of), body(near)) else { continue };
            let lying = |link: &Body| Seated::of(link, Weave::SINGLE);
            let (Ok(from), Ok(to)) = (lying(&one), lying(&other)) else { continue };
            let link = ContinuedLink::of(&other);
            for (way, from, to) in [
                (1.0, from.rest().pulled, to.rest().pulled),
                (-1.0, from.rest().pushed, to.rest().pushed),
            ] {
                asked += 1;
                let Some(rise) = link.rise(from, way, 2) else { continue };
                found += 1;
                assert!((rise - to).abs() < 1e-5, "{of:?} {near:?}: {rise}, measured {to}");
            }
            for about in [About::X, About::Y, About::Z] {
                let (from, to) = (from.turns(&one, about).plus, to.turns(&other, about).plus);
                if from.stop.is_none() || to.stop.is_none() {
                    continue;
                }
                asked += 1;
                let Some(step) = link.turn(&from.step, about, 1) else { continue };
                found += 1;
                let over = step.rotation.angle() - to.angle;
                assert!(
                    (-0.1 * FINE..1.2 * FINE).contains(&over),
                    "{about:?} {of:?} {near:?} {over}"
                );
            }
        }
        println!("{found} of {asked}");
        assert!(found * 10 > asked * 9, "{found} of {asked}");
    }
}
