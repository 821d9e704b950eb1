//! The compliance of a short length of the wire, straight or curved.

use super::spatial::{Reduction, cross};
use crate::geometry::curve::{CurveError, Piece, Vector};
use crate::math::Gauss;
use crate::math::units::Mm;
use crate::mechanics::section::RoundSection;
use nalgebra::{Matrix3, Matrix6};
use std::f64::consts::FRAC_PI_4;

/// How much of the wire's strain is counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Theory {
    /// Bending and torsion only: for hand formulas of thin rings.
    Thin,
    /// Also axial and shear strain, as in a straight beam.
    Thick,
    /// Also the coupling of bending and axial strain in an arc (Winkler, Bach).
    #[default]
    Curved,
}

/// Wire as a beam: its section, its elastic constants and the theory to use.
///
/// # Invariants
/// E is finite and above zero, Poisson's ratio between −1 and 0.5.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamWire {
    section: RoundSection,
    youngs_modulus: f64,
    poisson_ratio: f64,
    theory: Theory,
}

/// Why a beam cannot be built or solved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BeamError {
    /// A number outside what it can mean.
    #[error("{field} is {value}; it must lie between {least} and {most}")]
    OutOfRange {
        /// Name of the quantity.
        field: &'static str,
        /// The value given.
        value: f64,
        /// Least accepted.
        least: f64,
        /// Most accepted.
        most: f64,
    },
    /// Pieces that do not make one line.
    #[error("the line of the wire does not hold together")]
    Curve(#[from] CurveError),
    /// A bend of the centreline tighter than the wire's own radius.
    #[error("piece {piece} bends at {radius_mm:.3} mm; this wire needs more than {least}")]
    BendTooTight {
        /// Which piece.
        piece: usize,
        /// Its radius, mm.
        radius_mm: f64,
        /// Half the wire's diameter.
        least: Mm,
    },
    /// A free wire with loads that do not cancel.
    #[error(
        "the loads leave {force_newtons:.3e} N and {moment_newton_mm:.3e} N·mm over; balance them or add supports"
    )]
    Unbalanced {
        /// Size of the sum of forces, N.
        force_newtons: f64,
        /// Size of the sum of moments about the curve's middle, N·mm.
        moment_newton_mm: f64,
    },
    /// Supports that leave it free to move, or two that hold the same motion.
    #[error(
        "{supports} supports do not hold the wire in each of six ways exactly once or more; add one, or drop a doubled one"
    )]
    Loose {
        /// How many there are.
        supports: usize,
    },
    /// Two of the places asked for at one place.
    #[error(
        "two of the places asked for both lie at {at_mm} mm along the wire; each needs its own place"
    )]
    SamePlace {
        /// Arc length of the place, mm.
        at_mm: f64,
    },
}

pub(super) fn in_range(
    field: &'static str,
    value: f64,
    least: f64,
    most: f64,
) -> Result<(), BeamError> {
    let fits = value >= least && value <= most;
    fits.then_some(()).ok_or(BeamError::OutOfRange { field, value, least, most })
}

impl BeamWire {
    /// From the section, E in MPa and Poisson's ratio.
    ///
    /// # Errors
    /// [`BeamError::OutOfRange`] for constants no metal has.
    pub fn new(
        section: RoundSection,
        youngs_modulus: f64,
        poisson_ratio: f64,
        theory: Theory,
    ) -> Result<BeamWire, BeamError> {
        in_range("youngs_modulus", youngs_modulus, 1e-3, 1e9)?;
        in_range("Poisson's ratio", poisson_ratio, -0.99, 0.5)?;
        Ok(BeamWire { section, youngs_modulus, poisson_ratio, theory })
    }

    /// The section.
    pub fn section(&self) -> &RoundSection {
        &self.section
    }

    /// EI, N·mm².
    pub fn bending_stiffness(&self) -> f64 {
        self.section.bending_stiffness(self.youngs_modulus)
    }

    /// G = E/(2 (1 + ν)), MPa.
    pub fn shear_modulus(&self) -> f64 {
        0.5 * self.youngs_modulus / (1.0 + self.poisson_ratio)
    }

    /// Share of the area that carries shear: 6 (1 + ν)/(7 + 6 ν).
    /// Source: Cowper, J. Appl. Mech. 33 (1966) 335, round section, as several open finite-element
    /// programs that name him have it.
    pub fn shear_factor(&self) -> f64 {
        6.0 * (1.0 + self.poisson_ratio) / (7.0 + 6.0 * self.poisson_ratio)
    }

    /// How far the neutral line of a round section bent at centreline radius R lies inside it, mm:
    /// R − ½ (R + √(R² − c²)), c = d/2, without the cancellation: c²/(2 (R + √(R² − c²))).
    pub(super) fn neutral_offset(&self, bend_radius: f64) -> f64 {
        let c = self.section.radius();
        let root = (bend_radius * bend_radius - c * c).max(0.0).sqrt();
        0.5 * c * c / (bend_radius + root)
    }

    /// Factors by which the stress at the inner and the outer fibre of an arc differs from
    /// M c/I (Winkler and Bach); first the inner.
    pub fn curved_stress_factors(&self, bend_radius: f64) -> (f64, f64) {
        let c = self.section.radius();
        let offset = self.neutral_offset(bend_radius);
        let factor = |depth: f64, fibre: f64| {
            depth / (self.section.area() * offset * fibre) * self.section.second_moment() / c
        };
        (factor(c - offset, bend_radius - c), factor(c + offset, bend_radius + c))
    }

    pub(super) fn theory(&self) -> Theory {
        self.theory
    }
}

/// The frame of a section: along the wire, towards the centre of its bend, and across.
#[derive(Clone, Copy, Debug)]
pub(super) struct SectionFrame {
    pub along: Vector,
    pub inward: Vector,
    pub across: Vector,
    /// 1/mm.
    pub curvature: f64,
}

/// The frame at arc length `s` of a piece; on a straight any two normals do.
pub(super) fn section_frame(piece: &Piece, s: f64) -> SectionFrame {
    let along = piece.tangent(s);
    let across = match piece {
        Piece::Arc(arc) => arc.axis(),
        Piece::Straight(_) => {
            // The coordinate axis least in line with it is never parallel to it.
            let axis = along.iamin();
            let mut helper = Vector::zeros();
            helper[axis] = 1.0;
            along.cross(&helper).normalize()
        }
    };
    SectionFrame { along, inward: across.cross(&along), across, curvature: piece.curvature() }
}

/// Points per panel; with panels of at most an eighth of a turn the trigonometric integrands
/// (degree four) are exact to rounding.
const POINTS: usize = 10;

/// Integrates compliances along pieces.
#[derive(Clone, Debug)]
pub(super) struct Compliance {
    rule: Gauss,
}

impl Compliance {
    pub fn new() -> Compliance {
        Compliance { rule: Gauss::new(POINTS) }
    }

    /// The reduced compliance of the part of a piece between two arc lengths, per N: the
    /// motion of its far end against its near end for a unit reduced force carried through.
    pub fn between(
        &self,
        wire: &BeamWire,
        reduction: &Reduction,
        piece: &Piece,
        from: f64,
        to: f64,
    ) -> Matrix6<f64> {
        let turn = (to - from) * piece.curvature();
        let panels = (turn / FRAC_PI_4).ceil().clamp(1.0, 16.0);
        let mut total = Matrix6::zeros();
        for panel in 0..panels as usize {
            let at = |fraction: f64| from + (to - from) * fraction / panels;
            let (low, high) = (at(panel as f64), at(panel as f64 + 1.0));
            for (s, weight) in self.rule.on(low, high) {
                total += weight * local(wire, reduction, piece, s);
            }
        }
        total
    }
}

/// Reduced compliance per length at one place.
fn local(wire: &BeamWire, reduction: &Reduction, piece: &Piece, s: f64) -> Matrix6<f64> {
    let frame = section_frame(piece, s);
    let (e, g) = (wire.youngs_modulus, wire.shear_modulus());
    let area = wire.section.area();
    let (t, n, b) = (frame.along, frame.inward, frame.across);
    let (tt, nn, bb) = (t * t.transpose(), n * n.transpose(), b * b.transpose());
    let bend = 1.0 / wire.bending_stiffness();
    let twist = 1.0 / (g * wire.section.polar_moment());
    let mut stretch = Matrix3::zeros();
    let mut coupling = Matrix3::zeros();
    let mut bend_in_plane = bend;
    if wire.theory != Theory::Thin {
        stretch = tt / (e * area) + (nn + bb) / (wire.shear_factor() * g * area);
    }
    if wire.theory == Theory::Curved && frame.curvature > 0.0 {
        // Energy per length M²/(2 A E e R) + N²/(2 A E) − M N/(A E R), with M opening the bend:
        // Timoshenko, Strength of Materials II, 3rd ed., art. 16 (from memory); M = −m·b.
        let radius = 1.0 / frame.curvature;
        bend_in_plane = 1.0 / (area * e * wire.neutral_offset(radius) * radius);
        coupling = t * b.transpose() / (area * e * radius);
    }
    let bending = tt * twist + nn * bend + bb * bend_in_plane;
    // m = (m₀ − x × f)·size: carry the bending compliance to the common point.
    let size = reduction.size;
    let lever = -cross(&reduction.place(piece.point(s)));
    let bending = bending * (size * size);
    let coupling = coupling * size;
    let mut total = Matrix6::zeros();
    let corner = coupling + lever.transpose() * bending;
    let force_force = stretch
        + coupling * lever
        + lever.transpose() * coupling.transpose()
        + lever.transpose() * bending * lever;
    total.fixed_view_mut::<3, 3>(0, 0).copy_from(&force_force);
    total.fixed_view_mut::<3, 3>(0, 3).copy_from(&corner);
    total.fixed_view_mut::<3, 3>(3, 0).copy_from(&corner.transpose());
    total.fixed_view_mut::<3, 3>(3, 3).copy_from(&bending);
    total
}
