//! Every unit the program reads or writes: the one table behind parsing,
//! messages and output.
//!
//! Factors are exact definitions, kept as `numerator / denominator` so that a
//! short decimal stays one (15 thou is exactly 0.000381 m). Source of the
//! factors: `nist_sp811`, appendix B.8, and of the constants below, its
//! footnotes; values from memory (M), tested in `tests/units.rs`.

use super::Dimension;

/// Avoirdupois pound, kg. `nist_sp811` B.8 "pound (avoirdupois) (lb)", exact.
const POUND: f64 = 0.453_592_37;
/// Standard acceleration of free fall, m/s². `nist_sp811` B.8, exact.
const FREE_FALL: f64 = 9.806_65;
/// Pound-force, N: pound times standard free fall, exact.
const POUND_FORCE: f64 = 4.448_221_615_260_5;
/// Millimetre of mercury, conventional, Pa: 13 595.1 kg/m³ times free fall.
const MMHG: f64 = 133.322_387_415;
/// Standard atmosphere, Pa. `nist_sp811` B.8, exact.
pub(super) const ATMOSPHERE: f64 = 101_325.0;
/// One turn, rad.
const TURN: f64 = std::f64::consts::TAU;

/// One unit: `SI = (number + zero) * numerator / denominator`.
#[derive(Debug, PartialEq)]
pub(super) struct Unit {
    /// How it is written, without spaces around the sign of multiplication.
    pub name: &'static str,
    /// Other accepted spellings.
    pub also: &'static [&'static str],
    pub numerator: f64,
    pub denominator: f64,
    pub zero: f64,
    /// Used for display from this size (SI) up; never, when infinite.
    pub shown_from: f64,
}

const fn unit(name: &'static str, numerator: f64, denominator: f64) -> Unit {
    Unit {
        name,
        also: &[],
        numerator,
        denominator,
        zero: 0.0,
        shown_from: f64::INFINITY,
    }
}

impl Unit {
    pub(super) fn to_si(&self, number: f64) -> f64 {
        (number + self.zero) * self.numerator / self.denominator
    }

    pub(super) fn number(&self, value: f64) -> f64 {
        value * self.denominator / self.numerator - self.zero
    }

    const fn also(mut self, spellings: &'static [&'static str]) -> Unit {
        self.also = spellings;
        self
    }
    const fn zero(mut self, zero: f64) -> Unit {
        self.zero = zero;
        self
    }
    const fn shown_from(mut self, size: f64) -> Unit {
        self.shown_from = size;
        self
    }
}

/// The units of one dimension.
pub(super) struct Family {
    /// "a length"
    pub name: &'static str,
    /// What to write.
    pub example: &'static str,
    pub units: &'static [Unit],
}

/// The units of `dimension`.
pub(super) const fn family(dimension: Dimension) -> Family {
    let (name, example, units) = match dimension {
        Dimension::Ratio => ("a number or a percentage", "12 %", RATIO),
        Dimension::Length => ("a length", "0.38 mm", LENGTH),
        Dimension::Area => ("an area", "12 mm2", AREA),
        Dimension::Volume => ("a volume", "1.6 L", VOLUME),
        Dimension::Mass => ("a mass", "120 g", MASS),
        Dimension::Time => ("a time", "40 ms", TIME),
        Dimension::Temperature => ("a temperature", "25 degC", TEMPERATURE),
        Dimension::TemperatureDifference => ("a temperature difference", "5 K", WARMING),
        Dimension::AbsolutePressure => ("an absolute pressure", "190 kPa abs", PRESSURE),
        Dimension::GaugePressure => ("a gauge pressure", "90 kPa gauge", PRESSURE),
        Dimension::PressureDifference => ("a pressure difference", "5 kPa", PRESSURE),
        Dimension::MassFlow => ("a mass flow", "3 g/s", MASS_FLOW),
        Dimension::VolumeFlow => ("a volume flow", "350 cc/min", VOLUME_FLOW),
        Dimension::AngularSpeed => ("a speed of rotation", "5500 rpm", ANGULAR_SPEED),
        Dimension::Angle => ("an angle", "7 deg", ANGLE),
        Dimension::Torque => ("a torque", "150 N m", TORQUE),
        Dimension::Force => ("a force", "80 N", FORCE),
        Dimension::Stiffness => ("a spring rate", "5 N/mm", STIFFNESS),
        Dimension::Inertia => ("a moment of inertia", "0.00003 kg m2", INERTIA),
        Dimension::Power => ("a power", "110 kW", POWER),
        Dimension::Conductance => ("a heat conductance", "250 W/K", CONDUCTANCE),
        Dimension::SpecificEnergy => ("an energy per mass", "42.9 MJ/kg", SPECIFIC_ENERGY),
        Dimension::Speed => ("a speed", "100 km/h", SPEED),
        Dimension::Rate => ("a rate", "2 1/s", RATE),
    };
    Family {
        name,
        example,
        units,
    }
}

const RATIO: &[Unit] = &[unit("%", 1.0, 100.0).also(&["percent", "per cent"])];

const LENGTH: &[Unit] = &[
    unit("mm", 1.0, 1e3).shown_from(0.0),
    unit("m", 1.0, 1.0).shown_from(1.0),
    unit("cm", 1.0, 1e2),
    unit("um", 1.0, 1e6).also(&["micron"]),
    // The international inch is 25.4 mm: `nist_sp811` B.8 "inch (in)", exact.
    unit("in", 254.0, 1e4).also(&["inch"]),
    // A thousandth of an inch: `nist_sp811` B.8 "mil (0.001 in)".
    unit("thou", 254.0, 1e7),
    unit("mil", 254.0, 1e7),
    unit("ft", 3048.0, 1e4),
    unit("km", 1e3, 1.0),
    // The international mile is 5280 ft: `nist_sp811` B.8, exact.
    unit("mile", 1609.344, 1.0).also(&["mi", "miles"]),
];

const AREA: &[Unit] = &[
    unit("mm2", 1.0, 1e6).shown_from(0.0).also(&["sq mm"]),
    unit("cm2", 1.0, 1e4).shown_from(0.01).also(&["sq cm"]),
    unit("m2", 1.0, 1.0).shown_from(0.1),
    unit("in2", 645.16, 1e6).also(&["sq in"]),
];

const VOLUME: &[Unit] = &[
    unit("cc", 1.0, 1e6)
        .shown_from(0.0)
        .also(&["cm3", "mL", "millilitre"]),
    unit("L", 1.0, 1e3)
        .shown_from(1e-3)
        .also(&["litre", "liter", "dm3"]),
    unit("m3", 1.0, 1.0).shown_from(1.0),
    unit("mm3", 1.0, 1e9),
    unit("in3", 16_387.064, 1e9).also(&["cu in", "ci", "cid"]),
];

const MASS: &[Unit] = &[
    unit("g", 1.0, 1e3).shown_from(0.0),
    unit("kg", 1.0, 1.0).shown_from(1.0),
    unit("mg", 1.0, 1e6),
    unit("lb", POUND, 1.0).also(&["lbs", "lbm"]),
    unit("oz", POUND, 16.0),
];

const TIME: &[Unit] = &[
    unit("ms", 1.0, 1e3).shown_from(0.0),
    unit("s", 1.0, 1.0)
        .shown_from(1.0)
        .also(&["sec", "second", "seconds"]),
    unit("us", 1.0, 1e6),
    unit("ns", 1.0, 1e9),
    unit("min", 60.0, 1.0).also(&["minute", "minutes"]),
    unit("h", 3600.0, 1.0).also(&["hour", "hours"]),
];

// `nist_sp811` B.8 "degree Celsius", "degree Fahrenheit": T/K = t/°C + 273.15
// = (t/°F + 459.67)/1.8, exact.
const TEMPERATURE: &[Unit] = &[
    unit("degC", 1.0, 1.0)
        .zero(273.15)
        .shown_from(0.0)
        .also(&["C", "celsius"]),
    unit("degF", 1.0, 1.8)
        .zero(459.67)
        .also(&["F", "fahrenheit"]),
    unit("K", 1.0, 1.0).also(&["kelvin"]),
];

const WARMING: &[Unit] = &[
    unit("K", 1.0, 1.0).shown_from(0.0).also(&["kelvin"]),
    unit("degC", 1.0, 1.0).also(&["C"]),
    unit("degF", 1.0, 1.8).also(&["F"]),
];

const PRESSURE: &[Unit] = &[
    unit("Pa", 1.0, 1.0).shown_from(0.0),
    unit("kPa", 1e3, 1.0).shown_from(1e2),
    unit("hPa", 1e2, 1.0),
    unit("MPa", 1e6, 1.0),
    unit("mbar", 1e2, 1.0),
    unit("bar", 1e5, 1.0),
    unit("psi", POUND_FORCE * 1e6, 645.16).also(&["lbf/in2", "lb/in2"]),
    unit("mmHg", MMHG, 1.0),
    unit("inHg", 25.4 * MMHG, 1.0).also(&["in Hg", "\"Hg"]),
    // Conventional water, 1000 kg/m³.
    unit("mmH2O", FREE_FALL, 1.0),
    unit("inH2O", 25.4 * FREE_FALL, 1.0).also(&["in H2O", "\"H2O", "inWC"]),
    unit("atm", ATMOSPHERE, 1.0),
];

const MASS_FLOW: &[Unit] = &[
    unit("mg/s", 1.0, 1e6).shown_from(0.0),
    unit("g/s", 1.0, 1e3).shown_from(1e-4).also(&["gps"]),
    unit("kg/s", 1.0, 1.0).shown_from(1.0),
    unit("g/min", 1.0, 6e4),
    unit("kg/h", 1.0, 3600.0).also(&["kg/hr"]),
    unit("kg/min", 1.0, 60.0),
    unit("lb/min", POUND, 60.0).also(&["lbs/min"]),
    unit("lb/h", POUND, 3600.0).also(&["lb/hr", "lbs/h", "lbs/hr"]),
];

const VOLUME_FLOW: &[Unit] = &[
    unit("cc/min", 1.0, 6e7)
        .shown_from(0.0)
        .also(&["cm3/min", "mL/min", "sccm"]),
    // Meters that say "standard" or "normal" count at reference conditions, which the
    // reader of the quantity must ask for.
    unit("L/min", 1.0, 6e4)
        .shown_from(1.0 / 6e4)
        .also(&["slpm", "sL/min", "nL/min"]),
    unit("L/s", 1.0, 1e3),
    unit("L/h", 1.0, 3.6e6),
    unit("m3/h", 1.0, 3600.0),
    unit("m3/s", 1.0, 1.0).shown_from(1.0),
    // Cubic foot a minute: 0.3048³/60 m³/s.
    unit("cfm", 0.028_316_846_592, 60.0).also(&["ft3/min", "scfm"]),
    unit("scfh", 0.028_316_846_592, 3600.0).also(&["cfh", "ft3/h"]),
];

const ANGULAR_SPEED: &[Unit] = &[
    unit("rpm", TURN, 60.0)
        .shown_from(0.0)
        .also(&["1/min", "rev/min", "r/min"]),
    // Engines turn below this, turbochargers above.
    unit("krpm", TURN * 1e3, 60.0).shown_from(1600.0),
    unit("rad/s", 1.0, 1.0),
    unit("rev/s", TURN, 1.0),
];

const ANGLE: &[Unit] = &[
    unit("deg", TURN, 360.0)
        .shown_from(0.0)
        .also(&["degree", "degrees"]),
    unit("rad", 1.0, 1.0),
];

const TORQUE: &[Unit] = &[
    unit("N m", 1.0, 1.0).shown_from(0.0),
    unit("lbf ft", POUND_FORCE * 0.3048, 1.0).also(&["lb ft", "ft lb", "ft lbf", "lb-ft", "ft-lb"]),
];

const FORCE: &[Unit] = &[
    unit("N", 1.0, 1.0).shown_from(0.0),
    unit("kN", 1e3, 1.0).shown_from(1e3),
    unit("lbf", POUND_FORCE, 1.0),
    unit("kgf", FREE_FALL, 1.0),
];

const STIFFNESS: &[Unit] = &[
    unit("N/mm", 1e3, 1.0).shown_from(0.0),
    unit("N/m", 1.0, 1.0),
    unit("kN/m", 1e3, 1.0),
    unit("lbf/in", POUND_FORCE * 1e4, 254.0).also(&["lb/in"]),
];

const INERTIA: &[Unit] = &[
    unit("kg mm2", 1.0, 1e6).shown_from(0.0),
    unit("kg m2", 1.0, 1.0).shown_from(0.01),
    unit("kg cm2", 1.0, 1e4),
    unit("g m2", 1.0, 1e3),
    unit("g cm2", 1.0, 1e7),
];

const POWER: &[Unit] = &[
    unit("W", 1.0, 1.0).shown_from(0.0),
    unit("kW", 1e3, 1.0).shown_from(1e3),
    // `nist_sp811` B.8 "horsepower (550 ft·lbf/s)": 745.6999 W.
    unit("hp", 550.0 * 0.3048 * POUND_FORCE, 1.0).also(&["bhp"]),
    // `nist_sp811` B.8 "horsepower (metric)": 75 kgf·m/s = 735.498 75 W.
    unit("PS", 75.0 * FREE_FALL, 1.0).also(&["metric hp"]),
];

const CONDUCTANCE: &[Unit] = &[
    unit("W/K", 1.0, 1.0).shown_from(0.0).also(&["W/degC"]),
    unit("kW/K", 1e3, 1.0).shown_from(1e3).also(&["kW/degC"]),
];

const SPECIFIC_ENERGY: &[Unit] = &[
    unit("J/kg", 1.0, 1.0).shown_from(0.0),
    unit("kJ/kg", 1e3, 1.0).shown_from(1e3).also(&["J/g"]),
    unit("MJ/kg", 1e6, 1.0).shown_from(1e6).also(&["kJ/g"]),
];

// `nist_sp811` B.8 "mile per hour": 0.447 04 m/s, exact.
const SPEED: &[Unit] = &[
    unit("m/s", 1.0, 1.0),
    unit("km/h", 1.0, 3.6)
        .shown_from(0.0)
        .also(&["km/hr", "kph"]),
    unit("mph", 0.447_04, 1.0),
];

const RATE: &[Unit] = &[
    unit("1/s", 1.0, 1.0).shown_from(0.0).also(&["/s"]),
    unit("Hz", 1.0, 1.0),
    unit("1/min", 1.0, 60.0).also(&["/min"]),
    unit("%/s", 1.0, 100.0),
];
