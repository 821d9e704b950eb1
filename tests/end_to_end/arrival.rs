//! How the page arrives: what its module weighs, when the first picture stands and when it
//! answers, on a slow processor and on a slow network; what stands there without the module.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use serde_json::json;
use std::path::Path;
use thirtyfour::prelude::*;

/// Notes when the picture is there and when the page answers, each once it has been drawn, and
/// how far things moved meanwhile.
const NOTE_TIMES: &str = "const note = (name, there) => new MutationObserver((_, o) => { \
        if (!there()) return; \
        o.disconnect(); \
        requestAnimationFrame(() => setTimeout(() => { window[name] ??= performance.now(); })); \
    }).observe(document, { attributes: true, subtree: true, childList: true }); \
    note('pictureAt', () => document.querySelector('#opening svg') && document.querySelector('footer')); \
    note('readyAt', () => document.documentElement?.dataset.state === 'ready'); \
    window.moved = 0; \
    new PerformanceObserver(l => l.getEntries().forEach(e => { window.moved += e.value; })) \
        .observe({ type: 'layout-shift', buffered: true });";

/// As on a first visit: nothing of the page is there yet.
async fn first_visit(page: &Page) -> WebDriverResult<()> {
    page.devtools("Network.enable", json!({})).await?;
    page.devtools("Network.setBypassServiceWorker", json!({ "bypass": true })).await?;
    page.devtools("Network.setCacheDisabled", json!({ "cacheDisabled": true })).await.map(drop)
}

async fn blocked(page: &Page, addresses: serde_json::Value) -> WebDriverResult<()> {
    page.devtools("Network.setBlockedURLs", json!({ "urls": addresses })).await.map(drop)
}

/// A page whose module does not come says so.
#[test]
fn without_its_module_the_page_says_so() {
    on_page(Screen::PHONE, async |page| {
        first_visit(page).await?;
        blocked(page, json!(["*_bg.wasm*"])).await?;
        page.driver.goto(&Stage::shared().page_address).await?;
        page.wait_until("document.documentElement.dataset.state === 'failed'").await?;
        let told = page.text("#message").await?;
        assert!(told.contains("could not start"), "{told}");
        Ok(())
    });
}

/// Times of three first visits, ms.
async fn times(page: &Page, what: &str) -> WebDriverResult<()> {
    let (mut picture, mut ready) = (Vec::new(), Vec::new());
    for _ in 0..3 {
        page.open(&Stage::shared().page_address).await?;
        page.wait_until("window.readyAt !== undefined").await?;
        picture.push(page.ask::<f64>("window.pictureAt").await?);
        ready.push(page.ask::<f64>("window.readyAt").await?);
    }
    picture.sort_by(f64::total_cmp);
    ready.sort_by(f64::total_cmp);
    println!("{what}: first picture after {picture:.0?} ms, answers after {ready:.0?} ms");
    Ok(())
}

/// Printed, not held to: times are the machine's.
#[test]
fn the_page_is_soon_there() {
    on_page(Screen::PHONE, async |page| {
        let www = Path::new(env!("CARGO_MANIFEST_DIR")).join("site/pkg");
        let size = |name: &str| std::fs::metadata(www.join(name)).map(|file| file.len());
        println!(
            "module: {} bytes, {} with gzip, {} with Brotli",
            size("linkfold_bg.wasm")?,
            size("linkfold_bg.wasm.gz")?,
            size("linkfold_bg.wasm.br")?
        );
        page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_TIMES }))
            .await?;
        first_visit(page).await?;
        page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 4 })).await?;
        times(page, "processor 4 times slower").await?;
        page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 1 })).await?;
        let slow = json!({ "offline": false, "latency": 150, "downloadThroughput": 200_000,
            "uploadThroughput": 200_000 });
        page.devtools("Network.emulateNetworkConditions", slow).await?;
        times(page, "1.6 Mbit/s, 150 ms").await
    });
}

/// What a visitor reads and where it stands, of what the build wrote and the module takes over.
const STANDS: &str = "(() => { const where = (css) => { \
        const r = document.querySelector(css).getBoundingClientRect(); \
        return [css, Math.round(r.top), Math.round(r.left), Math.round(r.width)]; }; \
    const words = (id) => document.getElementById(id).innerText.replace(/\\s+/g, ' '); \
    return JSON.stringify([ \
        ['#verdict', '#wire', '#picture', '#caption', '#views', '#panel-shape'].map(where), \
        ['verdict', 'basis', 'checking', 'caption', 'views', 'panel-shape', 'reasons'].map(words), \
        ['wire', 'mandrel', 'example', 'size', 'unit'].map(id => document.getElementById(id).value), \
    ]); })()";

async fn is_taken_over_in_place(page: &Page) -> WebDriverResult<()> {
    let address = &Stage::shared().page_address;
    page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_TIMES })).await?;
    first_visit(page).await?;
    // A worker that takes its time: the estimate stays.
    let silent = "window.Worker = class { postMessage() {} terminate() {} addEventListener() {} };";
    page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": silent })).await?;
    blocked(page, json!(["*start.js*"])).await?;
    page.driver.execute("localStorage.clear(); sessionStorage.clear();", vec![]).await?;
    page.driver.goto(address).await?;
    page.wait_until("window.pictureAt !== undefined").await?;
    page.screenshot("opening").await?;
    let before: String = page.ask(STANDS).await?;
    let covers = "(() => { const [a, b] = [[...document.querySelectorAll('#opening svg')] \
            .find(s => s.getBoundingClientRect().width > 0), document.getElementById('picture')] \
            .map(e => e.getBoundingClientRect()); \
        return Math.max(Math.abs(a.top - b.top), Math.abs(a.left - b.left), \
            Math.abs(a.width - b.width), Math.abs(a.height - b.height)); })()";
    let apart: f64 = page.ask(covers).await?;
    assert!(apart <= 2.0, "the picture is {apart} px beside its place");
    let link = "[...document.querySelectorAll('#opening g, #opening use')] \
            .map(part => part.getBoundingClientRect().height).filter(height => height > 0)";
    let link: Vec<f64> = page.ask(link).await?;
    assert!(matches!(link[..], [height] if height > 200.0), "the link is drawn {link:?} px high");
    let bare = page.text("#verdict").await?;
    assert!(bare.starts_with("Probably yes"), "{bare}");

    blocked(page, json!([])).await?;
    page.open(address).await?;
    page.wait_until("window.readyAt !== undefined").await?;
    let after: String = page.ask(STANDS).await?;
    assert_eq!(before, after);
    let moved: f64 = page.ask("window.moved").await?;
    println!("layout shift while the module takes over: {moved:.4}");
    assert!(moved < 0.01, "{moved}");
    Ok(())
}

#[test]
fn the_module_takes_over_in_place_at_a_desk() {
    on_page(Screen::DESK, is_taken_over_in_place);
}

#[test]
fn the_module_takes_over_in_place_on_a_phone() {
    on_page(Screen::HAND, is_taken_over_in_place);
}

/// Who left a design, or follows a link to one, is shown no other's verdict first.
#[test]
fn a_returning_visitor_sees_no_others_verdict() {
    on_page(Screen::PHONE, async |page| {
        let address = Stage::shared().page_address.clone();
        page.type_into("#wire", "1.5").await?;
        page.wait_until("localStorage.getItem('linkfold/page')?.includes('1.5')").await?;
        first_visit(page).await?;
        blocked(page, json!(["*start.js*"])).await?;
        for address in [address.clone(), format!("{address}#design.1.some")] {
            page.driver.goto("about:blank").await?;
            page.driver.goto(&address).await?;
            page.wait_until("document.querySelector('footer') !== null").await?;
            let seen = page.text("body").await?;
            assert!(!seen.contains("they join") && !seen.contains("Probably"), "{seen}");
            let shown = "getComputedStyle(document.querySelector('main'), '::before').content";
            assert!(page.ask::<String>(shown).await?.contains("Opening your design"));
            page.screenshot("opening-own-phone").await?;
        }
        blocked(page, json!([])).await?;
        page.open(&address).await?;
        assert!(page.wait_checked().await?.starts_with("No, they cannot join"));
        Ok(())
    });
}
