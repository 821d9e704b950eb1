//! The picture: what it looks like from near, and that both ways to draw it show the same.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use serde_json::json;
use thirtyfour::prelude::*;

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

/// Where the picture is drawn on: a line for each row, a digit for each pixel.
const MASK: &str = "(() => { const c = document.getElementById('picture'); \
    const all = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; \
    let mask = ''; for (let i = 0; i < c.width * c.height; i++) { \
        if (i && i % c.width === 0) mask += '\\n'; mask += all[4 * i + 3] > 128 ? '1' : '0'; } \
    return mask; })()";

/// Masks of twelve links, the same turned by a key, and a chain hung.
async fn masks(page: &Page) -> WebDriverResult<[String; 3]> {
    page.wait_checked().await?;
    page.look_at("chain").await?;
    page.set("chain-count", 12.0).await?;
    page.wait_settled().await?;
    let chain = page.ask(MASK).await?;
    page.driver.execute(TURN, vec![]).await?;
    let turned = page.ask(MASK).await?;
    page.look_at("drape").await?;
    page.wait_settled().await?;
    Ok([chain, turned, page.ask(MASK).await?])
}

/// The share of what either of two masks shows that lies more than a pixel from all that the other shows.
fn apart(a: &str, b: &str) -> f64 {
    let [a, b] = [a, b].map(|mask| mask.lines().map(str::as_bytes).collect::<Vec<_>>());
    assert!(a.len() == b.len() && a[0].len() == b[0].len(), "pictures of one size");
    // Shown, and shown with nothing of the other near.
    let count = |of: &[&[u8]], other: &[&[u8]]| {
        let (mut shown, mut strays) = (0, 0);
        for (y, row) in of.iter().enumerate() {
            for x in (0..row.len()).filter(|x| row[*x] == b'1') {
                let rows = &other[y.saturating_sub(1)..(y + 2).min(other.len())];
                let near = x.saturating_sub(1)..(x + 2).min(row.len());
                shown += 1;
                strays += usize::from(!rows.iter().any(|row| row[near.clone()].contains(&b'1')));
            }
        }
        (shown, strays)
    };
    let (first, second) = (count(&a, &b), count(&b, &a));
    (first.1 + second.1) as f64 / (first.0 + second.0) as f64
}

/// On a phone, facets laid by the canvas and wires laid by WebGL 2 are in the same places, to a pixel but for a
/// thousandth; a turn by one key moves far more.
#[test]
fn both_ways_to_draw_lay_metal_in_the_same_places() {
    let mut ways = Vec::new();
    for script in ["", DISGUISED] {
        on_page(Screen::HAND, async |page| {
            open_with(page, script).await?;
            ways.push(masks(page).await?);
            if script == DISGUISED {
                assert!(page.ask::<u32>("window.shaded").await? > 3, "shaded at all?");
            }
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
    let shares = [0, 1, 2].map(|i| apart(&ways[0][i], &ways[1][i]));
    assert!(shares.iter().all(|share| *share < 1e-3), "{shares:?}");
    let by_a_turn = apart(&ways[0][0], &ways[0][1]);
    assert!(by_a_turn > 0.1, "{by_a_turn}");
}
