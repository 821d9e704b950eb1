//! Gauges and jigs of a design, as solids for a printer or outlines for a laser or a saw.

use super::documents::{CheckError, bench_in, read};
use clap::{Args, ValueEnum};
use linkfold::answers::jig::{JIG_CAUTIONS, Jig, JigError, JigKind, JigRequest};
use linkfold::mesh::{glb, stl};
use linkfold::render::jig_svg;
use std::fmt::Write;
use std::path::PathBuf;

/// What `linkfold jig` is told.
#[derive(Args)]
pub struct JigArguments {
    /// The design's file, or - for standard input
    pub file: PathBuf,
    /// Which part
    #[arg(long, value_enum)]
    what: JigChoice,
    /// Which of the design's sizes, from 1; left out, a plate or a gap gauge has all of them, anything
    /// else is for the first
    #[arg(long)]
    size: Option<usize>,
    /// The file of your bench, which knows what your printer makes too thick
    #[arg(long)]
    bench: Option<PathBuf>,
    /// Outlines as SVG, true to scale, instead of a solid; no allowance for a printer
    #[arg(long)]
    svg: bool,
    /// Where to write it; a solid is glTF where the name ends in .glb, else STL
    #[arg(short, long)]
    output: PathBuf,
}

#[derive(Clone, Copy, ValueEnum)]
enum JigChoice {
    /// Gauge plate: pockets for every step, go and no-go
    Plate,
    /// Rod to wind the coil on, with a groove for the saw
    Mandrel,
    /// Two posts on a slide, to stretch the ring over
    Oval,
    /// Two jaws that press a neck
    Waist,
    /// Core to fold over, with stops
    Fold,
    /// Slots that measure the gaps at waist and tips
    Feeler,
    /// Four slots that show what the printer makes too thick
    Test,
}

/// Why there is no file.
#[derive(Debug, thiserror::Error)]
pub enum JigCommandError {
    /// The design or the bench cannot be read.
    #[error(transparent)]
    Document(#[from] CheckError),
    /// The part cannot be made.
    #[error(transparent)]
    Jig(#[from] JigError),
    /// The file cannot be written.
    #[error("{} cannot be written: {source}", .file.display())]
    Unwritten {
        /// Which file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
}

/// Writes the file asked for; what it holds, in sentences.
pub fn jig(asked: &JigArguments) -> Result<String, JigCommandError> {
    let design = read(&asked.file)?;
    let bench = asked.bench.as_deref().map(bench_in).transpose()?.unwrap_or_default();
    let request = JigRequest {
        kind: JigKind::ALL[asked.what as usize],
        // No size 0: it is answered like one too many.
        size: asked.size.map(|size| size.checked_sub(1).unwrap_or(usize::MAX)),
        allowance_mm: if asked.svg { 0.0 } else { bench.print_allowance_mm },
    };
    let jig = Jig::for_design(&design, request)?;
    let mesh = jig.mesh()?;
    let file = asked.output.clone();
    let is_glb = file.extension().is_some_and(|end| end.eq_ignore_ascii_case("glb"));
    let bytes = match (asked.svg, is_glb) {
        (true, _) => {
            let title = format!("{}. {}", jig.title(&design), JIG_CAUTIONS.join(" "));
            jig_svg(&jig, &title).into_bytes()
        }
        (_, true) => glb(&mesh),
        _ => stl(&mesh),
    };
    std::fs::write(&file, bytes).map_err(|source| JigCommandError::Unwritten { file, source })?;
    let [low, high] = jig.extents();
    let [x, y, z] = [0, 1, 2].map(|i| high[i] - low[i]);
    let mut told = format!("{}: {x:.1} x {y:.1} x {z:.1} mm over all", jig.title(&design));
    for measure in &jig.measures {
        let _ = write!(told, "\n{}: {:.2} mm", measure.name, measure.mm);
        if let (Some(go), Some(no_go)) = (measure.go_mm, measure.no_go_mm) {
            let _ = write!(told, " (go {go:.2}, no-go {no_go:.2})");
        }
    }
    for line in jig.notes.iter().map(String::as_str).chain(JIG_CAUTIONS) {
        let _ = write!(told, "\n{line}");
    }
    Ok(told)
}
