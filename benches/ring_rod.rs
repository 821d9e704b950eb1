//! What one forming run costs: stretch, release, pinch, release. A page answers a change of
//! mandrel or jaw within 50 ms.

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use linkfold::math::units::Mm;
use linkfold::mechanics::material::{Band, FlowCurve, known_metal};
use linkfold::mechanics::ring_rod::{RingRod, RodError, RodSettings, RodShape};
use linkfold::mechanics::section::RoundSection;
use std::hint::black_box;

fn formed(flow: FlowCurve, settings: RodSettings) -> Result<RodShape, RodError> {
    let section = RoundSection::new(Mm::new(1.0)).expect("1 mm is a wire");
    let mut rod = RingRod::annealed(section, flow, Mm::new(11.0), settings)?;
    rod.stretch(Mm::new(3.0), Mm::new(13.0))?;
    rod.pinch(Mm::new(2.0), Mm::new(0.3))?;
    rod.release()
}

/// Cost by segments in a quarter of the ring.
fn forming_by_segments(c: &mut Criterion) {
    let flow = known_metal("sterling-silver").expect("in the table").flow_curve(Band::Likely);
    let mut group = c.benchmark_group("rod/forming");
    for segments in [32, 64, 128] {
        let settings = RodSettings { segments, ..RodSettings::default() };
        let kept = formed(flow, settings).expect("sterling forms");
        assert!(kept.waist_gap > 0.3 && kept.waist_gap < 1.0, "{}", kept.waist_gap);
        group.bench_with_input(BenchmarkId::from_parameter(segments), &settings, |bench, s| {
            bench.iter(|| formed(black_box(flow), *s));
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20).without_plots();
    targets = forming_by_segments
}
criterion_main!(benches);
