//! A car made from a few numbers, or fitted to its healthy log.

pub mod fit;
pub mod sizing;
