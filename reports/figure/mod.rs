//! Pictures.

pub mod decay;
pub mod trace;
