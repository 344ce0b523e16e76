//! English, a file a command.

pub mod workshop_flow;
