//! A steady point, linearised once; derivatives by any number of quantities
//! then cost one factorisation for all and `1/W` of an evaluation each.

use super::seeded::Seeded;
use crate::control::watchdogs::{CODES, Levels};
use crate::control::{Command, Memory, ThrottleMode};
use crate::dual::Dual;
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::layout::{STATES, state};
use crate::network::readings::READINGS;
use crate::network::{Network, Readings};
use crate::scalar::Scalar;
use crate::solve::lu::Factors;
use crate::solve::steady::remembered;
use crate::solve::{Linearised, State, differentiate};
use crate::study::running::simulate::{BRISK, CRUISE, Learnt, brisk, cruise};
use nalgebra::{Const, Dyn, OMatrix, SMatrix};

/// One row an entry, one column a direction.
pub type Columns<const R: usize> = OMatrix<f64, Const<R>, Dyn>;

/// How many numbers the computer keeps in memory.
pub const MEMORY: usize = 4;

/// States in which they stand, in the order of [`Columns<MEMORY>`].
const MEMORIES: [usize; MEMORY] = [
    state::IDLE,
    state::IDLE_TRIM,
    state::PART_TRIM,
    state::HIGH_TRIM,
];

/// A steady point with what its derivatives follow from.
#[derive(Clone, Debug)]
pub struct Linear {
    /// Readings there.
    pub readings: Readings<f64>,
    /// Watchdog levels there.
    pub levels: Levels<f64>,
    readings_by_state: SMatrix<f64, READINGS, STATES>,
    levels_by_state: SMatrix<f64, CODES, STATES>,
    rest: Rest,
}

/// How the states of a steady point answer to what the point is told and made of.
#[derive(Clone, Debug)]
struct Rest {
    state: State,
    command: Command,
    factors: Box<Factors>,
    /// d(rate of each memory)/d(what it is told), 1/s.
    by_memory: [f64; MEMORY],
    /// d(rate of the throttle)/d(torque held), 1/(N m s).
    by_torque: f64,
}

/// Derivatives at a steady point by some quantities, SI units of each. Rows that have no
/// meaning at the point (see [`Readings::get`], a watchdog that is not enabled) are 0.
#[derive(Clone, Debug)]
pub struct Slopes {
    /// Of the states.
    pub states: Columns<STATES>,
    /// Of the readings, in their own units.
    pub readings: Columns<READINGS>,
    /// Of the watchdog levels.
    pub levels: Columns<CODES>,
}

/// How what a point is told moves with the quantities.
#[derive(Clone, Debug)]
pub struct Told {
    /// Of the computer's memories: idle opening, trims of the idle, part-load and high-load cells.
    pub memory: Columns<MEMORY>,
    /// Of the torque that the driver holds, N m; none where it is fixed.
    pub torque: Option<Vec<f64>>,
}

impl Told {
    /// Nothing moves.
    pub fn fixed(count: usize) -> Self {
        Self {
            memory: Columns::zeros(count),
            torque: None,
        }
    }
}

impl Linear {
    /// At the steady `state` of the network's command; none where the Jacobian is singular
    /// (or the network too large for the tape, which the tests would notice).
    pub fn at(network: &Network<f64>, state: &State) -> Option<Self> {
        let command = told(network, state);
        let network = &network.with(command);
        let mut point = Linearised::room();
        let mut by_state = SMatrix::zeros();
        let mut by_level = SMatrix::zeros();
        let mut readings = [f64::NAN; READINGS];
        let mut levels = [None; CODES];
        let written = differentiate(
            &state.data.0[0],
            |x| {
                let moment = network.evaluate(x);
                let readings = network.readings(x, &moment);
                let seen = network.observed(x, &moment);
                let levels = network.vehicle.watchdogs.levels(&seen, &command);
                (moment.rates.states, readings, levels)
            },
            |(rates, read, watched), slopes| {
                for (i, rate) in rates.iter().enumerate() {
                    slopes.of(rate, |j, slope| point.enter(i, j, slope));
                }
                for (i, value) in read.values.iter().enumerate() {
                    readings[i] = value.value();
                    slopes.of(value, |j, slope| by_state[(i, j)] = slope);
                }
                for (i, level) in watched.iter().enumerate() {
                    let Some(level) = level else { continue };
                    levels[i] = Some(level.value());
                    slopes.of(level, |j, slope| by_level[(i, j)] = slope);
                }
            },
        );
        if !written {
            return None;
        }
        Some(Self {
            readings: Readings { values: readings },
            levels,
            readings_by_state: by_state,
            levels_by_state: by_level,
            rest: Rest::new(network, state, &point)?,
        })
    }

    /// Derivatives by the directions of `seeded`, the same car, by the implicit
    /// function theorem: where `rates(x, θ) = 0`,
    /// `dx/dθ = −(∂rates/∂x)⁻¹ ∂rates/∂θ` and `dy/dθ = ∂y/∂x dx/dθ + ∂y/∂θ`
    /// (Griewank & Walther, *Evaluating Derivatives*, 2nd ed. 2008, ch. 15, from memory).
    pub fn slopes<const W: usize>(&self, seeded: &mut Seeded<W>, told: &Told) -> Slopes {
        let count = seeded.count();
        let mut rates = Columns::<STATES>::zeros(count);
        let mut readings = Columns::<READINGS>::zeros(count);
        let mut levels = Columns::<CODES>::zeros(count);
        let x = held(&self.rest.state);
        for (c, car) in seeded.told(self.rest.command).iter().enumerate() {
            let moment = car.evaluate(&x);
            let read = car.readings(&x, &moment);
            let seen = car.observed(&x, &moment);
            let watched = car.vehicle.watchdogs.levels(&seen, &car.command);
            for (j, k) in (c * W..count).zip(0..W) {
                for (i, rate) in moment.rates.states.iter().enumerate() {
                    rates[(i, j)] = rate.slope[k];
                }
                for (i, value) in read.values.iter().enumerate() {
                    readings[(i, j)] = value.slope[k];
                }
                for (i, level) in watched.iter().enumerate() {
                    levels[(i, j)] = level.map_or(0.0, |level| level.slope[k]);
                }
            }
        }
        let states = self.rest.states(rates, told);
        // Column by column: a product of matrices this small spends its time on packing them.
        for j in 0..count {
            let by = states.column(j);
            readings
                .column_mut(j)
                .gemv(1.0, &self.readings_by_state, &by, 1.0);
            levels
                .column_mut(j)
                .gemv(1.0, &self.levels_by_state, &by, 1.0);
        }
        Slopes {
            readings,
            levels,
            states,
        }
    }
}

/// The command that a point stands by: without memories the Jacobian would have no inverse.
fn told(network: &Network<f64>, state: &State) -> Command {
    let memory = network.command.memory.unwrap_or(remembered(state));
    Command {
        memory: Some(memory),
        ..network.command
    }
}

/// The states with no slope along any direction.
fn held<const W: usize>(state: &State) -> [Dual<W>; STATES] {
    std::array::from_fn(|i| Dual {
        value: state[i],
        slope: [0.0; W],
    })
}

impl Rest {
    /// From rates and Jacobian there; none where it is singular.
    fn new(network: &Network<f64>, state: &State, at: &Linearised) -> Option<Self> {
        let mut factors = Box::new(Factors::room());
        let memory = network.command.memory?;
        factors.take(at, None).then(|| Self {
            state: *state,
            command: network.command,
            factors,
            by_memory: by_memory(network, state, memory),
            by_torque: by_torque(network, state),
        })
    }

    /// Derivatives of the states from those of the rates, states held.
    fn states(&self, mut rates: Columns<STATES>, told: &Told) -> Columns<STATES> {
        for (j, mut column) in rates.column_iter_mut().enumerate() {
            let mut right: State = column.clone_owned();
            self.add(&mut right, told, j);
            column.copy_from(&-self.factors.solve(&right));
        }
        rates
    }

    /// What the point is told moves along direction `j`, added to the rates' derivatives.
    fn add(&self, rates: &mut State, told: &Told, j: usize) {
        for (row, (cell, by)) in MEMORIES.iter().zip(self.by_memory).enumerate() {
            rates[*cell] += by * told.memory[(row, j)];
        }
        if let Some(torque) = &told.torque {
            rates[state::THROTTLE] += self.by_torque * torque[j];
        }
    }
}

/// Derivatives of some states alone, one row a state.
fn rows_by<const W: usize, const R: usize>(
    network: &Network<f64>,
    state: &State,
    seeded: &mut Seeded<W>,
    by: &Told,
    rows: [usize; R],
) -> Option<Columns<R>> {
    let network = &network.with(told(network, state));
    let mut point = Linearised::room();
    point.take(network, network.command.memory, state);
    let rest = Rest::new(network, state, &point)?;
    // A row of the inverse is the solution of the transposed equations: `R` of them serve
    // all directions.
    let rows = rows.map(|row| -rest.factors.solve_transposed(row));
    let count = seeded.count();
    let mut found = Columns::<R>::zeros(count);
    let x = held(state);
    for (c, car) in seeded.told(network.command).iter().enumerate() {
        let there = car.rates_at(&x);
        for (j, k) in (c * W..count).zip(0..W) {
            let mut rates = State::from_fn(|i, _| there.states[i].slope[k]);
            rest.add(&mut rates, by, j);
            for (r, row) in rows.iter().enumerate() {
                found[(r, j)] = row.dot(&rates);
            }
        }
    }
    Some(found)
}

/// A memory that does not learn returns to what it is told: its rate is affine in
/// that number, so the difference over 1 is the derivative, exactly.
fn by_memory(network: &Network<f64>, x: &State, memory: Memory) -> [f64; MEMORY] {
    let rates = |by: f64| {
        let memory = Memory {
            idle_opening: memory.idle_opening + by,
            idle_trim: memory.idle_trim + by,
            part_load_trim: memory.part_load_trim + by,
            high_load_trim: memory.high_load_trim + by,
        };
        network.rates_keeping(&x.data.0[0], Some(memory)).states
    };
    let (one, none) = (rates(1.0), rates(0.0));
    MEMORIES.map(|cell| one[cell] - none[cell])
}

/// The driver's integrator is affine in the torque he holds, up to its stops; a throttle in the opening
/// at which it is held.
fn by_torque(network: &Network<f64>, x: &State) -> f64 {
    let rate = |by: f64| {
        let throttle = match network.command.throttle {
            ThrottleMode::Torque(held) => ThrottleMode::Torque(held + by),
            ThrottleMode::Opening(held) => ThrottleMode::Opening(held + by),
            ThrottleMode::Pedal => ThrottleMode::Pedal,
        };
        let command = Command {
            throttle,
            ..network.command
        };
        network.with(command).rates_at(&x.data.0[0]).states[state::THROTTLE]
    };
    rate(1.0) - rate(0.0)
}

/// How the memories of a computer that has learnt in this car (`learnt`) move with
/// the quantities, through its idle and its cruise point; `known` says how those move
/// that it had before.
pub fn memory_slopes<const W: usize>(
    network: &Network<f64>,
    seeded: &mut Seeded<W>,
    learnt: &Learnt,
    known: &Columns<MEMORY>,
) -> Columns<MEMORY> {
    let mut told = Told {
        memory: known.clone(),
        torque: None,
    };
    let at = |command: Command| {
        network.with(Command {
            memory: Some(learnt.memory),
            ..command
        })
    };
    if let Some(x) = &learnt.idle {
        let cells = [state::IDLE, state::IDLE_TRIM];
        if let Some(rows) = rows_by(&at(Command::IDLE), x, seeded, &told, cells) {
            told.memory.rows_mut(0, 2).copy_from(&rows);
        }
    }
    // The torque at which a computer learns is that of a mean pressure: it moves with the
    // displacement.
    let torque = |seeded: &Seeded<W>, pressure: f64| {
        let torque = seeded.cars.iter().flat_map(|car| {
            let pressure = Dual::<W> {
                value: pressure,
                slope: [0.0; W],
            };
            torque_of_mean_pressure(pressure, car.vehicle.cylinders.displacement).slope
        });
        Some(torque.take(seeded.count()).collect())
    };
    told.torque = torque(seeded, CRUISE.1);
    if let Some(x) = &learnt.cruise {
        let cells = [state::PART_TRIM];
        if let Some(row) = rows_by(&at(cruise(network)), x, seeded, &told, cells) {
            told.memory.rows_mut(2, 1).copy_from(&row);
        }
    }
    told.torque = torque(seeded, BRISK.1);
    if let (Some(x), Some(command)) = (&learnt.brisk, brisk(network)) {
        let cells = [state::HIGH_TRIM];
        if let Some(row) = rows_by(&at(command), x, seeded, &told, cells) {
            told.memory.rows_mut(3, 1).copy_from(&row);
        }
    }
    told.memory
}
