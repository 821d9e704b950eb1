//! What the metal section of one size costs: a page answers a change of mandrel, jaw or metal with
//! a pull in 5 ms and a forming run in 50 ms. Each stands beside a reference in the same run.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::mechanics::forming::{Anneals, FormingAnalysis, FormingRun};
use linkfold::mechanics::material::{Band, known_metal};
use linkfold::mechanics::strength::Pull;
use nalgebra::{DMatrix, DVector};
use std::hint::black_box;

fn setting(ratio: f64) -> ToolDimensions {
    ToolDimensions { kerf: 0.26, ..ToolDimensions::usual(1.0, ratio) }
}

/// Seat, pull and both bounds for one link. Reference: one dense solve of the size that a
/// finite-element model of the same quarter takes, 60 straight elements.
fn pull_of_one_link(c: &mut Criterion) {
    let metal = known_metal("sterling-silver").expect("in the table");
    let mut group = c.benchmark_group("metal/pull");
    for ratio in [11.0, 13.0, 20.0, 40.0] {
        let fold = Forming::new(setting(ratio)).expect("these rings form").fold;
        let found = Pull::of(&fold, &metal).expect("these links seat");
        assert!(found.first_set.likely > 0.0);
        group.bench_with_input(BenchmarkId::from_parameter(ratio), &fold, |bench, fold| {
            bench.iter(|| Pull::of(black_box(fold), &metal));
        });
    }
    let size = 6 * 61;
    let dense =
        DMatrix::from_fn(
            size,
            size,
            |i, j| if i == j { 4.0 } else { 1.0 / (1.0 + i.abs_diff(j) as f64) },
        );
    let load = DVector::from_element(size, 1.0);
    group.bench_function("reference: dense solve of 366 unknowns", |bench| {
        bench.iter(|| black_box(&dense).clone().lu().solve(&load));
    });
}

/// One forming run in the likely metal, and the three of the band. Reference: the geometry alone.
fn forming_of_one_size(c: &mut Criterion) {
    let metal = known_metal("sterling-silver").expect("in the table");
    let flow = metal.flow_curve(Band::Likely);
    let mut group = c.benchmark_group("metal/forming");
    for ratio in [10.0, 13.0, 20.0, 40.0] {
        let setting = setting(ratio);
        let run = FormingRun::of(&setting, flow, Anneals::default()).expect("these rings form");
        assert!(run.coil_springback > 0.0);
        group.bench_with_input(BenchmarkId::new("likely", ratio), &setting, |bench, setting| {
            bench.iter(|| FormingRun::of(black_box(setting), flow, Anneals::default()));
        });
        group.bench_with_input(BenchmarkId::new("band", ratio), &setting, |bench, setting| {
            bench.iter(|| FormingAnalysis::of(black_box(setting), &metal, Anneals::default()));
        });
        group.bench_with_input(
            BenchmarkId::new("reference: geometry alone", ratio),
            &setting,
            |bench, setting| bench.iter(|| Forming::new(black_box(*setting))),
        );
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20).without_plots();
    targets = pull_of_one_link, forming_of_one_size
}
criterion_main!(benches);
