//! Where the ends of a chain are held, and round what it lies: a hand's two fingers, a wrist,
//! a neck.

use super::DrapeForm;
use crate::geometry::curve::{Point, Vector};
use nalgebra::Unit;
use std::f64::consts::TAU;

/// How a chain is hung. x to the right, y away from the reader, z up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Worn {
    /// Between two places at one height, this share of the chain's length apart.
    BetweenPoints {
        /// 0 to 1.
        fraction: f64,
    },
    /// Round a wrist lying across the picture's depth; clasped above.
    Wrist {
        /// Round it, mm.
        girth: f64,
    },
    /// Round a neck that leans forward; clasped at the nape.
    Neck {
        /// Round it, mm.
        girth: f64,
    },
}

/// Ends, direction of the first lay, and form; mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WornPlacement {
    /// Where the ends are held.
    pub ends: [Point; 2],
    /// Towards where the middle is laid first.
    pub lay: Vector,
    /// What it lies round.
    pub form: Option<DrapeForm>,
}

/// A wrist is taken to be three quarters as thick as wide (our choice, no source).
const WRIST_FLAT: f64 = 0.75;
/// A neck is taken to be nearly round, and to lean forward by this, radians (our choice, no source).
const NECK_FLAT: f64 = 0.9;
const NECK_LEAN: f64 = 0.35;

impl Worn {
    /// The stand for a chain `length` mm long whose middle line keeps `clear` mm off a form, its
    /// ends `clasp` mm apart.
    pub fn placement(self, length: f64, clear: f64, clasp: f64) -> WornPlacement {
        match self {
            Worn::BetweenPoints { fraction } => {
                let half = 0.5 * length * fraction.clamp(0.0, 1.0);
                let ends = [Point::new(-half, 0.0, 0.0), Point::new(half, 0.0, 0.0)];
                WornPlacement { ends, lay: -Vector::z(), form: None }
            }
            Worn::Wrist { girth } => round(girth, WRIST_FLAT, Vector::y_axis(), clear, clasp),
            Worn::Neck { girth } => {
                let axis = Vector::new(0.0, -NECK_LEAN.sin(), NECK_LEAN.cos());
                round(girth, NECK_FLAT, Unit::new_normalize(axis), clear, clasp)
            }
        }
    }
}

fn round(girth: f64, flat: f64, axis: Unit<Vector>, clear: f64, clasp: f64) -> WornPlacement {
    let across = Vector::x_axis();
    // A wrist's other half width points down, a neck's to the nape.
    let other = axis.cross(&across);
    let up = if other.z < -0.5 { -other } else { other };
    // Perimeter of an ellipse, 2π √((a² + b²)/2): within 1 % so near the round.
    let wide = girth / TAU * (2.0 / (1.0 + flat * flat)).sqrt();
    let half_widths = [wide, flat * wide];
    let form = DrapeForm::Cylinder { centre: Point::origin(), axis, across, half_widths };
    // The clasp's places, a hair off the form so that they do not fight it.
    let half = (0.5 * clasp).min(0.5 * wide);
    let (a, b) = (half_widths[0] + clear, half_widths[1] + clear);
    let height = b * (1.0 - (half / a).powi(2)).sqrt() * (1.0 + 1e-6);
    let place = |side: f64| Point::from(side * half * across.into_inner() + height * up);
    // Laid away from the clasp, and for a neck rather down its front.
    let lay = if axis.z.abs() > 0.5 { -up - 0.4 * Vector::z() } else { -up };
    WornPlacement { ends: [place(-1.0), place(1.0)], lay, form: Some(form) }
}
