//! The page in Firefox and in WebKit, by their own drivers: a walk through what a maker and a teacher
//! do, to the page without its server. `.ci/test --all-browsers` installs them and runs it.

use crate::offline::{Copy, KEPT};
use crate::page::Page;
use crate::stage::{connect, other_driver, serve};
use serde_json::json;
use std::process::Command;
use thirtyfour::common::command::Command as Drive;
use thirtyfour::prelude::*;

/// A program named by the environment, or by its usual name.
fn program(variable: &str, usual: &str) -> String {
    std::env::var(variable).unwrap_or_else(|_| usual.into())
}

#[test]
#[ignore = "wants firefox-esr and geckodriver: .ci/test --all-browsers"]
fn firefox_walks() {
    let driver = Command::new(program("GECKODRIVER", "geckodriver"));
    let wishes = json!({ "moz:firefoxOptions": { "args": ["-headless"] } });
    walk("firefox", driver, wishes, "touch");
}

#[test]
#[ignore = "wants webkit2gtk-driver and a display: .ci/test --all-browsers"]
fn webkit_walks() {
    let mut driver = Command::new(program("WEBKITDRIVER", "WebKitWebDriver"));
    // As root, as in a container, its sandbox does not start.
    driver.env("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1");
    let browser = program("MINIBROWSER", "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser");
    let browser = json!({ "binary": browser, "args": ["--automation"] });
    // Its driver presses a mouse, whatever kind of pointer it is asked for.
    walk("webkit", driver, json!({ "webkitgtk:browserOptions": browser }), "mouse");
}

/// `pointer` is what the driver makes of a finger.
fn walk(name: &str, driver: Command, wishes: serde_json::Value, pointer: &str) {
    let copy = Copy::new(&format!("walk-{name}"));
    let (server, address) = serve(copy.server(), 0);
    let (_driver, listens) = other_driver(driver);
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(async {
        let mut capabilities = Capabilities::new();
        for (key, value) in wishes.as_object().expect("an object") {
            capabilities.set(key, value.clone()).expect("it is written");
        }
        let driver = connect(&listens, capabilities).await.expect("the browser starts");
        let page = Page { driver };
        let done = walk_on((name, pointer), &page, server, &address).await;
        if done.is_err() {
            let _ = page.screenshot(&format!("{name}-stuck")).await;
        }
        // WebKit's driver may end with its browser, before it has said so.
        let _ = page.driver.quit().await;
        done.unwrap_or_else(|error| panic!("{name}: {error}"));
    });
}

async fn value(page: &Page, id: &str) -> WebDriverResult<String> {
    page.ask(&format!("document.getElementById('{id}').value")).await
}

/// Draws fingers across the screen by the drivers' standard (W3C WebDriver, pointer actions of type
/// "touch"), each from one place to another, CSS pixels of the window.
async fn fingers(page: &Page, ways: &[[[f64; 2]; 2]]) -> WebDriverResult<()> {
    let finger = |(number, [from, to]): (usize, &[[f64; 2]; 2])| {
        let moved = |share: f64, lasts: u32| {
            let at = [0, 1].map(|i| (from[i] + share * (to[i] - from[i])).round());
            json!({ "type": "pointerMove", "origin": "viewport", "duration": lasts,
                "x": at[0], "y": at[1] })
        };
        let mut acts = vec![moved(0.0, 0), json!({ "type": "pointerDown", "button": 0 })];
        acts.extend((1..=10).map(|step| moved(f64::from(step) / 10.0, 20)));
        acts.push(json!({ "type": "pointerUp", "button": 0 }));
        json!({ "type": "pointer", "id": format!("finger {number}"),
            "parameters": { "pointerType": "touch" }, "actions": acts })
    };
    let acts: serde_json::Value = ways.iter().enumerate().map(finger).collect();
    page.driver.cmd(Drive::PerformActions(acts.into())).await?;
    page.driver.cmd(Drive::ReleaseActions).await.map(drop)
}

/// The picture, as text that is another for another.
const PICTURE: &str = "document.getElementById('picture').toDataURL()";

/// One finger across turns the work, two pull it nearer, and neither scrolls or zooms the page.
async fn touch_on((name, pointer): (&str, &str), page: &Page) -> WebDriverResult<()> {
    let note = "window.kinds = []; addEventListener('pointerdown', \
        e => kinds.push(e.pointerType), true);";
    page.driver.execute(note, vec![]).await?;
    page.element("#picture").await?.scroll_into_view().await?;
    let place = "(() => { const r = document.getElementById('picture').getBoundingClientRect(); \
        return [r.left, r.top, r.width, r.height]; })()";
    let [left, top, width, height]: [f64; 4] = page.ask(place).await?;
    let at = |x: f64, y: f64| [left + x * width, top + y * height];
    let before: String = page.ask(PICTURE).await?;
    fingers(page, &[[at(0.3, 0.5), at(0.7, 0.5)]]).await?;
    assert_eq!(page.ask::<Vec<String>>("kinds").await?, [pointer]);
    assert_ne!(page.ask::<String>(PICTURE).await?, before, "a finger does not turn the work");
    page.screenshot(&format!("{name}-touch-turned")).await?;
    page.click("#reset").await?;
    assert_eq!(page.ask::<String>(PICTURE).await?, before);
    if pointer != "touch" {
        return Ok(());
    }
    page.driver.execute("kinds.length = 0;", vec![]).await?;
    fingers(page, &[[at(0.4, 0.5), at(0.2, 0.5)], [at(0.6, 0.5), at(0.8, 0.5)]]).await?;
    assert_ne!(page.ask::<String>(PICTURE).await?, before, "two fingers do not zoom the work");
    page.screenshot(&format!("{name}-touch-zoomed")).await?;
    assert_eq!(page.ask::<Vec<String>>("kinds").await?, ["touch", "touch"]);
    assert_eq!(page.ask::<f64>("visualViewport.scale").await?, 1.0, "the page is not zoomed");
    page.click("#reset").await?;
    assert_eq!(page.ask::<String>(PICTURE).await?, before);
    Ok(())
}

async fn walk_on(
    (name, pointer): (&str, &str),
    page: &Page,
    server: crate::stage::Guarded,
    address: &str,
) -> WebDriverResult<()> {
    page.driver.set_window_rect(0, 0, 1280, 900).await?;
    page.open(address).await?;
    let note = "window.noted = []; addEventListener('error', e => noted.push(e.message)); \
        addEventListener('unhandledrejection', e => noted.push(String(e.reason))); \
        document.addEventListener('securitypolicyviolation', e => noted.push(e.effectiveDirective));";
    page.driver.execute(note, vec![]).await?;
    // Typed, and proven by the worker.
    let verdict = page.wait_checked().await?;
    assert!(verdict.starts_with("Yes, they join."), "{verdict}");
    page.type_into("#wire", "1.5").await?;
    let verdict = page.wait_checked().await?;
    assert!(verdict.starts_with("No, they cannot join"), "{verdict}");
    // One step, but for letters that a slow driver sends further apart than `undo::MOMENT_MS`.
    for _ in "1.5".chars() {
        if value(page, "wire").await? != "0.9" {
            page.click("#undo").await?;
        }
    }
    assert_eq!(value(page, "wire").await?, "0.9");
    page.type_into("#mandrel", "12.5").await?;
    page.wait_checked().await?;
    page.screenshot(&format!("{name}-desk")).await?;

    page.look_at("map").await?;
    page.wait_until("document.getElementById('map-table').rows.length > 0").await?;
    page.screenshot(&format!("{name}-map")).await?;
    page.look_at("chain").await?;
    let words = page.wait_text("#chain-says").await?;
    assert!(words.contains("Each link adds"), "{words}");
    page.screenshot(&format!("{name}-chain")).await?;
    page.look_at("join").await?;
    touch_on((name, pointer), page).await?;

    page.click("#class-open").await?;
    page.wait_until("document.getElementById('class-verdict-0').textContent.startsWith('Yes')")
        .await?;
    page.driver.active_element().await?.send_keys(Key::PageDown + "").await?;
    page.wait_until("document.getElementById('class-time').valueAsNumber > 0").await?;
    page.screenshot(&format!("{name}-class")).await?;
    // Not by Escape: in full screen WebKit's driver never hears that it was pressed.
    page.click("#class-leave").await?;
    page.wait_until("document.getElementById('class').hidden").await?;

    page.click("#designs-button").await?;
    page.type_into("#keep-name", "Walked").await?;
    page.click("#keep").await?;
    assert_eq!(page.wait_text("#message").await?, "Kept as \u{201c}Walked\u{201d}.");
    assert_eq!(page.ask::<Vec<String>>("window.noted").await?, Vec::<String>::new());

    page.open(address).await?;
    assert_eq!(value(page, "mandrel").await?, "12.5");
    page.click("#designs-button").await?;
    assert!(page.text("#kept").await?.contains("Walked"));

    // Without its server: a browser that keeps the page goes on.
    page.wait_until(KEPT).await?;
    drop(server);
    page.open(address).await?;
    assert_eq!(value(page, "mandrel").await?, "12.5");
    page.type_into("#mandrel", "12").await?;
    let verdict = page.wait_checked().await?;
    assert!(verdict.starts_with("Yes, they join."), "{verdict}");
    page.screenshot(&format!("{name}-offline")).await
}
