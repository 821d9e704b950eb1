//! What the documents name is there: files in the prose, tests and benches in the code's docs.
#![cfg(not(target_arch = "wasm32"))]

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files_under(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files_under(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs" || e == "md") {
            found.push(path);
        }
    }
}

/// Paths in backticks that begin with a folder of the project, up to the first character that
/// no path of ours has.
fn named_paths(text: &str) -> Vec<String> {
    let folders = ["src/", "tests/", "benches/", "www/", ".ci/"];
    let quoted = text.split('`').skip(1).step_by(2);
    quoted
        .filter(|quoted| folders.iter().any(|folder| quoted.starts_with(folder)))
        .map(|quoted| {
            let end = quoted.find(|c: char| !(c.is_ascii_alphanumeric() || "/_-.".contains(c)));
            quoted[..end.unwrap_or(quoted.len())].trim_end_matches('.').to_string()
        })
        .collect()
}

/// What the build writes, so that a fresh checkout lacks it.
const BUILT: [&str; 1] = ["site"];

#[test]
fn every_file_that_the_documents_name_exists() {
    let mut files = vec![root().join("README.md"), root().join("DEVELOPERS.md")];
    for folder in ["src", "tests", "benches"] {
        files_under(&root().join(folder), &mut files);
    }
    let mut missing = Vec::new();
    let mut named = 0;
    for file in &files {
        let text = fs::read_to_string(file).unwrap();
        // A pair of backticks does not reach from one line to the next.
        for path in text.lines().flat_map(named_paths) {
            named += 1;
            let built = BUILT.iter().any(|built| path.starts_with(built));
            // A test may be a file or a folder with a main file.
            let folder = path.strip_suffix(".rs").map(|stem| root().join(stem).join("main.rs"));
            let there = root().join(&path).exists() || folder.is_some_and(|main| main.exists());
            if !built && !there {
                missing.push(format!("{}: {path}", file.strip_prefix(root()).unwrap().display()));
            }
        }
    }
    assert!(named > 50, "only {named} names of files found: the search has lost its way");
    assert!(missing.is_empty(), "{missing:#?}");
}

#[test]
fn no_doc_comment_stands_for_nothing() {
    let empty = ["Which.", "As said.", "Where.", "As given."];
    let mut files = Vec::new();
    files_under(&root().join("src"), &mut files);
    let mut found = Vec::new();
    for file in &files {
        for (number, line) in fs::read_to_string(file).unwrap().lines().enumerate() {
            let comment = line.trim().trim_start_matches("///").trim();
            if line.trim().starts_with("///") && empty.contains(&comment) {
                let name = file.strip_prefix(root()).unwrap().display().to_string();
                found.push(format!("{name}:{}: {comment}", number + 1));
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}
