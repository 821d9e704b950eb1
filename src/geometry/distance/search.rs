//! Branch and bound over two trees.

use super::arc_segment::{ArcSegment, CurvePoint};
use super::capsule::Capsule;
use super::pair::{HessianBounds, axis_least, bend_at, taylor_least};
use super::rigid_matrix::RigidMatrix;
use super::tree::Tree;
use crate::geometry::curve::{Point, Pose, Vector};

/// Tolerance of an exact answer, as a share of the two curves' reach: 1e-10 mm for links
/// of a few millimetres.
pub const EXACT: f64 = 1e-11;

/// Rounding in one distance as a share of the largest coordinate: some hundred roundings,
/// to cover a transform, a frame and a projection.
pub(super) const ROUNDING: f64 = 3e-14;

/// Where two curves come nearest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// The curves are nowhere nearer than this, mm. Never overstated.
    pub distance_at_least: f64,
    /// The distance of `point_a` and `point_b`, mm.
    pub distance_at_most: f64,
    /// On the first curve, mm.
    pub point_a: Point,
    /// On the second curve, mm.
    pub point_b: Point,
    /// Index of the piece `point_a` lies on.
    pub piece_a: usize,
    /// Index of the piece `point_b` lies on.
    pub piece_b: usize,
    /// Arc length from the start of that piece to `point_a`, mm.
    pub along_a: f64,
    /// Arc length from the start of that piece to `point_b`, mm.
    pub along_b: f64,
    /// Makes the next query of these two trees quicker, if little has moved.
    pub hint: Hint,
}

/// Where to look first: the pair of stretches that answered last time.
///
/// Any hint is safe with any trees; a poor one only costs time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hint {
    pub(super) leaf_a: u32,
    pub(super) leaf_b: u32,
}

/// How close an answer is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Query {
    /// Distances from here on are of no interest, mm.
    pub cutoff: f64,
    /// How far at most `distance_at_least` may lie below the distance found, or below
    /// `cutoff`, mm; raised to [`EXACT`] times the reach of both.
    pub tolerance: f64,
    /// Once places nearer than this are found, mm, no nearer ones are looked for: whoever wants
    /// more distance knows enough.
    pub stop: f64,
    /// Where to look first.
    pub hint: Option<Hint>,
}

impl Default for Query {
    /// The exact distance, however large.
    fn default() -> Query {
        Query { cutoff: f64::INFINITY, tolerance: 0.0, stop: f64::NEG_INFINITY, hint: None }
    }
}

/// Least distance of two curves in their poses; points in the common frame.
///
/// `distance_at_most − distance_at_least` is at most [`EXACT`] times the reach of both.
///
/// # Examples
/// ```
/// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
/// use linkfold::geometry::distance::{Tree, nearest};
/// let circle = |along| {
///     Piece::Arc(Arc {
///         centre: Point::origin(),
///         out: Vector::x_axis(),
///         along,
///         radius: 1.0,
///         turn: std::f64::consts::TAU,
///     })
/// };
/// let flat = Tree::new(&ClosedCurve::new(vec![circle(Vector::y_axis())])?);
/// let upright = Tree::new(&ClosedCurve::new(vec![circle(Vector::z_axis())])?);
/// // Two interlocked rings, the second moved by 1.5 radii: they come as near as 0.5.
/// let moved = Pose::translation(1.5, 0.0, 0.0);
/// let found = nearest(&flat, &Pose::identity(), &upright, &moved);
/// assert!((found.distance_at_least - 0.5).abs() < 1e-9);
/// # Ok::<(), linkfold::geometry::curve::CurveError>(())
/// ```
pub fn nearest(a: &Tree, pose_a: &Pose, b: &Tree, pose_b: &Pose) -> Nearest {
    let mut search = DistanceQuery::new(a, b, &pose_a.inv_mul(pose_b), Query::default());
    search.run();
    let found = search.answer();
    Nearest { point_a: pose_a * found.point_a, point_b: pose_a * found.point_b, ..found }
}

/// Least distance of two curves, the second posed in the frame of the first; points in
/// that frame. `None` where nothing is nearer than `cutoff`, to within the tolerance: the
/// distance is then at least `cutoff − tolerance`.
///
/// # Examples
/// ```
/// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
/// use linkfold::geometry::distance::{Query, Tree, nearest_within};
/// let circle = |along| {
///     Piece::Arc(Arc {
///         centre: Point::origin(),
///         out: Vector::x_axis(),
///         along,
///         radius: 1.0,
///         turn: std::f64::consts::TAU,
///     })
/// };
/// let flat = Tree::new(&ClosedCurve::new(vec![circle(Vector::y_axis())])?);
/// let upright = Tree::new(&ClosedCurve::new(vec![circle(Vector::z_axis())])?);
/// let far = Pose::translation(9.0, 0.0, 0.0);
/// let query = Query { cutoff: 1.0, ..Query::default() };
/// assert!(nearest_within(&flat, &upright, &far, query).is_none());
/// # Ok::<(), linkfold::geometry::curve::CurveError>(())
/// ```
pub fn nearest_within(a: &Tree, b: &Tree, pose_b_in_a: &Pose, query: Query) -> Option<Nearest> {
    let mut search = DistanceQuery::new(a, b, pose_b_in_a, query);
    search.run();
    (search.best < query.cutoff).then(|| search.answer())
}

/// Halvings of one pair of leaves, both sides together. The cubic bound needs about 15
/// on each side; past this a stretch is shorter than rounding can tell.
const HALVINGS: u32 = 64;
/// Newton steps before halving instead. Convex pairs need 2 to 4.
const NEWTON_STEPS: usize = 12;

/// One query under way.
pub(super) struct DistanceQuery<'t> {
    a: &'t Tree,
    b: &'t Tree,
    motion: RigidMatrix,
    query: Query,
    tolerance: f64,
    rounding: f64,
    /// Distance of the best places so far, and its square.
    best: f64,
    best_squared: f64,
    /// What is at least this far is not looked at.
    enough: f64,
    /// Least of the bounds of all that was not looked at.
    floor: f64,
    pub leaves: (u32, u32),
    places: Option<(CurvePoint, CurvePoint)>,
    along: (f64, f64),
    found: (u32, u32),
}

impl<'t> DistanceQuery<'t> {
    pub fn new(a: &'t Tree, b: &'t Tree, pose_b_in_a: &Pose, query: Query) -> DistanceQuery<'t> {
        let reach = a.reach() + b.reach();
        let rounding = ROUNDING * (reach + pose_b_in_a.translation.vector.norm());
        // Never finer than rounding can show, or no pair would ever be settled.
        let tolerance = query.tolerance.max(EXACT * reach).max(4.0 * rounding);
        DistanceQuery {
            a,
            b,
            motion: RigidMatrix::new(pose_b_in_a),
            query,
            tolerance,
            rounding,
            best: f64::INFINITY,
            best_squared: f64::INFINITY,
            enough: query.cutoff - tolerance,
            floor: f64::INFINITY,
            leaves: (0, 0),
            places: None,
            along: (0.0, 0.0),
            found: (0, 0),
        }
    }

    fn run(&mut self) {
        let (root_a, root_b) = (self.a.nodes[0].capsule, self.b.nodes[0].capsule);
        let root_b = root_b.moved(&self.motion);
        if let Some(hint) = self.query.hint {
            let (i, j) = (hint.leaf_a as usize, hint.leaf_b as usize);
            if i < self.a.leaves.len() && j < self.b.leaves.len() {
                self.leaf_pair(hint.leaf_a, hint.leaf_b);
            } else {
                self.query.hint = None;
            }
        }
        let gap = root_a.gap(&root_b);
        if self.must_visit(gap) {
            self.descend(0, 0, &root_b);
        }
    }

    /// Whether a pair with this bound still matters; its bound is noted if not.
    #[inline]
    pub fn must_visit(&mut self, bound: f64) -> bool {
        let bound = bound - self.rounding;
        // NaN is not looked at: nothing would come of it.
        if bound < self.enough {
            return true;
        }
        self.floor = self.floor.min(bound);
        false
    }

    /// Notes a bound on what is given up without having been settled.
    pub fn note_lower_bound(&mut self, bound: f64) {
        self.floor = self.floor.min(bound - self.rounding);
    }

    fn descend(&mut self, i: u32, j: u32, capsule_b: &Capsule) {
        let (node_a, node_b) = (&self.a.nodes[i as usize], &self.b.nodes[j as usize]);
        if node_a.leaf && node_b.leaf {
            let hinted = Hint { leaf_a: node_a.next, leaf_b: node_b.next };
            if self.query.hint != Some(hinted) {
                self.leaf_pair(node_a.next, node_b.next);
            }
            return;
        }
        // Both are split at once: four gaps side by side take hardly longer than one, as each
        // is a long chain of steps that wait for one another.
        let own = [capsule_b, capsule_b];
        let moved;
        let (count_b, parts_b) = if node_b.leaf {
            (1, own)
        } else {
            let k = node_b.next as usize;
            moved = [k, k + 1].map(|k| self.b.nodes[k].capsule.moved(&self.motion));
            (2, [&moved[0], &moved[1]])
        };
        let first_b = if node_b.leaf { j } else { node_b.next };
        let (count_a, first_a) = if node_a.leaf { (1, i) } else { (2, node_a.next) };
        let last_a = first_a + count_a - 1;
        let parts_a = [first_a, last_a].map(|k| &self.a.nodes[k as usize].capsule);
        let mut order = [(f64::INFINITY, 0u32, 0u32); 4];
        let gaps = Capsule::gaps(parts_a, parts_b);
        let mut count = 0;
        for k in 0..count_a {
            for l in 0..count_b {
                let gap = gaps[(2 * k + l) as usize];
                if self.must_visit(gap) {
                    // Kept in order: there are at most four.
                    let mut place = count;
                    while place > 0 && order[place - 1].0 > gap {
                        order[place] = order[place - 1];
                        place -= 1;
                    }
                    order[place] = (gap, k, l);
                    count += 1;
                }
            }
        }
        for (place, &(gap, k, l)) in order[..count].iter().enumerate() {
            if place == 0 || self.must_visit(gap) {
                self.descend(first_a + k, first_b + l, parts_b[l as usize]);
            }
        }
    }

    fn leaf_pair(&mut self, leaf_a: u32, leaf_b: u32) {
        let a = &self.a.leaves[leaf_a as usize].stretch;
        let b = self.b.leaves[leaf_b as usize].stretch.moved(&self.motion);
        self.leaves = (leaf_a, leaf_b);
        self.pair(a, &b, HALVINGS);
    }

    #[inline]
    pub fn offer(
        &mut self,
        a: &ArcSegment,
        at_a: &CurvePoint,
        b: &ArcSegment,
        at_b: &CurvePoint,
        squared: f64,
    ) {
        if squared < self.best_squared {
            self.best_squared = squared;
            self.best = squared.sqrt();
            self.enough = if self.best < self.query.stop {
                f64::NEG_INFINITY
            } else {
                self.best.min(self.query.cutoff) - self.tolerance
            };
            self.places = Some((*at_a, *at_b));
            self.along = (a.along(at_a), b.along(at_b));
            self.found = self.leaves;
        }
    }

    /// Settles one pair of stretches: afterwards nothing in it matters.
    pub fn pair(&mut self, a: &ArcSegment, b: &ArcSegment, halvings: u32) {
        let bends = HessianBounds::of(a, b);
        let mut at_b = b.nearest(&(b.mid + bends.step_b * b.tangent));
        let mut at_a = a.nearest(&at_b.point);
        let convexity = bends.convexity();
        for _ in 0..NEWTON_STEPS {
            let between = at_a.point - at_b.point;
            let squared = between.norm_squared();
            self.offer(a, &at_a, b, &at_b, squared);
            let Some(least_bend) = convexity else { break };
            // The nearest place on A is exact, so only the slope along B is left over.
            let slope = -between.dot(&at_b.tangent);
            let clearance = if slope > 0.0 { at_b.length_before } else { at_b.length_after };
            let drop = (slope * slope / least_bend).min(2.0 * slope.abs() * clearance);
            if !self.must_visit((squared - drop).max(0.0).sqrt()) {
                return;
            }
            at_b = if at_a.at_end() {
                b.nearest(&at_a.point)
            } else {
                let bend = bend_at(a, &at_a, b, &at_b, &between).max(least_bend);
                b.nearest(&(at_b.point - (slope / bend) * at_b.tangent))
            };
            at_a = a.nearest(&at_b.point);
        }
        if let Some(last) = bends.one_way_a(a, b) {
            let end = a.end(last);
            let at_b = b.nearest(&end.point);
            self.settle(a, &end, b, &at_b);
            return;
        }
        if let Some(last) = bends.one_way_b(a, b) {
            let end = b.end(last);
            let at_a = a.nearest(&end.point);
            self.settle(a, &at_a, b, &end);
            return;
        }
        let taylor = taylor_least(&at_a, &at_b, bends.least_bend()).max(0.0).sqrt();
        let axis = axis_least(a, b).max(axis_least(b, a));
        if self.must_visit(taylor.max(axis)) {
            self.halve(a, b, halvings);
        }
    }

    fn settle(&mut self, a: &ArcSegment, at_a: &CurvePoint, b: &ArcSegment, at_b: &CurvePoint) {
        let squared = (at_a.point - at_b.point).norm_squared();
        self.offer(a, at_a, b, at_b, squared);
        self.note_lower_bound(squared.sqrt());
    }

    fn halve(&mut self, a: &ArcSegment, b: &ArcSegment, halvings: u32) {
        let (capsule_a, capsule_b) = (a.capsule(), b.capsule());
        if halvings == 0 {
            self.note_lower_bound(capsule_a.gap(&capsule_b));
            return;
        }
        let mut parts: [(f64, ArcSegment); 2];
        if a.half >= b.half {
            parts = a.halves().map(|part| (part.capsule().gap(&capsule_b), part));
        } else {
            parts = b.halves().map(|part| (capsule_a.gap(&part.capsule()), part));
        }
        if parts[1].0 < parts[0].0 {
            parts.swap(0, 1);
        }
        for (gap, part) in &parts {
            if self.must_visit(*gap) {
                if a.half >= b.half {
                    self.pair(part, b, halvings - 1);
                } else {
                    self.pair(a, part, halvings - 1);
                }
            }
        }
    }

    /// The best places found; the middles of the first stretches if there were none, which
    /// only overflowing coordinates bring about.
    pub fn answer(&self) -> Nearest {
        let (at_a, at_b) = self.places.map_or_else(
            || {
                let b = self.b.leaves[0].stretch.moved(&self.motion);
                (self.a.leaves[0].stretch.mid, b.mid)
            },
            |(at_a, at_b)| (at_a.point, at_b.point),
        );
        let point = |v: Vector| Point::from(v);
        let (leaf_a, leaf_b) = self.found;
        Nearest {
            distance_at_least: self.floor.min(self.best).max(0.0),
            distance_at_most: self.best,
            point_a: point(at_a),
            point_b: point(at_b),
            piece_a: self.a.leaves[leaf_a as usize].piece as usize,
            piece_b: self.b.leaves[leaf_b as usize].piece as usize,
            along_a: self.along.0,
            along_b: self.along.1,
            hint: Hint { leaf_a, leaf_b },
        }
    }
}
