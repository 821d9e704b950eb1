//! The first minute: a tour in plain words, and every figure explained where it stands.

use crate::access::{see, violations};
use crate::page::{Page, Screen, on_page};
use thirtyfour::prelude::*;

async fn stands_in_the_window(page: &Page, css: &str) -> WebDriverResult<bool> {
    let rect = format!(
        "(r => r.bottom > 0 && r.top < innerHeight)(document.querySelector('{css}').getBoundingClientRect())"
    );
    page.ask(&rect).await
}

/// Offered once, walked by keys, each stop pointing at something that is there to be seen.
#[test]
fn the_tour_points_at_the_real_controls() {
    for (screen, name) in [(Screen::DESK, "desk"), (Screen::PHONE, "phone")] {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.screenshot(&format!("first-{name}")).await?;
            page.click("#tour-start").await?;
            assert!(!page.element("#offer").await?.is_displayed().await?);
            let mut pointed = Vec::new();
            for stop in 1..=8 {
                let words = page.text("#tour-words").await?;
                assert!(words.len() > 40, "{words}");
                assert_eq!(page.text("#tour-count").await?, format!("{stop} of 8"));
                assert!(stands_in_the_window(page, "[data-pointed=true]").await?, "stop {stop}");
                let covered = "(() => { const a = document.querySelector('[data-pointed=true]') \
                    .getBoundingClientRect(), b = document.getElementById('tour') \
                    .getBoundingClientRect(); return a.height < 300 && a.top < b.bottom - 8 \
                    && a.bottom > b.top + 8 && a.left < b.right && a.right > b.left; })()";
                assert!(!page.ask::<bool>(covered).await?, "the tour covers stop {stop}");
                pointed.push(
                    page.ask::<String>("document.querySelector('[data-pointed=true]').id").await?,
                );
                page.screenshot(&format!("tour-{name}-{stop}")).await?;
                if stop == 4 {
                    let found = violations(page, "tour").await?;
                    assert!(found.is_empty(), "{}", found.join("\n"));
                }
                page.driver.active_element().await?.send_keys(Key::Enter + "").await?;
            }
            pointed.sort();
            pointed.dedup();
            assert_eq!(pointed.len(), 8, "{pointed:?}");
            assert!(!page.element("#tour").await?.is_displayed().await?);
            let address = page.driver.current_url().await?;
            page.open(address.as_str()).await?;
            assert!(!page.element("#offer").await?.is_displayed().await?, "offered twice");
            // Taken again by its button, left by Escape.
            page.click("#tour-open").await?;
            page.driver.active_element().await?.send_keys(Key::Escape + "").await?;
            assert!(!page.element("#tour").await?.is_displayed().await?);
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// Every figure's name is a button, and one tap away is what it means and how it is computed.
#[test]
fn every_figure_explains_itself() {
    on_page(Screen::PHONE, async |page| {
        page.wait_checked().await?;
        let views: Vec<String> = page.views();
        for view in views {
            see(page, &view).await?;
            let open = "(() => { const all = [...document.querySelectorAll('[data-meaning]')] \
                .filter(b => b.checkVisibility()); all.forEach(b => b.click()); \
                return all.filter(b => b.getAttribute('aria-expanded') !== 'true' || \
                document.getElementById(b.getAttribute('aria-controls')).innerText.length < 60) \
                .map(b => b.innerText); })()";
            assert_eq!(page.ask::<Vec<String>>(open).await?, Vec::<String>::new(), "{view}");
            let bare = "[...document.querySelectorAll('dl[id] dt, dl dt')] \
                .filter(t => t.checkVisibility() && !t.querySelector('button') \
                && !t.closest('#joins, #metal-steps')).map(t => t.innerText)";
            assert_eq!(page.ask::<Vec<String>>(bare).await?, Vec::<String>::new(), "{view}");
            let found = violations(page, &view).await?;
            assert!(found.is_empty(), "{}", found.join("\n"));
            let wider = "document.documentElement.scrollWidth - innerWidth";
            assert!(page.ask::<i64>(wider).await? <= 0, "{view}");
        }
        page.look_at("shape").await?;
        page.element("[data-meaning=figure-bore]").await?.scroll_into_view().await?;
        page.screenshot("meaning-phone").await?;
        page.click("[data-meaning=figure-bore]").await?;
        assert!(!page.element("#meaning-figure-bore").await?.is_displayed().await?);
        Ok(())
    });
}
