//! One page in a browser window of its own, and what a person does with it.

pub use crate::stage::PATIENCE;
use crate::stage::{Stage, connect};
use serde_json::json;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::Path;
use std::time::{Duration, Instant};
use thirtyfour::prelude::*;

/// The part of a screen the page fills, in CSS pixels.
#[derive(Clone, Copy)]
pub struct Screen {
    width: u32,
    height: u32,
    phone: bool,
}

impl Screen {
    pub const DESK: Screen = Screen { width: 1280, height: 800, phone: false };
    pub const PHONE: Screen = Screen { width: 360, height: 640, phone: true };
    /// A phone as many are.
    pub const HAND: Screen = Screen { width: 390, height: 844, phone: true };
    /// A phone held across.
    pub const ACROSS: Screen = Screen { width: 640, height: 360, phone: true };
    pub const TABLET: Screen = Screen { width: 820, height: 1180, phone: true };
    pub const LAPTOP: Screen = Screen { width: 1366, height: 768, phone: false };
    /// That laptop at 200 %.
    pub const ENLARGED: Screen = Screen { width: 683, height: 384, phone: false };
    pub const LARGE: Screen = Screen { width: 1920, height: 1080, phone: false };
    pub const PROJECTOR: Screen = Screen { width: 1280, height: 720, phone: false };

    /// A window of this size on a desk.
    pub fn of(width: u32, height: u32) -> Screen {
        Screen { width, height, phone: false }
    }
}

/// An open page.
pub struct Page {
    /// For whatever the helpers below do not cover.
    pub driver: WebDriver,
}

/// Opens the page, waits until it is ready, does `body`, and closes the browser even if
/// `body` panics.
pub fn on_page(screen: Screen, body: impl AsyncFnOnce(&Page) -> WebDriverResult<()>) {
    on_page_with(screen, json!({}), body);
}

/// As [`on_page`], in a browser with these settings of its own.
pub fn on_page_with(
    screen: Screen,
    settings: serde_json::Value,
    body: impl AsyncFnOnce(&Page) -> WebDriverResult<()>,
) {
    let stage = Stage::shared();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime needs only memory");
    let page = runtime.block_on(Page::new(&stage, screen, settings)).expect("the browser starts");
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        runtime.block_on(async {
            page.open(&stage.page_address).await?;
            body(&page).await
        })
    }));
    let closed = runtime.block_on(page.driver.quit());
    match outcome {
        Err(panic) => resume_unwind(panic),
        Ok(done) => done.and(closed).expect("the browser does as told"),
    }
}

/// Whether the verdict is that on the design as it stands.
pub const CHECKED: &str = "document.getElementById('verdict').dataset.basis !== 'estimate' \
     && document.getElementById('checking').textContent === ''";

impl Page {
    async fn new(
        stage: &Stage,
        screen: Screen,
        settings: serde_json::Value,
    ) -> WebDriverResult<Page> {
        let mut wishes = DesiredCapabilities::chrome();
        wishes.set_headless()?;
        // As root, as in a container, Chromium refuses to start with its sandbox.
        wishes.set_no_sandbox()?;
        wishes.set_disable_dev_shm_usage()?;
        let logs = json!({ "browser": "ALL", "performance": "ALL" });
        wishes.set("goog:loggingPrefs", logs)?;
        wishes.add_experimental_option("prefs", settings)?;
        let driver = connect(&stage.driver_address, wishes.into()).await?;
        let page = Page { driver };
        let size = json!({
            "width": screen.width,
            "height": screen.height,
            "deviceScaleFactor": if screen.phone { 2 } else { 1 },
            "mobile": screen.phone,
        });
        page.devtools("Emulation.setDeviceMetricsOverride", size).await?;
        let touch = json!({ "enabled": screen.phone });
        page.devtools("Emulation.setTouchEmulationEnabled", touch).await?;
        Ok(page)
    }

    /// Goes to `address` and waits until the page says it is ready.
    pub async fn open(&self, address: &str) -> WebDriverResult<()> {
        self.driver.goto(address).await?;
        let since = Instant::now();
        loop {
            let state = self.element("html").await?.attr("data-state").await?;
            match state.as_deref() {
                Some("ready") => return Ok(()),
                None if since.elapsed() < PATIENCE => {
                    tokio::time::sleep(Duration::from_millis(20)).await;
                }
                other => panic!("{other:?}: {}", self.text("body").await?),
            }
        }
    }

    /// The first element a CSS selector finds.
    pub async fn element(&self, css: &str) -> WebDriverResult<WebElement> {
        self.driver.find(By::Css(css)).await
    }

    /// The text a person sees there.
    pub async fn text(&self, css: &str) -> WebDriverResult<String> {
        self.element(css).await?.text().await
    }

    /// Clicks into an input, types over what it holds, and leaves it by Tab.
    pub async fn type_into(&self, css: &str, value: &str) -> WebDriverResult<()> {
        let input = self.press(css).await?;
        input.send_keys(Key::Control + "a").await?;
        input.send_keys(value).await?;
        input.send_keys(Key::Tab + "").await
    }

    /// The folder of the screenshots.
    pub fn screenshots() -> std::path::PathBuf {
        Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("screenshots")
    }

    /// Saves what is on the screen as `screenshots/NAME.png` in cargo's target folder.
    pub async fn screenshot(&self, name: &str) -> WebDriverResult<()> {
        let folder = Page::screenshots();
        std::fs::create_dir_all(&folder)?;
        self.driver.screenshot(&folder.join(format!("{name}.png"))).await
    }

    /// Errors the browser has noted since last asked: exceptions, failed loads, refusals
    /// by the content policy.
    pub async fn console_errors(&self) -> WebDriverResult<Vec<String>> {
        let log = self.driver.browser_log().await?;
        Ok(log.into_iter().filter(|e| e.level == "SEVERE").map(|e| e.message).collect())
    }

    /// Addresses asked for since last called, by the page and what it started.
    pub async fn requests(&self) -> WebDriverResult<Vec<String>> {
        let log = self.driver.get_log("performance").await?;
        let address = |message: &str| -> Option<String> {
            let event: serde_json::Value = serde_json::from_str(message).ok()?;
            let event = &event["message"];
            let asks = event["method"] == "Network.requestWillBeSent";
            let address = event["params"]["request"]["url"].as_str()?;
            asks.then(|| address.to_string())
        };
        Ok(log.iter().filter_map(|entry| address(&entry.message)).collect())
    }

    /// Holds back every search asked of a worker until one is ended: however fast the machine, the
    /// search lasts until it is stopped.
    pub async fn hold_searches(&self) -> WebDriverResult<()> {
        let hold = "const { postMessage, terminate } = Worker.prototype; \
            Worker.prototype.postMessage = function (m) { \
                return m.task?.optimise ? undefined : postMessage.call(this, m); }; \
            Worker.prototype.terminate = function () { \
                Object.assign(Worker.prototype, { postMessage, terminate }); \
                return terminate.call(this); };";
        self.driver.execute(hold, vec![]).await.map(drop)
    }

    /// Sends a DevTools command.
    pub async fn devtools(
        &self,
        command: &str,
        parameters: serde_json::Value,
    ) -> WebDriverResult<serde_json::Value> {
        self.driver.cdp().send_raw(command, parameters).await
    }

    /// Chooses an entry of a list by its value.
    pub async fn choose(&self, css: &str, value: &str) -> WebDriverResult<()> {
        self.open_menu(css).await?;
        self.element(&format!("{css} option[value=\"{value}\"]")).await?.click().await
    }

    /// The text there once there is one.
    pub async fn wait_text(&self, css: &str) -> WebDriverResult<String> {
        let since = Instant::now();
        loop {
            let text = self.text(css).await?;
            if !text.is_empty() || since.elapsed() > PATIENCE {
                return Ok(text);
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// Waits until the verdict on the page is no estimate any more; what it says.
    pub async fn wait_checked(&self) -> WebDriverResult<String> {
        self.wait_until(CHECKED).await?;
        self.text("#verdict").await
    }

    /// From the next press or letter on: when each expression is first true, ms by the page's own clock, as
    /// `window.since`.
    pub async fn time(&self, expressions: &[&str]) -> WebDriverResult<()> {
        let all = expressions.join(", () => ");
        let watch = format!(
            "const all = [() => {all}]; let begun; window.since = all.map(() => null); \
            for (const kind of ['click', 'input']) addEventListener(kind, () => {{ \
                begun = performance.now(); window.since.fill(null); }}, true); \
            new MutationObserver(() => all.forEach((holds, i) => {{ \
                if (begun && holds()) window.since[i] ??= performance.now() - begun; }})) \
                .observe(document.documentElement, \
                    {{ subtree: true, childList: true, attributes: true, characterData: true }});"
        );
        self.driver.execute(watch, vec![]).await?;
        Ok(())
    }

    /// Waits until nothing is worked out any more: what is shown stays as it is.
    pub async fn wait_settled(&self) -> WebDriverResult<()> {
        self.wait_until("document.documentElement.dataset.working === 'no'").await
    }

    /// Waits until an expression is true in the page.
    pub async fn wait_until(&self, expression: &str) -> WebDriverResult<()> {
        let since = Instant::now();
        while !self.ask::<bool>(expression).await? {
            if since.elapsed() > PATIENCE {
                let state: String =
                    self.ask("JSON.stringify(document.documentElement.dataset)").await?;
                let errors = self.console_errors().await.unwrap_or_default();
                panic!("never true: {expression}; the page says {state}, noted {errors:?}");
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
        Ok(())
    }

    /// Clicks.
    pub async fn click(&self, css: &str) -> WebDriverResult<()> {
        self.press(css).await.map(drop)
    }

    /// Opens the menu, where an element is in it.
    async fn open_menu(&self, css: &str) -> WebDriverResult<()> {
        let inside = format!(
            "(() => {{ const e = document.querySelector({}); const m = document.getElementById('menu'); \
             return !!e && !!m && m.contains(e) && !m.open && e !== m.firstElementChild; }})()",
            json!(css)
        );
        let inside = self.driver.execute(format!("return {inside};"), vec![]).await?;
        if inside.convert()? {
            self.element("#menu-button").await?.click().await?;
        }
        Ok(())
    }

    /// The buttons of every view.
    pub fn views(&self) -> Vec<String> {
        let all = ["shape", "join", "map", "metal", "chain", "drape", "plan", "optimise"];
        all.map(|view| format!("view-{view}")).to_vec()
    }

    /// Goes to a view as a person does: its tab, then its own button where the tab has several.
    pub async fn look_at(&self, view: &str) -> WebDriverResult<()> {
        let tab = match view {
            "shape" | "join" => "link",
            "drape" => "chain",
            "map" | "optimise" => "find",
            other => other,
        };
        self.click(&format!("#tab-{tab}")).await?;
        if tab != view || view == "chain" {
            self.click(&format!("#view-{view}")).await?;
        }
        Ok(())
    }

    /// Presses an element.
    async fn press(&self, css: &str) -> WebDriverResult<WebElement> {
        self.open_menu(css).await?;
        let element = self.element(css).await?;
        element.click().await?;
        Ok(element)
    }

    /// What an expression is worth in the page, after two frames.
    pub async fn ask<T: serde::de::DeserializeOwned>(
        &self,
        expression: &str,
    ) -> WebDriverResult<T> {
        let frames =
            "await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)));";
        // Only Chromium's driver takes `await` in the open.
        let script = format!("return (async () => {{ {frames} return {expression}; }})();");
        self.driver.execute(&script, vec![]).await?.convert()
    }

    /// Waits until the page has been drawn so many times more: in what is drawn then, whatever
    /// was to move by itself has moved.
    pub async fn frames(&self, count: usize) -> WebDriverResult<()> {
        let wait =
            "for (let i = 0; i < arguments[0]; i++) await new Promise(requestAnimationFrame);";
        self.driver.execute(wait, vec![json!(count)]).await.map(drop)
    }

    /// Sets any slider, as a hand would.
    pub async fn set(&self, id: &str, to: f64) -> WebDriverResult<()> {
        let set = "const s = document.getElementById(arguments[0]); s.value = arguments[1]; \
                   s.dispatchEvent(new Event('input', {bubbles: true})); \
                   await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)));";
        self.driver.execute(set, vec![json!(id), json!(to)]).await.map(drop)
    }

    /// Moves the demonstration's slider.
    pub async fn slide(&self, to: f64) -> WebDriverResult<()> {
        let slide = "const s = document.getElementById('time'); s.value = arguments[0]; \
                     s.dispatchEvent(new Event('input', {bubbles: true})); \
                     await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)));";
        self.driver.execute(slide, vec![json!(to)]).await.map(drop)
    }
}
