//! Writing results.

pub mod csv;
pub mod json;
mod ledger;
pub mod moments;
pub mod table;
mod words;
pub mod write;
