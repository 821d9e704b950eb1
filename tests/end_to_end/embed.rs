//! The core in another page: plain objects in and out, faults as objects, the example page.

use crate::page::{Page, Screen, on_page};
use crate::stage::Stage;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::process::Command;
use thirtyfour::prelude::*;

const EXAMPLE: &str = include_str!("../../www/examples/evening-class-bracelet.json");

/// What `body` comes to, with the core loaded and `design` at hand.
async fn with_core(page: &Page, design: &Value, body: &str) -> WebDriverResult<Value> {
    let script = format!(
        "const {{ default: init, check, jig, plan, schema, picture }} = await import('./linkfold.js'); \
         await init(); const design = arguments[0]; {body}"
    );
    page.driver.execute(&script, vec![design.clone()]).await?.convert()
}

async fn fault(page: &Page, design: &Value, call: &str) -> WebDriverResult<Value> {
    let body = format!(
        "try {{ {call}; return null; }} catch (e) {{ return {{ error: e instanceof Error, \
         name: e.name, path: e.path, value: e.value, range: e.range, message: e.message }}; }}"
    );
    with_core(page, design, &body).await
}

#[test]
fn the_example_page_answers_and_says_what_is_wrong() {
    on_page(Screen::PHONE, async |page| {
        page.driver.goto(format!("{}embed.html", Stage::shared().page_address)).await?;
        page.wait_until("document.querySelector('#picture svg') !== null").await?;
        let told = page.text("#answer").await?;
        assert!(told.starts_with("Yes, they join"), "{told}");
        page.screenshot("embed-phone").await?;
        page.type_into("#mandrel", "5").await?;
        let told = page.text("#answer").await?;
        assert!(
            told.contains("mandrel_mm") && told.contains("smallest that can be shaped"),
            "{told}"
        );
        assert!(!page.ask::<bool>("document.querySelector('#picture svg') !== null").await?);
        page.type_into("#mandrel", "8").await?;
        let told = page.text("#answer").await?;
        assert!(told.starts_with("No"), "{told}");
        let wider = "document.documentElement.scrollWidth - innerWidth";
        assert!(page.ask::<i64>(wider).await? <= 0);
        assert_eq!(page.console_errors().await?, Vec::<String>::new());
        Ok(())
    });
}

/// In the browser and by the command: the same report, field by field.
#[test]
fn the_report_is_the_commands() {
    on_page(Screen::DESK, async |page| {
        let told = |task: &str| -> Value {
            let file = concat!(env!("CARGO_MANIFEST_DIR"), "/www/examples/swelling-necklace.json");
            let ran = Command::new(env!("CARGO_BIN_EXE_linkfold")).args([task, file]).output();
            serde_json::from_slice(&ran.unwrap().stdout).unwrap()
        };
        let example = include_str!("../../www/examples/swelling-necklace.json");
        let design: Value = serde_json::from_str(example).unwrap();
        for task in ["check", "plan"] {
            let found = with_core(page, &design, &format!("return {task}(design);")).await?;
            same(task, &found, &told(task));
        }
        Ok(())
    });
}

/// In the browser and by the command: the same plate, and a fault with its limit.
#[test]
fn a_jig_is_the_commands() {
    on_page(Screen::DESK, async |page| {
        let design: Value = serde_json::from_str(EXAMPLE).unwrap();
        let file = std::env::temp_dir().join(format!("linkfold-jig-{}.stl", std::process::id()));
        let example =
            concat!(env!("CARGO_MANIFEST_DIR"), "/www/examples/evening-class-bracelet.json");
        let command = Command::new(env!("CARGO_BIN_EXE_linkfold"))
            .args(["jig", example, "--what", "plate", "-o"])
            .arg(&file)
            .output()?;
        assert!(command.status.success());
        let wanted = std::fs::read(&file)?;
        std::fs::remove_file(&file)?;
        let body = "const made = jig(design, { what: 'plate' }); \
            return { ...made, stl: [...made.stl], glb: made.glb.length };";
        let made = with_core(page, &design, body).await?;
        let bytes: Vec<u8> = serde_json::from_value(made["stl"].clone()).unwrap();
        let read = |bytes: &[u8]| stl_io::read_stl(&mut std::io::Cursor::new(bytes)).unwrap();
        let (found, wanted) = (read(&bytes), read(&wanted));
        found.validate().expect("closed");
        assert_eq!(found.faces.len(), wanted.faces.len());
        let reach = |mesh: &stl_io::IndexedMesh| {
            [0, 1, 2].map(|i| mesh.vertices.iter().map(|v| v.0[i]).fold(0.0, f32::max))
        };
        for (found, wanted) in reach(&found).iter().zip(reach(&wanted)) {
            assert!((found - wanted).abs() < 1e-3, "{found} {wanted}");
        }
        assert!(made["svg"].as_str().unwrap().starts_with("<svg"));
        assert!(made["glb"].as_u64().unwrap() > 10_000);
        assert!(made["cautions"][0].as_str().unwrap().contains("torch"));
        assert_eq!(made["measures"].as_array().unwrap().len(), 4);
        let told = fault(page, &design, "jig(design, { what: 'waist' })").await?;
        assert_eq!(told["path"], "neck_mm", "{told}");
        assert!(told["range"][0].as_f64().unwrap() > 0.0, "{told}");
        let told = fault(page, &design, "jig(design, { what: 'anvil' })").await?;
        assert_eq!(told["name"], "LinkfoldError", "{told}");
        Ok(())
    });
}

/// Numbers alike to nine places: both are computed, by different compilers.
fn same(at: &str, found: &Value, wanted: &Value) {
    match (found, wanted) {
        (Value::Object(found), Value::Object(wanted)) => {
            let names =
                |of: &serde_json::Map<String, Value>| of.keys().cloned().collect::<BTreeSet<_>>();
            assert_eq!(names(found), names(wanted), "{at}");
            found
                .iter()
                .for_each(|(name, value)| same(&format!("{at}.{name}"), value, &wanted[name]));
        }
        (Value::Array(found), Value::Array(wanted)) => {
            assert_eq!(found.len(), wanted.len(), "{at}");
            let both = found.iter().zip(wanted).enumerate();
            both.for_each(|(i, (found, wanted))| same(&format!("{at}[{i}]"), found, wanted));
        }
        (Value::Number(found), Value::Number(wanted)) => {
            let [found, wanted] = [found, wanted].map(|number| number.as_f64().unwrap());
            // Of places alike by symmetry either may be found.
            let mirrored = at.contains(".at_mm[") || at.contains(".place_mm[");
            let [found, wanted] = [found, wanted].map(|x| if mirrored { x.abs() } else { x });
            assert!(
                (found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0),
                "{at}: {found}, {wanted}"
            );
        }
        _ => assert_eq!(found, wanted, "{at}"),
    }
}

#[test]
fn a_fault_is_thrown_with_path_value_and_range() {
    on_page(Screen::DESK, async |page| {
        let good: Value = serde_json::from_str(EXAMPLE).unwrap();
        let mut small = good.clone();
        small["sizes"][0]["mandrel_mm"] = json!(4);
        let told = fault(page, &small, "check(design)").await?;
        assert_eq!((&told["error"], &told["name"]), (&json!(true), &json!("LinkfoldError")));
        let (path, value) = (&told["path"], told["value"].as_f64());
        assert_eq!((path, value), (&json!("sizes[0].mandrel_mm"), Some(4.0)));
        let least = told["range"][0].as_f64().expect("a least");
        assert!(least > 4.0 && told["range"][1].is_null(), "{told}");
        assert!(
            told["message"].as_str().unwrap().contains("the smallest that can be shaped"),
            "{told}"
        );

        let mut huge = good.clone();
        huge["kerf_mm"] = json!(1e6);
        let told = fault(page, &huge, "picture(design)").await?;
        assert_eq!((&told["path"], told["value"].as_f64()), (&json!("kerf_mm"), Some(1e6)));
        assert!(told["range"][1].as_f64().unwrap() < 1e6, "{told}");

        for (design, call, path) in [
            (json!(null), "check(design)", ""),
            (
                json!({ "linkfold": 1, "wire": {}, "sizes": [{ "mandrel_mm": 12 }] }),
                "check(design)",
                "wire",
            ),
            (json!({ "linkfold": 1, "links": [] }), "check(design)", "links"),
            (good.clone(), "picture(design, { width: NaN })", "width"),
            (good.clone(), "picture(design, { size: 7 })", "size"),
            (good.clone(), "picture(design, { step: 'solder' })", "step"),
            (
                good.clone(),
                "plan(design, { linkfold_bench: 1, mandrels_mm: [-1] })",
                "mandrels_mm[0]",
            ),
            (good.clone(), "check(() => design)", ""),
        ] {
            let told = fault(page, &design, call).await?;
            assert_eq!(told["name"], "LinkfoldError", "{call} of {design}: {told}");
            let found = told["path"].as_str().unwrap_or("none");
            assert!(if path.is_empty() { true } else { found.starts_with(path) }, "{call}: {told}");
        }
        Ok(())
    });
}

#[test]
fn pictures_and_schemas_are_given() {
    on_page(Screen::DESK, async |page| {
        let good: Value = serde_json::from_str(EXAMPLE).unwrap();
        for step in ["oval", "eight", "fold", "joined"] {
            let body = format!("return picture(design, {{ step: '{step}', colours: 'dark' }});");
            let text = with_core(page, &good, &body).await?;
            let text = text.as_str().expect("a text");
            let read = roxmltree::Document::parse(text).unwrap_or_else(|e| panic!("{step}: {e}"));
            assert!(
                read.descendants()
                    .filter(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "path")))
                    .count()
                    > 5
            );
        }
        let schema = with_core(page, &good, "return schema();").await?;
        let reader = jsonschema::validator_for(&schema).expect("a schema");
        assert!(reader.is_valid(&good) && !reader.is_valid(&json!({ "linkfold": 1 })));
        Ok(())
    });
}
