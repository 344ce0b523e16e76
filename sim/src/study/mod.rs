//! Questions asked of the network.

pub mod across;
pub mod dangers;
pub mod diagnose;
pub mod explain;
pub mod first_codes;
pub mod fit;
pub mod live;
pub mod log;
pub mod on_the_bus;
pub mod openings;
pub mod picture_book;
pub mod sensitivity;
pub mod simulate;
pub mod sizing;
pub mod sweep;
pub mod tank;
pub mod threshold;
pub mod trace;
mod warnings;
pub mod workshop;
