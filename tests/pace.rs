//! Whole verdicts, of a design that passes and of one that does not, natively and in the browser:
//! the same answers, and the time each takes. No test depends on the time.
//!
//! Run natively first; with its figure in LINKFOLD_NATIVE_MS the browser's run prints the ratio.

use linkfold::answers::report::{JoinAnswer, prove};
use linkfold::documents::design::Design;
use linkfold::documents::units::LengthUnit;

use linkfold::answers::optimise::{
    Better, Dimension, Figure, Free, Optimiser, Side, TradeOff, Wish, Wishes, figures,
};

const PASSES: &str = include_str!("../www/examples/evening-class-bracelet.json");
const FAILS: &str = include_str!("../www/examples/too-thick.json");
/// Verdicts timed, the median kept.
const RUNS: usize = 9;

#[cfg(target_arch = "wasm32")]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);

#[cfg(target_arch = "wasm32")]
mod here {
    pub const NAME: &str = "wasm";
    pub fn now_ms() -> f64 {
        let performance = js_sys::Reflect::get(&js_sys::global(), &"performance".into()).unwrap();
        let now = js_sys::Reflect::get(&performance, &"now".into()).unwrap();
        let now: js_sys::Function = now.into();
        now.call0(&performance).unwrap().as_f64().unwrap()
    }
    pub fn say(words: &str) {
        wasm_bindgen_test::console_log!("{words}");
    }
}

#[cfg(not(target_arch = "wasm32"))]
mod here {
    pub const NAME: &str = "native";
    pub fn now_ms() -> f64 {
        static START: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
        START.get_or_init(std::time::Instant::now).elapsed().as_secs_f64() * 1e3
    }
    pub fn say(words: &str) {
        println!("{words}");
    }
}

fn median_ms(runs: usize, mut work: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..runs)
        .map(|_| {
            let start = here::now_ms();
            work();
            here::now_ms() - start
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[runs / 2]
}

#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn whole_verdicts_are_the_same_everywhere() {
    let verdict = |text: &str| {
        let design = Design::parse(text).unwrap();
        prove(&design, &design.formings().unwrap(), 0, LengthUnit::Mm).unwrap()
    };
    // Warmed up as well.
    let (passes, fails) = (verdict(PASSES), verdict(FAILS));
    assert_eq!(passes.report.verdict, JoinAnswer::Passes, "{}", passes.report.message);
    assert_eq!(passes.report.basis, "proof");
    assert!(passes.report.least_clearance_mm >= passes.report.margin_mm);
    assert!(passes.paths[0].waypoints.len() > 10 && passes.report.suggestions.is_empty());
    assert_eq!(fails.report.verdict, JoinAnswer::DoesNotPass, "{}", fails.report.message);
    assert_eq!(fails.report.basis, "proof");
    assert!(
        fails.report.suggestions.iter().any(|suggestion| suggestion.field == "mandrel_mm"),
        "{fails:?}"
    );
    let good = median_ms(RUNS, || drop(verdict(PASSES)));
    let bad = median_ms(1, || drop(verdict(FAILS)));
    let name = here::NAME;
    here::say(&format!(
        "{name}: a verdict that passes {good:.1} ms; one that fails, with suggestions, {bad:.0} ms"
    ));
    let native: Option<f64> = option_env!("LINKFOLD_NATIVE_MS").and_then(|ms| ms.parse().ok());
    if let (Some(native), "wasm") = (native, name) {
        here::say(&format!("wasm ÷ native: {:.2}", good / native));
    }
}

/// Three dimensions free, as in `benches/optimise.rs` and as the page wishes at first: the same design everywhere,
/// and how long a maker waits for the first answer, for all, and for the trade-off.
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
#[cfg_attr(not(target_arch = "wasm32"), test)]
fn tuning_finds_the_same_everywhere() {
    let plain = Design::plain(0.9, 12.0);
    let free = |ranges: [(f64, f64); 3]| {
        let three = [Dimension::MandrelMm, Dimension::BoreMm, Dimension::FoldJawMm];
        let over = |(d, (low, high)): (Dimension, (f64, f64))| Free::over(d, low, high);
        three.into_iter().zip(ranges).map(over).collect()
    };
    let wished = vec![
        Wish::near(Figure::SupplenessX, 3.0),
        Wish::near(Figure::PitchMm, 6.0),
        Wish::at_least(Figure::FirstSetNewtons, 2.0),
    ];
    optimised(
        "three wishes",
        &plain,
        &Wishes::new(wished, free([(9.0, 15.0), (2.0, 3.4), (2.0, 3.4)])),
    );
    let design = Design::parse(PASSES).unwrap();
    let now = figures(&design, 0).unwrap();
    let suppleness = now[Figure::ALL.iter().position(|f| *f == Figure::SupplenessX).unwrap()];
    let usual = |d: Dimension| d.usual_range(&design.settings().unwrap()[0]);
    let ranges = [Dimension::MandrelMm, Dimension::BoreMm, Dimension::FoldJawMm].map(usual);
    let mut wishes =
        Wishes::new(vec![Wish::near(Figure::SupplenessX, 0.9 * suppleness.unwrap())], free(ranges));
    let side = |figure, better| Side { figure, better };
    wishes.trade_off = Some(TradeOff {
        across: side(Figure::SupplenessX, Better::Low),
        up: side(Figure::FirstSetNewtons, Better::High),
    });
    optimised("the page's wish", &design, &wishes);
}

fn optimised(name: &str, design: &Design, wishes: &Wishes) {
    let start = here::now_ms();
    let mut optimiser = Optimiser::new(design, wishes).unwrap();
    let (mut first, mut answers) = (None, None);
    while !optimiser.step(1).done {
        let found = optimiser.found();
        if !found.answers.is_empty() && first.is_none() {
            assert!(found.answers[0].meets_all, "{:?}", found.answers[0].gives_up);
            first = Some(here::now_ms() - start);
        }
        if found.progress.doing.contains("trade-off") {
            answers.get_or_insert(here::now_ms() - start);
        }
    }
    let all = here::now_ms() - start;
    let found = optimiser.found();
    assert!(found.answers[0].meets_all && found.refusal.is_none());
    let mandrel = found.answers[0].design.sizes[0].mandrel_mm;
    here::say(&format!(
        "{}: {name}: first answer {:.0} ms, all answers {:.0} ms, a trade-off of {} points {all:.0} ms, \
         {} designs looked at, mandrel {mandrel:.3}",
        here::NAME,
        first.unwrap_or(all),
        answers.unwrap_or(all),
        found.trade_off.len(),
        found.progress.looked_at
    ));
}
