//! The small system that balances a wire: the force in the cut, the reactions, and the first
//! node's motion.

use nalgebra::{DMatrix, DVector, Matrix6, Vector6};

/// What acts on each node: its loads and the reactions of its supports.
pub(super) fn applied_and_held(
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
pub(super) struct Balance<'a> {
    pub closed: bool,
    pub spans: &'a [Matrix6<f64>],
    pub applied: &'a [Vector6<f64>],
    pub holds: &'a [(usize, Vector6<f64>)],
}

/// What the balance found, reduced.
#[derive(Clone, Debug)]
pub(super) struct Found {
    pub cut: Vector6<f64>,
    pub reactions: Vec<f64>,
    /// Displacement of the first node; not known without supports.
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

    pub fn solve(&self, unit: f64) -> Option<Found> {
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
