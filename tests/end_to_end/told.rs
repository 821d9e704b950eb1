//! What the page says about itself: seen wherever the page is scrolled to, in the way of nothing,
//! and in words that name what was done.

use crate::access::violations;
use crate::page::{Page, Screen, on_page};
use thirtyfour::prelude::*;

/// Scrolls a finger's way down: the part of the page that is in the middle of its height.
const DOWN: &str = "scrollTo(0, (document.documentElement.scrollHeight - innerHeight) / 2)";

/// Whether the message stands whole in the window, and nothing lies over it.
const SEEN: &str = "(() => { const m = document.getElementById('message'); \
    const r = m.getBoundingClientRect(); \
    const top = document.elementFromPoint(r.left + r.width / 4, (r.top + r.bottom) / 2); \
    return m.textContent !== '' && r.top >= 0 && r.bottom <= innerHeight && r.height > 20 \
    && m.contains(top); })()";

/// The controls that the message lies over, and those that it sticks out into.
const COVERED: &str = "(() => { const n = document.getElementById('notice'); \
    const m = n.getBoundingClientRect(); \
    return [...document.querySelectorAll('button, input, select, summary, textarea, a[href], canvas, [tabindex]')] \
    .filter(e => !n.contains(e) && !e.contains(n) && e.checkVisibility()).filter(e => { \
    const r = e.getBoundingClientRect(); \
    return r.width > 0 && r.left < m.right - 1 && r.right > m.left + 1 && r.top < m.bottom - 1 && r.bottom > m.top + 1; }) \
    .map(e => `${e.tagName} ${e.id} ${e.textContent.slice(0, 30)}`); })()";

/// Where the page stands, and what is above the message: what is below it gives way to it.
const WHERE: &str = "[scrollY, document.getElementById('picture').getBoundingClientRect().top]";

async fn is_seen(page: &Page) -> WebDriverResult<bool> {
    page.wait_text("#message").await?;
    page.ask(SEEN).await
}

/// Undone by keys in the middle of the page; the words come without moving the page, and go with
/// a press, with the next thing done, and with Escape.
#[test]
fn what_is_said_is_seen_down_the_page() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        page.type_into("#mandrel", "13.5").await?;
        page.driver.execute(DOWN, vec![]).await?;
        let undo = "document.getElementById('undo').click()";
        page.driver.execute(undo, vec![]).await?;
        assert!(is_seen(page).await?, "undone");
        page.screenshot("said-phone").await?;
        page.wait_checked().await?;
        assert_eq!(violations(page, "a message").await?, Vec::<String>::new());
        let before: [f64; 2] = page.ask(WHERE).await?;
        assert!(before[0] > 200.0, "not scrolled: {before:?}");
        page.click("#message-away").await?;
        assert_eq!(page.text("#message").await?, "");
        assert_eq!(page.ask::<[f64; 2]>(WHERE).await?, before, "the page jumped");
        page.driver.execute(undo, vec![]).await?;
        assert!(is_seen(page).await?, "nothing to undo");
        assert_eq!(page.ask::<[f64; 2]>(WHERE).await?, before, "the page jumped");
        page.driver.active_element().await?.send_keys(Key::Escape + "").await?;
        page.wait_until("document.getElementById('message').textContent === ''").await?;
        page.driver.execute(undo, vec![]).await?;
        assert!(is_seen(page).await?, "once more");
        page.driver.execute("document.getElementById('nearer').click()", vec![]).await?;
        page.wait_until("document.getElementById('message').textContent === ''").await?;

        // A problem stays until it is put away or something is changed.
        page.driver.execute("location.hash = '#design.1.nonsense'", vec![]).await?;
        assert!(is_seen(page).await?, "a link that cannot be opened");
        page.screenshot("said-problem-phone").await?;
        page.driver.execute("document.getElementById('nearer').click()", vec![]).await?;
        assert!(is_seen(page).await?, "a problem stays");
        page.type_into("#mandrel", "13").await?;
        assert_eq!(page.text("#message").await?, "");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// What is said has room of its own, in every window, wherever the page stands and whatever was
/// pressed: it lies over no control, and what was pressed does not move under the finger.
#[test]
fn what_is_said_lies_over_no_control_in_any_window() {
    for (name, screen) in [
        ("390x844", Screen::HAND),
        ("820x1180", Screen::TABLET),
        ("1366x768", Screen::LAPTOP),
        ("683x384", Screen::ENLARGED),
        ("1920x1080", Screen::LARGE),
        ("640x360", Screen::ACROSS),
    ] {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.click("#tour-no").await?;
            page.click("#designs-button").await?;
            page.click("#bench-part summary").await?;
            // What is pressed, in which view, and where it stands in the window then.
            for (view, pressed, block) in [
                ("shape", "undo", "start"),
                ("shape", "redo", "start"),
                ("shape", "keep", "end"),
                ("shape", "copy-link", "center"),
                ("shape", "save", "start"),
                ("plan", "save-cuts", "end"),
                ("plan", "save-chain", "start"),
                ("metal", "bench-save", "end"),
                ("chain", "bench-save", "center"),
            ] {
                page.look_at(view).await?;
                page.wait_until(&format!("document.getElementById('{pressed}').checkVisibility()"))
                    .await?;
                // So that nothing moves but by the press.
                page.wait_settled().await?;
                let press = format!(
                    "const b = document.getElementById('{pressed}'); b.scrollIntoView({{block: '{block}'}}); \
                     await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r))); \
                     const before = b.getBoundingClientRect().top; b.click(); \
                     await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r))); \
                     return [before, b.getBoundingClientRect().top, scrollY];"
                );
                let moved = page.driver.execute(&press, vec![]).await?;
                let [before, after, _]: [f64; 3] = moved.convert()?;
                page.wait_text("#message").await?;
                assert!(
                    page.ask::<bool>(SEEN).await?,
                    "{name}: {pressed}: the message is not seen"
                );
                let covered: Vec<String> = page.ask(COVERED).await?;
                assert!(covered.is_empty(), "{name}: {pressed}: lies over {covered:#?}");
                assert!(
                    (after - before).abs() < 1.5,
                    "{name}: {pressed} moved from {before} to {after}"
                );
                let wider: i64 =
                    page.ask("document.documentElement.scrollWidth - innerWidth").await?;
                assert!(wider <= 0, "{name}: {wider} px stick out");
                // It is read out by an element that stays where it is.
                assert_eq!(
                    page.ask::<String>("document.getElementById('said').textContent").await?,
                    page.text("#message").await?
                );
            }
            page.screenshot(&format!("said-{name}")).await?;
            assert_eq!(violations(page, name).await?, Vec::<String>::new());
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// What is in hand is never under the words, at whichever edge it is.
#[test]
fn what_is_said_does_not_cover_what_is_in_hand() {
    on_page(Screen::PHONE, async |page| {
        page.wait_checked().await?;
        page.click("#designs-button").await?;
        for edge in ["end", "start"] {
            let put = format!(
                "const b = document.getElementById('save'); b.scrollIntoView({{block: '{edge}'}}); b.focus();"
            );
            page.driver.execute(&put, vec![]).await?;
            page.driver.active_element().await?.send_keys(Key::Enter + "").await?;
            assert!(is_seen(page).await?, "{edge}");
            page.screenshot(&format!("said-beside-{edge}-phone")).await?;
            let free = "(() => { const b = document.getElementById('save'); \
                const r = b.getBoundingClientRect(); const at = y => document.elementFromPoint( \
                (r.left + r.right) / 2, y); return r.top >= 0 && r.bottom <= innerHeight && \
                at(r.top + 2) === b && at(r.bottom - 2) === b; })()";
            assert!(page.ask::<bool>(free).await?, "{edge}: the button pressed is covered");
            page.click("#message-away").await?;
            // By keys the focus is not lost with the button.
            page.driver.active_element().await?.send_keys(Key::Enter + "").await?;
            page.wait_text("#message").await?;
            page.element("#message-away").await?.send_keys(Key::Enter + "").await?;
            assert_eq!(page.ask::<String>("document.activeElement.id").await?, "save");
        }
        Ok(())
    });
}

/// A length typed in inches is one change, whatever the others round to; so is one in a document
/// whose figures have more places than are shown.
#[test]
fn a_length_typed_in_inches_is_undone_by_its_name() {
    on_page(Screen::DESK, async |page| {
        page.choose("#example", "2").await?;
        page.choose("#unit", "inch").await?;
        page.choose("#size", "1").await?;
        page.type_into("#mandrel", "0.52").await?;
        let title = page.element("#undo").await?.attr("title").await?;
        assert_eq!(title.as_deref(), Some("Undo: side: mandrel"));
        page.click("#undo").await?;
        assert_eq!(page.wait_text("#message").await?, "Undone: side: mandrel 0.512 in again.");
        page.click("#redo").await?;
        assert_eq!(page.wait_text("#message").await?, "Redone: side: mandrel 0.52 in.");
        page.click("#undo").await?;
        // As it was in the file, to the last place.
        let kept: String = page.ask("localStorage.getItem('linkfold/page')").await?;
        assert!(kept.contains("Swelling") && !kept.contains("12.999"), "{kept}");
        // The wire given another way is one change as well.
        page.type_into("#wire", "0.036").await?;
        page.click("#undo").await?;
        let told = page.wait_text("#message").await?;
        assert!(told.starts_with("Undone: wire 19 "), "{told}");
        Ok(())
    });
}
