//! Published and independently computed values.

mod flow;
mod gap;
mod gas;
mod gas_smooth;
mod leak_arithmetic;
mod machines;
mod random;
mod tank;
