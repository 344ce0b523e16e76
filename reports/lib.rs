//! The program around the physics: input, results, reports.

pub mod answer;
pub mod cli;
pub mod commands;
pub mod figure;
mod files;
pub mod input;
pub mod page;
pub mod text;
