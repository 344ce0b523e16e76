//! A drive as a time trace.

use crate::control::watchdogs::Clocks;
use crate::control::{Code, Command, Memory};
use crate::network::layout::{STATES, VOLUMES, ledger, state};
use crate::network::{Network, Readings};
use crate::scenario::{Mistake, Pieces};
use crate::solve::implicit::{Cost, Integrator, Step, Tolerance};
use crate::solve::steady::steady;
use crate::solve::{Book, Failure, State};

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

/// Time between two rounds of the watchdogs' task, s.
const TASK: f64 = 0.01;

/// Runs a drive from the steady point of its first command, with a sample every
/// `interval` seconds. `memory` is what the computer has learnt before it.
///
/// The watchdogs look every 10 ms. When a code reduces the torque, the step is taken
/// again to end at that moment, so that the books close through it.
///
/// # Errors
/// There is no steady point to start from.
pub fn drive(
    network: &Network<f64>,
    plan: &[(String, Vec<Run>)],
    memory: Memory,
    interval: f64,
    tolerance: Tolerance,
) -> Result<Trace, Failure> {
    let Some(first) = plan.first().and_then(|(_, runs)| runs.first()) else {
        return Err(Failure::StepTooSmall { time: 0.0 });
    };
    let learning = network.command.learning;
    let mut network = network.with(Command {
        memory: Some(memory),
        learning,
        ..first.1
    });
    // As at an operating point: the leak opens on an engine that runs.
    let rest = State::from(network.start());
    let sound = steady(&network.healthy(), &rest).map_or(rest, |found| found.state);
    let start = steady(&network, &sound)?.state;
    let mut run = Running {
        trace: Trace {
            samples: Vec::new(),
            pieces: Vec::new(),
            codes: Vec::new(),
            book: Book::zeros(),
            start,
            end: start,
            cost: Cost::default(),
            failure: None,
        },
        clocks: Clocks::default(),
        rounds: 0,
        interval,
    };
    let mut time = 0.0;
    for (name, runs) in plan {
        run.trace.pieces.push((time, name.clone()));
        for &(duration, command) in runs {
            let reduced = network.command.reduced;
            network.command = Command {
                reduced,
                learning,
                ..command
            };
            let end = time + duration;
            while time < end {
                match run.on(&mut network, time, end, tolerance) {
                    Ok(reached) => time = reached,
                    Err(failure) => {
                        run.trace.failure = Some(failure);
                        return Ok(run.trace);
                    }
                }
            }
        }
    }
    Ok(run.trace)
}

/// A drive under way.
struct Running {
    trace: Trace,
    clocks: Clocks,
    /// Rounds of the watchdogs' task so far.
    rounds: usize,
    interval: f64,
}

impl Running {
    /// Runs on to `end`, or to where a code changes the command; the time reached.
    fn on(
        &mut self,
        network: &mut Network<f64>,
        from: f64,
        end: f64,
        tolerance: Tolerance,
    ) -> Result<f64, Failure> {
        let still = network.clone();
        let mut engine = Integrator::new(&still, from, self.trace.end, tolerance);
        let mut outcome = Ok(());
        while engine.time < end {
            let before = engine.clone();
            match engine.step(end) {
                Err(failure) => {
                    outcome = Err(failure);
                    break;
                }
                Ok(mut step) => {
                    if let Some(trip) = self.watch(&still, &step) {
                        network.command.reduced = true;
                        engine = before;
                        outcome = engine.run_to(trip, |shorter| step = shorter.clone());
                        self.sample(&still, &step);
                        break;
                    }
                    self.sample(&still, &step);
                }
            }
        }
        self.trace.end = engine.state;
        self.trace.book += engine.book;
        self.trace.cost += engine.cost;
        outcome.map(|()| engine.time)
    }

    /// The watchdogs' rounds within a step; the time at which one reduces the torque.
    fn watch(&mut self, network: &Network<f64>, step: &Step) -> Option<f64> {
        let end = step.from + step.length;
        while (self.rounds + 1) as f64 * TASK <= end {
            self.rounds += 1;
            let time = self.rounds as f64 * TASK;
            let x = step.at(time.max(step.from));
            let x = &x.data.0[0];
            let seen = network.observed(x, &network.evaluate(x));
            let watchdogs = &network.vehicle.watchdogs;
            let levels = watchdogs.levels(&seen, &network.command);
            let set = self.clocks.tick(watchdogs, &levels, TASK);
            let reduces = set.iter().any(|code| code.reduces_torque());
            self.trace
                .codes
                .extend(set.iter().map(|code| (time, *code)));
            if reduces && !network.command.reduced && time > step.from {
                return Some(time);
            }
        }
        None
    }

    fn sample(&mut self, network: &Network<f64>, step: &Step) {
        let end = step.from + step.length;
        let samples = &mut self.trace.samples;
        // Sample times are counted, not added up, so that they do not drift.
        while samples.len() as f64 * self.interval <= end + 1e-9 * self.interval {
            let at = samples.len() as f64 * self.interval;
            samples.push(sample(network, at, &step.at(at.clamp(step.from, end))));
        }
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
