//! Exact first derivatives of every reading at a steady point by any number of
//! the car: leak sizes, fault severities, vehicle quantities.
//!
//! They are **total** derivatives of the whole procedure. What the computer has
//! learnt at idle and at light cruise (idle opening, long-term trims) moves with
//! the quantity too, and so does the torque of the learning cruise with the
//! displacement: both are carried through the idle and the cruise point to the
//! point asked for, as [`Comparison`] carries the memories themselves. Trims that
//! are fresh move with the healthy car's numbers only.
//!
//! The fuel, the air around the car and the demand (speed, pedal, torque) are held.
//! The model is smooth, but its integrators have stops. A derivative is that of the
//! side the point is on; where something stands at or near a stop, [`Stop`] says so, and
//! a change that leaves or reaches the stop has another slope.

mod linear;
mod seeded;

pub use linear::{Columns, Linear, MEMORY, Slopes, Told, memory_slopes};
pub(in crate::study) use seeded::is_meant;
pub use seeded::{Quantity, Seeded, UnknownNumber, named, quantities, spelled};

use crate::control::{BoostControl, Command, ThrottleMode, TrimCells, full_load_share, idle_share};
use crate::network::layout::{state, state_name};
use crate::network::{Network, Reading};
use crate::say::cautions as say;
use crate::solve::{Failure, State};
use crate::study::running::simulate::{Comparison, Side};
use std::fmt;

/// Directions carried in one evaluation; 4, 8 and 16 measured alike.
const WIDTH: usize = 8;

/// Something that stands at, or near, its stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// What.
    pub what: String,
    /// Where it stands: a share, SI.
    pub value: f64,
    /// Its stop.
    pub stop: f64,
}

impl Stop {
    /// Whether it stands at the stop (else near it).
    pub fn reached(&self) -> bool {
        (self.value - self.stop).abs() < 1e-6
    }
}

impl fmt::Display for Stop {
    /// What it means for a derivative.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&match self.reached() {
            true => say::at_stop(&self.what),
            false => say::near_stop(&self.what),
        })
    }
}

/// One operating point with its derivatives.
#[derive(Clone, Debug)]
pub struct PointSlopes {
    /// What the point is called.
    pub name: String,
    /// The car there.
    pub side: Side,
    /// The derivatives, one column a quantity.
    pub slopes: Slopes,
    /// What stands at or near a stop.
    pub stops: Vec<Stop>,
}

impl PointSlopes {
    /// d(reading)/d(quantity), reading unit per SI unit; none where the reading
    /// has no meaning.
    pub fn slope(&self, reading: Reading, quantity: usize) -> Option<f64> {
        self.side.readings.get(reading)?;
        Some(self.slopes.readings[(reading as usize, quantity)])
    }

    /// Change of the reading in per cent per per cent of the quantity at `value`,
    /// SI; none where either is zero. Temperatures count from their own zero.
    pub fn elasticity(&self, reading: Reading, quantity: usize, value: f64) -> Option<f64> {
        let now = self.side.readings.get(reading)?;
        let slope = self.slope(reading, quantity)?;
        (now.abs() > NOTHING && value != 0.0).then(|| slope * value / now)
    }
}

/// A reading below this is zero to the solver.
const NOTHING: f64 = 1e-6;

/// Derivatives of one car, as it is, by some of its quantities.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Leak, Place, Reading, Sensitivity, quantities};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let trim = |diameter: f64| {
///     let leaking = car.leaking(vec![Leak::hole(Place::VacuumLine, diameter)]);
///     Comparison::new(&leaking)
/// };
/// let cars = trim(1.5e-3);
/// let mut all = quantities(&cars.network);
/// all.retain(|quantity| quantity.key == "leak.0.round_hole.diameter");
/// let idle = Sensitivity::new(&cars, all).point("idle", Command::IDLE)?;
/// let slope = idle.slope(Reading::FuelTrim, 0).unwrap();
/// // Beside a difference of two whole runs.
/// let at = |diameter| {
///     let side = trim(diameter).point("", Command::IDLE).faulty.unwrap();
///     side.unwrap().readings.get(Reading::FuelTrim).unwrap()
/// };
/// let difference = (at(1.51e-3) - at(1.49e-3)) / 0.02e-3;
/// assert!((slope / difference - 1.0).abs() < 1e-3, "{slope} {difference}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct Sensitivity<'a> {
    cars: &'a Comparison,
    /// The quantities, one column each.
    pub quantities: Vec<Quantity>,
    seeded: Seeded<WIDTH>,
    told: Told,
}

impl<'a> Sensitivity<'a> {
    /// Prepares derivatives by `quantities` (see [`quantities()`]): seeds the car, and
    /// follows what its computer has learnt.
    pub fn new(cars: &'a Comparison, quantities: Vec<Quantity>) -> Self {
        let mut seeded = Seeded::new(&cars.network, &quantities);
        let fresh = Columns::zeros(quantities.len());
        let sound = cars.network.healthy();
        let healthy = memory_slopes(&sound, &mut seeded.sound(), cars.learnt(false), &fresh);
        let as_sound = cars.network.is_healthy() || !cars.network.command.learning;
        let memory = if as_sound {
            healthy
        } else {
            memory_slopes(&cars.network, &mut seeded, cars.learnt(true), &healthy)
        };
        let told = Told {
            memory,
            torque: None,
        };
        Self {
            cars,
            quantities,
            seeded,
            told,
        }
    }

    /// How the learnt idle opening, idle trim and part-load trim move.
    pub fn memory(&self) -> &Columns<MEMORY> {
        &self.told.memory
    }

    /// The car as it is at one command, with its derivatives.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn point(&self, name: &str, command: Command) -> Result<PointSlopes, Failure> {
        let found = self.cars.point(name, command);
        let side = found.faulty.unwrap_or(found.healthy)?;
        let (slopes, stops) = self.at(&side, command).ok_or_else(Failure::singular)?;
        Ok(PointSlopes {
            name: name.into(),
            slopes,
            stops,
            side,
        })
    }

    /// Derivatives at `side`, the car as it is at the steady point of `command`, and what
    /// stands at or near a stop there; none where the Jacobian is singular.
    pub fn at(&self, side: &Side, command: Command) -> Option<(Slopes, Vec<Stop>)> {
        let command = Command {
            reduced: side.unreduced.is_some(),
            ..self.cars.command(command, true)
        };
        let network = self.cars.network.with(command);
        let at = Linear::at(&network, &side.state)?;
        let slopes = at.slopes(&mut self.seeded.clone(), &self.told);
        Some((slopes, stops(&network, &side.state)))
    }
}

/// Distance from a stop that counts as near, share of the way between the stops.
const NEAR: f64 = 0.02;

/// Integrators of the engine computer and the driver that are at work and stand at or near an end.
pub fn stops(network: &Network<f64>, x: &State) -> Vec<Stop> {
    let (v, command) = (&network.vehicle, &network.command);
    let pedal = v.drive.heeded_pedal(x[state::PEDAL], command.reduced);
    let full_load = full_load_share(pedal) > 0.0;
    let idle = idle_share(pedal) > 0.0;
    let charged = !matches!(
        v.boost.control,
        BoostControl::Spring | BoostControl::FixedDuty
    );
    let held = matches!(command.throttle, ThrottleMode::Torque(_));
    let (trim, learns) = (v.fuelling.trim_limit, v.fuelling.learning_limit);
    let governed = idle && command.throttle == ThrottleMode::Pedal;
    let start = v.boost.fixed_duty;
    let duties = (v.boost.least_duty - start, v.boost.most_duty - start);
    let closed = !full_load;
    let one = v.trim_cells == TrimCells::OneNumber;
    let by_load = v.trim_cells == TrimCells::ByLoad;
    let watched = [
        (held, state::THROTTLE, (0.0, 1.0)),
        (closed, state::TRIM, (-trim, trim)),
        (idle && !one, state::IDLE_TRIM, (-learns, learns)),
        (!idle || one, state::PART_TRIM, (-learns, learns)),
        (!idle && by_load, state::HIGH_TRIM, (-learns, learns)),
        (
            governed,
            state::IDLE,
            (v.drive.idle_least, v.drive.idle_most),
        ),
        (
            full_load && charged,
            state::DUTY,
            (duties.0.min(0.0), duties.1.max(0.0)),
        ),
        (
            full_load,
            state::WASTEGATE,
            (v.wastegate.least_opening, v.wastegate.most_opening),
        ),
    ];
    let at_work = watched.into_iter().filter(|(works, ..)| *works);
    let near = at_work.filter_map(|(_, i, (low, high))| {
        let band = NEAR * (high - low);
        let stop = if x[i] < low + band {
            low
        } else if x[i] > high - band {
            high
        } else {
            return None;
        };
        Some(Stop {
            what: state_name(i),
            value: x[i],
            stop,
        })
    });
    near.collect()
}
