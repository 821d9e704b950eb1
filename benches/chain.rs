//! What a full rest-and-swing report costs, beside pitch and play alone by an unrelated
//! program; what the other weaves cost; what a drape costs as links are added.

#[path = "../tests/distance/polyline.rs"]
mod polyline;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::geometry::curve::{Point, Pose, Vector};
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::motion::chain::{Body, Row, Weave, measure, rest};
use linkfold::motion::drape::{Drape, DrapeForm, DrapeLink};
use parry3d_f64::math::Pose as OtherPose;
use parry3d_f64::query::distance;
use std::hint::black_box;

fn link(ratio: f64, bore: f64, fold_jaw: f64) -> Body {
    let setting =
        ToolDimensions { oval_jaw: bore, bore, fold_jaw, ..ToolDimensions::usual(1.0, ratio) };
    Body::of(&Forming::new(setting).expect("formed").fold)
}

/// Is a rest-and-swing report done within one frame, 16 ms? The reference is the pulled and
/// pushed rise by plain bisection with polylines to the same 1e-4 wires, nothing else.
fn report(c: &mut Criterion) {
    let mut group = c.benchmark_group("chain/rest and swing");
    for (ratio, bore, jaw) in
        [(10.0, 3.0, 2.6), (12.0, 2.5, 2.5), (12.0, 3.0, 3.0), (16.0, 3.0, 3.0)]
    {
        let body = link(ratio, bore, jaw);
        let name = format!("ratio {ratio} bore {bore} jaw {jaw}");
        let pair = rest(&Row::pair(&body, &body), 1).expect("rests");
        group.bench_function(BenchmarkId::new("report", &name), |bench| {
            bench.iter(|| measure(black_box(&body), Weave::SINGLE));
        });
        group.bench_function(BenchmarkId::new("rest", &name), |bench| {
            bench.iter(|| rest(&Row::pair(black_box(&body), &body), 1));
        });
        let line = polyline::inscribed(body.curve(), 5e-5);
        let clearance = |rise: f64| {
            let at = polyline::other_pose(&Pose::translation(0.0, 0.0, rise));
            distance(&OtherPose::identity(), &line, &at, &line).expect("supported").distance - 1.0
        };
        let bisect = |mut clear: f64, mut blocked: f64| {
            while (clear - blocked).abs() > 1e-4 {
                let middle = 0.5 * (clear + blocked);
                if clearance(middle) > 0.0 { clear = middle } else { blocked = middle }
            }
            clear
        };
        let both = || {
            let up = bisect(pair.clearest_rise, pair.pulled + 0.2);
            (up, bisect(pair.clearest_rise, pair.pushed - 0.2))
        };
        let (pulled, pushed) = both();
        // The polylines' error over the clearance's slope along z, 0.2 and more.
        assert!((pulled - pair.pulled).abs() < 2e-3, "{pulled} {pair:?}");
        assert!((pushed - pair.pushed).abs() < 2e-3, "{pushed} {pair:?}");
        group.bench_function(BenchmarkId::new("parry, pitch and play only", &name), |bench| {
            bench.iter(both);
        });
    }
}

fn weaves(c: &mut Criterion) {
    let mut group = c.benchmark_group("chain/weaves");
    group.sample_size(10);
    let cases = [(link(20.0, 5.0, 5.0), (1, 2)), (link(20.0, 3.0, 8.0), (2, 1))];
    for (body, (chains, through)) in cases {
        let weave = Weave::new(chains, through).expect("known");
        group.bench_function(weave.name(), |bench| bench.iter(|| measure(black_box(&body), weave)));
    }
}

/// Is a frame of a drape drawn sixty times a second (16 ms), and does its cost grow linearly
/// with the links? Measured in motion: swinging from a laid arc, or dragged about.
fn drape(c: &mut Criterion) {
    let mut group = c.benchmark_group("chain/drape");
    let links = |count| {
        let link =
            DrapeLink { pitch: 4.0, weight: 1.0, half_thickness: 1.5, limits: [0.6, 0.4, 0.1] };
        vec![link; count]
    };
    let laid = |count: usize| {
        let span = 2.0 * count as f64;
        let ends = [Point::origin(), Point::new(span, 0.0, 0.0)];
        Drape::new(links(count), ends, -Vector::z(), None).expect("reaches")
    };
    for count in [50, 100, 150, 200, 400] {
        let start = laid(count);
        group.bench_function(BenchmarkId::new("60 frames, dragged", count), |bench| {
            bench.iter(|| {
                let mut drape = start.clone();
                for frame in 0..60 {
                    let path = 0.05 * f64::from(frame) * count as f64;
                    drape.pull(Some((count / 2, Point::new(count as f64, path, -path))));
                    drape.step(1.0 / 60.0);
                }
                drape.depth()
            });
        });
        group.bench_function(BenchmarkId::new("to rest", count), |bench| {
            bench.iter(|| {
                let mut drape = start.clone();
                assert!(drape.settle(1000));
                drape.depth()
            });
        });
    }
    let round = DrapeForm::Cylinder {
        centre: Point::origin(),
        axis: Vector::y_axis(),
        across: Vector::x_axis(),
        half_widths: [32.0, 22.0],
    };
    let ends = [Point::new(-2.0, 0.0, 23.6), Point::new(2.0, 0.0, 23.6)];
    let wrist = Drape::new(links(60), ends, -Vector::z(), Some(round)).expect("reaches");
    group.bench_function("round a wrist, 60 links, to rest", |bench| {
        bench.iter(|| {
            let mut drape = wrist.clone();
            drape.settle(1000)
        });
    });
}

criterion_group!(benches, report, weaves, drape);
criterion_main!(benches);
