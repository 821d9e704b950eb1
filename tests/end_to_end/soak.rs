//! A week in class, made short: random presses, slides and numbers in Chromium for as many minutes
//! as `SOAK_MINUTES` says, 20 where it says nothing. What the page holds after a forced collection
//! stays flat, as does what a frame costs, and no listener or worker is left behind.

use crate::page::{Page, Screen, on_page};
use serde_json::json;
use std::time::{Duration, Instant};
use thirtyfour::prelude::*;

/// Counts workers and knows the module's memory, from before the page's first script.
const COUNT: &str = "window.workers = 0; window.memories = []; \
    const Real = Worker; \
    window.Worker = class extends Real { \
        constructor(...given) { super(...given); window.workers += 1; } \
        terminate() { window.workers -= 1; super.terminate(); } }; \
    for (const name of ['instantiate', 'instantiateStreaming']) { \
        const real = WebAssembly[name]; \
        WebAssembly[name] = async (...given) => { const made = await real(...given); \
            const memory = (made.instance ?? made).exports?.memory; \
            if (memory) window.memories.push(memory); return made; }; }";

/// A hundred acts on whatever is seen, but for what leaves the page: files, prints, full screen.
const ACT: &str = r"
    const seed = arguments[0];
    let state = seed;
    const random = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
    const left = /save|file|out-|print|copy|stl|glb|svg|film|full|keep|renew|open-file|code/;
    const frame = () => new Promise(requestAnimationFrame);
    const tell = (e, kind) => e.dispatchEvent(new Event(kind, { bubbles: true }));
    return (async () => {
        for (let i = 0; i < 100; i++) {
            const all = [...document.querySelectorAll('button, select, input')].filter(e =>
                e.checkVisibility() && !e.disabled && !left.test(e.id) && e.type !== 'file'
                && !e.closest('#bench-part'));
            const e = all[Math.floor(random() * all.length)];
            if (!e) { continue; }
            if (e.matches('button') || e.type === 'checkbox' || e.type === 'radio') { e.click(); }
            else if (e.matches('select')) {
                e.selectedIndex = Math.floor(random() * e.options.length); tell(e, 'change');
            } else if (e.type === 'range') {
                e.value = Number(e.min) + random() * (Number(e.max) - Number(e.min)); tell(e, 'input');
            } else {
                const near = { mandrel: 11 + 3 * random(), wire: 0.7 + 0.4 * random() }[e.id];
                e.value = near ? near.toFixed(2) : ''; tell(e, 'input'); tell(e, 'change');
            }
            await frame();
        }
    })();";

/// As the page is found for a measure: no class, the first design, the first view.
const REST: &str = r"
    for (const id of ['class-leave', 'tour-end']) {
        const e = document.getElementById(id); if (e?.checkVisibility()) { e.click(); }
    }
    const e = document.getElementById('example'); e.selectedIndex = 0;
    e.dispatchEvent(new Event('change', { bubbles: true }));
    document.getElementById('tab-link').click();";

/// Twelve links bent and turned, frame by frame, always alike.
const DRAW: &str = r"
    const picture = document.getElementById('picture');
    const bend = document.getElementById('chain-share');
    return (async () => {
        for (let i = 0; i < 24; i++) {
            bend.value = 5 * (i % 12); bend.dispatchEvent(new Event('input', { bubbles: true }));
            const key = i % 2 ? 'ArrowLeft' : 'ArrowRight';
            picture.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
            await new Promise(requestAnimationFrame);
        }
    })();";

type Measure = fn(&Held) -> f64;

#[derive(Clone, Copy, Debug)]
struct Held {
    heap: f64,
    listeners: f64,
    nodes: f64,
    module: f64,
    /// Processor time of the page's thread for the frames of [`DRAW`], ms.
    frames: f64,
    workers: i64,
    most_workers: i64,
}

async fn metric(page: &Page, name: &str) -> WebDriverResult<f64> {
    let metrics = page.devtools("Performance.getMetrics", json!({})).await?;
    let all = metrics["metrics"].as_array();
    let found = all.and_then(|all| all.iter().find(|metric| metric["name"] == name));
    Ok(found.and_then(|metric| metric["value"].as_f64()).expect(name))
}

async fn held(page: &Page) -> WebDriverResult<Held> {
    page.driver.execute(REST, vec![]).await?;
    page.wait_checked().await?;
    page.wait_settled().await?;
    for _ in 0..3 {
        page.devtools("HeapProfiler.collectGarbage", json!({})).await?;
    }
    Ok(Held {
        heap: metric(page, "JSHeapUsedSize").await?,
        listeners: metric(page, "JSEventListeners").await?,
        nodes: metric(page, "Nodes").await?,
        module: page
            .ask("window.memories.reduce((sum, memory) => sum + memory.buffer.byteLength, 0)")
            .await?,
        workers: page.ask("window.workers").await?,
        // One to a processor, four at the most, and one that stands ready.
        most_workers: page
            .ask("Math.min(Math.max(navigator.hardwareConcurrency ?? 1, 1), 4) + 1")
            .await?,
        frames: frames(page).await?,
    })
}

/// The least of several runs of [`DRAW`]: what else the machine does can only add.
async fn frames(page: &Page) -> WebDriverResult<f64> {
    page.look_at("chain").await?;
    // Whatever was pressed before, the same links: bent another way they take six times the marks.
    page.choose("#chain-about", "x").await?;
    page.set("chain-count", 12.0).await?;
    page.click("#reset").await?;
    page.wait_settled().await?;
    let mut least = f64::INFINITY;
    for _ in 0..8 {
        let before = metric(page, "TaskDuration").await?;
        page.driver.execute(DRAW, vec![]).await?;
        least = least.min(1e3 * (metric(page, "TaskDuration").await? - before));
    }
    Ok(least)
}

#[test]
#[ignore = "twenty minutes, or SOAK_MINUTES"]
fn a_week_in_class_leaves_nothing_behind() {
    let minutes = std::env::var("SOAK_MINUTES").ok().and_then(|text| text.parse().ok());
    let lasts = Duration::from_secs_f64(60.0 * minutes.unwrap_or(20.0));
    on_page(Screen::PROJECTOR, async |page| {
        page.devtools("Page.enable", json!({})).await?;
        let count = json!({ "source": COUNT });
        page.devtools("Page.addScriptToEvaluateOnNewDocument", count).await?;
        // Tasks are told in processor time: a busy machine does not lengthen them.
        let ticks = json!({ "timeDomain": "threadTicks" });
        page.devtools("Performance.enable", ticks).await?;
        page.devtools("HeapProfiler.enable", json!({})).await?;
        let here = page.driver.current_url().await?;
        page.open(here.as_str()).await?;
        let (since, mut round, mut seen) = (Instant::now(), 0_u32, Vec::new());
        while since.elapsed() < lasts || seen.len() < 6 {
            for _ in 0..3 {
                round += 1;
                page.driver.execute(ACT, vec![json!(round)]).await?;
            }
            let now = held(page).await?;
            println!("{:4} s, {} acts: {now:?}", since.elapsed().as_secs(), 100 * round);
            seen.push(now);
        }
        // The first third warms up: every view was seen, and what is kept for undo is full.
        let third = seen.len() / 3;
        let least =
            |part: &[Held], what: Measure| part.iter().map(what).fold(f64::INFINITY, f64::min);
        let (early, late) = (&seen[third..2 * third], &seen[2 * third..]);
        let measures: [(&str, Measure); 5] = [
            ("heap", |held| held.heap),
            ("listeners", |held| held.listeners),
            ("nodes", |held| held.nodes),
            ("module", |held| held.module),
            ("frames", |held| held.frames),
        ];
        for (name, what) in measures {
            let (before, after) = (least(early, what), least(late, what));
            assert!(after <= 1.1 * before, "{name}: {before} before, {after} after");
        }
        assert!(late.iter().all(|held| held.workers <= held.most_workers), "{late:?}");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
