//! Every view, the class, the tour and the papers as they are seen at a desk and on a phone, in every
//! set of colours: pictures for the reader, and nothing that sticks out.

use crate::access::see;
use crate::page::{Page, Screen, on_page};
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use serde_json::json;
use std::path::Path;
use thirtyfour::error::WebDriverResult;

/// Saves the whole page, however long, as a picture.
async fn whole(page: &Page, name: &str) -> WebDriverResult<()> {
    let asked = json!({ "captureBeyondViewport": true });
    let taken = page.devtools("Page.captureScreenshot", asked).await?;
    let bytes = BASE64_STANDARD.decode(taken["data"].as_str().unwrap_or_default()).expect("base64");
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("screenshots");
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join(format!("{name}.png")), bytes)?;
    Ok(())
}

/// What sticks out to the right of the page or is cut off in its button.
const STICKS_OUT: &str = "[...document.querySelectorAll('body *')].filter(e => e.checkVisibility() && \
    !e.closest('.wide, svg, #sheet-pages') && (e.getBoundingClientRect().right > innerWidth + 1 || \
    (e.matches('button, h2, dd, dt') && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0))) \
    .map(e => `${e.tagName} ${e.id} ${e.textContent.slice(0, 40)}`)";

async fn looked_at(page: &Page, name: &str) -> WebDriverResult<()> {
    let found: Vec<String> = page.ask(STICKS_OUT).await?;
    whole(page, name).await?;
    assert!(found.is_empty(), "{name}: {found:#?}");
    Ok(())
}

fn walked(screen: Screen, at: &str) {
    on_page(screen, async |page| {
        page.wait_checked().await?;
        looked_at(page, &format!("walk-{at}-offer")).await?;
        page.click("#tour-start").await?;
        for stop in 0..8 {
            page.screenshot(&format!("walk-{at}-tour-{stop}")).await?;
            page.click("#tour-next").await?;
        }
        let views: Vec<String> = page.views();
        for colours in ["light", "dark", "contrast"] {
            page.choose("#colours", colours).await?;
            for view in &views {
                see(page, view).await?;
                for (slow, told) in [("view-map", "map-state"), ("view-optimise", "optimise-state")]
                {
                    if view == slow {
                        let done =
                            format!("document.getElementById('{told}').dataset.done === 'true'");
                        page.wait_until(&done).await?;
                    }
                }
                looked_at(page, &format!("walk-{at}-{view}-{colours}")).await?;
            }
            page.click("#class-open").await?;
            page.wait_until(
                "!document.getElementById('class-verdict-1').textContent.includes('…')",
            )
            .await?;
            for step in [1.0, 2.6, 5.0, 7.0, 9.6, 12.0] {
                page.set("class-time", step).await?;
                page.screenshot(&format!("walk-{at}-class-{colours}-{step}")).await?;
            }
            page.click("#class-leave").await?;
        }
        page.choose("#colours", "light").await?;
        page.click("#bench-part summary").await?;
        page.click("#designs-button").await?;
        page.click("#out summary").await?;
        looked_at(page, &format!("walk-{at}-opened")).await?;
        page.click("#sheet-open").await?;
        looked_at(page, &format!("walk-{at}-sheet")).await?;
        page.click("#sheet-close").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

#[test]
fn all_is_seen_on_a_phone_held_across() {
    walked(Screen::ACROSS, "across");
}

#[test]
fn all_is_seen_at_a_desk() {
    walked(Screen::DESK, "desk");
}

#[test]
fn all_is_seen_on_a_phone() {
    walked(Screen::HAND, "phone");
}
