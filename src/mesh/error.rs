//! Why there is no such surface.

/// Triangles written at most: two hundred megabytes of STL.
pub const MOST_TRIANGLES: usize = 4_000_000;

/// Why there is no such surface.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeshError {
    /// A number lies outside what works.
    #[error("{field} is {value}; it has to be from {least} to {most}")]
    Outside {
        /// Which number.
        field: &'static str,
        /// What was asked for.
        value: f64,
        /// The least that works.
        least: f64,
        /// The most that works.
        most: f64,
    },
    /// The wire would fold into itself.
    #[error(
        "the centreline bends at a radius of {radius_mm:.4} mm; wire of {wire_mm:.4} mm needs more than {:.4} mm",
        0.5 * wire_mm
    )]
    BendTooTight {
        /// Radius of the tightest bend, mm.
        radius_mm: f64,
        /// Wire diameter, mm.
        wire_mm: f64,
    },
    /// More triangles than a file should hold.
    #[error(
        "the surface takes {triangles:.0} triangles, at most {MOST_TRIANGLES} are written; ask for fewer links, or let it stray by {stray_mm:.2e} mm of the link"
    )]
    TooMany {
        /// How many it takes.
        triangles: f64,
        /// How far it may stray for it to work, before scaling, mm.
        stray_mm: f64,
    },
    /// Contours of a part to be printed touch or cross one another.
    #[error("outlines of the part touch or cross one another; take dimensions further apart")]
    Touching,
    /// There is nothing to place.
    #[error("there is no link to make a surface of; ask for one at least")]
    Nothing,
}

/// `value`, if it is from `least` to `most`.
pub(super) fn within(
    field: &'static str,
    value: f64,
    [least, most]: [f64; 2],
) -> Result<f64, MeshError> {
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(MeshError::Outside { field, value, least, most })
    }
}
