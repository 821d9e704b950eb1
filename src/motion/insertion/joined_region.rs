//! Where a joined pose can be: each strand of the incoming link must meet the span of its lobe.
//!
//! The span of a lobe of the receiving link is the wrapped image of its flat inside. In a pose without
//! overlap a wire crosses it only at points at least the contact distance from the receiving
//! centreline; unrolled flat, such points are no nearer to the flat centreline, since wrapping only
//! shortens. So they lie in the image of the flat lobe shrunk by that distance, `patch`: at u from
//! the waist no further from the axis than the half width there less the distance, and in the end arc
//! within its shrunk disc. Each strand is cut into bits, each patch into cells; a translation that
//! brings a bit to a cell lies in the difference of the two, and the box of translations is narrowed
//! to what all four strands leave.

use super::pose_box::{PoseBox, half_turn};
use crate::geometry::curve::Vector;
use crate::geometry::link::{Eight, Fold};

/// Length of the bits of a strand and of the cells of a patch, in contact distances.
const FINE: f64 = 0.35;
/// Samples of each piece of the flat outline.
const SAMPLES: usize = 256;
/// Signs of x and y of the four strands from waist to tip; the first two belong to the lobe at
/// positive x.
const STRANDS: [(f64, f64); 4] = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];

/// A bit of a strand, the chart's half turn done.
#[derive(Clone, Copy)]
struct StrandBit {
    middle: Vector,
    /// Half its length along its tangent.
    along: Vector,
    /// How far it is from that straight.
    off: f64,
    /// How far it reaches from its middle.
    reach: f64,
}

/// A box of space, between two corners.
#[derive(Clone, Copy)]
struct Corners(Vector, Vector);

/// The four strands and the two patches.
pub struct JoinedRegion {
    /// By chart, then by strand.
    strands: [[Vec<StrandBit>; 4]; 4],
    /// Of the lobe at positive x, and of the other.
    patches: [Vec<Corners>; 2],
    hulls: [Corners; 2],
}

impl JoinedRegion {
    /// For wires at least `distance` mm apart; `slack` mm is what a written centreline may be off.
    pub fn new(receiving: &Fold, incoming: &Fold, distance: f64, slack: f64) -> JoinedRegion {
        let fine = FINE * distance;
        let right = patch(receiving, distance, slack, fine);
        let mirrored = |c: &Corners| {
            let flip = |v: &Vector, x: f64| Vector::new(-x, v.y, v.z);
            Corners(flip(&c.0, c.1.x), flip(&c.1, c.0.x))
        };
        let patches = [right.clone(), right.iter().map(mirrored).collect()];
        let none = Corners(Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
        let around = |sum: Corners, c: &Corners| Corners(sum.0.inf(&c.0), sum.1.sup(&c.1));
        let hulls = [0, 1].map(|side| patches[side].iter().fold(none, around));
        let bits = bits(incoming, slack, fine);
        let strands = std::array::from_fn(|chart| {
            let turn = half_turn(chart);
            let turned =
                |b: &StrandBit| StrandBit { middle: turn * b.middle, along: turn * b.along, ..*b };
            std::array::from_fn(|k| bits[k].iter().map(turned).collect())
        });
        JoinedRegion { strands, patches, hulls }
    }

    /// Narrows the translations of `cell` to those with which, for some of its rotations, each
    /// strand can meet its patch; false where there are none.
    pub fn narrow(&self, cell: &mut PoseBox) -> bool {
        let bounds = cell.turn_bounds();
        let mut left = Corners(cell.place - cell.half_place, cell.place + cell.half_place);
        let turned = |bit: &StrandBit| {
            let (middle, along) =
                (bounds.rotation * bit.middle, (bounds.rotation * bit.along).abs());
            let length = bit.middle.norm() + bit.reach;
            let mut stray = bounds.stray(&middle, length);
            for w in &bounds.turns {
                stray.add_scalar_mut(w.norm() * bit.reach);
            }
            let off = along.add_scalar(bit.off);
            let most = off + stray.inf(&Vector::repeat(bounds.most * length));
            Corners(middle - most, middle + most)
        };
        let places: [Vec<Corners>; 4] =
            std::array::from_fn(|k| self.strands[cell.chart][k].iter().map(turned).collect());
        // What one strand leaves narrows what another does: twice round.
        for k in [0, 3, 1, 2, 0, 1, 2, 3] {
            let (patch, hull) = (&self.patches[k / 2], &self.hulls[k / 2]);
            let mut kept =
                Corners(Vector::repeat(f64::INFINITY), Vector::repeat(f64::NEG_INFINITY));
            for place in &places[k] {
                if overlap(hull, place, &left).is_none() {
                    continue;
                }
                for Corners(low, high) in patch.iter().filter_map(|c| overlap(c, place, &left)) {
                    kept = Corners(kept.0.inf(&low), kept.1.sup(&high));
                }
            }
            if !(kept.0.x <= kept.1.x) {
                return false;
            }
            left = kept;
        }
        cell.place = 0.5 * (left.0 + left.1);
        cell.half_place = 0.5 * (left.1 - left.0);
        true
    }
}

/// The translations within `left` that bring some point of `bit` to some point of `cell`.
fn overlap(cell: &Corners, bit: &Corners, left: &Corners) -> Option<Corners> {
    let low = (cell.0 - bit.1).sup(&left.0);
    let high = (cell.1 - bit.0).inf(&left.1);
    (low.x <= high.x && low.y <= high.y && low.z <= high.z).then_some(Corners(low, high))
}

/// The shrunk lobe at positive x as it is wrapped, in boxes.
fn patch(receiving: &Fold, distance: f64, slack: f64, fine: f64) -> Vec<Corners> {
    let eight = &receiving.eight;
    let (centre, shrunk) = (eight.tip() - eight.end_radius, eight.end_radius - distance);
    if !(shrunk >= 0.0) {
        return Vec::new();
    }
    let end = centre + shrunk;
    let count = (end / fine).ceil().max(1.0) as usize;
    let rim = rim(eight);
    let mut cells = Vec::with_capacity(count);
    for i in 0..count {
        let (from, to) = (end * i as f64 / count as f64, end * (i + 1) as f64 / count as f64);
        // The half width grows up to the end arc's widest place: that of the next sample is no less.
        let next = rim.iter().find(|(u, _)| *u > to + 1e-9 * distance);
        let widest = next.filter(|(u, _)| *u < centre).map_or(eight.end_radius, |(_, v)| *v);
        let mut half = widest - distance;
        if from > centre {
            half = half.min((shrunk * shrunk - (from - centre).powi(2)).max(0.0).sqrt());
        }
        if half < 0.0 {
            continue;
        }
        let ends = [receiving.spine(from).0, receiving.spine(to).0];
        // The axis is off its chord by the sagitta at the most.
        let off = (to - from).powi(2) / (8.0 * receiving.radius) + slack;
        let corner = |x: f64, y: f64, z: f64| Vector::new(x, y, z);
        cells.push(Corners(
            corner(ends[0].x.min(ends[1].x), -half, ends[0].z.min(ends[1].z)).add_scalar(-off),
            corner(ends[0].x.max(ends[1].x), half, ends[0].z.max(ends[1].z)).add_scalar(off),
        ));
    }
    cells
}

/// Points of the flat outline from the waist to the tip: u and v.
fn rim(eight: &Eight) -> Vec<(f64, f64)> {
    let mut rim = Vec::new();
    for piece in eight.quarter_pieces() {
        let step = piece.length() / SAMPLES as f64;
        rim.extend((0..=SAMPLES).map(|i| {
            let point = piece.point(step * i as f64);
            (point.x, point.y)
        }));
    }
    rim
}

/// The four strands of `incoming`, waist to tip. A bit across a plane of symmetry is in both.
fn bits(incoming: &Fold, slack: f64, fine: f64) -> [Vec<StrandBit>; 4] {
    let mut strands: [Vec<StrandBit>; 4] = Default::default();
    for piece in incoming.curve().pieces() {
        let length = piece.length();
        let count = (length / fine).ceil().max(1.0) as usize;
        let half = 0.5 * length / count as f64;
        for i in 0..count {
            let s = half * (2 * i + 1) as f64;
            let bit = StrandBit {
                middle: piece.point(s).coords,
                along: half * piece.tangent(s),
                off: 0.5 * piece.curvature() * half * half + slack,
                reach: half + slack,
            };
            let ends = [s - half, s, s + half].map(|s| piece.point(s));
            for (k, (x, y)) in STRANDS.into_iter().enumerate() {
                if ends.iter().any(|p| x * p.x > -slack && y * p.y > -slack) {
                    strands[k].push(bit);
                }
            }
        }
    }
    strands
}
