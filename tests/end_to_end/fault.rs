//! A fault of our own, forced: the page says in one sentence what to do, in the page and in its
//! worker, and what comes while the page is in use is not lost.

use crate::offline::Copy;
use crate::page::{Page, Screen, on_page};
use crate::stage::serve;
use thirtyfour::prelude::*;

/// The sentence, the report, and that the design comes back.
async fn is_told(page: &Page, what: &str) -> WebDriverResult<()> {
    page.wait_until("document.querySelector('#fault p') !== null").await?;
    let told = page.text("#fault p").await?;
    assert!(told.starts_with(what), "{told}");
    assert!(told.contains("Your design is kept") && told.contains("load the page again"), "{told}");
    let seen = "(() => { const r = document.getElementById('fault').getBoundingClientRect(); \
        return r.top >= 0 && r.top < innerHeight; })()";
    assert!(page.ask::<bool>(seen).await?, "out of sight");
    Ok(())
}

async fn load_again(page: &Page) -> WebDriverResult<()> {
    page.driver.execute("window.visit = 'before';", vec![]).await?;
    page.element("#fault button").await?.click().await?;
    page.wait_until(
        "window.visit === undefined && document.documentElement.dataset.state === 'ready'",
    )
    .await?;
    assert_eq!(page.ask::<String>("document.getElementById('mandrel').value").await?, "12.7");
    assert_eq!(page.ask::<usize>("document.querySelectorAll('#fault').length").await?, 0);
    Ok(())
}

#[test]
fn a_panic_in_the_page_is_told_and_the_design_comes_back() {
    on_page(Screen::PHONE, async |page| {
        page.type_into("#mandrel", "12.7").await?;
        let force = "const module = await import('./pkg/linkfold.js'); \
            setTimeout(() => module.force_fault());";
        page.driver.execute(force, vec![]).await?;
        is_told(page, "linkfold stopped").await?;
        let report = page.text("#fault pre").await?;
        assert!(
            report.contains("forced, to try") && report.contains("src/web/fault.rs"),
            "{report}"
        );
        page.screenshot("fault-phone").await?;
        load_again(page).await
    });
}

/// An exception thrown into the module leaves the page's state in use: a press then does nothing,
/// and the page says why.
#[test]
fn what_is_thrown_into_the_module_is_told() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#mandrel", "12.7").await?;
        let broken = "CanvasRenderingContext2D.prototype.beginPath = \
            () => { throw new TypeError('no canvas any more'); };";
        page.driver.execute(broken, vec![]).await?;
        page.click("#nearer").await?;
        is_told(page, "linkfold stopped").await?;
        // What a script of the driver's throws, the browser may call "Script error." only.
        let report = page.text("#fault pre").await?;
        assert!(report.starts_with("linkfold, page: "), "{report}");
        load_again(page).await
    });
}

/// The page stays in use with the estimate, and says that the check stopped.
#[test]
fn a_panic_in_the_worker_is_told() {
    on_page(Screen::DESK, async |page| {
        let copy = Copy::new("broken-worker");
        let worker = copy.file("www/worker.js");
        let text = std::fs::read_to_string(&worker)?;
        let broken = text
            .replace("import init, { answer }", "import init, { force_fault }")
            .replace("answer(data)", "force_fault()");
        assert_eq!(broken.matches("force_fault").count(), 2);
        std::fs::write(&worker, broken)?;
        let (_server, address) = serve(copy.server(), 0);
        page.open(&address).await?;
        page.type_into("#mandrel", "12.7").await?;
        is_told(page, "The check stopped").await?;
        assert!(page.text("#fault pre").await?.contains("forced, to try"));
        assert!(page.text("#verdict").await?.starts_with("Probably yes"));
        let standing = "document.getElementById('checking').textContent";
        page.wait_until(&format!("{standing}.includes('the estimate stands')")).await?;
        Ok(())
    });
}

/// A press that comes while another is being done, as from a change of focus, is done after it.
#[test]
fn what_comes_while_the_page_is_in_use_is_done() {
    on_page(Screen::DESK, async |page| {
        page.type_into("#mandrel", "13").await?;
        page.click("#designs-button").await?;
        let nested = "window.nested = 0; \
            const begin = CanvasRenderingContext2D.prototype.beginPath; \
            CanvasRenderingContext2D.prototype.beginPath = function () { \
                if (!window.nested++) document.getElementById('undo').click(); \
                return begin.call(this); \
            }; \
            document.getElementById('nearer').click(); \
            await new Promise(r => requestAnimationFrame(() => requestAnimationFrame(r)));";
        page.driver.execute(nested, vec![]).await?;
        page.wait_until("window.nested > 0").await?;
        page.wait_until("document.getElementById('mandrel').value === '12'").await?;
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}
