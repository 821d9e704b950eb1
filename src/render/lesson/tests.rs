use super::*;
use crate::answers::report::{ChainAnalysis, ProvenJoin, analyse_chain, prove};
use crate::documents::design::Design;
use crate::documents::units::length_text;
use crate::geometry::link::Forming;

struct KnownPace {
    formings: Vec<Forming>,
    bodies: Vec<Body>,
    proven: ProvenJoin,
    hung: Option<ChainAnalysis>,
}

fn known(wire: f64, mandrel: f64) -> KnownPace {
    let (design, unit) = (Design::plain(wire, mandrel), LengthUnit::Mm);
    let formings = design.formings().unwrap();
    let bodies = vec![Body::of(&formings[0].fold)];
    let proven = prove(&design, &formings, 0, unit).unwrap();
    let hung = analyse_chain(&design, &formings, &bodies, 0, unit);
    KnownPace { formings, bodies, proven, hung }
}

fn taught(known: &KnownPace) -> Taught<'_> {
    let (own, before) = (&known.formings[0], &known.proven.before[..]);
    let path = known.proven.paths.first();
    let joining = Joining { receiving: own, incoming: own, before, path };
    let found = known.hung.as_ref().and_then(|hung| hung.measures.as_ref());
    Taught {
        pace: Pace::of(&joining),
        joining,
        join: &known.proven.report,
        chain: found.map(|found| (&known.bodies[0], found)),
        seam: Some(0.1),
        unit: LengthUnit::Mm,
    }
}

#[test]
fn each_step_shows_its_tools_and_the_measure_it_tells() {
    let known = known(0.9, 13.5);
    let taught = taught(&known);
    let expected = [
        (0, 1),
        (0, 1),
        (0, 3),
        (1, 2),
        (2, 2),
        (1, 1),
        (0, 0),
        (0, 0),
        (0, 0),
        (0, 0),
        (1, 0),
        (0, 0),
    ];
    for (step, (measures, tools)) in Lesson::ALL.into_iter().zip(expected) {
        let done = if step < Lesson::Oval { 0.7 } else { 1.0 };
        let scene = taught.scene(step, done);
        assert_eq!((scene.measures.len(), scene.tools.len()), (measures, tools), "{step:?}");
        // Whatever is at work is named, and the moving hand shown.
        assert!(scene.tools.is_empty() || !scene.callouts.is_empty(), "{step:?}");
        let told = taught.measure(step);
        for measure in &scene.measures {
            let reading = length_text(measure.reading, LengthUnit::Mm);
            assert!(told.contains(&reading), "{step:?}: {told}, {reading} drawn");
        }
        assert!(!taught.caption(step, 1.0).is_empty());
    }
    let of = |step, done| taught.scene(step, done);
    assert_eq!(of(Lesson::Fold, 0.5).arrows.len(), 2);
    assert_eq!(taught.pace.tight_step(), Lesson::Close, "{:?}", taught.pace);
    let scene = of(Lesson::Close, TIGHTEST);
    assert!(!scene.spots[0].wrong, "{:?}", scene.spots);
    assert!(taught.measure(Lesson::Close).starts_with("Clear at the tight place"));
    assert!(taught.verdict().starts_with("Yes: joins, "), "{}", taught.verdict());
}

/// At the end of the first step of joining the tip stands between the two lobes; at the end of the
/// second the waist does: the loop is in both openings, half of it on either side.
#[test]
fn there_is_a_stop_between_the_two_openings() {
    let known = known(0.9, 13.5);
    let taught = taught(&known);
    let side = taught.joining.comes_from().unwrap();
    let reach = |step| {
        let scene = taught.scene(step, 1.0);
        let along = scene.strands[1].curve.walk(0.1).into_iter().map(|(p, _)| -side * p.x);
        along.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)))
    };
    let (_, tip) = reach(Lesson::First);
    assert!(tip.abs() < 0.1, "{tip}");
    let (back, front) = reach(Lesson::Second);
    let apart = 0.5 * known.formings[0].fold.leg_gap();
    assert!(front > apart + 2.0 && back < -apart - 2.0, "{back} {front}");
    let marked = |step, done| {
        let scene = taught.scene(step, done);
        scene.callouts.iter().map(|callout| callout.name).collect::<Vec<_>>()
    };
    assert_eq!(marked(Lesson::First, 1.0), ["first opening"]);
    assert_eq!(marked(Lesson::Second, 1.0), ["second opening"]);
}

/// The chain of five grows link by link, without a jump, to links at rest.
#[test]
fn the_chain_grows_link_by_link() {
    let known = known(0.9, 13.5);
    let taught = taught(&known);
    let mut before: Option<Scene> = None;
    for i in 0..=400 {
        let scene = taught.scene(Lesson::Chain, f64::from(i) / 400.0);
        let links = scene.strands.len();
        if let Some(before) = before {
            let known = before.strands.len();
            assert!(links == known || links == known + 1, "{known} {links}");
            for (a, b) in before.strands.iter().zip(&scene.strands) {
                let [a, b] = [a, b].map(|strand| strand.curve.pieces()[0].start());
                assert!((a - b).norm() < 3.0, "{i}: {} mm", (a - b).norm());
            }
        }
        before = Some(scene);
    }
    assert_eq!(before.unwrap().strands.len(), LINKS);
}

/// Names and readings lie beside wire, tools and one another in every step, on the pictures of a projector
/// beside another, alone, and of a phone.
#[test]
fn names_and_readings_keep_clear_of_wire_and_tools() {
    use crate::render::measure::covered_labels;
    use crate::render::{Camera, Drawing, Window};
    let known = known(0.9, 12.0);
    let taught = taught(&known);
    let (mut all, mut covered) = (0, Vec::new());
    for [width, height] in
        [[560.0, 330.0], [1180.0, 340.0], [1000.0, 330.0], [366.0, 250.0], [330.0, 158.0]]
    {
        let window = Window { width, height };
        for (step, done) in Lesson::ALL.into_iter().flat_map(|s| [0.4, 0.7, 1.0].map(|d| (s, d))) {
            let (viewpoint, framing) = taught.shot(step, done, window);
            let view = Camera::default().view(viewpoint, framing, window);
            let mut drawing = Drawing::default();
            taught.scene(step, done).draw_into(&view, LengthUnit::Mm, &mut drawing);
            let (count, on) = covered_labels(&mut drawing);
            covered.extend(on.iter().map(|text| format!("{text}: {step:?} {done} in {window:?}")));
            all += count;
        }
    }
    assert!(all > 100 && covered.is_empty(), "of {all}: {covered:#?}");
}

/// The camera comes from step to step without a jump.
#[test]
fn the_camera_makes_no_jump() {
    let known = known(0.9, 13.5);
    let taught = taught(&known);
    let window = crate::render::Window { width: 800.0, height: 450.0 };
    let mut before: Option<(crate::render::Viewpoint, crate::render::Framing)> = None;
    for step in Lesson::ALL {
        for i in 0..=50 {
            let shot = taught.shot(step, f64::from(i) / 50.0, window);
            if let Some((from, framing)) = before {
                let turned = (shot.0.yaw - from.yaw).hypot(shot.0.pitch - from.pitch);
                let grown = (shot.1.scale / framing.scale).ln().abs();
                assert!(turned < 0.2 && grown < 0.12, "{step:?} {i}: {turned} {grown}");
            }
            before = Some(shot);
        }
    }
}

#[test]
fn what_sticks_stops_where_the_wires_first_touch_and_says_so() {
    let known = known(1.2, 9.6);
    let taught = taught(&known);
    let pace = taught.pace;
    assert!(pace.overlap.is_some_and(|mm| mm > 0.1), "{pace:?}");
    let stuck = pace.tight_step();
    for (step, done) in [(stuck, TIGHTEST), (stuck, 1.0), (Lesson::Close, 1.0), (Lesson::Bend, 1.0)]
    {
        let scene = taught.scene(step, done);
        let spot = &scene.spots[0];
        assert!(spot.wrong && Some(spot.reading) == pace.overlap, "{spot:?}");
        // Touching: neither apart nor in one another.
        assert!((spot.from - spot.to).norm() < 0.02, "{spot:?}");
    }
    assert!(taught.scene(Lesson::First, 0.1).spots.is_empty());
    assert_eq!(taught.scene(Lesson::Chain, 1.0).strands.len(), 2);
    assert!(taught.measure(Lesson::Chain).contains("never"));
}

#[test]
fn the_rhythm_runs_on_without_a_jump_and_dwells_where_it_is_tight() {
    for tight in [0.0, 0.03, 0.4, 0.97, 1.0] {
        for overlap in [None, Some(0.2)] {
            let pace = Pace { tight, overlap, ..Pace::default() };
            let shares: Vec<f64> = JOINING
                .into_iter()
                .flat_map(|step| (0..=1000).map(move |i| pace.share(step, f64::from(i) / 1e3)))
                .collect();
            assert!(shares.windows(2).all(|p| (-1e-12..0.02).contains(&(p[1] - p[0]))), "{pace:?}");
            assert!((pace.share(pace.tight_step(), TIGHTEST) - tight).abs() < 1e-9);
            let end = if overlap.is_some() { tight } else { 1.0 };
            assert!((pace.share(Lesson::Close, 1.0) - end).abs() < 1e-9, "{pace:?}");
        }
    }
}
