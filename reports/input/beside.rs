//! What is left in doubt of a fitted car, or in more doubt than usual of one made from a plate that
//! it misses, in a file beside the car's own.
//!
//! `FITTED.toml` has `FITTED.doubt.toml`: for each number its standard deviation as a share
//! of that of a car of its make, and its correlation with each number above it (none where
//! they are left out).

use crate::{InputError, Source, shelf};
use serde::Deserialize;
use sim::network;
use sim::study::making::fit::{Known, KnownNumber};
use std::path::{Path, PathBuf};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    /// Name of the vehicle file beside it, so that nobody mixes them up.
    vehicle: String,
    /// What the numbers come from.
    #[serde(default = "fitted")]
    car: network::Known,
    number: Vec<Number>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Number {
    key: String,
    doubt: f64,
    with: Option<Vec<f64>>,
}

fn fitted() -> network::Known {
    network::Known::Fitted
}

/// The path of the file beside a vehicle file.
pub fn beside(vehicle: &Path) -> PathBuf {
    vehicle.with_extension("doubt.toml")
}

/// What is known of a car, and from what: the file beside its own; none where there is none.
///
/// # Errors
/// There is one, and it cannot be used.
pub fn read_beside(vehicle: &Path) -> Result<Option<(Known, network::Known)>, InputError> {
    let path = beside(vehicle);
    if !shelf::is_file(&path) {
        return Ok(None);
    }
    let source = Source::read(&path)?;
    let file: File = source.parse()?;
    let name = vehicle.file_name().unwrap_or_default().to_string_lossy();
    if file.vehicle != name {
        let message = format!(
            "this is the uncertainty of `{}`, not of `{name}`",
            file.vehicle
        );
        return Err(source.error_at("vehicle", message));
    }
    let numbers = file.number.into_iter().enumerate();
    let numbers = numbers.map(|(above, number)| KnownNumber {
        key: number.key,
        doubt: number.doubt,
        with: number.with.unwrap_or_else(|| vec![0.0; above]),
    });
    let known = Known {
        numbers: numbers.collect(),
    };
    Ok(Some((known, file.car)))
}
