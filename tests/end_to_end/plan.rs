//! The plan: asked for, laid out, tried by hand, handed out as tables.

use crate::page::{Page, Screen, on_page};
use thirtyfour::prelude::*;

async fn wait_planned(page: &Page) -> WebDriverResult<String> {
    let done = "document.getElementById('plan-figures').dataset.done === 'true' \
                && document.getElementById('plan-says').dataset.standing === 'finished'";
    page.wait_until(done).await?;
    page.text("#plan-says").await
}

async fn shots(page: &Page, name: &str) -> WebDriverResult<()> {
    page.ask::<bool>("(() => { scrollTo(0, 0); return true; })()").await?;
    page.screenshot(&format!("plan-{name}")).await?;
    page.ask::<bool>(
        "(() => { document.getElementById('picture').scrollIntoView(); return true; })()",
    )
    .await?;
    page.screenshot(&format!("plan-picture-{name}")).await?;
    for (id, part) in [("plan-figures", "figures"), ("trials", "trials")] {
        let show = format!(
            "(() => {{ const e = document.getElementById('{id}'); \
             const d = e.closest('details'); if (d) d.open = true; e.scrollIntoView(); return true; }})()"
        );
        page.ask::<bool>(&show).await?;
        page.screenshot(&format!("plan-{part}-{name}")).await?;
    }
    page.ask::<bool>("(() => { scrollTo(0, 0); return true; })()").await?;
    Ok(())
}

async fn open_all(page: &Page) -> WebDriverResult<()> {
    let open = "document.querySelectorAll('#panel-plan details').forEach(d => { d.open = true; })";
    page.ask::<Option<bool>>(&format!("({open}) ?? true")).await?;
    Ok(())
}

#[test]
fn a_tapered_necklace_is_planned_and_its_trials_count() {
    on_page(Screen::DESK, async |page| {
        page.choose("#example", "2").await?;
        page.look_at("plan").await?;
        let message = wait_planned(page).await?;
        assert!(
            message.starts_with("Plan complete") && message.contains("460 mm wanted"),
            "{message}"
        );
        let links: usize = page.text("#plan-links").await?.parse().unwrap();
        assert!((30..120).contains(&links), "{links}");
        let told = page.element("#picture").await?.attr("aria-label").await?.unwrap_or_default();
        assert!(told.contains("laid out to scale") && told.contains("front"), "{told}");
        // By the bench's prices: metal alone, then an hour of work.
        let open = "(() => { for (const id of ['bench-part', 'costs']) document.getElementById(id).open = true; return true; })()";
        page.ask::<bool>(open).await?;
        page.type_into("#cost-metal", "2").await?;
        wait_planned(page).await?;
        let number = |text: String| text.split(' ').next().unwrap().parse::<f64>().unwrap();
        let grams = number(page.text("#plan-wire-mass").await?);
        let cost = number(page.text("#plan-cost").await?);
        assert!((cost - 2.0 * grams).abs() < 0.02 + 0.02 * grams, "{cost} for {grams} g");
        page.type_into("#cost-hour", "30").await?;
        page.type_into("#cost-currency", "crowns").await?;
        wait_planned(page).await?;
        let hours = number(page.text("#plan-hours").await?);
        let told = page.text("#plan-cost").await?;
        assert!(hours > 0.0 && told.ends_with("crowns"), "{told}");
        let dearer = number(told) - cost;
        assert!((dearer - 30.0 * hours).abs() < 30.0 * 0.051, "{dearer} for {hours} h");
        page.type_into("#cost-hour", "-1").await?;
        assert!(page.text("#cost-problem").await?.contains("hourly_rate"));
        page.type_into("#cost-hour", "30").await?;
        // Longer takes more.
        page.type_into("[data-field='plan.length_mm']", "600").await?;
        wait_planned(page).await?;
        assert!(page.text("#plan-links").await?.parse::<usize>().unwrap() > links);
        // A fault stands beside its field, and the last good plan stays.
        page.type_into("[data-field='plan.length_mm']", "-5").await?;
        let fault = page.wait_text("[id='fault-plan.length_mm']").await?;
        assert!(fault.contains("must lie between 10 mm"), "{fault}");
        page.type_into("[data-field='plan.length_mm']", "60 cm").await?;
        let fault = page.wait_text("[id='fault-plan.length_mm']").await?;
        assert!(fault.contains("is not a length"), "{fault}");
        page.type_into("[data-field='plan.length_mm']", "460").await?;
        open_all(page).await?;
        page.type_into("[data-field='plan.loss_share']", "7 %").await?;
        wait_planned(page).await?;

        // Two rings of the first size: springback is theirs from then on.
        for (index, inside) in ["11.60", "11.64"].iter().enumerate() {
            page.click("#add-trial").await?;
            page.type_into(&format!("[data-field='trials[{index}].ring_inside_mm']"), inside)
                .await?;
        }
        wait_planned(page).await?;
        let hand = page.text("#plan-hand").await?;
        assert!(hand.contains("2 rings measured") && hand.contains("fitted"), "{hand}");
        let table = page.text("#plan-trials").await?;
        assert!(table.contains("11.64 mm"), "{table}");
        shots(page, "desk").await?;
        page.click("[data-trial='1']").await?;
        wait_planned(page).await?;
        assert!(page.text("#plan-hand").await?.contains("one ring"));
        page.click("#undo").await?;
        assert!(page.element("[data-field='trials[1].ring_inside_mm']").await.is_ok());
        wait_planned(page).await?;
        page.ask::<bool>(
            "(() => { document.getElementById('save-cuts').click(); return true; })()",
        )
        .await?;
        assert_eq!(page.text("#message").await?, "Saved as a file.");
        assert!(page.console_errors().await?.is_empty());
        Ok(())
    });
}

#[test]
fn a_plan_is_read_on_a_phone_in_inches() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#example", "2").await?;
        page.choose("#unit", "inch").await?;
        page.look_at("plan").await?;
        page.choose("#plan-measured", "wrist").await?;
        page.type_into("[data-field='plan.length_mm']", "6.5").await?;
        let message = wait_planned(page).await?;
        assert!(message.contains(" in "), "{message}");
        let inside = page.text("#plan-inside").await?;
        assert!(inside.starts_with('6') && inside.contains("thick"), "{inside}");
        assert!(page.text("#plan-wire").await?.contains("ft"));
        assert!(page.text("#plan-chain-mass").await?.contains("dwt"));
        shots(page, "phone").await?;
        // Nothing sticks out sideways.
        let wide: bool = page.ask("document.documentElement.scrollWidth <= innerWidth").await?;
        assert!(wide);
        Ok(())
    });
}
