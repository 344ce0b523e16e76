//! A case: a scenario with the car it names.

use crate::{InputError, Source, invented, read_toml, shelf};
use sim::control::Command;
use sim::network::{Network, Vehicle};
use sim::scenario::{Mistake, Scenario, Surroundings};
use std::path::Path;

/// A scenario that was read and checked.
pub struct Case {
    /// What the file says.
    pub scenario: Scenario,
    /// The car with its leaks and faults.
    pub network: Network<f64>,
    /// Whether its car says that it is invented.
    pub invented: bool,
}

/// The healthy car of a vehicle file, in standard surroundings.
///
/// # Errors
/// The file cannot be used.
pub fn car(path: &Path) -> Result<Network<f64>, InputError> {
    let vehicle: Vehicle = read_toml(path)?;
    let air = Surroundings::STANDARD.ambient();
    Ok(Network::new(vehicle, Vec::new(), air, Command::IDLE))
}

/// The vehicle file that a file names under `vehicle`; its path counts from that file.
///
/// # Errors
/// It cannot be read; where it is not there, that is said at the key that names it.
pub fn vehicle(source: &Source, name: impl AsRef<Path>) -> Result<Source, InputError> {
    let path = source.path().parent().unwrap_or(Path::new("")).join(name);
    Source::read(&path).map_err(|why| match shelf::is_file(&path) {
        true => why,
        false => {
            let (path, why) = (path.display(), why.message());
            let message = format!("the vehicle file cannot be read: `{path}`: {why}");
            source.error_at("vehicle", message)
        }
    })
}

/// Reads a scenario and the vehicle it names.
///
/// # Errors
/// Either file cannot be used.
pub fn read(path: &Path) -> Result<(Case, Source), InputError> {
    let source = Source::read(path)?;
    let scenario: Scenario = source.parse()?;
    let vehicle: Vehicle = vehicle(&source, &scenario.vehicle)?.parse()?;
    let invented = invented(&[&vehicle.name, &vehicle.about]);
    let network = scenario
        .network(vehicle)
        .map_err(|m| mistake(&source, &m))?;
    let case = Case {
        scenario,
        network,
        invented,
    };
    Ok((case, source))
}

/// A mistake of the scenario at its place in the file.
pub fn mistake(source: &Source, mistake: &Mistake) -> InputError {
    source.error_at(&mistake.key, mistake.message.clone())
}
