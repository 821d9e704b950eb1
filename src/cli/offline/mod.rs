//! What keeps the served page working without a network: a service worker that knows the
//! page's own files and no others, by a name that changes whenever one of them does.

use sha2::{Digest, Sha256};
use std::io;
use std::path::Path;

const WORKER: &str = include_str!("worker.js");
/// Its name in the served folder; each build writes it.
const NAME: &str = "offline.js";

/// Writes the service worker for the files in `www` as they are now, before they are compressed.
pub fn write(www: &Path) -> io::Result<()> {
    let mut names = Vec::new();
    list(www, "", &mut names)?;
    names.sort();
    std::fs::write(www.join(NAME), worker(www, &names)?)
}

/// The files a page may ask for: the examples are in the module.
fn list(folder: &Path, inside: &str, names: &mut Vec<String>) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{inside}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            if name != "examples" {
                list(&entry.path(), &format!("{name}/"), names)?;
            }
        } else if name != NAME && !name.ends_with(".gz") {
            names.push(name);
        }
    }
    Ok(())
}

fn worker(www: &Path, names: &[String]) -> io::Result<String> {
    let mut hash = Sha256::new();
    for name in names {
        let bytes = std::fs::read(www.join(name))?;
        hash.update(name);
        hash.update((bytes.len() as u64).to_le_bytes());
        hash.update(bytes);
    }
    let build: String = hash.finalize().iter().take(8).map(|b| format!("{b:02x}")).collect();
    let files = serde_json::to_string(names).map_err(io::Error::other)?;
    Ok(WORKER.replacen("linkfold-BUILD", &format!("linkfold-{build}"), 1).replacen(
        "['FILES']",
        &files,
        1,
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_content_is_another_build() {
        let folder = std::env::temp_dir().join(format!("linkfold-offline-{}", std::process::id()));
        std::fs::create_dir_all(folder.join("pkg")).unwrap();
        std::fs::create_dir_all(folder.join("examples")).unwrap();
        for (name, text) in
            [("index.html", "a"), ("pkg/b.wasm", "b"), ("pkg/b.wasm.gz", "c"), ("examples/d", "d")]
        {
            std::fs::write(folder.join(name), text).unwrap();
        }
        let written = || {
            write(&folder).unwrap();
            std::fs::read_to_string(folder.join(NAME)).unwrap()
        };
        let first = written();
        assert!(first.contains(r#"const FILES = ["index.html","pkg/b.wasm"];"#), "{first}");
        assert_eq!(first, written(), "the same files are the same build");
        std::fs::write(folder.join("pkg/b.wasm"), "e").unwrap();
        assert_ne!(first, written());
        std::fs::remove_dir_all(folder).unwrap();
    }
}
