//! Ranges in messages: the limits shown are themselves allowed, and short.

use super::find::find;
use super::number::split;
use super::table::Unit;
use super::{Dimension, round, shown_unit};

/// The allowed range, for messages: `1 mm to 150 mm`, `at least 0 g/s`, in units people read.
///
/// A limit that takes more than four digits there is rounded inward to three (to more where the
/// range is narrower than that), so that what is shown is allowed.
pub fn show_range(low: f64, high: f64, dimension: Dimension) -> String {
    let units = [low, high].map(|limit| shown_unit(limit, dimension));
    shown(low, high, dimension, units)
}

/// The same in the unit of a quantity as somebody wrote it (`15 thou`), if it has one.
pub fn show_range_as(low: f64, high: f64, dimension: Dimension, written: &str) -> String {
    let unit = split(written, dimension).and_then(|(_, unit)| find(unit, dimension));
    match unit {
        Ok(Some((unit, _))) => shown(low, high, dimension, [Some(unit); 2]),
        _ => show_range(low, high, dimension),
    }
}

fn shown(
    low: f64,
    high: f64,
    dimension: Dimension,
    [below, above]: [Option<&'static Unit>; 2],
) -> String {
    let si = |number: f64, unit: Option<&Unit>| unit.map_or(number, |unit| unit.to_si(number));
    let mut limits = [low, high];
    for digits in [3, 4, 6, 9, 15] {
        limits = [
            inward(low, below, digits, f64::ceil),
            inward(high, above, digits, f64::floor),
        ];
        if si(limits[0], below) <= si(limits[1], above) {
            break;
        }
    }
    let text = |number: f64, unit: Option<&Unit>| match unit {
        Some(unit) => format!(
            "{} {}{}",
            round(number, 15),
            unit.name,
            dimension.datum().word()
        ),
        None => round(number, 15),
    };
    let (from, to) = (text(limits[0], below), text(limits[1], above));
    match (low.is_finite(), high.is_finite()) {
        (true, true) => format!("{from} to {to}"),
        (true, false) => format!("at least {from}"),
        (false, true) => format!("at most {to}"),
        (false, false) => "any number".into(),
    }
}

/// A limit (SI) in a unit: as it is where four digits hold it, else rounded one way to `digits`.
fn inward(limit: f64, unit: Option<&Unit>, digits: i32, one_way: fn(f64) -> f64) -> f64 {
    let number = unit.map_or(limit, |unit| unit.number(limit));
    if number == 0.0 || !number.is_finite() {
        return number;
    }
    let to = |digits: i32, round: fn(f64) -> f64| {
        let places = digits - 1 - number.abs().log10().floor() as i32;
        // Powers of ten that are whole numbers are exact; their reciprocals are not.
        let scale = 10f64.powi(places.abs());
        match places < 0 {
            true => round(number / scale) * scale,
            false => round(number * scale) / scale,
        }
    };
    let short = to(4, f64::round);
    let back = unit.map_or(short, |unit| unit.to_si(short));
    match (back - limit).abs() <= 1e-12 * limit.abs() {
        true => short,
        false => to(digits, one_way),
    }
}
