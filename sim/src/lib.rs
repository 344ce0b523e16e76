//! The physics of falseair: from gas properties to the air path of a
//! turbocharged petrol engine with leaks in it, and the solvers that run it.
//!
//! SI inside. No files, no terminal, no clock. Every equation is generic over
//! one [`Scalar`]; sources are keyed to `references.bib`.

pub mod curve;
pub mod dual;
pub mod flow;
pub mod leak;
pub mod medium;
pub mod params;
pub mod scalar;
pub mod spelling;
pub mod units;

pub use dual::Dual;
pub use scalar::{Over, Scalar};
