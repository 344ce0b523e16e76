//! Readings in a file: one line each gives key, quantity, range, the program's reading, and
//! how a value in SI becomes that reading's own unit.

use crate::network::Reading;
use crate::tables;

macro_rules! readouts {
    ( $( $(#[doc = $doc:literal])+ $field:ident: $dimension:ident [$low:expr, $high:expr] doubt $doubt:ident
        = $reading:ident ($factor:expr, $zero:expr), )+ ) => {
        tables! {
            /// Readings of one condition.
            pub struct Readouts {
                $( $(#[doc = $doc])+ $field: $dimension [$low, $high] or None, )+
            }
        }

        tables! {
            /// Standard uncertainties of readings, where the usual ones do not hold.
            pub struct Doubts {
                $( $(#[doc = $doc])+ $field: $doubt [0.0, ($high as f64) - ($low as f64)] or None, )+
            }
        }

        impl Readouts<f64> {
            /// Nothing read.
            pub const NONE: Self = Readouts { $( $field: None ),+ };

            /// Every reading given: its key, the reading, and the value in that reading's unit.
            pub fn given(&self) -> Vec<(&'static str, Reading, f64)> {
                let all = [$( (stringify!($field), Reading::$reading,
                    self.$field.map(|si| (si - $zero) * $factor)) ),+];
                all.into_iter().filter_map(|(key, reading, value)| Some((key, reading, value?))).collect()
            }

            /// Sets a reading from a value in its own unit; false if a file has no such reading.
            pub fn set(&mut self, reading: Reading, value: f64) -> bool {
                match reading {
                    $( Reading::$reading => self.$field = Some(value / $factor + $zero), )+
                    _ => return false,
                }
                true
            }
        }

        impl Doubts<f64> {
            /// Nothing said.
            pub const NONE: Self = Doubts { $( $field: None ),+ };

            /// Says that of a reading, in the reading's own unit.
            pub fn set(&mut self, reading: Reading, deviation: f64) {
                match reading {
                    $( Reading::$reading => self.$field = Some(deviation / $factor), )+
                    _ => {}
                }
            }

            /// Standard deviation of a reading in its own unit, where it is said.
            pub fn of(&self, reading: Reading) -> Option<f64> {
                match reading {
                    $( Reading::$reading => self.$field.map(|si| si * $factor), )+
                    _ => None,
                }
            }
        }
    };
}

const RPM: f64 = 30.0 / std::f64::consts::PI;
const DEGREE: f64 = 180.0 / std::f64::consts::PI;

readouts! {
    /// engine speed
    engine_speed: AngularSpeed [0.0, 10e3 / RPM] doubt AngularSpeed = EngineSpeed (RPM, 0.0),
    /// air flow as the engine computer counts it
    metered_air: MassFlow [0.0, 2.0] doubt MassFlow = MeteredAir (1e3, 0.0),
    /// all fuel trim, short- and long-term together
    fuel_trim: Ratio [-0.9, 1.5] doubt Ratio = FuelTrim (1e2, 0.0),
    /// short-term fuel trim
    short_trim: Ratio [-0.9, 1.5] doubt Ratio = ShortTrim (1e2, 0.0),
    /// long-term fuel trim
    long_trim: Ratio [-0.9, 1.5] doubt Ratio = LongTrim (1e2, 0.0),
    /// lambda at the oxygen sensor
    lambda: Ratio [0.4, 3.0] doubt Ratio = LambdaSensor (1.0, 0.0),
    /// pressure before the throttle by an independent gauge
    boost: GaugePressure [-1e5, 4e5] doubt PressureDifference = Boost (1e-3, 0.0),
    /// the same as the car's own boost sensor has it
    boost_sensor: GaugePressure [-1e5, 4e5] doubt PressureDifference = BoostSensor (1e-3, 0.0),
    /// manifold pressure as its sensor has it
    manifold_pressure: AbsolutePressure [5e3, 5e5] doubt PressureDifference = Manifold (1e-3, 0.0),
    /// absolute load
    absolute_load: Ratio [0.0, 5.0] doubt Ratio = AbsoluteLoad (1e2, 0.0),
    /// gas temperature in the manifold
    intake_temperature: Temperature [223.15, 453.15] doubt TemperatureDifference = IntakeTemperature (1.0, 273.15),
    /// turbocharger speed
    turbo_speed: AngularSpeed [0.0, 400e3 / RPM] doubt AngularSpeed = ShaftSpeed (RPM / 1e3, 0.0),
    /// duty of the wastegate solenoid
    wastegate_solenoid_duty: Ratio [0.0, 1.0] doubt Ratio = WastegateDuty (1e2, 0.0),
    /// wastegate opening
    wastegate_opening: Ratio [0.0, 1.0] doubt Ratio = Wastegate (1e2, 0.0),
    /// throttle opening
    throttle: Ratio [0.0, 1.0] doubt Ratio = Throttle (1e2, 0.0),
    /// crankshaft torque
    torque: Torque [-500.0, 2000.0] doubt Torque = Torque (1.0, 0.0),
    /// crankshaft power
    power: Power [-1e5, 1e6] doubt Power = Power (1e-3, 0.0),
    /// fuel flow
    fuel: MassFlow [0.0, 0.2] doubt MassFlow = Fuel (1e3, 0.0),
    /// gas temperature before the turbine
    exhaust_temperature: Temperature [253.15, 1623.15] doubt TemperatureDifference = ExhaustTemperature (1.0, 273.15),
    /// gas temperature before the catalyst
    catalyst_temperature: Temperature [253.15, 1623.15] doubt TemperatureDifference = CatalystTemperature (1.0, 273.15),
    /// gas temperature behind the catalyst
    catalyst_out_temperature: Temperature [253.15, 1623.15] doubt TemperatureDifference = CatalystOut (1.0, 273.15),
    /// pressure before the turbine
    exhaust_pressure: GaugePressure [-1e5, 5e5] doubt PressureDifference = ExhaustPressure (1e-3, 0.0),
    /// depression in the inlet duct below ambient
    inlet_depression: PressureDifference [-2e4, 5e4] doubt PressureDifference = InletDepression (1e-3, 0.0),
    /// crankcase pressure
    crankcase_pressure: GaugePressure [-5e4, 5e4] doubt PressureDifference = CrankcasePressure (1e-3, 0.0),
    /// spark retard from best torque timing
    spark_retard: Angle [0.0, 60.0 / DEGREE] doubt Angle = SparkRetard (DEGREE, 0.0),
}
