//! What one distance between two links costs a planner that asks thousands of times, beside
//! an unrelated program; and how the cost grows with the number of pieces.

#[path = "../tests/distance/curves.rs"]
#[allow(dead_code, reason = "shared with the tests, which use the rest")]
mod curves;
#[path = "../tests/distance/polyline.rs"]
mod polyline;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use curves::chain_pair;
use linkfold::geometry::curve::Pose;
use linkfold::geometry::distance::{Query, Tree, contacts, nearest, nearest_within};
use parry3d_f64::math::Pose as OtherPose;
use parry3d_f64::query::distance;
use std::hint::black_box;
use std::time::Instant;

/// Which way is quickest, and by how much, at the same accuracy? Links of 50 pieces, one
/// waist through the other's lobes; then drawn apart.
fn link_to_link(c: &mut Criterion) {
    let (link, seated) = chain_pair(25);
    let drawn = Pose::translation(0.05, 0.02, 7.4);
    let tree = Tree::new(&link);
    let here = Pose::identity();
    for (name, pose) in [("seated", seated), ("drawn apart", drawn)] {
        let mut group = c.benchmark_group(format!("clearance/{name}"));
        let found = nearest(&tree, &here, &tree, &pose);
        let coarse = Query { tolerance: 1e-3, hint: Some(found.hint), ..Query::default() };
        let ours = |query: Query| nearest_within(&tree, &tree, black_box(&pose), query);
        group.bench_function("exact", |bench| {
            bench.iter(|| nearest(&tree, &here, &tree, black_box(&pose)));
        });
        group.bench_function("hinted to 1e-3", |bench| bench.iter(|| ours(coarse)));
        let mut places = Vec::new();
        group.bench_function("contacts within 0.1", |bench| {
            bench.iter(|| {
                contacts(&tree, &tree, black_box(&pose), 0.1, Query::default(), &mut places)
            });
        });
        for error in [5e-4, 5e-6] {
            // Two polylines, each within `error`: the distance is within twice that.
            let line = polyline::inscribed(&link, error);
            let (at, origin) = (polyline::other_pose(&pose), OtherPose::identity());
            let theirs = || distance(&origin, &line, black_box(&at), &line).map(|d| d.distance);
            let value = theirs().expect("polylines are supported");
            assert!((value - found.distance_at_most).abs() <= 2.0 * error, "{value}, {found:?}");
            group.bench_function(format!("parry to {:.0e}", 2.0 * error), |bench| {
                bench.iter(theirs);
            });
            let plain = Query { tolerance: 2.0 * error, ..Query::default() };
            let ratio = seconds(theirs) / seconds(|| ours(plain));
            println!(
                "{name}: to {:.0e} mm, no hint: parry takes {ratio:.0} times as long",
                2.0 * error
            );
        }
    }
}

/// Least of several means: least disturbed.
fn seconds<T>(mut work: impl FnMut() -> T) -> f64 {
    let mean = |_| {
        let start = Instant::now();
        for _ in 0..200 {
            black_box(work());
        }
        start.elapsed().as_secs_f64() / 200.0
    };
    (0..20).map(mean).fold(f64::INFINITY, f64::min)
}

/// How does an exact query grow with the pieces of the same shape? Trees: hardly.
fn by_pieces(c: &mut Criterion) {
    let mut group = c.benchmark_group("clearance/pieces");
    for count in [8, 32, 128] {
        let (link, pose) = chain_pair(count);
        let tree = Tree::new(&link);
        group.bench_function(BenchmarkId::new("exact", 2 * count), |bench| {
            bench.iter(|| nearest(&tree, &Pose::identity(), &tree, black_box(&pose)));
        });
        group.bench_function(BenchmarkId::new("build", 2 * count), |bench| {
            bench.iter(|| Tree::new(black_box(&link)));
        });
    }
}

criterion_group!(benches, link_to_link, by_pieces);
criterion_main!(benches);
