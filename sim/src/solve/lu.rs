//! Factorisation of the network's matrices, zeros left out.
//!
//! One in five entries of the Jacobian is not zero. Rows and columns are taken in
//! an order that keeps it so (Markowitz: first those whose elimination can fill
//! least), and the diagonal serves as pivot wherever it is not small against its
//! column; elsewhere the largest entry does. 2000 products instead of 23,000.
//!
//! Source: Duff, Erisman & Reid, *Direct Methods for Sparse Matrices*, 2nd ed. 2017, ch. 5
//! and 7 (threshold pivoting, Markowitz order), from memory.

use super::{Linearised, State};
use crate::network::layout::{SCALE, STATES};

/// The states in the order of elimination: Markowitz' on the union of the patterns
/// of both demo cars at idle, cruise and full load with leaks at eight places.
const ORDER: [usize; STATES] = [
    42, 33, 39, 31, 34, 30, 38, 35, 36, 41, 40, 29, 32, 24, 27, 22, 28, 18, 20, 26, 12, 19, 13, 14,
    25, 15, 16, 17, 2, 23, 0, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 21, 37,
];

/// Place of each state in [`ORDER`].
const PLACE: [usize; STATES] = {
    let mut places = [0; STATES];
    let mut k = 0;
    while k < STATES {
        places[ORDER[k]] = k;
        k += 1;
    }
    places
};

/// Share of its column's largest entry that the diagonal must have to be the pivot.
const THRESHOLD: f64 = 0.1;

/// Rows are worked on in blocks of four columns.
const BLOCK: usize = 4;
const BLOCKS: usize = STATES.div_ceil(BLOCK);
type Row = [[f64; BLOCK]; BLOCKS];

/// A set of rows or columns, one bit each.
type Set = u64;

/// The members of a set, lowest first.
pub(super) fn members(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = (set != 0).then(|| set.trailing_zeros() as usize);
        set &= set.wrapping_sub(1);
        next
    })
}

/// Columns behind the `k`-th.
const fn behind(k: usize) -> Set {
    !((2 << k) - 1)
}

/// Blocks that hold these columns.
fn blocks_of(columns: Set) -> u16 {
    // Fold each group of four bits onto its lowest, then gather every fourth bit.
    let folded = columns | columns >> 2;
    let folded = (folded | folded >> 1) & 0x1111_1111_1111_1111;
    let mut blocks = 0;
    for block in 0..BLOCKS {
        blocks |= ((folded >> (BLOCK * block)) as u16 & 1) << block;
    }
    blocks
}

/// A factorised matrix, scaled by the sizes of the states.
#[derive(Clone, Debug)]
pub(crate) struct Factors {
    /// Upper factor: row `k` stands in `upper[pivot[k]]`.
    upper: [Row; STATES],
    /// Blocks of each of those rows behind its diagonal.
    blocks: [u16; STATES],
    /// One over the diagonal.
    inverse: [f64; STATES],
    pivot: [u8; STATES],
    /// Lower factor, column by column: multiplier and its row.
    lower: [f64; STATES * STATES / 2],
    rows: [u8; STATES * STATES / 2],
    /// Where each column of it ends.
    ends: [u16; STATES],
}

impl Factors {
    /// Room for factors.
    pub(crate) fn room() -> Self {
        Self {
            upper: [[[0.0; BLOCK]; BLOCKS]; STATES],
            blocks: [0; STATES],
            inverse: [0.0; STATES],
            pivot: [0; STATES],
            lower: [0.0; STATES * STATES / 2],
            rows: [0; STATES * STATES / 2],
            ends: [0; STATES],
        }
    }

    /// Takes the factors of the Jacobian `J`, or of `shift·1 − J`; false if it is singular.
    pub(crate) fn take(&mut self, at: &Linearised, shift: Option<f64>) -> bool {
        let sign = if shift.is_some() { -1.0 } else { 1.0 };
        // Columns of each row, rows of each column.
        let (mut across, mut down) = ([0; STATES], [0; STATES]);
        for (i, pattern) in at.pattern.iter().enumerate() {
            let row = PLACE[i];
            self.upper[row] = [[0.0; BLOCK]; BLOCKS];
            for j in members(*pattern | 1 << i) {
                let column = PLACE[j];
                let mut value = sign * at.jacobian[(i, j)];
                if i == j {
                    value += shift.unwrap_or(0.0);
                }
                self.upper[row][column / BLOCK][column % BLOCK] = value * (SCALE[j] / SCALE[i]);
                across[row] |= 1 << column;
                down[column] |= 1 << row;
            }
        }
        self.eliminate(across, down)
    }

    fn eliminate(&mut self, mut across: [Set; STATES], mut down: [Set; STATES]) -> bool {
        let mut left: Set = (1 << STATES) - 1;
        let mut end = 0;
        for k in 0..STATES {
            let (block, lane) = (k / BLOCK, k % BLOCK);
            let candidates = down[k] & left;
            let Some(pivot) = self.choose(k, candidates) else {
                return false;
            };
            left &= !(1 << pivot);
            let row = self.upper[pivot];
            let inverse = 1.0 / row[block][lane];
            let tail = across[pivot] & behind(k);
            let blocks = blocks_of(tail);
            for i in members(candidates & left) {
                let factor = self.upper[i][block][lane] * inverse;
                for b in members(Set::from(blocks)) {
                    for (mine, its) in self.upper[i][b].iter_mut().zip(&row[b]) {
                        *mine -= factor * its;
                    }
                }
                self.upper[i][block][lane] = 0.0;
                (self.lower[end], self.rows[end]) = (factor, i as u8);
                end += 1;
                for j in members(tail & !across[i]) {
                    down[j] |= 1 << i;
                }
                across[i] |= tail;
            }
            self.upper[pivot][block][lane] = 0.0;
            self.inverse[k] = inverse;
            self.pivot[k] = pivot as u8;
            self.blocks[k] = blocks;
            self.ends[k] = end as u16;
        }
        true
    }

    /// Whether the determinant is positive. Rows and columns are in one order, so that only
    /// the choice of pivots can have turned its sign.
    pub(super) fn positive(&self) -> bool {
        let mut negative = self.inverse.iter().filter(|entry| **entry < 0.0).count();
        let mut seen: Set = 0;
        for start in 0..STATES {
            let (mut k, mut length) = (start, 0);
            while seen & 1 << k == 0 {
                seen |= 1 << k;
                (k, length) = (usize::from(self.pivot[k]), length + 1);
            }
            // A cycle of even length is an odd permutation.
            negative += usize::from(length > 0 && length % 2 == 0);
        }
        negative % 2 == 0
    }

    /// Row to take as the `k`-th pivot: its own if that is large enough.
    fn choose(&self, k: usize, candidates: Set) -> Option<usize> {
        let size = |i: usize| self.upper[i][k / BLOCK][k % BLOCK].abs();
        let (mut best, mut largest) = (None, 0.0);
        for i in members(candidates) {
            if size(i) > largest {
                (best, largest) = (Some(i), size(i));
            }
        }
        let own = candidates & 1 << k != 0 && size(k) >= THRESHOLD * largest && size(k) > 0.0;
        if own { Some(k) } else { best }
    }

    /// The solution for this right-hand side.
    pub(crate) fn solve(&self, right: &State) -> State {
        let mut y: [f64; STATES] = std::array::from_fn(|k| right[ORDER[k]] / SCALE[ORDER[k]]);
        let mut from = 0;
        for k in 0..STATES {
            let value = y[self.pivot[k] as usize];
            let to = self.ends[k] as usize;
            for (factor, row) in self.lower[from..to].iter().zip(&self.rows[from..to]) {
                y[*row as usize] -= factor * value;
            }
            from = to;
        }
        let mut x: Row = [[0.0; BLOCK]; BLOCKS];
        let mut solution = State::zeros();
        for k in (0..STATES).rev() {
            let pivot = self.pivot[k] as usize;
            let mut sums = [0.0; BLOCK];
            for b in members(Set::from(self.blocks[k])) {
                for (lane, sum) in sums.iter_mut().enumerate() {
                    *sum += self.upper[pivot][b][lane] * x[b][lane];
                }
            }
            let known = (sums[0] + sums[1]) + (sums[2] + sums[3]);
            let value = (y[pivot] - known) * self.inverse[k];
            x[k / BLOCK][k % BLOCK] = value;
            solution[ORDER[k]] = value * SCALE[ORDER[k]];
        }
        solution
    }

    /// Row `i` of the inverse of the matrix: the solution of the transposed equations for the
    /// `i`-th unit vector.
    pub(crate) fn solve_transposed(&self, i: usize) -> State {
        let mut right: Row = [[0.0; BLOCK]; BLOCKS];
        right[PLACE[i] / BLOCK][PLACE[i] % BLOCK] = SCALE[i];
        // Through the upper factor's columns, then back through the lower's.
        let mut y = [0.0; STATES];
        for k in 0..STATES {
            let pivot = self.pivot[k] as usize;
            let value = right[k / BLOCK][k % BLOCK] * self.inverse[k];
            y[pivot] = value;
            if value != 0.0 {
                for b in members(Set::from(self.blocks[k])) {
                    for (lane, entry) in right[b].iter_mut().enumerate() {
                        *entry -= self.upper[pivot][b][lane] * value;
                    }
                }
            }
        }
        for k in (0..STATES).rev() {
            let from = if k == 0 { 0 } else { self.ends[k - 1] as usize };
            let to = self.ends[k] as usize;
            let below = self.lower[from..to].iter().zip(&self.rows[from..to]);
            let known: f64 = below.map(|(factor, row)| factor * y[*row as usize]).sum();
            y[self.pivot[k] as usize] -= known;
        }
        State::from_fn(|j, _| y[PLACE[j]] / SCALE[j])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::Jacobian;

    /// A pattern and numbers from a linear congruence; every seventh diagonal entry is zero.
    fn matrix(mut seed: u64) -> Linearised {
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 11) as f64 / (1u64 << 53) as f64
        };
        let mut at = Linearised::room();
        for (i, row) in SCALE.iter().enumerate() {
            for (j, column) in SCALE.iter().enumerate() {
                let dense = i == j || (i + 1) % STATES == j;
                if (i != j || i % 7 != 0) && (dense || next() < 0.15) {
                    at.enter(i, j, (next() - 0.5) * row / column);
                }
            }
        }
        at
    }

    #[test]
    fn agrees_with_the_dense_factorisation_of_nalgebra() {
        let mut factors = Factors::room();
        for seed in 0..200 {
            let at = matrix(seed);
            let right = State::from_fn(|i, _| SCALE[i] * (1.0 + i as f64).sin());
            for shift in [None, Some(2.0)] {
                let matrix = match shift {
                    None => at.jacobian,
                    Some(shift) => Jacobian::identity() * shift - at.jacobian,
                };
                let full = matrix.lu();
                let expected = full.solve(&right).unwrap();
                assert!(factors.take(&at, shift));
                assert_eq!(factors.positive(), full.determinant() > 0.0);
                let found = factors.solve(&right);
                let size = |x: &State| {
                    (0..STATES).fold(0.0_f64, |most, i| most.max((x[i] / SCALE[i]).abs()))
                };
                let apart = size(&(found - expected)) / size(&expected);
                assert!(apart < 1e-9, "seed {seed}: {apart:e}");
                let residual = size(&(matrix * found - right));
                let allowed = 1e-10 * size(&found).max(1.0);
                assert!(residual < allowed, "seed {seed}: {residual:e}");
                let row = factors.solve_transposed((seed % STATES as u64) as usize);
                let (mine, its) = (row.dot(&right), found[(seed % STATES as u64) as usize]);
                let apart = (mine - its).abs() / SCALE[(seed % STATES as u64) as usize];
                assert!(apart < 1e-9 * size(&found), "seed {seed}: {apart:e}");
            }
        }
    }

    #[test]
    fn a_singular_matrix_has_no_factors() {
        let mut at = matrix(1);
        for j in 0..STATES {
            at.jacobian[(5, j)] = 0.0;
        }
        assert!(!Factors::room().take(&at, None));
    }
}
