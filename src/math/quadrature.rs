//! Gauss–Legendre quadrature: nodes and weights for any count.
//!
//! Nodes by Newton's method on the Legendre polynomial from Chebyshev-like starts; exact for
//! polynomials of degree 2 n − 1 to rounding.
//! Source: Abramowitz & Stegun, 25.4.29–30 (weights 2/((1−x²) P'(x)²)) and 22.16.6 (starts);
//! checked against the integrals of powers in the tests below.

/// Nodes and weights of a rule on −1 to 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauss {
    nodes: Vec<(f64, f64)>,
}

/// Newton steps; four are enough from these starts for any count below a thousand.
const STEPS: usize = 8;

impl Gauss {
    /// The rule with `count` nodes, taken as at least one.
    pub fn new(count: usize) -> Gauss {
        let n = count.max(1);
        let node = |i: usize| {
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..STEPS {
                // P_k by its three-term recurrence; P' from P_n and P_{n-1}.
                let (mut p, mut before) = (1.0, 0.0);
                for k in 0..n {
                    let k = k as f64;
                    (p, before) = (((2.0 * k + 1.0) * x * p - k * before) / (k + 1.0), p);
                }
                slope = n as f64 * (x * p - before) / (x * x - 1.0);
                x -= p / slope;
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        };
        Gauss { nodes: (0..n).map(node).collect() }
    }

    /// Places and weights on the interval from `low` to `high`.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::Gauss;
    /// let cube: f64 = Gauss::new(2).on(0.0, 1.0).map(|(x, weight)| weight * x.powi(3)).sum();
    /// assert!((cube - 0.25).abs() < 1e-15); // two nodes are exact to the third degree
    /// ```
    pub fn on(&self, low: f64, high: f64) -> impl Iterator<Item = (f64, f64)> {
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
        self.nodes.iter().map(move |(x, w)| (middle + half * x, half * w))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_up_to_twice_the_count_less_one_are_exact() {
        for count in [1, 2, 5, 16] {
            let rule = Gauss::new(count);
            for power in 0..(2 * count as i32) {
                let sum: f64 = rule.on(1.0, 3.0).map(|(x, w)| w * (x / 3.0).powi(power)).sum();
                let exact = (3.0 - 1.0 / 3f64.powi(power)) / f64::from(power + 1);
                assert!((sum - exact).abs() < 1e-13, "{count} nodes, power {power}: {sum} {exact}");
            }
        }
    }
}
