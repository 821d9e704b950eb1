//! What a frame of twelve links costs the core, on a phone's screen and on a desk: the wires
//! placed, fitted, drawn. The reference lays as many marks of the same shape in a list.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::motion::chain::{About, Body, Weave, measure};
use linkfold::render::chain::lying;
use linkfold::render::{Camera, Drawing, Tone, Window};
use std::hint::black_box;

fn twelve(c: &mut Criterion) {
    let body = Body::of(&Forming::new(ToolDimensions::usual(1.0, 12.0)).expect("formed").fold);
    let found = measure(&body, Weave::SINGLE).expect("a chain");
    let bent = found.bent(&body, About::X, 0.0);
    let mut group = c.benchmark_group("picture/twelve links");
    for (name, width, height) in [("phone", 334.0, 331.0), ("desk", 726.0, 494.0)] {
        let window = Window { width, height };
        let placed = || lying(&body, &found, &bent, 12).soldered(Some(0.25));
        let mut drawing = Drawing::default();
        let draw = |scene: &linkfold::render::Scene, drawing: &mut Drawing| {
            let fit = scene.fit(scene.home, window);
            drawing.clear();
            let view = Camera::default().view(scene.home, fit, window);
            scene.draw_into(&view, LengthUnit::Mm, drawing);
        };
        let scene = placed();
        group.bench_function(BenchmarkId::new("placed", name), |bench| bench.iter(placed));
        group.bench_function(BenchmarkId::new("drawn", name), |bench| {
            bench.iter(|| draw(black_box(&scene), &mut drawing));
        });
        let marks = drawing.marks.len();
        let mut list = Drawing::default();
        group.bench_function(BenchmarkId::new("as many marks", name), |bench| {
            bench.iter(|| {
                list.clear();
                for i in 0..marks {
                    let [x, y] = [i as f64, black_box(0.5 * i as f64)];
                    list.fill(Tone::Rim, &[[x, y], [x + 1.0, y], [x + 1.0, y + 1.0], [x, y + 1.0]]);
                }
            });
        });
    }
    group.finish();
}

criterion_group!(benches, twelve);
criterion_main!(benches);
