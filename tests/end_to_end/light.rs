//! The light page that a visit opens with: what it does by itself, how the whole page takes its
//! place, what both weigh and when the first picture stands.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use flate2::Compression;
use flate2::write::GzEncoder;
use serde_json::json;
use std::io::Write;
use std::path::Path;
use thirtyfour::prelude::*;

/// What the module that the page opens with weighs at most, compressed, bytes.
const MOST_LIGHT: usize = 300_000;
/// And those that come after the first picture: the helper's, at once, and the whole page's, when
/// it is asked for. So that they do not grow unseen.
const MOST_HELPER: usize = 450_000;
const MOST_WHOLE: usize = 700_000;

async fn block(page: &Page, addresses: serde_json::Value) -> WebDriverResult<()> {
    page.devtools("Network.enable", json!({})).await?;
    page.devtools("Network.setBypassServiceWorker", json!({ "bypass": true })).await?;
    page.devtools("Network.setCacheDisabled", json!({ "cacheDisabled": true })).await?;
    page.devtools("Network.setBlockedURLs", json!({ "urls": addresses })).await.map(drop)
}

/// With nothing but the light module: the answer by estimate, the shapes, the demonstration,
/// undo; and a sentence where more is asked for, until it can be had.
#[test]
fn the_light_page_answers_by_itself() {
    on_page(Screen::DESK, async |page| {
        block(page, json!(["*linkfold_bg.wasm*", "*helper_bg.wasm*"])).await?;
        page.open(&Stage::shared().page_address).await?;
        assert!(page.text("#verdict").await?.contains("will probably go through"));
        let told = page.wait_text("#checking").await?;
        assert!(told.contains("the estimate stands"), "{told}");
        page.type_into("#wire", "1.5").await?;
        assert!(page.text("#verdict").await?.contains("probably not"));
        page.type_into("#wire", "0").await?;
        assert!(page.text(".fault:not(:empty)").await?.contains("Wire"));
        page.click("#undo").await?;
        page.click("#undo").await?;
        assert!(page.text("#verdict").await?.contains("will probably go through"));
        let picture = "document.getElementById('picture').toDataURL()";
        let before: String = page.ask(picture).await?;
        page.slide(0.3).await?;
        assert_ne!(page.ask::<String>(picture).await?, before);
        page.click("#view-join").await?;
        assert!(page.text("#join-basis").await?.contains("estimate"));
        page.choose("#example", "3").await?;
        assert!(page.text("#verdict").await?.contains("probably not"));
        page.screenshot("light-desk").await?;

        page.click("#view-chain").await?;
        let words = page.text("#message").await?;
        assert!(words.contains("could not be loaded"), "{words}");
        assert!(!page.element("#panel-chain").await?.is_displayed().await?);
        block(page, json!([])).await?;
        page.click("#view-chain").await?;
        assert!(page.element("#panel-chain").await?.is_displayed().await?);
        assert_eq!(page.text("#message").await?, "");
        assert!(page.wait_checked().await?.contains("cannot go through"));
        Ok(())
    });
}

/// What was done in the light page stands in the whole one: steps to undo, what is typed and
/// cannot be worked, size, unit, view, slider, the tour.
#[test]
fn the_whole_page_goes_on_where_the_light_one_left_off() {
    on_page(Screen::DESK, async |page| {
        page.choose("#example", "2").await?;
        page.choose("#size", "1").await?;
        page.type_into("#mandrel", "13.5").await?;
        page.choose("#unit", "inch").await?;
        page.slide(0.3).await?;
        page.click("#tour-open").await?;
        page.click("#tour-next").await?;
        let lists =
            "['example', 'views', 'size'].map(i => document.getElementById(i).children.length)";
        let [examples, views, sizes]: [usize; 3] = page.ask(lists).await?;
        page.type_into("#wire", "nonsense").await?;
        let fault = page.text(".fault:not(:empty)").await?;

        page.click("#view-metal").await?;
        assert!(page.element("#panel-metal").await?.is_displayed().await?);

        assert_eq!(page.ask::<[usize; 3]>(lists).await?, [examples, views, sizes]);
        let value = |id: &str| format!("document.getElementById('{id}').value");
        for (id, wanted) in [("size", "1"), ("unit", "inch"), ("wire", "nonsense"), ("time", "0.3")]
        {
            assert_eq!(page.ask::<String>(&value(id)).await?, wanted, "{id}");
        }
        assert_eq!(page.text(".fault:not(:empty)").await?, fault);
        assert_eq!(page.text("#tour-count").await?, "2 of 8");
        page.click("#undo").await?;
        assert!(page.text("#message").await?.contains("could not be worked"));
        page.click("#undo").await?;
        let words = page.text("#message").await?;
        assert!(words.starts_with("Undone: side: mandrel 0.5118 in"), "{words}");
        page.click("#undo").await?;
        assert!(page.ask::<String>(&value("example")).await? != "2");
        page.click("#redo").await?;
        assert_eq!(page.ask::<String>(&value("example")).await?, "2");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// What the modules weigh, and when the first picture stands on a processor four times slower.
/// Only the weight is held to: the time is the machine's.
#[test]
fn the_page_is_light_and_soon_there() {
    on_page(Screen::PHONE, async |page| {
        let weigh = |name: &str| -> std::io::Result<usize> {
            let file = format!("www/pkg/{name}_bg.wasm");
            let bytes = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(file))?;
            let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
            encoder.write_all(&bytes)?;
            let compressed = encoder.finish()?.len();
            println!("module {name}: {} bytes, {compressed} compressed with gzip", bytes.len());
            Ok(compressed)
        };
        let [light, helper, whole] = [weigh("light")?, weigh("helper")?, weigh("linkfold")?];

        let first = "new MutationObserver((_, o) => { \
                if (document.documentElement?.dataset.state !== 'ready') return; \
                o.disconnect(); \
                requestAnimationFrame(() => setTimeout(() => { window.first = performance.now(); })); \
            }).observe(document, { attributes: true, subtree: true, childList: true });";
        page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": first })).await?;
        block(page, json!([])).await?;
        page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 4 })).await?;
        let mut times = Vec::new();
        for _ in 0..3 {
            page.open(&Stage::shared().page_address).await?;
            page.wait_until("window.first !== undefined").await?;
            times.push(page.ask::<f64>("window.first").await?);
        }
        times.sort_by(f64::total_cmp);
        println!("first picture, processor 4 times slower: {times:.0?} ms");
        let over = "const since = performance.now(); document.getElementById('view-chain').click(); \
            while (document.documentElement.dataset.taking) await new Promise(requestAnimationFrame); \
            return performance.now() - since;";
        let over: f64 = page.driver.execute(over, vec![]).await?.convert()?;
        println!("the whole page in its place: {over:.0} ms");
        assert!(page.element("#panel-chain").await?.is_displayed().await?);
        // A module made quickly is no measure of the one that is handed out.
        if std::env::var_os("CARGO_PROFILE_WASM_RELEASE_OPT_LEVEL").is_none() {
            assert!(light <= MOST_LIGHT, "{light} bytes, at most {MOST_LIGHT}");
            assert!(helper <= MOST_HELPER, "{helper} bytes, at most {MOST_HELPER}");
            assert!(whole <= MOST_WHOLE, "{whole} bytes, at most {MOST_WHOLE}");
        }
        Ok(())
    });
}
