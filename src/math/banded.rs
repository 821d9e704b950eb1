//! Symmetric positive definite systems whose entries lie near the diagonal: cost grows
//! linearly with the unknowns.
//!
//! Method: Cholesky, in place, without leaving the band.
//! Source: Golub & Van Loan, *Matrix Computations*, 4th ed., §4.3.5 (from memory).

/// A symmetric matrix with nothing further than `half` from the diagonal.
#[derive(Clone, Debug)]
pub struct Banded {
    half: usize,
    /// Row i, columns i − half to i.
    cells: Vec<f64>,
}

impl Banded {
    /// All zero.
    pub fn new(unknowns: usize, half: usize) -> Banded {
        Banded { half, cells: vec![0.0; unknowns * (half + 1)] }
    }

    /// All zero again.
    pub fn clear(&mut self) {
        self.cells.fill(0.0);
    }

    /// Adds to the entry at row `i`, column `j`, and to its mirror image. Only the lower
    /// half is kept: entries with `j > i` are left to their mirror image.
    ///
    /// # Panics
    /// If the entry lies outside the band.
    pub fn add(&mut self, i: usize, j: usize, value: f64) {
        if j <= i {
            assert!(i - j <= self.half, "outside the band");
            self.cells[i * (self.half + 1) + self.half + j - i] += value;
        }
    }

    /// Replaces `right` by the solution; leaves the matrix factored. `false`, and `right`
    /// of no use, where the matrix is not positive definite.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::Banded;
    /// // [2 1; 1 2] x = [4, 5]
    /// let mut matrix = Banded::new(2, 1);
    /// matrix.add(0, 0, 2.0);
    /// matrix.add(1, 0, 1.0);
    /// matrix.add(1, 1, 2.0);
    /// let mut right = [4.0, 5.0];
    /// assert!(matrix.solve(&mut right));
    /// assert!((right[0] - 1.0).abs() < 1e-15 && (right[1] - 2.0).abs() < 1e-15);
    /// ```
    pub fn solve(&mut self, right: &mut [f64]) -> bool {
        let (half, width) = (self.half, self.half + 1);
        let count = right.len();
        for i in 0..count {
            let first = i.saturating_sub(half);
            for j in first..=i {
                let from = first.max(j.saturating_sub(half));
                let (row_i, row_j) = (i * width + half - i, j * width + half - j);
                let mut sum = self.cells[row_i + j];
                for k in from..j {
                    sum -= self.cells[row_i + k] * self.cells[row_j + k];
                }
                if j < i {
                    self.cells[row_i + j] = sum / self.cells[row_j + j];
                } else if sum > 0.0 {
                    self.cells[row_i + i] = sum.sqrt();
                } else {
                    return false;
                }
            }
        }
        for i in 0..count {
            let row = i * width + half - i;
            let known = i.saturating_sub(half)..i;
            let sum: f64 = known.map(|k| self.cells[row + k] * right[k]).sum();
            right[i] = (right[i] - sum) / self.cells[row + i];
        }
        for i in (0..count).rev() {
            let row = i * width + half - i;
            right[i] /= self.cells[row + i];
            for k in i.saturating_sub(half)..i {
                right[k] -= self.cells[row + k] * right[i];
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Second differences of x²/2 with both ends held: a parabola comes back exactly.
    #[test]
    fn a_loaded_string_hangs_in_a_parabola() {
        let count = 50;
        let mut matrix = Banded::new(count, 2);
        for i in 0..count {
            matrix.add(i, i, 2.0);
            if i > 0 {
                matrix.add(i, i - 1, -1.0);
                matrix.add(i - 1, i, -1.0);
            }
        }
        let mut right = vec![1.0; count];
        assert!(matrix.solve(&mut right));
        for (i, found) in right.iter().enumerate() {
            let x = (i + 1) as f64;
            let expected = 0.5 * x * ((count + 1) as f64 - x);
            assert!((found - expected).abs() < 1e-9, "{found}, expected {expected}");
        }
    }

    #[test]
    fn what_is_not_positive_definite_is_refused() {
        let mut matrix = Banded::new(2, 1);
        matrix.add(0, 0, 1.0);
        matrix.add(1, 0, 2.0);
        matrix.add(1, 1, 1.0);
        assert!(!matrix.solve(&mut [1.0, 1.0]));
    }
}
