//! Checking one motion against a goal: no pose on it has less clearance.
//!
//! A rigid part is shown clear over a stretch of the motion by planes between it and what lies still
//! ([`stays_clear`]). Stretches for which this is not enough are halved. A closing fold is taken in parts that
//! are each nearly rigid: a written part stands for the true wire all along, from which it is off by no
//! more than [`Fold::deviation`], for which `verify` pays once.

use super::problem::InsertionProblem;
use super::waypoint::PathSegment;
use crate::geometry::curve::{Piece, Point, Pose, Vector};
use crate::geometry::distance::{Hint, Query, Tree, nearest_within, stays_clear};
use crate::geometry::link::{Fold, FoldSpan};

/// Halvings of one motion: below, the motion is shorter than a millionth of a link.
const MOST_HALVINGS: u32 = 24;
/// Distances asked for before giving up.
const MOST_QUERIES: usize = 60_000;
/// Where a leg is cut, as shares of its length: the further out, the further it moves, but
/// the further off it is, too.
const LEG: [f64; 4] = [0.0, 0.15, 0.4, 1.0];

/// Half angle of the fold, radians, and bore of the leading lobe, mm.
type Posture = (f64, f64);

/// What is asked of every motion of a path.
pub struct SweptClearance<'a> {
    scene: &'a InsertionProblem,
    /// No pose may have less clearance, mm.
    pub goal: f64,
    /// How closely the goal is to be met, mm.
    pub tolerance: f64,
    /// How exact a distance must be, mm.
    pub exact: f64,
    least_wanted: f64,
    comfort: f64,
    queries: usize,
    /// The rigid loop last asked about, and its half angle.
    rigid: Option<(Posture, Tree)>,
}

/// A pose that is too near, or nearer than can be told from it.
pub struct Violation {
    /// Where on the motion.
    pub fraction: f64,
    /// What is sure to be there, mm.
    pub at_least: f64,
    /// The clearance there is at most this, mm.
    pub at_most: f64,
    /// Where the wires come nearest, receiving link's frame.
    pub place: Point,
}

/// A rigid part of the incoming link.
struct MovingPart<'a> {
    tree: &'a Tree,
    /// A box in the body's frame that holds it all along.
    bounds: (Vector, Vector),
    /// Its pose in the body at a share of the motion.
    own: &'a dyn Fn(f64) -> Pose,
    /// How far it moves in the body while the share grows by one, mm.
    speed: f64,
    /// Allowance for the true wire's shape differing over the stretch from the one that is written, mm.
    slack: f64,
}

impl<'a> SweptClearance<'a> {
    /// Nothing asked yet. A path that cannot meet even `least_wanted`, mm, is not worth asking about.
    pub fn new(
        scene: &'a InsertionProblem,
        goal: f64,
        tolerance: f64,
        least_wanted: f64,
    ) -> SweptClearance<'a> {
        SweptClearance {
            scene,
            goal,
            tolerance,
            least_wanted,
            exact: 0.05 * tolerance,
            comfort: 0.0,
            queries: 0,
            rigid: None,
        }
    }

    /// Whether going on is of no use.
    pub fn given_up(&self) -> bool {
        self.exhausted() || self.goal < self.least_wanted
    }

    fn exhausted(&self) -> bool {
        self.queries > MOST_QUERIES
    }

    /// Holds everything from here on to what there is at `fault`. What was checked before
    /// was held to more.
    pub fn lower(&mut self, fault: &Violation) {
        self.goal = self.goal.min(fault.at_least) - self.tolerance;
    }

    /// Checks a motion. Poses that meet the goal by less than `comfort` mm are faults, too:
    /// proving them takes the more halvings the nearer they are.
    pub fn motion(&mut self, motion: &PathSegment, comfort: f64) -> Result<(), Violation> {
        self.comfort = comfort;
        if motion.opens_lobe() {
            return self.opening(motion);
        }
        if !motion.is_rigid() {
            return self.bending(motion, (0.0, 1.0), FoldSpan { from: 0.0, to: f64::INFINITY }, 0);
        }
        let posture = (motion.half_angle(0.0), motion.leading_bore(0.0));
        let kept = self.rigid.take().filter(|(kept, _)| *kept == posture);
        let tree = match kept {
            Some((_, tree)) => tree,
            None => Tree::new(&motion.shape(&self.scene.incoming.fold, 0.0).curve()),
        };
        let own = |_: f64| Pose::identity();
        let part =
            MovingPart { tree: &tree, bounds: tree.bounds(), own: &own, speed: 0.0, slack: 0.0 };
        let checked = self.part(motion, (0.0, 1.0), &part);
        self.rigid = Some((posture, tree));
        checked
    }

    /// Checks one rigid part over `fraction` of a motion.
    fn part(
        &mut self,
        motion: &PathSegment,
        fraction: (f64, f64),
        part: &MovingPart,
    ) -> Result<(), Violation> {
        let scene = self.scene;
        let mut open = vec![(fraction.0, fraction.1, 0_u32)];
        let mut hint: Option<Hint> = None;
        while let Some((low, high, depth)) = open.pop() {
            self.queries += 1;
            let middle = 0.5 * (low + high);
            let pose = motion.pose(middle) * (part.own)(middle);
            let half = 0.5 * (high - low);
            // How far it moves of its own, not as the body does.
            let own = part.slack + half * part.speed;
            let least = self.goal + scene.contact_distance;
            let moving = motion.even(middle, half, pose);
            if stays_clear(&scene.receiving.tree, part.tree, &moving, least + own) {
                continue;
            }
            let is_last = depth >= MOST_HALVINGS || self.exhausted();
            let near = least + part.slack + self.comfort;
            let cutoff = if is_last { f64::INFINITY } else { near + self.exact };
            let query = Query { cutoff, tolerance: self.exact, hint, ..Query::default() };
            if let Some(found) = nearest_within(&scene.receiving.tree, part.tree, &pose, query) {
                hint = Some(found.hint);
                let clearance = found.distance_at_least - scene.contact_distance;
                let too_near = found.distance_at_least < near;
                if too_near || is_last {
                    // Where nothing can be told any more, less all that it moves to either end.
                    let moved = || own + half * motion.reach(part.bounds);
                    return Err(Violation {
                        fraction: middle,
                        at_least: clearance - if too_near { part.slack } else { moved() },
                        at_most: found.distance_at_most - scene.contact_distance,
                        place: nalgebra::center(&found.point_a, &found.point_b),
                    });
                }
            }
            open.push((middle, high, depth + 1));
            open.push((low, middle, depth + 1));
        }
        Ok(())
    }

    /// Checks a motion in which the leading lobe is opened. Where the fold stays as it is, the other
    /// lobe lies still in the body, and so does the leading one near the waist; only the rest of it
    /// has to be taken in halves.
    fn opening(&mut self, motion: &PathSegment) -> Result<(), Violation> {
        let fold = &self.scene.incoming.fold;
        if motion.half_angle(0.0) != motion.half_angle(1.0) {
            let all = |shape: &Fold| shape.curve().pieces().to_vec();
            return self.opening_part(motion, (0.0, 1.0), &all, 0);
        }
        let ends = [0.0, 1.0].map(|end| motion.shape(fold, end));
        let still = ends[0].leading().still_as_far_as(ends[1].leading());
        let shape = motion.shape(fold, 0.5);
        let own = |_: f64| Pose::identity();
        for pieces in [shape.trailing_half(), shape.leading_stretch(0.0, still)] {
            let Some(tree) = tree_of(pieces) else { continue };
            let bounds = tree.bounds();
            let part = MovingPart { tree: &tree, bounds, own: &own, speed: 0.0, slack: 0.0 };
            self.part(motion, (0.0, 1.0), &part)?;
        }
        let moving = |shape: &Fold| shape.leading_stretch(still, f64::INFINITY);
        self.opening_part(motion, (0.0, 1.0), &moving, 0)
    }

    /// Checks the part of the wire that `pieces` gives, over `fraction` of a motion in which the
    /// leading lobe is opened: the shape half-way, with an allowance for how far the wire moves to
    /// either end of it, in halves until that is little.
    fn opening_part(
        &mut self,
        motion: &PathSegment,
        fraction: (f64, f64),
        pieces: &dyn Fn(&Fold) -> Vec<Piece>,
        depth: u32,
    ) -> Result<(), Violation> {
        let fold = &self.scene.incoming.fold;
        let middle = 0.5 * (fraction.0 + fraction.1);
        let shape = motion.shape(fold, middle);
        let turn = (motion.half_angle(1.0) - motion.half_angle(0.0)).abs();
        let turned =
            0.5 * (fraction.1 - fraction.0) * turn * shape.leading().tip().max(fold.eight.tip());
        let moved = [fraction.0, fraction.1]
            .map(|end| motion.shape(fold, end).leading().moved_at_most(shape.leading()))
            .into_iter()
            .fold(0.0, f64::max);
        let Some(tree) = tree_of(pieces(&shape)) else { return Ok(()) };
        // Wrapping a flat shape brings none of its points further apart.
        let slack = moved + turned;
        let still = |_: f64| Pose::identity();
        let part =
            MovingPart { tree: &tree, bounds: tree.bounds(), own: &still, speed: 0.0, slack };
        match self.part(motion, fraction, &part) {
            Err(_) if moved + turned > 0.1 * self.tolerance && depth < MOST_HALVINGS => {
                self.opening_part(motion, (fraction.0, middle), pieces, depth + 1)?;
                self.opening_part(motion, (middle, fraction.1), pieces, depth + 1)
            }
            checked => checked,
        }
    }

    /// Checks a motion in which the fold closes, over `fraction` of it, for the wire over
    /// `span`: what is wrapped all along lies still in the body, what never is turns as a
    /// leg, and what lies between is taken in halves until it hardly moves.
    fn bending(
        &mut self,
        motion: &PathSegment,
        fraction: (f64, f64),
        span: FoldSpan,
        depth: u32,
    ) -> Result<(), Violation> {
        let fold = &self.scene.incoming.fold;
        let radius = fold.radius;
        let at = |t: f64| motion.shape(fold, t);
        let (first, last) = (at(fraction.0).half_angle, at(fraction.1).half_angle);
        let (open, closed) = (first.min(last), first.max(last));
        let within =
            |from: f64, to: f64| FoldSpan { from: from.max(span.from), to: to.min(span.to) };
        let between = within(radius * open, radius * closed);
        let shape = if first > last { at(fraction.0) } else { at(fraction.1) };
        let tip = shape.leading().tip().max(fold.eight.tip());
        let leg = within(radius * closed, tip);
        let still = |_: f64| Pose::identity();
        if let Some(tree) = tree_of(shape.wrapped_part(within(0.0, radius * open))) {
            let bounds = tree.bounds();
            let part = MovingPart { tree: &tree, bounds, own: &still, speed: 0.0, slack: 0.0 };
            self.part(motion, fraction, &part)?;
        }
        // A point u from the waist moves by (u − R ψ) dψ.
        let turn = (motion.half_angle(1.0) - motion.half_angle(0.0)).abs();
        for cut in LEG.windows(2) {
            let place = |fraction: f64| leg.from + fraction * (leg.to - leg.from);
            let span = FoldSpan { from: place(cut[0]), to: place(cut[1]) };
            // Folding brings nothing further from the waist than it lies in the flat.
            let corner = Vector::new(span.to, fold.eight.end_radius, span.to);
            for side in [0, 1] {
                let Some(tree) = tree_of(shape.flat_part(side, span)) else { continue };
                let part = MovingPart {
                    tree: &tree,
                    bounds: (-corner, corner),
                    own: &|t| at(t).leg_poses()[side],
                    speed: turn * (span.to - radius * open),
                    slack: 0.0,
                };
                self.part(motion, fraction, &part)?;
            }
        }
        let Some(tree) = tree_of(shape.wrapped_part(between)) else { return Ok(()) };
        // From where it lies wrapped: ∫ (u − R ψ) dψ.
        let moved = 0.5 * radius * (closed - open).powi(2);
        let bounds = tree.bounds();
        let part = MovingPart { tree: &tree, bounds, own: &still, speed: 0.0, slack: moved };
        match self.part(motion, fraction, &part) {
            Err(_) if moved > 0.1 * self.tolerance && depth < MOST_HALVINGS => {
                let middle = 0.5 * (fraction.0 + fraction.1);
                self.bending(motion, (fraction.0, middle), between, depth + 1)?;
                self.bending(motion, (middle, fraction.1), between, depth + 1)
            }
            checked => checked,
        }
    }
}

fn tree_of(pieces: Vec<Piece>) -> Option<Tree> {
    (!pieces.is_empty()).then(|| Tree::of_pieces(&pieces))
}
