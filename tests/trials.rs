//! Trial links: springback and spread of makers whose own are known; two points in closed form.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::plan::{Hand, HandDimension};
use linkfold::answers::report::Report;
use linkfold::documents::design::{Design, Mean, PlanChoice, Size, Trial, springback_shown, t_95};
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::link::Step;
use linkfold::mechanics::forming::Jaws;
use linkfold::mechanics::material::Band;
use rand::rngs::SmallRng;
use rand::{RngExt, SeedableRng};
use std::f64::consts::{PI, TAU};

/// Normal, by Box and Muller.
fn normal(random: &mut SmallRng) -> f64 {
    let (a, b): (f64, f64) = (random.random(), random.random());
    (-2.0 * (1.0 - a).ln()).sqrt() * (TAU * b).cos()
}

fn hand(design: &Design) -> Hand {
    Hand::of(design, &design.formings().unwrap(), &PlanChoice::default())
}

/// Two rings of 12.10 and 12.16 mm off a mandrel of 12 mm, no kerf: springback 0.13, spread
/// 0.06/√2 = 0.042426; its mean within t(1) 0.042426/√2 = 12.7062 × 0.03 = 0.381 mm.
#[test]
fn two_rings_in_closed_form() {
    let ring =
        |inside| Trial { mandrel_mm: 12.0, ring_inside_mm: Some(inside), ..Trial::default() };
    let shown = springback_shown(&[ring(12.10), ring(12.16)], 12.0, 1.0, 0.0).unwrap();
    assert_eq!(shown.count, 2);
    assert!((shown.mean - 0.13).abs() < 1e-12);
    assert!((shown.spread.unwrap() - 0.042426).abs() < 1e-6);
    assert!((shown.within.unwrap() - 0.38119).abs() < 1e-5, "{:?}", shown.within);
    // Sawn and closed, a ring is a πth of the kerf smaller.
    let sawn = springback_shown(&[ring(12.0)], 12.0, 1.0, 0.26).unwrap();
    assert!((sawn.mean - 0.26 / PI).abs() < 1e-12 && sawn.within.is_none());
    // Another mandrel's, or another wire's, are none of this size.
    assert!(springback_shown(&[ring(12.1)], 13.0, 1.0, 0.0).is_none());
    let wired = Trial { wire_mm: Some(0.9), ..ring(12.1) };
    assert!(springback_shown(&[wired], 12.0, 1.0, 0.0).is_none());
}

/// Student's t as tables print it, two-sided 5 %: 12.706, 4.303, 2.776, 2.228 (1, 2, 4 and 10
/// degrees of freedom; any text on statistics).
#[test]
fn quantiles_are_those_of_printed_tables() {
    for (freedom, printed) in [(1, 12.706), (2, 4.303), (4, 2.776), (10, 2.228)] {
        assert!((t_95(freedom) - printed).abs() < 6e-4, "{freedom}: {}", t_95(freedom));
    }
}

/// A metal that gives back the curvature κ alike on every mandrel: 1/D' = 1/D − κ/2. Shown on two
/// mandrels without error, the third is carried over exactly.
#[test]
fn springback_is_carried_to_another_mandrel_in_closed_form() {
    let given_back = 2e-3;
    let of = |mandrel: f64| 1.0 / (1.0 / (mandrel + 1.0) - 0.5 * given_back) - (mandrel + 1.0);
    let mut design = Design::plain(1.0, 11.0);
    design.sizes = [11.0, 12.0, 14.0].map(Size::on_mandrel).to_vec();
    design.trials = [11.0, 14.0]
        .map(|mandrel| Trial {
            mandrel_mm: mandrel,
            ring_inside_mm: Some(mandrel + of(mandrel) - design.kerf_mm / PI),
            ..Trial::default()
        })
        .to_vec();
    let hand = hand(&design);
    let (carried, within) = hand.springback[1].carried.unwrap();
    assert!((carried - of(12.0)).abs() < 1e-9, "{carried} {}", of(12.0));
    assert!(within.unwrap() < 1e-6);
    assert!(hand.springback[1].shown.is_none());
}

/// Four hundred makers of known springback and spread, five rings each of two mandrels: the
/// stated 95 % hold the truth about 95 times in 100, for springback and for spread.
#[test]
fn intervals_hold_the_truth_as_often_as_they_say() {
    let mut random = SmallRng::seed_from_u64(71_993);
    let (mut means, mut spreads, mut all) = (0, 0, 0);
    let mut design = Design::plain(1.0, 12.0);
    design.sizes = [12.0, 14.0].map(Size::on_mandrel).to_vec();
    let formings = design.formings().unwrap();
    for _ in 0..400 {
        let truth = [12.0, 14.0].map(|m| (m, 0.05 + 0.2 * random.random::<f64>()));
        let spread = 0.01 + 0.09 * random.random::<f64>();
        design.trials.clear();
        for (mandrel, springback) in truth {
            for _ in 0..5 {
                let inside = mandrel + springback + spread * normal(&mut random);
                design.trials.push(Trial {
                    mandrel_mm: mandrel,
                    ring_inside_mm: Some(inside - design.kerf_mm / PI),
                    ..Trial::default()
                });
            }
        }
        let hand = Hand::of(&design, &formings, &PlanChoice::default());
        for ((_, springback), found) in truth.iter().zip(&hand.springback) {
            let Mean { mean, within, .. } = found.shown.unwrap();
            means += usize::from((mean - springback).abs() <= within.unwrap());
            all += 1;
        }
        let found = hand.spread(HandDimension::Ring);
        let [low, high] = found.between.unwrap();
        assert!(found.fitted && found.freedom == 8);
        spreads += usize::from((low..=high).contains(&spread));
    }
    // 95 % of n tries, give or take three times √(n 0.95 0.05).
    let holds = |hits: usize, tries: usize| {
        let n = tries as f64;
        (hits as f64 - 0.95 * n).abs() < 3.0 * (n * 0.95 * 0.05).sqrt()
    };
    assert!(holds(means, all), "{means} of {all}");
    assert!(holds(spreads, 400), "{spreads} of 400");
}

/// From then on the ring is what the trials show, everywhere; predicted stands beside measured.
#[test]
fn fitted_values_are_used_from_then_on() {
    let mut design = Design::plain(1.0, 12.0);
    design.sizes.push(Size::on_mandrel(13.0));
    let before = design.formings().unwrap();
    for (inside, bore) in [(12.10, 2.58), (12.12, 2.62), (12.14, 2.60), (12.12, 2.60)] {
        design.trials.push(Trial {
            mandrel_mm: 12.0,
            ring_inside_mm: Some(inside),
            bore_mm: Some(bore),
            joined: Some(true),
            ..Trial::default()
        });
    }
    design.trials.push(Trial { mandrel_mm: 20.0, joined: Some(false), ..Trial::default() });
    let read = Design::parse(&design.to_json()).unwrap();
    assert_eq!(read, design);
    let after = design.formings().unwrap();
    assert!((after[0].ring.inside_diameter() - 12.12).abs() < 1e-9);
    assert_eq!(after[1], before[1]);
    let report = Report::at_once(&design, &after, LengthUnit::Mm);
    assert_eq!(report.sizes.iter().map(|s| s.springback_rings).collect::<Vec<_>>(), [4, 0]);
    let hand = hand(&design);
    assert_eq!((hand.joined, hand.strangers), ([4, 1], 1));
    let ring = hand.measured.iter().find(|m| m.dimension == HandDimension::Ring).unwrap();
    assert!((ring.predicted - before[0].ring.inside_diameter()).abs() < 1e-9);
    assert_eq!(ring.measured, 12.10);
    let bore = hand.spread(HandDimension::Bore);
    // 2.60 on the mean, 2.50 wanted: 0.1 too wide, and sure of it.
    assert!((bore.certainly_off() - 0.1).abs() < 1e-9 && bore.fitted);
    // Deviations −0.02, 0.02, 0, 0: √(0.0008/3).
    assert!((bore.spread - (0.0008_f64 / 3.0).sqrt()).abs() < 1e-9);
    // Nothing measured of the fold: the plan's own stands.
    assert!(!hand.spread(HandDimension::Fold).fitted);
    assert_eq!(hand.spread(HandDimension::Fold).spread, PlanChoice::default().spread_fold_mm);
}

/// A ring that grows by 2 % has a taut oval of (1.02 L − π (J + d))/2 + J inside and the rest of its
/// steps at 1.02 L; the ring before, and the wire it takes, stay. What callipers then find of the oval,
/// typed as trials of a design that knows of no growth, shows the 2 % again.
#[test]
fn trial_ovals_show_how_far_rings_grow() {
    let mut design = Design::plain(1.0, 13.0);
    let plain = design.formings().unwrap()[0];
    design.sizes[0].growth_share = Some(0.02);
    let grown = design.formings().unwrap()[0];
    assert_eq!(grown.ring, plain.ring);
    let length = 1.02 * plain.ring.centreline;
    let jaw = grown.setting.oval_jaw;
    let inside = 0.5 * (length - PI * (jaw + 1.0)) + jaw;
    assert!((grown.oval.inside_length() - inside).abs() < 1e-9);
    assert!((grown.fold.curve().length() - length).abs() < 1e-9);
    let half_way = grown.at(Step::Stretch, 0.5).curve().length();
    assert!((half_way - 1.01 * plain.ring.centreline).abs() < 1e-9, "{half_way}");

    let metal = design.metal.metal().unwrap();
    let flow = metal.flow_curve(Band::Likely);
    let jaws = Jaws::for_released(&grown.setting, flow, design.metal.anneals()).unwrap();
    design.sizes[0].growth_share = None;
    assert_eq!(hand(&design).growth, [None]);
    for off in [-0.02, 0.0, 0.02] {
        let oval_length_mm = Some(jaws.left_oval_length + off);
        design.trials.push(Trial { mandrel_mm: 13.0, oval_length_mm, ..Trial::default() });
    }
    let shown = hand(&design).growth[0].unwrap();
    assert_eq!(shown.count, 3);
    assert!((shown.share - 0.02).abs() < 2e-3, "{shown:?}");
    // ±0.02 mm about the mean: t(2) = 4.303, s = 0.02, 4.303 × 0.02/√3 = 0.0497 mm of oval.
    let within = 2.0 * 0.0497 / plain.ring.centreline;
    assert!((shown.within.unwrap() - within).abs() < 1e-4, "{shown:?}");
    // Ovals no longer than without growth show none, nor those stretched to a given length.
    let mut short = design.clone();
    short.trials.iter_mut().for_each(|trial| trial.oval_length_mm = Some(18.0));
    assert_eq!(hand(&short).growth, [None]);
    design.sizes[0].oval_length_mm = Some(18.5);
    assert_eq!(hand(&design).growth, [None]);
}
