//! Pictures.

pub mod trace;
