//! What is kept and shared, under attack: links made to do harm, files that vanish, storage that is
//! truly full or truly forbidden. A sentence is given, and nothing is lost.

use crate::page::{Page, Screen, on_page, on_page_with};
use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD as LETTERS;
use serde_json::json;
use std::io::Write;
use thirtyfour::prelude::*;

/// A link's fragment with any text in it, whole in itself.
fn packed(text: &[u8]) -> String {
    let mut writer = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
    writer.write_all(text).unwrap();
    let small = writer.finish().unwrap();
    let mut bytes = crc32fast::hash(&small).to_le_bytes().to_vec();
    bytes.extend(small);
    format!("design.1.{}", LETTERS.encode(bytes))
}

async fn mandrel(page: &Page) -> WebDriverResult<String> {
    page.ask("document.getElementById('mandrel').value").await
}

/// What the page says once `#message` was emptied and the link followed.
async fn follow(page: &Page, fragment: &str) -> WebDriverResult<String> {
    let go = "document.getElementById('message').textContent = ''; location.hash = arguments[0];";
    page.driver.execute(go, vec![json!(fragment)]).await?;
    page.wait_text("#message").await
}

#[test]
fn a_link_made_to_do_harm_does_none() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        page.type_into("#mandrel", "12.6").await?;
        let size = |mandrel: &str| {
            format!(
                r#"{{"linkfold": 1, "wire": {{"diameter_mm": 0.9}}, "sizes": [{{"mandrel_mm": {mandrel}}}]}}"#
            )
        };
        let many = vec![r#"{"mandrel_mm": 12}"#; 20_000].join(",");
        let many =
            format!(r#"{{"linkfold": 1, "wire": {{"diameter_mm": 0.9}}, "sizes": [{many}]}}"#);
        let deep = format!(r#"{{"linkfold": 1, "wire": {}1"#, r#"{"a":"#.repeat(100_000));
        let cases: Vec<(&str, String)> = vec![
            ("no number", packed(size("NaN").as_bytes())),
            ("endless", packed(size("1e999").as_bytes())),
            ("below nothing", packed(size("-12").as_bytes())),
            ("nothing", packed(size("0").as_bytes())),
            ("vast", packed(size("1e300").as_bytes())),
            ("tiny", packed(size("1e-300").as_bytes())),
            ("a text", packed(size("\"12\"").as_bytes())),
            ("a list", packed(size("[12]").as_bytes())),
            ("no sizes", packed(br#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": []}"#)),
            ("twenty thousand sizes", packed(many.as_bytes())),
            ("deep", packed(deep.as_bytes())),
            ("a bomb", packed(&vec![b' '; 64 << 20])),
            ("of a later version", packed(br#"{"linkfold": 99, "chain": {}}"#)),
            ("not text", packed(b"\xff\xfe\x00")),
            ("longer than any", format!("design.1.{}", "A".repeat(2_000_000))),
            ("of the browser's own names", "__proto__".into()),
            ("percent signs", "design.1.%00%ff%".into()),
        ];
        for (name, link) in cases {
            let told = follow(page, &link).await?;
            assert!(told.starts_with("Cannot open the link: "), "{name}: {told}");
            assert!(told.ends_with("The design on the page stays as it was."), "{name}: {told}");
            assert!(told.chars().count() < 400, "{name}: {told}");
            assert_eq!(mandrel(page).await?, "12.6", "{name}");
        }
        page.screenshot("hostile-link-phone").await?;
        // Marks of a page in a name are letters of a name, wherever they are shown.
        let marked = r#"{"linkfold": 1, "name": "<img src=x onerror=alert(1)>\u202e\u0000", "notes": "<script>alert(2)</script>",
            "wire": {"diameter_mm": 0.9}, "sizes": [{"name": "\"><b id=evil>", "mandrel_mm": 12}]}"#;
        let told = follow(page, &packed(marked.as_bytes())).await?;
        assert!(
            told.contains("<img src=x onerror=alert(1)>\u{201d}"),
            "nothing that turns: {told}"
        );
        for press in [
            "#designs-button",
            "#keep",
            "#bench-part summary",
            "#sheet-open",
            "#sheet-close",
            "#class-open",
        ] {
            page.click(press).await?;
        }
        let foreign = "document.querySelectorAll('img, #evil').length";
        assert_eq!(page.ask::<usize>(foreign).await?, 0);
        // Beneath the buttons that stay in sight.
        let end = "document.getElementById('class').scrollTo(0, 1e5)";
        page.driver.execute(end, vec![]).await?;
        page.click("#class-leave").await?;
        page.click("#undo").await?;
        assert_eq!(mandrel(page).await?, "12.6");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A file that is gone, or may not be read, by the time the browser reads it.
#[test]
fn a_file_that_cannot_be_read_is_told() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let folder = std::env::temp_dir().join(format!("linkfold-gone-{}", std::process::id()));
        std::fs::create_dir_all(&folder)?;
        let path = folder.join("gone.json");
        std::fs::write(&path, "{}")?;
        // Taken away between the choice and the reading.
        let read = "const real = FileReader.prototype.readAsArrayBuffer; \
            FileReader.prototype.readAsArrayBuffer = function (file) { \
                setTimeout(() => real.call(this, file), 600); };";
        page.driver.execute(read, vec![]).await?;
        for (input, message) in [("#open-file", "#message"), ("#bench-file", "#bench-problem")] {
            if input == "#bench-file" {
                page.click("#bench-part summary").await?;
            }
            std::fs::write(&path, "{}")?;
            page.element(input).await?.send_keys(path.to_str().unwrap()).await?;
            std::fs::remove_file(&path)?;
            let told = page.wait_text(message).await?;
            assert!(told.contains("cannot read it"), "{input}: {told}");
            assert!(told.contains("stays as it was"), "{input}: {told}");
        }
        assert_eq!(mandrel(page).await?, "12");
        std::fs::remove_dir_all(&folder)?;
        Ok(())
    });
}

/// The browser's storage filled to its true end.
const FILL: &str = "let size = 1 << 22; let n = 0; \
    while (size >= 1) { try { localStorage.setItem('ballast' + n, 'x'.repeat(size)); n += 1; } \
    catch { size >>= 1; } } return n;";
const EMPTY: &str = "for (const key of Object.keys(localStorage)) \
    if (key.startsWith('ballast')) localStorage.removeItem(key);";

#[test]
fn storage_filled_to_the_brim_is_told_and_loses_nothing() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        page.click("#designs-button").await?;
        page.type_into("#keep-name", "Before the flood").await?;
        page.click("#keep").await?;
        page.click("#bench-part summary").await?;
        page.click("#costs summary").await?;
        page.type_into("#cost-metal", "1.5").await?;
        page.driver.execute(FILL, vec![]).await?;
        page.type_into("#mandrel", "12.123456789").await?;
        let told = page.wait_text("#unkept").await?;
        assert!(told.contains("storage for the page is full"), "{told}");
        page.type_into("#cost-metal", "1234567.125").await?;
        let told = page.wait_text("#bench-unkept").await?;
        assert!(told.starts_with("What you change of the bench is not kept"), "{told}");
        page.screenshot("full-bench-phone").await?;
        page.type_into("#keep-name", "In the flood").await?;
        page.click("#keep").await?;
        assert!(page.text("#message").await?.starts_with("Not kept: "));
        let there = "Object.keys(localStorage).filter(k => k.startsWith('linkfold/kept/'))";
        assert_eq!(page.ask::<Vec<String>>(there).await?, ["linkfold/kept/Before the flood"]);
        // Room again: the next change is kept, and the sentences go.
        page.driver.execute(EMPTY, vec![]).await?;
        page.type_into("#mandrel", "12.4").await?;
        page.type_into("#cost-metal", "2.5").await?;
        page.wait_until("!document.getElementById('unkept').textContent").await?;
        page.wait_until("!document.getElementById('bench-unkept').textContent").await?;
        page.driver.refresh().await?;
        page.wait_until("document.documentElement.dataset.state === 'ready'").await?;
        assert_eq!(mandrel(page).await?, "12.4");
        let price: String = page.ask("document.getElementById('cost-metal').value").await?;
        assert_eq!(price, "2.5");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A browser set to let pages keep nothing.
#[test]
fn a_browser_that_forbids_storage_is_borne() {
    let nothing = json!({ "profile.default_content_setting_values.cookies": 2 });
    on_page_with(Screen::DESK, nothing, async |page| {
        let refused =
            "(() => { try { localStorage; return 'given'; } catch (e) { return e.name; } })()";
        assert_eq!(page.ask::<String>(refused).await?, "SecurityError");
        page.wait_checked().await?;
        assert!(page.text("#unkept").await?.contains("does not let the page keep anything"));
        page.type_into("#mandrel", "13").await?;
        page.wait_checked().await?;
        page.click("#bench-part summary").await?;
        page.click("#costs summary").await?;
        page.type_into("#cost-metal", "1.5").await?;
        assert!(page.wait_text("#bench-unkept").await?.contains("does not let the page keep"));
        page.click("#designs-button").await?;
        assert!(page.text("#kept").await?.starts_with("Nothing can be kept"));
        page.click("#undo").await?;
        assert_eq!(mandrel(page).await?, "12");
        Ok(())
    });
}

/// A bench, and the design before this, of a later linkfold: put aside, told, not written over.
#[test]
fn what_a_later_linkfold_kept_is_not_written_over() {
    on_page(Screen::HAND, async |page| {
        page.wait_checked().await?;
        let later = "localStorage.setItem('linkfold.bench', '{\"linkfold_bench\": 9}'); \
            localStorage.setItem('linkfold/former', '{\"linkfold\": 9}');";
        page.driver.execute(later, vec![]).await?;
        page.driver.refresh().await?;
        page.wait_until("document.documentElement.dataset.state === 'ready'").await?;
        let told = page.text("#unkept").await?;
        assert!(told.starts_with("The bench of the last visit cannot be read"), "{told}");
        assert!(told.contains("put aside, under Designs"), "{told}");
        page.screenshot("later-bench-phone").await?;
        page.type_into("#mandrel", "13").await?;
        page.choose("#example", "1").await?;
        page.click("#bench-part summary").await?;
        page.click("#costs summary").await?;
        page.type_into("#cost-metal", "1.5").await?;
        let aside = "Object.keys(localStorage).filter(k => k.startsWith('linkfold/aside/')) \
            .map(k => localStorage.getItem(k)).sort()";
        assert_eq!(
            page.ask::<Vec<String>>(aside).await?[..1],
            ["{\"linkfold\": 9}".to_string()][..]
        );
        assert!(page.ask::<Vec<String>>(aside).await?.contains(&"{\"linkfold_bench\": 9}".into()));
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
