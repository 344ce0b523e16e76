//! A drive as a time trace.

use crate::control::{Code, Command, Memory};
use crate::network::layout::{STATES, VOLUMES, ledger, state};
use crate::network::{Network, Readings};
use crate::scenario::{Event, Mistake, Pieces};
use crate::solve::implicit::{Cost, Step, Tolerance};
use crate::solve::steady::steady;
use crate::solve::{Book, Failure, State};
use crate::study::running::dangers::{Aims, Danger};
use crate::study::running::happening::Happening;
use crate::study::running::live::Live;
use crate::study::running::simulate::Comparison;

/// One moment of a trace.
#[derive(Clone, Copy, Debug)]
pub struct Sample {
    /// s since the start of the drive.
    pub time: f64,
    /// What can be read.
    pub readings: Readings<f64>,
}

/// A drive that was run.
#[derive(Clone, Debug)]
pub struct Trace {
    /// Evenly spaced samples.
    pub samples: Vec<Sample>,
    /// Time at which each piece of the drive begins, s, and its name.
    pub pieces: Vec<(f64, String)>,
    /// Trouble codes set on the way: time, s, and code.
    pub codes: Vec<(f64, Code)>,
    /// Ledger over the whole drive, kg and J.
    pub book: Book,
    /// State at its beginning.
    pub start: State,
    /// State at its end.
    pub end: State,
    /// What it cost.
    pub cost: Cost,
    /// Why it ended early, if it did.
    pub failure: Option<Failure>,
}

impl Trace {
    /// What endangers this car, engine or people on the way and lasts: the worst of each kind,
    /// with its time, and with the code that tells of it where one is set.
    pub fn dangers(&self, network: &Network<f64>) -> Vec<Danger> {
        let aims = Aims::of_model(&network.vehicle, network.ambient.pressure);
        let found = aims.dangers_in(&self.samples);
        Danger::with_codes(found, |code| self.codes.iter().any(|(_, set)| *set == code))
    }
}

/// One piece of a drive as the solver runs it: duration in s, command.
pub type Run = (f64, Command);

/// The pieces of a drive, one after the other; each name with its runs.
///
/// # Errors
/// The pieces contradict themselves (key in the list `drive`).
pub fn plan(pieces: &Pieces) -> Result<Vec<(String, Vec<Run>)>, Mistake> {
    let mut pedal = pieces.first().map_or(0.0, |piece| piece.pedal);
    let mut all = Vec::new();
    for (i, piece) in pieces.iter().enumerate() {
        let runs = piece.commands(pedal).map_err(|m| Mistake {
            key: format!("drive.{i}.{}", m.key),
            ..m
        })?;
        pedal = piece.pedal;
        all.push((piece.name.clone(), runs));
    }
    Ok(all)
}

/// Runs a drive from the steady point of its first command, with a sample every
/// `interval` seconds. `memory` is what the computer has learnt before it.
///
/// # Errors
/// There is no steady point to start from.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Reading, Tolerance, closure, drive};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let cars = Comparison::new(&car);
/// let steady = Command::pedal(250.0, 0.2);
/// let tip_in = Command { pedal: 1.0, pedal_rate: 8.0, ..steady };
/// let floored = Command::full_load(250.0);
/// let plan = [("tip-in".to_string(), vec![(0.2, steady), (0.1, tip_in), (1.0, floored)])];
/// let run = drive(&car, &plan, cars.memory(false), 0.1, Tolerance::default())?;
/// let boost = |sample: &sim::Sample| sample.readings.get(Reading::Boost);
/// assert!(boost(run.samples.last().unwrap()) > boost(&run.samples[0]));
/// // Nothing is lost on the way.
/// let books = closure(&car, &run.start, &run.end, &run.book);
/// assert!(books.intake.abs() < 1e-9 && books.exhaust.abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn drive(
    network: &Network<f64>,
    plan: &[(String, Vec<Run>)],
    memory: Memory,
    interval: f64,
    tolerance: Tolerance,
) -> Result<Trace, Failure> {
    let mut car = network.clone();
    car.command.memory = Some(memory);
    let first = first_of(&car, plan)?;
    // The leak opens on an engine that runs.
    let rest = State::from(first.start());
    let sound = steady(&first.healthy(), &rest).map_or(rest, |found| found.state);
    let start = steady(&first, &sound)?.state;
    Ok(driven(network, (plan, &[]), start, (interval, tolerance)))
}

impl Comparison {
    /// Runs a drive of either car from the steady point of its first command, as that has come
    /// about; what happens on the way happens to the faulty one, whose computer has learnt before
    /// it. A sample every `interval` seconds.
    ///
    /// # Errors
    /// There is no steady point to start from.
    pub fn drive(
        &self,
        faulty: bool,
        (plan, events): (&[(String, Vec<Run>)], &[Event]),
        pace: (f64, Tolerance),
    ) -> Result<Trace, Failure> {
        let whole = if faulty {
            self.network.clone()
        } else {
            self.network.healthy()
        };
        let mut happening = Happening::new(&whole, events);
        let before = match faulty && happening.is_still() {
            true => self.clone(),
            false => self.instead(&happening.car(&whole, 0.0)),
        };
        let sick = !before.network.is_healthy();
        let mut car = before.network.healthy();
        car.command.memory = Some(before.memory(false));
        let sound = first_of(&car, plan)?;
        let foot = steady(&sound, &State::from(sound.start()));
        let start = match sick {
            true => before
                .spot(sound.command, foot.ok().map(|found| found.state))
                .state()?,
            false => foot?.state,
        };
        Ok(driven(&whole, (plan, events), start, pace))
    }
}

/// The car at the first command of a drive.
fn first_of(car: &Network<f64>, plan: &[(String, Vec<Run>)]) -> Result<Network<f64>, Failure> {
    let first = plan.first().and_then(|(_, runs)| runs.first());
    let (_, command) = first.ok_or(Failure::StepTooSmall { time: 0.0 })?;
    Ok(car.with(Command {
        memory: car.command.memory,
        learning: car.command.learning,
        ..*command
    }))
}

/// Runs a drive from a state.
fn driven(
    whole: &Network<f64>,
    (plan, events): (&[(String, Vec<Run>)], &[Event]),
    start: State,
    (interval, tolerance): (f64, Tolerance),
) -> Trace {
    let learning = whole.command.learning;
    let mut happening = Happening::new(whole, events);
    let mut network = happening.car(whole, 0.0);
    network.command.reduced = false;
    let mut run = Live::new(start);
    let mut trace = Trace {
        samples: Vec::new(),
        pieces: Vec::new(),
        codes: Vec::new(),
        book: Book::zeros(),
        start,
        end: start,
        cost: Cost::default(),
        failure: None,
    };
    let mut end = 0.0;
    'drive: for (name, runs) in plan {
        trace.pieces.push((end, name.clone()));
        for &(duration, command) in runs {
            let reduced = network.command.reduced;
            network.command = Command {
                reduced,
                learning,
                ..command
            };
            end += duration;
            while run.time < end {
                if run.time >= happening.next() {
                    let orders = network.command;
                    network = happening.car(whole, run.time).with(orders);
                }
                let seen = |network: &Network<f64>, step: &Step| {
                    sample_step(&mut trace.samples, network, step, interval);
                };
                let until = end.min(happening.next());
                if let Err(failure) = run.on(&mut network, until, tolerance, seen) {
                    trace.failure = Some(failure);
                    break 'drive;
                }
            }
        }
    }
    Trace {
        codes: run.codes,
        book: run.book,
        end: run.state,
        cost: run.cost,
        ..trace
    }
}

fn sample_step(samples: &mut Vec<Sample>, network: &Network<f64>, step: &Step, interval: f64) {
    let end = step.from + step.length;
    // Sample times are counted, not added up, so that they do not drift.
    while samples.len() as f64 * interval <= end + 1e-9 * interval {
        let at = samples.len() as f64 * interval;
        samples.push(sample(network, at, &step.at(at.clamp(step.from, end))));
    }
}

fn sample(network: &Network<f64>, time: f64, x: &State) -> Sample {
    let moment = network.evaluate(&x.data.0[0]);
    Sample {
        time,
        readings: network.readings(&x.data.0[0], &moment),
    }
}

/// How well the books of a run close.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closure {
    /// Intake side: unexplained mass over the mass that passed.
    pub intake: f64,
    /// Exhaust side: unexplained mass over the mass that passed.
    pub exhaust: f64,
    /// Unexplained energy over the fuel's heat.
    pub energy: f64,
}

/// Books of a run from `start` to `end`: in less out less stored.
pub fn closure(network: &Network<f64>, start: &State, end: &State, book: &Book) -> Closure {
    let change = |indices: &[usize]| indices.iter().map(|&i| end[i] - start[i]).sum::<f64>();
    let intake = change(&[0, 3, 6, 9, 12, state::CAPSULE, state::CHAMBER]);
    let exhaust = change(&[15, 18]);
    let volumes: f64 = (0..VOLUMES)
        .map(|v| end[3 * v + 1] - start[3 * v + 1])
        .sum();
    let signal = network.signal_energy();
    let energy = volumes + signal * change(&[state::CAPSULE, state::CHAMBER]);
    debug_assert!(start.len() == STATES);
    let b = |i: usize| book[i];
    let intake_gap = b(ledger::METERED_IN) + b(ledger::UNMETERED_IN) + b(ledger::BLOW_BY)
        - b(ledger::LOST)
        - b(ledger::ENGINE_IN)
        - intake;
    let exhaust_gap = b(ledger::ENGINE_IN) + b(ledger::FUEL) + b(ledger::EXHAUST_IN)
        - b(ledger::BLOW_BY)
        - b(ledger::EXHAUST_LOST)
        - b(ledger::TAILPIPE)
        - exhaust;
    let energy_gap = b(ledger::ENTHALPY_IN) + b(ledger::TURBO_WORK)
        - b(ledger::ENGINE_WORK)
        - b(ledger::HEAT)
        - energy;
    let heat = b(ledger::FUEL) * network.vehicle.fuel.lower_heating_value;
    Closure {
        intake: intake_gap / b(ledger::METERED_IN).max(1e-9),
        exhaust: exhaust_gap / b(ledger::TAILPIPE).max(1e-9),
        energy: energy_gap / heat.max(1.0),
    }
}
