//! Where this package's files are.

use std::path::{Path, PathBuf};

/// No folder of ours in sight.
#[derive(Debug, thiserror::Error)]
#[error("no linkfold project here: run this inside its folder, where its Cargo.toml is")]
pub struct NoPackage;

/// The package folder: the one cargo names when it runs us, else the nearest at or above
/// the current folder.
pub fn folder() -> Result<PathBuf, NoPackage> {
    let named = std::env::var_os("CARGO_MANIFEST_DIR").map(PathBuf::from);
    let current = std::env::current_dir().ok();
    let above = current.iter().flat_map(|current| current.ancestors()).map(Path::to_path_buf);
    named.into_iter().chain(above).find(|folder| is_ours(folder)).ok_or(NoPackage)
}

fn is_ours(folder: &Path) -> bool {
    std::fs::read_to_string(folder.join("Cargo.toml"))
        .is_ok_and(|manifest| manifest.lines().any(|line| line.trim() == "name = \"linkfold\""))
}
