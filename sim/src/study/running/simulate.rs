//! Healthy beside faulty at an operating point.

use crate::control::watchdogs::{Levels, TRIPS};
use crate::control::{Code, Command, Memory, SpeedMode, ThrottleMode, TrimCells};
use crate::flow::Regime;
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::flows::{FLOWS, flows};
use crate::network::layout::state;
use crate::network::{AirLedger, Moment, Network, Place, Readings};
use crate::solve::stability::growth;
use crate::solve::steady::{MOST_STEPS, Steady, steady_within};
use crate::solve::{Failure, State};
use crate::study::running::dangers::{Aims, Danger};
use crate::study::running::warnings::{Warning, warnings};

/// What one leak does at an operating point.
#[derive(Clone, Copy, Debug)]
pub struct LeakReading {
    /// Where.
    pub place: Place,
    /// Name of its shape.
    pub shape: &'static str,
    /// g/s, positive from the outer to the inner side (into the path).
    pub flow: f64,
    /// Diameter, mm, of the sharp-edged hole that passes the same flow between
    /// the same mean pressures; none where pulsation alone moves the gas.
    pub equivalent_hole: Option<f64>,
    /// How the gas moves through it.
    pub regime: Regime,
}

/// One engine at one steady point.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let full = Comparison::new(&car).point("", Command::full_load(366.5)).healthy?;
/// assert!(full.codes.is_empty() && full.leaks.is_empty());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Side {
    /// What can be read.
    pub readings: Readings<f64>,
    /// Where the air goes.
    pub ledger: AirLedger,
    /// What passes every element, g/s, in the order of [`FLOWS`].
    pub flows: [f64; FLOWS.len()],
    /// What its leaks do.
    pub leaks: Vec<LeakReading>,
    /// What endangers engine, car or people there.
    pub dangers: Vec<Danger>,
    /// Conditions outside what the model, or the engine, is made for.
    pub warnings: Vec<Warning>,
    /// Trouble codes that are set when the point is held.
    pub codes: Vec<Code>,
    /// How close each watchdog is: its level, 1 sets the code; none where not enabled.
    pub levels: Levels<f64>,
    /// Readings before a code reduced the torque, where one did.
    pub unreduced: Option<Readings<f64>>,
    /// The state itself.
    pub state: State,
}

impl Side {
    /// Its warnings in words.
    pub fn warned(&self) -> Vec<String> {
        self.warnings.iter().map(Warning::to_string).collect()
    }
}

/// Healthy and faulty at one point.
#[derive(Clone, Debug)]
pub struct PointResult {
    /// What the point is called.
    pub name: String,
    /// Without leaks and faults.
    pub healthy: Result<Side, Failure>,
    /// With them; none when there are none.
    pub faulty: Option<Result<Side, Failure>>,
}

/// Growth, 1/s, below which a swing is round-off.
const SLOWEST: f64 = 1e-5;

/// Largest torque error, N m, of a driver who holds his torque.
const TORQUE_HELD: f64 = 0.05;

/// Where part-load trims are learnt: crank speed, rad/s (about 2400 rpm), and mean
/// effective pressure, Pa (light cruise, common practice).
pub(in crate::study) const CRUISE: (f64, f64) = (250.0, 2.5e5);

/// Where the trim of the high-load cell is learnt, the same: about 3000 rpm, brisk but still in
/// closed loop (own choice).
pub(in crate::study) const BRISK: (f64, f64) = (314.0, 8e5);

/// What a computer has learnt at idle and at light cruise, and the states there;
/// none where the car does not run.
#[derive(Clone, Copy, Debug)]
pub struct Learnt {
    /// What it has learnt.
    pub memory: Memory,
    /// The car at idle.
    pub idle: Option<State>,
    /// The car at light cruise.
    pub cruise: Option<State>,
    /// The car driven briskly, where its computer has a cell for that.
    pub brisk: Option<State>,
}

/// A car, sound and as it is, with what the computer of each has learnt.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Leak, Place, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let leaking = car.leaking(vec![Leak::hole(Place::VacuumLine, 2e-3)]);
/// let idle = Comparison::new(&leaking).point("idle", Command::IDLE);
/// let (healthy, leaking) = (idle.healthy?, idle.faulty.unwrap()?);
/// // Air past the meter: more fuel is added than in the healthy car.
/// let trim = |side: &sim::Side| side.readings.get(Reading::FuelTrim).unwrap();
/// assert!(trim(&healthy).abs() < 1.0 && trim(&leaking) > 3.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Comparison {
    /// The car as it is.
    pub network: Network<f64>,
    healthy: Learnt,
    faulty: Learnt,
}

impl Comparison {
    /// Lets both cars idle and cruise, so that their computers have learnt.
    ///
    /// A car that can do neither keeps what the healthy one has learnt; a network whose
    /// command does not learn has it too (trims fresh, the fault has just happened).
    pub fn new(network: &Network<f64>) -> Self {
        let sound = network.healthy();
        let healthy = learn(&sound, Memory::FRESH, None, MOST_STEPS);
        let sound = Self {
            network: sound,
            healthy,
            faulty: healthy,
        };
        sound.instead(network)
    }

    /// A car whose computers, the healthy one's and its own, have learnt before.
    pub fn learnt_before(network: &Network<f64>, healthy: Learnt, faulty: Learnt) -> Self {
        Self {
            network: network.clone(),
            healthy,
            faulty,
        }
    }

    /// The same healthy car beside another faulty one.
    pub fn instead(&self, network: &Network<f64>) -> Self {
        self.instead_near(network, &self.healthy, MOST_STEPS)
    }

    /// The same healthy car beside another faulty one, whose states are sought from
    /// those of a similar car, `near`; where that did not run, this one is not tried. See
    /// [`steady_within`] for `most_steps`.
    pub fn instead_near(&self, network: &Network<f64>, near: &Learnt, most_steps: usize) -> Self {
        let faulty = if network.is_healthy() || !network.command.learning {
            self.healthy
        } else {
            learn(network, self.healthy.memory, Some(near), most_steps)
        };
        Self {
            network: network.clone(),
            faulty,
            ..*self
        }
    }

    /// The car as it is at one command, from the state `guess`.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn faulty(&self, command: Command, guess: &State) -> Result<Side, Failure> {
        side(&self.network.with(self.command(command, true)), Some(guess))
    }

    /// What the computer of the healthy car (`false`) or of the car as it is has learnt.
    pub fn memory(&self, faulty: bool) -> Memory {
        self.learnt(faulty).memory
    }

    /// The same with the states in which it was learnt.
    pub fn learnt(&self, faulty: bool) -> &Learnt {
        if faulty { &self.faulty } else { &self.healthy }
    }

    /// A command with what the computer of either car has learnt.
    pub fn command(&self, command: Command, faulty: bool) -> Command {
        Command {
            memory: Some(self.memory(faulty)),
            learning: self.network.command.learning || !faulty,
            ..command
        }
    }

    /// Healthy and faulty at one command. The faulty engine starts from the healthy
    /// point, as a leak that opens would.
    pub fn point(&self, name: &str, command: Command) -> PointResult {
        let sound = self.network.healthy();
        let healthy = side(&sound.with(self.command(command, false)), None);
        let guess = healthy.as_ref().ok().map(|side| side.state);
        let faulty = self.network.with(self.command(command, true));
        PointResult {
            name: name.to_string(),
            faulty: (!faulty.is_healthy()).then(|| side(&faulty, guess.as_ref())),
            healthy,
        }
    }
}

/// Light cruise, where part-load trims are learnt.
pub(in crate::study) fn cruise(network: &Network<f64>) -> Command {
    loaded(network, CRUISE)
}

/// Brisk driving, where the trim of the high-load cell is learnt; none where there is none.
pub(in crate::study) fn brisk(network: &Network<f64>) -> Option<Command> {
    let has = network.vehicle.trim_cells == TrimCells::ByLoad;
    has.then(|| loaded(network, BRISK))
}

fn loaded(network: &Network<f64>, (speed, pressure): (f64, f64)) -> Command {
    let torque = torque_of_mean_pressure(pressure, network.vehicle.cylinders.displacement);
    Command::torque(speed, torque)
}

/// What a computer learns at idle and at light cruise, from `known` on; the states
/// there are sought from those of `near`.
fn learn(
    network: &Network<f64>,
    known: Memory,
    near: Option<&Learnt>,
    most_steps: usize,
) -> Learnt {
    let mut memory = known;
    let rest = State::from(network.start());
    // Where a similar car did not run, this one is not tried.
    let guess = |state: fn(&Learnt) -> Option<State>| near.map_or(Some(rest), state);
    let settle = |command: Command, memory: Memory, guess: Option<State>| {
        let guess = guess?;
        let network = network.with(Command {
            memory: Some(memory),
            ..command
        });
        let found = steady_within(&network, &guess, most_steps).ok();
        found.map(|found| found.state)
    };
    let idle = settle(Command::IDLE, memory, guess(|near| near.idle));
    if let Some(x) = &idle {
        memory.idle_opening = x[state::IDLE];
        memory.idle_trim = x[state::IDLE_TRIM];
    }
    let cruise = settle(cruise(network), memory, guess(|near| near.cruise));
    if let Some(x) = &cruise {
        memory.part_load_trim = x[state::PART_TRIM];
    }
    let brisk =
        brisk(network).and_then(|command| settle(command, memory, guess(|near| near.brisk)));
    if let Some(x) = &brisk {
        memory.high_load_trim = x[state::HIGH_TRIM];
    }
    Learnt {
        memory,
        idle,
        cruise,
        brisk,
    }
}

/// One engine at the steady point of its command, from `guess` or from rest; if a
/// trouble code reduces the torque, as it then runs.
///
/// # Errors
/// See [`Failure`].
pub fn side(network: &Network<f64>, guess: Option<&State>) -> Result<Side, Failure> {
    let first = running(network, guess)?;
    if network.command.reduced || !first.codes.iter().any(|code| code.reduces_torque()) {
        return Ok(first);
    }
    let reduced = network.with(Command {
        reduced: true,
        ..network.command
    });
    match running(&reduced, Some(&first.state)) {
        Ok(then) => Ok(Side {
            dangers: Danger::held_back(first.dangers, then.dangers),
            warnings: (first.warnings.into_iter())
                .map(|warning| Warning::IfNotReduced(Box::new(warning)))
                .chain(then.warnings)
                .collect(),
            codes: first.codes,
            levels: first.levels,
            unreduced: Some(first.readings),
            ..then
        }),
        Err(_) => Ok(first),
    }
}

/// The steady state of the network's command and everything there, its torque held; taken
/// not to run if it does not come to rest in so many steps.
pub(in crate::study) fn settled(
    network: &Network<f64>,
    guess: &State,
    most_steps: usize,
) -> Result<(Steady, Moment<f64>), Failure> {
    let found = steady_within(network, guess, most_steps)?;
    let moment = network.evaluate(&found.state.data.0[0]);
    if let ThrottleMode::Torque(wanted) = network.command.throttle {
        let got = moment.streams.cycle.torque;
        if (got - wanted).abs() > TORQUE_HELD {
            return Err(Failure::Unreachable { wanted, got });
        }
    }
    Ok((found, moment))
}

/// The same as people see it, before any code reduces the torque.
pub(in crate::study) fn running(
    network: &Network<f64>,
    guess: Option<&State>,
) -> Result<Side, Failure> {
    let rest = State::from(network.start());
    let (found, moment) = settled(network, guess.unwrap_or(&rest), MOST_STEPS)?;
    let x = found.state;
    let mut side = seen(network, x, &moment);
    // An idle may swing; under a held speed that is surge, of which the surge line warns.
    let swings = || growth(network, &x).is_some_and(|at| at.growth > SLOWEST);
    if found.drifts {
        side.warnings.push(Warning::Drifts);
    } else if network.command.speed == SpeedMode::Free && swings() {
        side.warnings.push(Warning::Swings);
    }
    Ok(side)
}

/// The car in a state, steady or not, as people see it.
pub fn seen(network: &Network<f64>, x: State, moment: &Moment<f64>) -> Side {
    let observed = network.observed(&x.data.0[0], moment);
    let levels = network
        .vehicle
        .watchdogs
        .levels(&observed, &network.command);
    let set = Code::WORDS.iter().zip(&levels);
    let set = set.filter(|(_, level)| level.is_some_and(|level| level >= TRIPS));
    let readings = network.readings(&x.data.0[0], moment);
    let free = network.command.speed == SpeedMode::Free;
    let aims = Aims::of_model(&network.vehicle, network.ambient.pressure);
    Side {
        dangers: aims.dangers_of(&readings, free),
        readings,
        ledger: network.air_ledger(moment),
        flows: flows(moment),
        leaks: leak_readings(network, moment),
        warnings: warnings(network, &x, moment),
        codes: set.map(|((_, code, _), _)| *code).collect(),
        levels,
        unreduced: None,
        state: x,
    }
}

fn leak_readings(network: &Network<f64>, moment: &Moment<f64>) -> Vec<LeakReading> {
    let flows = network
        .leaks
        .iter()
        .zip(moment.streams.leaks.iter().flatten());
    flows
        .map(|(leak, flow)| {
            let (a, b) = (moment.gases.at(flow.outer), moment.gases.at(flow.inner));
            let report = leak.shape.report(a, b);
            let mass = flow.inward.mass + flow.outward.mass;
            let steady = (mass - report.mass_flow).abs() <= 1e-9 * mass.abs();
            LeakReading {
                place: leak.place,
                shape: leak.shape.name(),
                flow: mass * 1e3,
                equivalent_hole: steady.then_some(report.equivalent_hole * 1e3),
                regime: report.regime,
            }
        })
        .collect()
}
