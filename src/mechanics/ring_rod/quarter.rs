//! A quarter of the ring as nodes and segments, and its balance.
//!
//! Segment i joins nodes i and i + 1 at the angle α_i. Turn at an inner node: α_{i−1} − α_i;
//! at the waist, mirrored: −2 α_0; at the tip, mirrored: 2 α_{N−1} + π. Half of each end node's
//! bending belongs to the quarter. The residual is the slope of the stored energy
//! Σ w ∫M dϑ + ½ EA/h Σ (l − h)² + ½ k Σ w·(depth in a jaw)² − Σ F·x.

use crate::math::Banded;
use crate::mechanics::section::{SectionLayers, SectionState};

/// A node of two coordinates meets its two next neighbours: five diagonals below the main one.
type TangentStiffness = Banded<6>;

/// A place in the plane, mm.
pub(super) type Point2 = [f64; 2];

/// A round thing the centreline stays out of, or a flat one with rounded edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Jaw {
    pub centre: Point2,
    /// Of the centreline round it: half the jaw's diameter plus half the wire's, mm.
    pub radius: f64,
    /// Half the length of its flat along x, mm; 0 where it is round.
    pub half_flat: f64,
    /// Height above the mirror line at which the two sides of the ring touch one another, mm, where
    /// the jaw presses them together.
    pub touch: Option<f64>,
}

/// What the first node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Middle {
    /// On the mirror line x = 0, crossing it squarely.
    Waist,
    /// At the origin, free to turn: the two strands cross there.
    Crossing,
}

/// What acts from outside.
#[derive(Clone, Debug)]
pub(super) enum Action {
    /// A jaw.
    Jaw(Jaw),
    /// A fixed force on each node, N.
    Forces(Vec<Point2>),
}

#[derive(Clone, Debug)]
pub(super) struct QuarterRing {
    pub places: Vec<Point2>,
    pub sections: Vec<SectionState>,
    pub layers: SectionLayers,
    pub middle: Middle,
    /// Length of an unstretched segment, mm.
    pub segment: f64,
    /// EA, N.
    pub axial: f64,
}

/// Newton steps in one balance; smooth steps need 4–8, a jaw closing on new nodes some more.
const STEPS: usize = 40;
/// A Newton step this small, as a share of the quarter's length, ends it: the next would be
/// rounding.
const SMALL: f64 = 1e-6;
/// Slope left along a step, as a share of that at its start, that ends a search along it.
const NEARLY: f64 = 0.3;
/// Places tried along one step.
const SEARCHES: usize = 8;
/// Longest move of a node in one Newton step, in segments: angles stay within reach.
const REACH: f64 = 2.0;

/// Slope and curvature of the stored energy.
struct RodBalance {
    slope: Vec<f64>,
    matrix: TangentStiffness,
}

impl QuarterRing {
    fn count(&self) -> usize {
        self.places.len()
    }

    fn angle(&self, segment: usize) -> f64 {
        let (a, b) = (self.places[segment], self.places[segment + 1]);
        (b[1] - a[1]).atan2(b[0] - a[0])
    }

    /// Curvature at each node, 1/mm.
    pub fn curvatures(&self) -> Vec<f64> {
        let last = self.count() - 1;
        let angles: Vec<f64> = (0..last).map(|i| self.angle(i)).collect();
        (0..=last)
            .map(|i| {
                let turn = if i == last {
                    2.0 * angles[last - 1] + std::f64::consts::PI
                } else if i > 0 {
                    angles[i - 1] - angles[i]
                } else {
                    match self.middle {
                        Middle::Waist => -2.0 * angles[0],
                        Middle::Crossing => 0.0,
                    }
                };
                turn / self.segment
            })
            .collect()
    }

    /// Greatest pull along the wire, N.
    pub fn greatest_pull(&self) -> f64 {
        let stretch = |pair: &[Point2]| {
            (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]) / self.segment - 1.0
        };
        self.places.windows(2).map(|pair| self.axial * stretch(pair)).fold(0.0, f64::max)
    }

    /// Share of a node that belongs to the quarter.
    fn fraction(&self, node: usize) -> f64 {
        if node == 0 || node + 1 == self.count() { 0.5 } else { 1.0 }
    }

    /// Force of a jaw on each node, N.
    pub fn forces(&self, jaw: &Jaw) -> Vec<Point2> {
        let press = self.axial / self.segment;
        (0..self.count())
            .map(|i| {
                let Indentation { depth, normal, .. } = indentation(jaw, self.places[i]);
                let push = press * self.fraction(i) * depth;
                let up = press * self.fraction(i) * past_touch(jaw, self.places[i]);
                [push * normal[0], push * normal[1] + up]
            })
            .collect()
    }

    fn balance(&self, action: &Action) -> RodBalance {
        let (last, h) = (self.count() - 1, self.segment);
        let mut slope = vec![0.0; 2 * self.count()];
        let mut matrix = TangentStiffness::zeros(2 * self.count());
        // Along the wire; and each segment's angle with its derivatives.
        let press = self.axial / h;
        let mut turns = Vec::with_capacity(last);
        for i in 0..last {
            let (a, b) = (self.places[i], self.places[i + 1]);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let length = dx.hypot(dy);
            let (c, s) = (dx / length, dy / length);
            let pull = press * (length - h);
            let across = pull / length;
            let block = [
                [press * c * c + across * s * s, (press - across) * c * s],
                [(press - across) * c * s, press * s * s + across * c * c],
            ];
            add_difference(&mut slope, &mut matrix, i, [pull * c, pull * s], block);
            // ∂α/∂(b − a), and the second derivatives.
            turns.push(([-s / length, c / length], [2.0 * s * c, s * s - c * c], length));
        }
        // Bending: energy slope M per turn, stiffness (dM/dκ)/h.
        for (i, curvature) in self.curvatures().into_iter().enumerate() {
            if i == 0 && self.middle == Middle::Crossing {
                continue;
            }
            let response = self.layers.respond(&self.sections[i], curvature);
            let fraction = self.fraction(i);
            let (moment, stiffness) =
                (fraction * response.moment, fraction * response.stiffness / h);
            let before = (i > 0).then(|| (i - 1, if i == last { 2.0 } else { 1.0 }));
            let after = (i < last).then(|| (i, if i == 0 { -2.0 } else { -1.0 }));
            // Turn by each coordinate of nodes i − 1, i, i + 1.
            let mut by = [0.0; 6];
            for (segment, factor) in before.into_iter().chain(after) {
                let (first, second, length) = turns[segment];
                let offset = 2 * (segment + 1 - i);
                for axis in 0..2 {
                    by[offset + axis] -= factor * first[axis];
                    by[offset + 2 + axis] += factor * first[axis];
                }
                let bend = moment * factor / (length * length);
                let block =
                    [[bend * second[0], bend * second[1]], [bend * second[1], -bend * second[0]]];
                add_difference(&mut slope, &mut matrix, segment, [0.0; 2], block);
            }
            for row in 0..6 {
                if by[row] == 0.0 {
                    continue;
                }
                let at = 2 * i + row - 2;
                slope[at] += moment * by[row];
                for column in 0..=row {
                    if by[column] != 0.0 {
                        matrix.add(at, 2 * i + column - 2, stiffness * by[row] * by[column]);
                    }
                }
            }
        }
        self.add_action(action, &mut slope, &mut matrix);
        for pinned in self.pinned() {
            slope[pinned] = 0.0;
            matrix.pin(pinned);
        }
        RodBalance { slope, matrix }
    }

    fn add_action(&self, action: &Action, slope: &mut [f64], matrix: &mut TangentStiffness) {
        match action {
            Action::Forces(forces) => {
                for (i, force) in forces.iter().enumerate() {
                    slope[2 * i] -= force[0];
                    slope[2 * i + 1] -= force[1];
                }
            }
            Action::Jaw(jaw) => {
                for i in 0..self.count() {
                    let past = past_touch(jaw, self.places[i]);
                    if past > 0.0 {
                        let press = self.axial / self.segment * self.fraction(i);
                        slope[2 * i + 1] -= press * past;
                        matrix.add(2 * i + 1, 2 * i + 1, press);
                    }
                    let Indentation { depth, normal: n, curvature } =
                        indentation(jaw, self.places[i]);
                    if depth <= 0.0 {
                        continue;
                    }
                    let press = self.axial / self.segment * self.fraction(i);
                    let across = -press * depth * curvature;
                    slope[2 * i] -= press * depth * n[0];
                    slope[2 * i + 1] -= press * depth * n[1];
                    matrix.add(2 * i, 2 * i, press * n[0] * n[0] + across * n[1] * n[1]);
                    matrix.add(2 * i + 1, 2 * i, (press - across) * n[0] * n[1]);
                    matrix.add(2 * i + 1, 2 * i + 1, press * n[1] * n[1] + across * n[0] * n[0]);
                }
            }
        }
    }

    fn pinned(&self) -> impl Iterator<Item = usize> {
        let crossing = (self.middle == Middle::Crossing).then_some(1);
        [0].into_iter().chain(crossing).chain([2 * self.count() - 1])
    }

    /// Finds the balance under an action, from where it stands; sections are not settled.
    /// What is left over, as a share of a segment, if it does not.
    pub fn find_balance(&mut self, action: &Action) -> Result<(), f64> {
        let quarter_length = self.segment * (self.count() - 1) as f64;
        let mut found = self.balance(action);
        let mut left = f64::INFINITY;
        for _ in 0..STEPS {
            let Some(mut step) = downhill(&found) else { break };
            let longest = step.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
            left = longest / self.segment;
            if !left.is_finite() {
                break;
            }
            if longest <= SMALL * quarter_length {
                self.place_along(&self.places.clone(), &step, 1.0);
                return Ok(());
            }
            let limit = REACH * self.segment / longest.max(f64::MIN_POSITIVE);
            if limit < 1.0 {
                step.iter_mut().for_each(|x| *x *= limit);
            }
            found = self.along(action, &step, dot(&found.slope, &step));
        }
        Err(left)
    }

    /// Goes along a step to where the energy's slope along it has nearly gone, and no further
    /// than its end; `slope` is that at the start. The balance there.
    fn along(&mut self, action: &Action, step: &[f64], slope: f64) -> RodBalance {
        let start = self.places.clone();
        let (mut low, mut at_low, mut high, mut at_high) = (0.0, slope, 1.0, f64::NAN);
        let mut fraction = 1.0;
        for _ in 0..SEARCHES {
            self.place_along(&start, step, fraction);
            let found = self.balance(action);
            let now = dot(&found.slope, step);
            // Short of the minimum at the full step is fine: the next step goes on from there.
            if (fraction >= 1.0 && now <= 0.0) || now.abs() <= NEARLY * slope.abs() {
                return found;
            }
            if now <= 0.0 {
                (low, at_low) = (fraction, now);
                at_high *= 0.5;
            } else {
                (high, at_high) = (fraction, now);
                at_low *= 0.5;
            }
            let secant = low - at_low * (high - low) / (at_high - at_low);
            fraction = if secant.is_finite() { secant } else { 0.5 * (low + high) };
            let margin = 0.05 * (high - low);
            fraction = fraction.clamp(low + margin, high - margin);
        }
        self.place_along(&start, step, fraction);
        self.balance(action)
    }

    fn place_along(&mut self, start: &[Point2], step: &[f64], fraction: f64) {
        for (i, place) in self.places.iter_mut().enumerate() {
            *place =
                [start[i][0] + fraction * step[2 * i], start[i][1] + fraction * step[2 * i + 1]];
        }
    }

    /// Makes the present shape the one the sections remember.
    pub fn settle(&mut self) {
        let curvatures = self.curvatures();
        for (section, curvature) in self.sections.iter_mut().zip(curvatures) {
            self.layers.settle(section, curvature);
        }
    }
}

/// How a place lies in a jaw.
struct Indentation {
    /// 0 outside.
    depth: f64,
    /// The way out.
    normal: Point2,
    /// Of the surface of equal depth through the place, 1/mm: 0 on a flat.
    curvature: f64,
}

/// How far a place under the jaw has gone into the other side of the ring, mm.
fn past_touch(jaw: &Jaw, place: Point2) -> f64 {
    let under = (place[0] - jaw.centre[0]).abs() <= jaw.half_flat + jaw.radius;
    jaw.touch.filter(|_| under).map_or(0.0, |height| (height - place[1]).max(0.0))
}

fn indentation(jaw: &Jaw, place: Point2) -> Indentation {
    let (along, dy) = (place[0] - jaw.centre[0], place[1] - jaw.centre[1]);
    let dx = along - along.clamp(-jaw.half_flat, jaw.half_flat);
    let distance = dx.hypot(dy).max(1e-12 * jaw.radius);
    let curvature = if dx == 0.0 && jaw.half_flat > 0.0 { 0.0 } else { 1.0 / distance };
    Indentation {
        depth: (jaw.radius - distance).max(0.0),
        normal: [dx / distance, dy / distance],
        curvature,
    }
}

/// Adds a term that depends on the difference of nodes `i + 1` and `i` only.
fn add_difference(
    slope: &mut [f64],
    matrix: &mut TangentStiffness,
    i: usize,
    gradient: [f64; 2],
    block: [[f64; 2]; 2],
) {
    for (row, (by, entries)) in gradient.into_iter().zip(block).enumerate() {
        slope[2 * i + row] -= by;
        slope[2 * i + 2 + row] += by;
        for (column, value) in entries.into_iter().enumerate() {
            matrix.add(2 * i + row, 2 * i + column, value);
            matrix.add(2 * i + 2 + row, 2 * i + 2 + column, value);
            matrix.add(2 * i + 2 + row, 2 * i + column, -value);
        }
    }
}

/// The Newton step; where the energy curves downwards, with as much added to the diagonal as
/// makes it curve upwards.
fn downhill(balance: &RodBalance) -> Option<Vec<f64>> {
    let right: Vec<f64> = balance.slope.iter().map(|x| -x).collect();
    let greatest = balance.matrix.greatest_diagonal();
    let mut shift = 0.0;
    for _ in 0..14 {
        if let Some(step) = balance.matrix.solve_shifted(shift, &right) {
            return step.iter().all(|x| x.is_finite()).then_some(step);
        }
        shift = if shift > 0.0 { 10.0 * shift } else { 1e-10 * greatest };
    }
    None
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}
