//! Published and independently computed values.

mod cylinders;
mod flow;
mod gap;
mod gas;
mod gas_smooth;
mod j1979;
mod leak_arithmetic;
mod machines;
mod random;
mod tank;
mod vessel;
