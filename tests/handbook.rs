//! Values printed elsewhere, each with its source.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::documents::gauge::{Gauge, GaugeSystem};
use linkfold::geometry::curve::{ClosedCurve, Piece, Point, Vector};
use linkfold::geometry::link::{Fold, Forming, ToolDimensions};
use nalgebra::Unit;
use std::f64::consts::{FRAC_PI_2, PI};

/// ASTM B258 formula, tabulated to 0.1 µm. Budget: half of the last printed digit.
#[test]
fn awg_diameters_are_the_standards() {
    for (number, mm) in [
        (-3, 11.6840),
        (0, 8.2515),
        (8, 3.2636),
        (10, 2.5882),
        (12, 2.0525),
        (14, 1.6277),
        (16, 1.2908),
        (18, 1.0237),
        (20, 0.8118),
        (21, 0.7229),
        (22, 0.6438),
        (24, 0.5106),
        (26, 0.4049),
        (28, 0.3211),
        (30, 0.2546),
        (36, 0.1270),
    ] {
        let diameter = Gauge { system: GaugeSystem::Awg, number }.diameter().unwrap().get();
        assert!((diameter - mm).abs() <= 0.5e-4, "AWG {number}: {diameter}, table {mm}");
    }
}

/// BS 3737:1964, defined in inches; mm = in × 25.4. Budget: half of the last printed digit.
/// Number 0 is .324 in: a common web table's 8.236 mm is a slip for 8.2296.
#[test]
fn swg_diameters_are_the_standards() {
    for (number, mm) in [
        (0, 8.2296),
        (8, 4.0640),
        (10, 3.2512),
        (12, 2.6416),
        (14, 2.0320),
        (16, 1.6256),
        (17, 1.4224),
        (18, 1.2192),
        (19, 1.0160),
        (20, 0.9144),
        (21, 0.8128),
        (22, 0.7112),
        (24, 0.5588),
        (26, 0.4572),
        (28, 0.3759),
        (30, 0.3150),
    ] {
        let diameter = Gauge { system: GaugeSystem::Swg, number }.diameter().unwrap().get();
        assert!((diameter - mm).abs() <= 0.5e-4 + 1e-9, "SWG {number}: {diameter}, table {mm}");
    }
    let past = Gauge { system: GaugeSystem::Swg, number: 41 }.diameter().unwrap_err();
    assert!(past.to_string().contains("-6 to 40"), "{past}");
}

/// Stadium perimeter 2πR + 2L; R = 2, L = 2: 16.56637061 (elementary geometry).
/// A ring of that length, taut on jaws of 2R − d, has straights of L.
#[test]
fn a_taut_oval_is_the_stadium_of_its_perimeter() {
    let (wire, radius, straight) = (1.0, 2.0, 2.0);
    let perimeter: f64 = 16.566_370_61;
    let forming = Forming::new(setting(wire, perimeter / PI - wire, 2.0 * radius - wire)).unwrap();
    // 1e-8: the printed perimeter's last digit over two straights.
    assert!((forming.taut.inside_length() - (2.0 * radius + straight - wire)).abs() < 1e-8);
    assert!((forming.taut.inside_width() - (2.0 * radius - wire)).abs() < 1e-12);
}

/// Ellipse perimeters 4 a E(m), b = 1 (complete elliptic integral, 30 digits by a
/// general-purpose arbitrary-precision library). Biarcs through points of the ellipse must
/// come to the same length as they are divided: error falls as the fourth power.
#[test]
fn arcs_through_an_ellipse_have_its_perimeter() {
    for (a, printed) in [
        (1.25, 7.090_416_972_2),
        (1.5, 7.932_719_794_6),
        (2.0, 9.688_448_220_5),
        (3.0, 13.364_893_220_6),
        (5.0, 21.010_044_539_7),
    ] {
        let errors = [64, 128, 512].map(|n| (ellipse(a, n).length() / printed - 1.0).abs());
        assert!(errors[2] < 1e-8, "a = {a}: {errors:?}");
        assert!(errors[1] < errors[0] / 8.0, "a = {a}: {errors:?}");
    }
}

fn ellipse(a: f64, count: usize) -> ClosedCurve {
    let place = |i: usize| {
        let t = 2.0 * PI * i as f64 / count as f64;
        let tangent = Unit::new_normalize(Vector::new(-a * t.sin(), t.cos(), 0.0));
        (Point::new(a * t.cos(), t.sin(), 0.0), tangent)
    };
    let mut pieces = Vec::new();
    for i in 0..count {
        linkfold::geometry::curve::push_biarc(place(i), place((i + 1) % count), &mut pieces);
    }
    ClosedCurve::new(pieces).unwrap()
}

/// Curvature of a straight wrapped on a cylinder at the angle φ from the bend direction:
/// κ = cos²φ / R (a helix; any differential-geometry text), and of a ring r = 3 on R = 2:
/// κ² = κ_g² + κ_n² = 1/9 + (cos²φ/2)², tabulated from a computer-algebra run:
#[test]
fn wrapped_arcs_have_the_curvature_of_the_cylinder() {
    for (degrees, printed) in [
        (0.0, 0.600_925_2),
        (30.0, 0.501_733_1),
        (45.0, 0.416_666_7),
        (60.0, 0.356_000_2),
        (90.0, 0.333_333_3),
    ] {
        let phi: f64 = f64::to_radians(degrees);
        // A short arc of the ring about the place where its tangent stands at φ.
        let ring = |t: f64| (3.0 * t.sin(), 3.0 * (1.0 - t.cos()), t);
        let wrap = |t: f64| {
            let (u, v, heading) = ring(t);
            let (sin, cos) = (u / 2.0).sin_cos();
            let tangent = Vector::new(heading.cos() * cos, heading.sin(), heading.cos() * sin);
            (Point::new(2.0 * sin, v, 2.0 * (1.0 - cos)), Unit::new_normalize(tangent))
        };
        let mut pieces = Vec::new();
        let half = 0.01;
        linkfold::geometry::curve::push_biarc(wrap(phi - half), wrap(phi + half), &mut pieces);
        let mean = pieces.iter().map(Piece::curvature).sum::<f64>() / pieces.len() as f64;
        // The mean over ±0.01 rad differs from the middle by second order: 2e-4 of κ.
        assert!((mean / printed - 1.0).abs() < 2e-4, "{degrees}°: {mean}, printed {printed}");
    }
}

/// Ring r = 3 wrapped on R = 2: length kept, half extent 2 sin 1.5 = 1.99499, depth 1.8585256
/// (same computer-algebra run). The fold's spine is that wrap.
#[test]
fn the_spine_is_the_isometric_wrap() {
    let forming = Forming::new(setting(1.0, 14.0, 2.5)).unwrap();
    let fold = Fold { radius: 2.0, half_angle: FRAC_PI_2, ..forming.fold };
    let (point, _) = fold.spine(3.0);
    assert!((point.x - 1.994_990_0).abs() < 1e-7, "{point}");
    assert!((point.z - 1.858_525_6).abs() < 1e-7, "{point}");
}

/// U fold: leg = (ℓ − π R)/2 (elementary): a strip of half length X on a half turn of R.
#[test]
fn a_half_turn_fold_leaves_legs_of_what_the_jaw_does_not_take() {
    let forming = Forming::new(setting(1.0, 14.0, 2.5)).unwrap();
    let fold = Fold { half_angle: FRAC_PI_2, ..forming.fold };
    let leg = fold.tip_height() - fold.radius;
    let expected = 0.5 * (2.0 * forming.eight.tip() - PI * fold.radius);
    assert!((leg - expected).abs() < 1e-12, "{leg} {expected}");
}

fn setting(wire: f64, mandrel: f64, jaw: f64) -> ToolDimensions {
    ToolDimensions {
        oval_jaw: jaw,
        bore: if mandrel > 10.0 * wire { jaw } else { 1.2 * wire },
        pinch_jaw: 1.5 * wire,
        fold_jaw: if mandrel > 10.0 * wire { 2.5 * wire } else { 0.5 * wire },
        ..ToolDimensions::usual(wire, mandrel)
    }
}
