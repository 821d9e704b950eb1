//! Rooms use only rooms on lower floors: fails on any `crate::room` that looks sideways or up.
#![cfg(not(target_arch = "wasm32"))]

use std::fs;
use std::path::{Path, PathBuf};

const FLOORS: &[&[&str]] = &[
    &["units", "json", "numeric"],
    &["curve", "metal", "document"],
    &["wire", "clearance"],
    &["beam", "rod"],
    &["form"],
    &["threading", "chain", "working", "strength", "solid"],
    &["design"],
    &["bench", "map", "history", "keep", "share"],
    &["plan"],
    &["report"],
    &["tune"],
    &["picture"],
    &["helper"],
    &["web"],
];

fn floor_of(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
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

#[test]
fn rooms_look_down_only() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut faults = Vec::new();
    for file in &files {
        let inside = file.strip_prefix(&src).unwrap();
        let first = inside.components().next().unwrap().as_os_str().to_str().unwrap();
        let room = first.trim_end_matches(".rs");
        if ["lib", "main", "bin", "command"].contains(&room) {
            continue;
        }
        let Some(floor) = floor_of(room) else {
            faults.push(format!("{}: room \"{room}\" is on no floor", inside.display()));
            continue;
        };
        let text = fs::read_to_string(file).unwrap();
        // `use crate::{a, b}` would hide rooms from this test.
        assert!(!text.contains("crate::{"), "{}: one room a line, please", inside.display());
        for (_, rest) in text.match_indices("crate::").map(|(i, m)| (i, &text[i + m.len()..])) {
            let used: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            if used != room && floor_of(&used).is_none_or(|other| other >= floor) {
                faults.push(format!("{}: {room} uses {used}", inside.display()));
            }
        }
        if room != "web" && (text.contains("wasm_bindgen") || text.contains("web_sys")) {
            faults.push(format!("{}: only web may know the browser", inside.display()));
        }
    }
    assert!(files.len() > 10, "sources not found");
    assert!(faults.is_empty(), "{faults:#?}");
}
