//! Words, numbers, lines and files: what every room above writes with.

pub mod colour;
pub(crate) mod ledger;
pub mod number;
pub(crate) mod words;
pub mod wrap;
pub mod write;
