//! What is taken out of the page, caught on its way and read by unrelated programs.

use crate::page::{Page, Screen, on_page};
use std::io::Cursor;
use std::path::Path;
use thirtyfour::error::WebDriverResult;

/// Keeps what would be downloaded.
const CATCH: &str = "window.caught = []; const make = URL.createObjectURL; \
    URL.createObjectURL = blob => { window.blob = blob; return make.call(URL, blob); }; \
    HTMLAnchorElement.prototype.click = function () { \
        window.caught.push([this.download, window.blob]); };";

/// Presses a button; name and bytes of the file that comes of it.
async fn taken(page: &Page, button: &str) -> WebDriverResult<(String, Vec<u8>)> {
    let take = "window.caught.length = 0; document.getElementById(arguments[0]).click(); \
        for (let i = 0; i < 18000 && !window.caught.length; i++) await new Promise(r => setTimeout(r, 10)); \
        const [name, blob] = window.caught[0] ?? ['', new Blob()]; \
        const bytes = new Uint8Array(await blob.arrayBuffer()); \
        let text = ''; \
        for (let i = 0; i < bytes.length; i += 8192) \
            text += String.fromCharCode(...bytes.subarray(i, i + 8192)); \
        return [name, btoa(text)];";
    let [name, text]: [String; 2] =
        page.driver.execute(take, vec![serde_json::json!(button)]).await?.convert()?;
    use base64::Engine;
    let bytes = base64::engine::general_purpose::STANDARD.decode(text).expect("base 64");
    Ok((name, bytes))
}

fn keep(name: &str, bytes: &[u8]) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("screenshots");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name), bytes).unwrap();
}

/// How far SVG and PNG of the same picture differ, as drawn by the browser: mean over all
/// points and colours, 0 to 255.
const DIFFERENCE: &str = "const load = async (blob) => { const i = new Image(); \
        i.src = URL.createObjectURL(blob); await i.decode(); return i; }; \
    const [svg, png] = [await load(arguments[0] && window.kept.svg), await load(window.kept.png)]; \
    const drawn = (image) => { const c = document.createElement('canvas'); \
        [c.width, c.height] = [png.naturalWidth, png.naturalHeight]; const p = c.getContext('2d'); \
        p.drawImage(image, 0, 0, c.width, c.height); \
        return p.getImageData(0, 0, c.width, c.height).data; }; \
    const [a, b] = [drawn(svg), drawn(png)]; let sum = 0; \
    for (let i = 0; i < a.length; i++) sum += Math.abs(a[i] - b[i]); \
    return [sum / a.length, png.naturalWidth, svg.naturalWidth / svg.naturalHeight * png.naturalHeight];";

/// The picture of every view as SVG and as PNG: well-formed, and the same to look at.
#[test]
fn every_view_is_taken_out_as_a_picture() {
    on_page(Screen::DESK, async |page| {
        page.driver.execute(CATCH, vec![]).await?;
        page.wait_checked().await?;
        page.click("#out summary").await?;
        for view in page.views() {
            if view == "view-optimise" {
                // Nothing is known of it yet; a moment later there is something to draw.
                let at_once = "for (const id of ['tab-find', 'view-optimise', 'out-svg']) { \
                    document.getElementById(id).click(); }";
                page.driver.execute(at_once, vec![]).await?;
                assert!(page.text("#out-says").await?.contains("there is no picture"));
                continue;
            }
            page.look_at(view.trim_start_matches("view-")).await?;
            if view == "view-map" {
                page.wait_until(
                    "document.getElementById('map-state').textContent.includes('point')\
                    || document.querySelectorAll('#map-table tr').length > 3",
                )
                .await?;
                // Both pictures are of the whole map.
                page.wait_settled().await?;
            }
            if view == "view-plan" {
                page.wait_until("!document.getElementById('plan-figures').hidden").await?;
            }
            let (name, svg) = taken(page, "out-svg").await?;
            assert_eq!(name, "evening-class-bracelet.svg");
            page.driver.execute("window.kept = { svg: window.caught[0][1] };", vec![]).await?;
            let text = String::from_utf8(svg).expect("text");
            let read = roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{view}: {e}"));
            let root = read.root_element();
            assert_eq!(root.tag_name().namespace(), Some("http://www.w3.org/2000/svg"));
            let marks = root
                .descendants()
                .filter(|n| n.has_tag_name((root.tag_name().namespace().unwrap(), "path")))
                .count();
            assert!(marks > 5, "{view}: {marks} marks");
            let title = root.children().find(|n| n.tag_name().name() == "title");
            assert!(title.and_then(|t| t.text()).is_some_and(|t| t.len() > 5), "{view}");
            keep(&format!("out-{view}.svg"), text.as_bytes());

            let (name, png) = taken(page, "out-png").await?;
            assert_eq!(
                (name.as_str(), &png[..8]),
                ("evening-class-bracelet.png", &b"\x89PNG\r\n\x1a\n"[..])
            );
            keep(&format!("out-{view}.png"), &png);
            page.driver.execute("window.kept.png = window.caught[0][1];", vec![]).await?;
            let found: [f64; 3] =
                page.driver.execute(DIFFERENCE, vec![serde_json::json!(true)]).await?.convert()?;
            let [difference, wide, as_svg] = found;
            let canvas: f64 = page.ask("document.getElementById('picture').clientWidth").await?;
            assert!(wide >= 2.0 * canvas - 1.0 && (as_svg - wide).abs() < 0.01 * wide, "{found:?}");
            println!(
                "{view}: {} kB of SVG, {difference:.2} of 255 from the PNG",
                text.len() / 1000
            );
            assert!(difference < 3.0, "{view}: {difference}");
        }
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Link and chain as solids; what cannot be is said and gives no file.
#[test]
fn the_work_is_taken_out_as_a_solid() {
    on_page(Screen::PHONE, async |page| {
        page.driver.execute(CATCH, vec![]).await?;
        page.wait_checked().await?;
        page.click("#out summary").await?;
        let (name, bytes) = taken(page, "out-stl").await?;
        assert_eq!(name, "evening-class-bracelet.stl");
        let link = stl_io::read_stl(&mut Cursor::new(bytes)).expect("an STL file");
        link.validate().expect("closed");
        let message = page.text("#out-says").await?;
        assert!(message.contains("STL, in mm") && message.contains("over all"), "{message}");

        page.choose("#out-what", "chain").await?;
        page.type_into("#out-links", "4").await?;
        page.type_into("#out-scale", "12,5").await?;
        page.element("#out").await?.scroll_into_view().await?;
        page.screenshot("out-phone").await?;
        let (name, bytes) = taken(page, "out-glb").await?;
        assert_eq!(name, "evening-class-bracelet.glb");
        let chain = gltf::Gltf::from_slice(&bytes).expect("a glTF file");
        assert_eq!(chain.nodes().count(), 4);
        let message = page.text("#out-says").await?;
        assert!(message.contains("between links"), "{message}");
        keep("out-chain.glb", &bytes);
        page.screenshot("out-done-phone").await?;

        for (field, typed, told) in [
            ("#out-links", "0", "from 1 to 400"),
            ("#out-links", "401", "from 1 to 400"),
            ("#out-links", "2.5", "whole number"),
            ("#out-links", "1e99", "from 1 to 400"),
            ("#out-links", "many", "not a number"),
            ("#out-scale", "0", "from 0.001 to 1000"),
            ("#out-scale", "-3", "from 0.001 to 1000"),
            ("#out-scale", "NaN", "from 0.001 to 1000"),
        ] {
            let good = page.element(field).await?.value().await?.unwrap_or_default();
            page.type_into(field, typed).await?;
            page.driver.execute("window.caught.length = 0;", vec![]).await?;
            page.click("#out-stl").await?;
            let message = page.text("#out-says").await?;
            assert!(message.contains(told), "{typed}: {message}");
            assert_eq!(page.ask::<usize>("window.caught.length").await?, 0, "{typed}");
            page.type_into(field, &good).await?;
        }
        page.screenshot("out-refused-phone").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Gauges and jigs on the plan's page: chosen, seen, saved; what cannot be made is said; the printer's
/// allowance, typed once, is in what is made next.
#[test]
fn gauges_and_jigs_are_chosen_seen_and_taken_out() {
    on_page(Screen::DESK, async |page| {
        page.driver.execute(CATCH, vec![]).await?;
        page.wait_checked().await?;
        page.look_at("plan").await?;
        page.click("#plan-jigs summary").await?;
        let made = "!document.getElementById('jig-made').hidden";
        page.choose("#jig-what", "plate").await?;
        page.wait_until(made).await?;
        let told = page.element("#picture").await?.attr("aria-label").await?.unwrap_or_default();
        assert!(told.contains("Gauge plate"), "{told}");
        page.screenshot("jig-plate").await?;
        let notes = page.text("#jig-notes").await?;
        assert!(notes.contains("may be off by"), "{notes}");
        assert!(page.text("#jig-cautions").await?.contains("torch"));
        let mut widths = Vec::new();
        for allowance in ["0", "0.3"] {
            page.type_into("#print-allowance", allowance).await?;
            page.wait_until(made).await?;
            let (name, bytes) = taken(page, "jig-stl").await?;
            assert_eq!(name, "evening-class-bracelet-gauge-plate.stl");
            assert!(bytes.starts_with(b"linkfold, mm. Plastic"), "no note in the file");
            let plate = stl_io::read_stl(&mut Cursor::new(bytes)).expect("an STL file");
            plate.validate().expect("closed");
            let across = plate.vertices.iter().map(|v| v.0[0]);
            widths.push(across.fold(0.0, f32::max));
        }
        // Two pockets beside one another, each wider by the allowance.
        assert!((widths[1] - widths[0] - 0.6).abs() < 1e-3, "{widths:?}");
        let (_, bytes) = taken(page, "jig-glb").await?;
        let plate = gltf::Gltf::from_slice(&bytes).expect("a glTF file");
        assert_eq!(plate.nodes().count(), 1);
        let (name, svg) = taken(page, "jig-svg").await?;
        assert_eq!(name, "evening-class-bracelet-gauge-plate.svg");
        let svg = String::from_utf8(svg).expect("text");
        roxmltree::Document::parse(&svg).expect("well-formed");
        assert!(svg.contains("torch"));
        for (what, expected) in [("mandrel", made), ("fold", made), ("test", made)] {
            page.choose("#jig-what", what).await?;
            page.wait_until(expected).await?;
            page.screenshot(&format!("jig-{what}")).await?;
        }
        page.choose("#jig-what", "waist").await?;
        let refused = "document.getElementById('jig-says').textContent.includes('no neck')";
        page.wait_until(refused).await?;
        page.choose("#jig-what", "").await?;
        page.wait_until("document.getElementById('jig-says').textContent === ''").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
