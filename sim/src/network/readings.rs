//! What can be read off the running engine, in the units the trade reads.
//!
//! One table: key, label, unit, number of decimals. Values are computed in the
//! model's scalar, so that their derivatives are exact too.

use super::layout::{Node, ledger, state};
use super::{Moment, Network, Streams};
use crate::control::Metering;
use crate::control::watchdogs::Observed;
use crate::machine::cylinders::Cycle;
use crate::machine::standards::absolute_load;
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use crate::smooth::step;
use std::f64::consts::PI;

/// One reading's name and form.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// Which.
    pub reading: Reading,
    /// Key in files.
    pub key: &'static str,
    /// Words in tables.
    pub label: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Decimals in tables.
    pub decimals: usize,
}

macro_rules! readings {
    ( $( $(#[doc = $doc:literal])+ $name:ident: $key:literal $label:literal $unit:literal $decimals:literal ),+ $(,)? ) => {
        /// A reading.
        ///
        /// # Examples
        /// ```
        /// use sim::Reading;
        /// let form = &sim::network::readings::FORMS[Reading::FuelTrim as usize];
        /// assert_eq!((form.key, form.unit), ("fuel_trim_pct", "%"));
        /// ```
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Reading { $( $(#[doc = $doc])+ $name ),+ }

        /// Every reading's form, in order.
        pub const FORMS: &[Form] = &[ $( Form { reading: Reading::$name, key: $key, label: $label, unit: $unit, decimals: $decimals } ),+ ];

        /// Every reading, in order.
        pub const ALL: &[Reading] = &[ $( Reading::$name ),+ ];
    };
}

readings! {
    /// Crank speed.
    EngineSpeed: "engine_speed_rpm" "engine speed" "rpm" 0,
    /// Air as the engine computer counts it.
    MeteredAir: "metered_air_g_s" "metered air" "g/s" 2,
    /// Air that reaches the cylinders with its oxygen unburned.
    EngineAir: "engine_air_g_s" "air into engine" "g/s" 2,
    /// 100 (engine air / metered air − 1): positive is lean before trim.
    MeteringError: "metering_error_pct" "metering error" "%" 1,
    /// Mixture in the cylinders, those without fuel left aside.
    Lambda: "lambda" "lambda in cylinders" "" 3,
    /// Mixture as the oxygen sensor reads it.
    LambdaSensor: "lambda_sensor" "lambda at sensor" "" 3,
    /// All fuel added by trims, long-term times short-term.
    FuelTrim: "fuel_trim_pct" "fuel trim" "%" 1,
    /// Short-term trim.
    ShortTrim: "short_trim_pct" "short-term trim" "%" 1,
    /// Long-term trim in force.
    LongTrim: "long_trim_pct" "long-term trim" "%" 1,
    /// Pressure before the throttle over ambient, by a gauge.
    Boost: "boost_kpa" "boost (gauge)" "kPa" 1,
    /// The same in psi.
    BoostPsi: "boost_psi" "boost (gauge)" "psi" 2,
    /// The same as the boost sensor reads it.
    BoostSensor: "boost_sensor_kpa" "boost by sensor" "kPa" 1,
    /// Manifold pressure, absolute, as its sensor reads it.
    Manifold: "manifold_kpa" "manifold (abs)" "kPa" 1,
    /// Counted air a cycle over the air that fills the cylinders at 1.184 g/L.
    AbsoluteLoad: "absolute_load_pct" "absolute load" "%" 1,
    /// Manifold gas temperature as its sensor reads it.
    IntakeTemperature: "intake_temp_c" "intake temperature" "°C" 0,
    /// Turbocharger speed.
    ShaftSpeed: "shaft_krpm" "turbo speed" "krpm" 1,
    /// Wastegate opening.
    Wastegate: "wastegate_pct" "wastegate opening" "%" 1,
    /// Duty of the solenoid that bleeds the wastegate's signal; never below 0.
    WastegateDuty: "wastegate_solenoid_duty_pct" "wastegate solenoid duty" "%" 1,
    /// Pedal.
    Pedal: "pedal_pct" "pedal" "%" 0,
    /// Road speed.
    RoadSpeed: "vehicle_speed_km_h" "road speed" "km/h" 0,
    /// Throttle opening.
    Throttle: "throttle_pct" "throttle opening" "%" 1,
    /// Crankshaft torque.
    Torque: "torque_nm" "torque" "N m" 1,
    /// Crankshaft power.
    Power: "power_kw" "power" "kW" 1,
    /// Fuel.
    Fuel: "fuel_g_s" "fuel" "g/s" 3,
    /// Brake specific fuel consumption (BSFC): fuel over power.
    FuelConsumption: "bsfc_g_kwh" "brake specific fuel" "g/kWh" 0,
    /// Gas before the turbine.
    ExhaustTemperature: "exhaust_temp_c" "exhaust temperature" "°C" 0,
    /// Pressure before the turbine over ambient.
    ExhaustPressure: "exhaust_pressure_kpa" "exhaust (gauge)" "kPa" 1,
    /// Inlet duct pressure below ambient.
    InletDepression: "inlet_depression_kpa" "inlet depression" "kPa" 2,
    /// Crankcase pressure over ambient.
    CrankcasePressure: "crankcase_kpa" "crankcase (gauge)" "kPa" 2,
    /// Spark retard from best torque timing.
    SparkRetard: "spark_retard_deg" "spark retard" "deg" 1,
    /// Flow through the compressor, negative when it turns round.
    CompressorFlow: "compressor_flow_g_s" "compressor flow" "g/s" 2,
    /// Opening of the compressor bypass valve.
    RecirculationValve: "recirculation_valve_pct" "compressor bypass valve" "%" 1,
    /// Compressor flow over that at the surge line of the same speed: below 1 it surges.
    SurgeMargin: "surge_flow_ratio" "surge margin" "" 2,
    /// Gas before the catalyst, behind the turbine.
    CatalystTemperature: "catalyst_temp_c" "gas before the catalyst" "°C" 0,
    /// Gas behind the catalyst, in which what the cylinders left unburned has burned; what little
    /// a healthy engine leaves is not counted.
    CatalystOut: "catalyst_out_temp_c" "gas behind the catalyst" "°C" 0,
    /// Share of the working cycles that get fuel and do not burn it.
    Misfire: "misfire_pct" "misfires" "%" 1,
}

impl Reading {
    /// A value, in this reading's own unit, in words: `metered air 2.01 g/s`. Zero has no sign.
    pub fn said(self, value: f64) -> String {
        let form = &FORMS[self as usize];
        let fine = 10f64.powi(form.decimals as i32);
        let value = (self.within(value) * fine).round() / fine + 0.0;
        let said = format!("{} {value:.*} {}", form.label, form.decimals, form.unit);
        said.trim_end().into()
    }

    /// A value that was extrapolated, within what the reading can be: a share that is opened or
    /// driven is never below 0.
    pub fn within(self, value: f64) -> f64 {
        match self {
            Reading::WastegateDuty
            | Reading::Wastegate
            | Reading::Throttle
            | Reading::Pedal
            | Reading::RecirculationValve
            | Reading::Misfire => value.max(0.0),
            _ => value,
        }
    }
}

/// Number of readings.
pub const READINGS: usize = FORMS.len();

/// Lambda of all cycles together from which no fuel to speak of is injected.
const NO_FUEL: f64 = 20.0;

/// Below this count of the air, kg/s, its error means nothing.
const LEAST_COUNTED: f64 = 1e-4;

/// Below this power, W, brake specific fuel consumption means nothing.
const LEAST_POWER: f64 = 500.0;

/// All readings at one moment, in the order of [`FORMS`]; not-a-number where a
/// reading has no meaning (see [`Readings::get`]).
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Reading};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let cars = Comparison::new(&car);
/// let idle = cars.point("", Command::IDLE).healthy?.readings;
/// // No work, so no brake specific fuel consumption.
/// assert_eq!(idle.get(Reading::FuelConsumption), None);
/// // A throttled manifold is below the atmosphere, kPa.
/// assert!(idle.get(Reading::Manifold).unwrap() < 60.0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Readings<S> {
    /// The values.
    pub values: [S; READINGS],
}

impl<S: Scalar> Readings<S> {
    /// A reading, if it has a meaning here (no brake specific fuel consumption without work).
    pub fn get(&self, reading: Reading) -> Option<S> {
        let value = self.values[reading as usize];
        value.value().is_finite().then_some(value)
    }
}

/// The air ledger at one moment, g/s.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Leak, Place};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let split = car.leaking(vec![Leak::hole(Place::HotPipe, 6e-3)]);
/// let full = Comparison::new(&split).point("", Command::full_load(366.5));
/// let books = full.faulty.unwrap()?.ledger;
/// let gone = books.metered_in + books.unmetered_in + books.blow_by - books.engine;
/// assert!((gone - books.lost).abs() < 1e-6, "{books:?}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirLedger {
    /// Through the meter.
    pub metered_in: f64,
    /// Into the intake side past the meter.
    pub unmetered_in: f64,
    /// Out of the intake side.
    pub lost: f64,
    /// Back from boost to the inlet duct.
    pub recirculated: f64,
    /// Past the rings into the crankcase, and so back to the intake side.
    pub blow_by: f64,
    /// Into the cylinders.
    pub engine: f64,
    /// Into the exhaust through leaks.
    pub exhaust_in: f64,
    /// Out of the exhaust through leaks.
    pub exhaust_lost: f64,
    /// In less out less what is stored: what the books fail to explain.
    pub closure: f64,
}

/// Gas before a catalyst, °C, between which it goes out and is alight (heywood1988 section 11.6:
/// light-off at 250 to 300 °C, from memory).
const LIGHT_OFF: [f64; 2] = [220.0, 300.0];
const KILO: f64 = 1e3;
const RPM: f64 = 30.0 / PI;
const PSI: f64 = 6_894.757_293_168;
const ICE: f64 = 273.15;

impl<P: Scalar> Network<P> {
    /// Readings at state `x` with everything [`evaluate`](Network::evaluate) found there.
    pub fn readings<S: Over<P>>(&self, x: &[S], moment: &Moment<S>) -> Readings<S> {
        use Reading as R;
        let s = &moment.streams;
        let gas = |node| moment.gases.at(node);
        let gauge = |node| gas(node).pressure - self.ambient.pressure;
        let cycle = &s.cycle;
        let mut values = [S::constant(f64::NAN); READINGS];
        let mut set = |reading: Reading, value: S| values[reading as usize] = value;
        let power = cycle.torque * x[state::ENGINE];
        set(R::EngineSpeed, x[state::ENGINE] * RPM);
        let counted = self.counted(x, s);
        set(R::MeteredAir, counted * KILO);
        set(R::EngineAir, cycle.air * KILO);
        if counted.value() > LEAST_COUNTED {
            set(R::MeteringError, (cycle.air / counted - 1.0) * 100.0);
        }
        if cycle.lambda.value() < NO_FUEL * cycle.fired.value() {
            set(R::Lambda, cycle.lambda);
        }
        set(R::LambdaSensor, x[state::OXYGEN]);
        let trims = &s.computer.trims;
        set(R::FuelTrim, trims.total() * 100.0);
        set(R::ShortTrim, trims.short * 100.0);
        set(R::LongTrim, trims.long * 100.0);
        set(R::Boost, gauge(Node::ColdPipe) / KILO);
        set(R::BoostPsi, gauge(Node::ColdPipe) / PSI);
        set(R::BoostSensor, s.computer.boost / KILO);
        set(R::Manifold, s.computer.manifold / KILO);
        let load = absolute_load(
            counted,
            x[state::ENGINE],
            self.vehicle.cylinders.displacement,
        );
        set(R::AbsoluteLoad, load * 100.0);
        set(R::Pedal, x[state::PEDAL] * 100.0);
        set(R::RoadSpeed, x[state::CAR] * 3.6);
        set(R::IntakeTemperature, x[state::INTAKE] - ICE);
        set(R::ShaftSpeed, x[state::SHAFT] * RPM / KILO);
        set(R::Wastegate, x[state::WASTEGATE] * 100.0);
        set(R::WastegateDuty, s.duty.max(S::constant(0.0)) * 100.0);
        set(R::Throttle, x[state::THROTTLE] * 100.0);
        set(R::Torque, cycle.torque);
        set(R::Power, power / KILO);
        set(R::Fuel, cycle.fuel * KILO);
        if power.value() > LEAST_POWER {
            set(R::FuelConsumption, cycle.fuel / power * 3.6e9);
        }
        set(R::ExhaustTemperature, gas(Node::Exhaust).temperature - ICE);
        set(R::ExhaustPressure, gauge(Node::Exhaust) / KILO);
        set(R::InletDepression, -gauge(Node::Inlet) / KILO);
        set(R::CrankcasePressure, gauge(Node::Crankcase) / KILO);
        set(R::SparkRetard, cycle.spark_retard);
        set(R::CompressorFlow, x[state::COMPRESSOR_FLOW] * KILO);
        set(R::RecirculationValve, x[state::RECIRCULATION] * 100.0);
        set(
            R::SurgeMargin,
            s.stage.flow_coefficient / s.stage.surge_coefficient,
        );
        set(
            R::CatalystTemperature,
            gas(Node::Downpipe).temperature - ICE,
        );
        set(
            R::CatalystOut,
            self.behind_catalyst(cycle, gas(Node::Downpipe)) - ICE,
        );
        // A cycle whose fuel is cut misses nothing.
        set(R::Misfire, (-cycle.burned + 1.0) * cycle.fired * 100.0);
        Readings { values }
    }

    /// Temperature, K, behind a catalyst that burns all that comes, once it is alight; heat that
    /// it holds or loses is left out.
    fn behind_catalyst<S: Over<P>>(&self, cycle: &Cycle<S>, before: &GasState<S>) -> S {
        if cycle.unburned.value() <= 0.0 {
            return before.temperature;
        }
        let alight = step(before.temperature - ICE, LIGHT_OFF[0], LIGHT_OFF[1]);
        let burning = cycle.unburned / cycle.exhaust * alight;
        (self.medium).temperature_from_enthalpy(before.enthalpy + burning, before.fuel_fraction)
    }

    /// Air as the computer counts it: by its meter, if it has one.
    fn counted<S: Over<P>>(&self, x: &[S], s: &Streams<S>) -> S {
        match self.vehicle.metering {
            Metering::AirFlowMeter => x[state::METER].max(S::constant(0.0)),
            Metering::SpeedDensity => s.computer.counted_air,
        }
    }

    /// What the watchdogs see at a moment.
    pub fn observed<S: Over<P>>(&self, x: &[S], moment: &Moment<S>) -> Observed<S> {
        let (v, computer) = (&self.vehicle, &moment.streams.computer);
        let speed = x[state::ENGINE];
        let ambient = S::constant(self.ambient.pressure);
        let highest = v.boost.target.points().iter().map(|point| point[1]);
        let highest = highest.fold(None, |most: Option<P>, p| match most {
            Some(m) if m.value() >= p.value() => Some(m),
            _ => Some(p),
        });
        Observed {
            pedal: computer.pedal,
            speed,
            idle_speed: S::lift(v.drive.idle_speed),
            trim: computer.trims.total(),
            mixture: x[state::OXYGEN] / v.fuelling.commanded_lambda(computer.pedal),
            cut: computer.cut,
            misfire: -moment.streams.cycle.burned + 1.0,
            meter_ratio: (v.metering == Metering::AirFlowMeter)
                .then(|| x[state::METER] / computer.estimate),
            manifold: computer.manifold,
            boost: computer.boost + self.ambient.pressure,
            ambient,
            wanted_boost: v.boost.wanted(speed),
            highest_boost: highest.map_or(S::constant(0.0), S::lift),
            control: v.boost.control,
        }
    }
}

impl Network<f64> {
    /// The air ledger at a moment.
    pub fn air_ledger(&self, moment: &Moment<f64>) -> AirLedger {
        let book = moment.rates.ledger.map(|rate| rate * KILO);
        let rates = &moment.rates.states;
        let intake = [
            Node::Inlet,
            Node::HotPipe,
            Node::ColdPipe,
            Node::Manifold,
            Node::Crankcase,
        ];
        let volumes: f64 = intake.iter().map(|&v| rates[3 * v as usize]).sum();
        let stored = (volumes + rates[state::CAPSULE] + rates[state::CHAMBER]) * KILO;
        let (metered_in, unmetered_in, lost) = (
            book[ledger::METERED_IN],
            book[ledger::UNMETERED_IN],
            book[ledger::LOST],
        );
        let (blow_by, engine) = (book[ledger::BLOW_BY], book[ledger::ENGINE_IN]);
        AirLedger {
            metered_in,
            unmetered_in,
            lost,
            recirculated: book[ledger::RECIRCULATED],
            blow_by,
            engine,
            exhaust_in: book[ledger::EXHAUST_IN],
            exhaust_lost: book[ledger::EXHAUST_LOST],
            closure: metered_in + unmetered_in + blow_by - lost - engine - stored,
        }
    }
}
