//! The commands: siblings, none of which uses another.

pub mod across;
pub mod atlas;
#[cfg(feature = "program")]
pub mod bay;
pub mod branches;
#[cfg(feature = "program")]
pub mod classroom;
pub mod codes;
pub mod diagnose;
pub mod glossary;
pub mod log;
pub mod notices;
pub mod schema;
pub mod sensitivity;
#[cfg(feature = "program")]
pub mod shell;
pub mod simulate;
#[cfg(feature = "program")]
pub mod sweep;
pub mod threshold;
#[cfg(feature = "program")]
pub mod twin;
pub mod vehicle;
pub mod workshop;
