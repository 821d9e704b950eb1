//! The work before a class: a projector, a clicker, two designs in step, notes, a hand-out.

use crate::access::{surroundings, violations};
use crate::page::{Page, Screen, on_page};
use serde_json::json;
use std::collections::BTreeSet;
use thirtyfour::prelude::*;

const TIME: &str = "document.getElementById('class-time').valueAsNumber";

/// Opens the class, and waits until both designs are proven.
async fn before_a_class(page: &Page) -> WebDriverResult<()> {
    page.wait_checked().await?;
    page.click("#class-open").await?;
    page.wait_until(
        "[0, 1].every(i => { const words = document.getElementById('class-verdict-' + i) \
         .textContent; return words && !/checked|estimate/.test(words); })",
    )
    .await
}

async fn press(page: &Page, key: impl Into<TypingData>) -> WebDriverResult<()> {
    page.driver.active_element().await?.send_keys(key).await?;
    page.ask::<bool>("true").await?;
    Ok(())
}

/// What stands there after two frames.
async fn read(page: &Page, id: &str) -> WebDriverResult<String> {
    page.ask(&format!("document.getElementById('{id}').textContent")).await
}

async fn step(page: &Page) -> WebDriverResult<String> {
    read(page, "class-step").await
}

async fn picture(page: &Page, which: usize) -> WebDriverResult<String> {
    page.ask(&format!("document.getElementById('class-picture-{which}').toDataURL()")).await
}

/// Step by step with the keys a clicker sends: each step with its caption and its measure, beside
/// one that does not join, which stops where it sticks.
#[test]
fn a_class_is_led_through_the_steps_by_a_clicker() {
    on_page(Screen::PROJECTOR, async |page| {
        before_a_class(page).await?;
        assert!(!page.element("main").await?.is_displayed().await?);
        let verdicts = [page.text("#class-verdict-0").await?, page.text("#class-verdict-1").await?];
        assert!(
            verdicts[0].starts_with("Yes: joins, ") && verdicts[1] == "No: does not join",
            "{verdicts:?}"
        );
        let mut told = Vec::new();
        // Where calm is asked for it is at once at the next stop.
        let motion = |value| json!([{ "name": "prefers-reduced-motion", "value": value }]);
        surroundings(page, motion("reduce")).await?;
        for stop in 0..=13 {
            told.push([read(page, "class-measure-0").await?, read(page, "class-measure-1").await?]);
            page.screenshot(&format!("class-projector-{stop:02}")).await?;
            press(page, Key::PageDown + "").await?;
        }
        let expected = [
            ["Mandrel 12.00 mm, wire 0.90 mm", "Mandrel 9.60 mm"],
            ["Mandrel 12.00 mm, wire 0.90 mm", "Mandrel 9.60 mm"],
            ["Saw cut 0.2", "Saw cut 0.2"],
            ["Ring inside 12.43 mm", "Ring inside "],
            ["Inside length 18.0", "Inside length "],
            ["Bore 2.60 mm, waist gap 0.00 mm", "Bore 3.00 mm"],
            ["Fold jaw 2.50 mm, leg gap 2.50 mm", "Fold jaw 3.00 mm"],
            ["Clear all the way by at least 0.2", "Sticks as "],
            ["Clear all the way by at least 0.2", "Sticks as "],
            ["Clear all the way by at least 0.2", "Sticks as "],
            ["Clear at the tight place by at least 0.2", "Sticks as "],
            ["Clear at the tight place by at least 0.2", "Sticks as "],
            ["Pitch ", "It never gets this far"],
            ["Goes round a rod of ", "It never gets this far"],
        ];
        for (told, expected) in told.iter().zip(expected) {
            for i in 0..2 {
                assert!(told[i].starts_with(expected[i]), "{told:?}, {expected:?}");
            }
        }
        assert!(step(page).await?.starts_with("12 of 12"));
        // Back to where it sticks: there it stays, from the same side.
        press(page, "9").await?;
        let open = picture(page, 0).await?;
        press(page, Key::PageDown + "").await?;
        assert_ne!(picture(page, 0).await?, open);
        assert!(read(page, "class-measure-1").await?.starts_with("Sticks as "));
        surroundings(page, motion("no-preference")).await?;
        press(page, Key::Home + "").await?;
        assert!(step(page).await?.starts_with("1 of 12: Wind"));
        press(page, "4").await?;
        assert!(step(page).await?.starts_with("4 of 12: Oval"));
        // Slowly, and at its own speed again.
        press(page, "s").await?;
        let slow = "document.getElementById('class-slow').getAttribute('aria-pressed')";
        assert_eq!(page.ask::<String>(slow).await?, "true");
        press(page, "s").await?;
        assert_eq!(page.ask::<String>(slow).await?, "false");
        // What a remote's button for the show sends does not load the page anew.
        press(page, Key::F5 + "").await?;
        assert_eq!(read(page, "class-play").await?, "Pause");
        press(page, ".").await?;
        assert_eq!(read(page, "class-play").await?, "Play");
        // Asked once it plays there.
        press(page, "4").await?;
        press(page, Key::Right + "").await?;
        assert!(page.ask::<f64>(TIME).await? < 3.9);
        page.wait_until(&format!("{TIME} === 4")).await?;
        assert!(read(page, "class-caution").await?.is_empty());
        press(page, "3").await?;
        assert!(read(page, "class-caution").await?.contains("acid goes into water"));
        let label = "document.getElementById('class-picture-1').getAttribute('aria-label')";
        assert!(page.ask::<String>(label).await?.contains("No: does not join"));
        let found = violations(page, "class").await?;
        assert!(found.is_empty(), "{}", found.join("\n"));
        press(page, Key::Escape + "").await?;
        assert!(page.element("main").await?.is_displayed().await?);
        assert!(!page.element("#class").await?.is_displayed().await?);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Every stop of the lesson on one sheet, for the reader to look at; each picture is another, and
/// nothing sticks out.
fn contact_sheet(screen: Screen, name: &str, columns: usize) {
    on_page(screen, async |page| {
        before_a_class(page).await?;
        let motion = json!([{ "name": "prefers-reduced-motion", "value": "reduce" }]);
        surroundings(page, motion).await?;
        let (mut images, mut seen) = (String::new(), BTreeSet::new());
        for stop in [
            "0", "0.5", "1", "1.65", "2", "2.72", "3", "3.5", "4", "4.5", "5", "5.5", "6", "6.6",
            "7", "7.5", "8", "8.5", "9", "9.3", "9.6", "10", "10.5", "11", "12",
        ] {
            page.set("class-time", stop.parse().unwrap_or_default()).await?;
            seen.insert(picture(page, 0).await?);
            let file = format!("class-{name}-{stop}");
            page.screenshot(&file).await?;
            images += &format!(
                "<figure><img src=\"{file}.png\"><figcaption>{stop}</figcaption></figure>"
            );
            let wider = "document.getElementById('class').scrollWidth - innerWidth";
            assert!(page.ask::<i64>(wider).await? <= 0, "{name} {stop}");
        }
        assert_eq!(seen.len(), 25, "{name}");
        let sheet = format!(
            "<!doctype html><title>The lesson at {name}</title><style>body {{ display: grid; gap: 6px; \
             grid-template-columns: repeat({columns}, 1fr); margin: 6px; font: 14px sans-serif }} \
             figure {{ margin: 0 }} img {{ width: 100% }}</style>{images}"
        );
        std::fs::write(Page::screenshots().join(format!("contact-{name}.html")), sheet)?;
        Ok(())
    });
}

#[test]
fn each_stop_is_another_picture_and_nothing_sticks_out_on_a_phone() {
    contact_sheet(Screen::HAND, "phone", 7);
}

#[test]
#[ignore = "seventy-five pictures for the eye take minutes"]
fn contact_sheets_of_the_lesson() {
    contact_sheet(Screen::PROJECTOR, "1280x720", 3);
    contact_sheet(Screen::LARGE, "1920x1080", 3);
    contact_sheet(Screen::TABLET, "tablet", 5);
}

/// The lesson is recorded by the browser, and comes as a film.
#[test]
fn the_lesson_comes_as_a_film() {
    on_page(Screen::DESK, async |page| {
        before_a_class(page).await?;
        let catch = "window.films = []; const make = URL.createObjectURL; \
            URL.createObjectURL = b => { b.slice(0, 4).arrayBuffer().then(a => window.films.push( \
            [b.type, b.size, [...new Uint8Array(a)].join(' ')])); return make.call(URL, b); };";
        page.driver.execute(catch, vec![]).await?;
        page.click("#class-film").await?;
        page.wait_until(&format!("{TIME} > 0.1")).await?;
        assert_eq!(read(page, "class-film").await?, "Save film");
        page.click("#class-film").await?;
        page.wait_until("window.films.length > 0").await?;
        let (kind, size, start): (String, usize, String) = page.ask("window.films[0]").await?;
        // Matroska, of which WebM is a part, begins with these four (RFC 8794, 11.2.1).
        assert!(kind.starts_with("video/webm") && start == "26 69 223 163", "{kind} {start}");
        assert!(size > 1000, "{size}");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A code for students' phones, or why there is none; and the controls are out of the way while nobody moves.
#[test]
fn a_page_of_this_computer_says_why_it_has_no_code() {
    on_page(Screen::PROJECTOR, async |page| {
        before_a_class(page).await?;
        page.click("#class-code-show").await?;
        assert!(read(page, "class-code-words").await?.contains("no phone can open it"));
        page.click("#class-code-hide").await?;
        assert!(!page.element("#class-code").await?.is_displayed().await?);
        page.wait_until("document.getElementById('class').dataset.idle === 'yes'").await?;
        press(page, Key::Shift + "").await?;
        page.wait_until("document.getElementById('class').dataset.idle === 'no'").await?;
        Ok(())
    });
}

/// Played, paused and scrubbed; the way through goes slowly past the tight place.
#[test]
fn it_is_played_paused_and_scrubbed() {
    on_page(Screen::DESK, async |page| {
        before_a_class(page).await?;
        page.click("#class-play").await?;
        page.wait_until(&format!("{TIME} > 0.02")).await?;
        assert_eq!(read(page, "class-play").await?, "Pause");
        // The space bar from anywhere but a button.
        page.driver.execute("document.activeElement.blur()", vec![]).await?;
        page.element("body").await?.send_keys(Key::Space + "").await?;
        assert_eq!(read(page, "class-play").await?, "Play");
        let there: f64 = page.ask(TIME).await?;
        page.frames(18).await?;
        assert_eq!(page.ask::<f64>(TIME).await?, there);
        page.set("class-time", 9.5).await?;
        let label = "document.getElementById('class-picture-0').getAttribute('aria-label')";
        page.screenshot("class-desk-slow").await?;
        let early = picture(page, 0).await?;
        page.set("class-time", 9.6).await?;
        assert_ne!(picture(page, 0).await?, early);
        assert!(page.ask::<String>(label).await?.contains("Clear at the tight place"));
        page.choose("#class-beside", "none").await?;
        assert!(!page.element("#class-picture-1").await?.is_displayed().await?);
        page.screenshot("class-desk-alone").await?;
        page.choose("#class-beside", "1").await?;
        page.wait_until(
            "document.getElementById('class-verdict-1').textContent.startsWith('Yes: joins')",
        )
        .await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A design kept by name stands beside, whatever its name.
#[test]
fn a_kept_design_stands_beside() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        page.click("#designs-button").await?;
        page.type_into("#keep-name", "The 'wide' one").await?;
        page.click("#keep").await?;
        page.click("#class-open").await?;
        page.choose("#class-beside", "kept:The 'wide' one").await?;
        page.wait_until(
            "document.getElementById('class-verdict-1').textContent.startsWith('Yes: joins')",
        )
        .await?;
        page.click("#class-leave").await?;
        page.click("#class-open").await?;
        let beside: String = page.ask("document.getElementById('class-beside').value").await?;
        assert_eq!(beside, "kept:The 'wide' one");
        Ok(())
    });
}

/// On a phone by thumb: large buttons, and a finger drawn across.
#[test]
fn a_class_is_led_by_touch() {
    on_page(Screen::PHONE, async |page| {
        before_a_class(page).await?;
        page.screenshot("class-phone").await?;
        page.click("#class-next").await?;
        page.click("#class-next").await?;
        page.click("#class-next").await?;
        page.click("#class-next").await?;
        assert!(step(page).await?.contains("Saw"));
        let swipe = "const c = document.getElementById('class-picture-0'); \
            const at = (name, x) => c.dispatchEvent(new PointerEvent(name, \
            {clientX: x, clientY: 200, bubbles: true})); \
            at('pointerdown', 250); at('pointerup', 120);";
        page.driver.execute(swipe, vec![]).await?;
        page.wait_until("document.getElementById('class-step').textContent.includes('Solder')")
            .await?;
        let wider = "document.getElementById('class').scrollWidth - innerWidth";
        assert!(page.ask::<i64>(wider).await? <= 0);
        let found = violations(page, "class on a phone").await?;
        assert!(found.is_empty(), "{}", found.join("\n"));
        // Under the buttons that stay in sight, at the end.
        let end = "document.getElementById('class').scrollTo(0, 1e5)";
        page.driver.execute(end, vec![]).await?;
        page.screenshot("class-phone-end").await?;
        page.click("#class-leave").await?;
        assert!(page.element("#menu-button").await?.is_displayed().await?);
        Ok(())
    });
}

/// A teacher's notes stand at their step, are hidden or shown, and go with the design.
#[test]
fn notes_stay_with_their_step_and_their_design() {
    on_page(Screen::PROJECTOR, async |page| {
        surroundings(page, json!([{ "name": "prefers-color-scheme", "value": "dark" }])).await?;
        before_a_class(page).await?;
        assert!(!page.element("#class-note").await?.is_displayed().await?);
        page.click("#class-notes-shown").await?;
        page.element("#class-note").await?.send_keys("Ask: which saw? ").await?;
        page.set("class-time", 1.5).await?;
        let note = "document.getElementById('class-note').value";
        assert_eq!(page.ask::<String>(note).await?, "");
        page.element("#class-note").await?.send_keys("Pull slowly.").await?;
        page.screenshot("class-notes").await?;
        page.set("class-time", 0.5).await?;
        assert_eq!(page.ask::<String>(note).await?, "Ask: which saw? ");
        page.click("#class-leave").await?;
        // What else changes the design leaves them.
        page.type_into("#mandrel", "12.4").await?;
        page.wait_checked().await?;
        let catch = "window.kept = []; const make = URL.createObjectURL; \
            URL.createObjectURL = b => { b.text().then(t => window.kept.push(t)); return make.call(URL, b); };";
        page.driver.execute(catch, vec![]).await?;
        page.click("#designs-button").await?;
        page.click("#save").await?;
        page.wait_until("window.kept.length > 0").await?;
        let saved: String = page.ask("window.kept[0]").await?;
        let saved: serde_json::Value = serde_json::from_str(&saved)?;
        assert_eq!(saved["class"], json!({"wind": "Ask: which saw? ", "saw": "Pull slowly."}));
        Ok(())
    });
}

/// The hand-out is printed by a button: every step drawn, with measure, notes and cautions; what
/// is typed by hand is text and nothing else.
#[test]
fn the_hand_out_is_printed() {
    on_page(Screen::DESK, async |page| {
        before_a_class(page).await?;
        page.click("#class-notes-shown").await?;
        page.element("#class-note").await?.send_keys("<b>Mind</b> the <script>saw").await?;
        page.driver
            .execute("window.printed = 0; window.print = () => { window.printed += 1; };", vec![])
            .await?;
        page.click("#handout-print").await?;
        page.wait_until("window.printed === 1").await?;
        page.devtools("Emulation.setEmulatedMedia", json!({ "media": "print" })).await?;
        let words = read(page, "handout").await?;
        for told in [
            "Evening-class bracelet",
            "1. Wind",
            "11. Chain of five",
            "Pitch ",
            "Mine: ____",
            "<b>Mind</b> the <script>saw",
            "Take care",
            "acid goes into water",
        ] {
            assert!(words.contains(told), "no {told} in {words}");
        }
        assert_eq!(
            page.ask::<usize>("document.querySelectorAll('#handout svg').length").await?,
            12
        );
        assert!(!page.element("#class").await?.is_displayed().await?);
        page.screenshot("handout").await?;
        let paper = page.devtools("Page.printToPDF", json!({})).await?;
        assert!(paper["data"].as_str().is_some_and(|pdf| pdf.len() > 10_000));
        page.driver.execute("dispatchEvent(new Event('afterprint'))", vec![]).await?;
        page.devtools("Emulation.setEmulatedMedia", json!({ "media": "" })).await?;
        assert!(page.element("#class").await?.is_displayed().await?);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
