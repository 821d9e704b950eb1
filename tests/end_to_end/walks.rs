//! Three people at the page: a maker with a phone, a teacher with a projector, a student with an old
//! laptop. What each looks for stands where it is looked for, at every size of window.

use crate::access::violations;
use crate::page::{Page, Screen, on_page};
use std::time::Instant;
use thirtyfour::prelude::*;

/// Windows, CSS pixels: a phone, a tablet, a small laptop, that at 200 %, a projector.
const WINDOWS: [(&str, Screen); 5] = [
    ("390x844", Screen::HAND),
    ("820x1180", Screen::TABLET),
    ("1366x768", Screen::LAPTOP),
    ("683x384", Screen::ENLARGED),
    ("1920x1080", Screen::LARGE),
];

/// What is asked first, in its order.
const FIRST: [&str; 5] = ["verdict", "wire", "mandrel", "strip-part", "picture"];

/// Upper and lower edge of an element in the window, CSS pixels.
async fn edges(page: &Page, id: &str) -> WebDriverResult<[f64; 2]> {
    page.ask(&format!(
        "(r => [r.top, r.bottom])(document.getElementById('{id}').getBoundingClientRect())"
    ))
    .await
}

/// Writing that its own box cuts off.
const CLIPPED: &str = "[...document.querySelectorAll('header *, .answer *, #views *, #subviews *')] \
    .filter(e => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 \
    && getComputedStyle(e).overflow !== 'visible' && e.id !== 'design-name') \
    .map(e => `${e.tagName} ${e.id} ${e.textContent}`)";

/// Verdict, wire, mandrel, strip, picture: in this order, the first four on the first screen, and
/// of each view its own figures within one screen of its beginning.
#[test]
fn the_answer_stands_first_in_every_window() {
    for (name, screen) in WINDOWS {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.click("#tour-no").await?;
            page.wait_until(
                "!/being searched/.test(document.getElementById('strip-says').textContent)",
            )
            .await?;
            let high: f64 = page.ask("innerHeight").await?;
            let mut found = Vec::new();
            for id in FIRST {
                found.push((id, edges(page, id).await?));
            }
            let told: Vec<String> =
                found.iter().map(|(id, [top, end])| format!("{id} {top:.0} to {end:.0}")).collect();
            println!("{name}: {} of {high:.0}", told.join(", "));
            page.screenshot(&format!("first-{name}")).await?;
            for (id, [_, end]) in &found[..4] {
                assert!(*end <= high, "{name}: {id} ends at {end}, the screen at {high}");
            }
            assert!(found[0].1[0] <= found[1].1[0] && found[2].1[1] <= found[3].1[0], "{told:?}");
            // The picture begins on the first screen, below the strip or beside the verdict.
            assert!(found[4].1[0] < high - 60.0, "{told:?}");
            let clipped: Vec<String> = page.ask(CLIPPED).await?;
            assert!(clipped.is_empty(), "{name}: {clipped:#?}");
            let wider: i64 = page.ask("document.documentElement.scrollWidth - innerWidth").await?;
            assert!(wider <= 0, "{name}: {wider} px stick out");
            for view in page.views() {
                page.look_at(view.trim_start_matches("view-")).await?;
                let panel = format!("panel-{}", view.trim_start_matches("view-"));
                let figure = format!(
                    "(() => {{ const p = document.getElementById('{panel}'); \
                     const f = [...p.querySelectorAll('dd, #optimise-wishes output, #map-state, #metal-anneal')] \
                     .find(e => e.checkVisibility() && e.textContent.trim()); \
                     return f ? f.getBoundingClientRect().bottom \
                     - document.getElementById('views').getBoundingClientRect().top : -1; }})()"
                );
                page.wait_until(&format!("{figure} >= 0")).await?;
                let down: f64 = page.ask(&figure).await?;
                println!(
                    "{name}: first figure of {view} ends {down:.0} px below the tabs' upper edge"
                );
                assert!(down < high, "{name}: {view} shows its first figure {down} px down");
                if view == "view-metal" {
                    let long: f64 =
                        page.ask("document.getElementById('panel-metal').offsetHeight").await?;
                    println!("{name}: the metal panel is {long:.0} px long");
                }
            }
            let found = violations(page, name).await?;
            println!("{name}: axe finds {}", found.len());
            assert!(found.is_empty(), "{}", found.join("\n"));
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// A maker: two taps and two numbers to a proven verdict; what is wrong is said beside the field;
/// what to change is one tap away. On a phone first, and in every other window.
#[test]
fn a_maker_has_a_proven_verdict_by_two_taps_and_two_numbers() {
    for (name, screen) in WINDOWS {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.click("#tour-no").await?;
            let mut typed = Instant::now();
            for (field, number) in [("#wire", "0.8"), ("#mandrel", "11")] {
                let input = page.element(field).await?;
                input.click().await?;
                // As a phone does it: what stands in the field is marked by the tap.
                let marked = "(e => e.selectionEnd - e.selectionStart === e.value.length)(document.activeElement)";
                assert!(page.ask::<bool>(marked).await?, "a tap marks what is typed over");
                input.send_keys(number).await?;
                typed = Instant::now();
            }
            let verdict = page.wait_checked().await?;
            println!("{name}: from the last key to the proven verdict {:?}", typed.elapsed());
            assert!(verdict.starts_with("Yes, they join."), "{verdict}");
            assert_eq!(page.text("#basis").await?, "proven");
            page.screenshot(&format!("maker-proven-{name}")).await?;

            page.type_into("#wire", "18").await?;
            assert!(page.text("#verdict").await?.starts_with("Not known"));
            assert!(page.text("#fault-wire").await?.contains("18"));
            page.screenshot(&format!("maker-gauge-{name}")).await?;
            page.click("#fault-wire [data-means]").await?;
            page.type_into("#mandrel", "9").await?;
            let verdict = page.wait_checked().await?;
            assert!(verdict.starts_with("No"), "{verdict}");
            page.screenshot(&format!("maker-no-{name}")).await?;
            page.click("#change-first [data-suggestion]").await?;
            let verdict = page.wait_checked().await?;
            assert!(verdict.starts_with("Yes, they join."), "{verdict}");
            page.screenshot(&format!("maker-changed-{name}")).await?;
            page.look_at("metal").await?;
            page.screenshot(&format!("maker-metal-{name}")).await?;
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// A teacher: the link large, a class shown, the way stops where it sticks; a design that cannot be
/// joined is nowhere shown joined.
#[test]
fn a_teacher_shows_what_does_not_join_and_never_joined() {
    for (name, screen) in WINDOWS {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.click("#tour-no").await?;
            page.choose("#example", "3").await?;
            let verdict = page.wait_checked().await?;
            assert!(verdict.starts_with("No"), "{verdict}");
            page.screenshot(&format!("teacher-no-{name}")).await?;
            page.look_at("join").await?;
            page.slide(1.0).await?;
            let caption = page.text("#caption").await?;
            assert!(caption.contains("It sticks here: the wires would overlap by"), "{caption}");
            page.element("#picture").await?.scroll_into_view().await?;
            page.screenshot(&format!("teacher-sticks-{name}")).await?;
            for view in ["chain", "drape"] {
                page.look_at(view).await?;
                let caption = page.text("#caption").await?;
                assert!(caption.starts_with("No chain is shown"), "{view}: {caption}");
            }
            page.click("#class-open").await?;
            page.wait_until("/^No/.test(document.getElementById('class-verdict-0').textContent)")
                .await?;
            page.set("class-time", 12.0).await?;
            page.screenshot(&format!("teacher-class-{name}")).await?;
            page.click("#class-leave").await?;
            page.click("#bench-part summary").await?;
            page.click("#sheet-open").await?;
            let sheet: String =
                page.ask("document.getElementById('sheet-pages').textContent").await?;
            assert!(sheet.contains("No, they cannot join"), "{sheet}");
            page.screenshot(&format!("teacher-sheet-{name}")).await?;
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}

/// A student: the tour points at what is whole in the window, every view is read; on a laptop the
/// picture stays in sight while the panel is read.
#[test]
fn a_student_reads_every_view() {
    for (name, screen) in WINDOWS {
        on_page(screen, async |page| {
            page.wait_checked().await?;
            page.click("#tour-start").await?;
            for stop in 1..=8 {
                let whole = "(() => { const e = document.querySelector('[data-pointed=true]'); \
                    const r = e.getBoundingClientRect(); const a = e.closest('.work'); \
                    const clips = a && getComputedStyle(a).overflowX !== 'visible'; \
                    const box = clips ? a.getBoundingClientRect() : {left: 0, top: 0, right: innerWidth, bottom: innerHeight}; \
                    return [r.left - box.left, box.right - r.right, r.top - box.top]; })()";
                let space: [f64; 3] = page.ask(whole).await?;
                page.screenshot(&format!("student-tour-{stop}-{name}")).await?;
                // The frame is four pixels, four away.
                assert!(
                    space.iter().all(|space| *space >= 8.0),
                    "{name}, stop {stop}: its frame is cut: {space:?}"
                );
                page.click("#tour-next").await?;
            }
            for view in page.views() {
                page.look_at(view.trim_start_matches("view-")).await?;
                page.driver.execute("scrollTo(0, 0)", vec![]).await?;
                page.screenshot(&format!("student-{view}-{name}")).await?;
                page.element("#picture").await?.scroll_into_view().await?;
                page.screenshot(&format!("student-{view}-picture-{name}")).await?;
            }
            page.look_at("metal").await?;
            page.driver
                .execute("scrollTo(0, document.documentElement.scrollHeight)", vec![])
                .await?;
            let [top, end] = edges(page, "picture").await?;
            let high: f64 = page.ask("innerHeight").await?;
            let stays = page.ask::<f64>("innerWidth").await? > 1000.0;
            assert!(
                !stays || (top >= 0.0 && end <= high),
                "the picture stands from {top} to {end}"
            );
            page.screenshot(&format!("student-metal-{name}")).await?;
            assert_eq!(page.console_errors().await?, Vec::<String>::new());
            Ok(())
        });
    }
}
