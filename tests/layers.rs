//! Each layer uses only itself and the layers above it in the table of `src/lib.rs`.
#![cfg(not(target_arch = "wasm32"))]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn source_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// The layers in the order of the table in `lib.rs`, the lowest first.
fn layers() -> Vec<String> {
    let map = fs::read_to_string(source_folder().join("lib.rs")).unwrap();
    map.lines()
        .filter_map(|line| line.strip_prefix("//! | ")?.split('`').nth(1).map(String::from))
        .collect()
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// Every `crate::a::b` of a text, as its names.
fn paths(text: &str) -> Vec<Vec<String>> {
    text.match_indices("crate::")
        .map(|(at, found)| {
            let rest = &text[at + found.len()..];
            let end = rest
                .find(|c: char| !(c.is_alphanumeric() || c == '_' || c == ':'))
                .unwrap_or(rest.len());
            rest[..end].split("::").filter(|name| !name.is_empty()).map(String::from).collect()
        })
        .collect()
}

#[test]
fn layers_use_only_themselves_and_those_above_them_in_the_table() {
    let layers = layers();
    assert!(layers.len() > 5, "no table of layers in lib.rs: {layers:?}");
    let rank = |layer: &str| layers.iter().position(|known| known == layer);
    let src = source_folder();
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut faults = Vec::new();
    for file in &files {
        let inside = file.strip_prefix(&src).unwrap();
        let first = inside.components().next().unwrap().as_os_str().to_str().unwrap();
        let layer = first.trim_end_matches(".rs");
        if ["lib", "main", "bin", "cli"].contains(&layer) {
            continue;
        }
        let Some(own) = rank(layer) else {
            faults.push(format!("{}: not in the table", inside.display()));
            continue;
        };
        let text = fs::read_to_string(file).unwrap();
        // `use crate::{a, b}` would hide layers from this test.
        assert!(!text.contains("crate::{"), "{}: one layer a line, please", inside.display());
        for used in paths(&text) {
            if used.first().and_then(|name| rank(name)).is_none_or(|other| other > own) {
                faults.push(format!("{}: {layer} uses {}", inside.display(), used.join("::")));
            }
        }
        let knows = ["web", "app"].contains(&layer);
        if !knows && (text.contains("wasm_bindgen") || text.contains("web_sys")) {
            faults.push(format!("{}: only web may know the browser", inside.display()));
        }
    }
    assert!(files.len() > 10, "sources not found");
    assert!(faults.is_empty(), "{faults:#?}");
}

/// Follows every edge from `from`; true where it comes back to where it started.
fn reaches(edges: &BTreeMap<String, BTreeSet<String>>, from: &str, wanted: &str) -> bool {
    let mut open = vec![from];
    let mut seen = BTreeSet::new();
    while let Some(name) = open.pop() {
        for next in edges.get(name).into_iter().flatten() {
            if next == wanted {
                return true;
            }
            if seen.insert(next.as_str()) {
                open.push(next);
            }
        }
    }
    false
}

#[test]
fn modules_of_one_layer_form_no_cycle() {
    let src = source_folder();
    let mut cycles = Vec::new();
    for layer in layers() {
        let mut files = Vec::new();
        sources(&src.join(&layer), &mut files);
        let mut edges: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for file in &files {
            let inside = file.strip_prefix(src.join(&layer)).unwrap();
            let first = inside.components().next().unwrap().as_os_str().to_str().unwrap();
            let module = first.trim_end_matches(".rs").to_string();
            for used in paths(&fs::read_to_string(file).unwrap()) {
                if let [of, other, ..] = used.as_slice()
                    && *of == layer
                    && *other != module
                    && other.starts_with(char::is_lowercase)
                {
                    edges.entry(module.clone()).or_default().insert(other.clone());
                }
            }
        }
        for module in edges.keys().filter(|module| reaches(&edges, module, module)) {
            cycles.push(format!("{layer}::{module}"));
        }
    }
    assert!(cycles.is_empty(), "modules that import one another in a circle: {cycles:#?}");
}
