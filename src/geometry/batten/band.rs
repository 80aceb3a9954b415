//! Equations whose matrix is a narrow symmetric band.

use crate::geometry::Vec2;

/// Half the width of the band: fourth differences reach four points to each side.
pub(super) const REACH: usize = 4;

/// A symmetric band: row `i` holds the values of columns `i` to `i + REACH`.
#[derive(Clone, Debug)]
pub(super) struct Band(Vec<[f64; REACH + 1]>);

impl Band {
    /// All zero.
    pub(super) fn new(size: usize) -> Self {
        Self(vec![[0.0; REACH + 1]; size])
    }

    /// Adds the square of a sum of neighbours times these factors, the first of them at `at`.
    pub(super) fn add_square(&mut self, at: usize, factors: &[f64]) {
        for (i, a) in factors.iter().enumerate() {
            for (j, b) in factors[i..].iter().enumerate() {
                self.0[at + i][j] += a * b;
            }
        }
    }

    /// Solves `(weights + stiffness * band) x = weights * right` by Cholesky's decomposition without roots.
    pub(super) fn solve(&self, stiffness: f64, weights: &[f64], right: &[Vec2]) -> Vec<Vec2> {
        let n = right.len();
        let mut rows: Vec<[f64; REACH + 1]> = self.0.iter().map(|row| row.map(|v| v * stiffness)).collect();
        let mut x: Vec<Vec2> = right.iter().zip(weights).map(|(r, w)| *r * *w).collect();
        rows.iter_mut().zip(weights).for_each(|(row, w)| row[0] += w);
        for i in 0..n {
            let pivot = rows[i];
            for j in 1..=REACH.min(n - 1 - i) {
                let factor = pivot[j] / pivot[0];
                let value = x[i];
                x[i + j] -= value * factor;
                for k in j..=REACH {
                    rows[i + j][k - j] -= factor * pivot[k];
                }
            }
        }
        for i in (0..n).rev() {
            let mut value = x[i];
            for j in 1..=REACH.min(n - 1 - i) {
                value -= x[i + j] * rows[i][j];
            }
            x[i] = value / rows[i][0];
        }
        x
    }
}
