//! Weights of a mean of linear functions whose greatest value over a box is least.
//!
//! Model: minimise `Σ λᵢ valueᵢ + Σ_j reach_j |Σ λᵢ slopeᵢⱼ|` over `λ ≥ 0`, `Σ λ = 1`: the dual of
//! [`maximise_min`](super::maximise_min), which gives the step and not the weights.
//! Method: revised simplex, `|x|` as the difference of two unknowns not below zero; any one weight
//! of one is a feasible start. What is returned is feasible at every stage.
//! Source: Chvátal, *Linear Programming*, ch. 7 (from memory).

use super::Linear;
use nalgebra::{SMatrix, SVector};

/// Pivots before the best weights so far are taken; about ten are usual.
const PIVOTS: usize = 60;

/// The weights of `functions` whose mean has the least greatest value within `reach`, and that
/// value. `R` is `N + 1`. No weights where there is no function.
///
/// # Examples
/// ```
/// use linkfold::math::{Linear, mean_weights};
/// // x and 1 − x: half of each is one half, wherever x is.
/// let lines = [Linear { value: 0.0, slope: [1.0] }, Linear { value: 1.0, slope: [-1.0] }];
/// let (weights, greatest) = mean_weights::<1, 2>(&lines, &[10.0]);
/// assert!((weights[0] - 0.5).abs() < 1e-12 && (greatest - 0.5).abs() < 1e-12);
/// ```
pub fn mean_weights<const N: usize, const R: usize>(
    functions: &[Linear<N>],
    reach: &[f64; N],
) -> (Vec<f64>, f64) {
    let count = functions.len();
    let mut weights = vec![0.0; count];
    let first = (0..count).min_by(|&i, &j| functions[i].value.total_cmp(&functions[j].value));
    let Some(first) = first else { return (weights, f64::INFINITY) };
    // Unknowns: the weights, then what each mean slope is above zero, then what below.
    let column = |name: usize| {
        let mut column = SVector::<f64, R>::zeros();
        if name < count {
            column.as_mut_slice()[..N].copy_from_slice(&functions[name].slope);
            column[N] = 1.0;
        } else {
            column[(name - count) % N] = if name < count + N { -1.0 } else { 1.0 };
        }
        column
    };
    let cost =
        |name: usize| if name < count { functions[name].value } else { reach[(name - count) % N] };
    let mut basis = [first; R];
    let mut inverse = SMatrix::<f64, R, R>::zeros();
    let mut values = SVector::<f64, R>::zeros();
    for j in 0..N {
        let slope = functions[first].slope[j];
        let above = slope >= 0.0;
        basis[j] = if above { count + j } else { count + N + j };
        let sign = if above { -1.0 } else { 1.0 };
        (inverse[(j, j)], inverse[(j, N)]) = (sign, -sign * slope);
        values[j] = slope.abs();
    }
    (inverse[(N, N)], values[N]) = (1.0, 1.0);
    for _ in 0..PIVOTS {
        let prices = inverse.tr_mul(&SVector::<f64, R>::from_fn(|k, _| cost(basis[k])));
        let (mut enter, mut least) = (None, -1e-9);
        let mut offer = |name: usize, reduced: f64| {
            if reduced < least {
                (enter, least) = (Some(name), reduced);
            }
        };
        for (name, function) in functions.iter().enumerate() {
            let priced: f64 = (0..N).map(|j| function.slope[j] * prices[j]).sum();
            offer(name, function.value - priced - prices[N]);
        }
        for j in 0..N {
            offer(count + j, reach[j] + prices[j]);
            offer(count + N + j, reach[j] - prices[j]);
        }
        let Some(enter) = enter else { break };
        let direction = inverse * column(enter);
        let (mut leave, mut ratio) = (R, f64::INFINITY);
        for k in 0..R {
            if direction[k] > 1e-11 && values[k].max(0.0) / direction[k] < ratio {
                (leave, ratio) = (k, values[k].max(0.0) / direction[k]);
            }
        }
        if leave == R {
            break;
        }
        values.axpy(-ratio, &direction, 1.0);
        (values[leave], basis[leave]) = (ratio, enter);
        let pivot = inverse.row(leave) / direction[leave];
        for k in 0..R {
            let row = if k == leave { pivot } else { inverse.row(k) - direction[k] * pivot };
            inverse.set_row(k, &row);
        }
    }
    for k in 0..R {
        if basis[k] < count {
            weights[basis[k]] += values[k].max(0.0);
        }
    }
    let sum: f64 = weights.iter().sum();
    if !(sum > 1e-6) {
        weights.fill(0.0);
        weights[first] = 1.0;
    } else {
        weights.iter_mut().for_each(|weight| *weight /= sum);
    }
    let mean = |of: &dyn Fn(&Linear<N>) -> f64| -> f64 {
        functions.iter().zip(&weights).map(|(f, weight)| weight * of(f)).sum()
    };
    let swing = (0..N).map(|j| reach[j] * mean(&|f| f.slope[j]).abs()).sum::<f64>();
    let greatest = mean(&|f| f.value) + swing;
    (weights, greatest)
}

#[cfg(test)]
mod tests {
    use super::super::{Rng, maximise_min};
    use super::*;

    /// The greatest least value over a box and the least greatest value of a mean are one number
    /// (strong duality); the other solver has it from the other side.
    #[test]
    fn the_mean_comes_down_to_what_the_best_step_comes_up_to() {
        let mut rng = Rng::new(11);
        let mut any = |scale: f64| scale * (2.0 * rng.next_f64() - 1.0);
        for count in [1, 2, 5, 20, 40] {
            for _ in 0..20 {
                let functions: Vec<Linear<6>> = (0..count)
                    .map(|_| Linear { value: any(1.0), slope: std::array::from_fn(|_| any(2.0)) })
                    .collect();
                let reach = std::array::from_fn(|_| 0.3 + any(0.29));
                let (weights, greatest) = mean_weights::<6, 7>(&functions, &reach);
                let (_, least) = maximise_min(&functions, &reach);
                assert!(weights.iter().all(|weight| *weight >= 0.0));
                assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
                assert!((greatest - least).abs() < 1e-7, "{count}: {greatest} {least}");
            }
        }
    }
}
