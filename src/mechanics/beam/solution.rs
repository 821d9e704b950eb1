//! What the balanced wire does: motions, section forces, energy, peak stress.

use super::balance::{Balance, Found, applied_and_held};
use super::element::{BeamError, BeamWire, SectionFrame, Theory, in_range, section_frame};
use super::frame::{BeamFrame, Direction, Load, Support};
use super::spatial::{bottom, stacked, top};
use crate::geometry::curve::{Piece, Vector};
use crate::math::sort::sort_numbers;
use nalgebra::{Matrix6, Vector6};
use std::f64::consts::PI;

/// Forces left over, as a share of their sizes added up: rounding of a maker's numbers.
const BALANCE: f64 = 1e-9;

/// Largest force or moment taken, N and N·mm: far past any chain, far from overflow.
const LARGEST: f64 = 1e9;

/// A wire in balance under its loads.
#[derive(Clone, Debug)]
pub struct Equilibrium {
    frame: BeamFrame,
    /// Arc lengths at which loads, supports and ends stand, rising.
    nodes: Vec<f64>,
    /// Force carried after each node, reduced.
    carried: Vec<Vector6<f64>>,
    /// Displacement of each node, reduced.
    motions: Vec<Vector6<f64>>,
    reactions: Vec<f64>,
    energy: f64,
}

/// Places along a wire, rising, and the reduced compliance from each to the next.
pub(in crate::mechanics) struct Spans {
    nodes: Vec<f64>,
    compliances: Vec<Matrix6<f64>>,
}

impl BeamFrame {
    /// Balances loads and supports. Without supports the loads must cancel, and the motions
    /// returned are those with the least squares at the loaded places.
    ///
    /// # Errors
    /// [`BeamError`] for numbers outside sense, loads that do not cancel, or loose supports.
    ///
    /// # Examples
    /// ```
    /// use linkfold::geometry::curve::{Piece, Point, Straight, Vector};
    /// use linkfold::math::units::Mm;
    /// use linkfold::mechanics::beam::{BeamFrame, BeamWire, Load, Support, Theory};
    /// use linkfold::mechanics::section::RoundSection;
    /// let wire = BeamWire::new(RoundSection::new(Mm::new(1.0)).unwrap(), 83e3, 0.37, Theory::Thin)?;
    /// let arm = Piece::Straight(Straight { start: Point::origin(), direction: Vector::x_axis(), length: 20.0 });
    /// let frame = BeamFrame::open(&[arm], wire)?;
    /// let pull = [Load::force(20.0, Vector::new(0.0, 1.0, 0.0))];
    /// let bent = frame.solve(&pull, &Support::clamp(0.0))?;
    /// let tip = bent.motion(20.0)?.displacement.y;
    /// // A cantilever: P L³ / (3 E I).
    /// assert!((tip / (8000.0 / (3.0 * wire.bending_stiffness())) - 1.0).abs() < 1e-3);
    /// # Ok::<(), linkfold::mechanics::beam::BeamError>(())
    /// ```
    pub fn solve(&self, loads: &[Load], supports: &[Support]) -> Result<Equilibrium, BeamError> {
        self.solve_on(&self.spans(loads, supports)?, loads, supports)
    }

    /// The spans between the places of loads and supports: most of what [`BeamFrame::solve`] costs, had once
    /// for several loads.
    pub(in crate::mechanics) fn spans(
        &self,
        loads: &[Load],
        supports: &[Support],
    ) -> Result<Spans, BeamError> {
        let mut nodes = self.nodes(loads, supports)?;
        sort_numbers(&mut nodes);
        nodes.dedup();
        let ends = nodes[1..].iter().copied().chain(self.closed.then_some(self.length()));
        let compliances =
            nodes.iter().zip(ends).map(|(from, to)| self.compliance_between(*from, to)).collect();
        Ok(Spans { nodes, compliances })
    }

    /// As [`BeamFrame::solve`], with the spans of these loads and supports, or of more.
    pub(in crate::mechanics) fn solve_on(
        &self,
        spans: &Spans,
        loads: &[Load],
        supports: &[Support],
    ) -> Result<Equilibrium, BeamError> {
        let Spans { nodes, compliances: spans } = spans;
        let node_of = |at: f64| nodes.partition_point(|node| *node < at);
        let mut applied = vec![Vector6::zeros(); nodes.len()];
        let mut total = Vector6::zeros();
        let mut sizes = 0.0;
        for load in loads {
            let at = self.on_curve(load.at)?;
            let wrench = self.reduction.wrench(self.point(at), load.force, load.moment);
            applied[node_of(at)] += wrench;
            total += wrench;
            sizes += wrench.norm();
        }
        if supports.is_empty() && !(total.norm() <= BALANCE * sizes) {
            return Err(BeamError::Unbalanced {
                force_newtons: top(&total).norm(),
                moment_newton_mm: bottom(&total).norm() * self.reduction.size,
            });
        }
        let holds = supports
            .iter()
            .map(|s| Ok((node_of(self.on_curve(s.at)?), self.unit_reaction(s)?)))
            .collect::<Result<Vec<_>, BeamError>>()?;
        Balance { closed: self.closed, spans, applied: &applied, holds: &holds }
            .solve(self.unit_compliance())
            .ok_or(BeamError::Loose { supports: supports.len() })
            .map(|found| {
                // Read back in N and N·mm: a unit reaction about an axis was taken as size N·mm.
                let sizes = supports.iter().map(|support| match support.holds {
                    Direction::Along(_) => 1.0,
                    Direction::About(_) => self.reduction.size,
                });
                let reactions = found.reactions.iter().zip(sizes).map(|(r, size)| r * size);
                let reactions = reactions.collect();
                let loads = applied_and_held(&applied, &holds, &found);
                let nodes = nodes.clone();
                Equilibrium::new(self.clone(), nodes, &applied, &loads, spans, found, reactions)
            })
    }

    /// Every place at which something happens; the start first, an open wire's end last.
    fn nodes(&self, loads: &[Load], supports: &[Support]) -> Result<Vec<f64>, BeamError> {
        let mut nodes = vec![0.0];
        if !self.closed {
            nodes.push(self.length());
        }
        for load in loads {
            for (field, vector) in [("force", load.force), ("moment", load.moment)] {
                for value in vector.iter() {
                    in_range(field, *value, -LARGEST, LARGEST)?;
                }
            }
            nodes.push(self.on_curve(load.at)?);
        }
        for support in supports {
            nodes.push(self.on_curve(support.at)?);
        }
        Ok(nodes)
    }

    fn unit_reaction(&self, support: &Support) -> Result<Vector6<f64>, BeamError> {
        let (Direction::Along(vector) | Direction::About(vector)) = support.holds;
        in_range("size of a support's direction", vector.norm(), 1e-9, 1e9)?;
        let unit = vector.normalize();
        let x = self.point(self.on_curve(support.at)?);
        Ok(match support.holds {
            Direction::Along(_) => self.reduction.wrench(x, unit, Vector::zeros()),
            Direction::About(_) => {
                self.reduction.wrench(x, Vector::zeros(), unit * self.reduction.size)
            }
        })
    }
}

/// Displacement and turn at a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NodeDisplacement {
    /// mm.
    pub displacement: Vector,
    /// Radians, as a vector along the axis.
    pub turn: Vector,
}

/// What a section carries: the part ahead acting on the part behind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionForces {
    /// Pull along the wire, N; negative when pushed.
    pub axial: f64,
    /// Across the wire, in the plane of the bend and out of it, N.
    pub shear: [f64; 2],
    /// Twisting moment, N·mm.
    pub torsion: f64,
    /// Bending moment in the plane of the bend, N·mm, positive when it closes the bend.
    /// On a straight the two bending moments are about two normals of no special direction.
    pub closing: f64,
    /// Bending moment out of the plane of the bend, N·mm.
    pub sideways: f64,
}

/// What a section carries, in space: the part ahead acting on the part behind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionVectors {
    /// N.
    pub force: Vector,
    /// N·mm.
    pub moment: Vector,
    /// Unit tangent of the wire.
    pub along: Vector,
}

/// The greatest stress found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PeakStress {
    /// Von Mises stress, MPa.
    pub stress: f64,
    /// Where along the wire, mm.
    pub at: f64,
    /// What the section carries there.
    pub forces: SectionForces,
}

/// Sections tried per turn of an arc: a smooth peak between two is missed by at most 0.05 %.
const SECTIONS_PER_TURN: f64 = 96.0;
/// Places tried round a section: a smooth peak between two is missed by at most 0.2 %.
const PLACES_ROUND: usize = 48;

impl Equilibrium {
    /// Carries the found forces round: `loads` with reactions, `applied` without.
    pub(super) fn new(
        frame: BeamFrame,
        nodes: Vec<f64>,
        applied: &[Vector6<f64>],
        loads: &[Vector6<f64>],
        spans: &[Matrix6<f64>],
        found: Found,
        reactions: Vec<f64>,
    ) -> Equilibrium {
        let mut force = found.cut;
        let mut motion = found.first.unwrap_or_else(Vector6::zeros);
        let (mut carried, mut motions, mut energy) = (Vec::new(), vec![motion], 0.0);
        for (span, load) in spans.iter().zip(loads) {
            force -= load;
            energy += 0.5 * force.dot(&(span * force));
            motion += span * force;
            carried.push(force);
            motions.push(motion);
        }
        motions.truncate(nodes.len());
        let mut balanced = Equilibrium { frame, nodes, carried, motions, reactions, energy };
        if found.first.is_none() {
            balanced.settle(applied);
        }
        balanced
    }

    /// Takes away the rigid motion that leaves the least squares of displacements, and of turns
    /// times the size, at the loaded nodes.
    fn settle(&mut self, applied: &[Vector6<f64>]) {
        let reduction = self.frame.reduction;
        let (mut normal, mut right) = (Matrix6::zeros(), Vector6::zeros());
        for ((at, motion), load) in self.nodes.iter().zip(&self.motions).zip(applied) {
            if load.norm() <= 0.0 {
                continue;
            }
            let x = self.frame.point(*at);
            let (displacement, turn) = reduction.motion_at(x, motion);
            let here = stacked(displacement, turn * reduction.size);
            let mut reading = Matrix6::identity();
            let lever = -super::spatial::cross(&reduction.place(x));
            reading.fixed_view_mut::<3, 3>(0, 3).copy_from(&lever);
            normal += reading.transpose() * reading;
            right += reading.transpose() * here;
        }
        if let Some(rigid) = normal.lu().solve(&right) {
            for motion in &mut self.motions {
                *motion -= rigid;
            }
        }
    }

    /// Index of the node at or before an arc length on the curve.
    fn node_before(&self, at: f64) -> usize {
        self.nodes.partition_point(|node| *node <= at).max(1) - 1
    }

    /// Displacement and turn at a place.
    ///
    /// # Errors
    /// [`BeamError::OutOfRange`] off an open wire.
    pub fn motion(&self, at: f64) -> Result<NodeDisplacement, BeamError> {
        let at = self.frame.on_curve(at)?;
        let node = self.node_before(at);
        let mut motion = self.motions[node];
        if let Some(carried) = self.carried.get(node) {
            motion += self.frame.compliance_between(self.nodes[node], at) * carried;
        }
        let (displacement, turn) = self.frame.reduction.motion_at(self.frame.point(at), &motion);
        Ok(NodeDisplacement { displacement, turn })
    }

    /// What the section at a place carries; at a load, just after it.
    ///
    /// # Errors
    /// [`BeamError::OutOfRange`] off an open wire.
    pub fn section_forces(&self, at: f64) -> Result<SectionForces, BeamError> {
        let at = self.frame.on_curve(at)?;
        let (piece, s) = self.frame.locate(at);
        Ok(self.forces_on(self.node_before(at), piece, s))
    }

    /// Force (N), moment (N·mm) and tangent of the wire at a place, as vectors in space; at a
    /// load, just after it.
    ///
    /// # Errors
    /// [`BeamError::OutOfRange`] off an open wire.
    pub fn section_vectors(&self, at: f64) -> Result<SectionVectors, BeamError> {
        let at = self.frame.on_curve(at)?;
        let (piece, s) = self.frame.locate(at);
        let zero = Vector6::zeros();
        let carried = self.carried.get(self.node_before(at)).unwrap_or(&zero);
        let (force, moment) = self.frame.reduction.force_at(piece.point(s), carried);
        Ok(SectionVectors { force, moment, along: piece.tangent(s) })
    }

    fn forces_on(&self, node: usize, piece: &Piece, s: f64) -> SectionForces {
        let frame = section_frame(piece, s);
        let zero = Vector6::zeros();
        let carried = self.carried.get(node).unwrap_or(&zero);
        let (force, moment) = self.frame.reduction.force_at(piece.point(s), carried);
        SectionForces {
            axial: force.dot(&frame.along),
            shear: [force.dot(&frame.inward), force.dot(&frame.across)],
            torsion: moment.dot(&frame.along),
            closing: moment.dot(&frame.across),
            sideways: moment.dot(&frame.inward),
        }
    }

    /// Length along the wire, mm.
    pub fn length(&self) -> f64 {
        self.frame.length()
    }

    /// Reaction of each support, N or N·mm, positive along its direction.
    pub fn reactions(&self) -> Vec<f64> {
        self.reactions.clone()
    }

    /// Strain energy, N·mm.
    pub fn energy(&self) -> f64 {
        self.energy
    }

    /// The greatest stress: axial, bending in both planes and torsion, von Mises; in an arc
    /// the bending in its plane after Winkler. Shear across is left out: it is least where
    /// bending is greatest. Under a point load it errs high, away from loads by a few per
    /// cent (`tests/beam.rs`).
    pub fn peak_stress(&self) -> PeakStress {
        let mut best: Option<PeakStress> = None;
        let ends = self.nodes[1..].iter().copied().chain([self.frame.length()]);
        for (node, (from, to)) in self.nodes.iter().copied().zip(ends).enumerate() {
            for (piece, start) in self.frame.pieces.iter().zip(&self.frame.starts) {
                let low = (from - start).max(0.0);
                let high = (to - start).min(piece.length());
                if high <= low {
                    continue;
                }
                let turn = (high - low) * piece.curvature();
                // On a straight the stress is greatest at one of its ends.
                let count = (turn / (2.0 * PI) * SECTIONS_PER_TURN).ceil().clamp(1.0, 1e3);
                for step in 0..=count as usize {
                    let s = low + (high - low) * step as f64 / count;
                    let forces = self.forces_on(node, piece, s);
                    let known = best.map_or(0.0, |known| known.stress);
                    let frame = section_frame(piece, s);
                    let stress = section_peak(&self.frame.wire, &frame, &forces, known);
                    if best.is_none_or(|known| stress > known.stress) {
                        best = Some(PeakStress { stress, at: start + s, forces });
                    }
                }
            }
        }
        best.unwrap_or(PeakStress {
            stress: 0.0,
            at: 0.0,
            forces: SectionForces {
                axial: 0.0,
                shear: [0.0; 2],
                torsion: 0.0,
                closing: 0.0,
                sideways: 0.0,
            },
        })
    }
}

/// Greatest von Mises stress round one section, MPa; where that is surely no more than `known`, some bound
/// of it.
fn section_peak(wire: &BeamWire, frame: &SectionFrame, forces: &SectionForces, known: f64) -> f64 {
    let section = wire.section();
    let (radius, area, second) = (section.radius(), section.area(), section.second_moment());
    let shear = forces.torsion * radius / section.polar_moment();
    if wire.theory() != Theory::Curved || frame.curvature <= 0.0 {
        // The two bending moments make one, about whichever diameter it likes.
        let bending = forces.closing.hypot(forces.sideways) * radius / second;
        let pull = forces.axial.abs() / area + bending;
        return (pull * pull + 3.0 * shear * shear).sqrt();
    }
    let (bend, offset) = (1.0 / frame.curvature, wire.neutral_offset(1.0 / frame.curvature));
    let von_mises = |pull: f64| (pull * pull + 3.0 * shear * shear).sqrt();
    // No place has more than all three pulls at their greatest, in the plane at either end.
    let steepest = ((radius - offset) / (bend - radius)).max((radius + offset) / (bend + radius));
    let bound = von_mises(
        forces.axial.abs() / area
            + forces.closing.abs() * steepest / (area * offset)
            + forces.sideways.abs() * radius / second,
    );
    if bend > radius && bound <= known {
        return bound;
    }
    (0..PLACES_ROUND)
        .map(|place| {
            let (sin, cos) = (2.0 * PI * place as f64 / PLACES_ROUND as f64).sin_cos();
            let (inward, across) = (radius * cos, radius * sin);
            let in_plane = (inward - offset) / (area * offset * (bend - inward));
            let pull =
                forces.axial / area - forces.closing * in_plane + forces.sideways * across / second;
            von_mises(pull)
        })
        .fold(0.0, f64::max)
}
