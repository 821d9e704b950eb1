//! The command as a maker's shell sees it: documents in, documents out.
#![cfg(all(not(target_arch = "wasm32"), feature = "command"))]

use linkfold::documents::bench::{Bench, BenchError};
use linkfold::documents::design::{Design, DesignError, SIZE_FIELDS};
use serde_json::Value;
use std::path::Path;

mod command;
use command::run;

fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/examples");
    let files = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path());
    files
        .filter(|f| f.extension().is_some_and(|e| e == "json"))
        .map(|f| f.display().to_string())
        .collect()
}

/// What the chain section promises where a chain lies.
const FIGURES: [&str; 9] = [
    "pitch_mm",
    "play_mm",
    "width_mm",
    "thickness_mm",
    "swing_x_deg",
    "swing_y_deg",
    "twist_deg",
    "coil_x_mm",
    "coil_y_mm",
];

#[test]
fn every_example_gets_a_report_with_the_promised_fields() {
    let examples = examples();
    assert!(examples.len() >= 3, "{examples:?}");
    for file in &examples {
        let output = run(&["check", file], b"");
        assert!(output.status.success(), "{file}: {}", String::from_utf8_lossy(&output.stderr));
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        let size = &report["sizes"][0];
        for field in ["ratio", "centreline_mm", "bore_mm", "tip_mm"] {
            assert!(size[field].as_f64().is_some_and(|x| x > 0.0), "{file}: {field} {size}");
        }
        let join = &report["joins"][0];
        assert!(join["verdict"].is_string() && join["least_clearance_mm"].is_number(), "{join}");
        let chain = report["chain"].as_array().unwrap();
        assert_eq!(chain.len(), report["joins"].as_array().unwrap().len(), "{file}");
        for pair in chain {
            assert!(pair["message"].as_str().is_some_and(|words| !words.is_empty()), "{pair}");
            let given = FIGURES.map(|field| pair[field].as_f64().is_some_and(|x| x >= 0.0));
            let lies = pair["lies"].as_bool().unwrap();
            assert!(given.into_iter().all(|given| given == lies), "{file}: {pair}");
        }
    }
}

/// The metal section stands in every size, with its range; a low below the likely below the
/// high, cautions beside it.
#[test]
fn every_size_gets_a_metal_section_with_ranges_and_cautions() {
    for file in &examples() {
        let report: Value = serde_json::from_slice(&run(&["check", file], b"").stdout).unwrap();
        let cautions = report["cautions"].to_string().to_lowercase();
        for word in
            ["eye", "acid goes into water", "cadmium", "rating", "neck", "children", "local"]
        {
            assert!(cautions.contains(word), "{file}: no \"{word}\" in the cautions");
        }
        for size in report["sizes"].as_array().unwrap() {
            let metal = &size["metal"];
            let design: Value =
                serde_json::from_str(&std::fs::read_to_string(file).unwrap()).unwrap();
            // A document without a metal means sterling.
            let named = design["metal"]["id"].as_str().unwrap_or("sterling-silver");
            assert_eq!(metal["id"], named, "{file}");
            let span = &metal["working"]["coil_inside"]["released_mm"];
            let at = |end: &str| span[end].as_f64().unwrap();
            assert!(at("low") <= at("likely") && at("likely") <= at("high"), "{file}: {span}");
            assert!(at("low") > size["mandrel_mm"].as_f64().unwrap(), "{file}: {span}");
            assert!(metal["working"]["anneal"]["message"].as_str().is_some_and(|s| s.len() > 20));
            let answered = metal["pull"].is_object();
            assert!(answered || metal["unanswered"].to_string().contains("Pull"), "{file}");
        }
    }
}

#[test]
fn a_document_may_bring_its_own_metal_and_ask_for_shapes_after_springback() {
    let quantity = |low: f64, likely: f64, high: f64| serde_json::json!({"low": low, "likely": likely, "high": high});
    let mut design = serde_json::json!({
        "linkfold": 1, "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 13}],
        "metal": {
            "id": "shed-brass", "shapes": "after-springback", "anneal_before": ["fold"],
            "seam_share": 0.1,
            "own": [{
                "id": "shed-brass", "name": "Brass from the shed",
                "density_g_per_cm3": quantity(8.4, 8.5, 8.6),
                "youngs_modulus_mpa": quantity(100e3, 105e3, 110e3),
                "poisson_ratio": quantity(0.33, 0.34, 0.35),
                "yield_mpa": quantity(90.0, 120.0, 150.0),
                "tensile_mpa": quantity(300.0, 330.0, 360.0),
                "elongation": quantity(0.4, 0.5, 0.6),
                "solidus_celsius": quantity(900.0, 910.0, 920.0),
                "liquidus_celsius": quantity(940.0, 950.0, 960.0),
                "annealing": {
                    "celsius": quantity(450.0, 550.0, 650.0), "heat": "torch-or-kiln",
                    "method": "Dull red in shade."
                }
            }]
        }
    });
    let schema: Value = serde_json::from_slice(&run(&["schema"], b"").stdout).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator.iter_errors(&design).map(|e| e.to_string()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    let check = |design: &Value| run(&["check", "-"], design.to_string().as_bytes());
    let output = check(&design);
    let error = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{error}");
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let size = &report["sizes"][0];
    assert_eq!(size["metal"]["name"], "Brass from the shed");
    // The verdict's shapes are the metal's: the waist stands open though it was pinched shut.
    let (fed, told) =
        (&size["waist_gap_mm"], &size["metal"]["working"]["waist_gap"]["released_mm"]["likely"]);
    assert!(fed.as_f64().unwrap() > 0.1, "{fed}");
    assert!((fed.as_f64().unwrap() - told.as_f64().unwrap()).abs() < 0.01, "{fed} {told}");
    assert_eq!(size["metal"]["working"]["steps"][3]["annealed_before"], true);

    for (path, value, told) in [
        ("/metal/own/0/yield_mpa/high", serde_json::json!(1e9), "metal.own[0].yield_mpa"),
        ("/metal/own/0/annealing/celsius/high", serde_json::json!(2000), "metal.own[0].annealing"),
        ("/metal/own/0/heat", Value::Null, "metal.own[0]"),
        ("/metal/id", serde_json::json!("mithril"), "metal.id \"mithril\""),
        ("/metal/shapes", serde_json::json!("sprung"), "metal.shapes"),
        ("/metal/seam_share", serde_json::json!(3), "metal.seam_share"),
    ] {
        let mut bad = design.clone();
        match bad.pointer_mut(path) {
            Some(place) => *place = value,
            None => bad["metal"]["own"][0]["heat"] = value,
        }
        let output = check(&bad);
        let error = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{path}: {error}");
        assert!(error.contains(told) && error.trim_end().lines().count() == 1, "{path}: {error}");
    }
    design["metal"]["own"][0]["unit"] = serde_json::json!("psi");
    assert_eq!(check(&design).status.code(), Some(2));
}

#[test]
fn examples_fit_the_schema_the_command_prints() {
    let schema: Value = serde_json::from_slice(&run(&["schema"], b"").stdout).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for file in examples() {
        let design: Value = serde_json::from_str(&std::fs::read_to_string(&file).unwrap()).unwrap();
        let faults: Vec<String> = validator.iter_errors(&design).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{file}: {faults:?}");
    }
    let negative: Value = serde_json::json!({
        "linkfold": 1, "wire": {"diameter_mm": -1}, "sizes": [{"mandrel_mm": 10}]
    });
    assert!(!validator.is_valid(&negative));
}

/// Every range the schema prints is the one the reader holds to: both ends are taken, a hair
/// beyond either is refused.
#[test]
fn the_schema_and_the_reader_hold_the_same_ranges() {
    let schema: Value = serde_json::from_slice(&run(&["schema"], b"").stdout).unwrap();
    let plain = serde_json::json!({
        "linkfold": 1, "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 10}],
        "plan": {}, "trials": [{"mandrel_mm": 12}]
    });
    let read = |pointer: &str, name: &str, value: f64| {
        let mut design = plain.clone();
        design.pointer_mut(pointer).unwrap()[name] = serde_json::json!(value);
        Design::parse(&design.to_string())
    };
    let mut tried = Vec::new();
    for (definition, pointer) in [
        ("", ""),
        ("/$defs/Size", "/sizes/0"),
        ("/$defs/WireChoice", "/wire"),
        ("/$defs/PlanChoice", "/plan"),
        ("/$defs/Trial", "/trials/0"),
    ] {
        let fields = schema.pointer(&format!("{definition}/properties")).unwrap();
        for (name, field) in fields.as_object().unwrap() {
            let ends = ["minimum", "maximum"].map(|end| field[end].as_f64());
            if !name.ends_with("_mm") && name != "growth_share" {
                continue;
            }
            let [Some(least), Some(most)] = ends else { panic!("{name} has no range: {field}") };
            for (inside, outside) in [(least, least - 1e-9), (most, most * (1.0 + 1e-9))] {
                assert!(read(pointer, name, inside).is_ok(), "{name}: {inside} is refused");
                let error = read(pointer, name, outside).expect_err(name);
                let error = match error {
                    DesignError::Trial { fault, .. } => *fault,
                    other => other,
                };
                assert!(matches!(error, DesignError::OutOfRange { .. }), "{name}: {error}");
            }
            tried.push(name.clone());
        }
    }
    for field in &SIZE_FIELDS {
        assert!(tried.iter().any(|name| name == field.name), "{} is not tried", field.name);
    }
    let others = ["kerf_mm", "margin_mm", "diameter_mm", "mandrel_mm"];
    for name in others.into_iter().chain(["length_mm", "coil_mm", "ring_inside_mm"]) {
        assert!(tried.iter().any(|tried| tried == name), "{name} is not tried");
    }
}

/// The same for a bench: what the schema allows is read, and a hair beyond is refused.
#[test]
fn the_schema_of_a_bench_and_its_reader_hold_the_same_ranges() {
    let schema: Value = serde_json::from_slice(&run(&["schema", "--bench"], b"").stdout).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    // The taper from 0.05 to 500 mm leaves space at either end of each range.
    let plain = serde_json::json!({
        "linkfold_bench": 1, "wires": [{"diameter_mm": 1}], "mandrels_mm": [9], "round_jaws_mm": [3],
        "conical_pliers": [{"tip_mm": 0.05, "base_mm": 500, "length_mm": 30}],
        "prices": {}, "minutes": {}, "hourly_rate": 0
    });
    assert!(validator.is_valid(&plain) && Bench::parse(&plain.to_string()).is_ok());
    let mut tried = 0;
    let mut try_range = |pointer: &str, range: &Value| {
        let [Some(least), Some(most)] = ["minimum", "maximum"].map(|end| range[end].as_f64())
        else {
            panic!("{pointer} has no range: {range}")
        };
        for (inside, outside) in [(least, least - 1e-9), (most, most * (1.0 + 1e-9))] {
            for (value, good) in [(inside, true), (outside, false)] {
                let mut bench = plain.clone();
                *bench.pointer_mut(pointer).unwrap() = serde_json::json!(value);
                assert_eq!(validator.is_valid(&bench), good, "{pointer}: {value}");
                let read = Bench::parse(&bench.to_string());
                // Jaws of one thickness are in range and still no cone.
                let cone = !matches!(read, Err(BenchError::NoTaper { .. }));
                assert_eq!(read.is_ok() || !cone, good, "{pointer}: {value} {read:?}");
            }
        }
        tried += 1;
    };
    for (definition, at) in [
        ("/$defs/WireChoice/properties/diameter_mm", "/wires/0/diameter_mm"),
        ("/properties/mandrels_mm/items", "/mandrels_mm/0"),
        ("/properties/round_jaws_mm/items", "/round_jaws_mm/0"),
        ("/$defs/ConicalPliers/properties/tip_mm", "/conical_pliers/0/tip_mm"),
        ("/$defs/ConicalPliers/properties/base_mm", "/conical_pliers/0/base_mm"),
        ("/$defs/ConicalPliers/properties/length_mm", "/conical_pliers/0/length_mm"),
        ("/properties/hourly_rate", "/hourly_rate"),
    ] {
        try_range(at, schema.pointer(definition).unwrap());
    }
    for (definition, group) in [("Prices", "prices"), ("Minutes", "minutes")] {
        let fields = schema.pointer(&format!("/$defs/{definition}/properties")).unwrap();
        for (name, range) in fields.as_object().unwrap() {
            for (end, sign) in [("minimum", -1.0), ("maximum", 1.0)] {
                let limit = range[end].as_f64().unwrap();
                for (value, good) in [(limit, true), (limit + sign * 1e-3, false)] {
                    let mut bench = plain.clone();
                    bench[group][name] = serde_json::json!(value);
                    assert_eq!(validator.is_valid(&bench), good, "{group}.{name}: {value}");
                    assert_eq!(Bench::parse(&bench.to_string()).is_ok(), good, "{group}.{name}");
                }
            }
            tried += 1;
        }
    }
    assert_eq!(tried, 7 + 3 + 8);
}

/// A list of values in the right order is no object with named fields, wherever it stands.
#[test]
fn a_list_in_place_of_an_object_is_refused() {
    for (wire, size, place) in [
        ("[1]", r#"{"mandrel_mm": 10}"#, "wire"),
        (r#"{"gauge": ["awg", 18]}"#, r#"{"mandrel_mm": 10}"#, "wire.gauge"),
        (r#"{"diameter_mm": 1}"#, r#"["a", null, 10]"#, "sizes[0]"),
        (r#"{"diameter_mm": 1}"#, r#"{"mandrel_mm": 10, "wire": [1]}"#, "sizes[0].wire"),
    ] {
        let text = format!(r#"{{"linkfold": 1, "wire": {wire}, "sizes": [{size}]}}"#);
        let error = Design::parse(&text).expect_err(&text);
        assert_eq!(error.field(), place, "{text}: {error}");
        assert!(error.to_string().contains("list"), "{error}");
    }
}

/// One clear message on standard error, nothing on standard output, exit status 2.
#[test]
fn a_bad_design_is_refused_in_one_line() {
    let huge = format!("{{\"linkfold\": 1, \"notes\": \"{}\"", "x".repeat(2 << 20));
    let nested = "[".repeat(100_000);
    for (input, told) in [
        (&b""[..], "line 1"),
        (b"{", "line 1"),
        (b"\xff\xfe", "UTF-8"),
        (b"[1, 2]", "line 1"),
        (b"{\"linkfold\": 7}", "version"),
        (b"{\"linkfold\": 1, \"wire\": {\"diameter_mm\": -1}, \"sizes\": [{\"mandrel_mm\": 9}]}", "wire.diameter_mm"),
        (b"{\"linkfold\": 1, \"wire\": {\"diameter_mm\": 1}, \"sizes\": [{\"mandrel_mm\": 4}]}", "mandrel_mm"),
        (b"{\"linkfold\": 1, \"wire\": {\"diameter_mm\": 1e999}, \"sizes\": [{\"mandrel_mm\": 9}]}", "line 1"),
        (huge.as_bytes(), "is more than 1048576 bytes long"),
        (nested.as_bytes(), "line 1"),
        (br#"{"linkfold": 1, "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 9}]} x"#, "line 1"),
    ] {
        let output = run(&["check", "-"], input);
        let error = String::from_utf8_lossy(&output.stderr);
        let shown = String::from_utf8_lossy(&input[..input.len().min(80)]);
        assert_eq!(output.status.code(), Some(2), "{shown}: {error}");
        assert!(output.stdout.is_empty(), "{shown}");
        assert_eq!(error.trim_end().lines().count(), 1, "{shown}: {error}");
        assert!(error.contains(told), "{shown}: {error}");
        assert!(error.matches("the smallest that can be shaped").count() < 2, "said twice: {error}");
    }
    let missing = run(&["check", "no-such-file.json"], b"");
    assert_eq!(missing.status.code(), Some(2));
    // A file's own length is known.
    let file = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("huge.json");
    std::fs::write(&file, &huge).expect("written");
    let output = run(&["check", file.to_str().expect("a path in UTF-8")], b"");
    let error = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{error}");
    assert!(error.contains(&format!("is {} bytes long", huge.len())), "{error}");
}

/// The weave stands in the document, and the chain section answers for it.
#[test]
fn a_design_says_its_weave_and_the_report_answers_for_it() {
    let design = |weave: &str| {
        format!(
            r#"{{"linkfold": 1, "wire": {{"diameter_mm": 1}}, "weave": "{weave}",
            "sizes": [{{"mandrel_mm": 20, "bore_mm": 5, "fold_jaw_mm": 5, "pinch_jaw_mm": 2, "neck_mm": 0}}]}}"#
        )
    };
    let chain = |weave: &str| -> Value {
        let output = run(&["check", "-"], design(weave).as_bytes());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()["chain"][0].clone()
    };
    let (single, double, crossed) = (chain("single"), chain("double"), chain("two-way-single"));
    let pitch = |pair: &Value| pair["pitch_mm"].as_f64().unwrap();
    assert!((pitch(&single) - 2.0 * pitch(&double)).abs() < 1e-5, "{single} {double}");
    assert_eq!(crossed["lies"], false);
    assert!(crossed["message"].as_str().unwrap().contains("locks"), "{crossed}");
    let output = run(&["check", "-"], design("braided").as_bytes());
    assert!(!output.status.success());
    // By two numbers it is the same.
    let numbers = |said: &str| design("double").replace("\"double\"", said);
    let read = Design::parse(&numbers(r#"{"chains": 1, "through": 2}"#)).unwrap();
    assert_eq!(read, Design::parse(&design("double")).unwrap());
    for wrong in
        [r#"{"chains": 5, "through": 1}"#, r#"{"chains": 1}"#, r#"{"chains": 0, "through": 1}"#]
    {
        let error = Design::parse(&numbers(wrong)).unwrap_err();
        assert!(error.to_string().contains("weave"), "{wrong}: {error}");
    }
}

/// A hand-out for every example: well-formed, each step of each size with its picture and what the
/// report says of it, and what is typed by hand kept from being markup.
#[test]
fn every_example_gets_a_hand_out() {
    for file in &examples() {
        let output = run(&["handout", file], b"");
        assert!(output.status.success(), "{file}: {}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).unwrap();
        let design = Design::parse(&std::fs::read_to_string(file).unwrap()).unwrap();
        let sizes = design.sizes.len();
        assert_eq!(text.matches("<svg").count(), 12 * sizes, "{file}");
        assert_eq!(text.matches("<span class=\"measure\"").count(), 12 * sizes, "{file}");
        assert!(text.contains("Take care") && text.contains("acid goes into water"));
        let report: Value = serde_json::from_slice(&run(&["check", file], b"").stdout).unwrap();
        // The verdict on the whole design is the first that is said.
        let message = report["answer"]["message"].as_str().unwrap().trim_end_matches('.');
        let first = text.split("<p class=\"verdict\">").nth(1).unwrap();
        assert!(first.starts_with(message), "{file}: \"{message}\" is not first");
        println!("{file}: {} kB", text.len() / 1000);
    }
    let mut design = Design::plain(0.9, 12.0);
    design.name = "<script>alert(1)</script>".into();
    design.class.write(linkfold::documents::design::Lesson::Fold, "\"<img src=x>\" & more");
    let text = run(&["handout", "-"], design.to_json().as_bytes()).stdout;
    let text = String::from_utf8(text).unwrap();
    assert!(!text.contains("<script") && !text.contains("<img"));
    assert!(text.contains("&quot;&lt;img src=x&gt;&quot; &amp; more"));
    let refused = run(&["handout", "-"], b"{}");
    assert_eq!(refused.status.code(), Some(2));
}

/// Each step alone and all side by side, well-formed; and the picture in the README says what is
/// computed today.
#[test]
fn the_steps_are_drawn_and_the_readme_shows_them_as_they_are() {
    let file = "www/examples/evening-class-bracelet.json";
    // What stands between tags: names of steps, measures and captions.
    let words = |svg: &str| -> Vec<String> {
        let parsed = roxmltree::Document::parse(svg).unwrap();
        let texts = parsed.descendants().filter(|node| node.has_tag_name("text"));
        texts.filter_map(|node| node.text().map(String::from)).collect()
    };
    let shown = std::fs::read_to_string("www/steps.svg").unwrap();
    let output = run(&["picture", file], b"");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let drawn = words(&String::from_utf8(output.stdout).unwrap());
    assert!(drawn.len() > 10, "{drawn:?}");
    assert_eq!(words(&shown), drawn, "draw www/steps.svg anew: linkfold picture {file}");
    for step in [
        "wind", "saw", "ring", "oval", "eight", "fold", "through", "second", "turn", "close",
        "joined", "bend",
    ] {
        let output = run(&["picture", file, "--step", step], b"");
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(text.contains("<path"), "{step}: {text}");
        roxmltree::Document::parse(&text).unwrap();
    }
    assert_eq!(run(&["picture", file, "--step", "twist"], b"").status.code(), Some(2));
    assert_eq!(run(&["picture", "-"], b"{}").status.code(), Some(2));
}

/// The sheet as HTML and as SVG; a bad bench, a page too many and a paper nobody has are refused.
#[test]
fn the_bench_sheet_is_printed_or_refused_in_one_line() {
    let design = br#"{"linkfold": 1, "wire": {"diameter_mm": 1}, "sizes": [{"mandrel_mm": 12, "springback_mm": 0}]}"#;
    let output = run(&["sheet", "-", "--paper", "letter"], design);
    let html = String::from_utf8(output.stdout).unwrap();
    assert!(html.contains("size: 215.9mm 279.4mm") && html.contains("inside 11.92 mm"), "{html}");
    let output = run(&["sheet", "-", "--svg", "--inches"], design);
    let svg = String::from_utf8(output.stdout).unwrap();
    // 12 mm less a cut of 0.26 mm over π is 11.917 mm, 0.469 in.
    assert!(svg.starts_with("<svg") && svg.contains("inside 0.469 in"), "{svg}");
    for (arguments, told) in [
        (&["sheet", "-", "--svg", "0"][..], "pages 1 to 1"),
        (&["sheet", "-", "--svg", "2"], "pages 1 to 1"),
        (&["sheet", "-", "--bench", "no-such-bench.json"], "no-such-bench.json"),
        (&["sheet", "-", "--bench", "Cargo.toml"], "the bench Cargo.toml"),
        (&["sheet", "no-such-design.json"], "cannot be read"),
    ] {
        let output = run(arguments, design);
        let error = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
        assert!(output.stdout.is_empty() && error.trim_end().lines().count() == 1, "{error}");
        assert!(error.contains(told), "{arguments:?}: {error}");
    }
    assert_eq!(run(&["sheet", "-", "--paper", "a3"], design).status.code(), Some(2));
}

/// A size that cannot be made: its field, its value, the limit and why, once, with no word of a program.
#[test]
fn what_cannot_be_made_is_said_once_in_plain_words() {
    for (size, told) in [
        (r#""mandrel_mm": 0.1"#, "oval_jaw_mm is 2.5 mm: the ring does not go round the jaws"),
        (r#""mandrel_mm": 900"#, "mandrel_mm is 900 mm: wire this thin springs off it straight"),
    ] {
        let design =
            format!(r#"{{"linkfold": 1, "wire": {{"diameter_mm": 1}}, "sizes": [{{{size}}}]}}"#);
        let output = run(&["check", "-"], design.as_bytes());
        let error = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{error}");
        assert!(error.contains(told) && error.matches(" mm: ").count() == 1, "{error}");
        let words = error.split(|letter: char| !letter.is_alphanumeric());
        let is_name = |word: &&str| word.chars().skip(1).any(char::is_uppercase);
        assert_eq!(words.filter(is_name).count(), 0, "{error}");
    }
}

/// The wish document of README.md, in short: the schema takes it, the command answers it, and nonsense
/// ends with one message that names its field.
#[test]
fn wishes_fit_their_schema_and_are_answered() {
    let schema: Value = serde_json::from_slice(&run(&["schema", "--wishes"], b"").stdout).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let mut wishes = serde_json::json!({
        "linkfold_wishes": 1,
        "wishes": [{"figure": "ratio", "near": 13}, {"figure": "links_per_100_mm", "at_least": 1}],
        "free": [{"dimension": "mandrel_mm", "list_mm": [11, 12]}, {"dimension": "wire_mm", "from_bench": true}]
    });
    assert!(validator.is_valid(&wishes), "{:?}", validator.iter_errors(&wishes).next());
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let file = |name: &str, document: &Value| {
        let path = folder.join(name);
        std::fs::write(&path, document.to_string()).unwrap();
        path.into_os_string().into_string().unwrap()
    };
    let bench = serde_json::json!({"linkfold_bench": 1, "wires": [{"diameter_mm": 0.9}, {"diameter_mm": 0.95}]});
    let (own, bench) = (file("wishes.json", &wishes), file("bench.json", &bench));
    let design = br#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": [{"mandrel_mm": 12, "springback_mm": 0}]}"#;
    let output = run(&["optimise", "-", "--wishes", &own, "--bench", &bench], design);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    // (12 − 0.26/π)/0.9 = 13.24 is the nearest of the four to 13.
    let best = &found["answers"][0]["changed"];
    assert_eq!((best[0]["mm"].as_f64(), best[1]["mm"].as_f64()), (Some(12.0), Some(0.9)), "{best}");
    let output = run(&["optimise", "-", "--wishes", &own], design);
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code() == Some(2) && told.contains("wishes.json: free[1]"), "{told}");
    wishes["free"][0]["dimension"] = "stick_mm".into();
    assert!(!validator.is_valid(&wishes));
    let output = run(&["optimise", "-", "--wishes", &file("odd.json", &wishes)], design);
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code() == Some(2) && told.contains("free[0].dimension"), "{told}");
}
