//! An engine that runs on while orders, air and faults change: a drive is run so, and so is
//! the engine of a lesson.

use crate::control::watchdogs::Clocks;
use crate::control::{Code, Command};
use crate::network::Network;
use crate::network::layout::state;
use crate::solve::implicit::{Cost, Integrator, Step, Tolerance};
use crate::solve::{Book, Failure, State};

/// Time between two rounds of the watchdogs' task, s.
const TASK: f64 = 0.01;

/// A running engine.
#[derive(Clone, Debug)]
pub struct Live {
    /// s since its start.
    pub time: f64,
    /// As it is now.
    pub state: State,
    /// Trouble codes set since its start: time, s, and code.
    pub codes: Vec<(f64, Code)>,
    /// Ledger since its start, kg and J.
    pub book: Book,
    /// What it cost.
    pub cost: Cost,
    clocks: Clocks,
    /// Rounds of the watchdogs' task so far.
    rounds: usize,
}

impl Live {
    /// An engine in this state, at time 0.
    pub fn new(state: State) -> Self {
        Self {
            time: 0.0,
            state,
            codes: Vec::new(),
            book: Book::zeros(),
            cost: Cost::default(),
            clocks: Clocks::default(),
            rounds: 0,
        }
    }

    /// Runs on to `end`, s, or to where a code reduces the torque, which is then ordered;
    /// `seen` sees every step.
    ///
    /// The watchdogs look every 10 ms. When a code reduces the torque, the step is taken
    /// again to end at that moment, so that the books close through it.
    ///
    /// # Errors
    /// The engine stalls, or the step becomes too small; time and state are those reached.
    pub fn on(
        &mut self,
        network: &mut Network<f64>,
        end: f64,
        tolerance: Tolerance,
        mut seen: impl FnMut(&Network<f64>, &Step),
    ) -> Result<(), Failure> {
        let still = network.clone();
        let mut engine = Integrator::new(&still, self.time, self.state, tolerance);
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
                        seen(&still, &step);
                        break;
                    }
                    seen(&still, &step);
                }
            }
        }
        self.time = engine.time;
        self.state = engine.state;
        self.book += engine.book;
        self.cost += engine.cost;
        outcome
    }

    /// Runs on for `duration`, s, while the pedal goes to `command.pedal` at its
    /// `pedal_rate`, 1/s at most.
    ///
    /// # Errors
    /// As [`on`](Self::on).
    pub fn follow(
        &mut self,
        network: &mut Network<f64>,
        command: Command,
        duration: f64,
        tolerance: Tolerance,
    ) -> Result<(), Failure> {
        let end = self.time + duration;
        while self.time < end {
            let left = command.pedal - self.state[state::PEDAL];
            let rate = command.pedal_rate.abs().max(1e-3);
            let ramp = left.abs() / rate;
            let moving = ramp > 1e-3 * TASK;
            network.command = Command {
                pedal_rate: if moving { rate.copysign(left) } else { 0.0 },
                reduced: network.command.reduced,
                ..command
            };
            let there = if moving { self.time + ramp } else { end };
            self.on(network, there.min(end), tolerance, |_, _| {})?;
        }
        Ok(())
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
            self.codes.extend(set.iter().map(|code| (time, *code)));
            if reduces && !network.command.reduced && time > step.from {
                return Some(time);
            }
        }
        None
    }
}
