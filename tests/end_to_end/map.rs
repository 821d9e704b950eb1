//! The map: filled off the page's thread, its point dragged.

use crate::page::{Page, Screen, on_page};
use thirtyfour::prelude::*;

/// A first look at it is there.
const TOLD: &str = "document.getElementById('map-table').rows.length > 0";
const DONE: &str = "document.getElementById('map-state').dataset.done === 'true'";

async fn value(page: &Page, id: &str) -> WebDriverResult<f64> {
    let text: String = page.ask(&format!("document.getElementById('{id}').value")).await?;
    Ok(text.parse().unwrap_or(f64::NAN))
}

/// The map fills coarse to fine; its point is dragged by mouse and by keys, which changes the
/// design and its verdict but not the map.
#[test]
fn the_map_fills_and_its_point_is_dragged() {
    on_page(Screen::DESK, async |page| {
        page.time(&[TOLD, DONE]).await?;
        page.look_at("map").await?;
        page.wait_until(TOLD).await?;
        page.screenshot("map-coarse-desk").await?;
        page.wait_until(DONE).await?;
        let [first, filled]: [f64; 2] = page.ask("window.since").await?;
        println!("map in the browser: first look {first:.0} ms, filled {filled:.0} ms");
        let state = page.text("#map-state").await?;
        println!("{state}");
        assert!(state.starts_with("Filled: ") && state.contains("interpolated"), "{state}");
        page.wait_checked().await?;
        page.screenshot("map-desk").await?;
        let told = page.element("#picture").await?.attr("aria-label").await?.unwrap_or_default();
        assert!(told.contains("mandrel 12 mm and wire 0.9 mm: joins, clearance "), "{told}");

        let canvas = page.element("#picture").await?;
        let rect = canvas.rect().await?;
        // Towards thicker wire on a smaller mandrel.
        page.driver
            .action_chain()
            .move_to_element_center(&canvas)
            .click_and_hold()
            .move_by_offset(-(rect.width / 5.0) as i64, 0)
            .move_by_offset(0, -(rect.height / 5.0) as i64)
            .perform()
            .await?;
        let held: String = page.ask("document.getElementById('caption').textContent").await?;
        // No more what was proven of the point before; perhaps already what is of this one.
        assert!(held.contains("checking") || held.contains("does not join"), "{held}");
        page.driver.action_chain().release().perform().await?;
        let (mandrel, wire) = (value(page, "mandrel").await?, value(page, "wire").await?);
        assert!(mandrel < 11.0 && wire > 0.95, "{mandrel} {wire}");
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("No"), "{verdict}");
        assert_eq!(page.text("#map-state").await?, state, "the map was kept");
        page.screenshot("map-dragged-desk").await?;

        canvas.focus().await?;
        canvas.send_keys(Key::Right + Key::Right).await?;
        assert!(value(page, "mandrel").await? > mandrel);
        canvas.send_keys(Key::Down + "").await?;
        assert!(value(page, "wire").await? < wire);

        // Another dimension is another map; the same one twice is none.
        page.choose("#map-up", "2").await?;
        let state = page.text("#map-state").await?;
        assert!(state.starts_with("Filling"), "{state}");
        page.choose("#map-up", "0").await?;
        assert!(page.text("#caption").await?.contains("two different"));
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// On a phone, in inches, in the dark: the map can be read, and a chance touch changes nothing.
#[test]
fn the_map_is_read_on_a_phone() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#unit", "inch").await?;
        page.look_at("map").await?;
        page.wait_until(DONE).await?;
        page.wait_checked().await?;
        page.element("#picture").await?.scroll_into_view().await?;
        page.screenshot("map-phone").await?;
        let before = value(page, "mandrel").await?;
        let touch = "const c = document.getElementById('picture'), r = c.getBoundingClientRect(); \
            c.dispatchEvent(new PointerEvent('pointerdown', {pointerId: 5, pointerType: 'touch', \
            clientX: r.right - 30, clientY: r.top + 50, bubbles: true}));";
        page.driver.execute(touch, vec![]).await?;
        assert_eq!(value(page, "mandrel").await?, before);
        let dark = serde_json::json!({
            "features": [{ "name": "prefers-color-scheme", "value": "dark" }]
        });
        page.devtools("Emulation.setEmulatedMedia", dark).await?;
        page.frames(4).await?;
        page.screenshot("map-phone-dark").await?;
        page.element("#panel-map").await?.scroll_into_view().await?;
        page.screenshot("map-panel-phone").await?;
        let wider = "document.documentElement.scrollWidth - innerWidth";
        assert!(page.ask::<i64>(wider).await? <= 0);
        Ok(())
    });
}
