//! Sensitivities and thresholds.

mod agree;
mod differences;
mod program;
mod speed;
mod thresholds;
