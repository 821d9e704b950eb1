//! The chain at rest and in the hand, against closed forms and slow, obvious ways.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Straight, Vector};
use linkfold::geometry::link::{Forming, ToolDimension, ToolDimensions};
use linkfold::motion::chain::{
    Body, ChainError, Row, Weave, coil_axis, crowding_across, joint, limit, measure, rest,
    suggestions,
};
use nalgebra::{Rotation3, Translation3, Unit, UnitQuaternion};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// A link in wires: mandrel `ratio`, bore and fold jaw; the rest as the design leaves it.
fn setting(ratio: f64, bore: f64, fold_jaw: f64) -> ToolDimensions {
    ToolDimensions { oval_jaw: bore, bore, fold_jaw, ..ToolDimensions::usual(1.0, ratio) }
}

fn link(ratio: f64, bore: f64, fold_jaw: f64) -> Body {
    Body::of(&Forming::new(setting(ratio, bore, fold_jaw)).unwrap().fold)
}

/// A circle about the origin in the plane of z and `across`.
fn ring(radius: f64, across: Unit<Vector>) -> ClosedCurve {
    let centre = Point::origin();
    let arc = Arc { centre, out: Vector::z_axis(), along: across, radius, turn: TAU };
    ClosedCurve::new(vec![Piece::Arc(arc)]).unwrap()
}

/// A stadium about the origin: straights of `length` along `along`, `2 radius` apart.
fn stadium(radius: f64, length: f64, along: Unit<Vector>, across: Unit<Vector>) -> ClosedCurve {
    let straight = |side: f64| {
        let start = Point::from(
            radius * side * across.into_inner() - 0.5 * length * side * along.into_inner(),
        );
        let direction = if side > 0.0 { along } else { -along };
        Piece::Straight(Straight { start, direction, length })
    };
    let end = |side: f64| {
        let centre = Point::from(0.5 * length * side * along.into_inner());
        let (out, along) = if side > 0.0 { (across, along) } else { (-across, -along) };
        Piece::Arc(Arc { centre, out, along, radius, turn: PI })
    };
    ClosedCurve::new(vec![straight(1.0), end(1.0), straight(-1.0), end(-1.0)]).unwrap()
}

/// Two plain rings of one chain, their planes at right angles. Pulled, the wires cross at
/// right angles where they touch: centres `R + R' − (d + d')/2` apart; pushed, the
/// later one comes down on the earlier one's top, or on its bottom if it is the larger:
/// `|R − R'| + (d + d')/2`. By hand.
#[test]
fn plain_rings_touch_where_hand_calculation_says() {
    for (radius, wire, other, thin) in
        [(4.0, 1.0, 4.0, 1.0), (5.0, 1.2, 4.5, 0.7), (3.0, 0.4, 3.2, 0.9)]
    {
        let a = Body::new(&ring(radius, Vector::x_axis()), wire);
        let b = Body::new(&ring(other, Vector::y_axis()), thin);
        let metal = 0.5 * (wire + thin);
        let rest = rest(&Row::pair(&a, &b), 1).unwrap();
        assert!((rest.pulled - (radius + other - metal)).abs() < 1e-8, "{rest:?}");
        assert!((rest.pushed - ((radius - other).abs() + metal)).abs() < 1e-8, "{rest:?}");
        assert!(rest.pulled_at.clearance.abs() < 1e-8 && rest.pushed_at.clearance.abs() < 1e-8);
    }
}

/// A long oval stood through a long slot. Seen from above, its strands are a line through
/// the middle between two wires `r` to either side: turned by θ, the line is `r cos θ` from
/// both. It sticks at `cos θ = d/r`, whatever the shift. Plane geometry.
#[test]
fn a_pin_twists_in_a_slot_as_far_as_plane_geometry_says() {
    for (r, wire) in [(2.0, 1.0), (3.0, 1.0), (1.3, 0.8)] {
        let slot = Body::new(&stadium(r, 12.0, Vector::z_axis(), Vector::x_axis()), wire);
        let pin = Body::new(&stadium(1.5, 30.0, Vector::y_axis(), Vector::z_axis()), wire);
        let row = Row::pair(&slot, &pin);
        for axis in [Vector::z_axis(), -Vector::z_axis()] {
            let found = limit(&row, &Pose::identity(), axis, 3.0).angle.to_degrees();
            let expected = (wire / r).acos().to_degrees();
            assert!((found - expected).abs() < 0.1, "{found}°, expected {expected}°");
        }
    }
}

/// The same pin tilted in the slot's length: two strands `c` either side of its middle, the
/// slot's ends `H` from its own. The strands come to `H cos θ − c` from both ends.
#[test]
fn a_pin_swings_in_a_slot_as_far_as_plane_geometry_says() {
    for (c, r, straight, wire) in [(1.5, 2.0, 6.0, 1.0), (1.0, 3.0, 4.0, 0.8)] {
        let slot = Body::new(&stadium(r, straight, Vector::z_axis(), Vector::x_axis()), wire);
        let pin = Body::new(&stadium(c, 40.0, Vector::y_axis(), Vector::z_axis()), wire);
        let row = Row::pair(&slot, &pin);
        let found = limit(&row, &Pose::identity(), Vector::x_axis(), 3.0);
        let end = 0.5 * straight + r;
        let expected = ((wire + c) / end).acos().to_degrees();
        let degrees = found.angle.to_degrees();
        assert!((degrees - expected).abs() < 0.1, "{degrees}°, expected {expected}°");
        // The touching place is at an end of the slot.
        let place = found.stop.expect("stopped").place;
        assert!(place.z.abs() > end - 1.5 * wire && place.x.abs() < 0.2, "{place:?}");
    }
}

/// The clearance all round of two links at a rise, by samples of both centrelines: over by no more
/// than the square of half a step.
fn slow(body: &Body, rise: f64, step: f64) -> f64 {
    let places = body.curve().walk(step);
    let lift = Vector::new(0.0, 0.0, rise);
    let mut least = f64::INFINITY;
    for (p, _) in &places {
        for (q, _) in &places {
            least = least.min((q + lift - p).norm_squared());
        }
    }
    least.sqrt() - 1.0
}

/// The most clearance at rest, or the least overlap where there is none, is that of the best of all
/// rises, tried one after the other; from tight links to loose ones.
#[test]
fn no_rise_has_more_clearance_than_the_one_at_rest() {
    for (ratio, bore, jaw) in
        [(9.0, 3.0, 2.6), (10.0, 3.0, 2.6), (12.0, 3.0, 2.6), (10.0, 2.5, 2.3), (12.0, 2.5, 2.3)]
    {
        let body = link(ratio, bore, jaw);
        let clearance = match rest(&Row::pair(&body, &body), 1) {
            Ok(rest) => rest.clearance,
            Err(ChainError::NoRest { overlap, .. }) => -overlap.get(),
            Err(other) => panic!("{other}"),
        };
        let heights = body.curve().walk(0.05).into_iter().map(|(p, _)| p.z);
        let height = heights.clone().fold(f64::MIN, f64::max) - heights.fold(f64::MAX, f64::min);
        // A link whose wire is above all of the other's does not hang in it.
        let coarse = (1..200).map(|i| f64::from(i) / 200.0 * (height - 1.0));
        let seen = coarse.map(|rise| (slow(&body, rise, 0.1), rise));
        let near = seen.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap().1;
        let fine = (-30..=30).map(|i| slow(&body, near + 2e-3 * f64::from(i), 0.04));
        let best = fine.fold(f64::MIN, f64::max);
        // Samples: 0.02² a wire; rises: half of 2e-3 at a slope of one.
        assert!((clearance - best).abs() < 1.5e-3, "ratio {ratio}: {clearance}, tried {best}");
    }
}

/// At the pulled and the pushed rise wires just touch; a little between is clear, a little
/// beyond is not. By samples of both centrelines, no tree.
#[test]
fn wires_just_touch_at_the_pulled_and_the_pushed_rise() {
    let body = link(12.0, 3.0, 2.6);
    let rest = rest(&Row::pair(&body, &body), 1).unwrap();
    let slow = |rise: f64| slow(&body, rise, 0.02);
    for rise in [rest.pulled, rest.pushed] {
        // Two samples are within half a step of the true places: 0.01²/d each way at most.
        assert!(slow(rise).abs() < 4e-4, "{} at {rise}", slow(rise));
    }
    assert!(slow(rest.pulled - 0.05) > 1e-3 && slow(rest.pulled + 0.05) < -1e-3);
    assert!(slow(rest.pushed + 0.05) > 1e-3 && slow(rest.pushed - 0.05) < -1e-3);
    assert!((slow(rest.clearest_rise) - rest.clearance).abs() < 4e-4);
}

/// Just short of a limit there is clearance somewhere; just past it there is none anywhere near,
/// by trying out a grid of shifts and halving it about the best.
#[test]
fn no_shift_gives_clearance_past_a_limit() {
    let body = link(12.0, 3.0, 2.6);
    let row = Row::pair(&body, &body);
    let seat = rest(&row, 1).unwrap();
    let start = Pose::translation(0.0, 0.0, seat.clearest_rise);
    for axis in [Vector::x_axis(), Vector::y_axis(), Vector::z_axis()] {
        let limit = limit(&row, &start, axis, 3.0);
        let best = |more: f64| {
            let turn = UnitQuaternion::from_axis_angle(&axis, limit.angle + more);
            let mut middle = limit.step.translation.vector;
            let mut best = f64::NEG_INFINITY;
            let mut size = 0.4;
            while size > 2e-3 {
                let around = middle;
                for i in 0..343 {
                    let at = |k: i32| size * f64::from(i / k % 7 - 3) / 3.0;
                    let shift = around + Vector::new(at(1), at(7), at(49));
                    let pose = Pose::from_parts(Translation3::from(shift), turn);
                    let clearance = row.nearest(&pose).clearance;
                    if clearance > best {
                        (best, middle) = (clearance, shift);
                    }
                }
                size *= 0.5;
            }
            best
        };
        let degree = PI / 180.0;
        assert!(best(-0.1 * degree) > 0.0, "{axis:?} {limit:?}");
        assert!(best(0.1 * degree) < 0.0, "{axis:?} {limit:?}");
    }
}

/// A link is its own mirror image in x = 0 and in y = 0, so it turns equally far both ways;
/// asked both ways, not told so.
#[test]
fn a_symmetric_link_turns_equally_far_both_ways() {
    let forming = |ratio| Forming::new(setting(ratio, 3.0, 3.0)).unwrap().fold.curve();
    let (small, large) = (Body::new(&forming(11.0), 1.0), Body::new(&forming(13.0), 1.0));
    for (a, b) in [(&small, &small), (&small, &large), (&large, &small)] {
        let joint = joint(a, b).unwrap();
        for paths in [joint.swing_x, joint.swing_y, joint.twist] {
            let (plus, minus) = (paths.plus.angle.to_degrees(), paths.minus.angle.to_degrees());
            assert!((plus - minus).abs() < 0.1, "{plus}° and {minus}°");
        }
    }
}

/// Everything geometric scales with the wire.
#[test]
fn measures_scale_with_the_wire() {
    let plain = setting(12.0, 2.5, 2.5);
    let one = measure(&Body::of(&Forming::new(plain).unwrap().fold), Weave::SINGLE).unwrap();
    for scale in [0.3, 7.0] {
        let fold = Forming::new(plain.scaled(scale)).unwrap().fold;
        let other = measure(&Body::of(&fold), Weave::SINGLE).unwrap();
        let lengths = |m: &linkfold::motion::chain::Measures| {
            [m.joint.rest.pulled, m.joint.rest.pushed, m.width, m.thickness, m.crowding]
        };
        for (a, b) in lengths(&one).into_iter().zip(lengths(&other)) {
            assert!((a - b / scale).abs() < 1e-7, "{a} and {b} at {scale}");
        }
        let angles = |m: &linkfold::motion::chain::Measures| {
            [m.joint.swing_x, m.joint.swing_y, m.joint.twist].map(|w| w.plus.angle.to_degrees())
        };
        for (a, b) in angles(&one).into_iter().zip(angles(&other)) {
            assert!((a - b).abs() < 0.1, "{a}° and {b}° at {scale}");
        }
        assert!((one.suppleness_x() - other.suppleness_x()).abs() < 0.02 * one.suppleness_x());
    }
}

/// Common practice, no source: more mandrel in the same wire makes a longer, suppler chain.
#[test]
fn more_mandrel_makes_a_suppler_chain() {
    let found: Vec<_> = [10.5, 12.0, 14.0, 16.0]
        .map(|ratio| measure(&link(ratio, 3.0, 2.8), Weave::SINGLE).unwrap())
        .into();
    for pair in found.windows(2) {
        assert!(pair[1].joint.rest.pulled > pair[0].joint.rest.pulled);
        assert!(pair[1].joint.rest.play() > pair[0].joint.rest.play());
        assert!(pair[1].suppleness_x() < pair[0].suppleness_x());
        assert!(pair[1].suppleness_y() < pair[0].suppleness_y());
    }
}

/// Links one after another by the coil's own step stand about one axis, and the nearest
/// metal of every one is as far from it as the rod inside says.
#[test]
fn a_coil_of_links_stands_round_its_rod() {
    let body = link(12.0, 3.0, 3.0);
    let found = measure(&body, Weave::SINGLE).unwrap();
    for (paths, coil) in [(found.joint.swing_x, found.coil_x), (found.joint.swing_y, found.coil_y)]
    {
        let step = paths.plus.step;
        assert!((coil.turn - step.rotation.angle()).abs() < 1e-9);
        let (centre, axis) = coil_axis(&step).unwrap();
        let mut pose = Pose::identity();
        for _ in 0..6 {
            let from_axis = |p: &Point| (pose * p - centre).cross(&axis).norm();
            let places = body.curve().walk(0.01);
            let least = places.iter().map(|(p, _)| from_axis(p)).fold(f64::INFINITY, f64::min);
            assert!((2.0 * least - 1.0 - coil.inside).abs() < 2e-3, "{least} {coil:?}");
            pose *= step;
        }
    }
}

/// A chord of length `t` under an angle θ: radius `t / (2 sin θ/2)`.
#[test]
fn equal_steps_lie_on_the_circle_of_their_chord() {
    let turn = UnitQuaternion::from(Rotation3::from_axis_angle(&Vector::y_axis(), 0.4));
    let step = Pose::from_parts(Translation3::new(0.6, 0.0, 2.0), turn);
    let (centre, axis) = coil_axis(&step).unwrap();
    let expected = Vector::new(0.6, 0.0, 2.0).norm() / (2.0 * 0.2f64.sin());
    let mut pose = Pose::identity();
    for _ in 0..8 {
        let out = Point::from(pose.translation.vector) - centre;
        assert!((out.norm() - expected).abs() < 1e-12 && out.dot(&axis).abs() < 1e-12);
        pose *= step;
    }
    assert_eq!(coil_axis(&Pose::translation(0.0, 0.0, 1.0)), None);
}

/// Where nothing beside is in the way, a double chain's links rise half as far, since each
/// hangs from the second before it; and so do two chains crossed, each link from the one
/// before the other chain's. Less clearance, and stiffer.
#[test]
fn a_second_waist_or_a_second_chain_halves_the_rise() {
    for (body, weave) in [
        (link(20.0, 5.0, 5.0), Weave::new(1, 2).unwrap()),
        (link(20.0, 3.0, 8.0), Weave::new(2, 1).unwrap()),
    ] {
        let single = measure(&body, Weave::SINGLE).unwrap();
        let other = measure(&body, weave).unwrap();
        let name = weave.name();
        let half = 0.5 * single.joint.rest.pulled;
        assert!((other.joint.rest.pulled - half).abs() < 1e-6, "{name}: {half}, {other:?}");
        assert!(other.joint.rest.clearance <= single.joint.rest.clearance + 1e-6, "{name}");
        assert!(other.suppleness_x() > single.suppleness_x(), "{name}");
        assert!(other.suppleness_y() > single.suppleness_y(), "{name}");
    }
}

/// Two chains crossed at right angles are alike about x and y.
#[test]
fn a_two_way_chain_swings_alike_both_ways() {
    let found = measure(&link(20.0, 3.0, 8.0), Weave::new(2, 1).unwrap()).unwrap();
    let (x, y) = (found.joint.swing_x.plus.angle, found.joint.swing_y.plus.angle);
    assert!((x - y).abs().to_degrees() < 0.1, "{x} {y}");
    assert!((found.width - found.thickness).abs() < 1e-6);
}

/// Wires that leave no place are refused with how far they overlap; links that lie in one
/// another but not with the second next are said to lock.
#[test]
fn what_does_not_lie_is_refused_with_a_reason() {
    let tight = measure(&link(9.0, 3.0, 2.6), Weave::SINGLE);
    assert!(matches!(tight, Err(ChainError::NoRest { offset: 1, .. })), "{tight:?}");
    let crossed = measure(&link(12.0, 3.0, 2.6), Weave::new(2, 1).unwrap());
    let Err(ChainError::Locks { overlap, .. }) = &crossed else { panic!("{crossed:?}") };
    assert!(overlap.get() > 0.1);
    assert!(crossed.unwrap_err().to_string().contains("locks before it is straight"));
    assert_eq!((Weave::new(5, 1), Weave::new(1, 4)), (None, None));
}

/// Links before and after a joint of unequal links, in a straight line.
#[test]
fn crowding_across_a_joint_is_the_distance_of_its_outer_links() {
    let (small, large) = (link(11.0, 3.0, 3.0), link(12.0, 3.0, 3.0));
    let pulled = |a: &Body, b: &Body| rest(&Row::pair(a, b), 1).unwrap().pulled;
    let over = pulled(&small, &large);
    let clearance = crowding_across(&small, &large, over);
    let (first, third) = (small.curve().walk(0.03), large.curve().walk(0.03));
    let mut slow = f64::INFINITY;
    for between in [&small, &large] {
        let lift = Vector::new(0.0, 0.0, pulled(between, between) + over);
        let from =
            |p: &Point| third.iter().map(|(q, _)| (q + lift - p).norm()).fold(99.0, f64::min);
        slow = first.iter().map(|(p, _)| from(p)).fold(slow, f64::min);
    }
    slow -= 1.0;
    assert!((clearance - slow).abs() < 1e-3 && clearance > 0.0, "{clearance}, sampled {slow}");
}

/// A suggestion makes it lie, and a little less of it does not.
#[test]
fn a_cure_cures_and_no_more_than_needed() {
    for (plain, weave) in [
        (setting(9.0, 3.0, 2.6), Weave::SINGLE),
        (setting(16.0, 3.7, 4.0), Weave::new(1, 2).unwrap()),
    ] {
        let lies = |s: &ToolDimensions| {
            Forming::new(*s).is_ok_and(|f| measure(&Body::of(&f.fold), weave).is_ok())
        };
        assert!(!lies(&plain));
        let found = suggestions(&plain, weave, &|tools| Some(tools));
        assert!(!found.is_empty());
        for suggestion in found {
            let with = |value: f64| match suggestion.dimension {
                ToolDimension::Mandrel => ToolDimensions { mandrel: value, ..plain },
                ToolDimension::Bore => {
                    let scale = value / suggestion.value.get();
                    let jaw = suggestion.with.map_or(plain.fold_jaw, |(_, jaw)| scale * jaw.get());
                    ToolDimensions { bore: value, fold_jaw: jaw, ..plain }
                }
                ToolDimension::Wire => ToolDimensions { wire: value, ..plain },
                _ => ToolDimensions { fold_jaw: value, ..plain },
            };
            assert!(lies(&with(suggestion.value.get())), "{suggestion:?}");
            let back = if suggestion.dimension == ToolDimension::Wire { 1.01 } else { 0.99 };
            assert!(!lies(&with(back * suggestion.value.get())), "{suggestion:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// Whatever can be formed gets an answer, and the answer hangs together: wires touch at
    /// both ends of the play, every limit's step is clear, no coil is tighter than the swing.
    #[test]
    fn whatever_can_be_formed_gets_an_answer_that_hangs_together(
        ratio in 6.0..40.0_f64, bore in 1.5..8.0_f64, jaw in 1.2..10.0_f64,
        tip in 0.0..1.5_f64, waist in 0.0..1.0_f64, weave in 0..6_usize,
    ) {
        let setting = ToolDimensions { tip_gap: tip, waist_gap: waist, ..setting(ratio, bore, jaw) };
        let Ok(forming) = Forming::new(setting) else { return Ok(()) };
        let body = Body::of(&forming.fold);
        let weave = Weave::ALL[weave];
        match measure(&body, weave) {
            Ok(found) => {
                let rest = found.joint.rest;
                prop_assert!(rest.pushed <= rest.clearest_rise && rest.clearest_rise <= rest.pulled);
                prop_assert!(rest.clearance >= 0.0 && rest.pushed > 0.0, "{rest:?}");
                for touch in [rest.pulled_at, rest.pushed_at] {
                    prop_assert!(touch.clearance.abs() < 1e-6, "{rest:?}");
                }
                let turns = [found.joint.swing_x, found.joint.swing_y, found.joint.twist];
                let pair = Row::pair(&body, &body);
                for limit in turns.iter().flat_map(|paths| [paths.plus, paths.minus]) {
                    prop_assert!(limit.angle >= 0.0 && limit.angle < PI, "{limit:?}");
                    if weave == Weave::SINGLE {
                        prop_assert!(pair.nearest(&limit.step).clearance > -1e-3, "{limit:?}");
                    }
                }
                for (coil, paths) in [(found.coil_x, turns[0]), (found.coil_y, turns[1])] {
                    prop_assert!(coil.inside >= 0.0, "{coil:?}");
                    prop_assert!(coil.turn <= paths.plus.angle.max(paths.minus.angle) + 0.02, "{found:?}");
                }
            }
            // Only a wire's width between the tips, or nearly, lets the next link out.
            Err(ChainError::PullsOut { clearance }) => {
                prop_assert!(tip > 0.9 && clearance.get() > 0.0, "tips {tip} apart, {clearance}");
            }
            Err(error) => {
                let (ChainError::NoRest { overlap, .. } | ChainError::Locks { overlap, .. }) = error
                else { return Err(TestCaseError::fail("another error")) };
                prop_assert!(overlap.get() > 0.0, "{overlap:?}");
            }
        }
    }
}

/// A pulled link once stopped short within a long passage with a clearance of a thousandth of a wire or two.
#[test]
fn a_long_strait_is_followed_to_its_end() {
    let tools = ToolDimensions {
        tip_gap: 0.7853948584829378,
        waist_gap: 0.0,
        ..setting(24.468690111625506, 6.904440074213471, 8.895436984784817)
    };
    let body = Body::of(&Forming::new(tools).unwrap().fold);
    let rest = measure(&body, Weave::ALL[2]).unwrap().joint.rest;
    for touch in [rest.pulled_at, rest.pushed_at] {
        assert!(touch.clearance.abs() < 1e-6, "{rest:?}");
    }
}

/// A pushed link once stopped short in a passage whose clearance fell under a thousandth of a wire
/// and grew again.
#[test]
fn a_strait_is_no_stop() {
    let plain = ToolDimensions { tip_gap: 0.25, ..setting(28.1, 7.1, 2.54) };
    let body = Body::of(&Forming::new(plain).unwrap().fold);
    let rest = rest(&Row::pair(&body, &body), 1).unwrap();
    assert!(rest.pushed_at.clearance.abs() < 1e-6 && rest.pulled_at.clearance.abs() < 1e-6);
}

/// Tips that stand open by more than the wire once let a pulled link rise without end: the pitch
/// came out as 2.6e120.
#[test]
fn a_link_that_slips_out_between_open_tips_has_no_pitch() {
    let open =
        ToolDimensions { tip_gap: 1.4839101577164295, ..setting(17.70341764792416, 1.5, 1.2) };
    let body = Body::of(&Forming::new(open).unwrap().fold);
    assert!(matches!(rest(&Row::pair(&body, &body), 1), Err(ChainError::PullsOut { .. })));
}
