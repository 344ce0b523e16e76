//! Options of several commands: quantities, read with their unit and held within a range; threads.

use crate::answer::Trouble;
use rayon::{ThreadPool, ThreadPoolBuilder};
use sim::scenario::ENGINE_SPEEDS;
use sim::units::{Dimension, parse, show_range_as};

/// A quantity of the range, SI.
///
/// # Errors
/// Not a quantity of that kind, or outside the range.
pub(crate) fn within(
    text: &str,
    dimension: Dimension,
    (low, high): (f64, f64),
) -> Result<f64, String> {
    let value = parse(text, dimension)?;
    match (low..=high).contains(&value) {
        true => Ok(value),
        false => {
            let range = show_range_as(low, high, dimension, text);
            Err(format!("allowed are {range}"))
        }
    }
}

/// An engine speed, rad/s.
///
/// # Errors
/// Not a speed, or one that no point may have.
pub(crate) fn engine_speed(text: &str) -> Result<f64, String> {
    within(text, Dimension::AngularSpeed, ENGINE_SPEEDS)
        .map_err(|why| format!("an engine speed: {why}"))
}

/// How many threads compute.
#[derive(Clone, Debug, clap::Args)]
pub struct Threads {
    /// Threads to use, one per core if not given; the result does not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,
}

impl Threads {
    /// They, started.
    ///
    /// # Errors
    /// The machine gives none.
    pub(crate) fn pool(&self) -> Result<ThreadPool, Trouble> {
        let threads = self.threads.map_or(0, usize::from);
        let pool = ThreadPoolBuilder::new().num_threads(threads).build();
        pool.map_err(|e| Trouble::Other(format!("cannot start threads: {e}")))
    }
}
