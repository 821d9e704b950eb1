//! The trade-off: one way only, nothing beaten, its ends the best of either figure alone.

use linkfold::answers::optimise::{
    Better, Dimension, Figure, Free, OptimiseResult, Optimiser, Side, TradeOff, Wish, Wishes,
};
use linkfold::documents::design::Design;

fn optimised(across: Side, up: Side, aim: Option<Side>) -> OptimiseResult {
    let free =
        vec![Free::over(Dimension::MandrelMm, 10.0, 15.0), Free::over(Dimension::BoreMm, 2.2, 3.4)];
    let mut wishes = vec![Wish::at_most(Figure::WidthMm, 5.0)];
    wishes.extend(aim.map(|side| Wish::better(side.figure, side.better)));
    let trade_off = aim.is_none().then_some(TradeOff { across, up });
    let wishes = Wishes { trade_off, ..Wishes::new(wishes, free) };
    Optimiser::new(&Design::plain(0.9, 12.0), &wishes).unwrap().settle()
}

fn holds(across: Side, up: Side) {
    let found = optimised(across, up, None).trade_off;
    println!("{:?}", found.iter().map(|p| (p.across, p.up)).collect::<Vec<_>>());
    assert!(found.len() >= 4, "{} points", found.len());
    let sign = |side: Side| if side.better == Better::High { 1.0 } else { -1.0 };
    for pair in found.windows(2) {
        let [gain, price] = [
            sign(across) * (pair[1].across - pair[0].across),
            sign(up) * (pair[1].up - pair[0].up),
        ];
        assert!(gain * price < 0.0, "one is better in both: {gain} {price}");
    }
    for point in &found {
        assert!(point.answer.meets_all && point.answer.joins, "{:?}", point.answer.gives_up);
    }
    for side in [across, up] {
        let alone = optimised(across, up, Some(side));
        let figures = &alone.answers[0].figures;
        let best = figures.iter().find(|(figure, _)| *figure == side.figure).unwrap().1;
        let values = found.iter().map(|p| if side == across { p.across } else { p.up });
        let end = values.map(|v| sign(side) * v).fold(f64::NEG_INFINITY, f64::max);
        // A hundredth: what the wishes' usual tolerance resolves.
        let short = (sign(side) * best - end) / best.abs();
        assert!(short.abs() < 1e-2, "{:?}: alone {best}, at the end {end}", side.figure);
    }
}

#[test]
fn mass_against_room_for_joining() {
    holds(
        Side { figure: Figure::GramsPer100Mm, better: Better::Low },
        Side { figure: Figure::JoiningClearanceMm, better: Better::High },
    );
}

#[test]
fn what_is_found_does_not_hang_on_the_number_of_threads() {
    let side = |figure, better| Side { figure, better };
    let [one, four] = [1, 4].map(|threads| {
        linkfold::math::limit_threads(threads);
        optimised(
            side(Figure::GramsPer100Mm, Better::Low),
            side(Figure::FirstSetNewtons, Better::High),
            None,
        )
    });
    linkfold::math::limit_threads(0);
    assert!(one.trade_off.len() >= 4, "{} points", one.trade_off.len());
    assert_eq!(one, four);
}

#[test]
#[ignore = "a minute or more: .ci/test runs it"]
fn suppleness_against_pull() {
    holds(
        Side { figure: Figure::SupplenessX, better: Better::Low },
        Side { figure: Figure::FirstSetNewtons, better: Better::High },
    );
}

/// A hundredth more or less of a range hardly moves the curve's ends, whatever kinks lie on the way.
#[test]
#[ignore = "a minute or more: .ci/test runs it"]
fn the_ends_do_not_hang_on_a_hundredth() {
    let ends = [(1.63, 3.63), (1.62, 3.62)].map(|(low, high)| {
        let free = vec![
            Free::over(Dimension::MandrelMm, 7.8, 17.4),
            Free::over(Dimension::BoreMm, 1.69, 3.77),
            Free::over(Dimension::FoldJawMm, low, high),
        ];
        let across = Side { figure: Figure::SupplenessX, better: Better::Low };
        let up = Side { figure: Figure::FirstSetNewtons, better: Better::High };
        let wishes = vec![Wish::near(Figure::SupplenessX, 1.58)];
        let wishes =
            Wishes { trade_off: Some(TradeOff { across, up }), ..Wishes::new(wishes, free) };
        let bracelet = include_str!("../../www/examples/evening-class-bracelet.json");
        let design = Design::parse(bracelet).unwrap();
        let found = Optimiser::new(&design, &wishes).unwrap().settle().trade_off;
        println!("{:?}", found.iter().map(|p| (p.across, p.up)).collect::<Vec<_>>());
        assert!(found.len() >= 5, "{} points", found.len());
        (found[0].across, found[found.len() - 1].up)
    });
    let off = |a: f64, b: f64| (a / b - 1.0).abs();
    assert!(off(ends[0].0, ends[1].0) < 0.03, "{ends:?}");
    assert!(off(ends[0].1, ends[1].1) < 0.01, "{ends:?}");
}
