//! The physics of falseair: from gas properties to the air path of a
//! turbocharged petrol engine with leaks in it, and the solvers that run it.
//!
//! SI inside. No files, no terminal, no clock. Every equation is generic over
//! one [`Scalar`]; sources are keyed to `references.bib`.

pub mod constants;
pub mod control;
pub mod curve;
pub mod dual;
pub mod flow;
pub mod heat;
pub mod leak;
pub mod machine;
pub mod medium;
pub mod network;
pub mod params;
pub mod root;
mod say;
pub mod scalar;
pub mod scenario;
pub mod smooth;
pub mod solve;
pub mod spelling;
pub mod study;
pub mod units;
pub mod volume;

pub use dual::Dual;
pub use scalar::{Over, Scalar};
