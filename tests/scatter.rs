//! The share of links that fail: closed forms, and plain Monte Carlo with another generator.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::plan::{
    ErringPair, Failing, Hand, HandDimension, SHIFTS, failing, failing_share,
};
use linkfold::documents::design::{Design, PlanChoice};
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::motion::insertion::max_clearance;
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};
use std::f64::consts::TAU;

fn share_of(
    clearance: impl Fn(&[f64; 6]) -> Option<f64>,
    spreads: [f64; 6],
    draws: usize,
) -> Failing {
    let fails = |errors: &[f64; 6]| clearance(errors).is_none_or(|left| left < 0.0);
    failing_share(&clearance, fails, spreads, draws)
}

fn normal(random: &mut SmallRng) -> f64 {
    let (a, b): (f64, f64) = (random.random(), random.random());
    (-2.0 * (1.0 - a).ln()).sqrt() * (TAU * b).cos()
}

/// Clearance that falls evenly: the share is Φ(−β). Φ(−1) = 0.158655, Φ(−2) = 0.022750, Φ(−3) =
/// 0.001350, Φ(1) = 0.841345 (any table of the normal).
#[test]
fn an_even_slope_gives_the_normals_own_share() {
    for (beta, share) in [(1.0, 0.158655), (2.0, 0.022750), (3.0, 0.001350), (-1.0, 0.841345)] {
        // Slopes 3 and 4 over spreads 0.1 and 0.2: the scatter is √(0.3² + 0.8²).
        let middle = beta * f64::hypot(0.3, 0.8);
        let slope = |e: &[f64; 6]| Some(middle + 3.0 * e[0] - 4.0 * e[4]);
        let found = share_of(slope, [0.1, 0.0, 0.0, 0.0, 0.2, 0.0], 16);
        assert!((found.share - share).abs() < 1e-6, "{beta}: {found:?}");
        assert_eq!(found.watch(), Some((true, HandDimension::Bore)));
        assert!((found.watch_share() - 0.64 / 0.73).abs() < 1e-9);
    }
}

/// Clearance that bends, r − |e|²: it fails outside a ball, six normals squared: with spread 1 and
/// r = 10.645 one in ten (chi-square of six degrees of freedom, any table). No slope at the
/// middle tells of that, so the sample must. Where it bends a little, a plain Monte Carlo says
/// how much.
#[test]
fn a_bent_clearance_is_found_by_the_sample() {
    let ball = |e: &[f64; 6]| {
        // Tilted by a hair, or there would be no slope to begin from.
        Some(10.645 - e.iter().map(|e| e * e).sum::<f64>() + 1e-6 * e[0])
    };
    let found = share_of(ball, [1.0; 6], 4000);
    assert!((found.share - 0.1).abs() < found.within, "{found:?}");
    // No further than a plain sample of half as many is, three times in a thousand.
    assert!(found.within < 3.0 * (0.1 * 0.9 / 2000.0_f64).sqrt(), "{found:?}");
    let mild = |e: &[f64; 6]| Some(1.5 + e[0] - 0.15 * e[1] * e[1]);
    let found = share_of(mild, [1.0; 6], 64);
    let mut random = SmallRng::seed_from_u64(20_260);
    let draws = 400_000;
    let hits = (0..draws).filter(|_| {
        let errors: [f64; 6] = std::array::from_fn(|_| normal(&mut random));
        mild(&errors).unwrap() < 0.0
    });
    let plain = hits.count() as f64 / f64::from(draws);
    assert!((found.share - plain).abs() < found.within + 2e-3, "{found:?} {plain}");
    assert!(found.within < 0.03, "{found:?}");
}

#[test]
fn no_spread_is_all_or_nothing_and_what_cannot_be_formed_fails() {
    assert_eq!(share_of(|_| Some(0.1), [0.0; 6], 16).share, 0.0);
    assert_eq!(share_of(|_| Some(-0.1), [0.0; 6], 16).share, 1.0);
    assert_eq!(share_of(|_| None, [0.1; 6], 16).share, 1.0);
    let half = share_of(|e| (e[0] >= 0.0).then_some(1.0), [0.1; 6], 64);
    // One of two halves of a normal's errors.
    assert!((half.share - 0.5).abs() < half.within && half.within < 0.3, "{half:?}");
}

/// True clearances of true links: as many fail as a plain Monte Carlo has it, drawn by another
/// generator, to within the errors of both.
#[test]
fn true_links_fail_as_often_as_plain_monte_carlo_says() {
    let mut design = Design::plain(1.0, 12.0);
    design.sizes[0].waist_gap_mm = Some(0.32);
    let formings = design.formings().unwrap();
    let choice = PlanChoice { spread_ring_mm: 0.1, ..PlanChoice::default() };
    let hand = Hand::of(&design, &formings, &choice);
    let setting = formings[0].setting;
    let found = failing(&setting, &setting, &hand, 16);
    let mut random = SmallRng::seed_from_u64(4_711);
    let mut made = || {
        let mut errs = || normal(&mut random);
        let setting = ToolDimensions {
            springback: setting.springback + 0.1 * errs(),
            bore: setting.bore + 0.1 * errs(),
            fold_jaw: setting.fold_jaw + 0.1 * errs(),
            ..setting
        };
        Forming::new(setting)
    };
    let draws = 500;
    let fails = (0..draws).filter(|_| match (made(), made()) {
        (Ok(own), Ok(other)) => max_clearance(&own, &other) < 0.0,
        _ => true,
    });
    let plain = fails.count() as f64 / f64::from(draws);
    let error = 2.0 * (plain * (1.0 - plain) / f64::from(draws)).sqrt();
    assert!(plain > 0.02, "the example has no failures to count: {plain}");
    assert!((found.share - plain).abs() < found.within + error, "{found:?} {plain} ± {error}");
    assert!(found.within < 0.1, "{found:?}");
}

/// Links of one size and of two, wide and narrow, looser and tighter, pinched and necked: each of a sample is
/// judged as the way in judges it, whether as the pair lies or by the way.
#[test]
fn links_are_judged_as_the_way_in_judges_them() {
    let plain = |wire: f64, mandrel: f64| ToolDimensions::usual(wire, mandrel);
    let mut pairs = vec![
        (plain(1.0, 12.0), plain(1.0, 12.0)),
        (plain(1.0, 10.2), plain(1.0, 10.2)),
        (plain(0.9, 11.0), plain(0.9, 11.5)),
        (plain(0.9, 11.5), plain(0.9, 11.0)),
        (plain(1.0, 14.0), plain(1.0, 12.0)),
        (plain(1.0, 12.0), plain(1.0, 14.0)),
        (plain(1.2, 12.4), plain(1.2, 12.4)),
    ];
    let mut random = SmallRng::seed_from_u64(31);
    for _ in 0..8 {
        let mut any = |low: f64, high: f64| low + (high - low) * random.random::<f64>();
        let mut link = |mandrel: f64| ToolDimensions {
            bore: any(2.1, 3.0),
            fold_jaw: any(2.1, 3.0),
            waist_gap: any(0.0, 0.3),
            ..plain(1.0, mandrel)
        };
        let (receiving, incoming) = (link(11.5), link(11.5));
        pairs.push((receiving, receiving));
        pairs.push((receiving, incoming));
    }
    let design = Design::plain(1.0, 12.0);
    let formings = design.formings().unwrap();
    let (mut upright, mut failing) = (0, 0.0);
    for (receiving, incoming) in &pairs {
        for spread in [0.03, 0.1] {
            let choice = PlanChoice {
                spread_ring_mm: spread,
                spread_bore_mm: spread,
                spread_fold_mm: spread,
                ..PlanChoice::default()
            };
            let hand = Hand::of(&design, &formings, &choice);
            let pair = ErringPair::new(receiving, incoming, &hand);
            let quick = pair.by_slopes();
            if quick.lying.is_none() {
                continue;
            }
            upright += 1;
            failing += quick.share;
            let by_the_way = Failing { lying: None, ..quick };
            for shift in 0..SHIFTS {
                let found = pair.in_shift(&quick, shift, 4);
                let wanted = pair.in_shift(&by_the_way, shift, 4);
                assert_eq!(found, wanted, "{shift} of {receiving:?} {incoming:?}: {quick:?}");
            }
        }
    }
    assert!(upright > 20 && failing > 0.5, "{upright} of {}, {failing}", pairs.len());
}
