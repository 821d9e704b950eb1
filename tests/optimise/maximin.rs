//! The maximin search on published test functions.

use linkfold::answers::optimise::{MaximinSolver, Objective};

/// Functions over a box, the greatest of which is to be least.
struct Posed {
    low: f64,
    high: f64,
    values: fn(&[f64]) -> Vec<f64>,
}

impl Posed {
    fn place(&self, at: &[f64]) -> Vec<f64> {
        at.iter().map(|share| self.low + share * (self.high - self.low)).collect()
    }
}

impl Objective for Posed {
    fn values(&mut self, at: &[f64], _: f64) -> Option<Vec<Option<f64>>> {
        Some((self.values)(&self.place(at)).into_iter().map(Some).collect())
    }
}

/// Where a search from `start` ends, its values there, and how many places it looked at.
fn searched(posed: &mut Posed, start: &[f64], aims: bool) -> (Vec<f64>, Vec<f64>, usize) {
    let share = |x: &f64| (x - posed.low) / (posed.high - posed.low);
    let at: Vec<f64> = start.iter().map(share).collect();
    let live = vec![true; at.len()];
    let mut search = MaximinSolver::new(posed, &at, &live, aims, (1e-9, 1e-9)).unwrap();
    while !search.is_done() && search.evaluations() < 20_000 {
        search.step(posed);
    }
    (
        posed.place(search.at()),
        search.values().iter().flatten().copied().collect(),
        search.evaluations(),
    )
}

fn least(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}

/// Minimax problems. Sources: Charalambous & Conn, *An efficient method to solve the minimax
/// problem directly*, SIAM J. Numer. Anal. 15 (1978) 162 (CB2, CB3); Rosen & Suzuki,
/// *Construction of nonlinear programming test problems*, Comm. ACM 8 (1965) 113; Madsen, as in
/// `src/answers/optimise/maximin.rs`; values as collected in Lukšan & Vlček, *Test problems for nonsmooth
/// unconstrained and linearly constrained optimization* (2000). From memory.
#[test]
fn published_minimax_problems_are_solved() {
    fn cb2(x: &[f64]) -> Vec<f64> {
        let shared = (2.0 - x[0]).powi(2) + (2.0 - x[1]).powi(2);
        vec![-(x[0].powi(2) + x[1].powi(4)), -shared, -2.0 * (x[1] - x[0]).exp()]
    }
    fn cb3(x: &[f64]) -> Vec<f64> {
        let shared = (2.0 - x[0]).powi(2) + (2.0 - x[1]).powi(2);
        vec![-(x[0].powi(4) + x[1].powi(2)), -shared, -2.0 * (x[1] - x[0]).exp()]
    }
    fn rosen_suzuki(x: &[f64]) -> Vec<f64> {
        let (f, g) = suzuki(x);
        // Raised by 100: a search is content with nothing missed.
        [0.0, g[0], g[1], g[2]].iter().map(|g| -(100.0 + f - 10.0 * g)).collect()
    }
    fn madsen(x: &[f64]) -> Vec<f64> {
        let f = [x[0] * x[0] + x[1] * x[1] + x[0] * x[1], x[0].sin(), x[1].cos()];
        f.iter().flat_map(|f| [-f, *f]).collect()
    }
    type Case = (&'static str, fn(&[f64]) -> Vec<f64>, &'static [f64], f64);
    let cases: [Case; 4] = [
        ("CB2", cb2, &[2.0, 2.0], 1.9522245),
        ("CB3", cb3, &[2.0, 2.0], 2.0),
        ("Rosen-Suzuki", rosen_suzuki, &[0.0, 0.0, 0.0, 0.0], 56.0),
        ("Madsen", madsen, &[3.0, 1.0], 0.61643244),
    ];
    for (name, values, start, optimum) in cases {
        let mut posed = Posed { low: -5.0, high: 5.0, values };
        let (at, values, evaluations) = searched(&mut posed, start, false);
        println!("{name}: {} at {at:?} after {evaluations}", -least(&values));
        // The printed digits, and half of all figures carried where the optimum is flat.
        let off = (-least(&values) - optimum).abs();
        assert!(off < 1e-5 * optimum.abs(), "{name}: {} at {at:?}", -least(&values));
    }
}

/// The objective and what the three constraints leave, of Rosen and Suzuki's problem.
fn suzuki(x: &[f64]) -> (f64, [f64; 3]) {
    let (a, b, c, d) = (x[0], x[1], x[2], x[3]);
    let f = a * a + b * b + 2.0 * c * c + d * d - 5.0 * a - 5.0 * b - 21.0 * c + 7.0 * d;
    let g = [
        8.0 - (a * a + b * b + c * c + d * d + a - b + c - d),
        10.0 - (a * a + 2.0 * b * b + c * c + 2.0 * d * d - a - d),
        5.0 - (2.0 * a * a + b * b + c * c + 2.0 * a - b - d),
    ];
    (f, g)
}

/// Systems of equations, from their usual starts. Source: Moré, Garbow & Hillstrom, *Testing
/// unconstrained optimization software*, ACM TOMS 7 (1981) 17, problems 1 and 7.
#[test]
fn published_systems_are_solved() {
    fn rosenbrock(x: &[f64]) -> Vec<f64> {
        let f = [10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]];
        f.iter().flat_map(|f| [-f, *f]).collect()
    }
    fn helical(x: &[f64]) -> Vec<f64> {
        let turn = x[1].atan2(x[0]) / (2.0 * std::f64::consts::PI);
        let f = [10.0 * (x[2] - 10.0 * turn), 10.0 * (x[0].hypot(x[1]) - 1.0), x[2]];
        f.iter().flat_map(|f| [-f, *f]).collect()
    }
    for (name, values, start, root) in [
        ("Rosenbrock", rosenbrock as fn(&[f64]) -> Vec<f64>, vec![-1.2, 1.0], vec![1.0, 1.0]),
        ("helical valley", helical, vec![-1.0, 0.0, 0.0], vec![1.0, 0.0, 0.0]),
    ] {
        let mut posed = Posed { low: -10.0, high: 10.0, values };
        let (at, _, evaluations) = searched(&mut posed, &start, false);
        println!("{name}: {at:?} after {evaluations}");
        let off = at.iter().zip(&root).map(|(x, r)| (x - r).abs()).fold(0.0, f64::max);
        assert!(off < 1e-5, "{name}: {at:?}");
    }
}

/// Problems with constraints, raised from a place that keeps them. Source: Hock & Schittkowski,
/// *Test examples for nonlinear programming codes* (1981), problems 35 and 43, compared with
/// two open transcriptions of the collection.
#[test]
fn published_constrained_problems_are_solved() {
    // What is left of a constraint weighs a hundredfold: a search stays a little inside.
    fn hs35(x: &[f64]) -> Vec<f64> {
        let (a, b, c) = (x[0], x[1], x[2]);
        let f = 9.0 - 8.0 * a - 6.0 * b - 4.0 * c
            + 2.0 * a * a
            + 2.0 * b * b
            + c * c
            + 2.0 * a * b
            + 2.0 * a * c;
        vec![1e2 * (3.0 - a - b - 2.0 * c), -f]
    }
    fn hs43(x: &[f64]) -> Vec<f64> {
        let (f, g) = suzuki(x);
        vec![1e2 * g[0], 1e2 * g[1], 1e2 * g[2], -f]
    }
    for (name, low, values, start, optimum) in [
        ("35", 0.0, hs35 as fn(&[f64]) -> Vec<f64>, vec![0.5, 0.5, 0.5], 1.0 / 9.0),
        ("43", -5.0, hs43, vec![0.0, 0.0, 0.0, 0.0], -44.0),
    ] {
        let mut posed = Posed { low, high: 5.0, values };
        let (at, values, evaluations) = searched(&mut posed, &start, true);
        let found = -values[values.len() - 1];
        println!("{name}: {found} at {at:?} after {evaluations}");
        assert!((found - optimum).abs() < 1e-3 * optimum.abs(), "{name}: {found} at {at:?}");
        let left = least(&values[..values.len() - 1]);
        assert!(left >= -1e-9, "{name}: a constraint is broken by {left}");
    }
}
