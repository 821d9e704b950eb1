//! A whole chain on paper: arithmetic by hand, handbook figures, common practice, nonsense.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::plan::{Cost, Plan, PlanError, PlanTable, csv, flat_length, wire_grams};
use linkfold::answers::report::{JoinAnswer, PlanReport, PlanStanding, Report, prove};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::{
    Design, LengthBasis, PlanChoice, Size, Taper, WeaveChoice, WireChoice,
};
use linkfold::documents::gauge::{Gauge, GaugeSystem};
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::link::Forming;
use linkfold::mechanics::material::known_metal;
use linkfold::motion::chain::{Body, Row, Weave, rest, seated};
use proptest::prelude::*;
use std::f64::consts::PI;

fn planned(design: &Design) -> Result<(Plan, Vec<Forming>), PlanError> {
    let formings = design.formings()?;
    Ok((Plan::of(design, &formings)?, formings))
}

fn three_sizes(wire: f64, mandrels: [f64; 3]) -> Design {
    let mut design = Design::plain(wire, mandrels[0]);
    design.sizes = mandrels.map(Size::on_mandrel).to_vec();
    design.plan = Some(PlanChoice::default());
    design
}

/// Wire of 1 mm on a mandrel of 12 mm, sawn with 0.26 mm. 30 links and the clasp of 15 mm are as
/// long as 29 pitches, the outside height of the last link's metal, and the clasp.
///
/// Rings: 30, 3 trial links, and 5 % of 30 is 1.5, so 2 spares: 35. A ring takes π (12 + 1) =
/// 40.8407 mm. A coil of 80 mm has 80 turns, so one coil, which loses 40 mm:
/// 35 × 40.8407 + 40 = 1469.425 mm. Dust: 35 × 0.26 = 9.1 mm.
#[test]
fn one_size_by_hand() {
    let mut design = Design::plain(1.0, 12.0);
    design.sizes[0].springback_mm = Some(0.0);
    let forming = design.formings().unwrap()[0];
    let body = Body::of(&forming.fold);
    let pitch = seated(&body, Weave::SINGLE).unwrap().pulled;
    let length = 29.0 * pitch + forming.fold.outside_height() + 15.0;
    design.plan = Some(PlanChoice { length_mm: length + 0.3 * pitch, ..PlanChoice::default() });
    let (plan, _) = planned(&design).unwrap();
    assert_eq!(plan.layout.counts.0, [30]);
    // A wrapped fold is written within 3e-4 of a wire.
    assert!((plan.layout.length - length).abs() < 1e-3, "{} {length}", plan.layout.length);
    let [below, above] = plan.nearest;
    assert!((below - length).abs() < 1e-3 && (above - length - pitch).abs() < 1e-3);
    let size = plan.materials.sizes[0];
    assert_eq!((size.trials, size.spare, size.rings(), size.coils), (3, 2, 35, 1));
    assert!((size.wire_per_ring - 40.8407).abs() < 1e-4, "{}", size.wire_per_ring);
    assert!((size.wire - 1469.425).abs() < 1e-3, "{}", size.wire);
    assert!((size.dust - 9.1).abs() < 1e-9);
    // 80 mm of coil in wire of 1 mm and not one turn less.
    assert_eq!(size.rings_per_coil, 80);
}

/// Three sizes, stepped, 40 mm of each smaller size at an end: counts are 40 mm over the size's
/// own pitch, rounded; the chain is the same from both ends, and its length is the sum of its
/// counted pitches. A pair's pitch is that of its two links alone.
#[test]
fn a_stepped_taper_by_hand() {
    let mut design = three_sizes(1.0, [11.0, 12.0, 13.0]);
    design.plan = Some(PlanChoice { taper: Taper::Stepped, ..PlanChoice::default() });
    let (plan, formings) = planned(&design).unwrap();
    let bodies: Vec<Body> = formings.iter().map(|f| Body::of(&f.fold)).collect();
    for (body, count) in bodies.iter().zip(&plan.layout.counts.0).take(2) {
        let pitch = seated(body, Weave::SINGLE).unwrap().pulled;
        assert_eq!(*count, 2 * (40.0 / pitch).round() as usize);
    }
    assert!(plan.layout.order.iter().eq(plan.layout.order.iter().rev()));
    let pair = |before, after| {
        plan.layout.pairs.iter().find(|p| (p.before, p.after) == (before, after)).unwrap()
    };
    for (before, after) in [(0, 1), (1, 2), (2, 1), (1, 0)] {
        let alone = rest(&Row::pair(&bodies[before], &bodies[after]), 1).unwrap().pulled;
        assert_eq!(pair(before, after).count, 1);
        assert!((pair(before, after).advance - alone).abs() < 1e-9);
    }
    // A big link hangs lower in a small one than a small one in a big one.
    assert!(pair(1, 0).advance > pair(0, 1).advance + 0.1);
}

/// 2π²Rr² of metal in a torus; handbook densities (g/cm³): sterling 10.36, fine silver 10.49,
/// copper 8.94 and titanium 4.51 (sources in `src/mechanics/material/table.rs`). A ring of 3 mm inside, 1 mm
/// wire: R = 2, r = ½, π² mm³ = 9.8696: sterling 0.10225 g, and so on by long multiplication.
#[test]
fn a_ring_weighs_its_torus() {
    let centreline = PI * (3.0 + 1.0);
    for (id, grams) in [
        ("sterling-silver", 0.10225),
        ("fine-silver", 0.10353),
        ("copper", 0.08824),
        ("titanium", 0.04451),
    ] {
        let density = known_metal(id).unwrap().density();
        let found = wire_grams(1.0, centreline, density);
        // The fifth digit is rounded; copper's density is given as 8.93 to 8.96.
        let budget = if id == "copper" { 3e-4 } else { 6e-6 };
        assert!((found - grams).abs() < budget, "{id}: {found} {grams}");
    }
    let mut design = Design::plain(1.0, 12.0);
    design.plan = Some(PlanChoice::default());
    let (plan, formings) = planned(&design).unwrap();
    let (torus, section) = (formings[0].ring.radius(), 0.5);
    let one = 10.36e-3 * 2.0 * PI * PI * torus * section * section;
    let whole = plan.materials.links() as f64 * one;
    assert!((plan.materials.chain_grams() / whole - 1.0).abs() < 1e-12);
}

/// A bracelet's middle line is as long as the wrist, and π times its thickness: 165 mm and
/// 5 mm make 180.71 mm (165 + 15.708). The same in a plan, for the thickness it has.
#[test]
fn a_worn_chain_is_longer_than_what_it_lies_round() {
    assert!((flat_length(165.0, 5.0) - 180.71).abs() < 5e-3);
    let mut design = Design::plain(0.9, 11.0);
    design.plan = Some(PlanChoice {
        length_mm: 165.0,
        measured: LengthBasis::RoundWrist,
        ease_mm: 10.0,
        ..PlanChoice::default()
    });
    let (plan, _) = planned(&design).unwrap();
    assert!((plan.wanted - 175.0 - PI * plan.thickness).abs() < 1e-9);
    let [below, above] = plan.nearest;
    assert!(below <= plan.wanted && plan.wanted < above);
    assert!((plan.inside() - (plan.layout.length - PI * plan.thickness - 10.0)).abs() < 1e-9);
}

/// 30 links of one ring each, 35 rings: minutes 0.1 + 0.3 + 2 + 0.3 + 0.3 + 0.5 = 3.5 a ring and
/// 1.5 a join are 35 × 3.5 + 30 × 1.5 = 167.5, or 2.7917 hours; annealed once before the fold,
/// 35 × 0.3 = 10.5 minutes more.
#[test]
fn hours_and_cost_by_hand() {
    let mut design = Design::plain(1.0, 12.0);
    design.sizes[0].springback_mm = Some(0.0);
    let forming = design.formings().unwrap()[0];
    let pitch = seated(&Body::of(&forming.fold), Weave::SINGLE).unwrap().pulled;
    let length_mm = 29.2 * pitch + forming.fold.outside_height() + 15.0;
    design.plan = Some(PlanChoice { length_mm, ..PlanChoice::default() });
    let (plan, _) = planned(&design).unwrap();
    let text = r#"{"linkfold_bench": 1, "hourly_rate": 30, "currency": "EUR",
        "prices": {"metal_per_gram": 2, "solder_per_ring": 0.05, "fixed": 12}}"#;
    let bench = Bench::parse(text).unwrap();
    let cost = Cost::of(&design, &plan.materials, &bench);
    assert!((cost.hours - 167.5 / 60.0).abs() < 1e-9, "{}", cost.hours);
    assert!((cost.solder - 1.75).abs() < 1e-9 && (cost.work - 83.75).abs() < 1e-9);
    // 1469.425 mm of 1 mm sterling: 10.36e-3 × 0.785398 × 1469.425 = 11.956 g, at 2 a gram.
    assert!((cost.metal - 23.913).abs() < 1e-3, "{}", cost.metal);
    assert!((cost.total() - (23.913 + 1.75 + 12.0 + 83.75)).abs() < 1e-3);
    design.metal.anneal_before = vec![linkfold::documents::design::AnnealBefore::Fold];
    let annealed = Cost::of(&design, &plan.materials, &bench);
    assert!((annealed.hours - 178.0 / 60.0).abs() < 1e-9);
}

fn necklace(number: i32, ratio: f64, lobe: f64, weave: WeaveChoice, length_mm: f64) -> Design {
    let gauge = Gauge { system: GaugeSystem::Awg, number };
    let wire = gauge.diameter().unwrap().get();
    let mut design = three_sizes(wire, [1.0, 1.1, 1.2].map(|share| share * ratio * wire));
    design.wire = WireChoice::by_gauge(gauge);
    design.metal.id = "copper".into();
    design.weave = weave;
    for size in &mut design.sizes {
        size.bore_mm = Some(lobe * wire);
        size.fold_jaw_mm = Some(lobe * wire);
    }
    design.plan = Some(PlanChoice { length_mm, ..PlanChoice::default() });
    design
}

/// Common practice, no source: some 5.5 m of AWG 14 copper make one tapered necklace of three
/// sizes; so 3 to 6 m, and 40 to 300 rings, at 45 to 60 cm. In a single weave of usual proportion
/// (mandrels of 11 to 13 wires) it comes out so, and every size is proven to join.
#[test]
fn a_tapered_copper_necklace_takes_what_practice_says() {
    for length in [450.0, 525.0, 600.0] {
        let design = necklace(14, 11.0, 2.5, WeaveChoice::Single, length);
        let (plan, _) = planned(&design).unwrap();
        let (wire, rings) = (1e-3 * plan.materials.wire(), plan.materials.links());
        assert!((3.0..6.0).contains(&wire), "{length}: {wire} m");
        assert!((40..=300).contains(&rings), "{length}: {rings} rings");
    }
    let design = necklace(14, 11.0, 2.5, WeaveChoice::Single, 525.0);
    let formings = design.formings().unwrap();
    for join in 0..3 {
        let proven = prove(&design, &formings, join, LengthUnit::Mm).unwrap().report;
        assert_eq!(proven.verdict, JoinAnswer::Passes, "{join}: {}", proven.message);
    }
}

/// A double weave has two links where a single has one, and here lies and joins only with lobes
/// of 4½ wires and mandrels of 27 and more: so it needs wire that is thinner for its length. Of
/// AWG 18 a necklace of 45 cm comes out within the same 3 to 6 m and 40 to 300 rings.
/// Of AWG 14 it does not: the links alone take 3 to 6 m, but they are fewer than 40, and with
/// trial links, spares and coil ends it takes a little more than 6 m.
#[test]
fn a_double_weave_takes_as_much_of_a_thinner_wire() {
    let thin = necklace(18, 27.0, 4.5, WeaveChoice::Double, 450.0);
    let (plan, formings) = planned(&thin).unwrap();
    let (wire, rings) = (1e-3 * plan.materials.wire(), plan.materials.links());
    assert!((3.0..6.0).contains(&wire), "{wire} m");
    assert!((40..=300).contains(&rings), "{rings} rings");
    for join in 0..3 {
        let proven = prove(&thin, &formings, join, LengthUnit::Mm).unwrap().report;
        assert_eq!(proven.verdict, JoinAnswer::Passes, "{join}: {}", proven.message);
    }
    let thick = necklace(14, 27.0, 4.5, WeaveChoice::Double, 450.0);
    let (plan, _) = planned(&thick).unwrap();
    let sizes = plan.materials.sizes.iter();
    let links: f64 = sizes.map(|size| size.links as f64 * size.wire_per_ring).sum();
    assert!((3e3..6e3).contains(&links), "{links} mm in the links");
    assert!((6e3..6.5e3).contains(&plan.materials.wire()), "{} mm", plan.materials.wire());
}

/// The ring must close over two tips side by side: 2 d and their gap, so less than that inside
/// never goes; and a ring of thick wire does not go between the legs.
#[test]
fn an_end_ring_goes_where_there_is_room_for_it() {
    let mut design = Design::plain(1.0, 12.0);
    let end_fits = |inside: f64, wire: f64, design: &mut Design| {
        design.plan = Some(PlanChoice {
            end_ring_inside_mm: Some(inside),
            end_ring_wire_mm: Some(wire),
            ..PlanChoice::default()
        });
        planned(design).unwrap().0.ends
    };
    let [fold, tips] = end_fits(4.0, 0.8, &mut design);
    assert!(fold.fits() && tips.fits(), "{fold:?} {tips:?}");
    // Two tips of 1 mm and 0.1 mm between them.
    let [_, tips] = end_fits(2.0, 0.5, &mut design);
    assert!(!tips.fits() && tips.inside_for.is_some_and(|inside| inside > 2.1), "{tips:?}");
    // The size told just fits, and a hair less does not.
    let least = tips.inside_for.unwrap();
    assert!(end_fits(least, 0.5, &mut design)[1].fits());
    assert!(!end_fits(0.99 * least, 0.5, &mut design)[1].fits());
    // Wire of 2.6 mm does not go through a bore of 2.5 mm.
    let [_, tips] = end_fits(8.0, 2.6, &mut design);
    assert!(!tips.fits() && tips.wire_for.is_some_and(|wire| wire < 2.5), "{tips:?}");
}

#[test]
fn a_plan_is_finished_only_when_every_neighbour_joins() {
    let plan = |design: &Design| {
        let report = Report::of(design).unwrap();
        report.plan.expect("the design has a plan")
    };
    let sound = plan(&three_sizes(1.0, [12.0, 12.5, 13.0]));
    assert_eq!(sound.standing, PlanStanding::Finished, "{}", sound.message);
    let laid = sound.laid.unwrap();
    // Each size with itself, and every neighbour both ways.
    assert_eq!(laid.joins.len(), 7);
    assert!(laid.ends.iter().all(|end| end.fits), "{:?}", laid.ends);
    // Of that number every link but the first is joined.
    let joined: usize = laid.joins.iter().map(|join| join.count).sum();
    assert_eq!(joined + 1, laid.links);
    // Links that lie in one another, but do not get there past those in the row.
    let mut wide = Design::plain(1.0, 20.0);
    wide.weave = WeaveChoice::Double;
    wide.sizes[0].bore_mm = Some(4.5);
    wide.sizes[0].fold_jaw_mm = Some(4.5);
    wide.sizes[0].pinch_jaw_mm = Some(2.0);
    wide.sizes[0].neck_mm = Some(0.0);
    wide.sizes[0].threading_bore_mm = Some(4.5);
    wide.plan = Some(PlanChoice::default());
    let fails = plan(&wide);
    assert_eq!(fails.standing, PlanStanding::Fails, "{}", fails.message);
    assert!(
        fails.message.starts_with("Plan not complete: ") && fails.message.contains("does not join")
    );
    let locked = plan(&{
        let mut locked = Design::plain(1.0, 10.0);
        locked.sizes[0].waist_gap_mm = Some(0.6);
        locked.plan = Some(PlanChoice::default());
        locked
    });
    assert_eq!(locked.standing, PlanStanding::NotLaidOut, "{}", locked.message);
    assert!(fails.cautions.iter().any(|words| words.contains("part before it harms")));
    // By estimate alone nothing is finished.
    let design = three_sizes(1.0, [12.0, 12.5, 13.0]);
    let formings = design.formings().unwrap();
    let quick = Report::at_once(&design, &formings, LengthUnit::Mm).joins;
    let (plan, asked) = (Plan::of(&design, &formings), (LengthUnit::Mm, false));
    let open = PlanReport::of(&design, &formings, &plan, &quick, None, asked);
    assert_eq!(open.standing, PlanStanding::Open, "{}", open.message);
}

/// Read back by an unrelated program, whatever stands in a name.
#[test]
fn tables_are_read_by_an_unrelated_program() {
    let mut design = three_sizes(1.0, [12.0, 12.5, 13.0]);
    let names = ["say \"back\"", "side, left\r\nand right", " plain "].map(String::from);
    for (size, name) in design.sizes.iter_mut().zip(&names) {
        size.name = name.clone();
    }
    let (plan, formings) = planned(&design).unwrap();
    let text = csv(&plan, &formings, &names, PlanTable::Cuts);
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 3);
    let mut column = |name: &str| reader.headers().unwrap().iter().position(|h| h == name).unwrap();
    let (wire, rings) = (column("wire mm"), column("rings to saw"));
    for (row, size) in rows.iter().zip(&plan.materials.sizes) {
        assert!((row[wire].parse::<f64>().unwrap() - size.wire).abs() < 1e-3);
        assert_eq!(row[rings].parse::<usize>().unwrap(), size.rings());
    }
    assert!(rows.iter().zip(&names).all(|(row, name)| row[0] == *name));
    let text = csv(&plan, &formings, &names, PlanTable::Chain);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let links: usize = reader.records().map(|r| r.unwrap()[2].parse::<usize>().unwrap()).sum();
    assert_eq!(links, plan.layout.counts.total());
}

/// By OWASP's list of what makes a cell a formula ("CSV Injection").
#[test]
fn no_name_is_a_formula_in_a_spreadsheet() {
    let design = three_sizes(1.0, [12.0, 12.5, 13.0]);
    let (plan, formings) = planned(&design).unwrap();
    let names =
        ["=HYPERLINK(\"http://x\")", "  @SUM(1+1)", "-1+cmd|' /C calc'!A0"].map(String::from);
    for table in [PlanTable::Cuts, PlanTable::Chain] {
        let text = csv(&plan, &formings, &names, table);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let column = usize::from(table == PlanTable::Chain);
        for row in reader.records().map(Result::unwrap) {
            let name = row[column].strip_prefix('\'').expect("told as text");
            assert!(names.iter().any(|known| known == name), "{name}");
        }
    }
}

#[test]
fn nonsense_is_refused_by_name() {
    let text = |plan: &str, trials: &str| {
        format!(
            r#"{{"linkfold": 1, "wire": {{"diameter_mm": 1}}, "sizes": [{{"mandrel_mm": 12}}],
            "plan": {plan}, "trials": {trials}}}"#
        )
    };
    for (plan, trials, field) in [
        (r#"{"length_mm": -1}"#, "[]", "plan.length_mm"),
        (r#"{"length_mm": 0}"#, "[]", "plan.length_mm"),
        (r#"{"length_mm": 1e12}"#, "[]", "plan.length_mm"),
        (r#"{"length_mm": "long"}"#, "[]", "plan.length_mm"),
        (r#"{"length_mm": null}"#, "[]", "plan.length_mm"),
        (r#"{"loss_share": 1.5}"#, "[]", "plan.loss_share"),
        (r#"{"loss_share": -0.1}"#, "[]", "plan.loss_share"),
        (r#"{"trial_links": 101}"#, "[]", "plan.trial_links"),
        (r#"{"trial_links": -1}"#, "[]", "plan.trial_links"),
        (r#"{"trial_links": 1.5}"#, "[]", "plan.trial_links"),
        (r#"{"taper": "conical"}"#, "[]", "plan.taper"),
        (r#"{"measured": "round-dog"}"#, "[]", "plan.measured"),
        (r#"{"lenght_mm": 450}"#, "[]", "plan.lenght_mm"),
        ("[450]", "[]", "plan"),
        ("{}", r#"[{"mandrel_mm": 0}]"#, "trials[0].mandrel_mm"),
        ("{}", r#"[{}]"#, "trials[0]"),
        ("{}", r#"[{"mandrel_mm": 12}, {"mandrel_mm": 12, "bore_mm": -1}]"#, "trials[1].bore_mm"),
        ("{}", r#"[{"mandrel_mm": 12, "joined": 1}]"#, "trials[0].joined"),
        ("{}", r#"[{"mandrel_mm": 12, "bore": 1}]"#, "trials[0].bore"),
        ("{}", r#"[[12]]"#, "trials[0]"),
    ] {
        let text = text(plan, trials);
        let error = Design::parse(&text).expect_err(&text);
        assert!(error.field().starts_with(field), "{text}: {} ({error})", error.field());
        assert!(!error.message("this", LengthUnit::Inch).is_empty());
    }
    let many = format!("[{}]", vec![r#"{"mandrel_mm": 12}"#; 201].join(","));
    assert_eq!(Design::parse(&text("{}", &many)).unwrap_err().field(), "trials");
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let mut design = Design::plain(1.0, 12.0);
        let formings = design.formings().unwrap();
        design.plan = Some(PlanChoice { length_mm: value, ..PlanChoice::default() });
        let error = Plan::of(&design, &formings).unwrap_err();
        assert_eq!(error.field(), "plan.length_mm");
    }
}

#[test]
fn a_plan_that_cannot_be_says_what_would() {
    let fault = |change: &dyn Fn(&mut PlanChoice)| {
        let mut design = three_sizes(1.0, [12.0, 12.5, 13.0]);
        change(design.plan.as_mut().unwrap());
        planned(&design).unwrap_err()
    };
    let short = fault(&|plan| plan.length_mm = 20.0);
    let PlanError::TooShort { least, .. } = short else { panic!("{short}") };
    assert!(fault(&|plan| plan.length_mm = least.get() - 1e-3).to_string().contains("shortest"));
    let mut design = three_sizes(1.0, [12.0, 12.5, 13.0]);
    design.plan.as_mut().unwrap().length_mm = least.get() + 1e-3;
    assert!(planned(&design).is_ok());
    let steps = fault(&|plan| {
        plan.taper = Taper::Stepped;
        plan.step_mm = 5000.0;
    });
    assert_eq!(steps.field(), "plan.length_mm");
    let coil = fault(&|plan| plan.coil_mm = 1.0 - 1e-6);
    assert!(coil.field() == "plan.coil_mm", "{coil}");
    let mut thick = Design::plain(3.0, 36.0);
    thick.plan = Some(PlanChoice { coil_mm: 2.0, ..PlanChoice::default() });
    let coil = planned(&thick).unwrap_err();
    assert!(matches!(coil, PlanError::CoilTooShort { .. }), "{coil}");
    // Links so small that nobody makes so many.
    let mut fine = Design::plain(0.05, 0.6);
    fine.kerf_mm = 0.0;
    fine.plan = Some(PlanChoice { length_mm: 20000.0, ..PlanChoice::default() });
    let long = planned(&fine).unwrap_err();
    assert!(matches!(long, PlanError::TooLong { .. }), "{long}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// Counts times pitches, the metal beyond the folds and the clasp are the length; the wire of
    /// the sizes is the wire; a longer chain takes no less of it, of no size.
    #[test]
    fn length_and_wire_add_up_and_grow(
        first in 11.0..13.0_f64,
        steps in prop::array::uniform2(0.0..0.8_f64),
        lengths in prop::array::uniform2(120.0..900.0_f64),
        taper in prop::sample::select(vec![Taper::Even, Taper::Stepped, Taper::Swelling]),
        one_ended in any::<bool>(),
        measured in prop::sample::select(vec![LengthBasis::Flat, LengthBasis::RoundNeck]),
    ) {
        let mandrels = [first, first + steps[0], first + steps[0] + steps[1]];
        let mut design = three_sizes(1.0, mandrels);
        let formings = design.formings().unwrap();
        let mut plans = Vec::new();
        let [a, b] = lengths;
        for length in [a.min(b), a.max(b)] {
            design.plan = Some(PlanChoice {
                length_mm: length, taper, one_ended, measured, step_mm: 15.0,
                ..PlanChoice::default()
            });
            plans.push(Plan::of(&design, &formings).unwrap());
        }
        for plan in &plans {
            let pairs = plan.layout.pairs.iter();
            let along: f64 = pairs.map(|pair| pair.count as f64 * pair.advance).sum();
            let sum = along + plan.layout.beyond + plan.layout.clasp;
            prop_assert!((sum - plan.layout.length).abs() < 1e-6, "{} {}", sum, plan.layout.length);
            let [below, above] = plan.nearest;
            prop_assert!(below <= plan.wanted && plan.wanted <= above);
            let off = (plan.layout.length - plan.wanted).abs();
            prop_assert!(off <= (plan.wanted - below).min(above - plan.wanted) + 1e-9);
            prop_assert_eq!(plan.layout.order.len(), plan.layout.counts.total());
            let apart: f64 = plan.materials.sizes.iter().map(|size| size.wire).sum();
            prop_assert!((apart - plan.materials.wire()).abs() < 1e-9);
        }
        for (less, more) in plans[0].materials.sizes.iter().zip(&plans[1].materials.sizes) {
            prop_assert!(more.links >= less.links && more.wire >= less.wire);
        }
    }
}
