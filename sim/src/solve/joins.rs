//! What the numbers of a [`tape`](super::tape) were joined from, in the order in which they were.

use crate::network::layout::STATES;
use std::cell::Cell;

/// Entry that depends on nothing; the states follow it.
pub(super) const NOTHING: u32 = 0;

/// A join: derivative = Σ weight · derivative of an earlier entry.
#[derive(Clone, Copy)]
pub(super) struct Join {
    pub of: [u32; 2],
    pub weight: [f64; 2],
}

/// Joins there is room for: the network with four leaks makes about 900.
const MOST_JOINS: usize = 2048;

// Plain cells, so that writing down a join needs neither a call nor a test whether
// the thread's storage is still there: a third of the whole cost.
thread_local! {
    static WRITTEN: Cell<usize> = const { Cell::new(0) };
    static JOINS: [Cell<Join>; MOST_JOINS] = const {
        [const { Cell::new(Join { of: [NOTHING; 2], weight: [0.0; 2] }) }; MOST_JOINS]
    };
}

/// Writes a join down; its entry.
#[inline(always)]
pub(super) fn write(of: [u32; 2], weight: [f64; 2]) -> u32 {
    let entry = WRITTEN.get();
    WRITTEN.set(entry + 1);
    JOINS.with(|joins| {
        if let Some(join) = joins.get(entry) {
            join.set(Join { of, weight });
        }
    });
    (1 + STATES + entry) as u32
}

/// Forgets every join.
pub(super) fn nothing_joined() {
    WRITTEN.set(0);
}

/// Hands out the joins written since; false, and nothing handed out, if there was no room.
pub(super) fn joined(with: impl FnOnce(&[Cell<Join>])) -> bool {
    JOINS.with(|joins| joins.get(..WRITTEN.get()).map(with).is_some())
}
