//! Questions asked of the network.

pub mod explain;
pub mod simulate;
pub mod tank;
pub mod trace;
mod warnings;
