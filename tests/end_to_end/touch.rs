//! Real fingers, sent by the browser's own input, and the real full screen.

use crate::page::{Page, Screen, on_page};
use serde_json::{Value, json};
use thirtyfour::prelude::*;

/// Fingers on the screen from now on, CSS pixels.
async fn fingers(page: &Page, kind: &str, places: &[[f64; 2]]) -> WebDriverResult<()> {
    let touch = |(id, [x, y]): (usize, &[f64; 2])| json!({ "x": x, "y": y, "id": id });
    let points: Vec<Value> = places.iter().enumerate().map(touch).collect();
    let event = json!({ "type": kind, "touchPoints": points });
    page.devtools("Input.dispatchTouchEvent", event).await.map(drop)
}

/// Puts fingers down, draws them in ten steps from their places to others, and lifts them.
async fn drawn(page: &Page, from: &[[f64; 2]], to: &[[f64; 2]]) -> WebDriverResult<()> {
    fingers(page, "touchStart", from).await?;
    for step in 1..=10 {
        let share = f64::from(step) / 10.0;
        let at = |(a, b): (&[f64; 2], &[f64; 2])| {
            [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
        };
        let places: Vec<[f64; 2]> = from.iter().zip(to).map(at).collect();
        fingers(page, "touchMove", &places).await?;
    }
    fingers(page, "touchEnd", &[]).await?;
    page.ask::<i64>("0").await.map(drop)
}

/// Left, top, width and height of what stands in sight.
async fn place(page: &Page, id: &str) -> WebDriverResult<[f64; 4]> {
    // A page let go by a finger goes on for a while.
    let still = "await (async () => { let last = -1; while (last !== scrollY) { last = scrollY; \
        for (let i = 0; i < 9; i++) await new Promise(requestAnimationFrame); } return true; })()";
    page.wait_until(still).await?;
    page.element(&format!("#{id}")).await?.scroll_into_view().await?;
    page.wait_until(still).await?;
    let rect = "(() => { const r = document.getElementById('ID').getBoundingClientRect(); \
        return [r.left, r.top, r.width, r.height]; })()";
    page.ask(&rect.replace("ID", id)).await
}

/// The picture, as a number that is another for another.
const PICTURE: &str = "[...document.getElementById('picture').toDataURL()] \
    .reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 4294967291, 7)";
const WHERE: &str = "[scrollY, visualViewport.scale]";

/// One finger across turns the work, two pull it nearer, one down scrolls the page and leaves the
/// work; on the slider a finger scrubs the demonstration.
#[test]
fn fingers_turn_zoom_and_scrub() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        let [left, top, width, height] = place(page, "picture").await?;
        let at = |x: f64, y: f64| [left + x * width, top + y * height];
        let before: u64 = page.ask(PICTURE).await?;
        let scrolled: [f64; 2] = page.ask(WHERE).await?;
        drawn(page, &[at(0.2, 0.5)], &[at(0.7, 0.52)]).await?;
        let turned: u64 = page.ask(PICTURE).await?;
        assert_ne!(turned, before, "one finger across does not turn the work");
        page.screenshot("touch-turned-phone").await?;
        page.click("#reset").await?;
        assert_eq!(page.ask::<u64>(PICTURE).await?, before);

        let [left, top, width, height] = place(page, "picture").await?;
        let at = |x: f64, y: f64| [left + x * width, top + y * height];
        for (from, to, name) in [
            ([at(0.4, 0.5), at(0.6, 0.5)], [at(0.1, 0.5), at(0.9, 0.5)], "across"),
            ([at(0.5, 0.4), at(0.5, 0.6)], [at(0.5, 0.1), at(0.5, 0.9)], "upright"),
        ] {
            drawn(page, &from, &to).await?;
            assert_ne!(page.ask::<u64>(PICTURE).await?, before, "pinch {name}");
            page.screenshot(&format!("touch-zoomed-{name}-phone")).await?;
            assert_eq!(page.ask::<[f64; 2]>(WHERE).await?[1], 1.0, "the page is not zoomed");
            page.click("#reset").await?;
            assert_eq!(page.ask::<u64>(PICTURE).await?, before, "{name}");
        }
        assert_eq!(scrolled[1], 1.0);

        let [left, top, width, height] = place(page, "picture").await?;
        let at = |x: f64, y: f64| [left + x * width, top + y * height];
        let scrolled: [f64; 2] = page.ask(WHERE).await?;
        drawn(page, &[at(0.5, 0.9)], &[at(0.5, 0.1)]).await?;
        page.wait_until(&format!("scrollY > {} + 20", scrolled[0])).await?;
        assert_eq!(page.ask::<u64>(PICTURE).await?, before, "a page scrolled turns no work");

        let [left, top, width, height] = place(page, "time").await?;
        let at = |x: f64| [left + x * width, top + 0.5 * height];
        let time = "document.getElementById('time').valueAsNumber";
        let here: f64 = page.ask(time).await?;
        drawn(page, &[at(here)], &[at(0.9)]).await?;
        let scrubbed: f64 = page.ask(time).await?;
        assert!((scrubbed - 0.9).abs() < 0.05, "from {here} to {scrubbed}");
        assert!(
            !page.ask::<String>("document.getElementById('caption').textContent").await?.is_empty()
        );
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// In the class a finger drawn aside turns to the next step; the slider is scrubbed.
#[test]
fn a_class_is_led_by_real_fingers() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        page.click("#class-open").await?;
        let [left, top, width, height] = place(page, "class-picture-0").await?;
        let at = |x: f64| [left + x * width, top + 0.5 * height];
        drawn(page, &[at(0.8)], &[at(0.2)]).await?;
        let step = "document.getElementById('class-step').textContent";
        let time = "document.getElementById('class-time').valueAsNumber";
        page.wait_until(&format!("{time} > 0")).await?;
        drawn(page, &[at(0.2)], &[at(0.8)]).await?;
        page.wait_until(&format!("{time} === 0")).await?;
        let [left, top, width, height] = place(page, "class-time").await?;
        let at = |x: f64| [left + x * width, top + 0.5 * height];
        drawn(page, &[at(0.03)], &[at(0.97)]).await?;
        page.wait_until(&format!("{step}.includes('In the hand')")).await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

const FULL: &str = "document.fullscreenElement?.id ?? ''";

/// The button takes the whole screen for the class, and every way out gives it back: the class's own
/// and the browser's.
#[test]
fn the_class_takes_the_whole_screen_and_gives_it_back() {
    on_page(Screen::PROJECTOR, async |page| {
        page.wait_checked().await?;
        assert_eq!(page.ask::<String>(FULL).await?, "");
        for out in ["button", "escape", "browser"] {
            page.click("#class-open").await?;
            page.wait_until(&format!("({FULL}) === 'class'")).await?;
            assert!(page.element("#class-next").await?.is_displayed().await?);
            page.screenshot(&format!("full-screen-{out}")).await?;
            match out {
                "button" => page.click("#class-leave").await?,
                "escape" => page.driver.active_element().await?.send_keys(Key::Escape + "").await?,
                _ => {
                    page.driver.execute("await document.exitFullscreen();", vec![]).await?;
                }
            }
            page.wait_until(&format!(
                "({FULL}) === '' && document.documentElement.dataset.class === 'off'"
            ))
            .await?;
            assert!(page.element("main").await?.is_displayed().await?, "{out}");
            let focus: String = page.ask("document.activeElement.id").await?;
            assert_eq!(focus, "menu-button", "{out}");
        }
        // Left before the browser has granted it: the page is not left in an empty full screen.
        let hasty = "document.getElementById('class-leave').click();";
        page.click("#menu-button").await?;
        page.driver.execute("document.getElementById('class-open').focus();", vec![]).await?;
        let both = format!(
            "addEventListener('click', e => {{ if (e.target.id === 'class-open') {hasty} }}, {{once: true}});"
        );
        page.driver.execute(&both, vec![]).await?;
        page.click("#class-open").await?;
        page.frames(18).await?;
        page.wait_until(&format!("({FULL}) === ''")).await?;
        assert!(page.element("main").await?.is_displayed().await?);

        // Refused, as where a page in a page may not: the class fills the page.
        let refuse =
            "Element.prototype.requestFullscreen = () => Promise.reject(new TypeError('no'));";
        page.driver.execute(refuse, vec![]).await?;
        page.click("#class-open").await?;
        assert!(page.element("#class-next").await?.is_displayed().await?);
        assert_eq!(page.ask::<String>(FULL).await?, "");
        page.click("#class-leave").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
