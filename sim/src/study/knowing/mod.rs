//! What is known beforehand: how cars of a make differ and instruments err, what a log holds.

pub mod doubt;
mod instrument;
pub mod log;
mod makes;
pub mod unlike;
