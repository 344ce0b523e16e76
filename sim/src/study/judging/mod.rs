//! From readings to what is wrong.

pub mod diagnose;
