//! Exact Jacobian of the network in one pass: a scalar that writes down which
//! numbers it came from, and a sweep over what was written.
//!
//! The network's rates have 43 inputs, but nearly every number on the way
//! depends on a handful of them. A dual number with 43 slopes pays for all of
//! them at every operation (18 right-hand sides measured). Here a number carries
//! its value and *one* slope, in the direction of the last number that joined
//! two directions; only such joins are written down, and the sweep gives each
//! just those slopes that are not zero.
//!
//! Source: Griewank & Walther, *Evaluating Derivatives*, 2nd ed. 2008, ch. 3 and 7
//! (forward mode, sparse vector mode), from memory.

use super::joins::{Join, joined, nothing_joined};
use super::traced::Traced;
use crate::network::layout::STATES;
use std::cell::{Cell, RefCell};

thread_local! {
    /// Kept, so that nothing is allocated once it has grown.
    static SWEPT: RefCell<Slopes> = const {
        RefCell::new(Slopes { rows: Vec::new(), blocks: Vec::new() })
    };
}

/// Slopes come in blocks of four, so that two or four are done at once.
const BLOCK: usize = 4;
const BLOCKS: usize = STATES.div_ceil(BLOCK);
type Block = [f64; BLOCK];

/// Where an entry's blocks begin, and a bit for each block it has.
#[derive(Clone, Copy, Default)]
struct Row {
    start: u32,
    has: u16,
}

/// State in each slot: states that act together share a block (found by exchange, for the
/// fewest blocks over tapes of both demo cars).
#[rustfmt::skip]
const STATE_IN: [usize; BLOCKS * BLOCK] = [
    0, 1, 2, 23,     3, 4, 5, 28,      6, 7, 8, 26,   9, 10, 11, 25,
    12, 13, 14, 22,  15, 16, 17, 24,   18, 19, 20, 27,
    29, 21, 40, 30,  32, 37, 36, 35,   38, 39, 31, 42,  34, 33, 41, EMPTY,
];
const EMPTY: usize = STATES;

/// Slot of each state.
const SLOT: [usize; STATES] = {
    let mut slots = [usize::MAX; STATES];
    let mut slot = 0;
    while slot < STATE_IN.len() {
        if STATE_IN[slot] != EMPTY {
            slots[STATE_IN[slot]] = slot;
        }
        slot += 1;
    }
    slots
};

/// Slopes of the numbers on the tape.
pub(crate) struct Slopes {
    rows: Vec<Row>,
    blocks: Vec<Block>,
}

/// Calls `f` on the states as variables, then `read` on what it gives; false, and
/// nothing read, if the tape is too short.
pub(crate) fn differentiate<T>(
    x: &[f64; STATES],
    f: impl FnOnce(&[Traced; STATES]) -> T,
    read: impl FnOnce(&T, &Slopes),
) -> bool {
    nothing_joined();
    let variables = std::array::from_fn(|i| Traced {
        value: x[i],
        slope: 1.0,
        of: 1 + i as u32,
    });
    let result = f(&variables);
    joined(|joins| {
        SWEPT.with_borrow_mut(|slopes| {
            slopes.sweep(joins);
            read(&result, slopes);
        });
    })
}

impl Slopes {
    /// Calls `each(state, slope)` for every slope of `number` that is not zero.
    #[inline]
    pub(crate) fn of(&self, number: &Traced, mut each: impl FnMut(usize, f64)) {
        let row = self.rows[number.of as usize];
        let mut has = row.has;
        for slopes in &self.blocks[row.start as usize..] {
            if has == 0 {
                break;
            }
            let first = has.trailing_zeros() as usize * BLOCK;
            for (state, slope) in STATE_IN[first..first + BLOCK].iter().zip(slopes) {
                // Where a weight is not finite, an empty slot is not zero.
                if *slope != 0.0 && *state != EMPTY {
                    each(*state, slope * number.slope);
                }
            }
            has &= has - 1;
        }
    }

    /// Slopes of every entry, in the order they were written.
    fn sweep(&mut self, joins: &[Cell<Join>]) {
        // The first block stays zero: it stands for every block that a row has not.
        let mut next = 1 + STATES;
        self.make_room(next + joins.len(), next + BLOCKS * joins.len());
        let (blocks, rows) = (&mut self.blocks[..], &mut self.rows[..next + joins.len()]);
        for (i, join) in joins.iter().enumerate() {
            let join = join.get();
            let [a, b] = join.of.map(|of| rows[of as usize]);
            let [wa, wb] = join.weight;
            let has = a.has | b.has;
            rows[1 + STATES + i] = Row {
                start: next as u32,
                has,
            };
            let (mut at_a, mut at_b) = (a.start, b.start);
            let mut left = has;
            while left != 0 {
                let bit = left & left.wrapping_neg();
                let (in_a, in_b) = (u32::from(a.has & bit != 0), u32::from(b.has & bit != 0));
                let from_a = &blocks[(at_a * in_a) as usize];
                let from_b = &blocks[(at_b * in_b) as usize];
                blocks[next] = std::array::from_fn(|k| wa * from_a[k] + wb * from_b[k]);
                (at_a, at_b) = (at_a + in_a, at_b + in_b);
                next += 1;
                left ^= bit;
            }
        }
    }

    /// Room for so many entries and blocks, those of the states filled in.
    fn make_room(&mut self, rows: usize, blocks: usize) {
        if self.rows.len() >= rows && self.blocks.len() >= blocks {
            return;
        }
        self.rows.resize(rows, Row::default());
        self.blocks.resize(blocks, [0.0; BLOCK]);
        for (i, slot) in SLOT.iter().enumerate() {
            self.blocks[1 + i][slot % BLOCK] = 1.0;
            self.rows[1 + i] = Row {
                start: 1 + i as u32,
                has: 1 << (slot / BLOCK),
            };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dual::Dual;
    use crate::scalar::Scalar;

    /// Something of every operation, with joins of joins.
    fn mixed<S: Scalar>(x: &[S; STATES]) -> [S; 4] {
        let sum = x
            .iter()
            .fold(S::constant(0.0), |sum, x| sum + *x * *x / 3.0);
        let ratio = x[3] / (x[40] + 2.0) - x[7].sqrt() * x[7].ln();
        let mut both = (ratio * sum).exp() - sum.powf(-0.3);
        both -= x[33];
        [sum, ratio, both, -(x[12] * 0.0) + 1.0]
    }

    #[test]
    fn agrees_with_dual_numbers() {
        let x: [f64; STATES] = std::array::from_fn(|i| 0.1 + 0.02 * i as f64);
        let duals: [Dual<STATES>; STATES] = std::array::from_fn(|i| Dual::variable(x[i], i));
        let expected = mixed(&duals);
        let mut found = [[0.0; STATES]; 4];
        assert!(differentiate(&x, mixed, |result, slopes| {
            for (row, number) in found.iter_mut().zip(result) {
                slopes.of(number, |state, slope| row[state] = slope);
            }
        }));
        for (row, dual) in found.iter().zip(expected) {
            for (slope, exact) in row.iter().zip(dual.slope) {
                assert!((slope - exact).abs() <= 1e-13 * exact.abs().max(1.0));
            }
        }
    }

    #[test]
    fn a_slope_that_is_not_finite_names_a_state() {
        let x = [1.0; STATES];
        let steep = |x: &[Traced; STATES]| {
            let sum = x.iter().fold(x[0], |sum, x| sum + *x);
            (sum - sum + x[33] - x[33]).sqrt() + x[2] * x[29]
        };
        assert!(differentiate(&x, steep, |result, slopes| {
            slopes.of(result, |state, _| assert!(state < STATES));
        }));
    }

    #[test]
    fn a_tape_that_is_too_short_says_so() {
        let x = [1.0; STATES];
        let long = |x: &[Traced; STATES]| (0..3000).fold(x[0], |sum, i| sum + x[1 + i % 40]);
        assert!(!differentiate(&x, long, |_, _| ()));
        assert!(differentiate(&x, |x| x[0] * x[1], |_, _| ()));
    }
}
