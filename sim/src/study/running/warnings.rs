//! What a technician must be warned of at an operating point.

use crate::network::layout::{Node, state};
use crate::network::{Moment, Network};
use crate::solve::State;

/// Beyond the model, not dangerous: ends of warnings.
const BEYOND: [&str; 2] = ["extrapolated", "beyond the torque law's range"];

/// What a warning is about, without its numbers; none where it is about the model only.
pub(in crate::study) fn danger(warning: &str) -> Option<&str> {
    let said = warning.rsplit("reduce torque: ").next()?;
    let end = said.find(|c: char| c.is_ascii_digit() || "(:".contains(c));
    let about = said[..end.unwrap_or(said.len())].trim_end();
    (!BEYOND.iter().any(|end| said.ends_with(end))).then_some(about)
}

/// Speed over the limit from which an engine is driven beyond it, not kept at it (own choice:
/// the limiter keeps it within 2 %).
const OVER_REVVED: f64 = 1.03;

/// What is dangerous, or beyond the model, in this state; worded as cautions.
pub(in crate::study) fn warnings(
    network: &Network<f64>,
    x: &State,
    moment: &Moment<f64>,
) -> Vec<String> {
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
    let [speed, limit] = [x[state::ENGINE], v.speed_limit()].map(|s: f64| s * rpm);
    if speed > OVER_REVVED * limit {
        found.push(format!(
            "engine over its speed limit: {speed:.0} rpm, allowed {limit:.0} rpm: valves, rods and pistons are not made for it; do not run the engine like this"
        ));
    } else if s.computer.limited > 0.01 {
        found.push(format!(
            "engine at its speed limit: above {limit:.0} rpm the engine computer cuts the fuel, here {:.0} % of it; do not hold it there",
            100.0 * s.computer.limited
        ));
    }
    let boost = moment.gases.at(Node::ColdPipe).pressure - network.ambient.pressure;
    let wanted = v.boost.wanted(x[state::ENGINE]);
    if x[state::PEDAL] > 0.9 && boost > wanted.max(20e3) + 2.0 * v.watchdogs.overboost {
        found.push(format!(
            "boost {:.0} kPa where {:.0} kPa is wanted: pipes, engine and turbo are not made for it; do not run the engine like this",
            boost / 1e3,
            wanted / 1e3
        ));
    }
    let before_turbine = moment.gases.at(Node::Exhaust).temperature;
    if before_turbine > v.shaft.temperature_limit {
        found.push(format!(
            "exhaust {:.0} °C before the turbine, which bears {:.0} °C: do not hold this load",
            before_turbine - 273.15,
            v.shaft.temperature_limit - 273.15
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
