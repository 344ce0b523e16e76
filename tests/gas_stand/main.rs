//! Machines fitted to gas-stand tables. Every table here is invented: made from a
//! known law, with or without scatter.

mod examples;
mod file;
mod fit;
mod hostile;
