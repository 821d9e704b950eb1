//! Bounding capsules: all points within a radius of a segment.

use super::rigid_matrix::RigidMatrix;
use crate::geometry::curve::Vector;

/// A segment `centre ± half`, thickened by `radius`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Capsule {
    pub centre: Vector,
    pub half: Vector,
    pub radius: f64,
    /// `half · half`, and its inverse (zero for a ball): neither changes when moved.
    squared: f64,
    inverse: f64,
    /// Half the greatest extent: the radius of the ball about `centre` that holds it all.
    pub reach: f64,
}

/// Squared sine below which two axes are treated as parallel. Above it the closed form
/// keeps six digits of the parameter, and the distance, being stationary there, all of
/// them. Below it the start is arbitrary, and [`PARALLEL_DRIFT`] pays for that.
const PARALLEL: f64 = 1e-10;
/// How far the gap of axes within `PARALLEL` can change along them, per mm: the sine.
const PARALLEL_DRIFT: f64 = 1e-5;

impl Capsule {
    pub fn new(centre: Vector, half: Vector, radius: f64) -> Capsule {
        let squared = half.norm_squared();
        // Anything shorter than this cannot be told from a point, and 1/squared overflows.
        let inverse = if squared > 1e-280 { 1.0 / squared } else { 0.0 };
        Capsule { centre, half, radius, squared, inverse, reach: squared.sqrt() + radius }
    }

    #[inline]
    pub fn moved(&self, motion: &RigidMatrix) -> Capsule {
        Capsule { centre: motion.point(&self.centre), half: motion.direction(&self.half), ..*self }
    }

    /// No two points, one in each, are nearer than this; below zero where they overlap.
    ///
    /// Least distance of the two axes less both radii. Δ = w + s h₁ − t h₂ on the square
    /// |s|, |t| ≤ 1 is a convex quadratic: clamping s at the free minimum, then t given
    /// s, then s given t, ends at the constrained minimum.
    #[inline]
    pub fn gap(&self, other: &Capsule) -> f64 {
        let (between, drift) = self.nearest(other);
        between.norm() - (self.radius + other.radius + drift)
    }

    /// From the axis of `other` to this one, where they come nearest.
    #[inline]
    pub fn between(&self, other: &Capsule) -> Vector {
        self.nearest(other).0
    }

    /// The same, and by how much it may be too long.
    #[inline]
    fn nearest(&self, other: &Capsule) -> (Vector, f64) {
        let w = self.centre - other.centre;
        let (a, e) = (self.squared, other.squared);
        let b = self.half.dot(&other.half);
        let c = self.half.dot(&w);
        let f = other.half.dot(&w);
        let product = a * e;
        let sine_squared = product - b * b;
        let (s, drift) = if sine_squared > PARALLEL * product {
            (((b * f - c * e) / sine_squared).clamp(-1.0, 1.0), 0.0)
        } else {
            (0.0, 2.0 * PARALLEL_DRIFT * a.min(e).sqrt())
        };
        let t = ((f + s * b) * other.inverse).clamp(-1.0, 1.0);
        let s = ((t * b - c) * self.inverse).clamp(-1.0, 1.0);
        (w + s * self.half - t * other.half, drift)
    }

    /// [`Capsule::gap`] of each of `a` with each of `b`: a₀b₀, a₀b₁, a₁b₀, a₁b₁.
    ///
    /// The same arithmetic four abreast, so that the processor need not wait for one to end.
    #[inline]
    pub fn gaps(a: [&Capsule; 2], b: [&Capsule; 2]) -> [f64; 4] {
        const OF_A: [usize; 4] = [0, 0, 1, 1];
        const OF_B: [usize; 4] = [0, 1, 0, 1];
        let each = |f: &dyn Fn(usize) -> f64| [f(0), f(1), f(2), f(3)];
        let w: [[f64; 4]; 3] =
            [0, 1, 2].map(|x| each(&|k| a[OF_A[k]].centre[x] - b[OF_B[k]].centre[x]));
        let h: [[f64; 4]; 3] = [0, 1, 2].map(|x| each(&|k| a[OF_A[k]].half[x]));
        let g: [[f64; 4]; 3] = [0, 1, 2].map(|x| each(&|k| b[OF_B[k]].half[x]));
        let squared_a = each(&|k| a[OF_A[k]].squared);
        let squared_b = each(&|k| b[OF_B[k]].squared);
        let inverse_a = each(&|k| a[OF_A[k]].inverse);
        let inverse_b = each(&|k| b[OF_B[k]].inverse);
        let radius = each(&|k| a[OF_A[k]].radius + b[OF_B[k]].radius);
        let mut gaps = [0.0; 4];
        for k in 0..4 {
            let dot = |u: &[[f64; 4]; 3], v: &[[f64; 4]; 3]| {
                u[0][k] * v[0][k] + u[1][k] * v[1][k] + u[2][k] * v[2][k]
            };
            let (along, c, f) = (dot(&h, &g), dot(&h, &w), dot(&g, &w));
            let product = squared_a[k] * squared_b[k];
            let sine_squared = product - along * along;
            let crossed = sine_squared > PARALLEL * product;
            let free = (along * f - c * squared_b[k]) / if crossed { sine_squared } else { 1.0 };
            let s = if crossed { free.clamp(-1.0, 1.0) } else { 0.0 };
            let t = ((f + s * along) * inverse_b[k]).clamp(-1.0, 1.0);
            let s = ((t * along - c) * inverse_a[k]).clamp(-1.0, 1.0);
            let between = |x: usize| w[x][k] + s * h[x][k] - t * g[x][k];
            let (x, y, z) = (between(0), between(1), between(2));
            let shorter = squared_a[k].min(squared_b[k]);
            let drift = if crossed { 0.0 } else { 2.0 * PARALLEL_DRIFT * shorter.sqrt() };
            gaps[k] = (x * x + y * y + z * z).sqrt() - (radius[k] + drift);
        }
        gaps
    }

    /// A small capsule that holds all of `parts`, with a trace to spare for rounding.
    ///
    /// Along the line between two ends that are far apart: from the end furthest from their mean to that
    /// furthest from it (Ritter's first step, "An efficient bounding sphere", Graphics Gems, 1990).
    pub fn around(parts: &[Capsule]) -> Capsule {
        let balls: Vec<(Vector, f64)> = parts
            .iter()
            .flat_map(|p| [(p.centre - p.half, p.radius), (p.centre + p.half, p.radius)])
            .collect();
        let count = balls.len().max(1) as f64;
        let mean = balls.iter().map(|b| b.0).sum::<Vector>() / count;
        let furthest = |from: &Vector| {
            let mut most = (0.0, *from);
            for (p, _) in &balls {
                let far = (p - from).norm_squared();
                if far > most.0 {
                    most = (far, *p);
                }
            }
            most.1
        };
        let end = furthest(&mean);
        let Some(axis) = (furthest(&end) - end).try_normalize(0.0) else {
            let radius = balls.iter().map(|b| b.1).fold(0.0, f64::max);
            return Capsule::new(mean, Vector::zeros(), radius);
        };
        Capsule::along(axis, mean, &balls)
    }

    /// The least capsule along one direction, its axis settled by [`CENTRING`] steps
    /// towards the furthest ball.
    fn along(axis: Vector, mean: Vector, balls: &[(Vector, f64)]) -> Capsule {
        let other = if axis.x.abs() < 0.8 { Vector::x() } else { Vector::y() };
        let first = axis.cross(&other).normalize();
        let second = axis.cross(&first);
        // Seen along the axis: discs.
        let discs: Vec<(f64, f64, f64, f64)> = balls
            .iter()
            .map(|(p, e)| {
                let d = p - mean;
                (d.dot(&first), d.dot(&second), d.dot(&axis), *e)
            })
            .collect();
        let (mut x, mut y) = (0.0, 0.0);
        for step in 1..=CENTRING {
            // By centres alone: the balls differ little, and the radius is measured afterwards.
            let (mut furthest, mut to) = (f64::NEG_INFINITY, (x, y));
            for &(u, v, _, _) in &discs {
                let reach = (u - x) * (u - x) + (v - y) * (v - y);
                if reach > furthest {
                    (furthest, to) = (reach, (u, v));
                }
            }
            let fraction = 1.0 / (step + 1) as f64;
            (x, y) = (x + fraction * (to.0 - x), y + fraction * (to.1 - y));
        }
        let off_squared = |&(u, v, _, _): &(f64, f64, f64, f64)| (u - x).powi(2) + (v - y).powi(2);
        let radius = discs.iter().map(|d| off_squared(d).sqrt() + d.3).fold(0.0, f64::max);
        // A ball at height z and off by ρ is inside if the axis comes within
        // sqrt((radius − e)² − ρ²) of z.
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for disc in &discs {
            let reach = ((radius - disc.3).powi(2) - off_squared(disc)).max(0.0).sqrt();
            low = low.min(disc.2 + reach);
            high = high.max(disc.2 - reach);
        }
        if low > high {
            (low, high) = (0.5 * (low + high), 0.5 * (low + high));
        }
        let through = mean + x * first + y * second;
        let scale = through.norm() + radius + low.abs().max(high.abs());
        Capsule::new(
            through + 0.5 * (low + high) * axis,
            0.5 * (high - low) * axis,
            radius + ROUNDING * scale,
        )
    }
}

/// Steps towards the furthest ball when centring a fit; the radius is then within about
/// one part in this many of the least, and is measured, not assumed.
const CENTRING: usize = 8;
/// What building and moving a capsule may lose, as a share of its coordinates: some tens
/// of roundings.
const ROUNDING: f64 = 1e-14;

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(centre: [f64; 3], half: [f64; 3], radius: f64) -> Capsule {
        Capsule::new(Vector::from(centre), Vector::from(half), radius)
    }

    #[test]
    fn gaps_of_crossed_parallel_collinear_and_shrunken_bars_have_closed_forms() {
        let long = bar([0.0; 3], [2.0, 0.0, 0.0], 0.25);
        let cases = [
            (bar([0.5, 0.0, 2.0], [0.0, 3.0, 0.0], 0.25), 1.5), // crossed
            (bar([1.0, 1.0, 0.0], [2.0, 0.0, 0.0], 0.25), 0.5), // parallel, overlapping
            (bar([7.0, 0.0, 0.0], [1.0, 0.0, 0.0], 0.25), 3.5), // collinear
            (bar([5.0, 4.0, 0.0], [0.0; 3], 0.5), 4.25),        // a ball off the end
            (bar([1.0, 4.0, 0.0], [0.0, 1.0, 0.0], 0.0), 2.75), // pointing at it
        ];
        for (other, expected) in cases {
            // Parallel axes may be called nearer by the drift, 4e-5 here, never further.
            for gap in [long.gap(&other), other.gap(&long)] {
                assert!(gap <= expected + 1e-14 && gap > expected - 1e-4, "{gap} for {expected}");
            }
        }
    }

    #[test]
    fn a_capsule_around_parts_holds_them() {
        let parts = [
            bar([0.0; 3], [2.0, 0.0, 0.0], 0.1),
            bar([2.0, 1.0, 0.0], [0.0, 1.0, 0.3], 0.2),
            bar([1.0, 2.0, 1.0], [0.5, 0.5, 0.0], 0.0),
        ];
        let around = Capsule::around(&parts);
        for part in parts {
            for end in [part.centre - part.half, part.centre + part.half] {
                let point = Capsule::new(end, Vector::zeros(), part.radius);
                let depth = around.gap(&point) + 2.0 * part.radius;
                assert!(depth <= 1e-12, "sticks out by {depth}");
            }
        }
        assert!(around.reach < 4.0, "far too big: {}", around.reach);
    }
}
