//! A symmetric band matrix and its LDLᵀ factors.

/// Diagonals below the main one: a node of two coordinates meets its two next neighbours.
pub(super) const BELOW: usize = 5;

/// The lower half of a symmetric band matrix, row by row, diagonal last.
#[derive(Clone, Debug)]
pub(super) struct SymmetricBand {
    rows: Vec<[f64; BELOW + 1]>,
}

impl SymmetricBand {
    pub fn zeros(size: usize) -> SymmetricBand {
        SymmetricBand { rows: vec![[0.0; BELOW + 1]; size] }
    }

    /// Adds to one entry of the lower half; the upper half follows by symmetry.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        if column <= row && row - column <= BELOW {
            self.rows[row][BELOW - (row - column)] += value;
        }
    }

    /// Makes one unknown stay zero.
    pub fn pin(&mut self, index: usize) {
        self.rows[index] = [0.0; BELOW + 1];
        self.rows[index][BELOW] = 1.0;
        for below in 1..=BELOW {
            if let Some(row) = self.rows.get_mut(index + below) {
                row[BELOW - below] = 0.0;
            }
        }
    }

    /// Greatest diagonal entry.
    pub fn greatest_diagonal(&self) -> f64 {
        self.rows.iter().map(|row| row[BELOW]).fold(0.0, f64::max)
    }

    /// Solves with `shift` added to the diagonal; `None` unless every pivot is above zero,
    /// which is to say unless the shifted matrix is positive definite.
    pub fn solve_shifted(&self, shift: f64, right: &[f64]) -> Option<Vec<f64>> {
        let mut factor = self.rows.clone();
        let mut solved = right.to_vec();
        for i in 0..factor.len() {
            let first = i.saturating_sub(BELOW);
            let mut pivot = factor[i][BELOW] + shift;
            for j in first..i {
                // Row i, column j: less what earlier columns already explain.
                let mut entry = factor[i][BELOW - (i - j)];
                for k in j.saturating_sub(BELOW).max(first)..j {
                    entry -=
                        factor[i][BELOW - (i - k)] * factor[j][BELOW - (j - k)] * factor[k][BELOW];
                }
                entry /= factor[j][BELOW];
                factor[i][BELOW - (i - j)] = entry;
                pivot -= entry * entry * factor[j][BELOW];
                solved[i] -= entry * solved[j];
            }
            if !(pivot > 0.0) {
                return None;
            }
            factor[i][BELOW] = pivot;
        }
        for (value, row) in solved.iter_mut().zip(&factor) {
            *value /= row[BELOW];
        }
        for i in (0..factor.len()).rev() {
            for j in i.saturating_sub(BELOW)..i {
                solved[j] -= factor[i][BELOW - (i - j)] * solved[i];
            }
        }
        Some(solved)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_system_is_solved() {
        let size = 12;
        let entry = |i: usize, j: usize| 1.0 / (1.0 + i.abs_diff(j) as f64) - 0.05;
        let mut band = SymmetricBand::zeros(size);
        for i in 0..size {
            for j in i.saturating_sub(BELOW)..=i {
                band.add(i, j, entry(i, j) + if i == j { 3.0 } else { 0.0 });
            }
        }
        let wanted: Vec<f64> = (0..size).map(|i| (i as f64).sin()).collect();
        let right: Vec<f64> = (0..size)
            .map(|i| {
                (0..size)
                    .filter(|j| i.abs_diff(*j) <= BELOW)
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
