//! The bench sheet of a design, ready to print.

use super::documents::{FileError, text};
use linkfold::bench::Bench;
use linkfold::design::Design;
use linkfold::picture::sheet::{Paper, Sheet, document};
use linkfold::picture::{Theme, svg};
use linkfold::units::LengthUnit;
use std::path::Path;

/// How the sheet is wanted.
pub struct Asked {
    /// Name of the paper.
    pub paper: String,
    /// Lengths in inches.
    pub inches: bool,
    /// This page as SVG instead of all as HTML, counted from 1.
    pub svg: Option<usize>,
}

/// The bench in `file` (`-` for standard input).
pub fn bench(file: &Path) -> Result<Bench, FileError> {
    Ok(Bench::parse(&text(file)?)?)
}

/// The sheet of the design in `file` (`-` for standard input), as HTML or SVG.
pub fn sheet(file: &Path, bench: Option<&Bench>, asked: &Asked) -> Result<String, FileError> {
    let design = Design::parse(&text(file)?)?;
    let formings = design.formings()?;
    let unit = if asked.inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let sheet = Sheet::of(&design, &formings, bench, unit);
    let paper = Paper::named(&asked.paper).unwrap_or_default();
    let pages = sheet.pages(paper);
    let title = sheet.title();
    let Some(wanted) = asked.svg else { return Ok(document(&pages, paper, &title)) };
    match wanted.checked_sub(1).and_then(|index| pages.get(index)) {
        Some(page) => {
            let title = format!("{title}, page {wanted} of {}", pages.len());
            Ok(svg(page, paper.half(), &Theme::PRINT, &title).trim_end().to_owned())
        }
        None => Err(FileError::NoPage { wanted, count: pages.len() }),
    }
}
