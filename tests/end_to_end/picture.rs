//! The picture: how long it takes to draw, and what it looks like from near.

use crate::page::{Screen, on_page};
use serde_json::json;
use thirtyfour::prelude::*;

/// Twelve links turned on the picture, drawn frame by frame: the time of a frame, beside a bare
/// loop that lays as many four-cornered marks on the same canvas. Printed; no test of time.
#[test]
fn twelve_links_are_drawn() {
    for (screen, name) in [(Screen::DESK, "desk"), (Screen::PHONE, "phone")] {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.look_at("chain").await?;
            page.set("chain-count", 12.0).await?;
            page.screenshot(&format!("twelve-{name}")).await?;
            let time = "const c = document.getElementById('picture'); \
                const median = a => a.sort((x, y) => x - y)[a.length >> 1]; \
                const ask = window.requestAnimationFrame; const times = []; \
                window.requestAnimationFrame = f => ask.call(window, t => { \
                const s = performance.now(); f(t); times.push(performance.now() - s); }); \
                const pen = CanvasRenderingContext2D.prototype; const move = pen.moveTo; \
                let marks = 0; pen.moveTo = function (x, y) { marks += 1; move.call(this, x, y); }; \
                const turn = key => c.dispatchEvent(new KeyboardEvent('keydown', {key})); \
                const frame = () => new Promise(r => ask.call(window, () => ask.call(window, r))); \
                turn('ArrowLeft'); await frame(); pen.moveTo = move; const all = marks; times.length = 0; \
                for (let i = 0; i < 30; i += 1) { turn(i % 2 ? 'ArrowLeft' : 'ArrowRight'); await frame(); } \
                window.requestAnimationFrame = ask; const ours = median(times); const bare = []; \
                const p = document.createElement('canvas').getContext('2d'); \
                p.canvas.width = c.width; p.canvas.height = c.height; \
                for (let n = 0; n < 15; n += 1) { const s = performance.now(); \
                for (let i = 0; i < all; i += 1) { const x = (i * 7) % c.width, y = (i * 13) % c.height; \
                p.fillStyle = i % 2 ? '#888888' : '#999999'; p.beginPath(); p.moveTo(x, y); \
                p.lineTo(x + 4, y); p.lineTo(x + 4, y + 4); p.lineTo(x, y + 4); p.closePath(); p.fill(); } \
                bare.push(performance.now() - s); await frame(); } \
                return [ours, median(bare), all, times[0]];";
            for slower in [1, 4] {
                page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": slower })).await?;
                let [ours, bare, marks, least]: [f64; 4] =
                    page.driver.execute(time, vec![]).await?.convert()?;
                assert!(marks > 1000.0 && ours > 0.0, "{marks} marks in {ours} ms: drawn?");
                println!(
                    "{name}, processor {slower} times slower: 12 links drawn in {ours:.1} ms (at best \
                     {least:.1}), {marks} marks; as many marks by a bare loop {bare:.1} ms, ratio {:.2}",
                    ours / bare
                );
            }
            Ok(())
        });
    }
}

/// From near: wires that cross and wires that touch, for the reader to look at.
#[test]
fn crossings_are_seen_from_near() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let near = async |name: &str, zoom: usize| -> WebDriverResult<()> {
            page.driver.execute("document.getElementById('picture').focus()", vec![]).await?;
            page.element("#picture").await?.send_keys("+".repeat(zoom)).await?;
            page.ask::<bool>("true").await?;
            page.element("#views").await?.scroll_into_view().await?;
            page.screenshot(name).await?;
            page.element("#picture").await?.send_keys("0").await
        };
        page.look_at("chain").await?;
        page.set("chain-count", 12.0).await?;
        near("near-chain", 10).await?;
        page.set("chain-share", 100.0).await?;
        near("near-bent", 5).await?;
        page.look_at("join").await?;
        page.slide(1.0).await?;
        near("near-joined", 7).await?;
        page.slide(0.8).await?;
        near("near-way", 4).await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
