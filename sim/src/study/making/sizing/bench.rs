//! The test bench: a healthy car at steady points, each point started from where
//! it last ran.

use super::SURROUNDINGS;
use super::draft::Load;
use crate::control::Command;
use crate::network::layout::{Node, state};
use crate::network::{Moment, Network, Reading, Vehicle};
use crate::solve::{Failure, State};
use crate::study::running::simulate::{Side, side};

/// One steady point.
pub(super) struct Point {
    /// What was asked.
    pub command: Command,
    /// What can be read, warnings, state.
    pub side: Side,
    /// Everything else.
    pub moment: Moment<f64>,
}

impl Point {
    /// A reading; not-a-number where it has no meaning.
    pub fn is(&self, reading: Reading) -> f64 {
        self.side.readings.get(reading).unwrap_or(f64::NAN)
    }

    /// Engine speed, rad/s.
    pub fn speed(&self) -> f64 {
        self.side.state[state::ENGINE]
    }

    /// Torque, N m.
    pub fn torque(&self) -> f64 {
        self.moment.streams.cycle.torque
    }

    /// Boost before the throttle, Pa over ambient.
    pub fn boost(&self) -> f64 {
        self.pressure(Node::ColdPipe) - SURROUNDINGS.pressure
    }

    /// Pa.
    pub fn pressure(&self, node: Node) -> f64 {
        self.moment.gases.at(node).pressure
    }

    /// K.
    pub fn temperature(&self, node: Node) -> f64 {
        self.moment.gases.at(node).temperature
    }

    /// Surge margin at the same wheel speed.
    pub fn surge_room(&self) -> f64 {
        self.is(Reading::SurgeMargin)
    }

    /// Share of the exhaust that goes past the turbine.
    pub fn past_turbine(&self) -> f64 {
        let s = &self.moment.streams;
        s.wastegate.mass / (s.wastegate.mass + s.turbine.mass)
    }

    /// What flows, for the rules.
    pub fn load(&self) -> Load {
        let s = &self.moment.streams;
        Load {
            air: s.compressor.mass,
            boost: self.boost(),
            compressor: [self.pressure(Node::Inlet), self.pressure(Node::HotPipe)],
            signal: self.pressure(Node::HotPipe) - SURROUNDINGS.pressure,
            across: self.pressure(Node::Exhaust) - self.pressure(Node::Downpipe),
            gate: self.side.state[state::WASTEGATE],
            duty: s.duty,
        }
    }
}

/// A bench that remembers where each command last settled.
#[derive(Default)]
pub(super) struct Bench {
    settled: Vec<(Command, State)>,
    /// Steady points run so far.
    pub runs: usize,
}

impl Bench {
    /// `vehicle` at `command`.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn run(&mut self, vehicle: &Vehicle<f64>, command: Command) -> Result<Point, Failure> {
        let network = Network::new(vehicle.clone(), Vec::new(), SURROUNDINGS, command);
        self.runs += 1;
        let known = self.settled.iter().position(|(c, _)| *c == command);
        let guess = known.map(|i| self.settled[i].1);
        let found = side(&network, guess.as_ref()).or_else(|failure| match guess {
            Some(_) => side(&network, None),
            None => Err(failure),
        })?;
        match known {
            Some(i) => self.settled[i].1 = found.state,
            None => self.settled.push((command, found.state)),
        }
        let moment = network.evaluate(&found.state.data.0[0]);
        Ok(Point {
            command,
            side: found,
            moment,
        })
    }

    /// `vehicle` at `command`, started from a neighbour if this one never ran.
    ///
    /// # Errors
    /// See [`Failure`].
    pub fn run_from(
        &mut self,
        vehicle: &Vehicle<f64>,
        command: Command,
        near: &Point,
    ) -> Result<Point, Failure> {
        if self.settled.iter().all(|(c, _)| *c != command) {
            let mut start = near.side.state;
            if let crate::control::SpeedMode::Held(speed) = command.speed {
                start[state::ENGINE] = speed;
            }
            self.settled.push((command, start));
        }
        self.run(vehicle, command)
    }
}
