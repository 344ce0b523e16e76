//! Published and independently computed values.

mod flow;
mod gap;
mod gas;
mod gas_smooth;
mod machines;
mod random;
mod tank;
