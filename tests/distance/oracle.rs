//! The slow and obvious way: walk along A, take the closed form to every piece of B.

use crate::curves::{Dice, any_curve};
use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose};
use linkfold::geometry::distance::{Query, Tree, contacts, nearest, nearest_within, self_distance};
use std::f64::consts::TAU;

/// How far from its curve a computed place may be, mm: a nearly straight arc is given by its
/// far centre, and known no better than some roundings of its radius.
fn rounding(curve: &ClosedCurve) -> f64 {
    let radius = |p: &Piece| if p.curvature() > 0.0 { 1.0 / p.curvature() } else { 0.0 };
    1e-12 + 8.0 * f64::EPSILON * curve.pieces().iter().map(radius).fold(0.0, f64::max)
}

/// Least distance of a point and a piece, through angles.
fn point_to_piece(point: &Point, piece: &Piece) -> f64 {
    let place = match piece {
        Piece::Straight(line) => (point - line.start).dot(&line.direction).clamp(0.0, line.length),
        Piece::Arc(arc) => arc.radius * nearest_angle(point, arc),
    };
    (piece.point(place) - point).norm()
}

fn nearest_angle(point: &Point, arc: &Arc) -> f64 {
    let away = point - arc.centre;
    let angle = away.dot(&arc.along).atan2(away.dot(&arc.out)).rem_euclid(TAU);
    if angle <= arc.turn {
        return angle;
    }
    // Past the end or before the start, whichever is nearer.
    if angle - arc.turn < TAU - angle { arc.turn } else { 0.0 }
}

fn point_to_curve(point: &Point, curve: &ClosedCurve) -> f64 {
    curve.pieces().iter().map(|p| point_to_piece(point, p)).fold(f64::INFINITY, f64::min)
}

/// Least distance by `steps` samples to a piece, each sample that is less than both
/// neighbours refined by ternary search. An upper bound; equal to the distance unless a
/// dip is narrower than a step.
pub fn slow_distance(a: &ClosedCurve, b: &ClosedCurve, steps: usize) -> f64 {
    let mut least = f64::INFINITY;
    for piece in a.pieces() {
        let at = |s: f64| point_to_curve(&piece.point(s), b);
        let step = piece.length() / steps as f64;
        let values: Vec<f64> = (0..=steps).map(|i| at(i as f64 * step)).collect();
        for i in 0..=steps {
            let (before, after) = (i.saturating_sub(1), (i + 1).min(steps));
            least = least.min(values[i]);
            // Refining helps only where a slope of one could still reach the least.
            if values[i] > values[before] || values[i] > values[after] || values[i] - step > least {
                continue;
            }
            let (mut low, mut high) = (before as f64 * step, after as f64 * step);
            for _ in 0..60 {
                let third = (high - low) / 3.0;
                if at(low + third) < at(high - third) { high -= third } else { low += third }
            }
            least = least.min(at(0.5 * (low + high)));
        }
    }
    least
}

/// Random curves in random poses, near enough to cross, touch or interlock.
#[test]
fn the_quick_way_agrees_with_the_slow_way() {
    let mut dice = Dice::new(1);
    for round in 0..300 {
        let (a, b) = (any_curve(&mut dice), any_curve(&mut dice));
        let pose = dice.pose(5.0);
        let found = nearest(&Tree::new(&a), &Pose::identity(), &Tree::new(&b), &pose);
        let slow = slow_distance(&a, &b.moved(&pose), 16);
        // The bound is below anything sampled. Ours may be the lower where sampling missed
        // a dip; above it, only by the 1e-9 of an exact answer.
        assert!(found.distance_at_least <= slow + 1e-12, "round {round}: {found:?}, slow {slow}");
        assert!(found.distance_at_most <= slow + 1e-9, "round {round}: {found:?}, slow {slow}");
        // And it is not below: the places found are on the curves that far apart, to rounding.
        let back = pose.inverse_transform_point(&found.point_b);
        let (off_a, off_b) = (point_to_curve(&found.point_a, &a), point_to_curve(&back, &b));
        assert!(off_a < rounding(&a), "round {round}: {found:?}, off by {off_a}");
        assert!(off_b < rounding(&b), "round {round}: {found:?}, off by {off_b}");
        assert!(found.distance_at_most - found.distance_at_least < 1e-9, "round {round}");
    }
}

/// Coarse, hinted and cut queries bracket the exact answer.
#[test]
fn coarse_and_hinted_queries_keep_their_promises() {
    let mut dice = Dice::new(2);
    for round in 0..300 {
        let (a, b) = (Tree::new(&any_curve(&mut dice)), Tree::new(&any_curve(&mut dice)));
        let pose = dice.pose(5.0);
        let exact = nearest_within(&a, &b, &pose, Query::default()).unwrap();
        let tolerance = 10f64.powf(dice.between(-6.0, -1.0));
        let poor = nearest(&a, &Pose::identity(), &b, &dice.pose(5.0)).hint;
        for hint in [None, Some(exact.hint), Some(poor)] {
            let query = Query { tolerance, hint, ..Query::default() };
            let coarse = nearest_within(&a, &b, &pose, query).unwrap();
            let (least, most) = (coarse.distance_at_least, coarse.distance_at_most);
            assert!(least <= exact.distance_at_most && exact.distance_at_least <= most, "{round}");
            assert!(most - least <= tolerance + 1e-9, "round {round}: {coarse:?}");
            let cutoff = dice.between(0.0, 2.0) * exact.distance_at_most;
            match nearest_within(&a, &b, &pose, Query { cutoff, ..query }) {
                Some(found) => assert!(
                    found.distance_at_most < cutoff
                        && found.distance_at_least <= exact.distance_at_most,
                    "round {round}: {found:?}"
                ),
                None => assert!(exact.distance_at_most >= cutoff - tolerance - 1e-9, "{round}"),
            }
        }
    }
}

/// The contact set holds the nearest place, and nothing outside the band.
#[test]
fn contacts_start_with_the_nearest_place() {
    let mut dice = Dice::new(3);
    let mut found = Vec::new();
    for round in 0..300 {
        let (curve_a, curve_b) = (any_curve(&mut dice), any_curve(&mut dice));
        let (a, b) = (Tree::new(&curve_a), Tree::new(&curve_b));
        let pose = dice.pose(5.0);
        let best =
            contacts(&a, &b, &pose, 0.2, Query::default(), &mut found).unwrap().distance_at_most;
        assert!((found[0].distance - best).abs() < 1e-9, "round {round}: {best}, {found:?}");
        assert!(found[0].settled, "round {round}: {found:?}");
        for contact in &found {
            assert!(contact.distance <= best + 0.2 + 1e-12, "round {round}: {contact:?}");
            let back = pose.inverse_transform_point(&contact.point_b);
            let off_a = point_to_curve(&contact.point_a, &curve_a);
            let off_b = point_to_curve(&back, &curve_b);
            assert!(off_a < rounding(&curve_a), "round {round}: {contact:?}, off by {off_a}");
            assert!(off_b < rounding(&curve_b), "round {round}: {contact:?}, off by {off_b}");
        }
    }
}

/// Every pair of samples far enough apart along the wire is at least as far as promised,
/// and samples come within a step of it.
#[test]
fn self_distance_agrees_with_sampling() {
    let mut dice = Dice::new(4);
    for round in 0..40 {
        let curve = any_curve(&mut dice);
        let apart = dice.between(0.3, 0.4 * curve.length());
        let tree = Tree::new(&curve);
        let found = self_distance(&tree, apart).unwrap();
        assert!(
            found.distance_at_most - found.distance_at_least < 1e-9,
            "round {round}: {found:?}"
        );
        let step = 0.02;
        let (mut places, mut start) = (Vec::new(), 0.0);
        for piece in curve.pieces() {
            let count = (piece.length() / step).ceil().max(1.0);
            for i in 0..count as usize {
                let s = piece.length() * i as f64 / count;
                places.push((start + s, piece.point(s)));
            }
            start += piece.length();
        }
        let mut least = f64::INFINITY;
        for (i, (s, p)) in places.iter().enumerate() {
            for (t, q) in &places[..i] {
                let between = (s - t).min(start - (s - t));
                if between >= apart {
                    least = least.min((p - q).norm());
                }
            }
        }
        assert!(found.distance_at_least <= least + 1e-12, "round {round}: {found:?}, {least}");
        // Two neighbours of the true places are sampled, each within one step.
        assert!(least <= found.distance_at_most + 2.0 * step, "round {round}: {found:?}, {least}");
    }
}
