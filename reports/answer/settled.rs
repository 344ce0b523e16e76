//! How much of what is open between the faults a test is expected to settle: one form of it, wherever
//! it is said.

use crate::page::Cell;
use crate::text::number::number;

/// Significant digits for programs.
const DIGITS: usize = 3;

/// For programs, %; from a share of 1.
pub(crate) fn pct(share: f64) -> f64 {
    let pct = 100.0 * share;
    sim::units::round(pct, DIGITS).parse().unwrap_or(pct)
}

/// For people: whole per cent, and no 0 where it is a little.
pub(crate) fn said(pct: f64) -> String {
    match pct > 0.0 && pct < 0.5 {
        true => "under 1 %".into(),
        false => format!("{} %", number(pct, 0)),
    }
}

/// In a table, and where it stands in the result for programs.
pub(crate) fn cell(pct: f64, json: String) -> Cell {
    Cell {
        text: said(pct),
        ..Cell::number(pct, 0, json)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two tests that settle 84 and 87 % are told apart, and a little is not said to be nothing.
    #[test]
    fn whole_per_cent_and_no_nothing() {
        assert_eq!(pct(0.841_234), 84.1);
        assert_eq!(
            [84.1, 87.4, 0.3, 0.0].map(said),
            ["84 %", "87 %", "under 1 %", "0 %"]
        );
    }
}
