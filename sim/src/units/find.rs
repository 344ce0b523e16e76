//! From the text of a unit to the unit.

use super::datum::{Datum, split_datum};
use super::table::{Unit, family};
use super::{Dimension, UnitError};

/// A unit as compared: no spaces or signs of multiplication, powers as digits.
fn canonical(unit: &str) -> String {
    let mut plain = String::new();
    for c in unit.chars() {
        match c {
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '₂' => plain.push('2'),
            '°' | 'º' => plain.push_str("deg"),
            'µ' | 'μ' => plain.push('u'),
            '·' | '⋅' | '×' | '*' | '^' | '(' | ')' | '.' => {}
            c if c.is_whitespace() => {}
            c => plain.push(c),
        }
    }
    plain
}

/// The spellings of a unit, canonical.
pub(super) fn spellings(unit: &'static Unit) -> impl Iterator<Item = String> {
    let all = std::iter::once(&unit.name).chain(unit.also);
    all.map(|name| canonical(name))
}

/// The one unit of `units` spelled so but for case, if it is one only.
pub(super) fn alike(plain: &str, units: &'static [Unit]) -> Option<&'static Unit> {
    let alike = |unit: &&'static Unit| spellings(unit).any(|name| name.eq_ignore_ascii_case(plain));
    let mut candidates = units.iter().filter(alike);
    let only = candidates.next();
    candidates.next().map_or(only, |_| None)
}

/// The unit of one of `units` spelled so; case matters only where it decides.
fn spelled(plain: &str, units: &'static [Unit]) -> Option<&'static Unit> {
    let exact = (units.iter()).find(|unit| spellings(unit).any(|name| name == plain));
    exact.or_else(|| alike(plain, units))
}

/// The name of the one of `units` that is written.
pub(super) fn named(text: &str, units: &'static [Unit]) -> Option<&'static str> {
    spelled(&canonical(text), units).map(|unit| unit.name)
}

/// The unit written and, for a pressure, from where it counts; none where nothing is written.
pub(super) fn find(
    text: &str,
    dimension: Dimension,
) -> Result<Option<(&'static Unit, Datum)>, UnitError> {
    let plain = canonical(text);
    let (plain, datum) = match dimension.is_pressure() {
        true => split_datum(&plain),
        false => (plain.as_str(), Datum::None),
    };
    if plain.is_empty() {
        return Ok(None);
    }
    let units = family(dimension).units;
    match spelled(plain, units) {
        Some(unit) => Ok(Some((unit, datum))),
        None => Err(unknown_unit(text, plain, dimension)),
    }
}

fn unknown_unit(text: &str, plain: &str, dimension: Dimension) -> UnitError {
    let units = family(dimension).units;
    let suffix = |end: char| (plain.strip_suffix(end)).and_then(|base| spelled(base, units));
    if dimension.is_pressure() {
        for (end, word) in [('a', "abs"), ('g', "gauge")] {
            if let Some(unit) = suffix(end) {
                return UnitError::Written(text.into(), unit.name, word);
            }
        }
    }
    let elsewhere =
        (Dimension::ALL.into_iter()).find(|other| spelled(plain, family(*other).units).is_some());
    match elsewhere {
        Some(other) => UnitError::OtherKind(text.into(), dimension, other),
        None => UnitError::UnknownUnit(text.into(), dimension),
    }
}
