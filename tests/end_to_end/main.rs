//! The page as a maker meets it: our own server, a real browser, two sizes of screen.
#![cfg(unix)]

mod access;
mod arrival;
mod browsers;
mod class;
mod embed;
mod fault;
mod first;
mod hostile;
mod join;
mod keep;
mod map;
mod offline;
mod optimise;
mod out;
mod page;
mod pdf;
mod picture;
mod plan;
mod sheet;
mod sight;
mod soak;
mod stage;
mod told;
mod touch;
mod walk;
mod walks;

use page::{Screen, on_page};
use thirtyfour::Key;

#[test]
fn the_page_opens_and_says_ready_on_a_desk() {
    opens_and_says_ready(Screen::DESK, "ready-desk");
}

#[test]
fn the_page_opens_and_says_ready_on_a_phone() {
    opens_and_says_ready(Screen::PHONE, "ready-phone");
}

fn opens_and_says_ready(screen: Screen, name: &str) {
    on_page(screen, async |page| {
        page.screenshot(name).await?;
        let verdict = page.text("#verdict").await?;
        assert!(["Yes, ", "Probably yes"].iter().any(|w| verdict.starts_with(w)), "{verdict}");
        // Nothing sticks out to the right, least of all at 360 px.
        let wider = "return document.documentElement.scrollWidth - innerWidth;";
        let wider: i64 = page.driver.execute(wider, vec![]).await?.convert()?;
        assert!(wider <= 0, "the page is {wider} px too wide");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A maker types a wire too thick for the mandrel, and one that suits it.
#[test]
fn the_verdict_follows_the_wire() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#wire", "1.5").await?;
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("No, they cannot join"), "{verdict}");
        page.screenshot("too-thick-desk").await?;
        page.type_into("#wire", "0.03 in").await?;
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("Yes, they join."), "{verdict}");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// An impossible value is refused beside its field, in the label's words and the maker's
/// unit, with a value that works; the last good answer stays.
#[test]
fn an_impossible_mandrel_is_refused_in_words() {
    on_page(Screen::DESK, async |page| {
        let before = page.text("#figure-ratio").await?;
        page.type_into("#mandrel", "5").await?;
        let problem = page.text("#fault-mandrel_mm").await?;
        assert!(problem.starts_with("Mandrel is 5 mm: "), "{problem}");
        let (_, least) = problem.split_once("the smallest that can be shaped is ").expect(&problem);
        assert_eq!(page.text("#problem").await?, "");
        let mandrel = page.element("#mandrel").await?;
        assert_eq!(mandrel.attr("aria-invalid").await?.as_deref(), Some("true"));
        let described = mandrel.attr("aria-describedby").await?;
        // First by its fault, then by what its ring springs to, which is empty meanwhile.
        assert_eq!(described.as_deref(), Some("fault-mandrel_mm ring-springs"));
        assert_eq!(page.text("#ring-springs").await?, "");
        assert_eq!(page.text("#figure-ratio").await?, before);
        page.screenshot("refused-desk").await?;
        // What is called the smallest that can be shaped can be.
        let least = least.split(" (").next().unwrap_or(least);
        page.type_into("#mandrel", least).await?;
        assert_eq!(page.text("#fault-mandrel_mm").await?, "");
        page.type_into("#mandrel", "nonsense").await?;
        let problem = page.text("#fault-mandrel_mm").await?;
        assert!(problem.contains("is not a length"), "{problem}");
        page.type_into("#mandrel", "1/2\"").await?;
        assert_eq!(page.text("#fault-mandrel_mm").await?, "");
        assert_ne!(page.text("#figure-ratio").await?, before);
        Ok(())
    });
}

/// In inches everything a maker reads is in inches: faults, sentences, figures.
#[test]
fn a_maker_in_inches_reads_inches() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#unit", "inch").await?;
        for place in ["#verdict", "#reasons", "#panel-shape"] {
            let words = page.text(place).await?;
            assert!(words.contains(" in") && !words.contains(" mm"), "{place}: {words}");
        }
        page.type_into("#mandrel", "0.2").await?;
        let problem = page.text("#fault-mandrel_mm").await?;
        assert!(problem.starts_with("Mandrel is 0.2 in: "), "{problem}");
        assert!(!problem.contains("mm"), "{problem}");
        page.screenshot("refused-phone").await
    });
}

/// A wire that suits the size on the page but not another is refused beside the field that was
/// typed, with that size's name; the verdict goes at once.
#[test]
fn a_fault_in_another_size_is_told_beside_what_was_typed() {
    on_page(Screen::DESK, async |page| {
        page.choose("#example", "2").await?;
        page.choose("#size", "2").await?;
        let mut found = String::new();
        for wire in ["8 mm", "8.5 mm", "9 mm", "9.5 mm"] {
            page.type_into("#wire", wire).await?;
            found = page.text("#fault-wire").await?;
            if found.contains("back: ") {
                break;
            }
        }
        page.screenshot("other-size-desk").await?;
        assert!(found.starts_with("Wire ") && found.contains("back: "), "{found}");
        assert_eq!(page.text("#verdict").await?, "Not known: this wire cannot be made.");
        Ok(())
    });
}

/// 18 typed for millimetres takes the verdict away, names the wire, and offers the gauge.
#[test]
fn a_gauge_number_typed_as_millimetres_is_offered_as_gauge() {
    on_page(Screen::PHONE, async |page| {
        page.wait_checked().await?;
        page.type_into("#wire", "18").await?;
        assert!(page.text("#verdict").await?.starts_with("Not known: "));
        let fault = page.text("#fault-wire").await?;
        assert!(
            fault.starts_with("Wire 18 ") && fault.contains("18 gauge? That is 1.02 mm."),
            "{fault}"
        );
        assert_eq!(page.text("#reasons").await?, "");
        page.screenshot("gauge-offered-phone").await?;
        page.click("#fault-wire button").await?;
        assert_eq!(page.ask::<String>("document.getElementById('wire').value").await?, "AWG 18");
        let focus: String = page.ask("document.activeElement.id").await?;
        assert_eq!(focus, "wire");
        assert!(!page.wait_checked().await?.starts_with("Not known: "));
        page.type_into("#mandrel", "7/16\"").await?;
        assert_eq!(page.ask::<String>("document.getElementById('mandrel').value").await?, "7/16\"");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// Each view has its button and its panel; the slider goes along.
#[test]
fn a_view_is_chosen_with_its_button() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#example", "2").await?;
        page.look_at("join").await?;
        let pressed = page.element("#view-join").await?.attr("aria-pressed").await?;
        assert_eq!(pressed.as_deref(), Some("true"));
        let joins = page.text("#joins").await?;
        assert!(
            joins.contains("front through side") && joins.contains("side through front"),
            "{joins}"
        );
        assert!(!page.element("#panel-shape").await?.is_displayed().await?);
        let step: String = page
            .ask(
                "document.getElementById('time').ariaValueText ?? \
            document.getElementById('time').getAttribute('aria-valuetext')",
            )
            .await?;
        assert_eq!(step, "Join, 100 % done");
        page.screenshot("join-phone").await?;
        page.element("#panel-join").await?.scroll_into_view().await?;
        page.screenshot("joins-phone").await?;
        page.look_at("shape").await?;
        assert!(page.element("#panel-shape").await?.is_displayed().await?);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A damaged, foreign, later or huge file is refused in a sentence and nothing is lost; a
/// good one is opened, and what is saved is what stands on the page.
#[test]
fn a_design_is_opened_and_saved() {
    on_page(Screen::DESK, async |page| {
        let folder = std::env::temp_dir().join(format!("linkfold-files-{}", std::process::id()));
        std::fs::create_dir_all(&folder)?;
        let good = r#"{"linkfold": 1, "name": "Opened", "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 14}]}"#;
        let huge = format!("{good}{}", " ".repeat(2 << 20));
        let before = page.wait_checked().await?;
        for (name, bytes, told) in [
            ("damaged.json", &good.as_bytes()[..40], "line 1"),
            ("empty.json", b"", "line 1"),
            ("foreign.json", b"\x89PNG\xff\xfe", "not text"),
            ("other.json", br#"{"some": "thing"}"#, "some"),
            ("later.json", br#"{"linkfold": 2, "links": []}"#, "reads version 1"),
            ("huge.json", huge.as_bytes(), "bytes long"),
            (
                "small.json",
                br#"{"linkfold": 1, "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 4}]}"#,
                "the smallest that can be shaped",
            ),
        ] {
            let path = folder.join(name);
            std::fs::write(&path, bytes)?;
            page.element("#open-file").await?.send_keys(path.to_str().unwrap()).await?;
            let message = page.wait_text("#message").await?;
            assert!(message.contains(name) && message.contains(told), "{name}: {message}");
            assert!(message.contains("stays as it was"), "{name}: {message}");
            assert_eq!(page.text("#verdict").await?, before, "{name}");
        }
        page.screenshot("refused-file-desk").await?;
        let path = folder.join("good.json");
        std::fs::write(&path, good)?;
        page.element("#open-file").await?.send_keys(path.to_str().unwrap()).await?;
        assert_eq!(page.wait_text("#message").await?, "Opened \u{201c}good.json\u{201d}.");
        assert_eq!(page.ask::<String>("document.getElementById('mandrel').value").await?, "14");

        page.type_into("#mandrel", "15").await?;
        page.click("#designs-button").await?;
        // The file goes where the browser keeps downloads; here it is caught on its way.
        let catch = "window.caught = []; const make = URL.createObjectURL; \
            URL.createObjectURL = blob => { blob.text().then(t => window.caught.push(t)); return make.call(URL, blob); }; \
            HTMLAnchorElement.prototype.click = function () { window.caughtName = this.download; };";
        page.driver.execute(catch, vec![]).await?;
        page.click("#save").await?;
        let saved: Vec<String> = page
            .ask("await (async () => { while (!window.caught.length) await new Promise(r => setTimeout(r, 10)); return window.caught; })()")
            .await?;
        let saved = linkfold::documents::design::Design::parse(&saved[0])
            .expect("what is saved is a design");
        assert_eq!((saved.name.as_str(), saved.sizes[0].mandrel_mm), ("Opened", 15.0));
        assert_eq!(page.ask::<String>("window.caughtName").await?, "opened.json");
        // What is marked wrong would not be in the file.
        page.type_into("#mandrel", "nonsense").await?;
        page.click("#save").await?;
        assert!(page.text("#message").await?.starts_with("Not saved"));
        assert_eq!(page.ask::<usize>("window.caught.length").await?, 1);
        std::fs::remove_dir_all(&folder)?;
        Ok(())
    });
}

/// The wheel scrolls the page over the picture, and zooms once the picture has the focus or
/// with Ctrl.
#[test]
fn the_wheel_zooms_only_when_meant() {
    on_page(Screen::DESK, async |page| {
        let turn = |ctrl: bool| {
            format!(
                "(() => {{ const c = document.getElementById('picture'); \
            const e = new WheelEvent('wheel', {{ deltaY: -100, ctrlKey: {ctrl}, bubbles: true, cancelable: true }}); \
            c.dispatchEvent(e); return e.defaultPrevented; }})()"
            )
        };
        let picture = "document.getElementById('picture').toDataURL()";
        let before: String = page.ask(picture).await?;
        assert!(!page.ask::<bool>(&turn(false)).await?);
        assert_eq!(page.ask::<String>(picture).await?, before);
        assert!(page.ask::<bool>(&turn(true)).await?);
        assert_ne!(page.ask::<String>(picture).await?, before);
        page.click("#reset").await?;
        assert_eq!(page.ask::<String>(picture).await?, before);
        page.click("#picture").await?;
        assert!(page.ask::<bool>(&turn(false)).await?);
        Ok(())
    });
}

/// The steps on a phone, for the reader of the pictures: labels keep clear of one another.
#[test]
fn the_steps_are_drawn_on_a_phone() {
    on_page(Screen::PHONE, async |page| {
        page.wait_checked().await?;
        for (value, name) in [(0.2, "oval"), (0.4, "eight"), (1.0, "joined")] {
            page.slide(value).await?;
            page.element("#picture").await?.scroll_into_view().await?;
            page.screenshot(&format!("phone-{name}")).await?;
            let drawn: bool = page
                .ask("(() => { const c = document.getElementById('picture'); \
                    return c.getContext('2d').getImageData(0, 0, c.width, c.height).data.some(v => v > 0); })()")
                .await?;
            assert!(drawn, "{name}");
        }
        Ok(())
    });
}

/// The slider plays every step; each leaves a picture for the reader, light and dark.
#[test]
fn the_slider_shows_every_step() {
    on_page(Screen::DESK, async |page| {
        page.wait_checked().await?;
        let mut captions = Vec::new();
        for (value, name) in [
            (0.0, "ring"),
            (0.2, "oval"),
            (0.4, "eight"),
            (0.65, "fold"),
            (0.8, "joining"),
            (1.0, "joined"),
        ] {
            page.slide(value).await?;
            captions.push(page.text("#caption").await?);
            page.screenshot(&format!("step-{name}")).await?;
        }
        captions.dedup();
        // Ring and oval are one step, the joining is in two.
        assert_eq!(captions.len(), 5, "{captions:?}");
        let dark = serde_json::json!({
            "features": [{ "name": "prefers-color-scheme", "value": "dark" }]
        });
        page.devtools("Emulation.setEmulatedMedia", dark).await?;
        page.frames(4).await?;
        page.screenshot("joined-dark").await
    });
}

/// The chain's panel measures, bends as far as it goes, takes another weave; the drape hangs.
#[test]
fn the_chain_is_measured_bent_and_hung() {
    on_page(Screen::DESK, async |page| {
        page.look_at("chain").await?;
        let words = page.text("#chain-says").await?;
        assert!(words.contains("Each link adds"), "{words}");
        assert!(page.text("#chain-pitch").await?.contains("mm"));
        page.screenshot("chain-desk").await?;
        for about in ["x", "y", "z"] {
            page.choose("#chain-about", about).await?;
            page.set("chain-share", 100.0).await?;
            let caption = page.text("#caption").await?;
            assert!(caption.contains("no further"), "{about}: {caption}");
            page.screenshot(&format!("chain-bent-{about}-desk")).await?;
        }
        // A hand drawn across half the picture bends it to its limit, too, and no turn of the
        // work comes of it.
        page.set("chain-share", 0.0).await?;
        let caption = page.text("#caption").await?;
        assert!(caption.contains("links pulled straight"), "{caption}");
        page.click("#chain-hand").await?;
        let bent = "const c = document.getElementById('picture'); \
            const r = c.getBoundingClientRect(); \
            const fire = (kind, x) => c.dispatchEvent(new PointerEvent(kind, \
                {pointerId: 8, clientX: r.left + x, clientY: r.top + 50, bubbles: true})); \
            fire('pointerdown', 20); \
            for (let i = 1; i <= 10; i++) fire('pointermove', 20 + 0.06 * i * r.width); \
            fire('pointerup', 20 + 0.6 * r.width); \
            await new Promise(requestAnimationFrame); \
            return Number(document.getElementById('chain-share').value);";
        let share: f64 = page.driver.execute(bent, vec![]).await?.convert()?;
        assert_eq!(share, 100.0);
        let caption = page.text("#caption").await?;
        assert!(caption.contains("no further"), "{caption}");
        page.click("#chain-hand").await?;
        page.choose("#weave", "2").await?;
        let words = page.text("#chain-says").await?;
        assert!(words.contains("locks before it is straight"), "{words}");
        page.choose("#weave", "0").await?;
        page.look_at("drape").await?;
        assert!(page.text("#drape-depth").await?.contains("mm"));
        page.screenshot("drape-desk").await?;
        // A hand takes hold somewhere on the middle line, pulls, lets go.
        page.click("#drape-hand").await?;
        let pulled = "const c = document.getElementById('picture'); \
            const r = c.getBoundingClientRect(); \
            const fire = (kind, x, y) => c.dispatchEvent(new PointerEvent(kind, \
                {pointerId: 7, clientX: r.left + x, clientY: r.top + y, bubbles: true})); \
            const frame = () => new Promise(requestAnimationFrame); \
            for (let y = r.height - 10; y > 10; y -= 15) { \
                fire('pointerdown', r.width / 2, y); \
                fire('pointermove', r.width / 2 + 1, y); \
                await frame(); await frame(); \
                if (document.getElementById('caption').textContent.startsWith('In the hand')) { \
                    fire('pointermove', r.width / 2 + 60, y - 90); \
                    for (let i = 0; i < 20; i++) await frame(); \
                    return true; \
                } \
                fire('pointerup', r.width / 2, y); \
            } \
            return false;";
        let held: bool = page.driver.execute(pulled, vec![]).await?.convert()?;
        assert!(held, "nothing to hold on the middle line");
        page.screenshot("drape-pulled-desk").await?;
        // By keys: hangs otherwise while a joint is held, and as before once let go.
        let fire = "document.getElementById('picture').dispatchEvent(\
            new PointerEvent('pointerup', {pointerId: 7, bubbles: true}))";
        page.driver.execute(fire, vec![]).await?;
        let depth = page.text("#drape-depth").await?;
        let picture = page.element("#picture").await?;
        picture.send_keys(Key::Up + "").await?;
        let told = page.text("#drape-told").await?;
        assert!(told.contains("Joint 30 of 59 is held"), "{told}");
        picture.send_keys(Key::PageDown + "").await?;
        for _ in 0..6 {
            picture.send_keys(Key::Up + "").await?;
        }
        let told = page.text("#drape-told").await?;
        assert!(told.contains("Joint 31 of 59 is held"), "{told}");
        page.screenshot("drape-keys-desk").await?;
        picture.send_keys(Key::Enter + "").await?;
        assert_eq!(page.text("#drape-told").await?, "Let go.");
        assert_eq!(page.text("#drape-depth").await?, depth);
        page.click("#drape-hand").await?;
        for worn in ["wrist", "neck"] {
            page.choose("#drape-worn", worn).await?;
            let caption = page.text("#caption").await?;
            assert!(caption.contains("at rest") || caption.contains("apart"), "{worn}: {caption}");
            page.screenshot(&format!("drape-{worn}-desk")).await?;
        }
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// The metal panel: strain and advice, the anneal taken, springback fed to the verdict, the seam.
#[test]
fn the_metal_panel_answers_and_feeds_the_verdict() {
    on_page(Screen::DESK, async |page| {
        page.look_at("metal").await?;
        let panel = page.text("#panel-metal").await?;
        for words in ["Fine silver", "Anneal before the fold", "starts to stretch", "Take care"] {
            assert!(panel.contains(words), "no \"{words}\" in {panel}");
        }
        // Each part leads with a sentence; what is long is a tap away.
        let lists = "[...document.querySelectorAll('#panel-metal ul, #metal-steps')] \
            .filter(list => list.checkVisibility() && list.textContent).map(list => list.id)";
        assert_eq!(page.ask::<Vec<String>>(lists).await?, Vec::<String>::new());
        let leads = ["anneal", "springs", "tools", "hardest", "pull-first", "seam"];
        for lead in leads {
            let said = page.text(&format!("#metal-{lead}")).await?;
            assert!(said.ends_with('.') && said.len() > 20, "{lead}: {said}");
        }
        let open = "for (const part of document.querySelectorAll('#panel-metal details')) part.open = true;";
        page.driver.execute(open, vec![]).await?;
        for words in ["eye protection", "acid goes into water", "not a rating", "neck", "Children"]
        {
            assert!(page.text("#cautions").await?.contains(words), "no \"{words}\"");
        }
        page.screenshot("metal-desk").await?;
        // The picture says in words what it shows.
        let seen = page.element("#picture").await?.attr("aria-label").await?.unwrap();
        assert!(seen.contains("strain after the fold") && seen.contains("waist"), "{seen}");
        let fold: String = page.ask("document.getElementById('picture').toDataURL()").await?;
        page.choose("#strain-step", "1").await?;
        let stretch: String = page.ask("document.getElementById('picture').toDataURL()").await?;
        assert_ne!(fold, stretch);
        let seen = page.element("#picture").await?.attr("aria-label").await?.unwrap();
        assert!(seen.contains("strain after the stretch") && seen.contains("tip"), "{seen}");

        page.click("#anneal-fold").await?;
        let advice = page.text("#metal-anneal").await?;
        assert!(advice.contains("No further anneal"), "{advice}");

        page.choose("#metal", "titanium").await?;
        assert!(page.text("#metal-how").await?.contains("vacuum or inert gas"));
        page.choose("#metal", "sterling-silver").await?;
        assert!(page.text("#metal-state").await?.contains("Sterling"));

        let reasons = "document.getElementById('reasons').textContent";
        let before: String = page.ask(reasons).await?;
        page.click("#types-tools").await?;
        assert_ne!(page.ask::<String>(reasons).await?, before, "springback reaches the verdict");

        page.type_into("#seam", "nonsense").await?;
        assert!(page.text("#fault-seam").await?.contains("from 0 to 100"));
        page.type_into("#seam", "100").await?;
        assert_eq!(page.text("#fault-seam").await?, "");
        assert!(page.text("#metal-seam").await?.contains("Move the seam"));
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// On a phone and in inches: nothing too wide, no millimetres.
#[test]
fn the_metal_panel_fits_a_phone_and_speaks_inches() {
    on_page(Screen::PHONE, async |page| {
        page.choose("#unit", "inch").await?;
        page.look_at("metal").await?;
        let panel = page.text("#panel-metal").await?;
        assert!(panel.contains(" in") && !panel.contains(" mm"), "{panel}");
        let wider: i64 = page.ask("document.documentElement.scrollWidth - innerWidth").await?;
        assert!(wider <= 0, "{wider} px too wide");
        page.screenshot("metal-phone").await?;
        page.element("#panel-metal").await?.scroll_into_view().await?;
        page.screenshot("metal-panel-phone").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
