//! Stand-in.
/// Readings.
#[derive(Clone, Copy, Debug)]
pub struct Readings;
