//! A car at idle with the breather hose off: the union capped at the turbocharger, the
//! crankcase open to the air.
//!
//! A leak at either place then acts no more; instead everything that the crankcase ventilation
//! (PCV) valve draws beyond the blow-by is plain air that no meter has counted.

use crate::control::Command;
use crate::network::{Leak, Network, Place, Reading};
use crate::say::judging as say;
use crate::study::running::simulate::{Comparison, Side, running};

/// The car so prepared. What leaks at the union is capped with it; a hole in the crankcase is
/// one more opening beside the open end, and left out.
pub fn vented(car: &Network<f64>) -> Network<f64> {
    let mut car = car.clone();
    let diameter = car.vehicle.crankcase.breather_bore;
    car.vehicle.crankcase.breather_bore = 0.0;
    car.leaks
        .retain(|leak| !matches!(leak.place, Place::BreatherUnion | Place::Crankcase));
    car.leaks.push(Leak::hole(Place::Crankcase, diameter));
    car
}

/// By how much the fuel trim at idle rises when the car is so prepared, % points; none where
/// it does not idle before and after.
pub fn rise(car: &Network<f64>) -> Option<f64> {
    let command = Comparison::new(car).command(Command::IDLE, true);
    let before = running(&car.with(command), None).ok()?;
    let after = running(&vented(car).with(command), Some(&before.state)).ok()?;
    let trim = |side: &Side| side.readings.get(Reading::FuelTrim);
    Some(trim(&after)? - trim(&before)?)
}

/// What the trim then does in a healthy car, in words; none where that cannot be told.
pub fn told(car: &Network<f64>) -> Option<String> {
    let rise = rise(&car.healthy()).filter(|rise| *rise > 0.0)?;
    Some(say::healthy_rise(rise))
}
