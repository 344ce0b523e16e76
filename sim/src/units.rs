//! Text with units at the border, plain SI `f64` inside.
//!
//! A quantity is a number with a decimal point and a unit, with or without a
//! space: `"0.38 mm"`, `"15thou"`, `"95 krpm"`. A pressure also says from
//! where it counts: `"0.9 bar abs"` from vacuum, `"90 kPa gauge"` from ambient;
//! a pressure difference says neither. In messages the first line is what is
//! wrong, the following lines what is allowed.

mod datum;
mod error;
mod find;
mod number;
mod pattern;
mod range;
mod table;

pub use error::{UnitError, WrongDatum};
pub use pattern::{NEGATIVE, ZERO, pattern};
pub use range::{show_range, show_range_as};

use datum::{Datum, check_datum};
use find::find;
use number::split;
use table::{Family, Unit, family};

/// One turn a minute, rad/s.
pub const RPM: f64 = std::f64::consts::TAU / 60.0;
/// One degree, rad.
pub const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// What a quantity measures; decides which units are accepted.
///
/// # Examples
/// ```
/// use sim::{Dimension, units::{parse, show}};
/// // 1 psi is 6894.757 Pa (NIST SP 811).
/// let boost = parse("12 psi gauge", Dimension::GaugePressure)?;
/// assert!((boost - 12.0 * 6_894.757).abs() < 0.01);
/// assert_eq!(show(boost, Dimension::GaugePressure), "82.7371 kPa gauge");
/// // A pressure that does not say from where it counts is refused.
/// assert!(parse("12 psi", Dimension::GaugePressure).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// A plain number, or a percentage (`"12 %"` is 0.12).
    Ratio,
    /// Metre.
    Length,
    /// Square metre.
    Area,
    /// Cubic metre.
    Volume,
    /// Kilogram.
    Mass,
    /// Second.
    Time,
    /// Kelvin, absolute.
    Temperature,
    /// Kelvin, a difference or a doubt.
    TemperatureDifference,
    /// Pascal above vacuum; the text must say `abs`.
    AbsolutePressure,
    /// Pascal above ambient; the text must say `gauge`.
    GaugePressure,
    /// Pascal, a difference or a loss; the text says neither `abs` nor `gauge`.
    PressureDifference,
    /// Kilogram a second.
    MassFlow,
    /// Cubic metre a second.
    VolumeFlow,
    /// Radian a second (`rpm`, `krpm` accepted).
    AngularSpeed,
    /// Radian (`deg` accepted).
    Angle,
    /// Newton metre.
    Torque,
    /// Newton.
    Force,
    /// Newton a metre.
    Stiffness,
    /// Kilogram metre squared.
    Inertia,
    /// Watt (`hp` is 550 ft lbf/s, `PS` is 75 kgf m/s).
    Power,
    /// Watt a kelvin.
    Conductance,
    /// Joule a kilogram.
    SpecificEnergy,
    /// Metre a second.
    Speed,
    /// 1/s (`1/s`, `Hz` accepted): the gain of a rate.
    Rate,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: [Dimension; 24] = [
        Dimension::Ratio,
        Dimension::Length,
        Dimension::Area,
        Dimension::Volume,
        Dimension::Mass,
        Dimension::Time,
        Dimension::Temperature,
        Dimension::TemperatureDifference,
        Dimension::AbsolutePressure,
        Dimension::GaugePressure,
        Dimension::PressureDifference,
        Dimension::MassFlow,
        Dimension::VolumeFlow,
        Dimension::AngularSpeed,
        Dimension::Angle,
        Dimension::Torque,
        Dimension::Force,
        Dimension::Stiffness,
        Dimension::Inertia,
        Dimension::Power,
        Dimension::Conductance,
        Dimension::SpecificEnergy,
        Dimension::Speed,
        Dimension::Rate,
    ];

    /// The names of the units accepted, the first in the table first.
    pub fn units(self) -> impl Iterator<Item = &'static str> {
        family(self).units.iter().map(|unit| unit.name)
    }

    /// The name in the table of a unit as it is written, without the datum of a pressure; none
    /// where no unit of this dimension is.
    pub fn unit_of(self, text: &str) -> Option<&'static str> {
        find::named(text, family(self).units)
    }
}

/// Reads a quantity of `dimension` into SI.
///
/// # Errors
/// A message in plain words: no number, no unit, a decimal comma, an unknown or
/// ill-fitting unit (with the nearest right one), a pressure counted from the
/// wrong place, a value too large for a number, or one below vacuum or absolute zero.
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, UnitError> {
    let (number, unit_text) = split(text, dimension)?;
    if unit_text.is_empty() && dimension == Dimension::Ratio {
        return Ok(number);
    }
    let found = find(unit_text, dimension)?;
    let (unit, datum) = found.ok_or_else(|| UnitError::NoUnit(text.trim().into(), dimension))?;
    let value = unit.to_si(number);
    if !value.is_finite() {
        return Err(UnitError::TooLarge(text.into()));
    }
    check_datum(text, number, unit, datum, dimension)?;
    let below = match dimension {
        Dimension::AbsolutePressure => "vacuum",
        Dimension::Temperature => "absolute zero",
        _ => return Ok(value),
    };
    if value < 0.0 {
        return Err(UnitError::Below(text.into(), below));
    }
    Ok(value)
}

/// A number without a unit, where the dimension allows one (a plain ratio).
///
/// # Errors
/// A message that gives an example, or that the number is not finite.
pub fn from_bare_number(value: f64, dimension: Dimension) -> Result<f64, UnitError> {
    if !value.is_finite() {
        return Err(UnitError::NotFinite(value));
    }
    match dimension {
        Dimension::Ratio => Ok(value),
        _ => Err(UnitError::NoUnit(value.to_string(), dimension)),
    }
}

/// An SI value in the named unit, for output: `convert(190e3, "kPa abs", AbsolutePressure)` is 190.
///
/// A unit of pressure says `abs` or `gauge` as in [`parse`]. An empty unit means
/// a plain ratio.
///
/// # Errors
/// The message of [`parse`] for the same unit.
pub fn convert(value: f64, unit: &str, dimension: Dimension) -> Result<f64, UnitError> {
    if unit.is_empty() && dimension == Dimension::Ratio {
        return Ok(value);
    }
    let found = find(unit, dimension)?;
    let (found, datum) = found.ok_or(UnitError::UnitNeeded(dimension))?;
    if datum != dimension.datum() {
        let right = format!("{}{}", found.name, dimension.datum().word());
        return Err(UnitError::Misfit(unit.into(), right, dimension));
    }
    Ok(found.number(value))
}

/// The value in a unit people read, to six digits: `0.381 mm`, `190 kPa abs`.
pub fn show(value: f64, dimension: Dimension) -> String {
    show_to(value, dimension, 6)
}

/// The value in a unit people read, to `digits` significant digits (1 to 17).
///
/// [`parse`] reads it back, unless it is not finite.
pub fn show_to(value: f64, dimension: Dimension, digits: usize) -> String {
    match shown_unit(value, dimension) {
        Some(unit) => format!(
            "{} {}{}",
            round(unit.number(value), digits),
            unit.name,
            dimension.datum().word()
        ),
        None => round(value, digits),
    }
}

/// The value as one would write it into a file: in a unit people read, with as
/// few digits as [`parse`] needs to read it back to 1e-13 of its size.
pub fn written(value: f64, dimension: Dimension) -> String {
    let reads_back = |text: &String| {
        parse(text, dimension).is_ok_and(|back| (back - value).abs() <= 1e-13 * value.abs())
    };
    let texts = (1..17).map(|digits| show_to(value, dimension, digits));
    let mut short = texts.skip_while(|text| !reads_back(text));
    short
        .next()
        .unwrap_or_else(|| show_to(value, dimension, 17))
}

/// The unit in which people read a value of this size, for [`convert`]: `mm`,
/// `kPa abs`; empty for a plain ratio.
pub fn natural_unit(value: f64, dimension: Dimension) -> String {
    let unit = shown_unit(value, dimension);
    unit.map_or(String::new(), |unit| full_name(unit, dimension))
}

/// The SI unit of a dimension, as [`parse`] reads it: `m`, `Pa abs`; empty for a
/// ratio, and where the table of units has none.
pub fn si_unit(dimension: Dimension) -> String {
    let plain = |unit: &&Unit| unit.numerator == unit.denominator && unit.zero == 0.0;
    let unit = family(dimension).units.iter().find(plain);
    unit.map_or(String::new(), |unit| full_name(unit, dimension))
}

/// Every unit accepted, with the word that says from where a pressure counts.
pub fn accepted(dimension: Dimension) -> Vec<String> {
    let units = family(dimension).units.iter();
    units.map(|unit| full_name(unit, dimension)).collect()
}

/// What a quantity of this dimension is called: `a length`.
pub fn name(dimension: Dimension) -> &'static str {
    family(dimension).name
}

/// A quantity as one would write it: `0.38 mm`.
pub fn example(dimension: Dimension) -> &'static str {
    family(dimension).example
}

fn full_name(unit: &Unit, dimension: Dimension) -> String {
    format!("{}{}", unit.name, dimension.datum().word())
}

fn shown_unit(value: f64, dimension: Dimension) -> Option<&'static Unit> {
    let largest_first = |a: &&Unit, b: &&Unit| a.shown_from.total_cmp(&b.shown_from);
    (family(dimension).units.iter())
        .filter(|unit| unit.shown_from <= value.abs() * (1.0 + 1e-12))
        .max_by(largest_first)
        .filter(|_| dimension != Dimension::Ratio)
}

/// What to write, for messages: a length such as `"0.38 mm"`.
pub fn expected(dimension: Dimension) -> String {
    let Family { name, example, .. } = family(dimension);
    format!("{name} such as `\"{example}\"`")
}

/// A number to so many significant digits (1 to 17), as short as it can be written.
pub fn round(value: f64, digits: usize) -> String {
    let scientific = format!("{value:.*e}", digits.clamp(1, 17) - 1);
    // Reading back what was just printed cannot fail; if it could, it is shown as printed.
    match scientific.parse::<f64>() {
        Ok(0.0) => "0".into(),
        Ok(v) if v.is_finite() && !(1e-4..1e9).contains(&v.abs()) => format!("{v:e}"),
        Ok(v) => format!("{v}"),
        Err(_) => scientific,
    }
}

fn allowed(dimension: Dimension) -> String {
    let units: Vec<&str> = dimension.units().collect();
    let datum = match dimension.datum() {
        Datum::None => String::new(),
        datum => format!(", each followed by `{}`", datum.word().trim()),
    };
    format!("units allowed here: {}{datum}", units.join(", "))
}
