//! What is run: 10 s at a held speed with a step of the pedal, 1000 outputs.

use falseair::input::read_toml;
use sim::control::{Command, SpeedMode};
use sim::leak::{RoundHole, Shape};
use sim::network::layout::{SCALE, STATES};
use sim::network::{Ambient, Leak, Network, Place, Vehicle};
use sim::solve::State;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;
use std::path::Path;

/// A length of the drive in which nothing jumps.
pub struct Piece {
    pub network: Network<f64>,
    pub from: f64,
    /// Times at which the state is wanted; the last is its end.
    pub times: Vec<f64>,
}

/// The drive.
pub struct Drive {
    pub start: State,
    pub pieces: Vec<Piece>,
}

/// What a solver made of it.
#[derive(Default)]
pub struct Run {
    pub outputs: Vec<State>,
    pub steps: usize,
    /// Right-hand sides in plain numbers.
    pub evaluations: usize,
    /// Exact Jacobians.
    pub jacobians: usize,
}

impl Run {
    /// Largest error of any state at any output, over the state or its scale.
    pub fn error(&self, reference: &Run) -> f64 {
        if self.outputs.len() != reference.outputs.len() {
            return f64::NAN;
        }
        let pairs = self.outputs.iter().zip(&reference.outputs);
        let errors = pairs.flat_map(|(x, exact)| {
            (0..STATES).map(|i| (x[i] - exact[i]).abs() / exact[i].abs().max(SCALE[i]))
        });
        errors.fold(
            0.0,
            |worst, e| if e > worst || e.is_nan() { e } else { worst },
        )
    }
}

pub fn rpm(n: f64) -> f64 {
    n * std::f64::consts::PI / 30.0
}

/// A hole of this diameter, m, in the cold pipe.
pub fn hole(diameter: f64) -> Leak<f64> {
    Leak {
        place: Place::ColdPipe,
        shape: Shape::RoundHole(RoundHole { diameter }),
    }
}

/// The demo car with such a hole.
pub fn network(diameter: f64, command: Command) -> Network<f64> {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios/vehicles/brindle-16.toml");
    let car: Vehicle = read_toml(&path).unwrap_or_else(|e| panic!("{e}"));
    let ambient = Ambient {
        pressure: 101_325.0,
        temperature: 293.15,
        water_mole_fraction: 0.01,
    };
    Network::new(car, vec![hole(diameter)], ambient, command)
}

impl Drive {
    /// Pedal from 15 % to the floor in 0.2 s, after 2 s.
    pub fn tip_in() -> Self {
        let command = |pedal, pedal_rate| Command {
            speed: SpeedMode::Held(rpm(2500.0)),
            pedal,
            pedal_rate,
            ..Command::IDLE
        };
        let plan = [
            (0.0, 2.0, command(0.15, 0.0)),
            (2.0, 2.2, command(1.0, 4.25)),
            (2.2, 10.0, command(1.0, 0.0)),
        ];
        let pieces: Vec<Piece> = plan
            .into_iter()
            .map(|(from, to, command)| {
                let count = ((to - from) / 0.01_f64).round() as usize;
                let time = |i| from + (to - from) * i as f64 / count as f64;
                Piece {
                    network: network(3e-3, command),
                    from,
                    times: (1..=count).map(time).collect(),
                }
            })
            .collect();
        let first = &pieces[0].network;
        let start = steady(first, &State::from(first.start())).expect("demo point");
        Self {
            start: start.state,
            pieces,
        }
    }

    /// By the project's own integrator.
    pub fn ours(&self, relative: f64) -> Option<Run> {
        let mut run = Run::default();
        let mut x = self.start;
        for piece in &self.pieces {
            let tolerance = Tolerance {
                relative,
                ..Tolerance::default()
            };
            let mut engine = Integrator::new(&piece.network, piece.from, x, tolerance);
            let end = *piece.times.last()?;
            let mut due = piece.times.iter().peekable();
            engine
                .run_to(end, |step| {
                    let to = step.from + step.length;
                    while let Some(time) = due.next_if(|time| **time <= to || to >= end) {
                        run.outputs.push(step.at(*time));
                    }
                })
                .ok()?;
            x = engine.state;
            run.steps += engine.cost.steps + engine.cost.rejected;
            run.evaluations += engine.cost.evaluations;
            run.jacobians += engine.cost.jacobians;
        }
        Some(run)
    }
}
