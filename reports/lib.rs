//! The program around the physics: commands and their answers. What it reads stands in the crate
//! `input`, what it sets words and pictures with in `kit`.

pub mod answer;
pub mod ask;
#[cfg(feature = "program")]
pub mod cli;
pub mod commands;
mod say;

pub use input;
pub use kit::{figure, look, page, record, text};
