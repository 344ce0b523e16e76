//! Healthy beside faulty at an operating point.

use crate::control::{Command, ThrottleMode};
use crate::flow::Regime;
use crate::network::layout::{Node, state};
use crate::network::{AirLedger, Moment, Network, Place, Readings};
use crate::solve::steady::steady;
use crate::solve::{Failure, State};

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
#[derive(Clone, Debug)]
pub struct Side {
    /// What can be read.
    pub readings: Readings<f64>,
    /// Where the air goes.
    pub ledger: AirLedger,
    /// What its leaks do.
    pub leaks: Vec<LeakReading>,
    /// Conditions outside what the model, or the engine, is made for.
    pub warnings: Vec<String>,
    /// The state itself.
    pub state: State,
}

/// Healthy and faulty at one point.
#[derive(Clone, Debug)]
pub struct PointResult {
    /// What the point is called.
    pub name: String,
    /// Without the leaks.
    pub healthy: Result<Side, Failure>,
    /// With them; none when there are none.
    pub faulty: Option<Result<Side, Failure>>,
}

/// Largest torque error, N m, of a driver who holds his torque.
const TORQUE_HELD: f64 = 0.05;

/// One engine at the steady point of its command, from `guess` or from rest.
///
/// # Errors
/// See [`Failure`].
pub fn side(network: &Network<f64>, guess: Option<&State>) -> Result<Side, Failure> {
    let rest = State::from(network.start());
    let found = steady(network, guess.unwrap_or(&rest))?;
    let x = found.state;
    let moment = network.evaluate(&x.data.0[0]);
    if let ThrottleMode::Torque(wanted) = network.command.throttle {
        let got = moment.streams.cycle.torque;
        if (got - wanted).abs() > TORQUE_HELD {
            return Err(Failure::Unreachable { wanted, got });
        }
    }
    Ok(Side {
        readings: network.readings(&x.data.0[0], &moment),
        ledger: network.air_ledger(&moment),
        leaks: leak_readings(network, &moment),
        warnings: warnings(network, &x, &moment),
        state: x,
    })
}

/// Healthy and faulty at one command. The faulty engine starts from the healthy
/// point, as a leak that opens would.
pub fn point(network: &Network<f64>, name: &str, command: Command) -> PointResult {
    let faulty = network.with(command);
    let healthy = side(&faulty.healthy(), None);
    let guess = healthy.as_ref().ok().map(|side| side.state);
    PointResult {
        name: name.to_string(),
        faulty: (!network.leaks.is_empty()).then(|| side(&faulty, guess.as_ref())),
        healthy,
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

fn warnings(network: &Network<f64>, x: &State, moment: &Moment<f64>) -> Vec<String> {
    let mut found = Vec::new();
    let v = &network.vehicle;
    let s = &moment.streams;
    let rpm = 30.0 / std::f64::consts::PI;
    if x[state::SHAFT] > v.shaft.speed_limit {
        found.push(format!(
            "turbo over its speed limit: {:.0} krpm, allowed {:.0} krpm; do not run the engine like this",
            x[state::SHAFT] * rpm / 1e3,
            v.shaft.speed_limit * rpm / 1e3
        ));
    }
    let boost = moment.gases.at(Node::ColdPipe).pressure - network.ambient.pressure;
    let wanted = v.boost.wanted(x[state::ENGINE]);
    if x[state::PEDAL] > 0.9 && boost > 1.3 * wanted.max(20e3) {
        found.push(format!(
            "boost {:.0} kPa where {:.0} kPa is wanted: the engine computer of a real car would cut it, this one does not yet; do not run the engine like this",
            boost / 1e3,
            wanted / 1e3
        ));
    }
    if s.stage.flow_coefficient < s.stage.surge_coefficient {
        found.push("compressor left of its surge line: the real one would surge here".into());
    }
    if s.stage.flow_coefficient > 1.15 * s.stage.choke_coefficient {
        found.push("compressor far past zero head: extrapolated".into());
    }
    let retard = s.cycle.spark_retard;
    if x[state::PEDAL] > 0.5
        && s.cycle.lambda > 1.02
        && moment.gases.at(Node::Manifold).pressure > network.ambient.pressure * 0.95
    {
        found.push(format!(
            "lean at full load (lambda {:.2}): knock and burnt valves or pistons threaten; do not run the engine like this",
            s.cycle.lambda
        ));
    }
    if s.cycle.lambda > v.cylinders.lean_limit {
        found.push(format!(
            "mixture too lean to burn well (lambda {:.2}): misfire",
            s.cycle.lambda
        ));
    }
    if s.cycle.lambda < 0.6 {
        found.push(format!(
            "mixture too rich to burn (lambda {:.2}): raw fuel reaches the exhaust",
            s.cycle.lambda
        ));
    }
    if retard > 35.0 {
        found.push(format!(
            "spark retarded {retard:.0} deg: beyond the torque law's range"
        ));
    }
    found
}
