//! Questions asked of the network, each floor with those below it.

pub mod asking;
pub mod judging;
pub mod knowing;
pub mod making;
pub mod running;
pub mod workshop;
