//! One engine at one steady point, as people see it.

use crate::control::watchdogs::{Levels, TRIPS};
use crate::control::{Code, Command, SpeedMode, ThrottleMode};
use crate::flow::Regime;
use crate::network::flows::{FLOWS, flows};
use crate::network::{AirLedger, Moment, Network, Place, Readings};
use crate::solve::stability::stays;
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

/// Largest torque error, N m, of a driver who holds his torque.
const TORQUE_HELD: f64 = 0.05;

/// One engine at the steady point of its command, from `guess` or from rest; if a
/// trouble code reduces the torque, as it then runs.
///
/// # Errors
/// See [`Failure`].
pub fn side(network: &Network<f64>, guess: Option<&State>) -> Result<Side, Failure> {
    reduced_too(network, running(network, guess)?)
}

/// The same at a steady point that is known, before any code reduces the torque.
///
/// # Errors
/// See [`Failure`].
pub(in crate::study) fn standing(network: &Network<f64>, x: &State) -> Result<Side, Failure> {
    let moment = held(network, x)?;
    reduced_too(network, shown(network, (*x, false), &moment))
}

/// As the engine runs once a trouble code has reduced its torque, if one does.
fn reduced_too(network: &Network<f64>, first: Side) -> Result<Side, Failure> {
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
    let moment = held(network, &found.state)?;
    Ok((found, moment))
}

/// The moment of a steady state whose torque, if one is asked for, is held.
fn held(network: &Network<f64>, x: &State) -> Result<Moment<f64>, Failure> {
    let moment = network.evaluate(&x.data.0[0]);
    if let ThrottleMode::Torque(wanted) = network.command.throttle {
        let got = moment.streams.cycle.torque;
        if (got - wanted).abs() > TORQUE_HELD {
            return Err(Failure::Unreachable { wanted, got });
        }
    }
    Ok(moment)
}

/// The same as people see it, before any code reduces the torque.
pub(in crate::study) fn running(
    network: &Network<f64>,
    guess: Option<&State>,
) -> Result<Side, Failure> {
    let rest = State::from(network.start());
    let (found, moment) = settled(network, guess.unwrap_or(&rest), MOST_STEPS)?;
    Ok(shown(network, (found.state, found.drifts), &moment))
}

/// A steady point as people see it; whether the engine drifts away from it is known.
fn shown(network: &Network<f64>, (x, drifts): (State, bool), moment: &Moment<f64>) -> Side {
    let mut side = seen(network, x, moment);
    if drifts {
        side.warnings.push(Warning::Drifts);
    } else if !stays(network, &x) {
        side.warnings.push(Warning::Swings);
    }
    side
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
