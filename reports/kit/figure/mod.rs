//! Pictures: scenes of lines and words, drawn with plotters.

pub mod axis;
pub mod bars;
pub mod chart;
mod draw;
pub mod gland;
pub mod hole;
pub mod ink;
pub mod measure;
pub mod paper;
pub mod scene;
pub mod tracks;
