//! English, a file a command.

pub mod classroom;
pub mod head;
pub mod schema;
pub mod simulate;
pub mod sweep;
pub mod workshop_flow;
