//! Where predictions are wanted: near what was read, or everywhere.

use super::ladders::{Ladders, Rung};

/// Where predictions are wanted.
pub trait Focus {
    /// A rung as it is judged.
    type View;
    /// Looks at a rung; once, for it costs.
    fn view(&self, ladders: &Ladders, rung: &Rung) -> Self::View;
    /// How far what was read is from a rung: squared, in standard deviations; infinite
    /// where it cannot have been read.
    fn distance(&self, view: &Self::View) -> f64;
    /// Whether the step between two rungs, `width` apart, is to be cut in half; `nearest` is
    /// the least distance of the ladder.
    fn matters(&self, step: [&Self::View; 2], width: f64, nearest: f64) -> bool;
}

/// Predictions everywhere.
pub struct Everything;

impl Focus for Everything {
    type View = ();
    fn view(&self, _: &Ladders, _: &Rung) {}
    fn distance(&self, (): &()) -> f64 {
        0.0
    }
    fn matters(&self, _: [&(); 2], _: f64, _: f64) -> bool {
        true
    }
}
