//! Promises of forming that hold for every ring and every jaw.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::build::{BuildError, field_of};
use linkfold::geometry::curve::{ClosedCurve, Point};
use linkfold::geometry::link::{
    Fold, FoldSpan, Forming, Step, StepShape, ToolDimensions, WRAP_DEVIATION,
};
use proptest::prelude::*;

/// Settings over the whole range a maker could type, most of which can be formed.
fn any_setting() -> impl Strategy<Value = ToolDimensions> {
    let tools =
        (1.2..4.5_f64, 1.0..4.0_f64, 0.8..4.0_f64, 0.0..0.6_f64, 0.5..6.0_f64, 0.02..1.0_f64);
    let hardly = (-18.0..-2.0_f64).prop_map(|power| 10f64.powf(power));
    let neck = prop_oneof![Just(0.0), 0.01..4.0_f64, hardly];
    (5.0..30.0_f64, 0.3..3.0_f64, 0.0..0.5_f64, 0.0..1.0_f64, tools, neck).prop_map(
        |(ratio, wire, kerf, stretch, (jaw, bore, pinch, gap, fold, tip_gap), neck)| {
            let mandrel = ratio * wire;
            ToolDimensions {
                springback: 0.01 * mandrel,
                kerf: kerf * wire,
                oval_jaw: jaw * wire,
                oval_length: (stretch < 0.5).then_some(mandrel * (1.02 + 0.3 * stretch)),
                bore: bore * wire,
                waist_gap: gap * wire,
                pinch_jaw: pinch * wire,
                neck: neck * wire,
                fold_jaw: fold * wire,
                tip_gap: tip_gap * wire,
                ..ToolDimensions::usual(wire, mandrel)
            }
        },
    )
}

fn every_state(forming: &Forming) -> Vec<StepShape> {
    [Step::Stretch, Step::Pinch, Step::Fold]
        .into_iter()
        .flat_map(|step| (0..=7).map(move |i| (step, f64::from(i) / 7.0)))
        .map(|(step, share)| forming.at(step, share))
        .collect()
}

/// Greatest and least coordinate along each axis, from points 0.002 of the length apart.
fn extent(curve: &ClosedCurve) -> (Point, Point) {
    let mut least = Point::from([f64::INFINITY; 3]);
    let mut most = Point::from([f64::NEG_INFINITY; 3]);
    for (p, _) in curve.walk(curve.length() * 5e-4) {
        least = least.inf(&p);
        most = most.sup(&p);
    }
    (least, most)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Bending does not stretch the centreline: every part-formed state has the ring's length.
    #[test]
    fn every_state_of_every_step_keeps_the_length(setting in any_setting()) {
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        let length = forming.ring.centreline;
        prop_assert!((forming.ring.curve().length() / length - 1.0).abs() < 1e-12);
        for state in every_state(&forming) {
            let curve = state.curve();
            // Closing and tangents were checked by the constructor; check them again here.
            prop_assert!(ClosedCurve::new(curve.pieces().to_vec()).is_ok(), "{state:?}");
            let error = curve.length() / length - 1.0;
            prop_assert!(error.abs() < 1e-12, "{state:?}: {error:e}");
        }
    }

    /// With everything doubled, every answer doubles (1e-9: roots are found to rounding).
    #[test]
    fn everything_doubled_gives_everything_doubled(setting in any_setting()) {
        let (small, large) = (Forming::new(setting), Forming::new(setting.scaled(2.0)));
        prop_assert_eq!(small.is_ok(), large.is_ok());
        let (Ok(small), Ok(large)) = (small, large) else { return Ok(()) };
        for (a, b) in every_state(&small).iter().zip(every_state(&large)) {
            let ((a_low, a_high), (b_low, b_high)) = (extent(&a.curve()), extent(&b.curve()));
            let off = (b_low - 2.0 * a_low.coords).coords.norm() + (b_high - 2.0 * a_high.coords).coords.norm();
            prop_assert!(off < 1e-9 * large.ring.centreline, "{a:?} {b:?} {off:e}");
        }
    }

    /// The calliper measures are those of the outline itself (sampled; the ends of an arc
    /// lie between samples 5e-4 L apart, at most (5e-4 L)²/(8 r) short).
    #[test]
    fn calliper_measures_are_the_outlines(setting in any_setting()) {
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        let (d, length) = (setting.wire, forming.ring.centreline);
        let budget = (5e-4 * length).powi(2) / (4.0 * 0.5 * d);
        let near = |a: f64, b: f64, what: &str| {
            prop_assert!((a - b).abs() < budget, "{what}: {a} against {b}, {setting:?}");
            Ok(())
        };
        let (low, high) = extent(&forming.oval.curve());
        near(high.x - low.x - d, forming.oval.inside_length(), "oval inside length")?;
        near(high.y - low.y - d, forming.oval.inside_width(), "oval inside width")?;
        let (low, high) = extent(&forming.eight.curve());
        near(high.x - low.x, 2.0 * forming.eight.tip(), "eight tip to tip")?;
        near(high.y - low.y - d, forming.eight.bore(), "bore")?;
        let (low, high) = extent(&forming.fold.curve());
        prop_assert!(low.z.abs() < 2.0 * WRAP_DEVIATION * d);
        near(high.z + d, forming.fold.outside_height(), "outside height")?;
        near(forming.fold.tip_gap(), setting.tip_gap, "tip gap")?;
    }

    /// While a lobe is pressed, no place of the wire, told by its length from the waist, moves
    /// further than is promised; the link with one lobe pressed closes and keeps its length.
    #[test]
    fn a_pressed_lobe_keeps_its_length_and_moves_no_further_than_promised(
        setting in any_setting(), to in 0.02..1.2_f64, from in 0.02..1.2_f64,
    ) {
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        let eight = forming.eight;
        let bore = |fraction: f64| fraction * setting.bore;
        let (Some(a), Some(b)) = (eight.with_bore(bore(from)), eight.with_bore(bore(to))) else {
            return Ok(());
        };
        let length = forming.ring.centreline;
        prop_assert!((a.curve().length() / length - 1.0).abs() < 1e-12);
        let most = a.moved_at_most(&b);
        for step in 0..=4 {
            let between = bore(from + (to - from) * f64::from(step) / 4.0);
            let Some(between) = eight.with_bore(between) else { continue };
            for i in 0..=60 {
                let s = 0.25 * length * f64::from(i) / 60.0;
                let moved = (between.curve().point(s) - a.curve().point(s)).norm();
                prop_assert!(moved <= most + 1e-9 * length, "{moved} of {most} at {i}: {a:?} {b:?}");
            }
        }
        let pressed = forming.fold.pressed_to(bore(to));
        for share in [0.0, 0.3, 1.0] {
            let curve = pressed.opened_to(share * pressed.half_angle).curve();
            prop_assert!(ClosedCurve::new(curve.pieces().to_vec()).is_ok(), "{share}");
            prop_assert!((curve.length() / length - 1.0).abs() < 1e-12);
        }
    }

    /// A dumb-bell against its own closed form: half the neck, shoulders out of two turns, sides,
    /// end (the lines in `link/eight.rs`, here from the ring's length alone).
    #[test]
    fn a_necked_eight_is_the_dumb_bell_of_its_closed_form(setting in any_setting()) {
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        // A shorter neck leaves the sides flaring.
        prop_assume!(setting.neck >= setting.wire);
        let (r, w) = (0.5 * (setting.bore + setting.wire), setting.wire + setting.waist_gap);
        let rho = 0.5 * (setting.pinch_jaw + setting.wire);
        let rise = r - 0.5 * w;
        let (theta, flare) = if rise < 2.0 * rho {
            ((1.0 - rise / (2.0 * rho)).acos(), 0.0)
        } else {
            (std::f64::consts::FRAC_PI_2, rise - 2.0 * rho)
        };
        let quarter = 0.25 * forming.ring.centreline;
        let side = quarter - setting.neck - 2.0 * rho * theta - flare - 0.5 * std::f64::consts::PI * r;
        let tip = setting.neck + 2.0 * rho * theta.sin() + flare * theta.cos() + side + r;
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * quarter;
        prop_assert!(near(forming.eight.tip(), tip), "{} {tip}", forming.eight.tip());
        prop_assert!(near(forming.eight.side(), side), "{} {side}", forming.eight.side());
        // Along the neck the wires lie side by side, w apart; along the sides 2 r.
        let curve = forming.eight.curve();
        let neck = curve.point(0.999 * setting.neck);
        prop_assert!(near(neck.y, 0.5 * w) && near(neck.x, 0.999 * setting.neck), "{neck}");
        let along = setting.neck + 2.0 * rho * theta + flare + 0.5 * side;
        prop_assert!(near(curve.point(along).y, r), "{}", curve.point(along));
    }

    /// The arcs stay within the stated distance of the true wrap, and as near in arc length.
    #[test]
    fn the_written_fold_lies_on_the_true_wrap(setting in any_setting()) {
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        for share in [0.1, 0.4, 0.7, 1.0] {
            let StepShape::Fold(fold) = forming.at(Step::Fold, share) else { unreachable!() };
            let off = greatest_deviation(&fold.curve(), &fold, &fold.eight.curve());
            prop_assert!(off < WRAP_DEVIATION * setting.wire, "{} d, {fold:?}", off / setting.wire);
            // And what a proof takes apart of it, before its length is corrected.
            let all = FoldSpan { from: 0.0, to: fold.radius * fold.half_angle };
            for piece in fold.wrapped_part(all) {
                for share in [0.25, 0.5, 0.75] {
                    let off = off_the_wrap(&piece.point(share * piece.length()), &fold);
                    prop_assert!(off < WRAP_DEVIATION * setting.wire, "{} d", off / setting.wire);
                }
            }
        }
    }
}

/// How far a point is from the true wrap of the flat eight, at the most: unrolled from the jaw, its
/// distance from the flat wire, and that from the jaw's centreline cylinder.
fn off_the_wrap(point: &Point, fold: &Fold) -> f64 {
    let (across, up) = (point.x.abs(), fold.radius - point.z);
    let (u, v) = (fold.radius * across.atan2(up), point.y.abs());
    let flat = fold.eight.quarter_pieces().into_iter().map(|piece| {
        let to = |s: f64| (piece.point(s).x - u).hypot(piece.point(s).y - v);
        let (mut low, mut high) = (0.0, piece.length());
        for _ in 0..60 {
            let thirds = [low + (high - low) / 3.0, high - (high - low) / 3.0];
            if to(thirds[0]) < to(thirds[1]) { high = thirds[1] } else { low = thirds[0] }
        }
        to(0.5 * (low + high))
    });
    flat.fold(f64::INFINITY, f64::min).hypot(across.hypot(up) - fold.radius)
}

/// Greatest distance between points of equal arc length on the written and the true wrap.
fn greatest_deviation(written: &ClosedCurve, fold: &Fold, flat: &ClosedCurve) -> f64 {
    let steps = 600;
    (0..steps)
        .map(|i| {
            let s = flat.length() * f64::from(i) / f64::from(steps);
            let p = flat.point(s);
            let (on_spine, _) = fold.spine(p.x);
            let true_point = Point::new(on_spine.x, p.y, on_spine.z);
            (written.point(s) - true_point).norm()
        })
        .fold(0.0, f64::max)
}

/// A dimension that fails is named with a value that works, all others staying.
/// A longer neck changes the shape evenly, from none at all on: no place of the fold moves further
/// than ten times what the neck grows by (a jump at its beginning would be some tenths of a wire).
#[test]
fn the_shape_does_not_jump_as_a_neck_begins() {
    for (ratio, bore, pinch_jaw) in [(12.0, 2.5, 1.0), (14.0, 3.5, 4.0), (18.0, 2.8, 2.5)] {
        let fold = |neck: f64| {
            let tools = ToolDimensions {
                oval_jaw: bore,
                bore,
                pinch_jaw,
                neck,
                ..ToolDimensions::usual(1.0, ratio)
            };
            let link = Forming::new(tools).expect("formed");
            (link.eight, link.fold.curve())
        };
        let mut before = fold(0.0);
        let mut furthest: f64 = 0.0;
        for k in 1..=300 {
            let here = fold(0.005 * f64::from(k));
            let length = here.1.length();
            let moved = (0..200)
                .map(|i| length * f64::from(i) / 200.0)
                .map(|s| (here.1.point(s) - before.1.point(s)).norm())
                .fold(0.0, f64::max);
            furthest = furthest.max(moved);
            assert!(moved < 0.05, "{ratio}: {moved} at {k}");
            before = here;
        }
        println!("{ratio}: {furthest} at the most for 0.005 of neck");
        // A neck of a wire on leaves the sides parallel.
        let (eight, _) = fold(1.2);
        assert!((eight.tip() - eight.neck() - eight.side() - eight.end_radius) > 0.0);
    }
}

#[test]
fn the_value_an_error_proposes_works() {
    let good = ToolDimensions {
        waist_gap: 0.2,
        kerf: 0.25,
        oval_jaw: 2.25,
        bore: 2.25,
        pinch_jaw: 1.8,
        fold_jaw: 2.25,
        tip_gap: 0.1,
        ..ToolDimensions::usual(0.9, 10.0)
    };
    assert!(Forming::new(good).is_ok());
    type Change = fn(&mut ToolDimensions, f64);
    let cases: [(&str, Change, f64, Change); 10] = [
        (
            "mandrel_mm",
            |s, v| s.mandrel = v,
            3.0,
            |s, v| {
                s.mandrel = v;
                s.oval_jaw = 1.0
            },
        ),
        (
            "mandrel_mm",
            |s, v| {
                s.mandrel = v;
                s.kerf = 30.0
            },
            5.0,
            |s, v| {
                s.mandrel = v;
                s.kerf = 30.0;
            },
        ),
        ("oval_jaw_mm", |s, v| s.oval_jaw = v, 12.0, |s, v| s.oval_jaw = v * (1.0 - 1e-9)),
        ("oval_length_mm", |s, v| s.oval_length = Some(v), 5.0, |s, v| s.oval_length = Some(v)),
        ("oval_length_mm", |s, v| s.oval_length = Some(v), 25.0, |s, v| s.oval_length = Some(v)),
        ("waist_gap_mm", |s, v| s.waist_gap = v, 3.0, |s, v| s.waist_gap = v),
        ("neck_mm", |s, v| s.neck = v, 9.0, |s, v| s.neck = v * (1.0 - 1e-12)),
        ("fold_jaw_mm", |s, v| s.fold_jaw = v, 12.0, |s, v| s.fold_jaw = v * (1.0 - 1e-9)),
        (
            "threading_bore_mm",
            |s, v| s.threading_bore = Some(v),
            0.1,
            |s, v| s.threading_bore = Some(v),
        ),
        ("open_tip_gap_mm", |s, v| s.open_tip_gap = Some(v), 90.0, |s, v| s.open_tip_gap = Some(v)),
    ];
    for (field, spoil, value, mend) in cases {
        let mut bad = good;
        spoil(&mut bad, value);
        let error = Forming::new(bad).expect_err(field);
        assert_eq!(field_of(error.dimension()), field, "{error}");
        let proposed = match &error {
            linkfold::geometry::link::FormError::TooSmall { least, .. } => least.get(),
            linkfold::geometry::link::FormError::TooLarge { most, .. } => most.get(),
        };
        let mut mended = good;
        mend(&mut mended, proposed);
        assert!(Forming::new(mended).is_ok(), "{error} -> {:?}", Forming::new(mended));
        let told = BuildError::Form { index: 0, name: String::new(), source: error }.to_string();
        assert!(told.contains(field), "{told}");
    }
}
