//! A design's link or chain as a file for a printer or a viewer.

use super::documents::{CheckError, read};
use clap::{Args, ValueEnum};
use linkfold::answers::report::{MeshPiece, MeshRequest, ModelError, modelled};
use linkfold::mesh::{glb, stl};
use std::path::PathBuf;

/// What `linkfold mesh` is told.
#[derive(Args)]
pub struct MeshArguments {
    /// The design's file, or - for standard input
    pub file: PathBuf,
    /// What the surface is of
    #[arg(long, value_enum, default_value_t = MeshSubject::Link)]
    what: MeshSubject,
    /// The link's shape after this step
    #[arg(long, value_enum, default_value_t = After::Fold)]
    after: After,
    /// Links of the chain, 1 to 400
    #[arg(long, default_value_t = 5)]
    links: usize,
    /// Leave clearance all round each link of the chain, instead of pulling it tight
    #[arg(long)]
    apart: bool,
    /// Which of the design's sizes, from 1
    #[arg(long, default_value_t = 1)]
    size: usize,
    /// How many times larger than the work, 0.001 to 1000
    #[arg(long, default_value_t = 1.0)]
    scale: f64,
    /// Kind of file: STL in mm, or glTF 2.0 in metres, in one file
    #[arg(long, value_enum, default_value_t = Format::Stl)]
    format: Format,
    /// Where to write it
    #[arg(short, long)]
    output: PathBuf,
}

#[derive(Clone, Copy, ValueEnum)]
enum MeshSubject {
    /// One link
    Link,
    /// Links joined, straight, in the design's weave
    Chain,
}

#[derive(Clone, Copy, ValueEnum)]
enum After {
    /// Soldered ring
    Ring,
    /// Stretched oval
    Oval,
    /// Figure eight
    Eight,
    /// Folded loop
    Fold,
}

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    /// Binary STL, mm
    Stl,
    /// glTF 2.0, metres
    Glb,
}

/// Why there is no file.
#[derive(Debug, thiserror::Error)]
pub enum MeshCommandError {
    /// The design cannot be read.
    #[error(transparent)]
    Design(#[from] CheckError),
    /// The surface cannot be made.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The file cannot be written.
    #[error("{} cannot be written: {source}", .file.display())]
    Unwritten {
        /// Which file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
}

/// Writes the file asked for; what it holds, in a sentence.
pub fn mesh(asked: &MeshArguments) -> Result<String, MeshCommandError> {
    let design = read(&asked.file)?;
    let piece = match (asked.what, asked.after) {
        (MeshSubject::Chain, _) => MeshPiece::Chain { links: asked.links, apart: asked.apart },
        (MeshSubject::Link, After::Ring) => MeshPiece::Ring,
        (MeshSubject::Link, After::Oval) => MeshPiece::Oval,
        (MeshSubject::Link, After::Eight) => MeshPiece::Eight,
        (MeshSubject::Link, After::Fold) => MeshPiece::Fold,
    };
    // No size 0: it is answered like one too many.
    let size = asked.size.checked_sub(1).unwrap_or(usize::MAX);
    let made = modelled(&design, MeshRequest { piece, size, scale: asked.scale })?;
    let bytes = match asked.format {
        Format::Stl => stl(&made.model),
        Format::Glb => glb(&made.model),
    };
    let file = asked.output.clone();
    std::fs::write(&file, bytes).map_err(|source| MeshCommandError::Unwritten { file, source })?;
    let [low, high] = made.model.extents();
    let size = high - low;
    let clearance = match made.clearance {
        Some(clearance) => format!(", {clearance:.3} mm of clearance between links"),
        None => String::new(),
    };
    Ok(format!(
        "{} triangles, {:.2} x {:.2} x {:.2} mm over all, within {:.4} mm of round wire{clearance}",
        made.model.triangles(),
        size.x,
        size.y,
        size.z,
        made.model.deviation()
    ))
}
