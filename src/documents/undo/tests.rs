use super::*;
use crate::documents::design::{AnnealBefore, WeaveChoice, WireChoice};
use crate::documents::gauge::{Gauge, GaugeSystem};
use crate::documents::units::LengthUnit;

/// A design on the page and its history: a page without a browser.
struct UndoBench {
    design: Design,
    size: usize,
    history: UndoHistory,
    now: f64,
}

impl UndoBench {
    fn new() -> UndoBench {
        UndoBench {
            design: Design::plain(0.9, 12.0),
            size: 0,
            history: UndoHistory::default(),
            now: 0.0,
        }
    }

    fn change(&mut self, wait: f64, is_held: bool, edit: impl Fn(&mut Design)) {
        self.now += wait;
        let mut after = self.design.clone();
        edit(&mut after);
        self.history.note(&Change {
            before: (&self.design, self.size),
            after: (&after, self.size),
            at: self.now,
            is_held,
        });
        self.design = after;
    }

    fn mandrel(&mut self, wait: f64, mm: f64) {
        self.change(wait, false, |design| design.sizes[0].mandrel_mm = mm);
    }

    fn undo(&mut self) -> bool {
        let found = self.history.undo(&self.design);
        found.map(|(design, size)| (self.design, self.size) = (design, size)).is_some()
    }

    fn redo(&mut self) -> bool {
        let found = self.history.redo(&self.design);
        found.map(|(design, size)| (self.design, self.size) = (design, size)).is_some()
    }

    fn at(&self) -> f64 {
        self.design.sizes[0].mandrel_mm
    }
}

const LATER: f64 = MOMENT_MS + 1.0;

#[test]
fn what_was_done_is_undone_and_redone_in_order() {
    let mut bench = UndoBench::new();
    for mm in [13.0, 14.0, 15.0] {
        bench.mandrel(LATER, mm);
    }
    let undone: Vec<f64> = std::iter::from_fn(|| bench.undo().then(|| bench.at())).collect();
    assert_eq!(undone, [14.0, 13.0, 12.0]);
    let redone: Vec<f64> = std::iter::from_fn(|| bench.redo().then(|| bench.at())).collect();
    assert_eq!(redone, [13.0, 14.0, 15.0]);
}

#[test]
fn a_number_being_typed_is_one_step() {
    let mut bench = UndoBench::new();
    for mm in [13.0, 13.2, 13.25] {
        bench.mandrel(300.0, mm);
    }
    bench.change(300.0, false, |design| design.wire.diameter_mm = Some(1.0));
    bench.mandrel(300.0, 14.0);
    bench.mandrel(LATER, 15.0);
    for mandrel in [14.0, 13.25, 13.25, 12.0] {
        assert!(bench.undo());
        assert_eq!(bench.at(), mandrel);
    }
    assert!(!bench.undo());
}

#[test]
fn a_hold_is_one_step_however_long_and_crooked() {
    let mut bench = UndoBench::new();
    bench.mandrel(0.0, 11.0);
    for i in 1..100 {
        let edit = |design: &mut Design| match i % 2 {
            0 => design.sizes[0].mandrel_mm = 11.0 + 0.01 * f64::from(i),
            _ => design.wire.diameter_mm = Some(0.9 + 0.001 * f64::from(i)),
        };
        bench.change(LATER, true, edit);
    }
    bench.history.close();
    bench.change(1.0, true, |design| design.sizes[0].mandrel_mm = 20.0);
    assert!(bench.undo());
    assert!((bench.at() - 11.98).abs() < 1e-9, "{}", bench.at());
    assert!(bench.undo());
    assert_eq!((bench.at(), bench.design.wire.diameter_mm), (11.0, Some(0.9)));
    assert!(bench.undo() && !bench.undo());
}

#[test]
fn what_was_typed_back_to_what_it_was_is_no_step() {
    let mut bench = UndoBench::new();
    bench.mandrel(10.0, 13.0);
    bench.mandrel(10.0, 12.0);
    bench.mandrel(10.0, 12.0);
    assert!(bench.history.undoable().is_none() && !bench.undo());
}

#[test]
fn a_change_after_undoing_forgets_what_was_taken_back_and_joins_nothing() {
    let mut bench = UndoBench::new();
    bench.mandrel(LATER, 13.0);
    bench.mandrel(LATER, 14.0);
    assert!(bench.undo());
    bench.mandrel(1.0, 15.0);
    assert!(!bench.redo());
    assert!(bench.undo());
    assert_eq!(bench.at(), 13.0);
}

#[test]
fn a_clock_set_back_and_no_clock_join_nothing_wrongly() {
    let mut bench = UndoBench::new();
    bench.mandrel(LATER, 13.0);
    bench.mandrel(-500.0, 14.0);
    bench.mandrel(f64::NAN, 15.0);
    bench.mandrel(0.0, 16.0);
    for mandrel in [15.0, 14.0, 13.0, 12.0] {
        assert!(bench.undo());
        assert_eq!(bench.at(), mandrel);
    }
}

#[test]
fn the_size_looked_at_comes_back_with_its_change() {
    let mut bench = UndoBench::new();
    bench.change(0.0, false, |design| {
        let second = design.sizes[0].clone();
        design.sizes.push(second);
    });
    bench.size = 1;
    bench.change(LATER, false, |design| design.sizes[1].mandrel_mm = 9.0);
    bench.size = 0;
    assert!(bench.undo());
    assert_eq!(bench.size, 1);
    bench.size = 0;
    assert!(bench.redo());
    assert_eq!((bench.size, bench.design.sizes[1].mandrel_mm), (1, 9.0));
}

#[test]
fn the_oldest_go_when_there_are_too_many() {
    let mut bench = UndoBench::new();
    for i in 1..=MOST_STEPS + 50 {
        bench.mandrel(LATER, 12.0 + i as f64);
    }
    let count = std::iter::from_fn(|| bench.undo().then_some(())).count();
    assert_eq!((count, bench.at()), (MOST_STEPS, 62.0));
}

/// Documents of nearly a megabyte: a maker's own metals without end.
#[test]
fn long_documents_are_bounded_together() {
    let mut bench = UndoBench::new();
    bench.design.notes = "x".repeat(1 << 20);
    for i in 1..=40 {
        bench.mandrel(LATER, 12.0 + f64::from(i));
        assert!(bench.history.bytes <= MOST_BYTES);
    }
    let count = std::iter::from_fn(|| bench.undo().then_some(())).count();
    assert_eq!(count, 7);
    bench.mandrel(LATER, 99.0);
    let kept: usize = bench.history.past.iter().map(|step| step.bytes).sum();
    assert_eq!(bench.history.bytes, kept, "none is counted that is gone");
}

#[test]
fn a_change_is_told_in_the_words_of_the_page() {
    let before = Design::plain(0.9, 12.0);
    type Edit = fn(&mut Design);
    let cases: [(Edit, &str); 9] = [
        (|d| d.sizes[0].mandrel_mm = 13.0, "mandrel 12 mm again"),
        (|d| d.sizes[0].bore_mm = Some(2.0), "bore left out again"),
        (|d| d.kerf_mm = 0.5, "saw cut 0.26 mm again"),
        (|d| d.wire.diameter_mm = Some(1.0), "wire 0.9 mm again"),
        (
            |d| d.wire = WireChoice::by_gauge(Gauge { system: GaugeSystem::Awg, number: 18 }),
            "wire 0.9 mm again",
        ),
        (|d| d.weave = WeaveChoice::Double, "weave single again"),
        (|d| d.metal.id = "copper".into(), "metal sterling silver again"),
        (|d| d.name = "Other".into(), "name without again"),
        (
            |d| (d.name, d.sizes[0].mandrel_mm) = ("Other".into(), 9.0),
            "the design without a name again",
        ),
    ];
    for (edit, words) in cases {
        let mut after = before.clone();
        edit(&mut after);
        let difference = Difference::between(&before, &after);
        assert_eq!(again(&difference, &before, LengthUnit::Mm), words);
    }
    let mut after = before.clone();
    after.wire = WireChoice::by_gauge(Gauge { system: GaugeSystem::Awg, number: 18 });
    after.metal.anneal_before = vec![AnnealBefore::Fold];
    let difference = Difference::between(&before, &after);
    let words = difference.values(&after, LengthUnit::Inch);
    assert_eq!(words, "anneal before fold, wire 18 AWG (Brown & Sharpe)");
    assert_eq!(difference.names(&after), "anneal before, wire");
}

#[test]
fn words_are_told_short() {
    let before = Design::plain(0.9, 12.0);
    let mut after = before.clone();
    after.class.write(crate::documents::design::Lesson::Fold, &"watch the tips ".repeat(30));
    let difference = Difference::between(&before, &after);
    assert_eq!(difference.values(&after, LengthUnit::Mm), "note to the fold");
    let mut after = before.clone();
    after.notes = "x".repeat(5000);
    let words = Difference::between(&before, &after).values(&after, LengthUnit::Mm);
    assert_eq!(words, format!("notes \u{201c}{}\u{2026}\u{201d}", "x".repeat(40)));
}

#[test]
fn a_change_in_one_of_many_sizes_names_it() {
    let mut before = Design::plain(0.9, 12.0);
    before.sizes[0].name = "front".into();
    before.sizes.push(before.sizes[0].clone());
    before.sizes[1].name.clear();
    let mut after = before.clone();
    after.sizes[0].mandrel_mm = 0.5 * 25.4;
    after.sizes[1].fold_jaw_mm = Some(2.0);
    let difference = Difference::between(&before, &after);
    let words = difference.values(&after, LengthUnit::Inch);
    assert_eq!(words, "front: mandrel 0.5 in, size 2: fold jaw 0.079 in");
    assert_eq!(difference.names(&after), "front: mandrel, size 2: fold jaw");
}
