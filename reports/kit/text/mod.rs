//! Words, numbers, lines and files: what every room above writes with.

pub mod number;
pub mod printed;
pub mod words;
pub mod wrap;
