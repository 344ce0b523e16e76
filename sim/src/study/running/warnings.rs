//! What a technician must be warned of at an operating point.

use crate::network::layout::{Node, state};
use crate::network::{Moment, Network};
use crate::say::cautions as say;
use crate::solve::State;
use crate::words;
use std::f64::consts::PI;
use std::fmt;

/// Speed over the limit from which an engine is driven beyond it, not kept at it (own choice:
/// the limiter keeps it within 2 %).
const OVER_REVVED: f64 = 1.03;

words! {
    /// What a warning is about, without its numbers.
    pub enum Concern {
        /// The turbocharger turns faster than it may
        TurboSpeed = "turbo_over_speed",
        /// The engine is driven faster than it may turn
        EngineSpeed = "engine_over_speed",
        /// The engine is kept at its speed limit by cutting the fuel
        SpeedLimit = "engine_at_speed_limit",
        /// Boost far above what is wanted
        Boost = "over_boosted",
        /// Exhaust before the turbine hotter than it bears
        ExhaustHeat = "exhaust_too_hot",
        /// The compressor would surge
        Surge = "surge",
        /// Beyond the compressor's map
        ZeroHead = "past_zero_head",
        /// A lean mixture under load
        LeanUnderLoad = "lean_at_full_load",
        /// A mixture too lean to burn
        TooLean = "too_lean_to_burn",
        /// A mixture too rich to burn
        TooRich = "too_rich_to_burn",
        /// Spark beyond the range of the torque law
        Spark = "spark_far_retarded",
        /// The engine leaves this point by itself
        Leaves = "does_not_stay",
        /// A derivative holds on one side only
        OneSided = "one_sided",
    }
}

impl Concern {
    /// Whether engine or people are endangered; else it is about the model only.
    pub fn is_danger(self) -> bool {
        !matches!(self, Concern::ZeroHead | Concern::Spark | Concern::OneSided)
    }
}

/// A warning of an operating point, SI.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// Turbocharger over its speed limit, rad/s.
    TurboSpeed {
        /// Its speed.
        speed: f64,
        /// Its limit.
        limit: f64,
    },
    /// Engine over its speed limit, rad/s.
    EngineSpeed {
        /// Its speed.
        speed: f64,
        /// Its limit.
        limit: f64,
    },
    /// Engine at its speed limit.
    SpeedLimit {
        /// The limit, rad/s.
        limit: f64,
        /// Share of the fuel that is cut.
        cut: f64,
    },
    /// More boost than is wanted, Pa gauge.
    Boost {
        /// What there is.
        boost: f64,
        /// What is wanted.
        wanted: f64,
    },
    /// Exhaust hotter than the turbine bears, K.
    ExhaustHeat {
        /// Before the turbine.
        found: f64,
        /// What it bears.
        bears: f64,
    },
    /// Compressor left of its surge line.
    Surge,
    /// Compressor far past zero head.
    ZeroHead,
    /// Lean under load, at this lambda.
    LeanUnderLoad(f64),
    /// Too lean to burn well, at this lambda.
    TooLean(f64),
    /// Too rich to burn, at this lambda.
    TooRich(f64),
    /// Spark retarded so far, degrees.
    Spark(f64),
    /// Pushed a little, the engine drifts away.
    Drifts,
    /// Pushed a little, the engine swings away.
    Swings,
    /// A derivative is one-sided: an integrator stands at its stop, or near it.
    OneSided {
        /// Which.
        what: String,
        /// Whether it stands there.
        at_stop: bool,
    },
    /// What would be if a code did not reduce the torque.
    IfNotReduced(Box<Warning>),
}

impl Warning {
    /// What it is about.
    pub fn concern(&self) -> Concern {
        match self {
            Warning::TurboSpeed { .. } => Concern::TurboSpeed,
            Warning::EngineSpeed { .. } => Concern::EngineSpeed,
            Warning::SpeedLimit { .. } => Concern::SpeedLimit,
            Warning::Boost { .. } => Concern::Boost,
            Warning::ExhaustHeat { .. } => Concern::ExhaustHeat,
            Warning::Surge => Concern::Surge,
            Warning::ZeroHead => Concern::ZeroHead,
            Warning::LeanUnderLoad(_) => Concern::LeanUnderLoad,
            Warning::TooLean(_) => Concern::TooLean,
            Warning::TooRich(_) => Concern::TooRich,
            Warning::Spark(_) => Concern::Spark,
            Warning::Drifts | Warning::Swings => Concern::Leaves,
            Warning::OneSided { .. } => Concern::OneSided,
            Warning::IfNotReduced(warning) => warning.concern(),
        }
    }

    /// Whether engine or people are endangered; else it is about the model only.
    pub fn is_danger(&self) -> bool {
        self.concern().is_danger()
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let rpm = |speed: &f64| speed * 30.0 / PI;
        let krpm = |speed: &f64| rpm(speed) / 1e3;
        let celsius = |kelvin: &f64| kelvin - 273.15;
        let said = match self {
            Warning::TurboSpeed { speed, limit } => say::turbo_over_speed(krpm(speed), krpm(limit)),
            Warning::EngineSpeed { speed, limit } => say::engine_over_speed(rpm(speed), rpm(limit)),
            Warning::SpeedLimit { limit, cut } => say::engine_at_limit(rpm(limit), 100.0 * cut),
            Warning::Boost { boost, wanted } => say::over_boosted(boost / 1e3, wanted / 1e3),
            Warning::ExhaustHeat { found, bears } => {
                say::exhaust_too_hot(celsius(found), celsius(bears))
            }
            Warning::Surge => say::left_of_surge_line().into(),
            Warning::ZeroHead => say::past_zero_head().into(),
            Warning::LeanUnderLoad(lambda) => say::lean_at_full_load(lambda),
            Warning::TooLean(lambda) => say::too_lean_to_burn(lambda),
            Warning::TooRich(lambda) => say::too_rich_to_burn(lambda),
            Warning::Spark(degrees) => say::spark_far_retarded(degrees),
            Warning::Drifts => say::drifts_away().into(),
            Warning::Swings => say::swings_away().into(),
            Warning::OneSided { what, at_stop } => say::one_sided(match at_stop {
                true => say::at_stop(what),
                false => say::near_stop(what),
            }),
            Warning::IfNotReduced(warning) => say::if_not_reduced(warning),
        };
        f.write_str(&said)
    }
}

/// What is dangerous, or beyond the model, in this state.
pub(in crate::study) fn warnings(
    network: &Network<f64>,
    x: &State,
    moment: &Moment<f64>,
) -> Vec<Warning> {
    let mut found = Vec::new();
    let v = &network.vehicle;
    let s = &moment.streams;
    let (shaft, fastest) = (x[state::SHAFT], v.shaft.speed_limit);
    if shaft > fastest {
        found.push(Warning::TurboSpeed {
            speed: shaft,
            limit: fastest,
        });
    }
    let (speed, limit) = (x[state::ENGINE], v.speed_limit());
    if speed > OVER_REVVED * limit {
        found.push(Warning::EngineSpeed { speed, limit });
    } else if s.computer.limited > 0.01 {
        found.push(Warning::SpeedLimit {
            limit,
            cut: s.computer.limited,
        });
    }
    let boost = moment.gases.at(Node::ColdPipe).pressure - network.ambient.pressure;
    let wanted = v.boost.wanted(speed);
    if x[state::PEDAL] > 0.9 && boost > wanted.max(20e3) + 2.0 * v.watchdogs.overboost {
        found.push(Warning::Boost { boost, wanted });
    }
    let before_turbine = moment.gases.at(Node::Exhaust).temperature;
    if before_turbine > v.shaft.temperature_limit {
        found.push(Warning::ExhaustHeat {
            found: before_turbine,
            bears: v.shaft.temperature_limit,
        });
    }
    if s.stage.flow_coefficient < s.stage.surge_coefficient {
        found.push(Warning::Surge);
    }
    if s.stage.flow_coefficient > 1.15 * s.stage.choke_coefficient {
        found.push(Warning::ZeroHead);
    }
    let lambda = s.cycle.lambda;
    if x[state::PEDAL] > 0.5
        && lambda > 1.02
        && moment.gases.at(Node::Manifold).pressure > network.ambient.pressure * 0.95
    {
        found.push(Warning::LeanUnderLoad(lambda));
    }
    if lambda > v.cylinders.lean_limit {
        found.push(Warning::TooLean(lambda));
    }
    if lambda < 0.6 {
        found.push(Warning::TooRich(lambda));
    }
    if s.cycle.spark_retard > 35.0 {
        found.push(Warning::Spark(s.cycle.spark_retard));
    }
    found
}
