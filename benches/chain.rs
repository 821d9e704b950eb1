//! What a full rest-and-swing report costs, beside one distance of the same two links by an
//! unrelated program; and what the other weaves cost.

#[path = "../tests/clearance/curves.rs"]
#[allow(dead_code, reason = "shared with the tests, which use the rest")]
mod curves;
#[allow(unused_imports, reason = "its test needs more than the bench does")]
#[path = "../tests/clearance/parry.rs"]
#[allow(dead_code, reason = "shared with the tests, which use the rest")]
mod parry;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::chain::{Body, Row, Weave, measure, rest};
use linkfold::curve::Pose;
use linkfold::form::{Forming, Setting};
use parry3d_f64::math::Pose as OtherPose;
use parry3d_f64::query::distance;
use std::hint::black_box;

fn link(ratio: f64, bore: f64, fold_jaw: f64) -> Body {
    let setting = Setting {
        wire: 1.0,
        mandrel: ratio,
        springback: 0.0,
        kerf: 0.0,
        oval_jaw: bore,
        oval_length: None,
        bore,
        waist_gap: 0.0,
        pinch_jaw: 2.0,
        fold_jaw,
        tip_gap: 0.1,
        open_tip_gap: None,
    };
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
        let found = measure(&body, Weave::SINGLE).expect("rests");
        group.bench_function(BenchmarkId::new("report", &name), |bench| {
            bench.iter(|| measure(black_box(&body), Weave::SINGLE));
        });
        group.bench_function(BenchmarkId::new("rest", &name), |bench| {
            bench.iter(|| rest(&Row::pair(black_box(&body), &body), 1));
        });
        let line = parry::inscribed(body.curve(), 5e-5);
        let room = |rise: f64| {
            let at = parry::other_pose(&Pose::translation(0.0, 0.0, rise));
            distance(&OtherPose::identity(), &line, &at, &line).expect("supported").distance - 1.0
        };
        let bisect = |mut clear: f64, mut blocked: f64| {
            while (clear - blocked).abs() > 1e-4 {
                let middle = 0.5 * (clear + blocked);
                if room(middle) > 0.0 { clear = middle } else { blocked = middle }
            }
            clear
        };
        let rest = found.joint.rest;
        let both = || {
            let up = bisect(rest.roomiest, rest.pulled + 0.2);
            (up, bisect(rest.roomiest, rest.pushed - 0.2))
        };
        let (pulled, pushed) = both();
        // The polylines' error over the room's slope along z, 0.2 and more.
        assert!((pulled - rest.pulled).abs() < 2e-3, "{pulled} {rest:?}");
        assert!((pushed - rest.pushed).abs() < 2e-3, "{pushed} {rest:?}");
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

criterion_group!(benches, report, weaves);
criterion_main!(benches);
