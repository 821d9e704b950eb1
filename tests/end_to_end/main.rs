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
        let verdict = page.text("#verdict").await?;
        assert!(verdict.contains("go through one another"), "{verdict}");
        // Nothing sticks out to the right, least of all at 360 px.
        let wider = "return document.documentElement.scrollWidth - innerWidth;";
        let wider: i64 = page.driver.execute(wider, vec![]).await?.convert()?;
        assert!(wider <= 0, "the page is {wider} px too wide");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A maker types a wire too thick for the mandrel, and one that suits it.
#[test]
fn the_verdict_follows_the_wire() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#wire", "1.5").await?;
        let verdict = page.text("#verdict").await?;
        assert!(verdict.contains("will probably not go through"), "{verdict}");
        page.screenshot("too-thick-desk").await?;
        page.type_into("#wire", "0.03 in").await?;
        let verdict = page.text("#verdict").await?;
        assert!(verdict.contains("will probably go through"), "{verdict}");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// An impossible value is refused beside the field, with one that works; the last good
/// answer stays.
#[test]
fn an_impossible_mandrel_is_refused_in_words() {
    on_page(Screen::DESK, async |page| {
        let before = page.text("#figure-ratio").await?;
        page.type_into("#mandrel", "5").await?;
        let problem = page.text("#problem").await?;
        assert!(problem.contains("the least that works here is"), "{problem}");
        assert_eq!(page.text("#figure-ratio").await?, before);
        page.type_into("#mandrel", "nonsense").await?;
        let problem = page.text("#problem").await?;
        assert!(problem.contains("is not a length"), "{problem}");
        page.type_into("#mandrel", "1/2\"").await?;
        assert_eq!(page.text("#problem").await?, "");
        assert_ne!(page.text("#figure-ratio").await?, before);
        Ok(())
    });
}

/// The slider plays every step; each leaves a picture for the reader, light and dark.
#[test]
fn the_slider_shows_every_step() {
    on_page(Screen::DESK, async |page| {
        let mut captions = Vec::new();
        for (value, name) in [
            (0.0, "ring"),
            (0.2, "oval"),
            (0.4, "eight"),
            (0.65, "fold"),
            (0.8, "joining"),
            (1.0, "joined"),
        ] {
            let slide = "const s = document.getElementById('time'); s.value = arguments[0]; \
                         s.dispatchEvent(new Event('input', {bubbles: true})); \
                         await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)));";
            page.driver.execute(slide, vec![serde_json::json!(value)]).await?;
            tokio::time::sleep(std::time::Duration::from_millis(80)).await;
            captions.push(page.text("#caption").await?);
            page.screenshot(&format!("step-{name}")).await?;
        }
        captions.dedup();
        assert_eq!(captions.len(), 4, "{captions:?}");
        let dark = serde_json::json!({
            "features": [{ "name": "prefers-color-scheme", "value": "dark" }]
        });
        page.devtools("Emulation.setEmulatedMedia", dark).await?;
        tokio::time::sleep(std::time::Duration::from_millis(120)).await;
        page.screenshot("joined-dark").await
    });
}
