//! Wishes that make no sense get an answer that says why.

use linkfold::answers::optimise::{
    Dimension, Figure, Free, OptimiseError, Optimiser, Wish, Wishes, sensitivity,
};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;

const GOOD: &str = r#"{"linkfold_wishes": 1,
    "wishes": [{"figure": "pitch_mm", "near": 5, "within": 0.2}],
    "free": [{"dimension": "mandrel_mm", "from_mm": 9, "to_mm": 14}]}"#;

fn refused(text: &str) -> OptimiseError {
    let design = Design::plain(0.9, 12.0);
    let made = Wishes::parse(text).and_then(|wishes| Optimiser::new(&design, &wishes));
    made.err().unwrap_or_else(|| panic!("taken: {text}"))
}

#[test]
fn good_wishes_survive_being_written_and_read() {
    let wishes = Wishes::parse(GOOD).unwrap();
    assert_eq!(Wishes::parse(&wishes.to_json()).unwrap(), wishes);
    assert!(Optimiser::new(&Design::plain(0.9, 12.0), &wishes).is_ok());
}

/// What wishes called a figure before it had its present name.
#[test]
fn a_figure_is_read_by_the_name_it_had() {
    let named = |name: &str| {
        let text = GOOD.replace("pitch_mm", name);
        Wishes::parse(&text).map(|wishes| wishes.wishes[0].figure).unwrap()
    };
    assert_eq!(named("joining_room_mm"), Figure::JoiningClearanceMm);
    assert_eq!(named("joining_clearance_mm"), Figure::JoiningClearanceMm);
}

#[test]
fn every_fault_names_its_field() {
    for (from, to, place) in [
        ("\"near\": 5", "\"near\": \"5\"", "wishes[0].near"),
        ("\"near\": 5", "\"near\": 1e300", "wishes[0].near"),
        ("\"near\": 5", "\"near\": NaN", "line 2"),
        ("\"near\": 5, \"within\": 0.2", "\"within\": 0.2", "wishes[0]"),
        ("\"within\": 0.2", "\"within\": 0", "wishes[0].within"),
        ("\"within\": 0.2", "\"within\": -1", "wishes[0].within"),
        ("\"within\": 0.2", "\"at_most\": 6", "wishes[0]"),
        ("\"near\": 5, \"within\": 0.2", "\"at_least\": 6, \"at_most\": 5", "wishes[0]"),
        ("pitch_mm", "pitch", "wishes[0].figure"),
        ("mandrel_mm", "stick_mm", "free[0].dimension"),
        ("\"to_mm\": 14", "\"to_mm\": 9", "free[0]"),
        ("\"to_mm\": 14", "\"to_mm\": 1e9", "free[0].to_mm"),
        ("\"from_mm\": 9", "\"from_mm\": -9", "free[0].from_mm"),
        ("\"to_mm\": 14", "\"list_mm\": [9]", "free[0]"),
        ("\"from_mm\": 9, \"to_mm\": 14", "\"list_mm\": []", "free[0]"),
        ("\"from_mm\": 9, \"to_mm\": 14", "\"list_mm\": [9, 0]", "free[0].list_mm[1]"),
        ("\"from_mm\": 9, \"to_mm\": 14", "\"from_bench\": true", "free[0]"),
        ("\"wishes\": [", "\"wish\": [", "wish"),
        ("\"linkfold_wishes\": 1", "\"linkfold_wishes\": 2", "linkfold_wishes"),
        ("\"linkfold_wishes\": 1", "\"linkfold_wishes\": 1, \"size\": 3", "size"),
        ("\"linkfold_wishes\": 1", "\"linkfold_wishes\": 1, \"seed\": -1", "seed"),
    ] {
        let text = GOOD.replace(from, to);
        assert_ne!(text, GOOD, "{from}");
        let told = refused(&text).to_string();
        assert!(told.contains(place), "{to}: {told}");
    }
    for text in
        ["", "{}", "[]", "null", "[1, 0, 0, [], []]", "{\"linkfold_wishes\": 1}", &GOOD[1..]]
    {
        refused(text);
    }
    refused(&" ".repeat(2 << 20));
    refused(&format!("{GOOD} {GOOD}"));
}

#[test]
fn twice_the_same_and_nothing_at_all_are_refused() {
    let design = Design::plain(0.9, 12.0);
    let mandrel = || Free::over(Dimension::MandrelMm, 9.0, 14.0);
    let pitch = Wish::near(Figure::PitchMm, 5.0);
    for (wishes, free) in [
        (vec![], vec![mandrel()]),
        (vec![pitch], vec![]),
        (vec![pitch, pitch], vec![mandrel()]),
        (vec![pitch], vec![mandrel(), mandrel()]),
        (vec![Wish::of(Figure::PitchMm)], vec![mandrel()]),
        (vec![Wish::near(Figure::PitchMm, f64::NAN)], vec![mandrel()]),
        (vec![Wish::at_most(Figure::PitchMm, f64::INFINITY)], vec![mandrel()]),
        (vec![pitch], vec![Free::over(Dimension::MandrelMm, f64::NAN, 14.0)]),
        (vec![pitch], vec![Free::one_of(Dimension::MandrelMm, &[f64::NAN])]),
        (vec![pitch], vec![Free::one_of(Dimension::MandrelMm, &[9.0; 201])]),
        (vec![pitch], vec![Free::from_bench(Dimension::MandrelMm)]),
    ] {
        assert!(Optimiser::new(&design, &Wishes::new(wishes, free)).is_err());
    }
    let mut bad = design.clone();
    bad.sizes.clear();
    assert!(Optimiser::new(&bad, &Wishes::new(vec![pitch], vec![mandrel()])).is_err());
    assert!(sensitivity(&bad, 0, Dimension::BoreMm).is_err());
}

#[test]
fn room_for_joining_is_not_known_in_a_weave() {
    let text = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "weave": "two-way-single",
        "sizes": [{"mandrel_mm": 18}]}"#;
    let design = Design::parse(text).unwrap();
    let free = vec![Free::over(Dimension::MandrelMm, 14.0, 20.0)];
    let wishes = Wishes::new(vec![Wish::at_least(Figure::JoiningClearanceMm, 0.1)], free);
    let error = Optimiser::new(&design, &wishes).unwrap_err();
    assert!(matches!(error, OptimiseError::NoRoomInWeave { .. }), "{error}");
}

/// Ranges in which nothing can be formed, and wishes far from anything: no panic, no answer that
/// says it meets them.
#[test]
fn where_there_is_nothing_there_is_no_answer() {
    let design = Design::plain(0.9, 12.0);
    for (low, high) in [(0.1, 0.5), (1.0, 2.0), (900.0, 1000.0)] {
        let free = vec![Free::over(Dimension::MandrelMm, low, high)];
        let wishes = vec![Wish::near(Figure::PitchMm, 4.0), Wish::at_most(Figure::WidthMm, 1.0)];
        let found = Optimiser::new(&design, &Wishes::new(wishes, free)).unwrap().settle();
        assert!(found.answers.iter().all(|answer| !answer.meets_all));
    }
    let one = Free::one_of(Dimension::MandrelMm, &[0.2]);
    let wishes = Wishes::new(vec![Wish::near(Figure::PitchMm, 4.0)], vec![one]);
    let found = Optimiser::new(&design, &wishes).unwrap().settle();
    assert!(found.answers.is_empty());
}

#[test]
fn lists_come_from_the_bench() {
    let bench = Bench { mandrels_mm: vec![11.0, 12.0], ..Bench::default() };
    let pitch = Wish::near(Figure::PitchMm, 5.0);
    let wishes =
        |dimension| Wishes::new(vec![pitch], vec![Free::from_bench(dimension)]).on_bench(&bench);
    assert_eq!(wishes(Dimension::MandrelMm).unwrap().free[0].list_mm, [11.0, 12.0]);
    assert!(matches!(wishes(Dimension::WireMm), Err(OptimiseError::BenchBare { .. })));
    assert!(matches!(wishes(Dimension::TipGapMm), Err(OptimiseError::Shape { .. })));
}
