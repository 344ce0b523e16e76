//! The cells of a row.

use std::ops::Range;

/// The cells of a row.
pub(super) struct Cells<'a> {
    line: &'a [u8],
    spans: &'a [Range<usize>],
}

impl<'a> Cells<'a> {
    /// Those of this line, by where each stands.
    pub fn new(line: &'a [u8], spans: &'a [Range<usize>]) -> Self {
        Self { line, spans }
    }

    /// A cell; empty beyond the end of the row.
    pub fn get(&self, i: usize) -> &'a [u8] {
        self.spans
            .get(i)
            .map_or(&[], |span| &self.line[span.clone()])
    }
}
