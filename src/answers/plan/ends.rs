//! Whether a round ring goes through the end links: the clasp's own, or a jump ring.
//!
//! Model: the ring stands square in the link, its middle on the chain's axis. At the last link
//! it runs leg to leg through both lobes and closes over both tips; at the first link it stands
//! across, round both waist wires under the fold. The place along the chain with most clearance
//! is looked for. By the link's two planes of symmetry no shift aside makes more clearance; a tilt is
//! not looked at.

use crate::documents::design::PlanChoice;
use crate::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
use crate::motion::chain::{Body, Row};
use std::f64::consts::PI;

/// A round ring of round wire, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndRing {
    /// Wire diameter.
    pub wire: f64,
    /// Inside diameter.
    pub inside: f64,
}

/// How the ring fits one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndFit {
    /// The ring asked for.
    pub ring: EndRing,
    /// Clearance, metal to metal, mm; below zero where it does not fit.
    pub clearance: f64,
    /// Inside diameter that just fits with the same wire, where it does not and one does, mm.
    pub inside_for: Option<f64>,
    /// Wire that just fits with the same inside, likewise, mm.
    pub wire_for: Option<f64>,
}

impl EndFit {
    /// Whether the ring fits.
    pub fn fits(&self) -> bool {
        self.clearance >= 0.0
    }
}

impl EndRing {
    /// What the plan asks for, with an end link of wire `wire` mm.
    pub fn of(choice: &PlanChoice, wire: f64) -> EndRing {
        EndRing {
            wire: choice.end_ring_wire_mm.unwrap_or(0.8 * wire),
            inside: choice.end_ring_inside_mm.unwrap_or(4.0 * wire),
        }
    }

    fn radius(&self) -> f64 {
        0.5 * (self.inside + self.wire)
    }

    /// Its centreline about the origin; in the plane of z and x, or of z and y.
    fn body(&self, across: Vector) -> Body {
        let radius = self.radius();
        let half = |sign: f64| {
            Piece::Arc(Arc {
                centre: Point::origin(),
                radius,
                out: nalgebra::Unit::new_normalize(sign * across),
                along: nalgebra::Unit::new_normalize(sign * Vector::z()),
                turn: PI,
            })
        };
        let curve = ClosedCurve::new(vec![half(1.0), half(-1.0)]);
        Body::new(&curve.expect("two half circles close"), self.wire)
    }
}

/// Heights tried along the link; between two of them the best is closed in upon.
const TRIES: usize = 48;
/// Golden-section steps: 0.618²⁴ of a try.
const STEPS: usize = 24;
/// Halvings for the ring that just fits.
const HALVINGS: usize = 20;
/// Looked for up to so many times the size asked for.
const FURTHEST: f64 = 6.0;

/// At the first link's fold, and at the last link's lobes.
pub(super) fn end_fits(first: &Body, last: &Body, ring: EndRing) -> [EndFit; 2] {
    [grip(ring, |ring| at_fold(first, ring)), grip(ring, |ring| at_tips(last, ring))]
}

/// Round both waist wires: its lower side under the fold, its upper between the legs.
fn at_fold(link: &Body, ring: EndRing) -> f64 {
    let outer = link.low.z;
    best(link, ring, Vector::y(), [outer - ring.radius(), outer + ring.radius()])
}

/// Over both tips: its lower side in the lobes, its upper above.
fn at_tips(link: &Body, ring: EndRing) -> f64 {
    let outer = link.high.z;
    best(link, ring, Vector::x(), [outer - ring.radius(), outer + ring.radius()])
}

/// Most clearance with the middle between two heights.
fn best(link: &Body, ring: EndRing, across: Vector, [low, high]: [f64; 2]) -> f64 {
    let body = ring.body(across);
    let row = Row::pair(link, &body);
    let clearance = |z: f64| row.nearest(&Pose::translation(0.0, 0.0, z)).clearance;
    let at = |place: f64| low + (high - low) * place / TRIES as f64;
    let clearances: Vec<f64> = (0..=TRIES).map(|i| clearance(at(i as f64))).collect();
    let widest = (0..=TRIES).max_by(|&i, &j| clearances[i].total_cmp(&clearances[j])).unwrap_or(0);
    let (mut left, mut right) =
        (at((widest as f64 - 1.0).max(0.0)), at((widest as f64 + 1.0).min(TRIES as f64)));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    let mut most = clearances[widest];
    for _ in 0..STEPS {
        let (a, b) = (right - golden * (right - left), left + golden * (right - left));
        let (at_a, at_b) = (clearance(a), clearance(b));
        most = most.max(at_a).max(at_b);
        if at_a > at_b { right = b } else { left = a }
    }
    most
}

fn grip(ring: EndRing, clearance: impl Fn(EndRing) -> f64) -> EndFit {
    let found = clearance(ring);
    if found >= 0.0 {
        return EndFit { ring, clearance: found, inside_for: None, wire_for: None };
    }
    let just = |fails: f64, fits: f64, of: &dyn Fn(f64) -> EndRing| {
        let (mut fails, mut fits) = (fails, fits);
        if clearance(of(fits)) < 0.0 {
            return None;
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (fails + fits);
            if clearance(of(middle)) < 0.0 { fails = middle } else { fits = middle }
        }
        Some(fits)
    };
    let inside_for =
        just(ring.inside, FURTHEST * ring.inside, &|inside| EndRing { inside, ..ring });
    let wire_for = just(ring.wire, ring.wire / FURTHEST, &|wire| EndRing { wire, ..ring });
    EndFit { ring, clearance: found, inside_for, wire_for }
}
