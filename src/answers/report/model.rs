//! A design's link or chain as a surface, for printing or showing around.

use crate::answers::build::BuildError;
use crate::documents::design::Design;
use crate::geometry::curve::{ClosedCurve, Pose};
use crate::geometry::link::{Forming, Step};
use crate::mesh::{Mesh, MeshError, MeshPart, Surface};
use crate::motion::chain::{Body, ChainError, seated};
use crate::motion::drape::MOST_LINKS;

/// What a surface is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MeshPiece {
    /// The soldered ring.
    Ring,
    /// The ring stretched.
    Oval,
    /// The figure eight.
    Eight,
    /// The folded loop.
    Fold,
    /// So many links joined, straight, in the design's weave.
    Chain {
        /// How many, 1 to [`MOST_LINKS`].
        links: usize,
        /// With clearance all round instead of pulled tight: what must not stick together in
        /// printing.
        apart: bool,
    },
}

/// Which surface is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeshRequest {
    /// What of.
    pub piece: MeshPiece,
    /// Which size, from 0.
    pub size: usize,
    /// Length in the model over length of the work.
    pub scale: f64,
}

/// A surface, and what is worth knowing of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Modelled {
    /// The surface.
    pub model: Mesh,
    /// Metal to metal between links of a chain, scaled, mm.
    pub clearance: Option<f64>,
}

/// Why there is no surface.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The design is at fault.
    #[error(transparent)]
    Design(#[from] BuildError),
    /// There is no such size.
    #[error("size {size} is asked for; this design has sizes 1 to {most}")]
    NoSize {
        /// What was asked for, counted from 1.
        size: usize,
        /// How many there are.
        most: usize,
    },
    /// Too few or too many links.
    #[error("{links} links are asked for; it has to be from 1 to {MOST_LINKS}")]
    Links {
        /// What was asked for.
        links: usize,
    },
    /// The links make no chain.
    #[error(transparent)]
    Chain(#[from] ChainError),
    /// The surface cannot be made.
    #[error(transparent)]
    Solid(#[from] MeshError),
}

/// How far the surface strays from the round, as a share of the wire: seen by no eye.
const STRAY: f64 = 1.0 / 200.0;
/// More triangles than this and the surface is made coarser: a long chain is seen from afar.
const ENOUGH: f64 = 1e6;

/// The surface `wanted` of `design`; it strays from the round by at most a two-hundredth of
/// the wire, a long chain by somewhat more ([`Mesh::deviation`]).
///
/// # Errors
/// [`ModelError`] where the design, the number of links or the scale does not work.
pub fn modelled(design: &Design, wanted: MeshRequest) -> Result<Modelled, ModelError> {
    let formings = design.formings()?;
    let MeshRequest { piece, size, scale } = wanted;
    let no_size = ModelError::NoSize { size: size.saturating_add(1), most: formings.len() };
    let forming = formings.get(size).ok_or(no_size)?;
    let (poses, clearance) = match piece {
        MeshPiece::Chain { links, apart } => {
            if !(1..=MOST_LINKS).contains(&links) {
                return Err(ModelError::Links { links });
            }
            let weave = design.weave.weave();
            let rest = seated(&Body::of(&forming.fold), weave)?;
            let (rise, clearance) =
                if apart { (rest.clearest_rise, rest.clearance) } else { (rest.pulled, 0.0) };
            let step = Pose::translation(0.0, 0.0, rise);
            (weave.poses(&step, links), (links > 1).then_some(scale * clearance))
        }
        _ => (vec![Pose::identity()], None),
    };
    let wire = forming.setting.wire;
    let curve = centreline(forming, piece);
    let mut surface = Surface::tube(&curve, wire, STRAY * wire)?;
    let coarser = surface.triangles().len() as f64 * poses.len() as f64 / ENOUGH;
    if coarser > 1.0 {
        surface = Surface::tube(&curve, wire, STRAY * wire * coarser)?;
    }
    let model = Mesh::new(vec![MeshPart { surface, poses }], scale)?;
    Ok(Modelled { model, clearance })
}

fn centreline(forming: &Forming, piece: MeshPiece) -> ClosedCurve {
    match piece {
        MeshPiece::Ring => forming.ring.curve(),
        MeshPiece::Oval => forming.at(Step::Stretch, 1.0).curve(),
        MeshPiece::Eight => forming.at(Step::Pinch, 1.0).curve(),
        MeshPiece::Fold | MeshPiece::Chain { .. } => forming.fold.curve(),
    }
}
