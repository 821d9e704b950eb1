//! Damaged and extreme documents against everything that reads them: no panic, no figure that is
//! none, every refusal in words.
//!
//! The long run: `cargo test --release --test fuzz -- --ignored --nocapture`; its count and seed
//! are printed. Every document is read and, where it can be, formed, planned, printed and meshed; one
//! in so many is proven, searched and drawn as well, since that takes seconds.
#![cfg(not(target_arch = "wasm32"))]

use linkfold::answers::jig::{Jig, JigKind, JigRequest};
use linkfold::answers::optimise::{Optimiser, Wishes};
use linkfold::answers::path::PathDocument;
use linkfold::answers::plan::Plan;
use linkfold::answers::report::{
    MeshPiece, MeshRequest, PlanReport, Report, analyse_chain, modelled, prove,
};
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;
use linkfold::documents::share;
use linkfold::documents::units::LengthUnit;
use linkfold::geometry::link::Forming;
use linkfold::math::{Rng, limit_threads};
use linkfold::motion::chain::Body;
use linkfold::render::sheet::{Paper, Sheet, document};
use linkfold::render::{Joining, MetalLook, Pace, Taught, Theme};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// Every field that a design has.
fn whole_design() -> Value {
    let band = |likely: f64| json!({"low": 0.9 * likely, "likely": likely, "high": 1.1 * likely});
    json!({
        "linkfold": 1, "name": "Trial", "notes": "one\ntwo",
        "wire": {"diameter_mm": 0.9},
        "metal": {
            "id": "mine", "seam_share": 0.08, "shapes": "after-springback", "anneal_before": ["fold"],
            "own": [{
                "id": "mine", "name": "Mine", "density_g_per_cm3": band(10.4),
                "youngs_modulus_mpa": band(80e3), "poisson_ratio": band(0.37),
                "yield_mpa": band(100.0), "tensile_mpa": band(250.0), "elongation": band(0.4),
                "solidus_celsius": band(780.0), "liquidus_celsius": band(890.0),
                "annealing": {"celsius": band(620.0), "heat": "torch-or-kiln", "method": "dull red"}
            }]
        },
        "kerf_mm": 0.22, "margin_mm": 0.05, "weave": "single",
        "class": {"ring": "a", "fold": "b"},
        "sizes": [
            {"name": "back", "mandrel_mm": 11.5, "springback_mm": 0.1, "bore_mm": 2.6,
             "oval_jaw_mm": 2.6, "oval_length_mm": 16.5, "waist_gap_mm": 0.1, "pinch_jaw_mm": 2,
             "neck_mm": 0.5, "fold_jaw_mm": 2.5, "tip_gap_mm": 0.1, "open_tip_gap_mm": 4.0,
             "threading_bore_mm": 2.0},
            {"name": "front", "mandrel_mm": 13, "wire": {"gauge": {"system": "awg", "number": 19}}}
        ],
        "plan": {"length_mm": 460, "taper": "swelling", "clasp_mm": 18, "ease_mm": 5,
                 "trial_links": 3, "loss_share": 0.05, "spread_ring_mm": 0.05},
        "trials": [{"mandrel_mm": 11.5, "wire_mm": 0.9, "ring_inside_mm": 11.6, "bore_mm": 2.6,
                    "joined": true}]
    })
}

fn bench() -> Value {
    json!({
        "linkfold_bench": 1, "name": "Mine", "mandrels_mm": [10, 11, 12],
        "wires": [{"diameter_mm": 0.9}, {"gauge": {"system": "swg", "number": 20}}],
        "round_jaws_mm": [2, 2.5],
        "conical_pliers": [{"name": "c", "tip_mm": 1, "base_mm": 6, "length_mm": 25}],
        "prices": {"metal_per_gram": 1.2}, "minutes": {"saw": 0.5}, "hourly_rate": 20,
        "currency": "EUR"
    })
}

fn wishes() -> Value {
    json!({
        "linkfold_wishes": 1, "size": 0, "seed": 1,
        "wishes": [{"figure": "pitch_mm", "near": 5, "within": 0.2}],
        "free": [{"dimension": "mandrel_mm", "from_mm": 9, "to_mm": 14},
                 {"dimension": "bore_mm", "list_mm": [2, 2.5, 3]}]
    })
}

/// What a field may be filled with: limits, and beyond; other types.
fn odd(rng: &mut Rng) -> Value {
    let numbers = [
        0.0,
        -0.0,
        1.0,
        -1.0,
        0.01,
        0.05,
        0.1,
        20.0,
        100.0,
        500.0,
        1e3,
        5e3,
        1e5,
        1e-3,
        1e-9,
        1e-16,
        1e-300,
        5e-324,
        1e12,
        1e300,
        f64::MAX,
        -1e300,
        0.5,
        3.0,
        1.5,
    ];
    match (12.0 * rng.next_f64()) as usize {
        0 => Value::Null,
        1 => json!(rng.next_f64() < 0.5),
        2 => json!("0.9"),
        3 => json!("\u{202e}<b>\"&\u{0}"),
        4 => json!([]),
        5 => json!([1, [2]]),
        6 => json!({}),
        7 => json!("double"),
        8 => json!({"chains": 2, "through": 2}),
        _ => json!(numbers[(rng.next_f64() * numbers.len() as f64) as usize]),
    }
}

/// Changes some of a document in place.
fn damage(value: &mut Value, rng: &mut Rng, rate: f64) {
    match value {
        Value::Number(number) if rng.next_f64() < 3.0 * rate => {
            // Near what it was, as a rule: most documents should be understood.
            let was = number.as_f64().unwrap_or(1.0);
            *value = if rng.next_f64() < 0.8 {
                json!(was * (0.6 + 0.8 * rng.next_f64()))
            } else {
                odd(rng)
            };
        }
        Value::Object(fields) => {
            for inner in fields.values_mut() {
                damage(inner, rng, rate);
            }
            if rng.next_f64() < rate {
                thin(fields, rng);
            }
            if rng.next_f64() < 0.1 * rate {
                fields.insert("unknown".into(), odd(rng));
            }
        }
        Value::Array(entries) => {
            for inner in entries.iter_mut() {
                damage(inner, rng, rate);
            }
            if let Some(entry) = entries.first().cloned()
                && rng.next_f64() < rate
            {
                let count = (12.0 * rng.next_f64()) as usize;
                entries.extend(std::iter::repeat_n(entry, count));
            }
        }
        _ if rng.next_f64() < 0.3 * rate => *value = odd(rng),
        _ => {}
    }
}

/// Leaves out some of the fields.
fn thin(fields: &mut Map<String, Value>, rng: &mut Rng) {
    fields.retain(|_, _| rng.next_f64() < 0.7);
}

/// A weave by its name, or by two numbers.
fn any_weave(rng: &mut Rng) -> Value {
    let number = |rng: &mut Rng| 1 + (4.0 * rng.next_f64()) as u32;
    match (4.0 * rng.next_f64()) as usize {
        0 => json!("double"),
        1 => json!({"chains": number(rng), "through": number(rng)}),
        _ => json!("single"),
    }
}

/// A document as text: some are cut, some name a field twice, some are nested without end.
fn written(value: &Value, rng: &mut Rng) -> String {
    let text = value.to_string();
    match (40.0 * rng.next_f64()) as usize {
        0 => {
            let mut cut = (rng.next_f64() * text.len() as f64) as usize;
            while !text.is_char_boundary(cut) {
                cut -= 1;
            }
            text[..cut].to_string()
        }
        1 => text.replacen('{', "{\"linkfold\": 1,", 1),
        2 => "[".repeat(100_000),
        3 => text.replacen("\"Trial\"", &format!("\"{}\"", "x".repeat(100_000)), 1),
        _ => text,
    }
}

/// No figure of an answer is none or infinite: as it is held, since JSON writes either as null.
fn sound(what: &str, answer: &impl std::fmt::Debug) {
    let text = format!("{answer:?}");
    for none in ["NaN", "inf,", "inf)", "inf ", "inf]"] {
        if let Some(at) = text.find(none) {
            let from = (0..=at.saturating_sub(200)).rev().find(|&i| text.is_char_boundary(i));
            panic!("{none} in the {what}: {}", &text[from.unwrap_or(0)..at + none.len()]);
        }
    }
}

/// What was done with a document.
#[derive(Debug, Default)]
struct Seen {
    refused: AtomicUsize,
    formed: AtomicUsize,
    reports: AtomicUsize,
    plans: AtomicUsize,
    /// The slowest of each answer, and its case.
    slowest: Mutex<BTreeMap<&'static str, (Duration, usize)>>,
}

impl Seen {
    /// Does what gives an answer, and remembers how long the processor was at it.
    fn timed<T>(&self, number: usize, what: &'static str, work: impl FnOnce() -> T) -> T {
        let began = processor_time();
        let done = work();
        let took = processor_time().saturating_sub(began);
        let mut slowest = self.slowest.lock().unwrap();
        let most = slowest.entry(what).or_default();
        *most = (*most).max((took, number));
        done
    }
}

/// What this thread has had of a processor, whatever else runs, where the system says so (Linux,
/// Documentation/scheduler/sched-stats); nothing elsewhere.
fn processor_time() -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or(0);
    Duration::from_nanos(nanoseconds)
}

/// What is printed for the bench has no figure that is none.
fn assert_sound_text(text: &str) {
    assert!(!text.contains("NaN") && !text.contains(">inf") && !text.contains(" inf "), "{text}");
}

fn refusal(error: &impl std::error::Error) {
    let told = error.to_string();
    assert!(told.len() > 8, "a refusal of few words: {told}");
    assert_sound_text(&told);
}

/// The work in pictures, from ring to chain, of the first size.
fn pictures(design: &Design, formings: &[Forming]) -> Option<String> {
    let unit = LengthUnit::Mm;
    let bodies: Vec<Body> = formings.iter().map(|forming| Body::of(&forming.fold)).collect();
    let proven = prove(design, formings, 0, unit)?;
    let hung = analyse_chain(design, formings, &bodies, 0, unit);
    let (link, before, path) = (&formings[0], &proven.before[..], proven.paths.first());
    let joining = Joining { receiving: link, incoming: link, before, path };
    let measures = hung.as_ref().and_then(|hung| hung.measures.as_ref());
    let taught = Taught {
        pace: Pace::of(&joining),
        joining,
        join: &proven.report,
        chain: measures.map(|measures| (&bodies[0], measures)),
        seam: design.metal.seam_share,
        unit,
    };
    Some(taught.pictures(Theme::LIGHT.in_metal(MetalLook::of(&design.metal.id)), &design.name))
}

fn read_design(text: &str, rng: &mut Rng, proven: f64, number: usize, seen: &Seen) {
    let design = match Design::parse(text) {
        Ok(design) => design,
        Err(error) => {
            seen.refused.fetch_add(1, Ordering::Relaxed);
            return refusal(&error);
        }
    };
    assert_eq!(Design::parse(&design.to_json()).as_ref(), Ok(&design), "written and read again");
    if let Ok(link) = share::fragment(&design) {
        assert_eq!(share::design(&link).as_ref(), Ok(&design), "sent and read again");
    }
    let formings = match design.formings() {
        Ok(formings) => formings,
        Err(error) => {
            seen.refused.fetch_add(1, Ordering::Relaxed);
            return refusal(&error);
        }
    };
    seen.formed.fetch_add(1, Ordering::Relaxed);
    let prove = rng.next_f64() < proven;
    if prove {
        seen.reports.fetch_add(1, Ordering::Relaxed);
        sound("report", &seen.timed(number, "report", || Report::of(&design)).unwrap());
    }
    let mut sheet = Sheet::of(&design, &formings, None, LengthUnit::Inch);
    match Plan::of(&design, &formings) {
        Ok(plan) => {
            sheet.take_plan(&plan);
            seen.plans.fetch_add(1, Ordering::Relaxed);
            if prove && rng.next_f64() < 0.2 {
                let plan = seen.timed(number, "plan", || PlanReport::proven(&design, None));
                sound("plan", &plan.unwrap());
            }
        }
        Err(error) => refusal(&error),
    }
    assert_sound_text(&document(&sheet.pages(Paper::default()), Paper::default(), &sheet.title()));
    for piece in [MeshPiece::Fold, MeshPiece::Chain { links: 3, apart: true }] {
        let scale = if rng.next_f64() < 0.5 { 1.0 } else { 1e4 * rng.next_f64() };
        match modelled(&design, MeshRequest { piece, size: 0, scale }) {
            Ok(made) => {
                let finite =
                    |p: &linkfold::geometry::curve::Point| p.coords.iter().all(|x| x.is_finite());
                assert!(made.model.extents().iter().all(finite));
            }
            Err(error) => refusal(&error),
        }
    }
    if !prove {
        return;
    }
    for kind in JigKind::ALL {
        let allowance_mm = 0.6 * rng.next_f64();
        let request = JigRequest { kind, size: None, allowance_mm };
        match seen.timed(number, "jig", || Jig::for_design(&design, request)) {
            Ok(jig) => {
                sound("jig", &jig);
                assert!(jig.mesh().unwrap_or_else(|e| panic!("{kind:?}: {e}")).triangles() > 0);
            }
            Err(error) => refusal(&error),
        }
    }
    if rng.next_f64() < 0.2
        && let Some(drawn) = seen.timed(number, "pictures", || pictures(&design, &formings))
    {
        assert_sound_text(&drawn);
    }
    match seen.timed(number, "path", || PathDocument::of(&design, 0)) {
        Ok(path) => sound("path", &path),
        Err(error) => refusal(&error),
    }
    if rng.next_f64() < 0.2 {
        let mut asked = wishes();
        damage(&mut asked, rng, 0.05);
        match Wishes::parse(&asked.to_string()).and_then(|wishes| Optimiser::new(&design, &wishes))
        {
            Ok(mut optimiser) => {
                seen.timed(number, "200 designs of a search", || optimiser.step(200));
                sound("search", &optimiser.found());
            }
            Err(error) => refusal(&error),
        }
    }
}

/// One document of the run, by its number.
fn case(seed: u32, number: usize, proven: f64, seen: &Seen) -> Result<(), String> {
    let mut rng = Rng::new(seed.wrapping_add(number as u32));
    let (mut value, kind) = match number % 8 {
        0 => (bench(), "bench"),
        1 => (wishes(), "wishes"),
        2 => (whole_design(), "link"),
        _ => (whole_design(), "design"),
    };
    if kind == "design" {
        value["weave"] = any_weave(&mut rng);
        // All fields at once are seldom what is meant, and seldom lie.
        if let Value::Object(size) = &mut value["sizes"][0] {
            if rng.next_f64() < 0.7 {
                size.retain(|name, _| name == "name");
            }
            thin(size, &mut rng);
            size.insert("mandrel_mm".into(), json!(9.0 + 8.0 * rng.next_f64()));
        }
        if let (Value::Array(sizes), true) = (&mut value["sizes"], rng.next_f64() < 0.5) {
            sizes.truncate(1);
        }
    }
    let rates = [0.0, 0.01, 0.05, 0.3];
    let rate = rates[(4.0 * rng.next_f64()) as usize];
    damage(&mut value, &mut rng, rate);
    let text = written(&value, &mut rng);
    let done = catch_unwind(AssertUnwindSafe(|| match kind {
        "bench" => {
            if let Err(error) = Bench::parse(&text).map(|bench| bench.wire_diameters()) {
                refusal(&error);
            }
        }
        "wishes" => {
            if let Err(error) = Wishes::parse(&text) {
                refusal(&error);
            }
        }
        "link" => {
            // A link cut or with letters changed opens nothing but a sentence, or a design.
            let Some(design) = Design::parse(&text).ok() else { return };
            let Ok(link) = share::fragment(&design) else { return };
            let mut letters: Vec<char> = link.chars().collect();
            for _ in 0..3 {
                let at = (rng.next_f64() * letters.len() as f64) as usize;
                letters[at] = char::from(32 + (90.0 * rng.next_f64()) as u8);
            }
            if let Err(error) = share::design(&letters.iter().collect::<String>()) {
                refusal(&error);
            }
        }
        _ => read_design(&text, &mut rng, proven, number, seen),
    }));
    match done {
        Ok(()) => Ok(()),
        Err(panic) => {
            let words = panic.downcast_ref::<String>().cloned();
            let words = words.or_else(|| panic.downcast_ref::<&str>().map(ToString::to_string));
            let text: String = text.chars().take(4000).collect();
            Err(format!("case {number} of seed {seed}: {}\n{text}", words.unwrap_or_default()))
        }
    }
}

/// Memory that no case, nor two beside each other, may want.
const MOST_MEMORY_MB: u64 = 500;

/// The most memory this process has held so far, where the system says so (Linux, proc_pid_status(5)).
fn peak_memory_mb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().strip_suffix("kB")?.trim().parse::<u64>().ok()? / 1024)
}

/// Runs the cases `numbers` on every processor, the share `proven` of the designs that can be formed with
/// every proof; prints how many were understood, and the slowest.
fn cases(seed: u32, numbers: Range<usize>, proven: f64) {
    let count = numbers.len();
    // One case a processor.
    limit_threads(1);
    let seen = Seen::default();
    let next = AtomicUsize::new(numbers.start);
    let faults = Mutex::new(Vec::new());
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed);
                    if number >= numbers.end {
                        break;
                    }
                    if number > 0 && number.is_multiple_of(10_000) {
                        println!("{number} begun, {} faults", faults.lock().unwrap().len());
                    }
                    if let Err(fault) = case(seed, number, proven, &seen) {
                        faults.lock().unwrap().push(fault);
                    }
                }
            });
        }
    });
    println!("cases {numbers:?} of seed {seed}: {seen:?}");
    if let Some(peak) = peak_memory_mb() {
        println!("{peak} MB at the most, of the whole test");
        assert!(peak < MOST_MEMORY_MB, "{peak} MB");
    }
    let faults = faults.into_inner().unwrap();
    assert!(faults.is_empty(), "{} faults, the first: {}", faults.len(), faults[0]);
    // A run in which nothing is understood tries nothing.
    assert!([&seen.reports, &seen.plans].iter().all(|n| n.load(Ordering::Relaxed) > count / 200));
}

#[test]
fn what_is_damaged_was_sound() {
    let design = Design::parse(&whole_design().to_string()).unwrap();
    design.formings().unwrap();
    Bench::parse(&bench().to_string()).unwrap();
    let wishes = Wishes::parse(&wishes().to_string()).unwrap();
    Optimiser::new(&Design::plain(0.9, 12.0), &wishes).unwrap();
}

#[test]
fn two_thousand_documents_do_no_harm() {
    cases(1, 0..2_000, 0.06);
}

#[test]
#[ignore = "two hours of two processors: run in release"]
fn a_hundred_thousand_documents_do_no_harm() {
    // Those before were run already, where `FUZZ_FROM` says so.
    let from = std::env::var("FUZZ_FROM").map_or(0, |text| text.parse().expect("a number"));
    cases(7, from..100_000, 0.06);
}
