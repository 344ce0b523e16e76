//! The program around the physics: input, results, reports.

pub mod across;
pub mod args;
pub mod asked;
pub mod atlas;
pub mod classroom;
pub mod codes;
pub mod diagnose;
pub mod figure;
mod files;
pub mod fit;
pub mod gas_stand;
pub mod input;
pub mod log;
pub mod output;
pub mod page;
pub mod schema;
pub mod sensitivity;
pub mod shell;
pub mod simulate;
pub mod sweep;
pub mod threshold;
pub mod vehicle;
pub mod workshop;
