//! Will it go through: proven off the page's thread, played, changed by a suggestion.

use crate::page::{CHECKED, Screen, on_page};
use serde_json::json;
use std::time::Instant;

/// The design the page opens with is proven to pass; its way is played in words and pictures,
/// in either order of work.
#[test]
fn the_opening_design_is_proven_and_its_way_is_played() {
    on_page(Screen::DESK, async |page| {
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("Yes, they join. Tightest clearance "), "{verdict}");
        page.look_at("join").await?;
        let basis = page.text("#join-basis").await?;
        assert!(basis.starts_with("Proven") && !basis.contains("Checking"), "{basis}");
        assert!(page.text("#figure-rest").await?.ends_with(" mm"));
        page.screenshot("join-proven-desk").await?;
        let mut captions = Vec::new();
        for i in 0..=24 {
            let time = 0.652 + 0.348 * f64::from(i) / 24.0;
            page.slide(time).await?;
            let caption = page.text("#caption").await?;
            let words = caption.split('.').next().unwrap_or_default().to_string();
            if captions.last() != Some(&words) {
                page.screenshot(&format!("way-{}", captions.len())).await?;
                captions.push(words);
            }
        }
        assert_eq!(captions.len(), 5, "{captions:?}");
        page.click("#tightest").await?;
        let caption: String = page.ask("document.getElementById('caption').textContent").await?;
        assert!(caption.contains("About here it is tightest"), "{caption}");
        page.screenshot("way-tightest").await?;
        let picture = "document.getElementById('picture').toDataURL()";
        let before: String = page.ask(picture).await?;
        page.click("#way-1").await?;
        page.click("#tightest").await?;
        assert_ne!(page.ask::<String>(picture).await?, before);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A wire too thick does not pass, says why and what would make it pass; the suggestion taken changes the design
/// and the verdict.
#[test]
fn a_suggestion_that_is_taken_changes_the_design_and_the_verdict() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        page.choose("#example", "3").await?;
        let at_once = page.text("#verdict").await?;
        assert!(at_once.starts_with("Probably not") || at_once.starts_with("No"), "{at_once}");
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("No, they cannot join"), "{verdict}");
        page.look_at("join").await?;
        page.click("#tightest").await?;
        let caption: String = page.ask("document.getElementById('caption').textContent").await?;
        assert!(caption.contains("the wires would overlap by"), "{caption}");
        page.screenshot("does-not-pass-desk").await?;
        page.element("#suggestions").await?.scroll_into_view().await?;
        page.screenshot("suggestions-desk").await?;
        let mandrel = "[...document.querySelectorAll('#suggestions li')] \
            .find(li => li.textContent.includes('Use a mandrel of '))";
        let suggestion: String = page.ask(&format!("{mandrel}.textContent")).await?;
        assert!(suggestion.contains("); proven."), "{suggestion}");
        page.driver.execute(format!("{mandrel}.querySelector('button').click()"), vec![]).await?;
        let mandrel: String = page.ask("document.getElementById('mandrel').value").await?;
        let mandrel: f64 = mandrel.parse().unwrap();
        assert!(
            mandrel > 11.0 && suggestion.contains(&format!("{mandrel}")),
            "{mandrel}, {suggestion}"
        );
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("Yes, they join. Tightest clearance "), "{verdict}");
        assert!(!page.element("#suggestions-part").await?.is_displayed().await?);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Every join of a taper can be looked at; on a phone all of it fits.
#[test]
fn a_join_between_sizes_is_looked_at_on_a_phone() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#example", "2").await?;
        page.wait_checked().await?;
        page.look_at("join").await?;
        page.choose("#join-shown", "4").await?;
        page.wait_until("!document.getElementById('ways').hidden").await?;
        let message = page.wait_text("#join-says").await?;
        assert!(message.contains("they join"), "{message}");
        page.click("#tightest").await?;
        page.element("#picture").await?.scroll_into_view().await?;
        page.screenshot("way-phone").await?;
        page.element("#panel-join").await?.scroll_into_view().await?;
        page.screenshot("join-panel-phone").await?;
        let wider = "document.documentElement.scrollWidth - innerWidth";
        assert!(page.ask::<i64>(wider).await? <= 0);
        // In time every join is proven, not only those looked at.
        page.wait_until("!document.getElementById('joins').textContent.includes('estimate')")
            .await?;
        Ok(())
    });
}

/// Keeps what is asked of workers and neither answered nor ended in `window.busy`.
const BUSY: &str = "window.busy = new Map(); const heard = new WeakSet(); \
    const { postMessage, terminate } = Worker.prototype; \
    Worker.prototype.postMessage = function (m) { \
        if (m.serial !== undefined) { \
            window.busy.set(m.serial, this); \
            if (!heard.has(this)) { heard.add(this); \
                this.addEventListener('message', (e) => window.busy.delete(e.data.serial)); } } \
        return postMessage.call(this, m); }; \
    Worker.prototype.terminate = function () { \
        for (const [serial, worker] of window.busy) \
            if (worker === this) window.busy.delete(serial); \
        return terminate.call(this); };";

/// A design changed again and again while all workers fill a map that then is another: they are ended in the very event,
/// the page answers at once by estimate, one proof alone is asked for before the typing pauses, and the verdict is
/// that of the last design.
#[test]
fn while_typing_goes_on_one_design_after_the_other_is_checked() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        page.driver.execute(BUSY, vec![]).await?;
        page.look_at("map").await?;
        // Changed twice within one task of the page: the first cannot have been answered.
        let change = "const frame = () => new Promise(requestAnimationFrame); \
            const most = Math.min(Math.max(navigator.hardwareConcurrency ?? 1, 1), 4); \
            return (async () => { \
            while (window.busy.size < most) await frame(); \
            const bore = document.querySelector('[data-field=\"bore_mm\"]'); \
            for (const value of ['2.2', '2.3']) { bore.value = value; \
            bore.dispatchEvent(new Event('input', {bubbles: true})); } \
            return [document.getElementById('verdict').dataset.basis, \
            document.getElementById('checking').textContent, String(window.busy.size)]; })();";
        let since = Instant::now();
        let shown: Vec<String> = page.driver.execute(change, vec![]).await?.convert()?;
        assert_eq!(shown, ["estimate", "Checking…", "1"]);
        let verdict = page.wait_checked().await?;
        println!("from a changed design to its proof: {:?}", since.elapsed());
        assert!(verdict.starts_with("Yes, they join. Tightest clearance "), "{verdict}");
        page.type_into("#mandrel", "12.5").await?;
        page.wait_checked().await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A search at work is stopped once the design is another, and the worker that stands ready answers in
/// its place. Printed: from the stop to the next proof, and from a question to its proof by a worker
/// that was idle.
#[test]
fn what_is_no_longer_wanted_is_stopped() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        // First proofs, ms: `idle` from its question, `after` from the end of the worker before.
        let watch = "window.at = {ended: [], asked: {}}; const heard = new WeakSet(); \
            const end = Worker.prototype.terminate, post = Worker.prototype.postMessage; \
            Worker.prototype.terminate = function () { \
                window.at.ended.push(performance.now()); return end.call(this); }; \
            Worker.prototype.postMessage = function (m) { \
                window.at.asked[m.serial] = performance.now(); \
                if (!heard.has(this)) { heard.add(this); this.addEventListener('message', (e) => { \
                    if (!e.data.answer?.proven) return; \
                    const now = performance.now(); window.at.idle ??= now - window.at.asked[e.data.serial]; \
                    if (window.at.ended.length) window.at.after ??= now - window.at.ended.at(-1); \
                }); } \
                return post.call(this, m); };";
        page.driver.execute(watch, vec![]).await?;
        page.time(&[CHECKED]).await?;
        page.type_into("#mandrel", "12.5").await?;
        page.wait_checked().await?;
        let [told]: [f64; 1] = page.ask("window.since").await?;
        let idle: f64 = page.ask("window.at.idle").await?;
        page.driver.execute("window.at.ended = [];", vec![]).await?;
        page.hold_searches().await?;
        page.look_at("optimise").await?;
        page.wait_until("!document.getElementById('optimise-stop').hidden").await?;
        page.type_into("#mandrel", "12").await?;
        assert!(page.wait_checked().await?.starts_with("Yes, they join."));
        assert!(page.ask::<usize>("window.at.ended.length").await? >= 1, "the search went on");
        let after: f64 = page.ask("window.at.after").await?;
        println!(
            "told {told:.0} ms after the last letter, {idle:.0} ms of it an idle worker's; \
            from a stop to the next {after:.0} ms"
        );
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A worker that fails on one design is asked again about the next.
#[test]
fn a_worker_that_fails_is_started_anew() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let stumble = "window.post = Worker.prototype.postMessage; \
            Worker.prototype.postMessage = function (m) { \
            return window.post.call(this, m instanceof WebAssembly.Module ? m : 'no request'); };";
        page.driver.execute(stumble, vec![]).await?;
        page.type_into("#mandrel", "12.5").await?;
        page.wait_until("document.getElementById('checking').textContent.includes('stands')")
            .await?;
        page.driver.execute("Worker.prototype.postMessage = window.post;", vec![]).await?;
        page.type_into("#mandrel", "12.4").await?;
        assert!(page.wait_checked().await?.starts_with("Yes, they join."));
        Ok(())
    });
}

/// Where the browser does not tell of its processors, one worker does everything.
#[test]
fn without_a_count_of_processors_there_is_one_worker() {
    on_page(Screen::DESK, async |page| {
        page.devtools("Page.enable", json!({})).await?;
        let alone = "delete Navigator.prototype.hardwareConcurrency; window.together = 0; \
            const asked = new Set(), heard = new WeakSet(), post = Worker.prototype.postMessage; \
            Worker.prototype.postMessage = function (m) { \
                if (m.serial !== undefined) { \
                    asked.add(m.serial); \
                    window.together = Math.max(window.together, asked.size); \
                    if (!heard.has(this)) { heard.add(this); \
                        const hear = this.onmessage; \
                        this.onmessage = (e) => { asked.delete(e.data.serial); hear.call(this, e); }; \
                    } } \
                return post.call(this, m); };";
        let script = json!({ "source": alone });
        page.devtools("Page.addScriptToEvaluateOnNewDocument", script).await?;
        let here = page.driver.current_url().await?;
        page.open(here.as_str()).await?;
        page.wait_checked().await?;
        page.look_at("map").await?;
        page.wait_until("document.getElementById('map-table').rows.length > 0").await?;
        assert_eq!(page.ask::<usize>("window.together").await?, 1);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Where the browser gives no worker the estimate stands and the page says so.
#[test]
fn without_a_worker_the_estimate_stands() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let away = "Worker.prototype.postMessage = function () { throw new Error('none'); };";
        page.driver.execute(away, vec![]).await?;
        page.type_into("#mandrel", "12.5").await?;
        let told = "document.getElementById('checking').textContent";
        page.wait_until(&format!("{told}.includes('the estimate stands')")).await?;
        assert!(page.text("#verdict").await?.contains("estimate"));
        Ok(())
    });
}
