//! The page as it is served: a folder with the files of `www`, the module and its bindings, and
//! what keeps the page working offline.
//!
//! Written anew by every build, so that `www` holds sources only and nothing of an earlier build
//! is served. Handed out, every file has a compressed copy beside it for the server to choose.

use super::documents::{Schema, schema};
use super::module::{self, Make, ModuleError};
use super::offline;
use super::opening::opened;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Builds the page into the package's `site` folder; where that is.
pub fn build(package: &Path, make: Make) -> Result<PathBuf, ModuleError> {
    let unwritten = |what| move |source| ModuleError::Unwritten { what, source };
    let site = package.join("site");
    let module = module::compile(package, make)?;
    match std::fs::remove_dir_all(&site) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => {
            return Err(unwritten("the site folder")(error));
        }
        _ => {}
    }
    copy(&package.join("www"), &site).map_err(unwritten("the site folder"))?;
    open(&site)?;
    module::bind(&module, &site.join("pkg")).map_err(ModuleError::Bindings)?;
    schemas(&site.join("pkg")).map_err(unwritten("the schemas"))?;
    offline::write(&site).map_err(unwritten("site/offline.js"))?;
    if make == Make::Full {
        eprintln!("linkfold: compressing the page's files");
        compress(&site).map_err(unwritten("the compressed files"))?;
    }
    Ok(site)
}

/// Writes the opening design onto the page.
fn open(site: &Path) -> Result<(), ModuleError> {
    let files = ["index.html", "style.css"].map(|name| site.join(name));
    let unwritten = |source| ModuleError::Unwritten { what: "the opening design", source };
    let [html, style] = files.each_ref().map(std::fs::read_to_string);
    let (html, style) = opened(&html.map_err(unwritten)?, &style.map_err(unwritten)?)?;
    std::fs::write(&files[0], html).map_err(unwritten)?;
    std::fs::write(&files[1], style).map_err(unwritten)
}

/// Writes the schemas, which other pages ask for (`www/linkfold.js`).
fn schemas(folder: &Path) -> io::Result<()> {
    let all = [(Schema::Design, "design"), (Schema::Bench, "bench"), (Schema::Wishes, "wishes")];
    all.into_iter().try_for_each(|(of, name)| {
        std::fs::write(folder.join(format!("{name}.schema.json")), schema(of))
    })
}

/// Copies a folder, without the examples: those are in the module.
fn copy(from: &Path, to: &Path) -> io::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let place = to.join(entry.file_name());
        if !entry.file_type()?.is_dir() {
            std::fs::copy(entry.path(), place)?;
        } else if entry.file_name() != "examples" {
            copy(&entry.path(), &place)?;
        }
    }
    Ok(())
}

/// Writes every file that gains by it once more as `.gz` and as `.br`.
fn compress(folder: &Path) -> io::Result<()> {
    // Listed before the copies come.
    let entries = std::fs::read_dir(folder)?.collect::<io::Result<Vec<_>>>()?;
    for entry in entries {
        let path = entry.path();
        if entry.file_type()?.is_dir() {
            compress(&path)?;
            continue;
        }
        // Pictures in PNG are compressed already.
        if path.extension().is_some_and(|extension| extension == "png") {
            continue;
        }
        let bytes = std::fs::read(&path)?;
        for (extension, packed) in [("gz", module::gzip(&bytes)?), ("br", brotli(&bytes)?)] {
            let mut name = path.clone().into_os_string();
            name.push(".");
            name.push(extension);
            std::fs::write(name, packed)?;
        }
    }
    Ok(())
}

/// Compressed as well as Brotli can: RFC 7932, the best quality and the widest window that every
/// browser takes.
fn brotli(bytes: &[u8]) -> io::Result<Vec<u8>> {
    const BLOCK: usize = 1 << 16;
    const QUALITY: u32 = 11;
    const WINDOW: u32 = 24;
    let mut packed = Vec::new();
    let mut writer = brotli::CompressorWriter::new(&mut packed, BLOCK, QUALITY, WINDOW);
    writer.write_all(bytes)?;
    writer.flush()?;
    drop(writer);
    Ok(packed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_compressed_is_read_back() {
        let bytes: Vec<u8> = (0..100_000u32).flat_map(|i| (i / 7).to_le_bytes()).collect();
        let mut read = Vec::new();
        brotli::BrotliDecompress(&mut &brotli(&bytes).unwrap()[..], &mut read).unwrap();
        assert!(read == bytes);
    }
}
