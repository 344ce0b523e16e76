//! The program around the physics: input, results, reports.

pub mod input;
pub mod output;
