//! All places where two curves come nearly as near as they come anywhere: what a planner needs that
//! raises the least of many distances.

use super::arc_segment::{ArcSegment, CurvePoint};
use super::capsule::Capsule;
use super::pair::{HessianBounds, bend_at};
use super::rigid_matrix::RigidMatrix;
use super::search::{Nearest, Query, nearest_within};
use super::tree::{Tree, TreeNode};
use crate::geometry::curve::{Point, Pose, Vector};
use crate::math::sort::sort_by_number;

/// One place where two curves come near each other, in the first curve's frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// Distance of the two points, mm.
    pub distance: f64,
    /// On the first curve, mm.
    pub point_a: Point,
    /// On the second curve, mm.
    pub point_b: Point,
    /// Piece of the first curve.
    pub piece_a: usize,
    /// Piece of the second curve.
    pub piece_b: usize,
    /// Whether the chord is square to both curves. If not, the places are the nearest of
    /// their two stretches only, and the neighbouring stretch comes nearer still.
    pub settled: bool,
}

/// Cosine between chord and tangent below which they are square: the minimum is found to
/// about 1e-8 mm along the wire, a chord is at least a few tenths.
const SQUARE: f64 = 1e-6;
/// Contacts whose points agree to this share of the curves' reach are one: found from
/// both sides of a joint.
const SAME: f64 = 1e-7;
/// How many of the last found a new contact is compared with: all would take the square of
/// their number, and there can be hundreds.
const RECENT: usize = 16;
/// Halvings of one pair of leaves where convexity is not shown. After these, the nearest
/// places found are taken for the minimum: along equidistant stretches that makes a row
/// of contacts, at most 16 to a pair of leaves.
const HALVINGS: u32 = 4;
/// The same for a planner that takes small steps: two to a pair of leaves.
const HALVINGS_COARSE: u32 = 1;
/// A minimum is settled when it moves by less than this share of the coordinates: Newton's next step
/// would be less than its square.
const SETTLED: f64 = 1e-9;
/// Steps to settle one minimum; convex pairs need 2 to 4.
const STEPS: usize = 16;

/// Fills `found` with the minima of pairs of stretches nearer than the least distance
/// plus `band`, nearest first, and returns the least distance. Empties `found` first.
/// `None`, and nothing found, where nothing is nearer than the query's cutoff.
///
/// The least distance is as exact as `query` asks: a coarse one is far quicker where the
/// curves run all but equidistant. Complete for minima that are settled and isolated; a
/// row of samples where two curves run equidistant.
///
/// # Examples
/// ```
/// use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
/// use linkfold::geometry::distance::{Query, Tree, contacts};
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
/// let mut found = Vec::new();
/// let apart = Pose::translation(1.0, 0.0, 0.7);
/// let nearest = contacts(&flat, &upright, &apart, 0.01, Query::default(), &mut found).unwrap();
/// assert!(found.iter().all(|contact| contact.distance <= nearest.distance_at_most + 0.01));
/// # Ok::<(), linkfold::geometry::curve::CurveError>(())
/// ```
pub fn contacts(
    a: &Tree,
    b: &Tree,
    pose_b_in_a: &Pose,
    band: f64,
    query: Query,
    found: &mut Vec<Contact>,
) -> Option<Nearest> {
    found.clear();
    let nearest = nearest_within(a, b, pose_b_in_a, query)?;
    listed(a, b, pose_b_in_a, nearest.distance_at_most + band, HALVINGS, found);
    Some(nearest)
}

/// As [`contacts`], all nearer than `limit` mm, the least distance not being asked for; where curves run
/// equidistant, an eighth of the samples.
pub fn contacts_within(
    a: &Tree,
    b: &Tree,
    pose_b_in_a: &Pose,
    limit: f64,
    found: &mut Vec<Contact>,
) {
    listed(a, b, pose_b_in_a, limit, HALVINGS_COARSE, found);
}

fn listed(
    a: &Tree,
    b: &Tree,
    pose_b_in_a: &Pose,
    limit: f64,
    halvings: u32,
    found: &mut Vec<Contact>,
) {
    found.clear();
    let mut walk = Walk {
        a,
        b,
        motion: RigidMatrix::new(pose_b_in_a),
        limit,
        same: SAME * (a.reach() + b.reach()),
        halvings,
        leaves: (0, 0),
        found,
    };
    let root_b = b.nodes[0].capsule.moved(&walk.motion);
    if a.nodes[0].capsule.gap(&root_b) <= limit {
        walk.descend(0, 0, &root_b);
    }
    sort_by_number(found, |place| place.distance);
}

struct Walk<'t> {
    a: &'t Tree,
    b: &'t Tree,
    motion: RigidMatrix,
    limit: f64,
    same: f64,
    halvings: u32,
    leaves: (u32, u32),
    found: &'t mut Vec<Contact>,
}

impl Walk<'_> {
    /// A pair of nodes within the limit; four pairs of their parts are asked about at once, as in
    /// [`super::search`].
    fn descend(&mut self, i: u32, j: u32, capsule_b: &Capsule) {
        let (a, b) = (self.a, self.b);
        let (node_a, node_b) = (&a.nodes[i as usize], &b.nodes[j as usize]);
        if node_a.leaf && node_b.leaf {
            self.leaves = (node_a.next, node_b.next);
            let stretch_b = b.leaves[node_b.next as usize].stretch.moved(&self.motion);
            self.pair(&a.leaves[node_a.next as usize].stretch, &stretch_b, self.halvings);
            return;
        }
        let places_a = parts(node_a, i);
        let places_b = parts(node_b, j);
        let parts_a = places_a.map(|k| &a.nodes[k as usize].capsule);
        let moved = if node_b.leaf {
            [*capsule_b; 2]
        } else {
            places_b.map(|k| b.nodes[k as usize].capsule.moved(&self.motion))
        };
        let gaps = Capsule::gaps(parts_a, [&moved[0], &moved[1]]);
        for k in 0..if node_a.leaf { 1 } else { 2 } {
            for l in 0..if node_b.leaf { 1 } else { 2 } {
                if gaps[2 * k + l] <= self.limit {
                    self.descend(places_a[k], places_b[l], &moved[l]);
                }
            }
        }
    }

    fn pair(&mut self, a: &ArcSegment, b: &ArcSegment, halvings: u32) {
        let bends = HessianBounds::of(a, b);
        let start = b.nearest(&(b.mid + bends.step_b * b.tangent));
        if bends.convexity().is_some() {
            let (at_a, at_b) = settled(a, b, start);
            self.note(&at_a, &at_b);
        } else if let Some(last) = bends.one_way_a(a, b) {
            let end = a.end(last);
            self.note(&end, &b.nearest(&end.point));
        } else if let Some(last) = bends.one_way_b(a, b) {
            let end = b.end(last);
            self.note(&a.nearest(&end.point), &end);
        } else if halvings == 0 {
            let (at_a, at_b) = settled(a, b, start);
            self.note(&at_a, &at_b);
        } else {
            let halve_a = a.half >= b.half;
            for part in if halve_a { a.halves() } else { b.halves() } {
                let (part_a, part_b) = if halve_a { (&part, b) } else { (a, &part) };
                if part_a.capsule().gap(&part_b.capsule()) <= self.limit {
                    self.pair(part_a, part_b, halvings - 1);
                }
            }
        }
    }

    fn note(&mut self, at_a: &CurvePoint, at_b: &CurvePoint) {
        let between = at_a.point - at_b.point;
        let distance = between.norm();
        if !(distance <= self.limit) {
            return;
        }
        let square = |tangent: &Vector| between.dot(tangent).abs() <= SQUARE * distance + self.same;
        let contact = Contact {
            distance,
            point_a: Point::from(at_a.point),
            point_b: Point::from(at_b.point),
            piece_a: self.a.leaves[self.leaves.0 as usize].piece as usize,
            piece_b: self.b.leaves[self.leaves.1 as usize].piece as usize,
            settled: square(&at_a.tangent) && square(&at_b.tangent),
        };
        // Found twice where two stretches meet: one soon after the other, or a caller's to bear.
        let known = self.found.iter().rev().take(RECENT).any(|c| {
            // Of like points the distance is alike.
            (c.distance - distance).abs() <= 2.0 * self.same
                && (c.point_a - contact.point_a).norm() <= self.same
                && (c.point_b - contact.point_b).norm() <= self.same
        });
        if !known {
            self.found.push(contact);
        }
    }
}

/// The places of a node's two parts; twice its own where it is a leaf.
fn parts(node: &TreeNode, own: u32) -> [u32; 2] {
    if node.leaf { [own; 2] } else { [node.next, node.next + 1] }
}

/// Newton on the place on B, A following exactly, until nothing moves.
fn settled(a: &ArcSegment, b: &ArcSegment, start: CurvePoint) -> (CurvePoint, CurvePoint) {
    let mut at_b = start;
    let mut at_a = a.nearest(&at_b.point);
    for _ in 0..STEPS {
        let between = at_a.point - at_b.point;
        let bend = bend_at(a, &at_a, b, &at_b, &between);
        let slope = -between.dot(&at_b.tangent);
        // Plain alternation where A is at an end or Newton has no minimum to aim at.
        let next = if at_a.at_end() || !(bend > 1e-6) {
            b.nearest(&at_a.point)
        } else {
            b.nearest(&(at_b.point - (slope / bend) * at_b.tangent))
        };
        let moved = (next.point - at_b.point).norm();
        at_b = next;
        at_a = a.nearest(&at_b.point);
        if !(moved > SETTLED * (at_b.point.norm() + between.norm())) {
            break;
        }
    }
    (at_a, at_b)
}
