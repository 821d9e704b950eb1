//! Without a network, and with nothing asked of anyone: the page as one file, the page kept by
//! the browser, and what both weigh.

use crate::page::{Page, Screen, on_page};
use crate::stage::{Stage, serve};
use serde_json::json;
use std::path::{Path, PathBuf};
use std::process::Command;
use thirtyfour::error::WebDriverResult;

/// Notes what the policy refuses, from the first moment on.
const NOTE_REFUSALS: &str = "window.refused = []; \
    document.addEventListener('securitypolicyviolation', \
        e => window.refused.push(`${e.effectiveDirective} ${e.blockedURI}`));";

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

async fn cut_off(page: &Page) -> WebDriverResult<()> {
    page.devtools("Network.enable", json!({})).await?;
    let nothing =
        json!({ "offline": true, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0 });
    page.devtools("Network.emulateNetworkConditions", nothing).await.map(drop)
}

/// From a stick: a file, no server, no network. It proves, draws, asks for nothing, and a
/// script that is not its own does not run.
#[test]
fn the_page_in_one_file_runs_without_a_network() {
    let folder = folder("one-file");
    let file = folder.join("linkfold.html");
    let ran = Command::new(env!("CARGO_BIN_EXE_linkfold"))
        .args(["bundle", "-o"])
        .arg(&file)
        .output()
        .unwrap();
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    println!("{}", String::from_utf8_lossy(&ran.stdout).trim());
    let address = format!("file://{}", file.display());
    on_page(Screen::DESK, async |page| {
        // The served page, left behind, starts no worker any more.
        page.wait_checked().await?;
        page.wait_settled().await?;
        page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_REFUSALS }))
            .await?;
        cut_off(page).await?;
        page.requests().await?;
        page.open(&address).await?;
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("Yes, they join."), "{verdict}");
        // Only the worker proves, and it is asked again after a change.
        page.type_into("#wire", "1.5").await?;
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("No, they cannot join"), "{verdict}");
        page.look_at("chain").await?;
        page.screenshot("one-file-desk").await?;
        assert_eq!(page.text("#offline").await?, "This page is one file: it needs no network.");
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        assert_eq!(page.ask::<Vec<String>>("window.refused").await?, Vec::<String>::new());
        let asked = page.requests().await?;
        let own = |a: &&String| **a == address || a.starts_with("data:") || a.starts_with("blob:");
        assert_eq!(asked.iter().filter(|a| !own(a)).collect::<Vec<_>>(), Vec::<&String>::new());
        assert!(asked.contains(&address), "nothing was noted");

        let foreign = "const s = document.createElement('script'); \
            s.textContent = 'window.foreign = true'; document.body.append(s); \
            document.body.setAttribute('onclick', 'window.foreign = true'); document.body.click(); \
            const met = await fetch('http://127.0.0.1:9/').then(() => 'met', () => 'refused'); \
            await new Promise(r => setTimeout(r, 50)); \
            return [String(window.foreign), met, window.refused.join(', ')];";
        let [ran, met, refused]: [String; 3] =
            page.driver.execute(foreign, vec![]).await?.convert()?;
        assert_eq!((ran.as_str(), met.as_str()), ("undefined", "refused"));
        for kind in ["script-src-elem inline", "script-src-attr inline", "connect-src http"] {
            assert!(refused.contains(kind), "{kind}: {refused}");
        }

        // One letter changed, and the script is not the one that is allowed.
        let text = std::fs::read_to_string(&file)?;
        let changed =
            text.replacen("root.dataset.state = 'ready'", "root.dataset.state = 'readx'", 1);
        assert_ne!(text, changed);
        let other = folder.join("changed.html");
        std::fs::write(&other, changed)?;
        page.driver.goto(format!("file://{}", other.display())).await?;
        page.wait_until("window.refused.some(words => words.includes('script-src-elem inline'))")
            .await?;
        let state: Option<String> =
            page.ask("document.documentElement.dataset.state ?? null").await?;
        assert_eq!(state, None);
        Ok(())
    });
}

/// A package of our own pages and a cargo that names a copy of the page's module: a server of it
/// starts at once, and what it builds can be changed.
pub struct Copy {
    folder: PathBuf,
    module: PathBuf,
}

impl Copy {
    pub fn new(name: &str) -> Copy {
        let folder = folder(name);
        let package = Path::new(env!("CARGO_MANIFEST_DIR"));
        std::fs::write(folder.join("Cargo.toml"), "name = \"linkfold\"\n").unwrap();
        std::fs::create_dir(folder.join("www")).unwrap();
        for entry in std::fs::read_dir(package.join("www")).unwrap() {
            let entry = entry.unwrap();
            if entry.file_type().unwrap().is_file() {
                std::fs::copy(entry.path(), folder.join("www").join(entry.file_name())).unwrap();
            }
        }
        // The shared server has built all of it: nothing is compiled once more.
        let built = Path::new(env!("CARGO_TARGET_TMPDIR"))
            .with_file_name("wasm32-unknown-unknown/wasm-release/linkfold.wasm");
        let module = folder.join("linkfold.wasm");
        std::fs::copy(built, &module).unwrap();
        let told = json!({ "target": { "name": "linkfold" }, "filenames": [&module] });
        let cargo = folder.join("cargo");
        std::fs::write(&cargo, format!("#!/bin/sh\necho '{told}'\n")).unwrap();
        use std::os::unix::fs::PermissionsExt;
        std::fs::set_permissions(&cargo, std::fs::Permissions::from_mode(0o755)).unwrap();
        Copy { folder, module }
    }

    /// One of its files.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    pub fn server(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_linkfold"));
        command.env("CARGO", self.folder.join("cargo")).env("CARGO_MANIFEST_DIR", &self.folder);
        command
    }

    /// Another module: the same with a section that no one reads.
    fn change(&self) {
        let mut bytes = std::fs::read(&self.module).unwrap();
        let name = b"later";
        bytes.extend([0, name.len() as u8 + 3, name.len() as u8]);
        bytes.extend(name);
        bytes.extend([1, 2]);
        std::fs::write(&self.module, bytes).unwrap();
    }
}

/// Whether the browser keeps the page.
pub const KEPT: &str = "document.documentElement.dataset.offline === 'yes'";
const KEPT_WORDS: &str = "This page is kept in this browser and works without a network.";
const NOT_KEPT: &str = "document.documentElement.dataset.offline === 'no'";
const WEIGHT: &str = "(await (await fetch('pkg/linkfold_bg.wasm')).arrayBuffer()).byteLength";

/// Loaded once, it works with the server gone; a later build says so, and is used on demand.
#[test]
fn the_served_page_is_kept_and_renewed() {
    on_page(Screen::PHONE, async |page| {
        let copy = Copy::new("second-build");
        let (server, address) = serve(copy.server(), 0);
        let port: u16 = address.trim_end_matches('/').rsplit(':').next().unwrap().parse().unwrap();
        page.open(&address).await?;
        page.wait_until(KEPT).await?;
        assert_eq!(page.text("#offline").await?, KEPT_WORDS);
        let before: usize = page.ask(WEIGHT).await?;

        drop(server);
        page.open(&address).await?;
        let verdict = page.wait_checked().await?;
        assert!(verdict.starts_with("Yes, they join."), "{verdict}");
        assert_eq!(page.ask::<usize>(WEIGHT).await?, before);
        page.wait_until(KEPT).await?;
        assert_eq!(page.text("#offline").await?, KEPT_WORDS);
        page.element("#offline").await?.scroll_into_view().await?;
        page.screenshot("offline-phone").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());

        copy.change();
        let (_server, again) = serve(copy.server(), port);
        assert_eq!(address, again);
        page.open(&address).await?;
        page.wait_until("!document.getElementById('renew').hidden").await?;
        page.screenshot("renew-phone").await?;
        // One visit, one build.
        assert_eq!(page.ask::<usize>(WEIGHT).await?, before);
        let told = page.text("#renew").await?;
        assert!(told.contains("your design comes back"), "{told}");
        page.type_into("#mandrel", "12.7").await?;
        page.driver.execute("window.visit = 'before';", vec![]).await?;
        page.click("#renew-now").await?;
        page.wait_until("window.visit === undefined").await?;
        page.wait_until("document.documentElement.dataset.state === 'ready'").await?;
        assert_ne!(page.ask::<usize>(WEIGHT).await?, before);
        assert_eq!(page.ask::<String>("document.getElementById('mandrel').value").await?, "12.7");
        assert!(!page.element("#renew").await?.is_displayed().await?);
        assert_eq!(page.ask::<usize>("(await caches.keys()).length").await?, 1);
        page.wait_checked().await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// A file that did not come is asked for again, until all are kept.
#[test]
fn what_did_not_come_is_asked_for_again() {
    on_page(Screen::PHONE, async |page| {
        let copy = Copy::new("poor-network");
        let (_server, address) = serve(copy.server(), 0);
        let [there, away] =
            ["icon-512.png", "away"].map(|name| copy.folder.join("site").join(name));
        std::fs::rename(&there, &away)?;
        page.open(&address).await?;
        page.wait_until(NOT_KEPT).await?;
        let told = page.text("#offline").await?;
        assert!(told.contains("not kept in this browser yet"), "{told}");
        std::fs::rename(&away, &there)?;
        page.wait_until(KEPT).await?;
        assert_eq!(page.text("#offline").await?, KEPT_WORDS);
        Ok(())
    });
}

/// The browser finds nothing that keeps it from installing the page.
#[test]
fn the_served_page_can_be_installed() {
    on_page(Screen::PHONE, async |page| {
        page.wait_until(KEPT).await?;
        let manifest = page.devtools("Page.getAppManifest", json!({})).await?;
        assert_eq!(manifest["errors"], json!([]), "{manifest}");
        let manifest: serde_json::Value =
            serde_json::from_str(manifest["data"].as_str().unwrap_or_default())?;
        for icon in manifest["icons"].as_array().expect("icons") {
            let (address, sizes) = (icon["src"].as_str().unwrap(), icon["sizes"].as_str().unwrap());
            let size = format!(
                "await (async () => {{ const i = new Image(); i.src = '{address}'; \
                 await i.decode(); return `${{i.naturalWidth}}x${{i.naturalHeight}}`; }})()"
            );
            let size: String = page.ask(&size).await?;
            assert!(sizes == "any" || sizes == size, "{address} is {size}, not {sizes}");
        }
        let faults = page.devtools("Page.getInstallabilityErrors", json!({})).await?;
        let faults = faults["installabilityErrors"].as_array().cloned().unwrap_or_default();
        // A window without traces is never asked to install.
        let told = |fault: &serde_json::Value| fault["errorId"] != "in-incognito";
        assert!(!faults.iter().any(told), "{faults:?}");
        Ok(())
    });
}

/// Every view, every button that takes out: no request leaves the page's origin, and the policy
/// has nothing to refuse.
#[test]
fn no_request_leaves_the_page() {
    on_page(Screen::DESK, async |page| {
        page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": NOTE_REFUSALS }))
            .await?;
        let origin = Stage::shared().page_address.clone();
        page.requests().await?;
        page.open(&origin).await?;
        page.wait_until(KEPT).await?;
        for view in page.views() {
            page.look_at(view.trim_start_matches("view-")).await?;
            page.wait_checked().await?;
        }
        let styled = "[...document.querySelectorAll('[style]')].map(e => e.outerHTML)";
        println!("styled by script: {:?}", page.ask::<Vec<String>>(styled).await?);
        let asked = page.requests().await?;
        let own = |address: &&String| {
            address.starts_with(&origin) || address.starts_with(&format!("blob:{origin}"))
        };
        assert_eq!(asked.iter().filter(|a| !own(a)).collect::<Vec<_>>(), Vec::<&String>::new());
        for part in ["pkg/linkfold_bg.wasm", "worker.js", "style.css"] {
            assert!(asked.iter().any(|a| a.ends_with(part)), "{part} was not noted: {asked:?}");
        }
        assert_eq!(page.ask::<Vec<String>>("window.refused").await?, Vec::<String>::new());
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
