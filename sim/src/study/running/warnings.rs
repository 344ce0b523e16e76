//! What to beware of at an operating point beside its dangers.

use crate::control::SpeedMode;
use crate::network::layout::state;
use crate::network::{Moment, Network};
use crate::say::cautions as say;
use crate::solve::State;
use crate::study::running::dangers::OVER_REVVED;
use crate::words;
use std::f64::consts::PI;
use std::fmt;

words! {
    /// What a warning is about, without its numbers.
    pub enum Concern {
        /// The engine is kept at its speed limit by cutting the fuel
        SpeedLimit = "engine_at_speed_limit",
        /// With the pedal released the engine computer cuts the fuel and gives it back
        FuelCut = "surges_on_fuel_cut",
        /// Some working cycles do not burn
        Rough = "runs_rough",
        /// The compressor would surge
        Surge = "surge",
        /// Beyond the compressor's map
        ZeroHead = "past_zero_head",
        /// Spark beyond the range of the torque law
        Spark = "spark_far_retarded",
        /// The engine leaves this point by itself
        Leaves = "does_not_stay",
        /// A derivative holds on one side only
        OneSided = "one_sided",
    }
}

impl Concern {
    /// Whether it is about the engine; else about the model only.
    pub fn is_of_engine(self) -> bool {
        !matches!(self, Concern::ZeroHead | Concern::Spark | Concern::OneSided)
    }
}

/// A warning of an operating point, SI.
#[derive(Clone, Debug, PartialEq)]
pub enum Warning {
    /// Engine at its speed limit.
    SpeedLimit {
        /// The limit, rad/s.
        limit: f64,
        /// Share of the fuel that is cut.
        cut: f64,
    },
    /// Pedal released, engine so fast that fuel is cut and given back.
    FuelCut {
        /// Speed at which it is given back, rad/s.
        resume: f64,
        /// Speed at which it is cut, rad/s.
        cut: f64,
    },
    /// Share of the working cycles that do not burn.
    Rough(f64),
    /// Compressor left of its surge line.
    Surge,
    /// Compressor far past zero head.
    ZeroHead,
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
            Warning::SpeedLimit { .. } => Concern::SpeedLimit,
            Warning::FuelCut { .. } => Concern::FuelCut,
            Warning::Rough(_) => Concern::Rough,
            Warning::Surge => Concern::Surge,
            Warning::ZeroHead => Concern::ZeroHead,
            Warning::Spark(_) => Concern::Spark,
            Warning::Drifts | Warning::Swings => Concern::Leaves,
            Warning::OneSided { .. } => Concern::OneSided,
            Warning::IfNotReduced(warning) => warning.concern(),
        }
    }

    /// Whether it is about the engine; else about the model only.
    pub fn is_of_engine(&self) -> bool {
        self.concern().is_of_engine()
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let rpm = |speed: &f64| speed * 30.0 / PI;
        let said = match self {
            Warning::SpeedLimit { limit, cut } => say::engine_at_limit(rpm(limit), 100.0 * cut),
            Warning::FuelCut { resume, cut } => say::surges_on_fuel_cut(rpm(resume), rpm(cut)),
            Warning::Rough(share) => say::runs_rough(100.0 * share),
            Warning::Surge => say::left_of_surge_line().into(),
            Warning::ZeroHead => say::past_zero_head().into(),
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

/// Share of failing cycles from which an engine is felt to run rough (own choice).
const ROUGH: f64 = 0.01;

/// What to beware of, or beyond the model, in this state; dangers stand elsewhere
/// ([`dangers`](super::dangers)).
pub(in crate::study) fn warnings(
    network: &Network<f64>,
    x: &State,
    moment: &Moment<f64>,
) -> Vec<Warning> {
    let mut found = Vec::new();
    let v = &network.vehicle;
    let s = &moment.streams;
    let (speed, limit) = (x[state::ENGINE], v.speed_limit());
    if s.computer.limited > 0.01 && speed <= OVER_REVVED * limit {
        found.push(Warning::SpeedLimit {
            limit,
            cut: s.computer.limited,
        });
    }
    if network.command.speed == SpeedMode::Free && s.computer.overrun > 0.01 {
        let (resume, cut) = (
            v.fuelling.overrun_resume_speed,
            v.fuelling.overrun_cut_speed,
        );
        found.push(Warning::FuelCut { resume, cut });
    }
    let misfires = 1.0 - s.cycle.burned;
    if misfires > ROUGH && s.cycle.fired > 0.01 {
        found.push(Warning::Rough(misfires));
    }
    if s.stage.flow_coefficient < s.stage.surge_coefficient {
        found.push(Warning::Surge);
    }
    if s.stage.flow_coefficient > 1.15 * s.stage.choke_coefficient {
        found.push(Warning::ZeroHead);
    }
    if s.cycle.spark_retard > 35.0 {
        found.push(Warning::Spark(s.cycle.spark_retard));
    }
    found
}
