//! Whoever uses the page, by whatever means: `axe-core` finds nothing against WCAG 2.2 AA, and
//! what it cannot see is tried here: keys alone, narrow windows, calm, names of pictures.

use crate::page::{Page, Screen, on_page};
use serde_json::{Value, json};
use std::path::Path;
use thirtyfour::prelude::*;

/// What the rules are taken from.
const RULES: [&str; 4] = ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"];

/// Has `axe-core` look at the page; what it finds, a line each.
pub async fn violations(page: &Page, where_: &str) -> WebDriverResult<Vec<String>> {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .with_file_name("axe")
        .join("node_modules/axe-core/axe.min.js");
    if !page.ask::<bool>("typeof window.axe === 'object'").await? {
        let axe = std::fs::read_to_string(&path)
            .unwrap_or_else(|_| panic!("no {}: `bash .ci/tools` fetches it", path.display()));
        page.driver.execute(&axe, vec![]).await?;
    }
    let run = "const found = await axe.run(document, {runOnly: arguments[0], \
               resultTypes: ['violations'], preload: false}); \
               return [found.passes.length, found.violations.flatMap(v => v.nodes.map(n => \
               v.id + ': ' + n.target.join(' ') + ': ' + n.failureSummary))];";
    let found: (usize, Vec<String>) =
        page.driver.execute(run, vec![json!(RULES)]).await?.convert()?;
    assert!(found.0 > 10, "{where_}: only {} rules passed: did they run?", found.0);
    Ok(found.1.into_iter().map(|line| format!("{where_}: {line}")).collect())
}

/// Light or dark, as the system would ask for it.
pub async fn surroundings(page: &Page, features: Value) -> WebDriverResult<()> {
    page.devtools("Emulation.setEmulatedMedia", json!({ "features": features })).await?;
    Ok(())
}

async fn views(page: &Page) -> WebDriverResult<Vec<String>> {
    page.ask("[...document.querySelectorAll('#views button')].map(b => b.id)").await
}

fn nothing_against_the_rules(screen: Screen, name: &str) {
    on_page(screen, async |page| {
        page.wait_checked().await?;
        page.driver
            .execute("document.querySelectorAll('details').forEach(d => d.open = true)", vec![])
            .await?;
        let mut found = Vec::new();
        for shade in ["light", "dark"] {
            surroundings(page, json!([{ "name": "prefers-color-scheme", "value": shade }])).await?;
            for view in views(page).await? {
                page.click(&format!("#{view}")).await?;
                found.extend(violations(page, &format!("{name}, {shade}, {view}")).await?);
            }
        }
        // Messages and faults as well.
        page.type_into("#mandrel", "nonsense").await?;
        found.extend(violations(page, &format!("{name}, a fault")).await?);
        assert!(found.is_empty(), "{}", found.join("\n"));
        Ok(())
    });
}

#[test]
fn nothing_against_the_rules_on_a_desk() {
    nothing_against_the_rules(Screen::DESK, "desk");
}

#[test]
fn nothing_against_the_rules_on_a_phone() {
    nothing_against_the_rules(Screen::PHONE, "phone");
}
