//! Symmetric positive definite systems whose entries lie near the diagonal: cost grows
//! linearly with the unknowns.
//!
//! Method: LDLᵀ without leaving the band.
//! Source: Golub & Van Loan, *Matrix Computations*, 4th ed., §4.1.2 and §4.3.5 (from memory).

/// A symmetric matrix with nothing `WIDTH` or further from the diagonal: its lower half, row by
/// row, the diagonal last.
#[derive(Clone, Debug)]
pub struct Banded<const WIDTH: usize> {
    rows: Vec<[f64; WIDTH]>,
}

impl<const WIDTH: usize> Banded<WIDTH> {
    /// Entries of a row before the diagonal.
    const BELOW: usize = WIDTH - 1;

    /// All zero.
    pub fn zeros(unknowns: usize) -> Banded<WIDTH> {
        Banded { rows: vec![[0.0; WIDTH]; unknowns] }
    }

    /// All zero again.
    pub fn clear(&mut self) {
        self.rows.fill([0.0; WIDTH]);
    }

    /// Adds to the entry at row `i`, column `j`, and to its mirror image. Only the lower
    /// half is kept: entries with `j > i` are left to their mirror image.
    ///
    /// # Panics
    /// If the entry lies outside the band.
    pub fn add(&mut self, i: usize, j: usize, value: f64) {
        if j <= i {
            self.rows[i][Self::BELOW - (i - j)] += value;
        }
    }

    /// Makes one unknown stay zero.
    pub fn pin(&mut self, index: usize) {
        self.rows[index] = [0.0; WIDTH];
        self.rows[index][Self::BELOW] = 1.0;
        for below in 1..WIDTH {
            if let Some(row) = self.rows.get_mut(index + below) {
                row[Self::BELOW - below] = 0.0;
            }
        }
    }

    /// Greatest diagonal entry.
    pub fn greatest_diagonal(&self) -> f64 {
        self.rows.iter().map(|row| row[Self::BELOW]).fold(0.0, f64::max)
    }

    /// The solution for the right side `right`, `shift` added to the diagonal; none unless every
    /// pivot is above zero, which is to say unless the shifted matrix is positive definite.
    ///
    /// # Examples
    /// ```
    /// use linkfold::math::Banded;
    /// // [2 1; 1 2] x = [4, 5]
    /// let mut matrix = Banded::<2>::zeros(2);
    /// matrix.add(0, 0, 2.0);
    /// matrix.add(1, 0, 1.0);
    /// matrix.add(1, 1, 2.0);
    /// let found = matrix.solve_shifted(0.0, &[4.0, 5.0]).unwrap();
    /// assert!((found[0] - 1.0).abs() < 1e-15 && (found[1] - 2.0).abs() < 1e-15);
    /// ```
    pub fn solve_shifted(&self, shift: f64, right: &[f64]) -> Option<Vec<f64>> {
        let below = Self::BELOW;
        let mut factor = self.rows.clone();
        let mut solved = right.to_vec();
        for i in 0..factor.len() {
            let mut row = factor[i];
            let first = i.saturating_sub(below);
            // Row i of L D: each entry less what earlier columns explain.
            for j in first..i {
                let other = &factor[j];
                let mut entry = row[below - (i - j)];
                for k in j.saturating_sub(below).max(first)..j {
                    entry -= row[below - (i - k)] * other[below - (j - k)];
                }
                row[below - (i - j)] = entry;
            }
            let mut pivot = row[below] + shift;
            for j in first..i {
                let entry = &mut row[below - (i - j)];
                let scaled = *entry / factor[j][below];
                pivot -= *entry * scaled;
                solved[i] -= scaled * solved[j];
                *entry = scaled;
            }
            if !(pivot > 0.0) {
                return None;
            }
            row[below] = pivot;
            factor[i] = row;
        }
        for (value, row) in solved.iter_mut().zip(&factor) {
            *value /= row[below];
        }
        for i in (0..factor.len()).rev() {
            for j in i.saturating_sub(below)..i {
                solved[j] -= factor[i][below - (i - j)] * solved[i];
            }
        }
        Some(solved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Second differences of x²/2 with both ends held: a parabola comes back exactly.
    #[test]
    fn a_loaded_string_hangs_in_a_parabola() {
        let count = 50;
        let mut matrix = Banded::<3>::zeros(count);
        for i in 0..count {
            matrix.add(i, i, 2.0);
            if i > 0 {
                matrix.add(i, i - 1, -1.0);
                matrix.add(i - 1, i, -1.0);
            }
        }
        let solved = matrix.solve_shifted(0.0, &vec![1.0; count]).unwrap();
        for (i, found) in solved.iter().enumerate() {
            let x = (i + 1) as f64;
            let expected = 0.5 * x * ((count + 1) as f64 - x);
            assert!((found - expected).abs() < 1e-9, "{found}, expected {expected}");
        }
    }

    #[test]
    fn what_is_not_positive_definite_is_refused() {
        let mut matrix = Banded::<2>::zeros(2);
        matrix.add(0, 0, 1.0);
        matrix.add(1, 0, 2.0);
        matrix.add(1, 1, 1.0);
        assert_eq!(matrix.solve_shifted(0.0, &[1.0, 1.0]), None);
    }

    #[test]
    fn a_band_system_is_solved() {
        let size = 12;
        let entry = |i: usize, j: usize| 1.0 / (1.0 + i.abs_diff(j) as f64) - 0.05;
        let mut band = Banded::<6>::zeros(size);
        for i in 0..size {
            for j in i.saturating_sub(5)..=i {
                band.add(i, j, entry(i, j) + if i == j { 3.0 } else { 0.0 });
            }
        }
        let wanted: Vec<f64> = (0..size).map(|i| (i as f64).sin()).collect();
        let right: Vec<f64> = (0..size)
            .map(|i| {
                (0..size)
                    .filter(|j| i.abs_diff(*j) <= 5)
                    .map(|j| (entry(i, j) + if i == j { 3.5 } else { 0.0 }) * wanted[j])
                    .sum()
            })
            .collect();
        let found = band.solve_shifted(0.5, &right).unwrap();
        for (a, b) in found.iter().zip(&wanted) {
            assert!((a - b).abs() < 1e-13, "{a} {b}");
        }
        assert_eq!(band.solve_shifted(-10.0, &right), None);
    }
}
