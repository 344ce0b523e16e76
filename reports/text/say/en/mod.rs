//! English, a file a command.

pub mod across;
pub mod atlas;
pub mod codes;
pub mod diagnose;
pub mod head;
pub mod log;
pub mod schema;
pub mod sensitivity;
pub mod simulate;
pub mod sweep;
pub mod threshold;
pub mod workshop_flow;
