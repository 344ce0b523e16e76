//! Published and independently computed values.

mod gas;
mod gas_smooth;
mod flow;
mod gap;
mod random;
