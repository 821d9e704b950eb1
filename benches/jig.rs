//! How long a gauge plate takes, from the design to the file, beside the clearances that it rests on: of
//! one size and of three.

use criterion::{Criterion, criterion_group, criterion_main};
use linkfold::answers::jig::{Jig, JigKind, JigRequest};
use linkfold::documents::design::Design;
use linkfold::mesh::stl;
use linkfold::motion::insertion::max_clearance;
use std::hint::black_box;

const SWELLING: &str = include_str!("../www/examples/swelling-necklace.json");

fn plates(c: &mut Criterion) {
    let request = JigRequest { kind: JigKind::Plate, size: None, allowance_mm: 0.0 };
    for (name, design) in
        [("one size", Design::plain(0.9, 13.0)), ("three sizes", Design::parse(SWELLING).unwrap())]
    {
        let formings = design.formings().unwrap();
        let plate = Jig::for_design(&design, request).unwrap();
        assert_eq!(plate.pockets.len(), 8 * formings.len());
        let mut group = c.benchmark_group(name);
        group.bench_function("plate", |b| {
            b.iter(|| stl(&Jig::for_design(black_box(&design), request).unwrap().mesh().unwrap()));
        });
        group.bench_function("solid alone", |b| {
            b.iter(|| stl(&black_box(&plate).mesh().unwrap()));
        });
        // A join as meant, at both sides of six errors, and at their worst.
        group.bench_function("fourteen clearances a join", |b| {
            b.iter(|| {
                let joins = 3 * formings.len() - 2;
                (0..14 * joins).map(|_| max_clearance(&formings[0], &formings[0])).sum::<f64>()
            });
        });
        group.finish();
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = plates
}
criterion_main!(benches);
