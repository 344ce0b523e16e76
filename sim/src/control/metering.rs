//! How the engine computer counts the air: with a meter, or from manifold
//! pressure and temperature.
//!
//! A meter sits far from the cylinders: while pipes fill or empty it counts what
//! they do not get. So the computer follows the manifold pressure at once and
//! corrects that estimate slowly by its ratio to the meter's reading less what the
//! pipes store; in steady running it counts what the meter reads (the usual air-charge
//! observer; eriksson2014).

use crate::machine::cylinders::{filling, speed_density_flow};
use crate::scalar::{Over, Scalar};
use crate::smooth::positive_part;
use crate::{quantities, words};

words! {
    /// How the air is counted.
    pub enum Metering {
        /// By a mass air flow sensor behind the filter.
        AirFlowMeter = "air_flow_meter",
        /// From manifold pressure, temperature and a table of volumetric efficiency.
        SpeedDensity = "speed_density",
    }
}

/// Mole fraction of water vapour of the air that stands in a scenario which says nothing of it:
/// what [`humid_air`](crate::medium::atmosphere::humid_air) gives at 101,325 Pa, 20 °C and 40 %
/// (own choice: those who fit an engine computer do it in air of about such humidity; SAE J1349
/// corrects to 1 kPa of vapour in 100).
pub const STANDARD_WATER: f64 = 0.009_271_472_104_187_852;

quantities! {
    /// Sensors and tables the computer counts air with.
    pub struct Meter {
        /// reading over true flow of the mass air flow sensor
        meter_scale: Ratio [0.5, 1.5] = 1.0,
        /// the same at a large air flow (`high_flow`), over that at small ones
        high_flow_scale: Ratio [0.5, 1.5] = 1.0,
        /// air flow at which `high_flow_scale` holds; between, in proportion
        high_flow: MassFlow [5e-3, 2.0] = 0.1,
        /// largest air flow that the mass air flow sensor can read; it reads none below nothing
        range: MassFlow [0.02, 3.0] = 3.0,
        /// time constant of the meter
        time_constant: Time [0.002, 1.0] = 0.02,
        /// time constant with which the meter corrects the estimate by manifold pressure
        correction_time: Time [0.1, 20.0] = 1.0,
        /// air flow at which it does so half as fast; at less still slower
        correction_flow: MassFlow [1e-4, 0.1] = 0.01,
        /// water vapour that the engine computer takes the air to hold, moles a mole, for it has no sensor for it: 0 is dry; left out, what air of 20 degC and 40 % humidity holds at sea level
        assumed_water: Ratio [0.0, 0.05] = STANDARD_WATER,
        /// time constant of the intake temperature sensor
        temperature_time_constant: Time [0.05, 60.0] = 4.0,
        /// manifold pressure sensor reading minus true pressure
        pressure_offset: PressureDifference [-3e4, 3e4] = 0.0,
        /// how that error grows with the pressure: 0 for the same everywhere, 1 for one in proportion to it; stated at 100 kPa
        pressure_error_growth: Ratio [-2.0, 2.0] = 0.0,
        /// reading over true value of the table of volumetric efficiency
        filling_scale: Ratio [0.5, 1.5] = 1.0,
        /// exhaust pressure over ambient that the table of volumetric efficiency assumes at 600 rad/s, per pascal of manifold pressure over half ambient; proportional to speed
        assumed_back_pressure: Ratio [0.0, 3.0] = 0.95,
    }
}

/// What the computer knows when it computes air from speed and density.
#[derive(Clone, Copy, Debug)]
pub struct Charge<S> {
    /// Manifold pressure sensor, Pa absolute.
    pub pressure: S,
    /// Temperature of the charge as the computer works it out, K.
    pub temperature: S,
    /// Crank speed, rad/s.
    pub speed: S,
    /// Filling table at this speed.
    pub filling: S,
}

impl<P: Scalar> Meter<P> {
    /// What the mass air flow sensor comes to read of a flow of `air` (kg/s): within its range,
    /// and nothing where the air turns back (sensors that tell the direction read so). That dirt on
    /// a hot film dulls it the more, the more air passes, is common practice, no source, as is the
    /// former; in proportion: own choice.
    pub fn reading<S: Over<P>>(&self, air: S) -> S {
        let high = air / self.high_flow * (self.high_flow_scale - 1.0) + 1.0;
        let left = -(air * self.meter_scale * high) / self.range + 1.0;
        // Corners rounded so narrowly that within the range nothing is taken off.
        let below = (-positive_part(left, 1e-5) + 1.0) * self.range;
        positive_part(below, LEAST_READING)
    }

    /// Rate of the correction to the `estimate`, 1/s; `passing` is the meter's reading
    /// less what the pipes store (both kg/s).
    pub fn correction_rate<S: Over<P>>(&self, correction: S, passing: S, estimate: S) -> S {
        let estimate = positive_part(estimate, LEAST_ESTIMATE);
        let share = estimate / (estimate + self.correction_flow);
        let aim = (passing / estimate).min(S::constant(MOST_CORRECTION));
        (aim - correction) / self.correction_time * share
    }

    /// Air by speed and density, kg/s, of the `gas_constant`, J/(kg K), that the computer takes
    /// it to have.
    ///
    /// The table holds what a healthy engine breathes; it cannot know today's
    /// exhaust pressure, so it assumes one that rises with manifold pressure and speed.
    pub fn speed_density<S: Over<P>>(
        &self,
        charge: &Charge<S>,
        compression_ratio: P,
        displacement: P,
        gas_constant: P,
        ambient: f64,
    ) -> S {
        let load = positive_part(charge.pressure - 0.5 * ambient, 1e4);
        let exhaust = load * charge.speed / 600.0 * self.assumed_back_pressure + ambient;
        let volumetric = filling(charge.filling, compression_ratio, charge.pressure, exhaust);
        let density = charge.pressure / (charge.temperature * gas_constant);
        speed_density_flow(volumetric, density, displacement, charge.speed) * self.filling_scale
    }
}

/// Largest correction: what a computer may adapt is limited (common practice, no source).
/// Twice what the scale errors of meter and table come to; beyond, a sensor is broken.
const MOST_CORRECTION: f64 = 5.0;
/// Width, kg/s, over which the meter's reading is rounded at nothing.
const LEAST_READING: f64 = 2e-6;
/// Estimate, kg/s, below which the meter's correction is not trusted.
const LEAST_ESTIMATE: f64 = 1e-6;
