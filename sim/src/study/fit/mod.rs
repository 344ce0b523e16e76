//! This very car: the few numbers of a vehicle that a healthy log determines.

mod uncertain;

pub use uncertain::{UNCERTAIN, Uncertain};
