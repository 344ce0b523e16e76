//! The car run: points, drives, the live pair, and what is said of them.

pub mod condition;
pub mod dangers;
pub mod explain;
pub mod happening;
pub mod history;
pub mod learnt;
pub mod live;
pub mod on_the_bus;
pub mod openings;
pub mod reasons;
pub mod side;
pub mod simulate;
pub mod tank;
pub mod trace;
pub mod warnings;
