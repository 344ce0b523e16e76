//! A card of plausibility figures for any car, run sound, against typical ranges.
//!
//! Marks of the ranges: S the published text was seen, M from memory, P common
//! practice without a source, and "own file" where the car's own numbers are the measure.

use super::SURROUNDINGS;
use super::bench::Point;
use super::runs::{RPM, Tests, energy_split, spool_time};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::layout::{Node, state};
use crate::network::{Reading as R, Vehicle};
use crate::say::cautions as say;
use crate::solve::Failure;
use crate::study::running::dangers::Danger;
use crate::study::running::warnings::Warning;
use std::f64::consts::PI;

/// Whether a figure is typical.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flag {
    /// In the range.
    Typical,
    /// Below it.
    Low,
    /// Above it.
    High,
    /// Stated, not judged.
    Stated,
}

/// One figure of the card.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Name in files.
    pub key: &'static str,
    /// Words in tables.
    pub label: &'static str,
    /// The figure, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Decimals in tables.
    pub decimals: usize,
    /// Lowest typical value; none if the figure is only stated.
    pub typical: Option<[f64; 2]>,
    /// Mark and source of the range.
    pub source: &'static str,
}

impl Figure {
    /// Whether it is typical; what is not a number never is.
    pub fn flag(&self) -> Flag {
        match self.typical {
            None => Flag::Stated,
            Some([low, _]) if self.value < low => Flag::Low,
            Some([_, high]) if self.value <= high => Flag::Typical,
            Some(_) => Flag::High,
        }
    }
}

impl Flag {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Flag::Typical => "typical",
            Flag::Low => "low",
            Flag::High => "high",
            Flag::Stated => "stated",
        }
    }
}

/// What the healthy car shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The figures.
    pub figures: Vec<Figure>,
    /// Dangers at any of the points run.
    pub dangers: Vec<Danger>,
    /// Warnings at any of the points run, with its engine speed, rpm.
    pub warnings: Vec<(f64, Warning)>,
}

impl Card {
    /// Its warnings in words.
    pub fn said(&self) -> Vec<String> {
        let said = self.warnings.iter();
        said.map(|(rpm, warning)| say::at_engine_speed(*rpm, warning))
            .collect()
    }

    /// Figures outside their range.
    pub fn flagged(&self) -> impl Iterator<Item = &Figure> {
        let odd = |figure: &&Figure| matches!(figure.flag(), Flag::Low | Flag::High);
        self.figures.iter().filter(odd)
    }

    /// Whether every figure is typical and the model warns of nothing.
    pub fn sound(&self) -> bool {
        let calm = self.dangers.is_empty() && self.warnings.is_empty();
        calm && self.flagged().next().is_none()
    }
}

/// The card of `vehicle`, without leaks, in standard surroundings.
///
/// # Errors
/// The car has no steady running at one of the points.
///
/// # Examples
/// ```
/// let car = sim::size(&sim::TenNumbers::example())?.vehicle;
/// assert!(sim::card(&car)?.sound());
/// // An air filter that loses thirty times as much is no typical one.
/// let mut clogged = car;
/// clogged.filter.reference_loss *= 30.0;
/// assert!(!sim::card(&clogged)?.sound());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn card(vehicle: &Vehicle<f64>) -> Result<Card, Failure> {
    let tests = Tests::run(vehicle)?;
    let mut warnings = Vec::new();
    let mut dangers = Vec::new();
    for point in tests.all() {
        let rpm = point.is(R::EngineSpeed);
        let all = point.side.warnings.iter();
        warnings.extend(all.map(|warning| (rpm, warning.clone())));
        let all = point.side.dangers.iter().cloned();
        dangers.extend(all.map(|danger| danger.at(&say::rpm(rpm))));
    }
    let mut figures = Vec::new();
    engine_figures(vehicle, &tests, &mut figures);
    turbo_figures(vehicle, &tests, &mut figures);
    figures.push(Figure {
        key: "response_2000_rpm_s",
        label: "pedal down at 2000 rpm to 90 % torque",
        value: spool_time(vehicle)?,
        unit: "s",
        decimals: 2,
        typical: Some([0.1, 6.0]),
        source: "P",
    });
    Ok(Card {
        figures,
        dangers,
        warnings,
    })
}

macro_rules! figures {
    ( $list:expr; $( $key:literal $label:literal $value:expr, $unit:literal $decimals:literal, $typical:expr, $source:literal; )+ ) => {
        $( $list.push(Figure {
            key: $key, label: $label, value: $value, unit: $unit, decimals: $decimals,
            typical: $typical, source: $source,
        }); )+
    };
}

fn engine_figures(vehicle: &Vehicle<f64>, tests: &Tests, list: &mut Vec<Figure>) {
    let litres = vehicle.cylinders.displacement * 1e3;
    let (peak, rated) = (&tests.sweep[tests.torque], &tests.sweep[tests.power]);
    let watts = rated.torque() * rated.speed();
    let mean_pressure =
        peak.torque() / torque_of_mean_pressure(1.0, vehicle.cylinders.displacement);
    let split = energy_split(vehicle, &tests.middle).map(|share| 100.0 * share);
    let worst = |reading| {
        let all = tests.all().map(|point| point.is(reading));
        all.fold(0.0, |a: f64, b: f64| if b.abs() > a.abs() { b } else { a })
    };
    figures! { list;
        "peak_torque_nm" "highest torque" peak.torque(), "N m" 0, None, "";
        "peak_torque_rpm" "at" peak.speed() / RPM, "rpm" 0, None, "";
        "peak_power_kw" "highest power" watts / 1e3, "kW" 1, None, "";
        "peak_power_rpm" "at" rated.speed() / RPM, "rpm" 0, None, "";
        "torque_per_litre_nm" "torque per litre" peak.torque() / litres, "N m" 0, Some([100.0, 215.0]), "P";
        "power_per_litre_kw" "power per litre" watts / 1e3 / litres, "kW" 0, Some([40.0, 125.0]), "P";
        "mean_pressure_ratio" "brake mean pressure over manifold pressure" mean_pressure / peak.pressure(Node::Manifold), "" 1, Some([8.0, 12.0]), "M, heywood1988 ch. 2";
        "piston_speed_m_s" "mean piston speed at highest power" rated.speed() * vehicle.cylinders.stroke / PI, "m/s" 1, Some([8.0, 20.0]), "M, heywood1988 ch. 2";
        "idle_speed_rpm" "idle speed" tests.idle.speed() / RPM, "rpm" 0, Some([550.0, 1000.0]), "P";
        "idle_manifold_kpa" "manifold at idle (abs)" tests.idle.is(R::Manifold), "kPa" 1, Some([27.0, 40.0]), "P";
        "idle_air_per_litre_g_s" "air at idle per litre" tests.idle.is(R::EngineAir) / litres, "g/s" 2, Some([0.7, 2.5]), "P";
        "consumption_peak_torque_g_kwh" "BSFC at highest torque" peak.is(R::FuelConsumption), "g/kWh" 0, energy_band(vehicle), "P, of petrol";
        "consumption_peak_power_g_kwh" "BSFC at highest power" rated.is(R::FuelConsumption), "g/kWh" 0, energy_band(vehicle), "P, of petrol";
        "air_per_horsepower_g_s" "air per horsepower at highest power" rated.is(R::EngineAir) / (watts / 745.7), "g/s" 2, Some([0.7, 1.0]), "P";
        "brake_share_pct" "full load: heat to brake work" split[0], "%" 1, Some([23.0, 35.0]), "S, 29 ± 6";
        "coolant_share_pct" "full load: heat to coolant and oil" split[1], "%" 1, Some([21.5, 33.5]), "S, 27.5 ± 6";
        "exhaust_share_pct" "full load: heat to exhaust" split[2], "%" 1, Some([32.0, 44.0]), "S, 38 ± 6";
        "exhaust_k" "gas before turbine at highest power" rated.temperature(Node::Exhaust), "K" 0, Some([1150.0, 1250.0]), "M";
        "spark_retard_deg" "largest spark retard at full load" tests.full(|p| p.is(R::SparkRetard))[1], "deg" 1, Some([0.0, 20.0]), "P";
        "metering_error_pct" "largest metering error" worst(R::MeteringError), "%" 1, Some([-5.0, 5.0]), "P";
        "fuel_trim_pct" "largest fuel trim" worst(R::FuelTrim), "%" 1, Some([-5.0, 5.0]), "P";
    }
}

/// Typical brake specific fuel consumption at full load, g/kWh: 240 to 350 of petrol (42.9 MJ/kg),
/// the same heat of another fuel.
fn energy_band(vehicle: &Vehicle<f64>) -> Option<[f64; 2]> {
    Some([240.0, 350.0].map(|band| band * 42.9e6 / vehicle.fuel.lower_heating_value))
}

fn turbo_figures(vehicle: &Vehicle<f64>, tests: &Tests, list: &mut Vec<Figure>) {
    let (peak, rated) = (&tests.sweep[tests.torque], &tests.sweep[tests.power]);
    let ambient = SURROUNDINGS.pressure;
    let limit = vehicle.shaft.speed_limit;
    let shaft = tests.full(|p| p.side.state[state::SHAFT] / limit)[1];
    let wanted = vehicle.boost.wanted(peak.speed());
    let lack = tests.full(|p| vehicle.boost.wanted(p.speed()) - p.boost())[1];
    let before = rated.pressure(Node::Exhaust) / rated.pressure(Node::Manifold);
    figures! { list;
        "boost_peak_torque_kpa" "boost at highest torque (gauge)" peak.boost() / 1e3, "kPa" 1, Some([25.0, 200.0]), "P";
        "boost_miss_kpa" "boost there over its target" (peak.boost() - wanted) / 1e3, "kPa" 2, Some([-3.0, 3.0]), "own file";
        "boost_shortfall_kpa" "largest lack of boost at full load" lack / 1e3, "kPa" 1, Some([-5.0, 40.0]), "P";
        "duty_peak_torque_pct" "wastegate solenoid duty there" peak.is(R::WastegateDuty), "%" 0, Some([2.0, 92.0]), "P";
        "gate_peak_power_pct" "wastegate opening at highest power" rated.is(R::Wastegate), "%" 0, Some([5.0, 95.0]), "P";
        "turbo_speed_share_pct" "turbo speed, share of its limit" 100.0 * shaft, "%" 0, Some([50.0, 97.0]), "P";
        "surge_flow_ratio" "least surge margin, full load" tests.full(Point::surge_room)[0], "" 2, Some([1.05, 3.0]), "P";
        "surge_flow_ratio_torque" "surge margin at highest torque" peak.surge_room(), "" 2, Some([1.10, 4.0]), "P";
        "cooler_above_ambient_k" "cooler outlet over ambient, highest power" rated.temperature(Node::ColdPipe) - SURROUNDINGS.temperature, "K" 0, Some([8.0, 50.0]), "P";
        "inlet_depression_kpa" "inlet depression at highest power" rated.is(R::InletDepression), "kPa" 1, Some([1.5, 7.0]), "P";
        "back_pressure_kpa" "behind turbine (gauge), highest power" (rated.pressure(Node::Downpipe) - ambient) / 1e3, "kPa" 1, Some([8.0, 45.0]), "P";
        "exhaust_over_manifold" "turbine inlet over manifold pressure" before, "" 2, Some([0.8, 1.8]), "P";
    }
}
