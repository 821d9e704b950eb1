//! Rigid–plastic bounds on the pull at which a wire that mirrors itself yields.
//!
//! For a closed wire with mirror planes x = 0 and y = 0, loaded the same way, balance leaves one
//! unknown, a constant moment about z (each quarter has four moments and one axial force at its
//! two ends, and balance fixes all but that), and one more for each contact within the link.
//! By the static theorem a pull is safe if some choice of the unknowns leaves every section
//! inside the yield surface, and the collapse pull is the greatest such. So
//!
//! * with a surface inside the true one, `√(m² + t² + v²) + |n| ≤ 1`, a lower bound (m, t:
//!   Hill and Siebel's stress fields for bending with torsion; n: a mixture with pure pull;
//!   v, the shear across, in quadrature as textbooks add it, which no theorem covers);
//! * with a surface outside it, `max(m, t, n) ≤ 1`, an upper bound.
//!
//! `M_p = σ_y d³/6`, `T_p = σ_y π d³/(12 √3)`, `N_p = σ_y π d²/4`, `V_p = N_p/√3`.
//! The greatest use of any section is a convex function of the unknowns. The ellipsoid method
//! finds its least value and, at every step, proves a value it does not go below, so that the
//! upper bound does not rest on having found the best.
//! Source: Neal, *The Plastic Methods of Structural Analysis*; Hill & Siebel, Phil. Mag. 42
//! (1951) 722; Bland, Goldfarb & Todd, *The ellipsoid method: a survey*, Oper. Res. 29 (1981)
//! 1039 (all from memory).

use crate::geometry::curve::Vector;
use crate::mechanics::beam::{BeamError, Equilibrium};
use nalgebra::{SMatrix, SVector};
use std::f64::consts::PI;

/// Pull between which the link yields without limit, in units of σ_y d².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collapse {
    /// It holds at least this.
    pub lower: f64,
    /// It holds at most this.
    pub upper: f64,
}

/// Sections of a quarter that are looked at; a smooth peak between two is missed by 0.05 %.
const SECTIONS: usize = 96;
/// Steps of the ellipsoid; four unknowns shrink it tenfold in about 90.
const STEPS: usize = 600;
/// Bounds this near each other, as a share, are near enough.
const NEAR: f64 = 1e-3;
/// Contact forces are sought up to this many times the pull; moments up to this many times the
/// greatest moment.
const REACH: f64 = 8.0;
/// M_p/T_p.
const TWIST: f64 = 1.102_657_790_843_584_2; // 2 √3/π

/// Unknowns: two contacts at most, and the moment about z.
const COUNT: usize = 3;
type Unknowns = SVector<f64, COUNT>;

/// What one section carries, over its plastic strengths at a yield stress of 1 MPa.
#[derive(Clone, Copy, Default)]
struct SectionUse {
    bend: Vector,
    twist: f64,
    shear: Vector,
    axial: f64,
}

impl SectionUse {
    fn of(force: Vector, moment: Vector, along: Vector) -> SectionUse {
        let (twist, axial) = (moment.dot(&along), force.dot(&along));
        SectionUse {
            bend: moment - twist * along,
            twist: TWIST * twist,
            shear: 3f64.sqrt() * (force - axial * along),
            axial,
        }
    }

    fn plus(self, factor: f64, other: &SectionUse) -> SectionUse {
        SectionUse {
            bend: self.bend + factor * other.bend,
            twist: self.twist + factor * other.twist,
            shear: self.shear + factor * other.shear,
            axial: self.axial + factor * other.axial,
        }
    }

    /// √(m² + t² + v²) without n.
    fn bent(&self) -> f64 {
        (self.bend.norm_squared() + self.twist.powi(2) + self.shear.norm_squared()).sqrt()
    }

    /// Share of the section that is used up.
    fn used(&self, inside: bool) -> f64 {
        if inside {
            self.bent() + self.axial.abs()
        } else {
            self.bend.norm().max(self.twist.abs()).max(self.axial.abs())
        }
    }

    /// How fast that grows along `other`.
    fn slope(&self, inside: bool, other: &SectionUse) -> f64 {
        let axial = self.axial.signum() * other.axial;
        let bend = self.bend.norm();
        if inside {
            let turned = self.bend.dot(&other.bend)
                + self.twist * other.twist
                + self.shear.dot(&other.shear);
            turned / self.bent().max(f64::MIN_POSITIVE) + axial
        } else if bend >= self.twist.abs().max(self.axial.abs()) {
            self.bend.dot(&other.bend) / bend.max(f64::MIN_POSITIVE)
        } else if self.twist.abs() >= self.axial.abs() {
            self.twist.signum() * other.twist
        } else {
            axial
        }
    }
}

/// One section: what the pull brings, and what each unknown adds.
struct Section {
    pulled: SectionUse,
    added: [SectionUse; COUNT],
}

/// Bounds for a closed wire of diameter `wire` (mm), symmetric in x = 0 and y = 0, its start on
/// one of these planes. `pulled` is the wire under a pull of 1 N, `contacts` (at most two) the
/// same wire under a pair of unit forces that may press but not draw.
///
/// # Errors
/// [`BeamError`] off the wire.
pub fn collapse(
    pulled: &Equilibrium,
    contacts: &[&Equilibrium],
    wire: f64,
) -> Result<Collapse, BeamError> {
    let bending = wire.powi(3) / 6.0;
    let area = 0.25 * PI * wire * wire;
    let mut sections = Vec::with_capacity(SECTIONS + 1);
    let mut greatest = 0.0_f64;
    for i in 0..=SECTIONS {
        // A hair inside each end, so that no section stands on a load there.
        let fraction = (i as f64 / SECTIONS as f64).clamp(1e-6, 1.0 - 1e-6);
        let read = |state: &Equilibrium| {
            state.section_vectors(0.25 * state.length() * fraction).map(|section| {
                let (force, moment) = (section.force / area, section.moment / bending);
                (SectionUse::of(force, moment, section.along), section.along)
            })
        };
        let (load, along) = read(pulled)?;
        greatest = greatest.max(load.bent());
        let mut added = [SectionUse::default(); COUNT];
        for (place, contact) in added.iter_mut().zip(contacts.iter().take(COUNT - 1)) {
            *place = read(contact)?.0;
        }
        added[COUNT - 1] = SectionUse::of(Vector::zeros(), Vector::z(), along);
        sections.push(Section { pulled: load, added });
    }
    // The moment in units of the greatest, so that all unknowns are of one size.
    for section in &mut sections {
        let moment = &mut section.added[COUNT - 1];
        *moment = SectionUse::default().plus(greatest, moment);
    }
    let in_units = |used: f64| if used > 0.0 { 1.0 / (used * wire * wire) } else { f64::INFINITY };
    let (found, _) = least_use(&sections, true);
    let (_, proven) = least_use(&sections, false);
    Ok(Collapse { lower: in_units(found), upper: in_units(proven) })
}

/// The least greatest use found, and a value it is proven not to go below.
fn least_use(sections: &[Section], inside: bool) -> (f64, f64) {
    let n = COUNT as f64;
    let mut centre = Unknowns::zeros();
    let mut shape = SMatrix::<f64, COUNT, COUNT>::identity() * (REACH * REACH);
    let (mut found, mut proven) = (f64::INFINITY, 0.0_f64);
    for _ in 0..STEPS {
        // Contacts press: a negative one is cut off first.
        let drawn = (0..COUNT - 1).find(|i| centre[*i] < 0.0);
        let slope = if let Some(i) = drawn {
            -Unknowns::ith(i, 1.0)
        } else {
            let (mut worst, mut used) = (None, 0.0);
            for section in sections {
                let mut fraction = section.pulled;
                for (factor, added) in centre.iter().zip(&section.added) {
                    fraction = fraction.plus(*factor, added);
                }
                let here = fraction.used(inside);
                if worst.is_none() || here > used {
                    (worst, used) = (Some((section, fraction)), here);
                }
            }
            let Some((section, fraction)) = worst else { break };
            let slope = Unknowns::from_fn(|i, _| fraction.slope(inside, &section.added[i]));
            found = found.min(used);
            let reach = slope.dot(&(shape * slope)).max(0.0).sqrt();
            proven = proven.max(used - reach);
            if found - proven <= NEAR * found {
                break;
            }
            slope
        };
        let length = slope.dot(&(shape * slope)).max(0.0).sqrt();
        if !(length > 0.0) {
            break;
        }
        let step = shape * slope / length;
        centre -= step / (n + 1.0);
        shape = (shape - step * step.transpose() * (2.0 / (n + 1.0))) * (n * n / (n * n - 1.0));
    }
    (found, proven)
}
