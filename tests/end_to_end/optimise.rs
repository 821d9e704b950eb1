//! The search for a design: wishes on sliders, answers proven, the trade-off clicked, the design taken and undone.

use crate::page::{Page, Screen, on_page};
use std::time::Instant;
use thirtyfour::prelude::*;

const DONE: &str = "document.getElementById('optimise-state').dataset.done === 'true'";
async fn value(page: &Page, id: &str) -> WebDriverResult<f64> {
    let text: String = page.ask(&format!("document.getElementById('{id}').value")).await?;
    Ok(text.parse().unwrap_or(f64::NAN))
}

#[test]
fn a_chain_is_wished_for_and_its_dimensions_are_found() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let before = (value(page, "mandrel").await?, value(page, "wire").await?);
        let since = Instant::now();
        page.look_at("optimise").await?;
        page.wait_until("document.querySelectorAll('#optimise-answers li').length > 0").await?;
        let first = since.elapsed();
        page.wait_until(DONE).await?;
        println!("optimise in the browser: first answer {first:?}, all {:?}", since.elapsed());
        let told = page.text("#optimise-answers").await?;
        assert!(told.contains("Joins, proven; tightest clearance"), "{told}");
        assert!(told.contains("suppleness across the lobes"), "{told}");
        page.screenshot("optimise-desk").await?;

        // The trade-off is drawn, and a click on its point shows that design.
        let count: usize =
            page.ask("document.querySelectorAll('#optimise-points li').length").await?;
        assert!(count >= 3, "{count} points");
        page.driver.execute("document.querySelector('[data-point=\"1\"]').click()", vec![]).await?;
        let caption: String = page.ask("document.getElementById('caption').textContent").await?;
        assert!(caption.contains("andrel") && caption.contains("mm"), "{caption}");
        assert!(page.text("#optimise-answers").await?.contains("The point chosen"));
        page.screenshot("optimise-point-desk").await?;

        // Taken, and taken back.
        page.driver
            .execute("document.querySelector('[data-answer=\"1001\"]').click()", vec![])
            .await?;
        let taken = (value(page, "mandrel").await?, value(page, "wire").await?);
        assert!((taken.0 - before.0).abs() > 1e-3 && taken.1 == before.1, "{before:?} {taken:?}");
        assert!(page.text("#message").await?.contains("Undo"));
        page.driver.execute("document.getElementById('undo').click()", vec![]).await?;
        assert_eq!((value(page, "mandrel").await?, value(page, "wire").await?), before);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A wish is changed while answers are looked for, the looking stopped; a wish that cannot be had is told
/// with what stands in the way; nonsense beside a dimension is told with its name.
#[test]
fn wishes_change_and_some_cannot_be_had() {
    on_page(Screen::PHONE, async |page| {
        page.wait_checked().await?;
        page.hold_searches().await?;
        page.look_at("optimise").await?;
        page.wait_until("!document.getElementById('optimise-stop').hidden").await?;
        page.set("optimise-at-suppleness_x", 20.0).await?;
        page.driver.execute("document.getElementById('optimise-stop').click()", vec![]).await?;
        page.wait_until("document.getElementById('optimise-stop').hidden").await?;
        page.choose("#optimise-across", "").await?;
        let wishes = "document.querySelectorAll('#optimise-wishes .wish').length";
        assert_eq!(page.ask::<usize>(wishes).await?, 3);
        page.choose("#optimise-add", "ratio").await?;
        assert_eq!(page.ask::<usize>(wishes).await?, 4);
        page.click("#optimise-wishes [data-wish=\"0\"]").await?;
        assert_eq!(page.ask::<usize>(wishes).await?, 3);
        // The focus is where another can be added.
        assert_eq!(page.ask::<String>("document.activeElement.id").await?, "optimise-add");
        page.choose("#optimise-want-ratio", "least").await?;
        page.set("optimise-at-ratio", 90.0).await?;
        page.wait_until(DONE).await?;
        let told = page.text("#optimise-refusal").await?;
        assert!(
            told.contains("ratio") && told.contains("mandrel stands at its greatest"),
            "{told}"
        );
        page.element("#panel-optimise").await?.scroll_into_view().await?;
        page.screenshot("optimise-phone").await?;
        page.element("#optimise-refusal").await?.scroll_into_view().await?;
        page.screenshot("optimise-refused-phone").await?;
        page.element("#optimise-wishes").await?.scroll_into_view().await?;
        page.screenshot("optimise-wishes-phone").await?;
        // How far each figure moves, in the maker's unit.
        let open = "for (const part of document.querySelectorAll('#panel-optimise details')) part.open = true;";
        page.driver.execute(open, vec![]).await?;
        let cells = "document.querySelectorAll('#optimise-moves tr:nth-child(2) td').length";
        page.wait_until(&format!("{cells} === 7")).await?;
        let wide = "[...document.querySelectorAll('#optimise-moves tr')]\
            .find(row => row.textContent.startsWith('width')).children[3].textContent";
        // A bore 0.1 mm wider: so is the link.
        assert_eq!(page.ask::<String>(wide).await?, "+0.10");
        page.element("#optimise-moves").await?.scroll_into_view().await?;
        page.screenshot("optimise-moves-phone").await?;
        page.choose("#unit", "inch").await?;
        page.wait_until(&format!("{cells} === 7")).await?;
        assert_eq!(page.text("#optimise-step").await?, "0.005 in");
        assert_eq!(page.ask::<String>(wide).await?, "+0.0050");
        page.choose("#unit", "mm").await?;
        page.type_into("#optimise-over-mandrel_mm", "9 to nowhere").await?;
        page.wait_until(
            "document.getElementById('optimise-fault').textContent.startsWith('mandrel: ')",
        )
        .await?;
        page.click("#optimise-own-mandrel_mm").await?;
        page.wait_until(
            "document.getElementById('optimise-fault').textContent.includes('mandrel: you own none')",
        )
        .await?;
        assert!(!page.element("#optimise-over-mandrel_mm").await?.is_displayed().await?);
        // In the place of the range, beside the name of its dimension.
        let beside = "(() => { const [name, own] = ['optimise-now-mandrel_mm', 'optimise-own-row-mandrel_mm'] \
            .map(id => document.getElementById(id).getBoundingClientRect()); \
            return own.left >= name.right && own.top < name.bottom && own.bottom > name.top; })()";
        assert!(page.ask::<bool>(beside).await?, "what is owned stands elsewhere");
        page.element("#optimise-free").await?.scroll_into_view().await?;
        page.screenshot("optimise-own-phone").await?;
        let wider = "document.documentElement.scrollWidth - innerWidth";
        assert!(page.ask::<i64>(wider).await? <= 0);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
