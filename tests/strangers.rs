//! Files and links from strangers: what is made to do harm opens nothing but a sentence, and what
//! stands in a text field is text on sheet, hand-out and picture. `tests/end_to_end/hostile.rs`
//! follows such links on the page, `tests/fuzz.rs` draws damaged documents at random.
#![cfg(not(target_arch = "wasm32"))]

use base64::Engine;
use base64::prelude::BASE64_URL_SAFE_NO_PAD as LETTERS;
use linkfold::documents::bench::Bench;
use linkfold::documents::design::Design;
use linkfold::documents::share;
use serde_json::json;
use std::io::Write;

mod command;
use command::run;

/// A refusal is one short sentence, whatever it refuses.
fn is_sentence(words: &str) -> bool {
    let plain = |c: char| !c.is_control() && !('\u{202a}'..='\u{202e}').contains(&c);
    (8..400).contains(&words.trim_end().chars().count()) && words.trim_end().chars().all(plain)
}

#[test]
fn what_is_made_to_do_harm_opens_a_sentence() {
    let design = r#"{"linkfold": 1, "wire": {"diameter_mm": 0.9}, "sizes": [{"mandrel_mm": 12}]"#;
    let deep = |open: &str, close: &str| {
        let (open, close) = (open.repeat(100_000), close.repeat(100_000));
        format!("{design}, \"notes\": {open}1{close}}}")
    };
    let ten_million = 10_000_000;
    let cases = [
        " ".repeat(ten_million),
        format!("{design}, \"notes\": \"{}\"}}", "x".repeat(ten_million)),
        format!("{design}, \"{}\": 1}}", "x".repeat(ten_million)),
        format!("{design}, \"{}\": 1}}", "x".repeat(20_000)),
        format!("{design}, \"trials\": [{}1]}}", "1,".repeat(ten_million / 2)),
        deep("[", "]"),
        deep("{\"a\":", "}"),
        deep("[", ""),
        format!("{design}, \"\\u202eevil\\u0007\": 1}}"),
        "\u{feff}{}".into(),
        "\0\0\0".into(),
    ];
    for text in &cases {
        let start: String = text.chars().take(60).collect();
        let told = Design::parse(text).expect_err(&start).to_string();
        assert!(is_sentence(&told), "{start}: {told}");
        let told = Bench::parse(text).expect_err(&start).to_string();
        assert!(is_sentence(&told), "{start}: {told}");
        let mut writer =
            flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
        writer.write_all(text.as_bytes()).unwrap();
        let small = writer.finish().unwrap();
        let mut bytes = crc32fast::hash(&small).to_le_bytes().to_vec();
        bytes.extend(small);
        let link = format!("design.1.{}", LETTERS.encode(bytes));
        let told = share::design(&link).expect_err(&start).to_string();
        assert!(is_sentence(&told), "{start}: {told}");
    }
    for text in &cases[..4] {
        let refused = run(&["check", "-"], text.as_bytes());
        assert_eq!(refused.status.code(), Some(2));
        let told = String::from_utf8(refused.stderr).unwrap();
        assert!(told.len() < 600 && !told.contains("panicked"), "{told}");
    }
}

/// In every field of a design that holds text.
#[test]
fn marks_of_a_page_in_any_text_are_letters() {
    // Sixty letters at most, as the name of a size.
    const MARKED: &str = "\"'></text></title><script>e()</script><img src=x>&amp;";
    let likely = |x: f64| json!({"low": x, "likely": x, "high": x});
    let notes = json!({"ring": MARKED, "fold": MARKED});
    let design = json!({
        "linkfold": 1, "name": MARKED, "notes": MARKED, "wire": {"diameter_mm": 0.9},
        "metal": {"id": "mine", "own": [{
            "id": "mine", "name": MARKED, "density_g_per_cm3": likely(10.4),
            "youngs_modulus_mpa": likely(80e3), "poisson_ratio": likely(0.37),
            "yield_mpa": likely(100.0), "tensile_mpa": likely(250.0), "elongation": likely(0.4),
            "solidus_celsius": likely(780.0), "liquidus_celsius": likely(890.0),
            "annealing": {"celsius": likely(620.0), "heat": "torch-or-kiln", "method": MARKED}
        }]},
        "class": notes, "plan": {"length_mm": 180},
        "sizes": [{"name": MARKED, "mandrel_mm": 12}, {"name": MARKED, "mandrel_mm": 12.5}],
    })
    .to_string();
    Design::parse(&design).expect("it is a design");
    for command in ["sheet", "handout", "picture"] {
        let made = run(&[command, "-"], design.as_bytes());
        let (text, told) = (made.stdout, String::from_utf8_lossy(&made.stderr).into_owned());
        assert!(made.status.success(), "{command}: {told}");
        let text = String::from_utf8(text).unwrap();
        assert!(text.contains("&lt;script"), "{command} does not tell the name");
        for mark in ["<script", "<img", "</text></title>"] {
            assert!(!text.contains(mark), "{command}: {mark}");
        }
        for drawing in text.split("<svg").skip(1) {
            let drawing = format!("<svg{}</svg>", drawing.split("</svg>").next().unwrap());
            let read = roxmltree::Document::parse(&drawing).expect("well-formed");
            let known = ["svg", "title", "path", "text", "g", "rect", "tspan", "style", "desc"];
            for node in read.descendants().filter(roxmltree::Node::is_element) {
                assert!(known.contains(&node.tag_name().name()), "{command}: {node:?}");
                assert!(node.attributes().all(|a| !a.name().starts_with("on")), "{command}");
            }
        }
    }
}
