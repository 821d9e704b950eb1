//! What has the focus is in sight, and nothing that stands at an edge of the window lies over it
//! (WCAG 2.2, 2.4.11): every control of every view and of the class, on three kinds of screen.

use crate::access::see;
use crate::page::{Page, Screen, on_page};
use serde_json::json;
use thirtyfour::prelude::*;

/// Gives the focus to each control that is shown within `arguments[0]`, forwards and backwards, and
/// finds those that are then not to be hit at their middle or just within their edges (at one of these,
/// where they are higher than the space there is); how many were tried, and the faults.
const COVERED: &str = "const all = [...document.querySelectorAll(arguments[0])].flatMap(e => \
    [...e.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex=\"0\"]')]) \
    .filter(e => e.checkVisibility() && !e.disabled); \
    const found = new Set(); \
    for (const e of [...all, ...all.toReversed()]) { \
        e.focus(); \
        if (document.activeElement !== e) { found.add('no focus: ' + e.outerHTML.slice(0, 80)); continue; } \
        const r = e.getBoundingClientRect(); \
        const [top, bottom] = [Math.max(r.top, 0), Math.min(r.bottom, innerHeight)]; \
        const x = (Math.max(r.left, 0) + Math.min(r.right, innerWidth)) / 2; \
        const faults = [(top + bottom) / 2, top + 3, bottom - 3].flatMap(y => { \
            const hit = document.elementFromPoint(x, y); \
            const own = hit && (e.contains(hit) || hit.contains(e) && hit.matches('label')); \
            return own ? [] : [`${e.outerHTML.slice(0, 80)} at ${x | 0}, ${y | 0}: \
                ${hit?.outerHTML.slice(0, 80)}`]; \
        }); \
        const taken = document.getElementById('edge').getBoundingClientRect().height; \
        if (faults.length > (r.height > innerHeight - taken ? 2 : 0)) faults.forEach(f => found.add(f)); \
    } \
    return [all.length, [...found]];";

async fn nothing_is_covered(page: &Page, within: &str, where_: &str) -> WebDriverResult<()> {
    let found = page.driver.execute(COVERED, vec![json!(within)]).await?;
    let (tried, found): (usize, Vec<String>) = found.convert()?;
    if !found.is_empty() {
        page.screenshot("covered").await?;
    }
    assert!(tried > 4 && found.is_empty(), "{where_}, {tried} tried: {found:#?}");
    Ok(())
}

fn nothing_lies_over_the_focus(screen: Screen, name: &str) {
    on_page(screen, async |page| {
        page.wait_checked().await?;
        page.click("#tour-start").await?;
        nothing_is_covered(page, "header, main, #tour", &format!("{name}, tour")).await?;
        page.click("#tour-end").await?;
        let open = "document.querySelectorAll('details:not(#menu)').forEach(d => d.open = true)";
        page.driver.execute(open, vec![]).await?;
        page.click("#designs-button").await?;
        let views: Vec<String> = page.views();
        for view in views {
            see(page, &view).await?;
            nothing_is_covered(page, "body", &format!("{name}, {view}")).await?;
            // While something is said.
            page.click("#undo").await?;
            page.wait_text("#message").await?;
            nothing_is_covered(page, "body", &format!("{name}, {view}, a message")).await?;
            page.click("#message-away").await?;
        }
        page.click("#class-open").await?;
        page.wait_until("document.getElementById('class-verdict-1').textContent !== ''").await?;
        page.screenshot(&format!("class-{name}")).await?;
        // Before anything is moved.
        let leave = "(() => { const b = document.getElementById('class-leave'); \
            const r = b.getBoundingClientRect(); return b === document.elementFromPoint( \
            (r.left + r.right) / 2, (r.top + r.bottom) / 2); })()";
        assert!(page.ask::<bool>(leave).await?, "{name}: the way out of the class is out of sight");
        nothing_is_covered(page, "#class", &format!("{name}, class")).await?;
        page.click("#class-notes-shown").await?;
        nothing_is_covered(page, "#class", &format!("{name}, class with notes")).await?;
        assert!(page.ask::<bool>(leave).await?, "{name}: with notes the way out is out of sight");
        page.screenshot(&format!("class-{name}-notes")).await?;
        page.click("#class-leave").await?;
        Ok(())
    });
}

#[test]
fn nothing_lies_over_the_focus_on_a_desk() {
    nothing_lies_over_the_focus(Screen::DESK, "desk");
}

#[test]
fn nothing_lies_over_the_focus_on_a_small_phone() {
    nothing_lies_over_the_focus(Screen::PHONE, "small-phone");
}

#[test]
fn nothing_lies_over_the_focus_on_a_phone() {
    nothing_lies_over_the_focus(Screen::HAND, "phone");
}

#[test]
fn nothing_lies_over_the_focus_on_a_phone_held_across() {
    nothing_lies_over_the_focus(Screen::ACROSS, "across");
}
