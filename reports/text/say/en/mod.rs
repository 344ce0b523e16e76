//! English, a file a command.

pub mod across;
pub mod atlas;
pub mod codes;
pub mod diagnose;
pub mod head;
pub mod log;
pub mod sensitivity;
pub mod threshold;
pub mod workshop_flow;
