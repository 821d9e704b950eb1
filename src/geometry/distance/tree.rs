//! The hierarchy of bounding capsules over one curve.

use super::arc_segment::ArcSegment;
use super::capsule::Capsule;
use crate::geometry::curve::{ClosedCurve, Piece, Vector};

/// A curve prepared for distance queries: its stretches and capsules around them.
///
/// Built once per shape, in the shape's own coordinates; poses come with each query.
#[derive(Clone, Debug)]
pub struct Tree {
    pieces: Vec<Piece>,
    pub(super) nodes: Vec<TreeNode>,
    pub(super) leaves: Vec<Leaf>,
    /// Arc length from the curve's start to each piece's start, mm.
    starts: Vec<f64>,
    reach: f64,
    bounds: (Vector, Vector),
}

/// A run of neighbouring leaves in a capsule.
#[derive(Clone, Copy, Debug)]
pub(super) struct TreeNode {
    pub capsule: Capsule,
    /// Index of the first child, the second following it; or of the leaf.
    pub next: u32,
    pub leaf: bool,
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Leaf {
    pub stretch: ArcSegment,
    pub piece: u32,
}

/// Runs of more leaves are held by a capsule around the two of their halves: looser by a little, and
/// far sooner built.
const MOST_PARTS: usize = 8;

impl Tree {
    /// Cuts the curve into stretches and builds the hierarchy.
    pub fn new(curve: &ClosedCurve) -> Tree {
        Tree::of_pieces(curve.pieces())
    }

    /// As [`Tree::new`], of pieces that need not join or close: part of a curve.
    ///
    /// # Panics
    /// If there are none.
    pub fn of_pieces(pieces: &[Piece]) -> Tree {
        let mut leaves = Vec::new();
        let mut starts = Vec::new();
        let mut start = 0.0;
        for (piece, shape) in pieces.iter().enumerate() {
            starts.push(start);
            start += shape.length();
            leaves.extend(
                ArcSegment::cut(shape).map(|stretch| Leaf { stretch, piece: piece as u32 }),
            );
        }
        let capsules: Vec<Capsule> = leaves.iter().map(|l| l.stretch.capsule()).collect();
        let mut bounds = (Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
        for c in &capsules {
            for end in [c.centre - c.half, c.centre + c.half] {
                bounds.0 = bounds.0.inf(&end.add_scalar(-c.radius));
                bounds.1 = bounds.1.sup(&end.add_scalar(c.radius));
            }
        }
        let reach = capsules.iter().map(|c| c.centre.norm() + c.reach).fold(0.0, f64::max);
        let mut tree = Tree {
            pieces: pieces.to_vec(),
            nodes: Vec::with_capacity(2 * leaves.len()),
            leaves,
            starts,
            reach,
            bounds,
        };
        // The root's place is kept before its children are built.
        tree.nodes.push(TreeNode { capsule: capsules[0], next: 0, leaf: true });
        tree.nodes[0] = tree.grow(&capsules, 0);
        tree
    }

    fn grow(&mut self, capsules: &[Capsule], first: usize) -> TreeNode {
        if let [capsule] = capsules {
            return TreeNode { capsule: *capsule, next: first as u32, leaf: true };
        }
        let cut = best_cut(capsules);
        let next = self.nodes.len();
        let unset = TreeNode { capsule: capsules[0], next: 0, leaf: true };
        self.nodes.extend([unset, unset]);
        self.nodes[next] = self.grow(&capsules[..cut], first);
        self.nodes[next + 1] = self.grow(&capsules[cut..], first + cut);
        let capsule = match capsules.len() <= MOST_PARTS {
            true => Capsule::around(capsules),
            false => Capsule::around(&[self.nodes[next].capsule, self.nodes[next + 1].capsule]),
        };
        TreeNode { capsule, next: next as u32, leaf: false }
    }

    /// The pieces as given.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// No point of the curve is further than this from the origin, mm; at most a few
    /// percent more than the furthest is.
    pub fn reach(&self) -> f64 {
        self.reach
    }

    /// Opposite corners of a box, square to the axes, that holds the curve, mm.
    pub fn bounds(&self) -> (Vector, Vector) {
        self.bounds
    }

    /// Arc length from the curve's start to the start of a leaf, mm.
    pub(super) fn start_of(&self, leaf: usize) -> f64 {
        let leaf = &self.leaves[leaf];
        self.starts[leaf.piece as usize] + leaf.stretch.along - leaf.stretch.half
    }
}

/// Where to cut a run of leaves in two: least sum of bulk times count, bulk taken from
/// the box around them; never so lopsided that the tree grows deep.
fn best_cut(capsules: &[Capsule]) -> usize {
    let count = capsules.len();
    if count == 2 {
        return 1;
    }
    // The bulk of the first few, and of the last few.
    let mut before = vec![0.0; count];
    let mut first = Extent::empty();
    for (bulk, capsule) in before.iter_mut().zip(capsules) {
        *bulk = first.with(capsule);
    }
    let least = (count / 4).max(1);
    let mut best = (f64::INFINITY, count / 2);
    let mut last = Extent::empty();
    for cut in (least..count).rev() {
        let after = last.with(&capsules[cut]);
        if cut <= count - least {
            let cost = before[cut - 1] * cut as f64 + after * (count - cut) as f64;
            // Of cuts that are alike the first.
            if cost <= best.0 {
                best = (cost, cut);
            }
        }
    }
    best.1.clamp(1, count - 1)
}

/// Opposite corners of a box, square to the axes.
struct Extent {
    low: Vector,
    high: Vector,
}

impl Extent {
    fn empty() -> Extent {
        Extent { low: Vector::repeat(f64::INFINITY), high: Vector::repeat(f64::NEG_INFINITY) }
    }

    /// Takes a capsule's ends in; the square of the box's diagonal, mm².
    fn with(&mut self, capsule: &Capsule) -> f64 {
        for k in 0..3 {
            let half = capsule.half[k].abs();
            self.low[k] = self.low[k].min(capsule.centre[k] - half);
            self.high[k] = self.high[k].max(capsule.centre[k] + half);
        }
        (self.high - self.low).norm_squared()
    }
}
