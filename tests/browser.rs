//! In the browser the core answers as it does natively: a check from each module, with the
//! source it has in the native tests.
#![cfg(target_arch = "wasm32")]

use linkfold::answers::report::{JoinAnswer, Report};
use linkfold::documents::design::{Design, DesignError};
use linkfold::documents::gauge::{Gauge, GaugeSystem};
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::curve::{Arc, ClosedCurve, Piece, Point, Pose, Vector};
use linkfold::geometry::distance::{Tree, nearest};
use linkfold::geometry::link::{Forming, Ring, Step};
use linkfold::math::{Bracket, root_in};
use linkfold::mechanics::forming::{Anneals, FormingRun};
use linkfold::mechanics::material::{FlowCurve, known_metal};
use linkfold::mechanics::strength::Pull;
use linkfold::motion::chain::{Body, Row, rest};
use linkfold::motion::drape::{Drape, DrapeLink};
use std::f64::consts::{FRAC_PI_2, PI};
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

const DESIGN: &str = include_str!("../www/examples/evening-class-bracelet.json");

fn forming() -> Forming {
    Design::parse(DESIGN).unwrap().formings().unwrap()[0]
}

/// x³ = 2: the cube root by search against the closed form.
#[wasm_bindgen_test]
fn a_root_found_in_the_browser_is_the_closed_form() {
    let found = root_in(Bracket { low: 1.0, high: 2.0 }, |x| x.powi(3) - 2.0).unwrap();
    let exact = 2f64.cbrt();
    assert!((found - exact).abs() < 1e-12, "{found}, expected {exact}");
}

/// 18 AWG by ASTM B258: 1.0237 mm, printed to four decimals.
#[wasm_bindgen_test]
fn a_gauge_number_has_its_published_diameter() {
    let found = Gauge { system: GaugeSystem::Awg, number: 18 }.diameter().unwrap().get();
    assert!((found - 1.0237).abs() < 5e-5, "{found}");
}

/// L = π (M' + d) − k, kept through stretch, pinch and fold.
#[wasm_bindgen_test]
fn forming_keeps_the_length_of_the_wire() {
    let forming = forming();
    let s = forming.setting;
    let length = PI * (s.mandrel + s.springback + s.wire) - s.kerf;
    for step in [Step::Stretch, Step::Pinch, Step::Fold] {
        for i in 0..=10 {
            let found = forming.at(step, f64::from(i) / 10.0).curve().length();
            // The native test's budget: 1e-9 of the length.
            assert!((found / length - 1.0).abs() < 1e-9, "{step:?} {i}: {found}, {length}");
        }
    }
}

/// A circle of radius 1 mm about z and one about y, its centre `apart` along x: as far from
/// each other as closed forms say, 1 where linked centre on rim, 0.5 at 1.5.
#[wasm_bindgen_test]
fn linked_circles_are_as_far_apart_as_closed_forms_say() {
    let circle: ClosedCurve = Ring::off_mandrel(0.5, 1.5, 0.0, 0.0).unwrap().curve();
    let stood = Pose::rotation(FRAC_PI_2 * Vector::x());
    for (apart, expected) in [(1.0, 1.0), (1.5, 0.5)] {
        let tree = Tree::new(&circle);
        let pose = Pose::translation(apart, 0.0, 0.0) * stood;
        let found = nearest(&tree, &Pose::identity(), &tree, &pose);
        assert!((found.distance_at_most - expected).abs() < 1e-9, "{found:?}");
        assert!(found.distance_at_least <= expected + 1e-12, "{found:?}");
    }
}

#[wasm_bindgen_test]
fn a_design_survives_being_written_and_read() {
    let design = Design::parse(DESIGN).unwrap();
    assert_eq!(Design::parse(&design.to_json()).unwrap(), design);
    let error = Design::parse(&DESIGN.replace("\"linkfold\": 1", "\"linkfold\": 2")).unwrap_err();
    assert_eq!(error, DesignError::Version { found: 2 });
}

/// J − 2 d − tip gap and b − 2 d − g, by hand from the example: 0.6 mm and 0.8 mm.
#[wasm_bindgen_test]
fn the_estimate_is_the_one_worked_by_hand() {
    let design = Design::parse(DESIGN).unwrap();
    let report = Report::at_once(&design, &design.formings().unwrap(), LengthUnit::Mm);
    let join = &report.joins[0];
    let clearance = |place: &str| join.reasons.iter().find(|r| r.place == place).unwrap().spare_mm;
    assert!(
        (clearance("fold") - 0.6).abs() < 1e-9 && (clearance("bore") - 0.8).abs() < 1e-9,
        "{join:?}"
    );
    assert_eq!(join.verdict, JoinAnswer::LikelyPasses);
}

/// Plain rings pulled apart: centres `2 R − d`. By hand.
#[wasm_bindgen_test]
fn plain_rings_hang_where_hand_calculation_says() {
    let ring = |across| {
        let arc = Arc {
            centre: Point::origin(),
            out: Vector::z_axis(),
            along: across,
            radius: 4.0,
            turn: std::f64::consts::TAU,
        };
        Body::new(&ClosedCurve::new(vec![Piece::Arc(arc)]).unwrap(), 1.0)
    };
    let (a, b) = (ring(Vector::x_axis()), ring(Vector::y_axis()));
    let found = rest(&Row::pair(&a, &b), 1).unwrap();
    assert!((found.pulled - 7.0).abs() < 1e-8 && (found.pushed - 1.0).abs() < 1e-8, "{found:?}");
}

/// A catenary: span D = 2 a asinh(S/2a), sag a (cosh(D/2a) − 1); here a = 100, S = 200 sinh 1.
#[wasm_bindgen_test]
fn many_small_links_hang_in_a_catenary() {
    let pitch = 200.0 * 1f64.sinh() / 150.0;
    let link = DrapeLink { pitch, weight: 1.0, half_thickness: 0.0, limits: [3.0; 3] };
    let ends = [Point::origin(), Point::new(200.0, 0.0, 0.0)];
    let mut drape = Drape::new(vec![link; 150], ends, -Vector::z(), None).unwrap();
    assert!(drape.settle(400));
    let expected = 100.0 * (1f64.cosh() - 1.0);
    assert!((drape.depth() / expected - 1.0).abs() < 5e-3, "{} {expected}", drape.depth());
}

/// Elastic–perfectly plastic round bar, κ/κ_y = 10: κ_kept/κ = 0.831082 (list of check values).
#[wasm_bindgen_test]
fn a_coil_opens_in_the_browser_as_the_closed_form_says() {
    let flow = FlowCurve::perfectly_plastic(83e3, 124.0).unwrap();
    let radius = 0.5 * forming().setting.wire * 83e3 / 124.0 / 10.0;
    let setting = linkfold::geometry::link::ToolDimensions {
        mandrel: 2.0 * radius - forming().setting.wire,
        springback: 0.0,
        ..forming().setting
    };
    let run = FormingRun::of(&setting, flow, Anneals::default()).unwrap();
    let opens = 2.0 * radius * (1.0 / 0.831_082 - 1.0);
    assert!((run.coil_springback / opens - 1.0).abs() < 1e-5, "{}", run.coil_springback);
}

/// A link yields before it collapses, and its bounds stand in order.
#[wasm_bindgen_test]
fn a_pull_is_answered_in_the_browser() {
    let pull = Pull::of(&forming().fold, &known_metal("fine-silver").unwrap()).unwrap();
    let said = [pull.first_set, pull.collapse_lower, pull.collapse_upper, pull.torn];
    assert!(said.windows(2).all(|p| p[0].likely < p[1].likely * 1.001), "{said:?}");
}
