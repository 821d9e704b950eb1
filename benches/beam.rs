//! What one link costs as a beam, and how that grows with its loads.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Straight, Vector};
use linkfold::math::units::Mm;
use linkfold::mechanics::beam::{BeamFrame, BeamWire, Load, Theory};
use linkfold::mechanics::section::RoundSection;
use nalgebra::Unit;
use std::f64::consts::PI;
use std::hint::black_box;

/// Stadium of crown radius 2 and straights of 3, from the start of a straight.
fn stadium() -> ClosedCurve {
    let half = |sign: f64| {
        let direction = Unit::new_normalize(sign * Vector::x());
        let start = Point::new(-1.5 * sign, -2.0 * sign, 0.0);
        let out = Unit::new_normalize(-sign * Vector::y());
        let centre = Point::new(1.5 * sign, 0.0, 0.0);
        [
            Piece::Straight(Straight { start, direction, length: 3.0 }),
            Piece::Arc(Arc { centre, out, along: direction, radius: 2.0, turn: PI }),
        ]
    };
    ClosedCurve::new([half(1.0), half(-1.0)].concat()).expect("a stadium closes")
}

/// Cost of one balanced link with its peak stress, as pairs of loads grow; a page asks for
/// some hundred links at once and has a sixtieth of a second for them.
fn link_by_load_pairs(c: &mut Criterion) {
    let curve = stadium();
    let section = RoundSection::new(Mm::new(1.0)).expect("1 mm is a wire");
    let wire = BeamWire::new(section, 83e3, 0.37, Theory::Curved).expect("silver is a metal");
    let frame = BeamFrame::closed(&curve, wire).expect("a stadium is a frame");
    let mut group = c.benchmark_group("beam/link");
    for pairs in [1, 4, 16, 64] {
        let loads: Vec<Load> = (0..pairs)
            .flat_map(|i| {
                let at = curve.length() * (0.1 + 0.3 * f64::from(i) / f64::from(pairs));
                let opposite = at + 0.5 * curve.length();
                // Opposite places of a stadium lie through its middle: pull along that line.
                let line = curve.point(at).coords / f64::from(pairs);
                [Load::force(at, line), Load::force(opposite, -line)]
            })
            .collect();
        let energy = frame.solve(&loads, &[]).expect("opposite pulls balance").energy();
        assert!(energy > 0.0, "{energy}");
        group.bench_with_input(BenchmarkId::new("solve", pairs), &loads, |bench, loads| {
            bench.iter(|| frame.solve(black_box(loads), &[]));
        });
        group.bench_with_input(
            BenchmarkId::new("solve and peak", pairs),
            &loads,
            |bench, loads| {
                bench.iter(|| frame.solve(black_box(loads), &[]).map(|found| found.peak_stress()));
            },
        );
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(30).without_plots();
    targets = link_by_load_pairs
}
criterion_main!(benches);
