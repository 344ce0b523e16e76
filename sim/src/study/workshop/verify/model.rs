//! What a size of the fault predicts for each measurement, with its exact derivative.

use super::{Datum, Quantity};
use crate::control::Command;
use crate::dual::Dual;
use crate::medium::GasState;
use crate::network::{Ambient, Defect, Network, Readings, Vehicle};
use crate::scalar::Scalar;
use crate::scenario::Mistake;
use crate::solve::explicit::Refused;
use crate::solve::{Failure, State};
use crate::study::asking::sensitivity::{Columns, Linear, Seeded, Slopes, Told, memory_slopes};
use crate::study::running::dangers::{Aims, Danger, Driven};
use crate::study::running::simulate::{Comparison, Side, side};
use crate::study::workshop::decay::DecayTest;
use crate::study::workshop::in_car::normal_boost;
use crate::study::workshop::{AIR, Z90, effective_flow, mistake};

/// The car, ready to be given a fault of any size.
pub struct Bench {
    comparison: Comparison,
    /// Name, orders, and the healthy car there, where it runs.
    points: Vec<(String, Command, Option<Side>)>,
    defect: Defect,
}

impl Bench {
    /// Around a car; `points` as [`Verify::points`](super::Verify::points) gives them.
    pub fn new(
        vehicle: Vehicle<f64>,
        ambient: Ambient,
        defect: Defect,
        points: impl FnOnce(&Network<f64>) -> Result<Vec<(String, Command)>, Mistake>,
    ) -> Result<Self, Mistake> {
        let network = Network::new(vehicle, Vec::new(), ambient, Command::IDLE);
        let comparison = Comparison::new(&network);
        let points = points(&network)?.into_iter().map(|(name, command)| {
            let sound = comparison.point(&name, command).healthy.ok();
            (name, command, sound)
        });
        Ok(Self {
            points: points.collect(),
            comparison,
            defect,
        })
    }

    /// Names of the points.
    pub fn points(&self) -> impl Iterator<Item = &str> {
        self.points.iter().map(|(name, ..)| name.as_str())
    }

    /// What readings say is dangerous, as the car is that they were taken from.
    pub fn dangers(&self, data: &[Datum]) -> Vec<Danger> {
        let car = &self.comparison.network;
        let aims = Aims::of_model(&car.vehicle, car.ambient.pressure);
        let points = self.points.iter().enumerate();
        let all = points.flat_map(|(at, (name, command, sound))| {
            let reads = data.iter().filter_map(|datum| match datum.quantity {
                Quantity::Reading(point, reading) if point == at => Some((reading, datum.value)),
                _ => None,
            });
            let sound = sound.as_ref().map(|side| &side.readings);
            let driven = Driven::by(name, command, reads.collect());
            aims.dangers(&driven.expecting(sound, aims.ambient))
        });
        all.collect()
    }

    /// The fault whose size is sought.
    pub fn defect(&self) -> &Defect {
        &self.defect
    }

    /// A decay test as a measurement of the open area.
    ///
    /// # Errors
    /// A test that cannot be, or that does not reach the place of the leak.
    pub fn decay(&self, test: &DecayTest<f64>) -> Result<Datum, Mistake> {
        let Some(place) = self.defect.place() else {
            let message = "a decay test finds leaks; what was mended here is none";
            return Err(mistake("start_pressure", message));
        };
        for (key, given) in [
            ("vehicle", test.vehicle.is_some()),
            ("leak", test.leak.is_some()),
        ] {
            if given {
                let message =
                    format!("here a decay test takes no `{key}`: that of the file counts");
                return Err(mistake(key, message));
            }
        }
        test.allowed(Some(normal_boost(&self.comparison.network.vehicle)))?;
        test.holds(place, "section")?;
        let checked = test.checked(Some(&self.comparison.network.vehicle))?;
        let (pair, second) = (test.pair()?, test.second()?);
        let found = checked.find(&pair, second.as_ref());
        let found = found.map_err(|e: Refused| {
            mistake("time", format!("the test cannot be run through: {e}"))
        })?;
        let area = found.area;
        // Limits of a tight section are cut at zero: its upper side tells the doubt.
        let doubt = (area.high - area.value).max(area.value - area.low) / Z90;
        if doubt <= 0.0 {
            let message = "this test has no uncertainty at all; give its gauge resolution";
            return Err(mistake("gauge_resolution", message));
        }
        let middle = checked.ambient + 0.5 * (pair.start + pair.end);
        Ok(Datum {
            quantity: Quantity::Area(checked.ambient, middle),
            value: area.value,
            doubt,
        })
    }

    /// What a size predicts for each measurement: value and derivative by the size.
    ///
    /// # Errors
    /// The car does not run at a point that was measured.
    pub fn predict(&self, size: f64, data: &[Datum]) -> Result<Vec<(f64, f64)>, Failure> {
        let defect = self.defect.within(size);
        // A leak that is shut is none, and has no number to seed; see `fit`.
        let open = Some(defect).filter(|defect| !defect.is_shut());
        let cars = self.comparison.instead(&self.comparison.network.only(open));
        let mut seeded = Seeded::toward(&cars.network, &defect.moves());
        let fresh = Columns::zeros(1);
        let memory = memory_slopes(&cars.network, &mut seeded, cars.learnt(true), &fresh);
        let told = Told {
            memory,
            torque: None,
        };
        let mut met = Vec::new();
        for (i, (_, command, sound)) in self.points.iter().enumerate() {
            let here = |datum: &Datum| matches!(datum.quantity, Quantity::Reading(p, _) if p == i);
            met.push(match data.iter().any(here) {
                true => Some(met_at(
                    &cars,
                    *command,
                    sound.as_ref().map(|side| &side.state),
                    &mut seeded,
                    &told,
                )?),
                false => None,
            });
        }
        let predicted = data.iter().map(|datum| match datum.quantity {
            Quantity::Area(outside, inside) => area(&defect, outside, inside),
            Quantity::Reading(point, reading) => match &met[point] {
                Some((readings, slopes)) => (
                    readings.get(reading).unwrap_or(f64::NAN),
                    slopes.readings[(reading as usize, 0)],
                ),
                None => (f64::NAN, 0.0),
            },
        });
        Ok(predicted.collect())
    }
}

/// The car at one point from its sound state, as a leak that opens would have it, with the
/// derivatives of its readings.
fn met_at(
    cars: &Comparison,
    command: Command,
    sound: Option<&State>,
    seeded: &mut Seeded<1>,
    told: &Told,
) -> Result<(Readings<f64>, Slopes), Failure> {
    let network = cars.network.with(cars.command(command, true));
    let found = side(&network, sound)?;
    let network = network.with(Command {
        reduced: found.unreduced.is_some(),
        ..network.command
    });
    let at = Linear::at(&network, &found.state).ok_or_else(Failure::singular)?;
    Ok((found.readings, at.slopes(seeded, told)))
}

/// Effective area, m², of a leak between air at two pressures, Pa abs, and its derivative
/// by the size.
fn area(defect: &Defect, outside: f64, inside: f64) -> (f64, f64) {
    let Defect::Leak(leak) = defect.sized(Dual::<1>::variable(defect.size(), 0)) else {
        return (0.0, 0.0);
    };
    if defect.is_shut() {
        return (0.0, 0.0);
    }
    let kelvin = 293.15; // Leak and ideal nozzle change alike with it.
    let gas = |pressure| lifted(&AIR.state(pressure, kelvin));
    let flow = leak.shape.flow(&gas(outside), &gas(inside)).mass;
    let (high, low) = (outside.max(inside), outside.min(inside));
    let ideal = effective_flow(1.0, high, low, kelvin) * flow.value.signum();
    (flow.value / ideal, flow.slope[0] / ideal)
}

fn lifted(gas: &GasState<f64>) -> GasState<Dual<1>> {
    let lift = Dual::constant;
    GasState {
        pressure: lift(gas.pressure),
        temperature: lift(gas.temperature),
        fuel_fraction: lift(gas.fuel_fraction),
        gas_constant: lift(gas.gas_constant),
        gamma: lift(gas.gamma),
        enthalpy: lift(gas.enthalpy),
    }
}
