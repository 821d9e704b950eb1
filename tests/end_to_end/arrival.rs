//! How the page arrives: what its module weighs, when the first picture stands and when it
//! answers, on a slow processor and on a slow network; what stands there without the module.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use serde_json::json;
use std::path::Path;
use thirtyfour::prelude::*;

/// Notes when the page is ready and has been drawn.
const NOTE_READY: &str = "new MutationObserver((_, o) => { \
        if (document.documentElement?.dataset.state !== 'ready') return; \
        o.disconnect(); \
        requestAnimationFrame(() => setTimeout(() => { window.ready = performance.now(); })); \
    }).observe(document, { attributes: true, subtree: true, childList: true });";

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
    let mut ready = Vec::new();
    for _ in 0..3 {
        page.open(&Stage::shared().page_address).await?;
        page.wait_until("window.ready !== undefined").await?;
        ready.push(page.ask::<f64>("window.ready").await?);
    }
    ready.sort_by(f64::total_cmp);
    println!("{what}: answers after {ready:.0?} ms");
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
        page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_READY }))
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
