//! One implicit step: the minimum of inertia, weight and what keeps lengths, limits and the
//! form.
//!
//! * Length of link i: `s = |p_{i+1} − p_i| − l`, energy `λ s + k s²/2`; Hessian
//!   `k u uᵀ + max(0, λ + k s)/|…| (1 − u uᵀ)`, positive.
//! * Bend of joint j: `c = φ − L ≤ 0` with `φ = 2 asin(|u_j − u_{j−1}|/2)`; energy
//!   `(max(0, λ + k c)² − λ²)/2k`, Hessian taken as `k ∇c ∇cᵀ`.
//! * Contact with the form at node i: `c = depth ≤ 0` in the form grown by half the chain, likewise.

use super::form::DrapeForm;
use super::link::{DrapeLink, GRAVITY};
use crate::geometry::curve::{Point, Vector};
use crate::math::Banded;
use nalgebra::Matrix3;

/// Forces that keep lengths (per link), limits (per joint) and the form (per node).
#[derive(Clone, Debug)]
pub(super) struct Multipliers {
    pub stretch: Vec<f64>,
    pub bend: Vec<f64>,
    pub touch: Vec<f64>,
}

impl Multipliers {
    pub fn new(links: usize) -> Multipliers {
        let zeros = |count| vec![0.0; count];
        Multipliers { stretch: zeros(links), bend: zeros(links + 1), touch: zeros(links + 1) }
    }
}

/// What does not change from step to step.
#[derive(Clone, Debug)]
pub(super) struct Energy {
    /// At each node, in the links' unit of weight.
    masses: Vec<f64>,
    /// Of the whole chain: mass times free fall.
    pub weight: f64,
    /// Mean pitch, mm.
    pub scale: f64,
    form: Option<DrapeForm>,
    pub held: Option<(usize, Point)>,
    matrix: Hessian,
}

/// Under the whole chain's weight a link stretches by this share, before the multipliers
/// take over: soft enough for long Newton steps.
const GIVE: f64 = 5e-3;
/// A joint gives by this, radians, under the whole weight at a link's length.
const BEND_GIVE: f64 = 0.05;
/// The form gives by this share of a link under the whole weight.
const TOUCH_GIVE: f64 = 0.02;
/// Newton steps; 2 to 4 are usual, more after a sudden pull.
const NEWTON: usize = 12;
/// A node of three coordinates meets its two next neighbours: eight diagonals below the main one.
type Hessian = Banded<9>;

/// Limits pull no harder than this many times the weight at a link's length: where they
/// cannot be kept, they give.
const MOST_BEND: f64 = 1e4;

/// A joint's bend.
pub(super) struct Bend {
    pub angle: f64,
    pub limit: f64,
    /// Change of the bend with the nodes before, at and after the joint, 1/mm.
    slopes: [Vector; 3],
}

/// The bend between links `j − 1` and `j`; `None` where they are in line.
pub(super) fn bend(
    nodes: &[Point],
    links: &[DrapeLink],
    sides: &[Vector],
    j: usize,
) -> Option<Bend> {
    let (before, after) = (nodes[j] - nodes[j - 1], nodes[j + 1] - nodes[j]);
    let (long_before, long_after) = (before.norm(), after.norm());
    let (u, v) = (before / long_before, after / long_after);
    let across = v - u;
    let size = across.norm();
    if !(size > 1e-9) {
        return None;
    }
    let half = (0.5 * size).min(1.0);
    let angle = 2.0 * half.asin();
    // φ = 2 asin(q/2): dφ/dq = 1/√(1 − q²/4), kept finite where links fold back.
    let slope = across / (size * (1.0 - half * half).max(1e-4).sqrt());
    let on_before = -(slope - slope.dot(&u) * u) / long_before;
    let on_after = (slope - slope.dot(&v) * v) / long_after;
    // About which of the link's own axes it bends.
    let axis = u.cross(&v).try_normalize(1e-12).unwrap_or(sides[j - 1]);
    let about_x = axis.dot(&sides[j - 1]);
    let about_y = axis.dot(&u.cross(&sides[j - 1]));
    let [limit_x, limit_y, _] = links[j].limits.map(|limit| limit.max(1e-6));
    let limit = 1.0 / (about_x / limit_x).hypot(about_y / limit_y);
    Some(Bend { angle, limit, slopes: [-on_before, on_before - on_after, on_after] })
}

impl Energy {
    pub fn new(links: &[DrapeLink], form: Option<DrapeForm>) -> Energy {
        let mut masses = vec![0.0; links.len() + 1];
        for (i, link) in links.iter().enumerate() {
            masses[i] += 0.5 * link.weight;
            masses[i + 1] += 0.5 * link.weight;
        }
        let weight = GRAVITY * masses.iter().sum::<f64>();
        let scale = links.iter().map(|link| link.pitch).sum::<f64>() / links.len() as f64;
        let matrix = Hessian::zeros(3 * (links.len() - 1));
        Energy { masses, weight, scale, form, held: None, matrix }
    }

    fn stretch_stiffness(&self, link: &DrapeLink) -> f64 {
        self.weight / (GIVE * link.pitch)
    }

    fn bend_stiffness(&self) -> f64 {
        self.weight * self.scale / BEND_GIVE
    }

    fn touch_stiffness(&self) -> f64 {
        self.weight / (TOUCH_GIVE * self.scale)
    }

    /// How far node `i` is inside the form, and the way out.
    fn depth(&self, nodes: &[Point], links: &[DrapeLink], i: usize) -> Option<(f64, Vector)> {
        Some(self.form.as_ref()?.depth(&nodes[i], links[i.min(links.len() - 1)].half_thickness))
    }

    /// Moves the inner nodes to the minimum, then lets the multipliers take what force was
    /// left.
    pub fn settle_step(
        &mut self,
        nodes: &mut [Point],
        aim: &[Point],
        seconds: f64,
        links: &[DrapeLink],
        sides: &[Vector],
        multipliers: &mut Multipliers,
    ) {
        let mut trial = nodes.to_vec();
        let mut value = self.value(nodes, aim, seconds, links, sides, multipliers);
        for _ in 0..NEWTON {
            let downhill = self.downhill(nodes, aim, seconds, links, sides, multipliers);
            if downhill.iter().all(|g| *g == 0.0) {
                break;
            }
            let Some(step) = self.matrix.solve_shifted(0.0, &downhill) else { break };
            let furthest = step.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
            // No node moves by more than two links in one go.
            let mut fraction = (2.0 * self.scale / furthest).min(1.0);
            let mut better = false;
            for _ in 0..12 {
                for (i, move_by) in step.chunks_exact(3).enumerate() {
                    let by = Vector::new(move_by[0], move_by[1], move_by[2]);
                    trial[i + 1] = nodes[i + 1] + fraction * by;
                }
                let there = self.value(&trial, aim, seconds, links, sides, multipliers);
                if there < value {
                    (value, better) = (there, true);
                    break;
                }
                fraction *= 0.4;
            }
            if better {
                nodes.copy_from_slice(&trial);
            }
            if !better || fraction * furthest < 1e-10 * self.scale {
                break;
            }
        }
        self.take_over(nodes, links, sides, multipliers);
    }

    fn take_over(
        &self,
        nodes: &[Point],
        links: &[DrapeLink],
        sides: &[Vector],
        multipliers: &mut Multipliers,
    ) {
        for (i, link) in links.iter().enumerate() {
            let over = (nodes[i + 1] - nodes[i]).norm() - link.pitch;
            multipliers.stretch[i] += self.stretch_stiffness(link) * over;
        }
        let most = MOST_BEND * self.weight * self.scale;
        for j in 1..links.len() {
            let over = bend(nodes, links, sides, j).map_or(-1.0, |b| b.angle - b.limit);
            let pull = &mut multipliers.bend[j];
            *pull = (*pull + self.bend_stiffness() * over).clamp(0.0, most);
            if let Some((deep, _)) = self.depth(nodes, links, j) {
                let push = &mut multipliers.touch[j];
                *push = (*push + self.touch_stiffness() * deep).max(0.0);
            }
        }
    }

    /// Worst of: a length's error as a share of it; a limit's, radians; the form's, in links.
    pub fn worst_error(
        &self,
        nodes: &[Point],
        links: &[DrapeLink],
        sides: &[Vector],
        multipliers: &Multipliers,
    ) -> f64 {
        let mut worst = 0.0_f64;
        for (i, link) in links.iter().enumerate() {
            worst = worst.max(((nodes[i + 1] - nodes[i]).norm() / link.pitch - 1.0).abs());
        }
        let most = MOST_BEND * self.weight * self.scale;
        for j in 1..links.len() {
            if let Some(bend) = bend(nodes, links, sides, j)
                && multipliers.bend[j] < most
            {
                worst = worst.max(bend.angle - bend.limit);
            }
            if let Some((deep, _)) = self.depth(nodes, links, j) {
                worst = worst.max(deep / self.scale);
            }
        }
        worst
    }

    fn value(
        &self,
        nodes: &[Point],
        aim: &[Point],
        seconds: f64,
        links: &[DrapeLink],
        sides: &[Vector],
        multipliers: &Multipliers,
    ) -> f64 {
        let mut sum = 0.0;
        let kept = |pull: f64, stiffness: f64, over: f64| {
            ((pull + stiffness * over).max(0.0).powi(2) - pull * pull) / (2.0 * stiffness)
        };
        for i in 1..links.len() {
            let mass = self.masses[i];
            sum += 0.5 * mass / (seconds * seconds) * (nodes[i] - aim[i]).norm_squared();
            sum += mass * GRAVITY * nodes[i].z;
            if let Some(bend) = bend(nodes, links, sides, i) {
                let over = bend.angle - bend.limit;
                sum += kept(multipliers.bend[i], self.bend_stiffness(), over);
            }
            if let Some((deep, _)) = self.depth(nodes, links, i) {
                sum += kept(multipliers.touch[i], self.touch_stiffness(), deep);
            }
        }
        for (i, link) in links.iter().enumerate() {
            let over = (nodes[i + 1] - nodes[i]).norm() - link.pitch;
            sum += multipliers.stretch[i] * over + 0.5 * self.stretch_stiffness(link) * over * over;
        }
        if let Some((node, place)) = self.held {
            sum += 0.5 * self.hold() * (nodes[node] - place).norm_squared();
        }
        sum
    }

    fn hold(&self) -> f64 {
        self.weight / self.scale
    }

    /// Fills the matrix with the Hessian; the negative gradient.
    fn downhill(
        &mut self,
        nodes: &[Point],
        aim: &[Point],
        seconds: f64,
        links: &[DrapeLink],
        sides: &[Vector],
        multipliers: &Multipliers,
    ) -> Vec<f64> {
        let count = links.len();
        let mut down = vec![0.0; 3 * (count - 1)];
        self.matrix.clear();
        let mut push = |node: usize, force: Vector| {
            if (1..count).contains(&node) {
                for axis in 0..3 {
                    down[3 * (node - 1) + axis] += force[axis];
                }
            }
        };
        let (bend_stiffness, touch_stiffness) = (self.bend_stiffness(), self.touch_stiffness());
        let inertia = 1.0 / (seconds * seconds);
        for i in 1..count {
            let mass = self.masses[i];
            push(i, mass * (inertia * (aim[i] - nodes[i]) - GRAVITY * Vector::z()));
            add(&mut self.matrix, count, i, i, &(mass * inertia * Matrix3::identity()));
            if let Some(bend) = bend(nodes, links, sides, i) {
                let pull = multipliers.bend[i] + bend_stiffness * (bend.angle - bend.limit);
                if pull > 0.0 {
                    for (a, on_a) in bend.slopes.iter().enumerate() {
                        push(i + a - 1, -pull * on_a);
                        for (b, on_b) in bend.slopes.iter().enumerate() {
                            let block = bend_stiffness * on_a * on_b.transpose();
                            add(&mut self.matrix, count, i + a - 1, i + b - 1, &block);
                        }
                    }
                }
            }
            if let Some((deep, out)) = self.depth(nodes, links, i) {
                let force = multipliers.touch[i] + touch_stiffness * deep;
                if force > 0.0 {
                    push(i, force * out);
                    let block = touch_stiffness * out * out.transpose();
                    add(&mut self.matrix, count, i, i, &block);
                }
            }
        }
        for (i, link) in links.iter().enumerate() {
            let apart = nodes[i + 1] - nodes[i];
            let long = apart.norm().max(1e-9 * link.pitch);
            let along = apart / long;
            let stiffness = self.stretch_stiffness(link);
            let pull = multipliers.stretch[i] + stiffness * (long - link.pitch);
            push(i, pull * along);
            push(i + 1, -pull * along);
            let lengthwise = along * along.transpose();
            let block =
                stiffness * lengthwise + pull.max(0.0) / long * (Matrix3::identity() - lengthwise);
            for (a, b, sign) in [(0, 0, 1.0), (1, 1, 1.0), (1, 0, -1.0), (0, 1, -1.0)] {
                add(&mut self.matrix, count, i + a, i + b, &(sign * block));
            }
        }
        if let Some((node, place)) = self.held {
            let stiffness = self.weight / self.scale;
            push(node, stiffness * (place - nodes[node]));
            add(&mut self.matrix, count, node, node, &(stiffness * Matrix3::identity()));
        }
        down
    }
}

/// Adds a block for a pair of nodes; the ends are held and have none.
fn add(matrix: &mut Hessian, count: usize, a: usize, b: usize, block: &Matrix3<f64>) {
    if !(1..count).contains(&a) || !(1..count).contains(&b) {
        return;
    }
    for row in 0..3 {
        for column in 0..3 {
            matrix.add(3 * (a - 1) + row, 3 * (b - 1) + column, block[(row, column)]);
        }
    }
}
