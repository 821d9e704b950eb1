//! Planning a chain as its maker types, and what an uneven hand fails at.

use criterion::{Criterion, criterion_group, criterion_main};
use linkfold::answers::plan::{Hand, Plan, failing};
use linkfold::documents::design::{Design, PlanChoice, Size};
use linkfold::motion::chain::{Body, Weave, seated};
use linkfold::motion::insertion::max_clearance;
use std::hint::black_box;

/// What a change of the plan takes with all sizes formed, beside the rest of one size alone, of
/// which a plan of three sizes needs three and the pitches between: it should stay within some
/// ten of it.
fn plan(c: &mut Criterion) {
    let mut group = c.benchmark_group("plan");
    let mut design = Design::plain(1.0, 11.0);
    design.sizes = [11.0, 12.0, 13.0].map(Size::on_mandrel).to_vec();
    design.plan = Some(PlanChoice::default());
    let formings = design.formings().unwrap();
    let body = Body::of(&formings[0].fold);
    assert!(Plan::of(&design, &formings).unwrap().materials.links() > 30);
    group.bench_function("rest of one size (reference)", |b| {
        b.iter(|| seated(black_box(&body), Weave::SINGLE).unwrap().pulled);
    });
    group.bench_function("three sizes", |b| {
        b.iter(|| Plan::of(black_box(&design), &formings).unwrap().layout.length);
    });
    group.finish();
}

/// The share that fails, beside one clearance worked out: it looks at a hundred and forty-one links, most of
/// them only as they lie.
fn scatter(c: &mut Criterion) {
    let mut group = c.benchmark_group("scatter");
    group.sample_size(10);
    let design = Design::plain(1.0, 12.0);
    let formings = design.formings().unwrap();
    let (forming, setting) = (formings[0], formings[0].setting);
    let hand = Hand::of(&design, &formings, &PlanChoice::default());
    assert_eq!(failing(&setting, &setting, &hand, 16).clearances, 141);
    group.bench_function("one clearance (reference)", |b| {
        b.iter(|| max_clearance(black_box(&forming), &forming));
    });
    group.bench_function("share that fails", |b| {
        b.iter(|| failing(black_box(&setting), &setting, &hand, 16).share);
    });
    group.finish();
}

criterion_group!(benches, plan, scatter);
criterion_main!(benches);
