//! Writing results.

pub mod write;
