//! The page as a maker meets it: our own server, a real browser, two sizes of screen.
#![cfg(unix)]

mod page;
mod stage;

use page::{Screen, on_page};

#[test]
fn the_page_opens_and_says_ready_on_a_desk() {
    opens_and_says_ready(Screen::DESK, "ready-desk");
}

#[test]
fn the_page_opens_and_says_ready_on_a_phone() {
    opens_and_says_ready(Screen::PHONE, "ready-phone");
}

fn opens_and_says_ready(screen: Screen, name: &str) {
    on_page(screen, async |page| {
        page.screenshot(name).await?;
        assert_eq!(page.text("#message").await?, "Ready.");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
