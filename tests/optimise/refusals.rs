//! Refusals made on purpose: which wish binds is known beforehand.

use linkfold::answers::optimise::{
    Dimension, Figure, Free, OptimiseResult, Optimiser, Wish, Wishes,
};
use linkfold::documents::design::Design;

fn optimised(wishes: Vec<Wish>, free: Vec<Free>) -> OptimiseResult {
    let mut design = Design::plain(0.9, 12.0);
    design.sizes[0].springback_mm = Some(0.0);
    design.sizes[0].bore_mm = Some(2.5);
    Optimiser::new(&design, &Wishes::new(wishes, free)).unwrap().settle()
}

/// The width is the bore and two wires, the ratio the mandrel less the saw cut shared round over
/// the wire: both limits cannot be kept, and what can is known in closed form.
#[test]
fn two_limits_that_exclude_each_other_are_both_named() {
    let wishes = vec![Wish::at_most(Figure::WidthMm, 4.0), Wish::at_most(Figure::Ratio, 13.0)];
    let found = optimised(wishes, vec![Free::over(Dimension::WireMm, 0.6, 1.0)]);
    assert!(!found.answers[0].meets_all && !found.answers[0].gives_up.is_empty());
    let refusal = found.refusal.expect("4.0 mm needs 0.75 of wire, a ratio of 13 more");
    let inside = 12.0 - 0.26 / std::f64::consts::PI;
    let nearest = [(Figure::WidthMm, 2.5 + 2.0 * inside / 13.0), (Figure::Ratio, inside / 0.75)];
    assert_eq!(refusal.binding.len(), 2, "{refusal:?}");
    for (figure, value) in nearest {
        let relaxed = refusal.binding.iter().find(|r| r.figure == figure).expect("named");
        // Limits are kept from inside, by a thousandth of a hundredth; the width's outline is within 3e-4 wires.
        assert!((relaxed.nearest / value - 1.0).abs() < 1e-3, "{relaxed:?}, expected {value}");
    }
    assert!(refusal.ends.is_empty(), "{refusal:?}");
}

/// Where releasing one wish is not enough, those that cannot be had by themselves are told with
/// how near they come: the width is the bore and two wires, the wire in a ring π (M + d) − k.
#[test]
fn wishes_that_cannot_be_had_even_alone_are_named() {
    let far = vec![Wish::at_most(Figure::WidthMm, 3.0), Wish::at_least(Figure::CentrelineMm, 60.0)];
    let easy = Wish::at_least(Figure::Ratio, 9.0);
    let free = [(Dimension::WireMm, 0.6, 1.0), (Dimension::MandrelMm, 10.0, 13.0)];
    let free = free.map(|(dimension, from, to)| Free::over(dimension, from, to));
    let found = optimised([far, vec![easy]].concat(), free.into());
    let refusal = found.refusal.expect("3.7 mm and 43.7 mm are the best of either");
    let nearest = [
        (Figure::WidthMm, 2.5 + 2.0 * 0.6),
        (Figure::CentrelineMm, std::f64::consts::PI * (13.0 + 1.0) - 0.26),
    ];
    assert_eq!(refusal.binding.len(), 2, "{refusal:?}");
    for (figure, value) in nearest {
        let relaxed = refusal.binding.iter().find(|r| r.figure == figure).expect("named");
        assert!((relaxed.nearest / value - 1.0).abs() < 1e-3, "{relaxed:?}, expected {value}");
        assert!(relaxed.message.contains("by itself"), "{relaxed:?}");
    }
}

/// What only the end of a range holds back is told with that end.
#[test]
fn a_range_that_ends_too_soon_is_named() {
    let free = vec![Free::over(Dimension::MandrelMm, 9.0, 13.0)];
    let found = optimised(vec![Wish::at_least(Figure::CentrelineMm, 60.0)], free);
    let refusal = found.refusal.expect("60 mm needs a mandrel of 18");
    // π (M + d) − k.
    let most = std::f64::consts::PI * 13.9 - 0.26;
    let [relaxed] = &refusal.binding[..] else { panic!("{refusal:?}") };
    assert_eq!(relaxed.figure, Figure::CentrelineMm);
    assert!((relaxed.nearest - most).abs() < 1e-2, "{relaxed:?}, expected {most}");
    let [end] = &refusal.ends[..] else { panic!("{refusal:?}") };
    assert!(end.dimension == Dimension::MandrelMm && end.greatest && end.mm == 13.0);
    assert!(refusal.message.contains("mandrel") && refusal.message.contains("wire in one ring"));
}

/// Of lists the nearest choice is known by looking.
#[test]
fn the_nearest_choice_is_told() {
    let free = vec![Free::one_of(Dimension::MandrelMm, &[10.0, 14.0, 12.0])];
    let found = optimised(vec![Wish::near(Figure::CentrelineMm, 60.0)], free);
    let refusal = found.refusal.expect("none is 60 mm");
    let most = std::f64::consts::PI * 14.9 - 0.26;
    assert!((refusal.binding[0].nearest - most).abs() < 1e-9, "{refusal:?}");
    assert_eq!(found.answers[0].design.sizes[0].mandrel_mm, 14.0);
}
