//! The bench sheet of a design, ready to print.

use super::documents::{CheckError, bench_in, link, read};
use linkfold::answers::plan::Plan;
use linkfold::answers::report::{WholeAnswer, prove_all};
use linkfold::documents::units::LengthUnit;
use linkfold::render::sheet::{Paper, Sheet, document};
use linkfold::render::{Theme, svg};
use std::path::PathBuf;

/// Which sheet is wanted, and how.
#[derive(clap::Args)]
pub struct SheetArguments {
    /// The design's file, or - for standard input
    pub file: PathBuf,
    /// The file of your bench, whose conical pliers get their stripes
    #[arg(long)]
    bench: Option<PathBuf>,
    /// What it is printed on
    #[arg(long, value_parser = ["a4", "letter"], default_value = "a4")]
    paper: String,
    /// Lengths in inches
    #[arg(long)]
    inches: bool,
    /// Where the page can be opened: a code of the design's link is drawn
    #[arg(long, value_name = "ADDRESS")]
    link: Option<String>,
    /// One page as an SVG file instead of all as an HTML document
    #[arg(long, value_name = "PAGE", num_args = 0..=1, default_missing_value = "1")]
    svg: Option<usize>,
}

/// The sheet, as HTML or SVG.
pub fn sheet(asked: &SheetArguments) -> Result<String, CheckError> {
    let design = read(&asked.file)?;
    let bench = asked.bench.as_deref().map(bench_in).transpose()?;
    let formings = design.formings()?;
    let unit = if asked.inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let mut sheet = Sheet::of(&design, &formings, bench.as_ref(), unit);
    let joins = prove_all(&design, &formings, unit);
    sheet.verdict = WholeAnswer::of(&joins, 0).map_or_else(String::new, |whole| whole.line());
    sheet.link = link(&design, asked.link.as_deref())?;
    if design.plan.is_some() {
        sheet.take_plan(&Plan::of(&design, &formings)?);
    }
    let paper = Paper::named(&asked.paper).unwrap_or_default();
    let pages = sheet.pages(paper);
    let title = sheet.title();
    let Some(wanted) = asked.svg else { return Ok(document(&pages, paper, &title)) };
    match wanted.checked_sub(1).and_then(|index| pages.get(index)) {
        Some(page) => {
            let title = format!("{title}, page {wanted} of {}", pages.len());
            Ok(svg(page, paper.half(), 1.0, &Theme::PRINT, &title).trim_end().to_owned())
        }
        None => Err(CheckError::NoPage { wanted, count: pages.len() }),
    }
}
