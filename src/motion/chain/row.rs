//! A row of links, each posed by one and the same step after the one before, and where the
//! metal of its members comes nearest.
//!
//! Link k lies at `Bᵏ Z(k α)`: `B` is the step along the chain (a rise, and a bend or twist
//! if the chain is bent or twisted), `Z(α)` the turn about z from link to link that the weave
//! asks for. Link j sees link j + k at `Z(−j α) Bᵏ Z((j + k) α)`.
//!
//! Moving `B` by a small twist (shift `v`, turn `ω` about the next link's middle) moves a
//! point `p` of link k, seen from link 0, by `Σ_i R_i (v + ω × (B⁻ⁱ p − middle))`, i from 0 to
//! k − 1 and `R_i` the rotation of `Bⁱ`; the distance of two nearest points changes by the
//! part of that along their chord.

use super::Body;
use crate::geometry::curve::{Point, Pose, Vector};
use crate::geometry::distance::{Hint, Query, contacts, nearest_within};
use crate::math::Linear;
use nalgebra::{Translation3, UnitQuaternion};

/// Links in a row.
#[derive(Clone, Debug)]
pub struct Row<'a> {
    /// The link that receives.
    pub receiving: &'a Body,
    /// The link worked through it; the same unless only neighbours are looked at.
    pub incoming: &'a Body,
    /// Turn about z from one link to the next, radians.
    pub turn: f64,
    /// Which links must clear one another: the first, and how many links further the other is.
    pub pairs: Vec<(usize, usize)>,
}

/// Where metal comes nearest to metal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowContact {
    /// Metal to metal, mm; below zero where wires overlap.
    pub clearance: f64,
    /// Which link of the row is the earlier one.
    pub first: usize,
    /// Halfway between the two nearest points, in that link's frame, mm.
    pub place: Point,
    /// How many links further the other one is.
    pub offset: usize,
}

/// Two places, one on each wire, that are or were nearest: each fixed to its own link.
#[derive(Clone, Copy, Debug)]
pub(super) struct ContactPair {
    pair: (usize, usize),
    point_a: Point,
    point_b: Point,
}

impl<'a> Row<'a> {
    /// Two links, the second worked through the first.
    pub fn pair(receiving: &'a Body, incoming: &'a Body) -> Row<'a> {
        Row { receiving, incoming, turn: 0.0, pairs: vec![(0, 1)] }
    }

    /// Whether it is two links, one after the other, and upright.
    pub(super) fn is_pair(&self) -> bool {
        self.pairs == [(0, 1)] && self.turn == 0.0
    }

    /// Mean of both wire diameters, mm: centrelines this far apart touch.
    pub(super) fn metal(&self) -> f64 {
        0.5 * (self.receiving.wire + self.incoming.wire)
    }

    /// The rise at which the incoming link has left the receiving one, mm.
    pub(super) fn height(&self) -> f64 {
        self.receiving.high.z - self.incoming.low.z
    }

    /// The larger wire, mm: what lengths are measured against.
    pub(super) fn scale(&self) -> f64 {
        self.receiving.wire.max(self.incoming.wire)
    }

    /// Where metal comes nearest, exactly.
    pub fn nearest(&self, step: &Pose) -> RowContact {
        self.nearest_and_slope(step, &mut Vec::new()).0
    }

    /// The same, and by how much the clearance there grows with the rise of links that are upright;
    /// `hints` one per offset.
    pub(super) fn nearest_and_slope(
        &self,
        step: &Pose,
        hints: &mut Vec<Option<Hint>>,
    ) -> (RowContact, f64) {
        hints.resize(self.pairs.len(), None);
        let mut least =
            RowContact { clearance: f64::INFINITY, first: 0, place: Point::origin(), offset: 0 };
        let mut slope = 0.0;
        for (((first, offset), pose), hint) in self.poses(step).zip(hints) {
            let cutoff = least.clearance + self.metal();
            let query = Query { cutoff, hint: *hint, ..Query::default() };
            let (a, b) = (&self.receiving.tree, &self.incoming.tree);
            if let Some(found) = nearest_within(a, b, &pose, query) {
                *hint = Some(found.hint);
                let clearance = found.distance_at_most - self.metal();
                let place = nalgebra::center(&found.point_a, &found.point_b);
                least = RowContact { clearance, first, place, offset };
                let apart = found.point_b - found.point_a;
                slope = offset as f64 * apart.z / apart.norm().max(f64::MIN_POSITIVE);
            }
        }
        (least, slope)
    }

    /// A lower bound on the clearance, at most twice `tolerance` below it; `hints` one per offset.
    pub(super) fn at_least(
        &self,
        step: &Pose,
        tolerance: f64,
        hints: &mut Vec<Option<Hint>>,
    ) -> f64 {
        hints.resize(self.pairs.len(), None);
        let mut least = f64::INFINITY;
        for ((_, pose), hint) in self.poses(step).zip(hints) {
            let cutoff = least + self.metal();
            let query = Query { tolerance, hint: *hint, cutoff, ..Query::default() };
            let (a, b) = (&self.receiving.tree, &self.incoming.tree);
            if let Some(found) = nearest_within(a, b, &pose, query) {
                *hint = Some(found.hint);
                least = found.distance_at_least - self.metal();
            }
        }
        // Beyond a cutoff no more is known than that less the tolerance.
        least - tolerance
    }

    /// Adds every place within `band` of the nearest to `into`.
    pub(super) fn closest_pairs(&self, step: &Pose, band: f64, into: &mut Vec<ContactPair>) {
        let mut found = Vec::new();
        let (a, b) = (&self.receiving.tree, &self.incoming.tree);
        let mut least = f64::INFINITY;
        for (pair, pose) in self.poses(step) {
            let query = Query { tolerance: 0.1 * band, cutoff: least + band, ..Query::default() };
            match contacts(a, b, &pose, band, query, &mut found) {
                Some(nearest) => least = least.min(nearest.distance_at_most),
                None => continue,
            }
            // The first is the nearest; the ends of stretches after it have a nearer neighbour.
            for (_, c) in found.iter().enumerate().filter(|(i, c)| *i == 0 || c.settled) {
                let point_b = pose.inverse_transform_point(&c.point_b);
                into.push(ContactPair { pair, point_a: c.point_a, point_b });
            }
        }
    }

    /// The clearance of a pair of places over small twists of the step: three shifts in mm, then three
    /// turns in radians.
    pub(super) fn tilt(
        &self,
        step: &Pose,
        back: &Pose,
        closest: &ContactPair,
    ) -> (Linear<6>, RowContact) {
        let (first, offset) = closest.pair;
        let middle = step * self.incoming.pivot;
        let mut point = about_z((first + offset) as f64 * self.turn) * closest.point_b;
        for _ in 0..offset {
            point = step * point;
        }
        let point_a = about_z(first as f64 * self.turn) * closest.point_a;
        let between = point - point_a;
        let distance = between.norm();
        let mut normal = between / distance.max(f64::MIN_POSITIVE);
        let place = nalgebra::center(&point_a, &point);
        let (mut shift, mut turn) = (Vector::zeros(), Vector::zeros());
        for _ in 0..offset {
            shift += normal;
            turn += (point - middle).cross(&normal);
            point = back * point;
            normal = back.rotation * normal;
        }
        let slope = [shift.x, shift.y, shift.z, turn.x, turn.y, turn.z];
        let clearance = distance - self.metal();
        let place = about_z(-(first as f64) * self.turn) * place;
        (Linear { value: clearance, slope }, RowContact { clearance, first, place, offset })
    }

    /// The step after a small twist.
    pub(super) fn twisted(&self, step: &Pose, twist: &[f64; 6]) -> Pose {
        let middle = step * self.incoming.pivot;
        let turn = UnitQuaternion::from_scaled_axis(Vector::new(twist[3], twist[4], twist[5]));
        let shift = Vector::new(twist[0], twist[1], twist[2]);
        let place = middle.coords + shift - turn * (step.rotation * self.incoming.pivot.coords);
        Pose::from_parts(Translation3::from(place), turn * step.rotation)
    }

    /// No point of any link moves further than this, mm, while the step's middle moves by
    /// `shift` mm and the step turns by `turn` radians; `rise` bounds the way from middle to
    /// middle meanwhile.
    pub(super) fn travel(&self, shift: f64, turn: f64, rise: f64) -> f64 {
        let of = |&(_, offset): &(usize, usize)| {
            let k = offset as f64;
            k * shift + turn * (k * self.incoming.reach + 0.5 * k * (k - 1.0) * rise)
        };
        self.pairs.iter().map(of).fold(0.0, f64::max)
    }

    fn poses(&self, step: &Pose) -> impl Iterator<Item = ((usize, usize), Pose)> {
        let step = *step;
        self.pairs.iter().map(move |&(first, offset)| {
            let along = (1..offset).fold(step, |pose, _| pose * step);
            let before = about_z(-(first as f64) * self.turn);
            let after = about_z((first + offset) as f64 * self.turn);
            let pose = Pose::from_parts(
                Translation3::from(before * along.translation.vector),
                before * along.rotation * after,
            );
            ((first, offset), pose)
        })
    }
}

fn about_z(angle: f64) -> UnitQuaternion<f64> {
    UnitQuaternion::from_axis_angle(&Vector::z_axis(), angle)
}
