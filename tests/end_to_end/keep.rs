//! Undo, what the browser keeps from visit to visit, and links.

use crate::access::violations;
use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use linkfold::documents::design::Design;
use linkfold::documents::share;
use serde_json::json;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};
use thirtyfour::prelude::*;

async fn value(page: &Page, id: &str) -> WebDriverResult<String> {
    page.ask(&format!("document.getElementById('{id}').value")).await
}

async fn message(page: &Page) -> WebDriverResult<String> {
    page.wait_text("#message").await
}

/// Comes back later.
async fn come_back(page: &Page) -> WebDriverResult<()> {
    page.driver.refresh().await?;
    page.wait_until("document.documentElement.dataset.state === 'ready'").await
}

/// Whether the page takes Ctrl with a key for itself, with the focus where it is.
async fn takes_key(page: &Page, key: &str) -> WebDriverResult<bool> {
    page.ask(&format!(
        "(() => {{ const e = new KeyboardEvent('keydown', {{ key: '{key}', ctrlKey: true, \
         bubbles: true, cancelable: true }}); document.activeElement.dispatchEvent(e); \
         return e.defaultPrevented; }})()"
    ))
    .await
}

async fn not_too_wide(page: &Page) -> WebDriverResult<()> {
    let wider: i64 = page.ask("document.documentElement.scrollWidth - innerWidth").await?;
    assert!(wider <= 0, "the page is {wider} px too wide");
    Ok(())
}

/// Runs before every page that is loaded from now on.
async fn before_loading(page: &Page, script: &str) -> WebDriverResult<()> {
    page.devtools("Page.enable", json!({})).await?;
    let source = json!({ "source": script });
    page.devtools("Page.addScriptToEvaluateOnNewDocument", source).await.map(|_| ())
}

/// Typing keeps focus and caret, is undone number by number, and says what was undone.
#[test]
fn typing_is_undone_by_button_and_by_keys() {
    on_page(Screen::DESK, async |page| {
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "There is nothing to undo.");
        page.type_into("#mandrel", "13.5").await?;
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "Undone: mandrel 12 mm again.");
        assert_eq!(value(page, "mandrel").await?, "12");
        page.screenshot("undone-desk").await?;
        page.click("#redo").await?;
        assert_eq!(message(page).await?, "Redone: mandrel 13.5 mm.");
        assert_eq!(value(page, "mandrel").await?, "13.5");

        let wire = page.element("#wire").await?;
        wire.click().await?;
        wire.send_keys(Key::End + "").await?;
        wire.send_keys(Key::Left + "").await?;
        wire.send_keys("8").await?;
        let caret = "[document.activeElement.id, document.activeElement.value, \
            document.activeElement.selectionStart].join(' ')";
        assert_eq!(page.ask::<String>(caret).await?, "wire 0.89 3");
        wire.send_keys(Key::Control + "z").await?;
        assert_eq!(message(page).await?, "Undone: wire 0.9 mm again.");
        let focus: String = page.ask("document.activeElement.id").await?;
        assert_eq!((focus.as_str(), value(page, "wire").await?.as_str()), ("wire", "0.9"));
        wire.send_keys(Key::Control + "y").await?;
        assert_eq!(value(page, "wire").await?, "0.89");
        wire.send_keys(Key::Control + "z").await?;
        wire.send_keys(Key::Shift + (Key::Control + "z")).await?;
        assert_eq!(value(page, "wire").await?, "0.89");
        // In inches it is told in inches.
        page.choose("#unit", "inch").await?;
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "Undone: wire 0.035 in again.");
        // A teacher's note is part of the design: kept, and undone.
        let write = "const note = document.getElementById('class-note'); \
            note.value = 'Watch the tips'; \
            note.dispatchEvent(new Event('input', {bubbles: true}));";
        page.driver.execute(write, vec![]).await?;
        let kept = "localStorage.getItem('linkfold/page').includes('Watch the tips')";
        assert!(page.ask::<bool>(kept).await?);
        page.click("#undo").await?;
        assert!(message(page).await?.starts_with("Undone: note to the "));
        assert!(!page.ask::<bool>(kept).await?);
        Ok(())
    });
}

/// A text that is not in the design is the field's own to undo; the button puts it right.
#[test]
fn a_field_in_the_middle_of_an_edit_keeps_its_own_undo() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#mandrel", "13").await?;
        page.type_into("#wire", "nonsense").await?;
        page.element("#wire").await?.click().await?;
        assert!(!takes_key(page, "z").await?, "the field's own");
        assert_eq!(value(page, "wire").await?, "nonsense");
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "Undone: what could not be used.");
        assert_eq!(value(page, "wire").await?, "0.9");
        assert_eq!(page.text("#fault-wire").await?, "");
        page.click("#designs-button").await?;
        page.click("#keep-name").await?;
        assert!(!takes_key(page, "z").await?, "a name is no part of the design until it is kept");
        assert_eq!(value(page, "mandrel").await?, "13");
        page.click("#picture").await?;
        assert!(takes_key(page, "z").await?);
        assert_eq!(value(page, "mandrel").await?, "12");
        Ok(())
    });
}

/// Whatever changes the design is one step, and undone with the size looked at.
#[test]
fn every_kind_of_change_is_undone() {
    on_page(Screen::DESK, async |page| {
        // A hand on the map, over many places: one step.
        page.look_at("map").await?;
        let drag = "const c = document.getElementById('picture'), r = c.getBoundingClientRect(); \
            const fire = (kind, x, y) => c.dispatchEvent(new PointerEvent(kind, {pointerId: 1, \
                pointerType: 'mouse', clientX: r.left + x * r.width, clientY: r.top + y * r.height, \
                bubbles: true})); \
            fire('pointerdown', 0.5, 0.5); \
            for (let i = 0; i < 10; i++) fire('pointermove', 0.5 + 0.02 * i, 0.5 + 0.01 * i); \
            fire('pointerup', 0.68, 0.59);";
        page.driver.execute(drag, vec![]).await?;
        assert_ne!(value(page, "mandrel").await?, "12");
        page.click("#undo").await?;
        let told = message(page).await?;
        assert_eq!(told, "Undone: mandrel 12 mm, wire 0.9 mm again.");
        page.click("#redo").await?;
        page.click("#undo").await?;
        assert!(page.ask::<bool>("document.getElementById('undo').ariaDisabled === 'true'").await?);

        page.look_at("metal").await?;
        page.choose("#metal", "copper").await?;
        page.look_at("chain").await?;
        page.choose("#weave", "1").await?;
        page.choose("#example", "3").await?;
        page.look_at("join").await?;
        page.wait_until("document.querySelector('[data-suggestion]') !== null").await?;
        page.click("[data-suggestion]").await?;
        page.choose("#example", "2").await?;
        page.choose("#size", "2").await?;
        page.type_into("#mandrel", "15").await?;
        page.choose("#size", "0").await?;
        let mut told = Vec::new();
        for _ in 0..6 {
            page.click("#undo").await?;
            told.push(message(page).await?);
            if told.len() == 1 {
                assert_eq!(value(page, "size").await?, "2", "what was undone is in sight");
            }
        }
        assert_eq!(told[0], "Undone: front: mandrel 14.5 mm again.");
        assert_eq!(told[1], "Undone: the design \u{201c}Wire too thick\u{201d} again.");
        assert!(told[2].starts_with("Undone: "), "{told:?}");
        assert_eq!(told[3], "Undone: the design \u{201c}Evening-class bracelet\u{201d} again.");
        assert_eq!(told[4], "Undone: weave single again.");
        assert_eq!(told[5], "Undone: metal fine silver again.");
        assert_eq!(value(page, "example").await?, "0");
        let view: String =
            page.ask("document.querySelector('#subviews [aria-pressed=true]').id").await?;
        assert_eq!(view, "view-join", "the view stays");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Design, size, unit and gauge come back at the next visit.
#[test]
fn the_next_visit_goes_on_where_the_last_ended() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#example", "2").await?;
        page.choose("#unit", "inch").await?;
        page.choose("#size", "1").await?;
        page.type_into("#wire", "AWG 20").await?;
        page.type_into("#mandrel", "0.55").await?;
        let wire = value(page, "wire").await?;
        come_back(page).await?;
        for (id, expected) in [
            ("unit", "inch"),
            ("size", "1"),
            ("wire", &wire),
            ("mandrel", "0.55"),
            ("example", "2"),
        ] {
            assert_eq!(value(page, id).await?, expected, "{id}");
        }
        assert_eq!(page.text("#unkept").await?, "");
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "There is nothing to undo.");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Kept by name, listed, opened, renamed, deleted and brought back; on a phone.
#[test]
fn designs_are_kept_by_name() {
    on_page(Screen::PHONE, async |page| {
        page.screenshot("header-phone").await?;
        page.click("#designs-button").await?;
        assert!(page.text("#kept").await?.contains("None is kept"));
        for (name, mandrel) in
            [("Anna\u{2019}s bracelet", "13"), ("Trial of a long necklace", "14")]
        {
            page.type_into("#mandrel", mandrel).await?;
            page.type_into("#keep-name", name).await?;
            page.click("#keep").await?;
            assert_eq!(message(page).await?, format!("Kept as \u{201c}{name}\u{201d}."));
        }
        page.element("#designs").await?.scroll_into_view().await?;
        page.screenshot("designs-phone").await?;
        not_too_wide(page).await?;
        // Kept again after a change: no question.
        page.type_into("#mandrel", "14.5").await?;
        page.click("#keep").await?;
        assert!(message(page).await?.starts_with("Kept as"));

        come_back(page).await?;
        page.click("#designs-button").await?;
        page.click("#kept [data-kept=open]").await?;
        assert_eq!(message(page).await?, "Opened \u{201c}Anna\u{2019}s bracelet\u{201d}.");
        assert_eq!(value(page, "mandrel").await?, "13");
        // The one that was on the page is at hand, too.
        assert!(page.text("#kept").await?.contains("The one before"));

        page.click("#kept [data-kept=rename]").await?;
        page.screenshot("renaming-phone").await?;
        assert_eq!(violations(page, "designs").await?, Vec::<String>::new());
        page.type_into("#rename-to", "Trial of a long necklace").await?;
        page.click("#kept [data-kept=renamed]").await?;
        assert!(message(page).await?.starts_with("Not renamed: another design is kept as"));
        page.type_into("#rename-to", "Berta\u{2019}s bracelet").await?;
        let field = page.element("#rename-to").await?;
        field.send_keys(Key::Enter + "").await?;
        assert!(message(page).await?.contains("is now \u{201c}Berta\u{2019}s bracelet\u{201d}"));
        assert!(page.text("#kept").await?.contains("Berta\u{2019}s"));

        page.click("#kept [data-kept=delete]").await?;
        assert!(message(page).await?.starts_with("Deleted \u{201c}Berta\u{2019}s"));
        let focus: String = page.ask("document.activeElement.dataset.kept").await?;
        assert_eq!(focus, "back");
        page.screenshot("deleted-phone").await?;
        page.click("#kept [data-kept=back]").await?;
        assert!(message(page).await?.ends_with("is back."));
        assert!(page.text("#kept").await?.contains("Berta\u{2019}s bracelet"));
        page.type_into("#keep-name", " ").await?;
        page.click("#keep").await?;
        assert!(message(page).await?.starts_with("Not kept: give it a name"));
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Of two pages neither writes over what the other kept, unless the maker says so.
#[test]
fn two_windows_do_not_write_over_one_another() {
    on_page(Screen::DESK, async |page| {
        let keep = async |mandrel: &str| {
            page.type_into("#mandrel", mandrel).await?;
            page.type_into("#keep-name", "Shared").await?;
            page.click("#keep").await?;
            message(page).await
        };
        page.click("#designs-button").await?;
        assert_eq!(keep("13").await?, "Kept as \u{201c}Shared\u{201d}.");
        let (first, here) = (page.driver.window().await?, page.driver.current_url().await?);
        let second = page.driver.new_tab().await?;
        page.driver.switch_to_window(second).await?;
        page.open(here.as_str()).await?;
        page.click("#designs-button").await?;
        let told = keep("20").await?;
        assert!(told.starts_with("Not kept yet: another design is kept as"), "{told}");
        page.screenshot("taken-desk").await?;
        page.click("#keep").await?;
        let told = message(page).await?;
        assert_eq!(told, "Kept as \u{201c}Shared\u{201d}, in place of the one kept before.");
        page.driver.switch_to_window(first).await?;
        assert!(keep("14").await?.starts_with("Not kept yet"));
        page.click("#kept [data-kept=open]").await?;
        assert_eq!(value(page, "mandrel").await?, "20", "what the other kept is there");
        // Each window comes back with its own.
        page.type_into("#mandrel", "21").await?;
        come_back(page).await?;
        assert_eq!(value(page, "mandrel").await?, "21");
        Ok(())
    });
}

/// Two windows worked on: what was left in the other is listed, and the bench is one in both.
#[test]
fn what_two_windows_leave_is_there() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#mandrel", "13").await?;
        let (first, here) = (page.driver.window().await?, page.driver.current_url().await?);
        let second = page.driver.new_tab().await?;
        page.driver.switch_to_window(second).await?;
        page.open(here.as_str()).await?;
        assert_eq!(value(page, "mandrel").await?, "13");
        page.driver.switch_to_window(first.clone()).await?;
        page.type_into("#mandrel", "13.25").await?;
        page.driver.close_window().await?;
        let second = page.driver.windows().await?.pop().expect("it is open");
        page.driver.switch_to_window(second).await?;
        page.type_into("#mandrel", "14").await?;
        page.click("#bench-part summary").await?;
        page.click("#costs summary").await?;
        page.type_into("#cost-metal", "1.5").await?;

        let third = page.driver.new_tab().await?;
        page.driver.switch_to_window(third).await?;
        page.open(here.as_str()).await?;
        assert_eq!(value(page, "mandrel").await?, "14", "the one kept last");
        page.click("#designs-button").await?;
        let kept = page.text("#kept").await?;
        assert!(
            kept.contains("Put aside 1, from another window: Evening-class bracelet"),
            "{kept}"
        );
        page.screenshot("other-window-desk").await?;
        page.click("#kept [data-kept=open]").await?;
        assert_eq!(value(page, "mandrel").await?, "13.25");
        // The bench that one window changes is the other's.
        assert_eq!(value(page, "cost-metal").await?, "1.5");
        page.click("#bench-part summary").await?;
        page.click("#costs summary").await?;
        page.type_into("#cost-metal", "2.5").await?;
        let second = page.driver.windows().await?.swap_remove(0);
        page.driver.switch_to_window(second).await?;
        page.wait_until("document.getElementById('cost-metal').value === '2.5'").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Storage that is forbidden or full is said in a sentence, and the page works on.
#[test]
fn storage_that_does_not_serve_is_said() {
    on_page(Screen::DESK, async |page| {
        page.click("#designs-button").await?;
        page.type_into("#keep-name", "Kept before").await?;
        page.click("#keep").await?;
        let full = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError'); };";
        page.driver.execute(full, vec![]).await?;
        page.type_into("#mandrel", "13").await?;
        let told = page.wait_text("#unkept").await?;
        assert!(told.contains("storage for the page is full"), "{told}");
        page.click("#keep").await?;
        assert!(message(page).await?.contains("full"));
        page.screenshot("storage-full-desk").await?;
        assert!(page.wait_checked().await?.contains("they join"));
        come_back(page).await?;
        page.click("#designs-button").await?;
        assert!(page.text("#kept").await?.contains("Kept before"));

        let forbidden = "for (const name of ['localStorage', 'sessionStorage']) \
            Object.defineProperty(window, name, { get() { throw new DOMException('no', 'SecurityError'); } });";
        before_loading(page, forbidden).await?;
        come_back(page).await?;
        let told = page.text("#unkept").await?;
        assert!(told.contains("does not let the page keep anything"), "{told}");
        page.click("#designs-button").await?;
        assert!(page.text("#kept").await?.starts_with("Nothing can be kept"));
        page.screenshot("storage-forbidden-desk").await?;
        page.type_into("#mandrel", "14").await?;
        page.click("#keep").await?;
        assert!(message(page).await?.starts_with("Not kept: this browser"));
        page.click("#undo").await?;
        assert_eq!(message(page).await?, "Undone: mandrel 12 mm again.");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Storage whose every call throws, reads too.
#[test]
fn storage_that_throws_at_every_call_is_borne() {
    on_page(Screen::DESK, async |page| {
        let throwing = "for (const name of ['getItem', 'setItem', 'removeItem', 'key']) \
            Storage.prototype[name] = () => { throw new Error('broken'); };";
        before_loading(page, throwing).await?;
        come_back(page).await?;
        assert!(page.text("#unkept").await?.starts_with("What you change here is not kept"));
        page.click("#designs-button").await?;
        page.type_into("#mandrel", "13").await?;
        page.click("#keep").await?;
        assert!(message(page).await?.starts_with("Not kept"));
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// What cannot be read is neither wiped nor in the way.
#[test]
fn damaged_entries_are_put_aside_not_wiped() {
    on_page(Screen::PHONE, async |page| {
        let entries = "localStorage.setItem('linkfold/page', '{\"linkfold\": 7, \"rows\": []}'); \
            localStorage.setItem('linkfold/kept/Broken', 'garbage'); \
            localStorage.setItem('linkfold/habits', '[]'); sessionStorage.clear();";
        page.driver.execute(entries, vec![]).await?;
        come_back(page).await?;
        let told = page.text("#unkept").await?;
        assert!(told.contains("put aside, under Designs") && told.contains("version 1"), "{told}");
        page.screenshot("damaged-phone").await?;
        page.type_into("#mandrel", "13").await?;
        page.click("#designs-button").await?;
        let kept = page.text("#kept").await?;
        assert!(
            kept.contains("\u{201c}Broken\u{201d} cannot be read here")
                && kept.contains("Put aside 1"),
            "{kept}"
        );
        page.element("#kept").await?.scroll_into_view().await?;
        page.screenshot("damaged-list-phone").await?;
        not_too_wide(page).await?;
        page.type_into("#keep-name", "Broken").await?;
        page.click("#keep").await?;
        assert!(message(page).await?.contains("stays untouched"));
        let there = "[localStorage.getItem('linkfold/kept/Broken'), \
            localStorage.getItem('linkfold/aside/1')].join('|')";
        let there: String = page.ask(there).await?;
        assert_eq!(there, "garbage|{\"linkfold\": 7, \"rows\": []}");
        Ok(())
    });
}

fn necklace() -> Design {
    let text = include_str!("../../www/examples/swelling-necklace.json");
    Design { name: "From afar".into(), ..Design::parse(text).expect("an example is a design") }
}

/// The link is copied, or stands in a field to be copied by hand; either opens the design.
#[test]
fn a_link_is_copied() {
    on_page(Screen::PHONE, async |page| {
        let all = json!({ "permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"] });
        page.devtools("Browser.grantPermissions", all).await?;
        page.type_into("#mandrel", "13").await?;
        page.click("#designs-button").await?;
        page.click("#copy-link").await?;
        let told = message(page).await?;
        assert!(told.starts_with("Link copied: ") && told.contains(" letters"), "{told}");
        let link: String = page.ask("await navigator.clipboard.readText()").await?;
        let (_, fragment) = link.split_once('#').expect(&link);
        assert_eq!(share::design(fragment).expect(&link).sizes[0].mandrel_mm, 13.0);

        for gone in ["{ writeText: () => Promise.reject(new Error('no')) }", "undefined"] {
            let refuse = format!(
                "Object.defineProperty(navigator, 'clipboard', {{ configurable: true, value: {gone} }});"
            );
            page.driver.execute(&refuse, vec![]).await?;
            page.type_into("#mandrel", "12").await?;
            page.click("#copy-link").await?;
            assert!(message(page).await?.contains("copy the link from its field"), "{gone}");
            let link = value(page, "link").await?;
            let (_, fragment) = link.split_once('#').expect(&link);
            assert_eq!(share::design(fragment).expect(&link).sizes[0].mandrel_mm, 12.0);
            let selected: bool = page
                .ask(
                    "(() => { const f = document.activeElement; return f.id === 'link' && \
                      f.selectionEnd - f.selectionStart === f.value.length; })()",
                )
                .await?;
            assert!(selected, "ready to be copied");
        }
        page.screenshot("link-phone").await?;
        not_too_wide(page).await?;
        page.type_into("#wire", "nonsense").await?;
        page.click("#copy-link").await?;
        assert!(message(page).await?.starts_with("No link: first put right"));
        Ok(())
    });
}

/// A good link is opened, at the start and later; the design before is had back by undo.
/// A bad one is refused in a sentence and nothing is lost.
#[test]
fn a_link_is_followed() {
    on_page(Screen::DESK, async |page| {
        let here = page.driver.current_url().await?.to_string();
        page.type_into("#mandrel", "13").await?;
        let good = share::fragment(&necklace()).expect("it is short");
        let follow = async |fragment: &str| {
            page.driver.execute("location.hash = arguments[0];", vec![json!(fragment)]).await?;
            message(page).await
        };
        let told = follow(&good).await?;
        assert!(told.starts_with("Opened \u{201c}From afar\u{201d} from the link."), "{told}");
        assert_eq!(value(page, "mandrel").await?, "11.5");
        page.screenshot("link-opened-desk").await?;
        assert_eq!(page.driver.current_url().await?.as_str(), here, "it is not opened over again");
        page.click("#undo").await?;
        assert_eq!(value(page, "mandrel").await?, "13");

        // As the page is opened: what the last visit left is not lost, either.
        page.driver.goto("about:blank").await?;
        page.open(&format!("{here}#{good}")).await?;
        assert_eq!(value(page, "mandrel").await?, "11.5");
        assert!(message(page).await?.contains("Undo brings back the one before"));
        page.click("#undo").await?;
        assert_eq!(value(page, "mandrel").await?, "13");

        let mut altered = good.clone().into_bytes();
        altered[40] = if altered[40] == b'A' { b'B' } else { b'A' };
        let altered = String::from_utf8(altered).expect("letters");
        for (fragment, told) in [
            (&good[..good.len() / 2], "damaged"),
            (&altered, "missing or changed"),
            ("design.1.", "cut short"),
            ("design.3.AAAA", "of version 3"),
            ("elsewhere", "is not a design"),
        ] {
            let found = follow(fragment).await?;
            assert!(found.starts_with("Cannot open the link: "), "{fragment}: {found}");
            assert!(
                found.contains(told) && found.contains("stays as it was"),
                "{fragment}: {found}"
            );
            assert_eq!(value(page, "mandrel").await?, "13");
            page.driver
                .execute("document.getElementById('message').textContent = ''", vec![])
                .await?;
        }
        // A place on the page is not a link.
        page.driver.execute("location.hash = 'picture';", vec![]).await?;
        page.ask::<i64>("0").await?;
        assert_eq!(page.text("#message").await?, "");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Hands everything on to the page's server, and writes down what the browser sends.
fn relay(to: String) -> (String, Arc<Mutex<Vec<u8>>>) {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let address = format!("http://{}/", listener.local_addr().expect("it is bound"));
    let heard = Arc::new(Mutex::new(Vec::new()));
    let notes = heard.clone();
    std::thread::spawn(move || {
        for mut browser in listener.incoming().map_while(Result::ok) {
            let Ok(mut server) = TcpStream::connect(&to) else { return };
            let (notes, mut back) =
                (notes.clone(), (server.try_clone().unwrap(), browser.try_clone().unwrap()));
            std::thread::spawn(move || std::io::copy(&mut back.0, &mut back.1));
            std::thread::spawn(move || {
                let mut bytes = [0; 4096];
                while let Ok(count @ 1..) = browser.read(&mut bytes) {
                    notes.lock().unwrap().extend(&bytes[..count]);
                    if server.write_all(&bytes[..count]).is_err() {
                        return;
                    }
                }
            });
        }
    });
    (address, heard)
}

/// Everything the browser sends while a link is opened and the design worked on: no byte of it
/// is the design's.
#[test]
fn the_design_in_a_link_is_sent_nowhere() {
    on_page(Screen::DESK, async |page| {
        let server = Stage::shared().page_address.clone();
        let server = server.trim_start_matches("http://").trim_end_matches('/').to_string();
        let (address, heard) = relay(server);
        let fragment = share::fragment(&necklace()).expect("it is short");
        page.open(&format!("{address}#{fragment}")).await?;
        assert_eq!(value(page, "mandrel").await?, "11.5");
        page.wait_checked().await?;
        let heard = String::from_utf8_lossy(&heard.lock().unwrap()).to_string();
        assert!(heard.contains("GET / ") && heard.contains("linkfold_bg.wasm"), "{heard}");
        assert!(!heard.contains("design.1") && !heard.contains(&fragment[20..40]), "{heard}");
        assert!(!heard.contains("POST") && !heard.contains("From afar"), "{heard}");
        Ok(())
    });
}
