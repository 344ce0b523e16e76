//! The program around the physics: input, results, reports.

pub mod args;
pub mod figure;
pub mod input;
pub mod output;
pub mod simulate;
