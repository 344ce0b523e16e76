//! A car in the making: the ten numbers, and the free numbers that the match moves.

use super::request::TenNumbers;
use super::{Refusal, Unheld};
use crate::control::metering::STANDARD_WATER;
use crate::curve::Curve;
use crate::medium::Medium;
use crate::network::Ambient;

/// The air in which the car is matched: 20 °C, sea level, as damp as its computer takes it for.
pub const SURROUNDINGS: Ambient = Ambient {
    pressure: crate::constants::STANDARD_PRESSURE,
    temperature: 293.15,
    water_mole_fraction: STANDARD_WATER,
};

/// Past the rated speed: where, and the share of the rated boost still wanted there.
const LATE: [f64; 2] = [1.15, 0.75];

/// Rated power over the power at the peak-torque speed: up to which a common turbocharger does
/// both, and from which only the widest (own choice).
const STRETCH: [f64; 2] = [2.6, 3.7];

/// How well an engine breathes and burns, by what it makes of a litre: 50 kW a litre or less 0.3,
/// 100 kW a litre 0.8, at most 0.9 (common practice, no source).
fn likely_level(n: &TenNumbers<f64>) -> f64 {
    let kilowatts = 1e-6 * n.rated_power / n.displacement;
    (0.3 + 0.01 * (kilowatts - 50.0)).clamp(0.3, 0.9)
}

/// What flows at one full-load point, as far as it is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Load {
    /// Air, kg/s.
    pub air: f64,
    /// Boost before the throttle, Pa over ambient.
    pub boost: f64,
    /// Pressure at the compressor's inlet and outlet, Pa.
    pub compressor: [f64; 2],
    /// Pressure over ambient in the hot pipe where the capsule is fed, less that behind it, Pa.
    pub signal: f64,
    /// Pressure across the wastegate flap, Pa.
    pub across: f64,
    /// Wastegate opening, 0 to 1.
    pub gate: f64,
    /// Duty of the bleed valve.
    pub duty: f64,
}

/// The ten numbers and what is moved until the running car meets them.
#[derive(Clone, Debug)]
pub(super) struct Draft {
    pub numbers: TenNumbers<f64>,
    /// At the peak-torque speed.
    pub torque: Load,
    /// At the rated speed.
    pub rated: Load,
    /// At speeds between them.
    pub middle: Vec<Load>,
    /// Boost at the peak-torque speed, Pa gauge: as given, or as matched.
    pub peak_boost: f64,
    /// Share of the peak boost that the full stroke of the wastegate takes.
    pub stroke: f64,
    /// Flow coefficient at surge per unit of tip Mach number.
    pub surge_flow: f64,
    /// Share of the Otto efficiency that is kept.
    pub quality: f64,
    /// 0 to 1: from an engine that breathes and burns badly to one that does it well.
    pub level: f64,
    /// Filling at the rated speed over that of the common shape.
    pub rated_filling: f64,
    pub coolant_share: f64,
    pub full_load_lambda: f64,
    /// Diameter of the compressor wheel, m.
    pub wheel: f64,
    /// Turbine throat, m².
    pub throat: f64,
    /// Wastegate fully open, m².
    pub gate_area: f64,
    /// Spring force on the closed wastegate, N.
    pub preload: f64,
    /// Exhaust pressure that a filling table assumes.
    pub back_pressure: f64,
    /// Torque of the accessories over the common rule.
    pub accessories: f64,
    /// Boost wanted over engine speed, rad/s and Pa.
    pub boosts: Vec<[f64; 2]>,
    /// Place of the peak-torque speed among them; the last is the rated speed.
    pub peak: usize,
    /// Charge counted at that boost over engine speed, as far as it has been run.
    pub charges: Vec<[f64; 2]>,
}

/// Flow coefficient at surge per unit of tip Mach number: of the widest map, and of a common
/// wheel (watson1982: what a bleed slot over the inducer wins, order of magnitude).
pub(super) const SURGE_FLOW: [f64; 2] = [0.026, 0.045];

/// Share of the peak boost that the full stroke takes, and the largest: softer, the gate hunts
/// (a small turbocharger answers faster than a soft capsule).
pub(super) const STROKE: [f64; 2] = [0.45, 0.95];

/// Lambda at full load (common practice, no source).
pub(super) const FULL_LOAD_LAMBDA: f64 = 0.90;

/// Throat over rated air flow, m² s/kg: 340 mm² swallowed 135 g/s in a car whose torque peaks at
/// 2200 rpm of 5500.
pub(super) const THROAT: f64 = 340e-6 / 0.135;

/// Share of the fuel's heat that becomes brake work, assumed before anything runs
/// (280 g/kWh of petrol; common practice, no source).
const BRAKE_SHARE: f64 = 0.30;

impl Draft {
    /// The points of the vehicle file's boost target: speed, rad/s, and gauge boost, Pa.
    pub fn boost_target(&self) -> Vec<[f64; 2]> {
        let mut points = self.boosts.clone();
        if let Some([speed, boost]) = points.last().copied() {
            points.push([LATE[0] * speed, LATE[1] * boost]);
        }
        points
    }

    /// Between a common turbocharger's value and that of one stretched from much torque early to
    /// much power: by the rated power over that at the peak-torque speed, 2.6 to 3.7 (own choice).
    pub fn stretched(&self, [common, stretched]: [f64; 2]) -> f64 {
        let n = &self.numbers;
        let ratio = n.rated_power / (n.peak_torque * n.peak_torque_speed);
        let share = ((ratio - STRETCH[0]) / (STRETCH[1] - STRETCH[0])).clamp(0.0, 1.0);
        common + (stretched - common) * share
    }

    /// Highest boost wanted, Pa gauge.
    pub fn highest_boost(&self) -> f64 {
        self.boosts.iter().map(|point| point[1]).fold(0.0, f64::max)
    }

    /// Place of the rated speed among the boosts.
    pub fn rated_place(&self) -> usize {
        self.boosts.len().saturating_sub(1)
    }

    /// Stoichiometric air-fuel ratio of the fuel.
    pub fn air_fuel_ratio(&self) -> f64 {
        Medium::new(&self.numbers.fuel.fuel(), SURROUNDINGS.water_mole_fraction)
            .stoichiometric_air_fuel_ratio()
    }

    /// Charge wanted over engine speed, once it has been run.
    pub fn charges(&self) -> Result<Option<Curve<f64>>, Refusal> {
        if self.charges.is_empty() {
            return Ok(None);
        }
        let curve = Curve::new(self.charges.clone());
        curve
            .map(Some)
            .map_err(|why| Refusal::Part("boost.target_charge".into(), Unheld::Curve(why)))
    }

    /// The first draft, from the numbers alone.
    pub fn new(numbers: &TenNumbers<f64>) -> Self {
        let n = numbers.clone();
        let fuel = n.fuel.fuel();
        let ratio =
            Medium::new(&fuel, SURROUNDINGS.water_mole_fraction).stoichiometric_air_fuel_ratio();
        let air_per_work = 0.9 * ratio / (BRAKE_SHARE * fuel.lower_heating_value);
        let ambient = SURROUNDINGS.pressure;
        let peak_boost = n.peak_boost.unwrap_or_else(|| n.likely_boost());
        let load = |power: f64, boost: f64| Load {
            air: power * air_per_work,
            boost,
            compressor: [0.97 * ambient, 1.04 * (ambient + boost)],
            signal: 1.04 * boost,
            across: 1.1 * boost,
            gate: 0.4,
            duty: 0.4,
        };
        // Charge pressure goes about with the torque; a little more where the engine breathes worse.
        let charge = 1.05 * (ambient + peak_boost) * n.rated_torque() / n.peak_torque;
        let boost = (charge - ambient).clamp(0.4 * peak_boost, peak_boost);
        let rated = load(n.rated_power, n.rated_boost.unwrap_or(boost));
        Draft {
            torque: load(n.peak_torque * n.peak_torque_speed, peak_boost),
            rated,
            middle: vec![rated; 2],
            peak_boost,
            stroke: STROKE[0],
            surge_flow: SURGE_FLOW[1],
            quality: 0.8,
            level: likely_level(&n),
            rated_filling: 1.0,
            coolant_share: 0.235,
            full_load_lambda: n.full_load_lambda.unwrap_or(FULL_LOAD_LAMBDA),
            wheel: 0.0,
            throat: THROAT * rated.air,
            gate_area: 400e-6 * rated.air / 0.135,
            preload: 0.0,
            back_pressure: 0.95,
            accessories: 1.0,
            boosts: Vec::new(),
            peak: 0,
            charges: Vec::new(),
            numbers: n,
        }
    }
}
