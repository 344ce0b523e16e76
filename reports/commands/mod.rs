//! The commands: siblings, none of which uses another.

pub mod across;
pub mod atlas;
pub mod classroom;
pub mod codes;
pub mod diagnose;
pub mod glossary;
pub mod log;
pub mod notices;
pub mod schema;
pub mod sensitivity;
pub mod shell;
pub mod simulate;
pub mod sweep;
pub mod threshold;
pub mod vehicle;
pub mod workshop;
