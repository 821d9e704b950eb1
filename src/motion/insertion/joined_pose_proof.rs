//! A proof that no joined pose exists: all poses, in boxes, each shown to overlap or not to be joined.
//!
//! *Joined* means here, as links lie in a single weave: the middle of the incoming link's waist lies in
//! the box, along the axes, about the receiving link; its tips are on the upper side, as those of the
//! other are; and each of its four strands from waist to tip runs through the lobe on its side, those
//! of one leg through one lobe of the receiving link and those of the other through the other: it
//! meets the span of that lobe. Links caught in one another in any other way are no chain, and nothing
//! is said of them.
//!
//! *All of them.* The middle of the waist is the origin of the incoming link, so that the first makes a
//! box of translations, and four charts hold every rotation (`pose_box`). Both links are their own
//! mirror images across x = 0 and y = 0. Mirroring both across one of the planes takes joined poses to
//! joined poses, so that the waist's middle is looked for at x ≥ 0, y ≥ 0 only; a half turn of the
//! incoming link about its own axis exchanges its legs, so that the one at positive x is looked for in
//! the lobe at positive x only.
//!
//! *A box is done with* where all of it is upside down; where some strand cannot meet its lobe away from
//! the wire (`joined_region`; it may be narrowed first); where two places of the wires, or a mean of
//! several pairs, are too near throughout (`overlap_bound`). Else it is halved. Where none is left,
//! nothing with the wires clear of one another is joined: the pair cannot be made by any work, whatever
//! way the links are bent in between, as long as they end as these folds.
//!
//! Limits: single weave, two links; where the receiving waist stands two wires open or more, or a lobe
//! is pressed, there is no proof; rigid, exact shapes, as in `join`. Written centrelines may be off the
//! true ones by [`Fold::deviation`] each: the distance held against is the contact distance less that,
//! and strands and spans are wider by it. Rounding is charged a billionth of that distance.
//! Evidence: the tests here and in the three modules named; `tests/insertion.rs` counts.

use super::joined_region::JoinedRegion;
use super::overlap_bound::{PlaceGroup, PlacePair, grouped, mean_bound, nearest_pair};
use super::pose_box::{PoseBox, half_turn};
use crate::geometry::curve::Vector;
use crate::geometry::distance::{Contact, Hint, Query, Tree, contacts};
use crate::geometry::link::Fold;

/// Parts into which a proof is taken, each of which can be worked out by itself: together they are all
/// of it.
pub const PROOF_PARTS: usize = 16;

/// A proof to be found, all of it or a part.
pub struct JoinedPoseProof {
    receiving: Tree,
    incoming: Tree,
    region: JoinedRegion,
    places: Vec<PlaceGroup>,
    /// By chart.
    own_places: [Vec<PlaceGroup>; 4],
    /// No two places may be nearer, mm.
    distance: f64,
    /// Boxes left, each with pairs that were near in the one it is part of.
    open: Vec<(PoseBox, Vec<PlacePair>)>,
    boxes: usize,
    /// Boxes looked at before giving up.
    most: usize,
    hint: Option<Hint>,
    near: Vec<Contact>,
}

/// Boxes looked at before giving up; of 22 pairs drawn by chance, 5 % below the
/// turn, 21 took 40 000 to 150 000, the last more than these.
const MOST_BOXES: usize = 400_000;
/// The same for one part.
const MOST_OF_PART: usize = 2 * MOST_BOXES / PROOF_PARTS;
/// Distance of the places that single pairs are made of, in contact distances.
const PLACES: f64 = 0.3;
/// Means of pairs are tried where the best single pair stays within so many contact distances.
const NEARLY: f64 = 1.2;
/// mm of motion that a unit of `c` counts for, in contact distances.
const LEVER: f64 = 5.0;
/// Pairs in one mean at the most, and how far apart, in contact distances, their places are.
const MOST_PAIRS: usize = 30;
const APART: f64 = 0.15;

impl JoinedPoseProof {
    /// The proof for `incoming` in `receiving`, as they lie closed in the chain; none where the
    /// argument does not hold.
    pub fn new(receiving: &Fold, incoming: &Fold) -> Option<JoinedPoseProof> {
        let contact_distance = 0.5 * (receiving.eight.wire + incoming.eight.wire);
        let closed = receiving.eight.waist < 2.0 * contact_distance;
        if !closed || receiving.pressed.is_some() || incoming.pressed.is_some() {
            return None;
        }
        let slack = receiving.deviation() + incoming.deviation() + 1e-9 * contact_distance;
        let distance = contact_distance - slack;
        let step = PLACES * distance;
        let walk = |fold: &Fold| -> Vec<Vector> {
            fold.curve().walk(step).iter().map(|(point, _)| point.coords).collect()
        };
        let (places, own) = (walk(receiving), walk(incoming));
        // No point is further than half a step from one of these.
        let far = places.iter().fold(Vector::zeros(), |far, p| far.sup(&p.abs()));
        let far = far.add_scalar(step);
        let whole = |chart| PoseBox {
            place: 0.5 * far,
            half_place: 0.5 * far,
            chart,
            turn: Vector::zeros(),
            half_turn: Vector::repeat(1.0),
        };
        Some(JoinedPoseProof {
            receiving: Tree::new(&receiving.curve()),
            incoming: Tree::new(&incoming.curve()),
            region: JoinedRegion::new(receiving, incoming, distance, slack),
            places: grouped(&places),
            own_places: std::array::from_fn(|chart| {
                grouped(&own.iter().map(|p| half_turn(chart) * p).collect::<Vec<_>>())
            }),
            distance,
            open: (0..4).map(|chart| (whole(chart), Vec::new())).collect(),
            boxes: 0,
            most: MOST_BOXES,
            hint: None,
            near: Vec::new(),
        })
    }

    /// One of [`PROOF_PARTS`] of it, from 0.
    pub fn part(receiving: &Fold, incoming: &Fold, part: usize) -> Option<JoinedPoseProof> {
        let mut proof = JoinedPoseProof::new(receiving, incoming)?;
        let mut cells: Vec<PoseBox> = proof.open.into_iter().map(|(cell, _)| cell).collect();
        // Into quarters of every turn; neighbours go to different parts, since they take as long.
        for k in [3, 4, 5, 3, 4, 5] {
            cells = cells.iter().flat_map(|cell| cell.split(k)).collect();
        }
        let own = cells.into_iter().skip(part).step_by(PROOF_PARTS);
        proof.open = own.map(|cell| (cell, Vec::new())).collect();
        proof.most = MOST_OF_PART;
        Some(proof)
    }

    /// Boxes looked at so far.
    pub fn boxes(&self) -> usize {
        self.boxes
    }

    /// Whether it is found: no joined pose exists, as far as this part goes. Given up where boxes are left
    /// after as many as are looked at.
    pub fn is_found(&mut self) -> bool {
        while self.boxes < self.most
            && let Some((cell, pairs)) = self.open.pop()
        {
            self.boxes += 1;
            if let Some((cell, k, pairs)) = self.halved(cell, pairs) {
                self.open.extend(cell.split(k).map(|half| (half, pairs.clone())));
            }
        }
        self.open.is_empty()
    }

    /// What is left of `cell`, across which part it is to be halved, and the pairs that are near in it;
    /// nothing where no joined pose without overlap is in it.
    fn halved(
        &mut self,
        mut cell: PoseBox,
        mut pairs: Vec<PlacePair>,
    ) -> Option<(PoseBox, usize, Vec<PlacePair>)> {
        if cell.is_upside_down() || !self.region.narrow(&mut cell) {
            return None;
        }
        let bounds = cell.turn_bounds();
        let own = &self.own_places[cell.chart];
        let apart = nearest_pair(&cell, &bounds, &self.places, own, self.distance);
        if apart < self.distance {
            return None;
        }
        let (distance, lever) = (self.distance, LEVER * self.distance / cell.quaternion().norm());
        let halves = cell.halves();
        let sizes: [f64; 6] =
            std::array::from_fn(|k| if k < 3 { halves[k] } else { halves[k] * lever });
        // A turn moves what is far out further.
        let mut scores = std::array::from_fn(|k| if k < 3 { sizes[k] } else { 2.0 * sizes[k] });
        if apart < NEARLY * distance {
            let mean = |pairs: &[PlacePair], wants_gains: bool| {
                mean_bound(&cell, &bounds, pairs, distance, wants_gains)
            };
            if !pairs.is_empty() && mean(&pairs, false).greatest < 0.0 {
                return None;
            }
            let about = cell.half_place.norm() + lever * cell.half_turn.norm();
            self.near_pairs(&cell, 0.7 * about, &mut pairs);
            if !pairs.is_empty() {
                let mean = mean(&pairs, true);
                if mean.greatest < 0.0 {
                    return None;
                }
                scores = scored(&mean.gains, &sizes, mean.greatest);
            }
        }
        let most = (0..6).max_by(|&i, &j| scores[i].total_cmp(&scores[j]))?;
        Some((cell, most, pairs))
    }

    /// The contacts in the middle of `cell` within `band` mm of the least distance.
    fn near_pairs(&mut self, cell: &PoseBox, band: f64, pairs: &mut Vec<PlacePair>) {
        let pose = cell.middle();
        let query = Query { tolerance: 0.02 * self.distance, hint: self.hint, ..Query::default() };
        let band = band.max(0.1 * self.distance);
        let found = contacts(&self.receiving, &self.incoming, &pose, band, query, &mut self.near);
        self.hint = found.map(|nearest| nearest.hint);
        pairs.clear();
        let turn = half_turn(cell.chart);
        for contact in &self.near {
            let a = contact.point_a.coords;
            let b = turn * pose.inverse_transform_point(&contact.point_b).coords;
            let apart = APART * self.distance;
            let known = |p: &PlacePair| (p.a - a).norm() < apart && (p.b - b).norm() < apart;
            if !pairs.iter().any(known) {
                pairs.push(PlacePair { a, b });
            }
            if pairs.len() == MOST_PAIRS {
                break;
            }
        }
    }
}

/// Which part of a box is worth halving: by what that gains, the wider the more; none that is thin.
fn scored(gains: &[f64; 6], sizes: &[f64; 6], greatest: f64) -> [f64; 6] {
    let most = sizes.iter().copied().fold(0.0, f64::max);
    std::array::from_fn(|k| {
        let share = sizes[k] / most;
        if share < 0.1 { 0.0 } else { gains[k] * (1.0 + share) + 1e-3 * greatest * share }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::curve::Pose;
    use crate::geometry::distance::nearest_within;
    use crate::geometry::link::{Forming, ToolDimensions};
    use crate::math::Rng;
    use crate::motion::insertion::{Verdict, join};
    use nalgebra::UnitQuaternion;

    fn link(rng: &mut Rng, ratio: f64) -> Option<Forming> {
        let mut any = |low: f64, high: f64| low + (high - low) * rng.next_f64();
        let bore = any(2.1, 3.3);
        Forming::new(ToolDimensions {
            kerf: 0.26,
            oval_jaw: bore,
            bore,
            waist_gap: any(0.0, 0.3),
            pinch_jaw: any(1.5, 2.5),
            fold_jaw: any(2.1, 3.2),
            tip_gap: any(0.05, 0.4),
            ..ToolDimensions::usual(1.0, ratio)
        })
        .ok()
    }

    /// The box that holds only `pose`, mirrored into the part that is searched.
    fn only(pose: &Pose) -> PoseBox {
        let place = pose.translation.vector;
        let mirror = Vector::new(1f64.copysign(place.x), 1f64.copysign(place.y), 1.0);
        // Mirrored on both sides, a quaternion's parts along the mirrored axes change sign in pairs.
        let q = pose.rotation.quaternion();
        let flip = mirror.x * mirror.y;
        let q = [q.w, flip * q.i * mirror.x, flip * q.j * mirror.y, flip * q.k];
        let q = nalgebra::Quaternion::new(q[0], q[1], q[2], q[3]);
        let chart = (0..4)
            .max_by(|&i, &j| part(&q, i).abs().total_cmp(&part(&q, j).abs()))
            .expect("four parts");
        let turned = q * half_turn(chart).inverse().into_inner();
        PoseBox {
            place: place.component_mul(&mirror),
            half_place: Vector::zeros(),
            chart,
            turn: turned.imag() / turned.w,
            half_turn: Vector::zeros(),
        }
    }

    fn part(q: &nalgebra::Quaternion<f64>, k: usize) -> f64 {
        [q.w, q.i, q.j, q.k][k]
    }

    fn holds(cell: &PoseBox, point: &PoseBox) -> bool {
        let within = |a: f64, b: f64, half: f64| (a - b).abs() <= half + 1e-9;
        cell.chart == point.chart
            && (0..3).all(|k| within(cell.place[k], point.place[k], cell.half_place[k]))
            && (0..3).all(|k| within(cell.turn[k], point.turn[k], cell.half_turn[k]))
    }

    /// Of links that join, the boxes about the joined pose that was found are never done with, however
    /// small they get; nor is the pose narrowed away.
    #[test]
    fn a_joined_pose_is_never_ruled_out() {
        let mut rng = Rng::new(3);
        let (mut joined, mut aside) = (0, 0);
        while joined < 25 {
            let ratio = 11.0 + 9.0 * rng.next_f64();
            let (Some(own), Some(other)) = (link(&mut rng, ratio), link(&mut rng, ratio)) else {
                continue;
            };
            let other = if rng.next_f64() < 0.5 { &own } else { &other };
            let found = join(&own, other);
            if found.best().verdict != Verdict::Passes {
                continue;
            }
            joined += 1;
            // Any other pose close by that keeps clear is as good.
            let trees = [Tree::new(&own.fold.curve()), Tree::new(&other.fold.curve())];
            for _ in 0..4 {
                let mut pose = found.rest_pose;
                let reach = 0.3 * found.rest;
                let mut any = || reach * (2.0 * rng.next_f64() - 1.0);
                pose.translation.vector += Vector::new(any(), any(), any());
                let turn = UnitQuaternion::from_scaled_axis(0.2 * Vector::new(any(), any(), any()));
                pose.rotation = turn * pose.rotation;
                let apart = nearest_within(&trees[0], &trees[1], &pose, Query::default());
                if apart.is_some_and(|n| n.distance_at_least < 1.0) {
                    continue;
                }
                aside += 1;
                let point = only(&pose);
                let mut proof =
                    JoinedPoseProof::new(&own.fold, &other.fold).expect("waist is shut");
                let whole = proof.open.iter().position(|(cell, _)| holds(cell, &point));
                let (mut cell, mut pairs) = proof.open[whole.expect("in the search")].clone();
                for depth in 0..60 {
                    let left = proof.halved(cell.clone(), pairs);
                    let Some((narrowed, k, near)) = left else {
                        panic!("ruled out at {depth}, {cell:?}, {:?}", own.setting);
                    };
                    assert!(holds(&narrowed, &point), "narrowed away at {depth}: {narrowed:?}");
                    let halves = narrowed.split(k);
                    let half = halves.into_iter().find(|half| holds(half, &point));
                    (cell, pairs) = (half.expect("one of two halves"), near);
                }
            }
        }
        assert!(aside > 40, "{aside} poses");
    }

    /// The mirror image of a pose keeps the distance.
    #[test]
    fn the_part_that_is_searched_stands_for_all() {
        let mut rng = Rng::new(8);
        let own = link(&mut rng, 12.0).expect("formed");
        let tree = Tree::new(&own.fold.curve());
        let distance = |pose: &Pose| {
            nearest_within(&tree, &tree, pose, Query::default()).map(|n| n.distance_at_most)
        };
        for _ in 0..40 {
            let mut any = |most: f64| most * (2.0 * rng.next_f64() - 1.0);
            let turn = UnitQuaternion::from_scaled_axis(Vector::new(any(2.0), any(2.0), any(2.0)));
            let shift = nalgebra::Translation3::new(any(2.0), any(2.0), 2.0 + any(2.0));
            let pose = Pose::from_parts(shift, turn);
            let mirrored = only(&pose);
            assert!(mirrored.place.x >= 0.0 && mirrored.place.y >= 0.0);
            let (here, there) = (distance(&pose).unwrap(), distance(&mirrored.middle()).unwrap());
            assert!((here - there).abs() < 1e-6, "{here} {there}: {pose:?}");
        }
    }

    /// A twentieth below the least mandrel that joins, a proof is found; of a pair that joins, none.
    #[test]
    fn a_link_on_too_small_a_mandrel_has_no_joined_pose() {
        let on = |ratio: f64| Forming::new(ToolDimensions::usual(1.0, ratio)).expect("formed");
        let proof = |ratio: f64, most: usize| {
            let link = on(ratio);
            let mut proof = JoinedPoseProof::new(&link.fold, &link.fold).expect("waist is shut");
            proof.most = most;
            (proof.is_found(), proof.boxes())
        };
        let least = (70..140).map(|tenth| 0.1 * f64::from(tenth)).find(|&ratio| {
            Forming::new(ToolDimensions::usual(1.0, ratio))
                .is_ok_and(|link| join(&link, &link).best().verdict == Verdict::Passes)
        });
        let least = least.expect("some mandrel does");
        let (below, boxes) = proof(0.95 * least, MOST_BOXES);
        println!("least {least:.1}, {boxes} boxes");
        assert!(below);
        assert!(!proof(least, 2 * boxes).0);
        // In parts, which together are all of it.
        let links = [0.95 * least, least].map(on);
        let parts = links.map(|link| {
            let parts = (0..PROOF_PARTS).map(|part| {
                let proof = JoinedPoseProof::part(&link.fold, &link.fold, part);
                let mut proof = proof.expect("waist is shut");
                (proof.is_found(), proof.boxes())
            });
            parts.collect::<Vec<_>>()
        });
        println!("in parts {:?}", parts[0].iter().map(|part| part.1).collect::<Vec<_>>());
        assert!(parts[0].iter().all(|part| part.0));
        assert!(parts[1].iter().any(|part| !part.0));
    }
}
