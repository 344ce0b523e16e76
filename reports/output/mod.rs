//! Writing results.

pub mod csv;
pub mod json;
pub mod table;
pub mod write;
