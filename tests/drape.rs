//! Hanging chains against the catenary, the balance of forces, and a string over a round bar.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::geometry::curve::{Point, Vector};
use linkfold::geometry::link::{Forming, ToolDimensions};
use linkfold::motion::chain::{Body, Weave, joint, measure};
use linkfold::motion::drape::{Drape, DrapeError, DrapeForm, DrapeLink, Sizes, Worn, taper};

fn link(pitch: f64) -> DrapeLink {
    DrapeLink { pitch, weight: 1.0, half_thickness: 0.0, limits: [3.0, 3.0, 3.0] }
}

fn hung(count: usize, pitch: f64, span: f64, rise: f64) -> Drape {
    let ends = [Point::origin(), Point::new(span, 0.0, rise)];
    let mut drape = Drape::new(vec![link(pitch); count], ends, -Vector::z(), None).unwrap();
    assert!(drape.settle(400), "not at rest");
    drape
}

/// Sag of a catenary of length S between level ends D apart: `S = 2 a sinh(D/2a)`, sag
/// `a (cosh(D/2a) − 1)`. Textbook statics.
fn catenary_sag(length: f64, span: f64) -> f64 {
    let (mut low, mut high) = (1e-3 * span, 1e6 * span);
    for _ in 0..200 {
        let a = 0.5 * (low + high);
        if 2.0 * a * (span / (2.0 * a)).sinh() > length { low = a } else { high = a }
    }
    let a = 0.5 * (low + high);
    a * ((span / (2.0 * a)).cosh() - 1.0)
}

/// Many small free links hang in a catenary: sag within 0.5 %.
#[test]
fn many_small_links_hang_in_a_catenary() {
    for (count, share) in [(150, 0.4), (150, 0.7), (400, 0.9), (200, 0.98)] {
        let pitch = 4.0;
        let length = count as f64 * pitch;
        let drape = hung(count, pitch, share * length, 0.0);
        let expected = catenary_sag(length, share * length);
        let error = drape.depth() / expected - 1.0;
        assert!(error.abs() < 5e-3, "{count} links, span {share}: {} {expected}", drape.depth());
    }
}

/// Links hinged end to end with their weight at the joints: the level pull is the same all
/// along, so slopes grow by equal steps: `tan θ_{i+1} − tan θ_i = w/H`.
#[test]
fn slopes_of_a_hanging_chain_grow_by_equal_steps() {
    let drape = hung(30, 5.0, 90.0, 20.0);
    let slopes: Vec<f64> = drape
        .nodes()
        .windows(2)
        .map(|pair| (pair[1].z - pair[0].z) / (pair[1].x - pair[0].x))
        .collect();
    let steps: Vec<f64> = slopes.windows(2).map(|pair| pair[1] - pair[0]).collect();
    for step in &steps {
        assert!((step / steps[0] - 1.0).abs() < 1e-4, "{steps:?}");
    }
    for (pair, link) in drape.nodes().windows(2).zip([5.0; 30]) {
        assert!(((pair[1] - pair[0]).norm() - link).abs() < 1e-5);
    }
}

/// A string on a smooth round bar: pull grows with height as weight per length, on the bar
/// and off it alike. For links hinged end to end, the bar pushing square to the mean of both
/// links' ways: `(T_i − T_{i−1}) (1 + cos φ) = w (u_i + u_{i−1})_z`. Every place stays off
/// the bar.
#[test]
fn pull_over_a_smooth_bar_grows_with_height() {
    let (count, pitch) = (160, 2.0);
    let centre = Point::origin();
    let form = |half_widths| {
        let (axis, across) = (Vector::y_axis(), Vector::x_axis());
        DrapeForm::Cylinder { centre, axis, across, half_widths }
    };
    for (form, top, most) in [(form([25.0, 25.0]), 25.0, 2e-5), (form([30.0, 20.0]), 20.0, 2.5e-4)]
    {
        let thick = DrapeLink { half_thickness: 1.0, ..link(pitch) };
        let ends = [Point::new(-1.0, 0.0, top + 1.1), Point::new(1.0, 0.0, top + 1.1)];
        let mut drape = Drape::new(vec![thick; count], ends, -Vector::z(), Some(form)).unwrap();
        assert!(drape.settle(600), "not at rest");
        for node in drape.nodes() {
            assert!(form.depth(node, 1.0).0 < 1e-4, "{node} inside");
        }
        let pulls = drape.pulls();
        let paths: Vec<Vector> =
            drape.nodes().windows(2).map(|pair| (pair[1] - pair[0]) / pitch).collect();
        let mut on_bar = 0;
        for i in 2..count - 1 {
            let on = |i: usize| form.depth(&drape.nodes()[i], 1.0).0 > -1e-4;
            on_bar += usize::from(on(i));
            // Where the last link leaves, the bar pushes askew to the mean of the two ways.
            if on(i) && !(on(i - 1) && on(i + 1)) {
                continue;
            }
            let grown = (pulls[i] - pulls[i - 1]) * (1.0 + paths[i].dot(&paths[i - 1]));
            let weighed = (paths[i].z + paths[i - 1].z) / count as f64;
            // A link weighs 6e-3 of the chain. On an oval, curvature κ changes along a link, and
            // the bar pushes askew by κ′ l²/6: T κ κ′ l³/3 = 2.3e-4 at its narrow ends.
            assert!((grown - weighed).abs() < most, "joint {i}: {grown}, expected {weighed}");
        }
        assert!(on_bar > 30 && on_bar < count - 30, "{on_bar} joints on the bar");
    }
}

/// No joint bends past its limit, and the tight ones are named.
#[test]
fn joints_bend_no_further_than_they_swing() {
    let stiff = DrapeLink { limits: [0.3, 0.12, 0.05], ..link(4.0) };
    let ends = [Point::origin(), Point::new(40.0, 0.0, 0.0)];
    let mut drape = Drape::new(vec![stiff; 60], ends, -Vector::z(), None).unwrap();
    assert!(drape.settle(800), "not at rest");
    let tight = drape.at_limit();
    assert!(!tight.is_empty() && drape.forced().is_empty());
    for joint in 1..60 {
        let [angle, limit] = drape.bend(joint).unwrap();
        assert!(angle < limit + 1e-4 && limit <= 0.3 + 1e-9, "joint {joint}: {angle} {limit}");
        assert_eq!(tight.contains(&joint), angle > limit - 1e-6, "joint {joint}: {angle} {limit}");
    }
    // A stiffer chain hangs less deep than a free one.
    assert!(drape.depth() < hung(60, 4.0, 40.0, 0.0).depth());
}

/// Too stiff to hang so: said, not hidden.
#[test]
fn a_chain_too_stiff_to_hang_so_is_named() {
    let stiff = DrapeLink { limits: [0.01, 0.01, 0.01], ..link(4.0) };
    let ends = [Point::origin(), Point::new(20.0, 0.0, 0.0)];
    let mut drape = Drape::new(vec![stiff; 40], ends, -Vector::z(), None).unwrap();
    drape.settle(200);
    assert!(!drape.forced().is_empty());
}

/// A pull moves the chain, releasing brings it back to where it hung.
#[test]
fn a_pulled_chain_comes_back() {
    let mut drape = hung(50, 4.0, 120.0, 0.0);
    let (depth, middle) = (drape.depth(), drape.nodes()[25]);
    drape.pull(Some((25, middle + Vector::new(0.0, 30.0, 20.0))));
    for _ in 0..60 {
        drape.step(1.0 / 60.0);
    }
    assert!(drape.nodes()[25].y > 15.0, "{}", drape.nodes()[25]);
    drape.pull(None);
    assert!(drape.settle(400));
    assert!((drape.depth() - depth).abs() < 1e-3 * depth, "{} {depth}", drape.depth());
}

/// Nothing a page can send brings it down.
#[test]
fn bad_values_are_refused() {
    let ends = [Point::origin(), Point::new(10.0, 0.0, 0.0)];
    let drape = |links, ends| Drape::new(links, ends, -Vector::z(), None);
    assert!(matches!(drape(vec![link(1.0)], ends), Err(DrapeError::Count { count: 1 })));
    assert!(matches!(drape(vec![link(1.0); 401], ends), Err(DrapeError::Count { .. })));
    assert!(matches!(drape(vec![link(1.0); 5], ends), Err(DrapeError::TooShort { .. })));
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
        assert!(matches!(drape(vec![link(bad); 5], ends), Err(DrapeError::Value { .. })), "{bad}");
    }
    let nowhere = [Point::origin(), Point::new(f64::NAN, 0.0, 0.0)];
    assert!(drape(vec![link(3.0); 5], nowhere).is_err());
    let mut fine = drape(vec![link(3.0); 5], ends).unwrap();
    fine.pull(Some((99, Point::origin())));
    fine.pull(Some((2, Point::new(f64::NAN, 0.0, 0.0))));
    fine.step(f64::NAN);
    let before = fine.nodes()[2];
    fine.step(0.01);
    assert_ne!(before, fine.nodes()[2], "goes on after a step of no length");
    assert!(fine.nodes().iter().all(|p| p.iter().all(|x| x.is_finite())));
    // Both ends in one place, a zero direction to lay it in, and a taut chain.
    let one = [Point::origin(), Point::origin()];
    let mut loose = Drape::new(vec![link(3.0); 9], one, Vector::zeros(), None).unwrap();
    assert!(loose.settle(500) && loose.depth() > 10.0);
    let mut taut = drape(vec![link(2.0); 5], ends).unwrap();
    taut.settle(200);
    assert!(taut.depth() < 0.1, "{}", taut.depth());
}

/// Every way of wearing it comes to rest, off the form, the same left and right, with links
/// of a real design.
#[test]
fn a_made_chain_hangs_between_points_round_a_wrist_and_round_a_neck() {
    let setting = |mandrel| ToolDimensions {
        kerf: 0.2,
        oval_jaw: 2.2,
        bore: 2.2,
        pinch_jaw: 1.6,
        fold_jaw: 2.2,
        tip_gap: 0.08,
        ..ToolDimensions::usual(0.8, mandrel)
    };
    let links: Vec<Body> = [9.0, 10.0, 11.0]
        .map(|mandrel| Body::of(&Forming::new(setting(mandrel)).unwrap().fold))
        .into();
    let own = links.iter().map(|link| measure(link, Weave::SINGLE).unwrap()).collect();
    let across = links
        .windows(2)
        .map(|two| [joint(&two[0], &two[1]).unwrap(), joint(&two[1], &two[0]).unwrap()])
        .collect();
    let sizes = Sizes { links, own, across };
    for (worn, count) in [
        (Worn::BetweenPoints { fraction: 0.6 }, 120),
        (Worn::Wrist { girth: 160.0 }, 42),
        (Worn::Neck { girth: 340.0 }, 100),
    ] {
        let links = sizes.hung(&taper(3, count)).unwrap();
        let length: f64 = links.iter().map(|link| link.pitch).sum();
        let clear = links.iter().map(|link| link.half_thickness).fold(0.0, f64::max);
        let stand = worn.placement(length, clear, 4.0);
        let mut drape = Drape::new(links.clone(), stand.ends, stand.lay, stand.form).unwrap();
        assert!(drape.settle(1500), "{worn:?} not at rest");
        assert!(drape.forced().is_empty(), "{worn:?}: {:?}", drape.forced());
        for (i, node) in drape.nodes().iter().enumerate() {
            let mirror = drape.nodes()[count - i];
            let off = (node.x + mirror.x).abs() + (node.z - mirror.z).abs();
            // Pitches from size to size differ a little by which way round they follow.
            assert!(off < 0.02 * length, "{worn:?} {i}: {node} {mirror}");
            if let (Some(form), true) = (stand.form, i > 0 && i < count) {
                assert!(form.depth(node, links[i.min(count - 1)].half_thickness).0 < 1e-3);
            }
        }
        if let Worn::BetweenPoints { .. } = worn {
            let free = catenary_sag(length, 0.6 * length);
            assert!((drape.depth() / free - 1.0).abs() < 0.05, "{} {free}", drape.depth());
        }
        for (pose, pair) in drape.poses().iter().zip(drape.nodes().windows(2)) {
            let along = (pair[1] - pair[0]).normalize();
            assert!((pose * Vector::z() - along).norm() < 1e-9);
            assert!((pose.rotation.to_rotation_matrix().matrix().determinant() - 1.0).abs() < 1e-9);
        }
    }
}
