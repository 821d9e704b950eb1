//! The step that raises the least of several linear functions most.
//!
//! Model: maximise `t` subject to `t ≤ value + slope · step` for every function and
//! `|step_j| ≤ reach_j`. A linear programme of a few unknowns.
//! Method: dense simplex; the box's low corner with `t` far down is a feasible start, so
//! there is no first phase. Largest coefficient enters; ties and cycles are cut off by a
//! limit of pivots, and what is returned is feasible at every stage.
//! Source: Chvátal, *Linear Programming*, ch. 2 (dictionaries; from memory).

/// A linear function of `N` unknowns near the present place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Linear<const N: usize> {
    /// Value at the present place.
    pub value: f64,
    /// Slope along each unknown.
    pub slope: [f64; N],
}

impl<const N: usize> Linear<N> {
    fn at(&self, step: &[f64; N]) -> f64 {
        self.value + self.slope.iter().zip(step).map(|(s, x)| s * x).sum::<f64>()
    }
}

/// Pivots before the best step so far is taken; a dozen functions need about ten.
const PIVOTS: usize = 200;

/// The step within `reach` that raises the least of `functions` most, and that least there.
/// No step where there is nothing to raise.
///
/// # Examples
/// ```
/// use linkfold::math::{Linear, maximise_min};
/// // x and 1 − x: the least of the two is greatest where they cross.
/// let lines = [Linear { value: 0.0, slope: [1.0] }, Linear { value: 1.0, slope: [-1.0] }];
/// let (step, least) = maximise_min(&lines, &[10.0]);
/// assert!((step[0] - 0.5).abs() < 1e-12 && (least - 0.5).abs() < 1e-12);
/// ```
pub fn maximise_min<const N: usize>(functions: &[Linear<N>], reach: &[f64; N]) -> ([f64; N], f64) {
    let mut step = [0.0; N];
    let least =
        |step: &[f64; N]| functions.iter().map(|f| f.at(step)).fold(f64::INFINITY, f64::min);
    let start = least(&step);
    if !start.is_finite() {
        return (step, start);
    }
    // What a function can at most lose or gain within the reach. One that stays above what
    // some other can at most come to never is the least.
    let swing =
        |f: &Linear<N>| -> f64 { f.slope.iter().zip(reach).map(|(s, r)| s.abs() * r).sum() };
    let ceiling = functions.iter().map(|f| f.value + swing(f)).fold(f64::INFINITY, f64::min);
    let kept: Vec<&Linear<N>> =
        functions.iter().filter(|f| f.value - swing(f) <= ceiling).collect();
    let unknowns: Vec<usize> = (0..N).filter(|&j| reach[j] > 0.0).collect();
    // From the low corner: x_j = step_j + reach_j ≥ 0, and t measured from `floor`.
    let low = |f: &Linear<N>| f.at(&reach.map(|r| -r));
    let floor = kept.iter().map(|f| low(f)).fold(f64::INFINITY, f64::min);
    let (t, constant) = (unknowns.len(), unknowns.len() + 1);
    let count = kept.len() + unknowns.len();
    let mut table = Tableau { width: t + 2, cells: vec![0.0; (count + 1) * (t + 2)] };
    for (i, f) in kept.iter().enumerate() {
        let row = table.row(i);
        for (cell, &j) in row.iter_mut().zip(&unknowns) {
            *cell = -f.slope[j];
        }
        (row[t], row[constant]) = (1.0, low(f) - floor);
    }
    for (column, &j) in unknowns.iter().enumerate() {
        let row = table.row(kept.len() + column);
        (row[column], row[constant]) = (1.0, 2.0 * reach[j]);
    }
    // The last row is the objective: t.
    table.row(count)[t] = 1.0;
    // Names: columns 0 to t are their own, t + 1 + i is the slack of row i.
    let mut basic: Vec<usize> = (0..count).map(|i| t + 1 + i).collect();
    let mut nonbasic: Vec<usize> = (0..=t).collect();
    for _ in 0..PIVOTS {
        let objective = table.row(count);
        let enter = (0..=t).max_by(|&i, &j| objective[i].total_cmp(&objective[j])).unwrap_or(t);
        if objective[enter] <= 1e-12 {
            break;
        }
        let mut leave = (f64::INFINITY, count);
        for i in 0..count {
            let row = table.row(i);
            if row[enter] > 1e-12 {
                let ratio = row[constant].max(0.0) / row[enter];
                if ratio < leave.0 {
                    leave = (ratio, i);
                }
            }
        }
        if leave.1 == count {
            break;
        }
        table.pivot(leave.1, enter);
        std::mem::swap(&mut basic[leave.1], &mut nonbasic[enter]);
    }
    step = reach.map(|r| -r);
    for (i, &name) in basic.iter().enumerate() {
        if name < t {
            step[unknowns[name]] += table.row(i)[constant];
        }
    }
    for (x, r) in step.iter_mut().zip(reach) {
        *x = x.clamp(-r, *r);
    }
    let raised = least(&step);
    if raised > start { (step, raised) } else { ([0.0; N], start) }
}

/// A dictionary. Each row: basic variable = constant − Σ coefficient · nonbasic.
struct Tableau {
    width: usize,
    cells: Vec<f64>,
}

impl Tableau {
    fn row(&mut self, i: usize) -> &mut [f64] {
        &mut self.cells[i * self.width..(i + 1) * self.width]
    }

    /// Exchanges the basic variable of row `leave` for the nonbasic one of column `enter`.
    fn pivot(&mut self, leave: usize, enter: usize) {
        let (before, rest) = self.cells.split_at_mut(leave * self.width);
        let (pivot, after) = rest.split_at_mut(self.width);
        let scale = 1.0 / pivot[enter];
        pivot.iter_mut().for_each(|cell| *cell *= scale);
        pivot[enter] = scale;
        for row in before.chunks_exact_mut(self.width).chain(after.chunks_exact_mut(self.width)) {
            let factor = std::mem::take(&mut row[enter]);
            for (cell, p) in row.iter_mut().zip(&*pivot) {
                *cell -= factor * p;
            }
        }
    }
}

/// The radius within which linear functions are trusted: it grows where they promised rightly and
/// shrinks where they did not.
///
/// Source: Fletcher, *Practical Methods of Optimization*, 2nd ed., ch. 5 (from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrustRegion {
    /// How far a step may go in each unknown.
    pub radius: f64,
    /// The most the radius grows to.
    pub greatest: f64,
}

impl TrustRegion {
    /// Sets the radius by the gain a step brought, as a fraction of the gain it promised; whether
    /// the step is worth taking.
    pub fn judge(&mut self, gain_fraction: f64) -> bool {
        if gain_fraction > 0.75 {
            self.radius = (2.0 * self.radius).min(self.greatest);
        } else if !(gain_fraction >= 0.4) {
            self.radius *= 0.4;
        }
        gain_fraction > 0.1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three walls at 120° about a point: from anywhere inside, the greatest least distance
    /// is the in-radius, at the centre.
    #[test]
    fn the_middle_of_a_triangle_is_furthest_from_its_walls() {
        let wall = |degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let (x, y) = (0.3, -0.2);
            Linear { value: 1.0 + cos * x + sin * y, slope: [cos, sin] }
        };
        let walls = [wall(10.0), wall(130.0), wall(250.0)];
        let (step, least) = maximise_min(&walls, &[2.0, 2.0]);
        assert!((least - 1.0).abs() < 1e-12, "{least}");
        assert!((step[0] + 0.3).abs() < 1e-12 && (step[1] - 0.2).abs() < 1e-12, "{step:?}");
    }

    #[test]
    fn the_reach_bounds_the_step_and_nothing_to_raise_is_no_step() {
        let one = Linear { value: 0.5, slope: [1.0, -2.0] };
        assert_eq!(maximise_min(&[one], &[0.1, 0.2]), ([0.1, -0.2], 1.0));
        assert_eq!(maximise_min::<2>(&[], &[0.1, 0.2]).0, [0.0, 0.0]);
        let level = Linear { value: 0.5, slope: [0.0, 0.0] };
        assert_eq!(maximise_min(&[level], &[0.1, 0.2]), ([0.0, 0.0], 0.5));
    }

    /// Against trying out a fine grid.
    #[test]
    fn no_place_of_a_grid_is_better() {
        let mut seed = 1u64;
        let mut any = || {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 11) as f64 / (1u64 << 52) as f64 - 1.0
        };
        for _ in 0..50 {
            let functions: Vec<Linear<2>> =
                (0..8).map(|_| Linear { value: any(), slope: [any(), any()] }).collect();
            let (step, least) = maximise_min(&functions, &[0.7, 0.4]);
            assert!(step[0].abs() <= 0.7 && step[1].abs() <= 0.4);
            for i in -50..=50 {
                for j in -50..=50 {
                    let at = [0.7 * f64::from(i) / 50.0, 0.4 * f64::from(j) / 50.0];
                    let there = functions.iter().map(|f| f.at(&at)).fold(f64::INFINITY, f64::min);
                    assert!(there <= least + 1e-12, "{there} at {at:?}, {least} at {step:?}");
                }
            }
        }
    }
}
