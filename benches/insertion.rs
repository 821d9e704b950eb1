//! What a verdict costs a page that asks at every keystroke, beside the proof alone done with
//! an unrelated program at the same accuracy.

#[path = "../tests/distance/polyline.rs"]
mod polyline;

use criterion::{Criterion, criterion_group, criterion_main};
use linkfold::answers::dimension::Dimension;
use linkfold::answers::map::{Grid, Question};
use linkfold::documents::design::Design;
use linkfold::geometry::curve::Pose;
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::motion::insertion::{InsertionPath, Verdict, join, max_clearance};
use nalgebra::Translation3;
use parry3d_f64::math::Pose as OtherPose;
use parry3d_f64::query::distance;
use polyline::{inscribed, other_pose};
use std::hint::black_box;
use std::time::Instant;

fn forming(ratio: f64) -> Forming {
    let setting = ToolDimensions {
        kerf: 0.26,
        oval_jaw: 2.6,
        bore: 2.6,
        waist_gap: 0.05,
        fold_jaw: 2.6,
        ..ToolDimensions::usual(1.0, ratio)
    };
    Forming::new(setting).expect("formed")
}

/// Is a verdict within a frame of 16 ms; does one that fails take longer than one that
/// passes? And what would the proof of one way alone take with `parry3d`?
fn verdict(c: &mut Criterion) {
    let mut group = c.benchmark_group("threading/verdict");
    group.sample_size(20);
    for (name, ratio, passes) in
        [("roomy", 14.0, true), ("tight", 11.0, true), ("fails", 9.5, false)]
    {
        let link = forming(ratio);
        let found = join(&link, &link);
        assert_eq!(found.best().verdict == Verdict::Passes, passes, "{:?}", found.best());
        group.bench_function(name, |bench| bench.iter(|| join(black_box(&link), &link)));
        if passes {
            let ours = seconds(|| join(&link, &link));
            let start = Instant::now();
            let asked = proven_by_parry(&link, found.best());
            let theirs = start.elapsed().as_secs_f64();
            println!(
                "{name}: proof of one way with parry: {asked} distances, {:.0} ms; ours, with the search and both ways: {:.1} ms; ratio {:.1}",
                1e3 * theirs,
                1e3 * ours,
                theirs / ours
            );
        }
    }
    group.finish();
    let link = forming(11.0);
    c.bench_function("threading/clearance", |bench| {
        bench.iter(|| max_clearance(black_box(&link), &link))
    });
}

/// A map of 64 × 64 and the places it asks for; how long would `parry3d` take to prove as many?
fn map(c: &mut Criterion) {
    let design = Design::plain(0.9, 12.0);
    let question =
        Question::round(&design, 0, [Dimension::MandrelMm, Dimension::WireMm]).expect("two axes");
    let fill = || {
        let mut grid = Grid::new(design.margin_mm);
        while !grid.is_done() {
            for node in grid.next(64, &[]) {
                grid.set(node, question.clearance_at(node).ok());
            }
        }
        grid.computed()
    };
    let mut group = c.benchmark_group("threading/map");
    group.sample_size(10);
    group.bench_function("64 by 64", |bench| bench.iter(fill));
    group.finish();
    let link = forming(11.0);
    let found = join(&link, &link);
    let start = Instant::now();
    proven_by_parry(&link, found.best());
    let one = start.elapsed().as_secs_f64();
    let start = Instant::now();
    let computed = fill();
    let ours = start.elapsed().as_secs_f64();
    println!(
        "map: {computed} places searched in {:.0} ms; parry needs {:.0} s to prove as many ways (one timed, {computed} times as long): ratio {:.0}",
        1e3 * ours,
        one * computed as f64,
        one * computed as f64 / ours
    );
}

/// The same halving with distances from parry on polylines within 5e-4 wires; returns how many.
fn proven_by_parry(link: &Forming, path: &InsertionPath) -> usize {
    let error = 5e-4 * link.setting.wire;
    let fold = &link.fold;
    let still = inscribed(&fold.curve(), error);
    let arm = fold.eight.tip().hypot(fold.eight.end_radius);
    let goal = path.at_least - 4.0 * error;
    let mut asked = 0;
    let mut shape = (f64::NAN, inscribed(&fold.curve(), error));
    for pair in path.waypoints.windows(2) {
        let (from, to) = (&pair[0], &pair[1]);
        let centre = from.pose.inverse_transform_point(&path.pivot);
        let end = to.pose * centre;
        let turn = from.pose.rotation.angle_to(&to.pose.rotation);
        let bend = (to.half_angle - from.half_angle).abs();
        let reach = (end - path.pivot).norm()
            + turn * (arm + centre.coords.norm())
            + bend * fold.eight.tip();
        let mut open = vec![(0.0, 1.0)];
        while let Some((low, high)) = open.pop() {
            let t: f64 = 0.5 * (low + high);
            let rotation = from.pose.rotation.slerp(&to.pose.rotation, t);
            let at = path.pivot + t * (end - path.pivot);
            let pose = Pose::from_parts(Translation3::from(at - rotation * centre), rotation);
            let half_angle = from.half_angle + t * (to.half_angle - from.half_angle);
            if shape.0 != half_angle {
                shape = (half_angle, inscribed(&fold.opened_to(half_angle).curve(), error));
            }
            asked += 1;
            let here = OtherPose::identity();
            let seen = distance(&here, &still, &other_pose(&pose), &shape.1).expect("polylines");
            let clearance = seen.distance - link.setting.wire;
            if clearance - 0.5 * (high - low) * reach < goal && high - low > 1e-4 {
                open.extend([(t, high), (low, t)]);
            }
        }
    }
    asked
}

/// Least of five runs, s.
fn seconds<T>(mut run: impl FnMut() -> T) -> f64 {
    let once = |_| {
        let start = Instant::now();
        black_box(run());
        start.elapsed().as_secs_f64()
    };
    (0..5).map(once).fold(f64::INFINITY, f64::min)
}

criterion_group!(benches, verdict, map);
criterion_main!(benches);
