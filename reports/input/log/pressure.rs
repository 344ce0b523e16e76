//! In which unit a pressure is logged, and from where it counts, told by its values while
//! the engine stands and idles.

use crate::log::reader::Reader;
use crate::log::survey::{Column, Survey};
use crate::log::unit::{Affine, Datum, Given, Scale, affine};
use sim::network::Reading;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;

/// Where a pressure is taken, as far as its values show it.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Tap {
    Ambient,
    /// Before the throttle, exhaust, crankcase: near ambient at idle.
    Near,
    /// Behind the throttle.
    Manifold,
}

/// Ranges of a pressure, kPa: engine standing, idling, and of its largest value in the log
/// (common practice, no source). Altitudes up to 4000 m.
fn ranges(tap: Tap, datum: Datum) -> [[f64; 2]; 3] {
    match (tap, datum) {
        (Tap::Ambient, Datum::Absolute) => [[60.0, 108.0]; 3],
        // Nothing fits: no air around counts from itself, and a vacuum is never a guess.
        (Tap::Ambient, Datum::Gauge) | (_, Datum::Vacuum) => [[0.0, -1.0]; 3],
        (Tap::Near, Datum::Absolute) => [[60.0, 108.0], [60.0, 115.0], [60.0, 450.0]],
        (Tap::Near, Datum::Gauge) => [[-3.0, 3.0], [-8.0, 12.0], [-3.0, 350.0]],
        (Tap::Manifold, Datum::Absolute) => [[60.0, 108.0], [14.0, 75.0], [30.0, 450.0]],
        (Tap::Manifold, Datum::Gauge) => [[-3.0, 3.0], [-88.0, -22.0], [-60.0, 350.0]],
    }
}

/// What a pressure column turned out to be.
pub(super) struct Decided {
    pub channel: Channel,
    pub scale: Scale,
    pub datum: Datum,
    /// How it was found, where it was not said.
    pub why: Option<String>,
}

const UNITS: [&str; 4] = ["kPa", "bar", "psi", "mbar"];

/// Decides what is not said of a pressure column by its values.
///
/// # Errors
/// Why it cannot be decided.
pub(super) fn decide(
    channel: Channel,
    given: Given,
    column: &Column,
    sure: bool,
) -> Result<Decided, String> {
    let of = channel.dimension();
    let given = counted(channel, given, column);
    if let (Some(Datum::Vacuum), Some(scale)) = (given.datum, given.scale) {
        return Ok(Decided {
            channel,
            scale,
            datum: Datum::Vacuum,
            why: None,
        });
    }
    let wanted = match of {
        Dimension::AbsolutePressure => Datum::Absolute,
        _ => Datum::Gauge,
    };
    let tap = match channel {
        Channel::AmbientPressure => Tap::Ambient,
        Channel::Read(Reading::Manifold) => Tap::Manifold,
        _ => Tap::Near,
    };
    if of == Dimension::PressureDifference {
        let scale = given
            .scale
            .ok_or("it has no unit, and its values do not tell it")?;
        return Ok(Decided {
            channel,
            scale,
            datum: wanted,
            why: None,
        });
    }
    if let (Some(scale), Some(datum), true) = (given.scale, given.datum, sure) {
        return Ok(Decided {
            channel,
            scale,
            datum,
            why: None,
        });
    }
    let found = fitting(tap, given, column);
    if let [(scale, datum)] = found[..] {
        let why = told(given, scale, datum, column);
        return Ok(Decided {
            channel,
            scale,
            datum,
            why,
        });
    }
    // Boost gauges are often tapped behind the throttle.
    if found.is_empty() && tap == Tap::Near && !sure {
        let boost = matches!(
            channel,
            Channel::Read(Reading::BoostSensor | Reading::Boost)
        );
        let manifold = fitting(Tap::Manifold, given, column);
        if let ([(scale, datum)], true, true) = (&manifold[..], boost, column.idle.1 >= LEAST) {
            return Ok(Decided {
                channel: Channel::Read(Reading::Manifold),
                scale: *scale,
                datum: *datum,
                why: Some("far below ambient at idle, so tapped behind the throttle".into()),
            });
        }
    }
    if tap == Tap::Manifold
        && !sure
        && found.is_empty()
        && column.ends[1] > column.ends[0]
        && let Some((scale, datum)) = before_the_throttle(given, column)
    {
        return Ok(Decided {
            channel: Channel::Read(Reading::BoostSensor),
            scale,
            datum,
            why: Some("near ambient at idle, so tapped before the throttle".into()),
        });
    }
    if !sure && let Some(other) = overruled(tap, given, column) {
        return Ok(Decided { channel, ..other });
    }
    match (given.scale, given.datum) {
        // What is said goes before what the values look like.
        (Some(scale), Some(datum)) => Ok(Decided {
            channel,
            scale,
            datum,
            why: None,
        }),
        _ if column.idle.1 < LEAST && column.still.1 < LEAST => Err(format!(
            "{}, and no row with the engine idling or standing tells it",
            lacking(given)
        )),
        _ => Err(format!(
            "{}, and its values at idle do not tell it",
            lacking(given)
        )),
    }
}

/// A gauge for both counts boost upwards and vacuum downwards; only the manifold's counts the
/// other way.
fn counted(channel: Channel, given: Given, column: &Column) -> Given {
    let below = column.idle.1 >= LEAST && column.idle.0 < 0.0;
    let datum = match given.datum {
        Some(Datum::Vacuum) if below => Some(Datum::Gauge),
        Some(Datum::Vacuum) if channel != Channel::Read(Reading::Manifold) => None,
        datum => datum,
    };
    Given { datum, ..given }
}

/// What values at idle show that cannot be what the name says: below vacuum, or as much boost as
/// the air itself.
fn overruled(tap: Tap, given: Given, column: &Column) -> Option<Decided> {
    let said = given.datum?;
    let datum = match said {
        Datum::Absolute => Datum::Gauge,
        Datum::Gauge => Datum::Absolute,
        Datum::Vacuum => return None,
    };
    let other = Given {
        datum: Some(datum),
        ..given
    };
    let found = fitting(tap, other, column);
    let [(scale, _)] = found[..] else {
        return None;
    };
    let why = format!(
        "its name says {}, {} by {} at idle",
        words(said),
        words(datum),
        sim::units::round(column.idle.0, 3)
    );
    (column.idle.1 >= LEAST).then_some(Decided {
        channel: Channel::AmbientPressure,
        scale,
        datum,
        why: Some(why),
    })
}

/// How far, as a share, the most before the throttle may lie from the most behind it, and, kPa,
/// from the air around while the engine idles (own choice).
const MOST: [f64; 2] = [0.87, 1.3];
const AROUND: f64 = 5.0;

/// A boost of which values leave several units and datums open, told by the manifold pressure,
/// which it reaches at full load, or by the barometer, which it shows at idle.
pub(super) fn beside(
    given: Given,
    column: &Column,
    readers: &[Reader],
    survey: &Survey,
) -> Option<Decided> {
    let of = |channel: Channel| readers.iter().find(|reader| reader.channel == channel);
    let air = of(Channel::AmbientPressure)
        .and_then(|r| Some(r.affine.of(survey.columns[r.place].spread.median()?)));
    let around = air.unwrap_or(100.0);
    let over = |datum| if datum == Datum::Gauge { around } else { 0.0 };
    let manifold = of(Channel::Read(Reading::Manifold)).and_then(|reader| {
        Some(reader.affine.of(survey.columns[reader.place].ends[1]) + over(reader.datum?))
    });
    let fits = |(scale, datum): &(Scale, Datum)| {
        let Some(to) = affine(*scale, Channel::AmbientPressure, 1.0) else {
            return false;
        };
        let kpa = |value: f64| to.of(value) + over(*datum);
        let most =
            manifold.is_none_or(|most| (MOST[0]..=MOST[1]).contains(&(kpa(column.ends[1]) / most)));
        most && (column.idle.1 < LEAST || (kpa(column.idle.0) - around).abs() <= AROUND)
    };
    let by = match (manifold, air) {
        (Some(_), _) => "the manifold pressure",
        (_, Some(_)) => "the barometer",
        _ => return None,
    };
    let found = fitting(Tap::Near, given, column).into_iter().filter(fits);
    let found: Vec<(Scale, Datum)> = found.collect();
    let [(scale, datum)] = found[..] else {
        return None;
    };
    Some(Decided {
        channel: Channel::Read(Reading::BoostSensor),
        scale,
        datum,
        why: Some(format!("{} {} beside {by}", scale.words(), words(datum))),
    })
}

/// Least pressure, kPa absolute, at which no throttled engine idles, and boost, kPa, from which
/// a turbo shows (common practice, no source).
const UNTHROTTLED: f64 = 88.0;
const SHOWS: f64 = 10.0;

/// The unit and datum with which a pressure called that of the manifold is one that no throttle
/// lowers at idle: a diesel, or a sensor before the throttle.
pub(super) fn unthrottled(given: Given, column: &Column) -> Option<(Scale, Datum)> {
    let near = fitting(Tap::Near, given, column);
    let [(scale, datum)] = near[..] else {
        return None;
    };
    let to = affine(scale, Channel::AmbientPressure, 1.0)?;
    let air = match datum {
        Datum::Absolute => 0.0,
        _ => 100.0,
    };
    let idles = column.idle.1 >= LEAST && to.of(column.idle.0) + air >= UNTHROTTLED;
    let manifold = fitting(Tap::Manifold, given, column).is_empty();
    (idles && manifold).then_some((scale, datum))
}

/// The same where boost shows as well.
fn before_the_throttle(given: Given, column: &Column) -> Option<(Scale, Datum)> {
    let (scale, datum) = unthrottled(given, column)?;
    let to = affine(scale, Channel::AmbientPressure, 1.0)?;
    let rises = to.of(column.ends[1]) - to.of(column.idle.0);
    (rises > SHOWS).then_some((scale, datum))
}

/// A target of which values tell neither unit nor datum has those of the boost itself.
pub(super) fn as_the_boost(given: Given, readers: &[Reader]) -> Option<Decided> {
    let boost = [Reading::BoostSensor, Reading::Boost, Reading::Manifold].map(Channel::Read);
    let of = |channel: &Channel| readers.iter().find(|reader| reader.channel == *channel);
    let boost = boost.iter().find_map(of)?;
    Some(Decided {
        channel: Channel::CommandedBoost,
        scale: given.scale.unwrap_or(boost.scale),
        datum: given.datum.or(boost.datum)?,
        why: Some(format!("as {}", boost.channel.label())),
    })
}

fn lacking(given: Given) -> &'static str {
    match (given.scale, given.datum) {
        (None, None) => "neither its unit nor whether it is absolute or gauge is said",
        (None, _) => "it has no unit",
        _ => "absolute or gauge is not said",
    }
}

fn told(given: Given, scale: Scale, datum: Datum, column: &Column) -> Option<String> {
    let unit = given.scale.is_none().then(|| scale.words().to_string());
    let datum = given.datum.is_none().then(|| words(datum).to_string());
    let all: Vec<String> = unit.into_iter().chain(datum).collect();
    let (mean, when) = match column.still.1 >= LEAST {
        true => (column.still.0, "with the engine standing"),
        false => (column.idle.0, "at idle"),
    };
    (!all.is_empty()).then(|| format!("{} by {} {when}", all.join(" "), sim::units::round(mean, 3)))
}

/// `abs` or `gauge`.
pub(super) fn words(datum: Datum) -> &'static str {
    match datum {
        Datum::Absolute => "abs",
        Datum::Gauge => "gauge",
        Datum::Vacuum => "vacuum",
    }
}

/// Values that a mean needs to count.
const LEAST: f64 = 3.0;

/// The units and datums, of those not said, with which the values are plausible. A mean that
/// the log does not hold rules nothing out; with neither mean nothing is left.
fn fitting(tap: Tap, given: Given, column: &Column) -> Vec<(Scale, Datum)> {
    let units = UNITS.map(|name| Scale::Unit(name, Dimension::PressureDifference));
    let scales = given.scale.map_or(units.to_vec(), |scale| vec![scale]);
    let datums = given
        .datum
        .map_or(vec![Datum::Absolute, Datum::Gauge], |datum| vec![datum]);
    let kpa = Channel::AmbientPressure;
    let mut all = Vec::new();
    for scale in scales {
        let Some(to) = affine(scale, kpa, 1.0) else {
            continue;
        };
        for datum in &datums {
            let [still, idle, most] = ranges(tap, *datum);
            let within = |value: f64, [low, high]: [f64; 2]| (low..=high).contains(&to.of(value));
            let held = [(column.still, still), (column.idle, idle)];
            let held = held.iter().filter(|((_, count), _)| *count >= LEAST);
            let any = tap == Tap::Ambient || held.clone().count() > 0;
            let fits = held.clone().all(|((mean, _), range)| within(*mean, *range));
            // Near zero every unit is plausible: only boost tells them apart.
            let told =
                given.scale.is_some() || *datum == Datum::Absolute || to.of(column.ends[1]) > 10.0;
            if any && fits && told && within(column.ends[1], most) {
                all.push((scale, *datum));
            }
        }
    }
    all
}

/// The shift from where the column counts to where the channel does; `ambient` in kPa.
pub(super) fn shifted(affine: Affine, channel: Channel, datum: Datum, ambient: f64) -> Affine {
    let air = match channel.unit() {
        "psi" => ambient / 6.894_757_293_168,
        _ => ambient,
    };
    let by = match (channel.dimension(), datum) {
        (Dimension::GaugePressure, Datum::Absolute) => -air,
        (Dimension::AbsolutePressure, Datum::Gauge) => air,
        _ => 0.0,
    };
    Affine {
        shift: affine.shift + by,
        ..affine
    }
}
