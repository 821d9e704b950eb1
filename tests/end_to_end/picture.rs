//! The picture: how long it takes to draw, and what it looks like from near.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
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

/// What the browser of these tests draws by its processor is disguised, so that it is taken for a graphics
/// card's: WebGL 2 as the page uses it where there is one.
const DISGUISED: &str = "const ask = WebGL2RenderingContext.prototype.getExtension; \
    WebGL2RenderingContext.prototype.getExtension = function (name) { \
    return name === 'WEBGL_debug_renderer_info' ? null : ask.call(this, name); }; \
    const lay = CanvasRenderingContext2D.prototype.drawImage; window.shaded = 0; \
    CanvasRenderingContext2D.prototype.drawImage = function (...all) { \
    window.shaded += 1; window.image = all[0]; return lay.apply(this, all); };";

/// Opens the page anew in a browser with a script of the test's own.
async fn open_with(page: &Page, script: &str) -> WebDriverResult<()> {
    page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": script })).await?;
    page.open(&Stage::shared().page_address).await
}

const SCREENS: [(Screen, &str); 4] = [
    (Screen::HAND, "hand"),
    (Screen::PROJECTOR, "projector"),
    (Screen::LAPTOP, "laptop"),
    (Screen::LARGE, "large"),
];

/// Link, chain and work shaded by WebGL 2, for the reader to look at.
#[test]
fn links_are_shaded_by_the_pixel() {
    for (screen, name) in SCREENS {
        on_page(screen, async |page| {
            open_with(page, DISGUISED).await?;
            page.wait_checked().await?;
            page.look_at("join").await?;
            page.slide(1.0).await?;
            page.screenshot(&format!("shaded-join-{name}")).await?;
            page.slide(0.35).await?;
            page.screenshot(&format!("shaded-work-{name}")).await?;
            page.look_at("chain").await?;
            page.set("chain-count", 12.0).await?;
            page.screenshot(&format!("shaded-chain-{name}")).await?;
            page.look_at("drape").await?;
            page.screenshot(&format!("shaded-drape-{name}")).await?;
            assert!(page.ask::<u32>("window.shaded").await? > 3, "{name}: shaded at all?");
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// How much of the picture is drawn on, as a share.
const DRAWN: &str = "(() => { const c = document.getElementById('picture'); \
    const all = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; \
    let there = 0; for (let i = 3; i < all.length; i += 4) there += all[i] > 128; \
    return 4 * there / all.length; })()";

const TURN: &str = "document.getElementById('picture').dispatchEvent( \
    new KeyboardEvent('keydown', { key: 'ArrowLeft', bubbles: true }));";

/// Without WebGL 2, with one that is drawn by the processor, and after the context is lost, as often as may
/// be, the picture is there, as large as before, and nothing goes wrong.
#[test]
fn without_a_graphics_card_links_are_drawn_by_facets() {
    let none = "const get = HTMLCanvasElement.prototype.getContext; \
        HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { \
        return kind === 'webgl2' ? null : get.call(this, kind, ...rest); };";
    on_page(Screen::DESK, async |page| {
        // As this browser is: by the processor.
        page.wait_checked().await?;
        let by_facets: f64 = page.ask(DRAWN).await?;
        assert!(by_facets > 0.02, "{by_facets}");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
    on_page(Screen::DESK, async |page| {
        open_with(page, none).await?;
        page.wait_checked().await?;
        assert!(page.ask::<f64>(DRAWN).await? > 0.02);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
    on_page(Screen::DESK, async |page| {
        open_with(page, DISGUISED).await?;
        page.wait_checked().await?;
        let whole: f64 = page.ask(DRAWN).await?;
        assert!(whole > 0.02, "{whole}");
        let mut by_shader = Vec::new();
        for _ in 0..5 {
            page.driver.execute(format!("window.shaded = 0; {TURN}"), vec![]).await?;
            by_shader.push(page.ask::<u32>("window.shaded").await? > 0);
            let drawn: f64 = page.ask(DRAWN).await?;
            assert!(drawn > 0.5 * whole, "{by_shader:?}: {drawn}, {whole} before");
            let lose = "window.image.getContext('webgl2').getExtension('WEBGL_lose_context')?.loseContext();";
            page.driver.execute(lose, vec![]).await?;
        }
        // Lost twice it is asked for again; then no more.
        assert_eq!(by_shader, [true, true, true, false, false]);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Twelve links and a hung chain of sixty by facets and by WebGL 2, at full speed and four times slower: the
/// page's own work in a frame, and what of it the rasteriser takes while it is waited for. Printed; no test of time.
#[test]
fn both_ways_to_draw_are_timed() {
    let time = "const c = document.getElementById('picture'); let waits = 0; \
        const median = a => a.sort((x, y) => x - y)[a.length >> 1]; \
        const ask = window.requestAnimationFrame; const times = [], rest = []; \
        const pen = CanvasRenderingContext2D.prototype, lay = pen.drawImage; \
        pen.drawImage = function (...all) { const s = performance.now(); lay.apply(this, all); \
            waits += performance.now() - s; }; \
        window.requestAnimationFrame = f => ask.call(window, t => { waits = 0; \
            const s = performance.now(); f(t); const all = performance.now() - s; \
            times.push(all); rest.push(all - waits); }); \
        const frame = () => new Promise(r => ask.call(window, () => ask.call(window, r))); \
        for (let i = 0; i < 10; i += 1) { c.dispatchEvent(new KeyboardEvent('keydown', \
            { key: i % 2 ? '+' : '-', bubbles: true })); await frame(); \
            if (i === 1) { times.length = 0; rest.length = 0; } } \
        window.requestAnimationFrame = ask; pen.drawImage = lay; \
        return [median(times), median(rest), times.length];";
    for (screen, name) in [(Screen::DESK, "desk"), (Screen::HAND, "phone")] {
        for (way, script) in [("by facets", ""), ("by WebGL 2", DISGUISED)] {
            on_page(screen, async |page| {
                open_with(page, script).await?;
                page.wait_checked().await?;
                for (view, what) in [("chain", "12 links"), ("drape", "60 hung links")] {
                    page.look_at(view).await?;
                    if view == "chain" {
                        page.set("chain-count", 12.0).await?;
                    }
                    page.wait_until("document.getElementById('caption').textContent !== ''")
                        .await?;
                    for slower in [1, 4] {
                        let rate = json!({ "rate": slower });
                        page.devtools("Emulation.setCPUThrottlingRate", rate).await?;
                        let [all, own, count]: [f64; 3] =
                            page.driver.execute(time, vec![]).await?.convert()?;
                        assert!(count > 5.0 && own > 0.0, "{count} frames of {own} ms");
                        println!(
                            "{name}, {slower} times slower, {what} {way}: {own:.1} ms of the page's own, \
                             {all:.1} with waiting for the picture"
                        );
                    }
                    page.devtools("Emulation.setCPUThrottlingRate", json!({ "rate": 1 })).await?;
                }
                Ok(())
            });
        }
    }
}
