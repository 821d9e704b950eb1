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
    // On a busy machine the page hears of them some frames later.
    for feature in features.as_array().into_iter().flatten() {
        let (name, value) = (feature["name"].as_str(), feature["value"].as_str());
        let query = format!("({}: {})", name.unwrap_or_default(), value.unwrap_or_default());
        page.wait_until(&format!("matchMedia('{query}').matches")).await?;
    }
    Ok(())
}

/// Goes to a view by its button, and waits until what is worked out for it stands there.
pub async fn see(page: &Page, view: &str) -> WebDriverResult<()> {
    page.look_at(view.trim_start_matches("view-")).await?;
    page.wait_until("!/…/.test(document.getElementById('picture').getAttribute('aria-label'))")
        .await
}

async fn views(page: &Page) -> WebDriverResult<Vec<String>> {
    Ok(page.views())
}

fn nothing_against_the_rules(screen: Screen, name: &str) {
    on_page(screen, async |page| {
        page.wait_checked().await?;
        page.driver
            .execute(
                "document.querySelectorAll('details:not(#menu)').forEach(d => d.open = true)",
                vec![],
            )
            .await?;
        let mut found = Vec::new();
        for shade in ["light", "dark"] {
            surroundings(page, json!([{ "name": "prefers-color-scheme", "value": shade }])).await?;
            for view in views(page).await? {
                see(page, &view).await?;
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

/// The check itself: a control without a name is found.
#[test]
fn what_is_against_the_rules_is_found() {
    on_page(Screen::DESK, async |page| {
        let spoil = "document.getElementById('wire').closest('label').replaceWith(\
                     document.getElementById('wire')); \
                     document.getElementById('hint-turn').style.color = 'silver';";
        page.driver.execute(spoil, vec![]).await?;
        let found = violations(page, "spoilt").await?.join("\n");
        for rule in ["label:", "color-contrast:"] {
            assert!(found.contains(rule), "no {rule} in {found}");
        }
        Ok(())
    });
}

/// By Tab alone every control of every view is come to, in the order it is read, and is seen to
/// have the focus.
#[test]
fn every_control_is_reached_by_keys_and_seen_to_be() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let watch = "document.querySelectorAll('details:not(#menu)').forEach(d => d.open = true); \
            window.reached = new Set(); window.unseen = []; \
            document.addEventListener('focusin', ({target}) => { window.reached.add(target); \
            const s = getComputedStyle(target); \
            if (s.outlineStyle === 'none' || parseFloat(s.outlineWidth) < 2) \
            window.unseen.push(target.outerHTML.slice(0, 80)); });";
        page.driver.execute(watch, vec![]).await?;
        let views = views(page).await?;
        assert!(views.len() >= 6, "{views:?}");
        for view in views {
            see(page, &view).await?;
            // What is still worked out may bring a control of its own.
            page.wait_settled().await?;
            // What a hand or a script gave the focus need not show it.
            let from_the_top = "document.getElementById(arguments[0]).click(); \
                window.reached.clear(); document.querySelector('header button').focus(); \
                window.unseen = [];";
            page.driver.execute(from_the_top, vec![json!(view)]).await?;
            // Tab, as the WebDriver standard writes it.
            let tabs = "\u{e004}".repeat(140);
            page.driver.active_element().await?.send_keys(tabs).await?;
            // Of the buttons of one choice the one chosen is come to.
            let missed = "[...document.querySelectorAll('a[href], button, input, select, textarea, \
                summary, [tabindex=\"0\"]')].filter(e => e.checkVisibility() && !e.disabled \
                && !(e.type === 'radio' && !e.checked) && !window.reached.has(e)) \
                .map(e => e.outerHTML.slice(0, 80))";
            assert_eq!(page.ask::<Vec<String>>(missed).await?, Vec::<String>::new(), "{view}");
            let unseen: Vec<String> = page.ask("window.unseen").await?;
            assert_eq!(unseen, Vec::<String>::new(), "{view}");
        }
        Ok(())
    });
}

/// With keys alone a design is chosen, changed, its suggestion taken and its way played.
#[test]
fn the_work_is_done_by_keys_alone() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let focus = async |id: &str| -> WebDriverResult<WebElement> {
            page.driver
                .execute("document.getElementById(arguments[0]).focus()", vec![json!(id)])
                .await?;
            page.element(&format!("#{id}")).await
        };
        focus("menu-button").await?.send_keys(Key::Enter + "").await?;
        focus("example").await?.send_keys(Key::End + "").await?;
        page.wait_until("document.getElementById('wire').value === '1.2'").await?;
        assert!(page.wait_checked().await?.starts_with("No, they cannot join"));
        focus("tab-link").await?.send_keys(Key::Enter + "").await?;
        focus("view-join").await?.send_keys(Key::Enter + "").await?;
        page.driver
            .execute("document.querySelector('#suggestions button').focus()", vec![])
            .await?;
        page.element("#suggestions button").await?.send_keys(Key::Space + "").await?;
        page.wait_until("document.getElementById('message').textContent.includes(' changed to ')")
            .await?;
        assert!(page.wait_checked().await?.starts_with("Yes, they join."));
        let time = "document.getElementById('time').valueAsNumber";
        focus("time").await?.send_keys(Key::Home + "").await?;
        assert!(page.ask::<f64>(time).await? < 0.01);
        focus("play").await?.send_keys(Key::Space + "").await?;
        page.wait_until(&format!("{time} > 0.02")).await?;
        focus("play").await?.send_keys(Key::Space + "").await?;
        // It is written with the next frame.
        page.wait_until("document.getElementById('play').textContent === 'Play'").await?;
        let picture = "document.getElementById('picture').toDataURL()";
        let before: String = page.ask(picture).await?;
        focus("picture").await?.send_keys(Key::Right + Key::Up + "+").await?;
        assert_ne!(page.ask::<String>(picture).await?, before);
        Ok(())
    });
}

/// Each picture says in words what it shows, with its figures; verdict and check are announced.
#[test]
fn each_picture_says_what_it_shows() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let mut told = Vec::new();
        for view in views(page).await? {
            see(page, &view).await?;
            let words = "document.getElementById('picture').getAttribute('aria-label')";
            let words: String = page.ask(words).await?;
            let figures: usize =
                [" mm", " %", " N"].iter().map(|unit| words.matches(unit).count()).sum();
            println!("{view}: {words}");
            assert!(figures > 0 && words.len() > 60, "{view}: {words}");
            assert!(!told.contains(&words), "{view} says what another view says: {words}");
            told.push(words);
        }
        for id in ["verdict", "checking", "said"] {
            let live = format!("document.getElementById('{id}').getAttribute('role')");
            assert_eq!(page.ask::<String>(&live).await?, "status");
        }
        Ok(())
    });
}

/// At 320 CSS pixels, as on a small phone or at four times the size, and at 640, as at twice the
/// size on a desk, nothing has to be moved sideways to be read.
#[test]
fn nothing_is_read_sideways_in_a_narrow_window() {
    for width in [320, 640] {
        on_page(Screen::of(width, 256), async |page| {
            for view in views(page).await? {
                see(page, &view).await?;
                let wider = "document.documentElement.scrollWidth - innerWidth";
                assert!(page.ask::<i64>(wider).await? <= 0, "{view} at {width}");
            }
            if width == 320 {
                page.screenshot("reflow-320").await?;
            }
            Ok(())
        });
    }
}

/// A finger needs 24 CSS pixels (2.5.8, AA); ours gives buttons, lists and fields 44.
#[test]
fn a_finger_finds_every_control() {
    on_page(Screen::PHONE, async |page| {
        for view in views(page).await? {
            see(page, &view).await?;
            let small = "[...document.querySelectorAll('button, select, summary, input')] \
                .filter(e => e.checkVisibility()).filter(e => { \
                const r = (e.closest('label') && /radio|checkbox/.test(e.type) ? e.closest('label') : e) \
                .getBoundingClientRect(); \
                return r.height < 43.5 || r.width < 24; }).map(e => e.outerHTML.slice(0, 80))";
            let small: Vec<String> = page.ask(small).await?;
            assert_eq!(small, Vec::<String>::new(), "{view}");
        }
        Ok(())
    });
}

/// Who asks for calm gets steps in place of motion, and nothing that moves by itself.
#[test]
fn calm_is_kept_where_it_is_asked_for() {
    on_page(Screen::DESK, async |page| {
        surroundings(page, json!([{ "name": "prefers-reduced-motion", "value": "reduce" }]))
            .await?;
        page.wait_checked().await?;
        page.look_at("join").await?;
        assert_eq!(page.text("#play").await?, "Next step");
        let time = "document.getElementById('time').valueAsNumber";
        page.click("#play").await?;
        page.click("#play").await?;
        let there: f64 = page.ask(time).await?;
        assert!(page.text("#caption").await?.contains("tightest"));
        page.frames(18).await?;
        assert_eq!(page.ask::<f64>(time).await?, there);
        // From the end, or the tightest place before it, on.
        page.click("#play").await?;
        let on: f64 = page.ask(time).await?;
        assert_eq!(on, if there < 1.0 { 1.0 } else { 0.65 });
        Ok(())
    });
}

/// Colours follow the system, or are chosen by hand and kept.
#[test]
fn colours_follow_the_system_or_the_hand() {
    on_page(Screen::DESK, async |page| {
        let used = "document.documentElement.dataset.colours";
        let ask = |name: &str, value: &str| json!([{ "name": name, "value": value }]);
        surroundings(page, ask("prefers-color-scheme", "dark")).await?;
        assert_eq!(page.ask::<String>(used).await?, "dark");
        page.wait_checked().await?;
        page.screenshot("colours-dark").await?;
        for feature in [ask("prefers-contrast", "more"), ask("forced-colors", "active")] {
            surroundings(page, feature).await?;
            assert_eq!(page.ask::<String>(used).await?, "contrast-light");
        }
        let mut found = violations(page, "forced colours").await?;
        surroundings(page, json!([])).await?;
        for (choice, name) in [("contrast", "contrast-light"), ("light", "light"), ("dark", "dark")]
        {
            page.choose("#colours", choice).await?;
            assert_eq!(page.ask::<String>(used).await?, name);
            found.extend(violations(page, name).await?);
            page.screenshot(&format!("colours-{name}")).await?;
        }
        surroundings(page, ask("prefers-color-scheme", "dark")).await?;
        page.choose("#colours", "contrast").await?;
        assert_eq!(page.ask::<String>(used).await?, "contrast-dark");
        found.extend(violations(page, "high contrast, dark").await?);
        page.screenshot("colours-contrast-dark").await?;
        assert!(found.is_empty(), "{}", found.join("\n"));
        let address = page.driver.current_url().await?;
        page.open(address.as_str()).await?;
        assert_eq!(
            page.ask::<String>("document.getElementById('colours').value").await?,
            "contrast"
        );
        // Printed, the picture is on white, the controls are gone.
        surroundings(page, json!([])).await?;
        page.choose("#colours", "dark").await?;
        page.driver.execute("dispatchEvent(new Event('beforeprint'))", vec![]).await?;
        page.devtools("Emulation.setEmulatedMedia", json!({ "media": "print" })).await?;
        assert_eq!(page.ask::<String>(used).await?, "light");
        for gone in ["#menu", "#undo", "#play", "#strip", "#views", "#types-tools"] {
            assert!(!page.element(gone).await?.is_displayed().await?, "{gone}");
        }
        for kept in [
            "#design-name",
            "#picture",
            "#verdict",
            "#wire",
            "#mandrel",
            "#figure-bore",
            "#uncorrected",
        ] {
            assert!(page.element(kept).await?.is_displayed().await?, "{kept}");
        }
        // The picture is as high as it is wide in its window, on paper that is white.
        let held: [f64; 2] = page
            .ask(
                "(c => { const r = c.getBoundingClientRect(); \
                 return [r.width / r.height, c.width / c.height]; })(document.getElementById('picture'))",
            )
            .await?;
        assert!((held[0] / held[1] - 1.0).abs() < 0.02, "the picture is stretched: {held:?}");
        let paper = "getComputedStyle(document.getElementById('picture')).backgroundColor";
        assert_eq!(page.ask::<String>(paper).await?, "rgba(0, 0, 0, 0)");
        page.screenshot("printed").await?;
        page.driver.execute("dispatchEvent(new Event('afterprint'))", vec![]).await?;
        assert_eq!(page.ask::<String>(used).await?, "dark");
        Ok(())
    });
}
