//! The wire, its loads and supports, and the one small system that balances them.

use super::element::{BeamError, BeamWire, Compliance, in_range};
use super::solution::Equilibrium;
use super::spatial::{Reduction, bottom, top};
use crate::geometry::curve::{ClosedCurve, CurveError, Piece, Point, Vector};
use crate::math::units::Mm;
use nalgebra::{DMatrix, DVector, Matrix6, Vector6};

/// A force and a moment on the wire, at a place along it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Arc length from the curve's start, mm.
    pub at: f64,
    /// N.
    pub force: Vector,
    /// N·mm.
    pub moment: Vector,
}

impl Load {
    /// A force alone.
    pub fn force(at: f64, force: Vector) -> Load {
        Load { at, force, moment: Vector::zeros() }
    }
}

/// A motion that a support prevents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Direction {
    /// Displacement along this direction (its length does not matter, but is not zero).
    Along(Vector),
    /// Turning about this direction.
    About(Vector),
}

/// One prevented motion at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Arc length from the curve's start, mm.
    pub at: f64,
    /// What it prevents.
    pub holds: Direction,
}

impl Support {
    /// All six motions held at one place: a clamp.
    pub fn clamp(at: f64) -> [Support; 6] {
        let axis = |i: usize| Vector::ith(i % 3, 1.0);
        std::array::from_fn(|i| Support {
            at,
            holds: if i < 3 { Direction::Along(axis(i)) } else { Direction::About(axis(i)) },
        })
    }
}

/// A wire on a line of arcs and straights, ready to be loaded.
///
/// # Invariants
/// At least one piece; pieces meet with matching tangents; no bend as tight as the wire's
/// own radius.
#[derive(Clone, Debug)]
pub struct BeamFrame {
    pub(super) pieces: Vec<Piece>,
    /// Arc length at which each piece starts, and the whole length last, mm.
    pub(super) starts: Vec<f64>,
    pub(super) closed: bool,
    pub(super) wire: BeamWire,
    pub(super) reduction: Reduction,
    pub(super) compliance: Compliance,
}

/// Gap or corner between open pieces: as for a closed curve's.
const GAP_SHARE: f64 = 1e-12;
const CORNER: f64 = 1e-9;
/// Forces left over, as a share of their sizes added up: rounding of a maker's numbers.
const BALANCE: f64 = 1e-9;
/// Largest force or moment taken, N and N·mm: far past any chain, far from overflow.
const LARGEST: f64 = 1e9;

impl BeamFrame {
    /// A closed wire.
    ///
    /// # Errors
    /// [`BeamError::BendTooTight`].
    pub fn closed(curve: &ClosedCurve, wire: BeamWire) -> Result<BeamFrame, BeamError> {
        BeamFrame::build(curve.pieces().to_vec(), true, wire)
    }

    /// A wire with two ends.
    ///
    /// # Errors
    /// [`BeamError`] where the pieces do not meet, or bend too tightly.
    pub fn open(pieces: &[Piece], wire: BeamWire) -> Result<BeamFrame, BeamError> {
        let length: f64 = pieces.iter().map(Piece::length).sum();
        for (before, pair) in pieces.windows(2).enumerate() {
            let piece = before + 1;
            let (gap_mm, most_mm) = ((pair[1].start() - pair[0].end()).norm(), GAP_SHARE * length);
            if !(gap_mm <= most_mm) {
                return Err(CurveError::Broken { piece, gap_mm, most_mm }.into());
            }
            let corner_radians = (pair[1].tangent(0.0) - pair[0].tangent(pair[0].length())).norm();
            if !(corner_radians <= CORNER) {
                let most_radians = CORNER;
                return Err(CurveError::Corner { piece, corner_radians, most_radians }.into());
            }
        }
        BeamFrame::build(pieces.to_vec(), false, wire)
    }

    fn build(pieces: Vec<Piece>, closed: bool, wire: BeamWire) -> Result<BeamFrame, BeamError> {
        let radius = wire.section().radius();
        let mut starts = vec![0.0];
        let (mut length, mut middle) = (0.0, Vector::zeros());
        for (index, piece) in pieces.iter().enumerate() {
            if !(piece.curvature() * radius < 1.0) {
                let radius_mm = 1.0 / piece.curvature();
                let least = Mm::new(radius);
                return Err(BeamError::BendTooTight { piece: index, radius_mm, least });
            }
            length += piece.length();
            starts.push(length);
            middle += piece.point(0.5 * piece.length()).coords * piece.length();
        }
        if pieces.is_empty() {
            return Err(CurveError::Empty.into());
        }
        in_range("length of the wire", length, f64::MIN_POSITIVE.sqrt(), 1e9)?;
        let reduction = Reduction {
            origin: Point::from(middle / length),
            size: length / (2.0 * std::f64::consts::PI),
        };
        let compliance = Compliance::new();
        Ok(BeamFrame { pieces, starts, closed, wire, reduction, compliance })
    }

    /// Length along the wire, mm.
    pub fn length(&self) -> f64 {
        *self.starts.last().unwrap_or(&0.0)
    }

    /// The wire.
    pub fn wire(&self) -> &BeamWire {
        &self.wire
    }

    /// The piece at an arc length already on the curve, and the arc length within it.
    pub(super) fn locate(&self, at: f64) -> (&Piece, f64) {
        let after = self.starts.partition_point(|start| *start <= at);
        let index = after.clamp(1, self.pieces.len()) - 1;
        let piece = &self.pieces[index];
        (piece, (at - self.starts[index]).clamp(0.0, piece.length()))
    }

    /// The point at an arc length already on the curve.
    pub(super) fn point(&self, at: f64) -> Point {
        let (piece, s) = self.locate(at);
        piece.point(s)
    }

    /// An arc length brought onto the curve: round a closed one, within an open one.
    pub(super) fn on_curve(&self, at: f64) -> Result<f64, BeamError> {
        let length = self.length();
        if self.closed && at.is_finite() {
            let round = at.rem_euclid(length);
            return Ok(if round < length { round } else { 0.0 });
        }
        in_range("place along the wire", at, 0.0, length)?;
        Ok(at)
    }

    /// Reduced compliance between two arc lengths, over as many pieces as lie between.
    pub(super) fn compliance_between(&self, from: f64, to: f64) -> Matrix6<f64> {
        let mut total = Matrix6::zeros();
        for (piece, start) in self.pieces.iter().zip(&self.starts) {
            let low = (from - start).max(0.0);
            let high = (to - start).min(piece.length());
            if high > low {
                total += self.compliance.between(&self.wire, &self.reduction, piece, low, high);
            }
        }
        total
    }

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
        let mut nodes = self.nodes(loads, supports)?;
        nodes.sort_by(f64::total_cmp);
        nodes.dedup();
        let ends = nodes[1..].iter().copied().chain(self.closed.then_some(self.length()));
        let spans: Vec<Matrix6<f64>> =
            nodes.iter().zip(ends).map(|(from, to)| self.compliance_between(*from, to)).collect();
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
        Balance { closed: self.closed, spans: &spans, applied: &applied, holds: &holds }
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
                Equilibrium::new(self.clone(), nodes, &applied, &loads, &spans, found, reactions)
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

    /// The scale of reduced compliances, mm/N: size³/EI.
    fn unit_compliance(&self) -> f64 {
        self.reduction.size.powi(3) / self.wire.bending_stiffness()
    }

    /// Stiffness at chosen places of the otherwise free wire: forces (N) and moments (N·mm),
    /// six to a place, for displacements (mm) and turns (radians) there. Symmetric; motions
    /// as a rigid body need no force.
    ///
    /// # Errors
    /// [`BeamError::SamePlace`] for two stations at one place; [`BeamError::Loose`] where the
    /// theory leaves a span rigid (a straight of [`Theory::Thin`](super::Theory::Thin)).
    pub fn stiffness(&self, waypoints: &[f64]) -> Result<DMatrix<f64>, BeamError> {
        let places = waypoints
            .iter()
            .map(|at| self.on_curve(*at))
            .collect::<Result<Vec<f64>, BeamError>>()?;
        let mut order: Vec<usize> = (0..places.len()).collect();
        order.sort_by(|a, b| places[*a].total_cmp(&places[*b]));
        let mut total = DMatrix::zeros(6 * places.len(), 6 * places.len());
        let spans = if self.closed { order.len() } else { order.len().saturating_sub(1) };
        for k in 0..spans {
            let (near, far) = (order[k], order[(k + 1) % order.len()]);
            let (from, to) = (places[near], places[far]);
            let compliance = if k + 1 < order.len() {
                if to <= from {
                    return Err(BeamError::SamePlace { at_mm: from });
                }
                self.compliance_between(from, to)
            } else {
                self.compliance_between(from, self.length()) + self.compliance_between(0.0, to)
            };
            let unit = self.unit_compliance();
            let inverse = (compliance / unit)
                .try_inverse()
                .filter(|m| m.iter().all(|x| x.abs() < 1e12))
                .ok_or(BeamError::Loose { supports: 0 })?
                / unit;
            for (row, sign_row) in [(near, -1.0), (far, 1.0)] {
                let left = self.reduction.place_to_common(self.point(places[row])).transpose();
                for (column, sign_column) in [(near, -1.0), (far, 1.0)] {
                    let right = self.reduction.place_to_common(self.point(places[column]));
                    let block = left * inverse * right * (sign_row * sign_column);
                    let mut view = total.fixed_view_mut::<6, 6>(6 * row, 6 * column);
                    view += block;
                }
            }
        }
        Ok(total)
    }
}

/// What acts on each node: its loads and the reactions of its supports.
fn applied_and_held(
    applied: &[Vector6<f64>],
    holds: &[(usize, Vector6<f64>)],
    found: &Found,
) -> Vec<Vector6<f64>> {
    let mut all = applied.to_vec();
    for ((node, unit), reaction) in holds.iter().zip(&found.reactions) {
        all[*node] += unit * *reaction;
    }
    all
}

/// Unknowns: the force in the cut of a closed wire, the reactions, and the first node's motion.
struct Balance<'a> {
    closed: bool,
    spans: &'a [Matrix6<f64>],
    applied: &'a [Vector6<f64>],
    holds: &'a [(usize, Vector6<f64>)],
}

/// What the balance found, reduced.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub cut: Vector6<f64>,
    pub reactions: Vec<f64>,
    /// NodeDisplacement of the first node; not known without supports.
    pub first: Option<Vector6<f64>>,
}

/// Least pivot, as a share of the greatest, that still counts as held: rounding of the
/// scaled system is some 1e-14.
const HELD: f64 = 1e-12;

impl Balance<'_> {
    /// Forces carried by each span and motions of each node, for the given unknowns. A force
    /// carried is what the part ahead does to the part behind: it falls by each load passed.
    fn carry(&self, found: &Found, with_loads: bool) -> (Vec<Vector6<f64>>, Vec<Vector6<f64>>) {
        let mut carried = found.cut;
        let mut motion = found.first.unwrap_or_else(Vector6::zeros);
        let (mut forces, mut motions) = (Vec::new(), vec![motion]);
        for (node, span) in self.spans.iter().enumerate() {
            if with_loads {
                carried -= self.applied[node];
            }
            for ((at, unit), reaction) in self.holds.iter().zip(&found.reactions) {
                if *at == node {
                    carried -= unit * *reaction;
                }
            }
            motion += span * carried;
            forces.push(carried);
            motions.push(motion);
        }
        (forces, motions)
    }

    /// What must vanish: the gap at the cut, forces left over, motions of supports.
    fn residual(&self, found: &Found, with_loads: bool, unit: f64) -> Vec<f64> {
        let (_, motions) = self.carry(found, with_loads);
        let mut left = Vec::new();
        if self.closed {
            let gap = (motions[self.spans.len()] - motions[0]) / unit;
            left.extend(gap.iter());
        }
        if !self.holds.is_empty() {
            let mut total = Vector6::zeros();
            if with_loads {
                total += self.applied.iter().sum::<Vector6<f64>>();
            }
            for ((_, direction), reaction) in self.holds.iter().zip(&found.reactions) {
                total += direction * *reaction;
            }
            left.extend(total.iter());
            left.extend(self.holds.iter().map(|(node, dir)| dir.dot(&motions[*node]) / unit));
        }
        left
    }

    fn unpack(&self, unknowns: &[f64], unit: f64) -> Found {
        let mut rest = unknowns;
        let mut take = |count: usize| {
            let (head, tail) = rest.split_at(count);
            rest = tail;
            head.to_vec()
        };
        let cut = if self.closed { Vector6::from_iterator(take(6)) } else { Vector6::zeros() };
        let reactions = take(self.holds.len());
        let first = (!self.holds.is_empty()).then(|| Vector6::from_iterator(take(6)) * unit);
        Found { cut, reactions, first }
    }

    fn solve(&self, unit: f64) -> Option<Found> {
        let held = !self.holds.is_empty();
        let count = if self.closed { 6 } else { 0 } + self.holds.len() + if held { 6 } else { 0 };
        let mut unknowns = vec![0.0; count];
        let constant = self.residual(&self.unpack(&unknowns, unit), true, unit);
        let mut system = DMatrix::zeros(count, count);
        for column in 0..count {
            unknowns[column] = 1.0;
            let effect = self.residual(&self.unpack(&unknowns, unit), false, unit);
            system.set_column(column, &DVector::from_vec(effect));
            unknowns[column] = 0.0;
        }
        if count == 0 {
            return Some(self.unpack(&[], unit));
        }
        let scale = system.amax();
        let lu = system.full_piv_lu();
        let least = lu.u().diagonal().iter().fold(f64::INFINITY, |least, x| least.min(x.abs()));
        if !(least > HELD * scale) {
            return None;
        }
        let solved = lu.solve(&-DVector::from_vec(constant))?;
        Some(self.unpack(solved.as_slice(), unit))
    }
}
