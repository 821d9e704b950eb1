//! The command as a maker's shell sees it: documents in, documents out.
#![cfg(all(not(target_arch = "wasm32"), feature = "command"))]

use serde_json::Value;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn run(arguments: &[&str], input: &[u8]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_linkfold"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The command may refuse before it has read everything.
    let _ = command.stdin.take().unwrap().write_all(input);
    command.wait_with_output().unwrap()
}

fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("www/examples");
    let files = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path());
    files
        .filter(|f| f.extension().is_some_and(|e| e == "json"))
        .map(|f| f.display().to_string())
        .collect()
}

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
    }
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
        (huge.as_bytes(), "bytes long"),
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
    }
    let missing = run(&["check", "no-such-file.json"], b"");
    assert_eq!(missing.status.code(), Some(2));
}
