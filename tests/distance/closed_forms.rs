//! Distances known beforehand, and the degenerate cases.

use crate::curves::{circle, oval};
use linkfold::geometry::curve::{ClosedCurve, Piece, Point, Pose, Straight, Vector};
use linkfold::geometry::distance::{
    Nearest, Query, Tree, contacts, nearest, nearest_within, self_distance,
};
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

/// Both ways round, and checked to be consistent with itself.
fn distance(a: &ClosedCurve, b: &ClosedCurve) -> Nearest {
    let (a, b) = (Tree::new(a), Tree::new(b));
    let here = Pose::identity();
    let (found, back) = (nearest(&a, &here, &b, &here), nearest(&b, &here, &a, &here));
    // Each is within 1e-11 of a reach of at most 30 of the truth.
    assert!((found.distance_at_most - back.distance_at_most).abs() < 1e-9, "{found:?} {back:?}");
    assert!(found.distance_at_least <= found.distance_at_most);
    assert!(found.distance_at_most - found.distance_at_least < 1e-9, "{found:?}");
    let apart = (found.point_a - found.point_b).norm();
    assert!((apart - found.distance_at_most).abs() < 1e-12, "{found:?}");
    let place = a.pieces()[found.piece_a].point(found.along_a);
    assert!((place - found.point_a).norm() < 1e-12, "{found:?}");
    let place = b.pieces()[found.piece_b].point(found.along_b);
    assert!((place - found.point_b).norm() < 1e-12, "{found:?}");
    found
}

/// First circle of radius `radius` about z at the origin; centre, normal and radius of the
/// second; least distance.
struct Row(f64, [f64; 3], [f64; 3], f64, f64);

/// Source of the irrational rows: 20 000 samples of one circle against the closed form of
/// point and circle (Eberly, *Distance to Circles in 3D*), refined by bounded minimisation,
/// from both circles; 12 printed digits. The rest are closed forms: coaxial √((r−R)² + h²),
/// stacked h, Hopf links through the centre, and through a point off it.
const CIRCLES: [Row; 8] = [
    Row(1.0, [0.0, 0.0, 1.0], [0.0, 0.0, 1.0], 2.0, SQRT_2),
    Row(1.0, [1.0, 0.0, 0.7], [0.0, 0.0, 1.0], 1.0, 0.7),
    Row(1.0, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], 1.0, 1.0),
    Row(1.0, [1.5, 0.0, 0.0], [0.0, 1.0, 0.0], 1.0, 0.5),
    Row(2.0, [3.0, 0.0, 0.0], [0.0, -FRAC_1_SQRT_2, FRAC_1_SQRT_2], 2.0, 0.893_862_334_604),
    Row(1.0, [1.0, 0.5, 0.3], [1.0, 2.0, 3.0], 1.5, 0.366_571_061_235),
    Row(2.0, [2.0, 1.0, 0.5], [1.0, 0.0, 1.0], 1.0, 0.354_194_473_810),
    Row(3.0, [1.0, 2.0, 2.0], [0.0, 1.0, 1.0], 2.0, 0.749_572_067_773),
];

#[test]
fn circles_are_as_far_apart_as_the_catalogue_says() {
    for Row(radius_a, centre, normal, radius_b, expected) in CIRCLES {
        let a = circle(Point::origin(), Vector::z(), radius_a);
        let b = circle(Point::from(centre), Vector::from(normal), radius_b);
        let found = distance(&a, &b).distance_at_most;
        // 1e-10: twelve printed digits and our 1e-11 of a reach below 10.
        assert!((found - expected).abs() < 1e-10, "{found}, expected {expected}");
    }
}

/// Eberly's closed form for the point (1, 2, 3) and a circle of radius 2:
/// √((√5 − 2)² + 9); a circle of no size to speak of stands for the point.
#[test]
fn a_point_and_a_circle_have_the_closed_form() {
    let dot = circle(Point::new(1.0, 2.0, 3.0), Vector::x(), 1e-12);
    let found = distance(&circle(Point::origin(), Vector::z(), 2.0), &dot).distance_at_most;
    assert!((found - 3.009_273_681_5).abs() < 1e-10, "{found}"); // ten printed decimals
}

#[test]
fn circles_in_one_plane_have_closed_forms() {
    let about = |x: f64, radius| circle(Point::new(x, 0.0, 0.0), Vector::z(), radius);
    let cases = [
        (about(0.0, 1.0), 1.5),         // one centre, equidistant all round
        (about(0.5, 1.0), 1.0),         // inside: R − r − offset
        (about(1.5, 1.0), 0.0),         // touching from inside
        (about(2.0, 1.0), 0.0),         // crossing
        (about(3.5, 1.0), 0.0),         // touching from outside
        (about(4.0, 1.0), 0.5),         // apart
        (about(0.0, 2.5), 0.0),         // the same circle
        (about(3.5 + 1e-7, 1.0), 1e-7), // all but touching
    ];
    for (other, expected) in cases {
        let found = distance(&about(0.0, 2.5), &other).distance_at_most;
        assert!((found - expected).abs() < 1e-9, "{found}, expected {expected}");
    }
}

/// Between exactly coaxial and clearly tilted the distance hardly changes all round: slow,
/// but answered. For a tilt ε about x, equal circles a height h apart: the distance at
/// angle t is h + ε R sin t to first order, least h − ε R.
#[test]
fn nearly_coaxial_circles_are_answered_within_tolerance() {
    for tilt in [1e-12, 1e-9, 1e-6, 1e-4] {
        let a = circle(Point::origin(), Vector::z(), 2.0);
        let b = circle(Point::new(0.0, 0.0, 1.5), Vector::new(0.0, -tilt, 1.0), 2.0);
        let found = distance(&a, &b).distance_at_most;
        let expected = 1.5 - 2.0 * tilt;
        // Second order: tilt² R²/h and less.
        assert!((found - expected).abs() < 1e-9 + 10.0 * tilt * tilt, "{found}, tilt {tilt}");
    }
}

/// A straight along a circle's own axis is the radius away from all of it.
#[test]
fn a_straight_on_a_circles_axis_is_a_radius_away() {
    let a = oval(3.0, 4.0);
    // The oval's lower straight runs along x at y = −3.
    let b = circle(Point::new(0.0, -3.0, 0.0), Vector::x(), 0.5);
    let found = distance(&a, &b).distance_at_most;
    assert!((found - 0.5).abs() < 1e-10, "{found}");
}

#[test]
fn parallel_straights_equal_ovals_and_stacked_ovals_are_answered() {
    let a = oval(1.0, 3.0);
    assert_eq!(distance(&a, &a).distance_at_most, 0.0);
    let stacked = a.moved(&Pose::translation(0.0, 0.0, 0.8));
    assert!((distance(&a, &stacked).distance_at_most - 0.8).abs() < 1e-12);
    let inside = oval(0.4, 3.0); // one centre line: 0.6 away everywhere
    assert!((distance(&a, &inside).distance_at_most - 0.6).abs() < 1e-12);
    let beside = a.moved(&Pose::translation(0.3, 2.25, 0.0));
    assert!((distance(&a, &beside).distance_at_most - 0.25).abs() < 1e-12);
}

#[test]
fn pieces_of_no_length_change_nothing() {
    let plain = oval(1.0, 3.0);
    let mut pieces = plain.pieces().to_vec();
    let (start, direction) = (pieces[0].start(), Vector::x_axis());
    pieces.insert(0, Piece::Straight(Straight { start, direction, length: 0.0 }));
    let Piece::Arc(mut arc) = pieces[2] else { panic!("the oval's second piece is an end") };
    arc.turn = 0.0;
    pieces.insert(2, Piece::Arc(arc));
    let padded = ClosedCurve::new(pieces).unwrap();
    let pose = Pose::translation(0.4, 0.3, 0.9);
    let other = oval(1.2, 2.0).moved(&pose);
    let (with, without) = (distance(&padded, &other), distance(&plain, &other));
    assert!((with.distance_at_most - without.distance_at_most).abs() < 1e-9);
}

#[test]
fn a_cutoff_answers_only_what_is_nearer() {
    let (a, b) = (Tree::new(&oval(1.0, 3.0)), Tree::new(&oval(1.0, 3.0)));
    let pose = Pose::translation(0.0, 0.0, 0.8);
    let ask = |cutoff| nearest_within(&a, &b, &pose, Query { cutoff, ..Query::default() });
    assert_eq!(ask(0.79), None);
    let found = ask(0.81).unwrap();
    assert!((found.distance_at_most - 0.8).abs() < 1e-12, "{found:?}");
}

/// B crosses the plane of A at x = −0.5 and 3.5, each 1.5 from A: two places by symmetry.
#[test]
fn contacts_are_all_the_places_in_the_band() {
    let a = Tree::new(&circle(Point::origin(), Vector::z(), 2.0));
    let b = Tree::new(&circle(Point::origin(), Vector::y(), 2.0));
    let mut found = Vec::new();
    contacts(&a, &b, &Pose::translation(1.5, 0.0, 0.0), 0.1, Query::default(), &mut found);
    let settled: Vec<_> = found.iter().filter(|c| c.settled).collect();
    assert_eq!(settled.len(), 2, "{found:?}");
    for contact in &settled {
        assert!((contact.distance - 1.5).abs() < 1e-9, "{contact:?}");
        let apart = (contact.point_a - contact.point_b).norm();
        assert!((apart - contact.distance).abs() < 1e-12, "{contact:?}");
    }
    // Equidistant all round: a row of places, none missing by more than a leaf or two.
    let b = Tree::new(&circle(Point::origin(), Vector::z(), 2.0));
    contacts(&a, &b, &Pose::translation(0.0, 0.0, 1.0), 1e-6, Query::default(), &mut found);
    assert!(found.len() > 20 && found.iter().all(|c| (c.distance - 1.0).abs() < 1e-9));
}

/// Circle: chord of the angle; oval: across, or where the ends' chords are shorter.
#[test]
fn a_curve_is_as_far_from_itself_as_closed_forms_say() {
    let ring = Tree::new(&circle(Point::origin(), Vector::z(), 2.0));
    for apart in [0.5, 2.0, 2.0 * PI] {
        let found = self_distance(&ring, apart).unwrap();
        let expected = 4.0 * (apart / 4.0).sin();
        assert!((found.distance_at_most - expected).abs() < 1e-9, "{found:?}, {expected}");
        assert!(found.distance_at_most - found.distance_at_least < 1e-9, "{found:?}");
    }
    assert_eq!(self_distance(&ring, 6.3), None);
    let link = Tree::new(&oval(0.7, 6.0));
    let across = self_distance(&link, 0.7 * PI).unwrap(); // half circle: nothing is nearer
    assert!((across.distance_at_most - 1.4).abs() < 1e-9, "{across:?}");
    let along = self_distance(&link, 1.0).unwrap(); // chord of 1 mm of the end arc
    let expected = 1.4 * (1.0f64 / 1.4).sin();
    assert!((along.distance_at_most - expected).abs() < 1e-9, "{along:?}, {expected}");
}
