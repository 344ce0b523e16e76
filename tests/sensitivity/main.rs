//! Sensitivities and thresholds.

mod differences;
mod program;
mod speed;
mod thresholds;
