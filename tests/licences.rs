//! What we build on may be handed out with the page and the command: every package's licence is one
//! that asks for no more than its notice. Read from what cargo has fetched; no network, no database.
#![cfg(not(target_arch = "wasm32"))]

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

/// By their SPDX names.
const ALLOWED: [&str; 12] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

/// Whether an SPDX expression, or an older one with strokes, can be kept to by allowed licences.
fn is_allowed(expression: &str) -> bool {
    let expression = expression.replace('/', " OR ");
    expression.split(" AND ").all(|part| {
        let part = part.trim_matches(['(', ')']);
        part.split(" OR ").any(|licence| ALLOWED.contains(&licence.trim()))
    })
}

/// The packages that are built for a target, with the licence of each.
fn packages(features: &str, target: &str) -> Vec<(String, String)> {
    let told = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--offline", "--format-version", "1", features])
        .args(["--filter-platform", target])
        .output()
        .expect("cargo runs");
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    let told: Value = serde_json::from_slice(&told.stdout).expect("cargo writes JSON");
    let used = told["resolve"]["nodes"].as_array().expect("nodes");
    let used: BTreeSet<&str> = used.iter().filter_map(|node| node["id"].as_str()).collect();
    let all = told["packages"].as_array().expect("packages").iter();
    all.filter(|package| used.contains(package["id"].as_str().unwrap_or_default()))
        .map(|package| {
            let licence = package["license"].as_str().unwrap_or("none is named");
            (package["name"].to_string(), licence.to_string())
        })
        .collect()
}

#[test]
fn every_package_may_be_handed_out() {
    let page = packages("--no-default-features", "wasm32-unknown-unknown");
    let rustc = Command::new("rustc").arg("-vV").output().expect("rustc runs");
    let told = String::from_utf8(rustc.stdout).expect("text");
    let host = told.lines().find_map(|line| line.strip_prefix("host: ")).expect("a host");
    let all = packages("--all-features", host);
    assert!(page.len() > 20 && all.len() > page.len());
    let refused: Vec<_> =
        page.iter().chain(&all).filter(|(_, licence)| !is_allowed(licence)).collect();
    assert!(refused.is_empty(), "{refused:?}");
}

#[test]
fn an_expression_is_read_as_it_is_meant() {
    assert!(is_allowed("(MIT OR GPL-3.0) AND Unicode-3.0") && is_allowed("GPL-2.0/MIT"));
    assert!(!is_allowed("MIT AND GPL-3.0") && !is_allowed("GPL-3.0") && !is_allowed(""));
}
