//! What the values of a log tell that its names do not: units, the air around.

use crate::log::pressure;
use crate::log::reader::Reader;
use crate::log::survey::{Column, Survey};
use crate::log::thought::{Thought, first};
use crate::log::unit::{Datum, Given, Scale};
use crate::log::words::Meaning;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;

/// The unit of a column that names none, and how it is told (common practice, no source).
///
/// # Errors
/// Why it cannot be told.
pub(super) fn by_value(
    channel: Channel,
    column: &Column,
    thoughts: &[Thought],
    survey: &Survey,
) -> Result<(Scale, String), String> {
    let [low, high] = column.ends;
    let of = channel.dimension();
    let unit = |name: &'static str| Scale::Unit(name, of);
    let told = |name: &str, value: f64, when: &str| {
        format!("{name} by {} {when}", sim::units::round(value, 3))
    };
    let unclear = "it has no unit, and its values do not tell it".to_string();
    match (channel.key(), of) {
        ("engine_speed_rpm", _) => Ok((unit("rpm"), String::new())),
        ("shaft_krpm", _) if high > 1000.0 => Ok((unit("rpm"), told("rpm", high, "at most"))),
        ("shaft_krpm", _) => Ok((unit("krpm"), told("krpm", high, "at most"))),
        ("vehicle_speed_km_h", _) if !imperial(thoughts, survey) => {
            Ok((unit("km/h"), "km/h, for no column is imperial".into()))
        }
        ("gear", _) => Ok((Scale::Plain, String::new())),
        ("lambda" | "lambda_sensor" | "commanded_lambda", _) => match (low, high) {
            (low, _) if low >= 5.0 => Ok((Scale::AirFuelRatio, told("air/fuel", low, "at least"))),
            (_, high) if high <= 4.0 => Ok((Scale::Plain, told("lambda", high, "at most"))),
            // A sensor at its end, over the overrun, reads far beyond what burns.
            _ => match [BURNS, BURNS.map(|lambda| 14.7 * lambda)].map(|x| column.spread.share(x)) {
                [most, _] if most > 0.5 => Ok((Scale::Plain, "lambda by most values".into())),
                [_, most] if most > 0.5 => {
                    Ok((Scale::AirFuelRatio, "air/fuel by most values".into()))
                }
                _ => Err(unclear),
            },
        },
        (key, Dimension::Ratio) if key.ends_with("trim_pct") => {
            Ok(trims(thoughts, survey).unwrap_or((unit("%"), String::new())))
        }
        (_, Dimension::Ratio) if channel.unit() == "%" => {
            let share = high <= 1.0 && low >= -0.5 && high > 0.3;
            Ok(match share {
                true => (Scale::Share, told("share of 1", high, "at most")),
                false => (unit("%"), String::new()),
            })
        }
        (_, Dimension::Ratio) => Ok((Scale::Plain, String::new())),
        (key, Dimension::Temperature) => {
            let same = thoughts.iter().find_map(|thought| match &thought.meaning {
                Meaning::Signal(
                    _,
                    Given {
                        scale: Some(scale), ..
                    },
                    _,
                ) => (scale.dimension() == Some(of)).then_some(*scale),
                _ => None,
            });
            if let Some(scale) = same {
                return Ok((scale, format!("{} as another column", scale.words())));
            }
            // A warm engine's coolant tells for all.
            let coolant = match key {
                "coolant_temp_c" => Some(column),
                _ => first(thoughts, Channel::Coolant).map(|(i, _)| &survey.columns[i]),
            };
            match coolant.map(|coolant| coolant.ends[1]) {
                Some(most) if (140.0..260.0).contains(&most) => {
                    Ok((unit("degF"), told("degF", most, "of the coolant at most")))
                }
                Some(most) if (70.0..=125.0).contains(&most) => {
                    Ok((unit("degC"), told("degC", most, "of the coolant at most")))
                }
                // A log that ends before the engine is warm: cold by either unit.
                Some(most) if most < 70.0 => {
                    Ok((unit("degC"), told("degC", most, "of the coolant at most")))
                }
                _ => Err(unclear),
            }
        }
        ("metered_air_g_s", _) if column.idle.1 >= 3.0 => {
            let idle = column.idle.0;
            let name = match idle {
                x if (0.08..0.9).contains(&x) => "lb/min",
                x if (1.2..4.2).contains(&x) => "g/s",
                x if (8.5..40.0).contains(&x) => "kg/h",
                _ => return Err(unclear),
            };
            Ok((unit(name), told(name, idle, "at idle")))
        }
        _ => Err(unclear),
    }
}

/// Units of those who drive miles.
const IMPERIAL: [&str; 6] = ["mph", "degF", "psi", "lb/min", "inHg", "lbf ft"];

/// Whether a column names such a unit, or the coolant is warm by one.
fn imperial(thoughts: &[Thought], survey: &Survey) -> bool {
    let named = thoughts.iter().any(|thought| match &thought.meaning {
        Meaning::Signal(_, given, _) => {
            (given.scale).is_some_and(|scale| IMPERIAL.contains(&scale.words()))
        }
        _ => false,
    });
    let coolant = first(thoughts, Channel::Coolant);
    let warm = coolant
        .is_some_and(|(i, given)| given.scale.is_none() && survey.columns[i].ends[1] >= 140.0);
    named || warm
}

/// Lambda of most that burns in a petrol engine (common practice, no source).
const BURNS: [f64; 2] = [0.6, 2.0];
/// Within what all trims lie that are written as factors, and as shares of 1; smallest step of
/// one of them at most: per cents have coarser ones (own choice).
const FACTORS: [f64; 2] = [0.6, 1.5];
const SHARES: [f64; 2] = [-0.4, 0.4];
const FINE: f64 = 0.05;
/// Share of the values that must be so.
const NEARLY_ALL: f64 = 0.99;

/// Trims without a unit that are no per cents, told by all of them together: one that moves in
/// fine steps about 1, or hardly off 0.
fn trims(thoughts: &[Thought], survey: &Survey) -> Option<(Scale, String)> {
    let bare = thoughts.iter().zip(&survey.columns).filter(|(thought, _)| {
        matches!(&thought.meaning, Meaning::Signal(channel, Given { scale: None, .. }, _)
            if channel.key().ends_with("trim_pct"))
    });
    let all: Vec<&Column> = bare.map(|(_, column)| column).collect();
    let moves = all
        .iter()
        .any(|column| column.ends[1] > column.ends[0] && column.step < FINE);
    let within = |ends| (all.iter()).all(|column| column.spread.share(ends) >= NEARLY_ALL);
    match (moves, within(FACTORS), within(SHARES)) {
        (true, true, _) => Some((Scale::Factor, "a factor by its values about 1".into())),
        (true, _, true) => Some((Scale::Share, "share of 1 by its values near 0".into())),
        _ => None,
    }
}

/// Pressure of the air around the car, kPa, and how it is known.
pub(super) fn ambient(
    said: Option<f64>,
    readers: &[Reader],
    survey: &Survey,
) -> (f64, Option<String>) {
    if let Some(pascal) = said {
        return (pascal / 1e3, None);
    }
    let of = |channel: Channel| readers.iter().find(|reader| reader.channel == channel);
    if let Some(reader) = of(Channel::AmbientPressure) {
        let median = survey.columns[reader.place].spread.median();
        let [low, high] = Channel::AmbientPressure.range();
        let kpa = median.map(|x| reader.affine.of(x));
        if let Some(kpa) = kpa.filter(|kpa| (low..=high).contains(kpa)) {
            return (kpa, None);
        }
    }
    let absolute = || {
        readers
            .iter()
            .filter(|reader| reader.datum == Some(Datum::Absolute))
    };
    let mean = |reader: &Reader, (mean, count): (f64, f64)| {
        let kpa = reader.affine.of(mean);
        (count >= 3.0 && (55.0..110.0).contains(&kpa)).then_some(kpa)
    };
    let look = |reader: &Reader| &survey.columns[reader.place];
    let still = absolute().find_map(|reader| mean(reader, look(reader).still));
    // Before the throttle an idling engine leaves the pressure as it is, but for the filter.
    let boost = |reader: &&Reader| reader.channel.dimension() == Dimension::GaugePressure;
    let idle = || {
        absolute()
            .filter(boost)
            .find_map(|reader| mean(reader, look(reader).idle))
    };
    if let Some(kpa) = still.or_else(idle) {
        let when = if still.is_some() { "stands" } else { "idles" };
        let note =
            format!("ambient pressure {kpa:.1} kPa, from a pressure while the engine {when}");
        return (kpa, Some(note));
    }
    let note = "the pressure of the air around the car is not logged: sea level, 101.3 kPa, is taken; \
                where the car was driven higher, say it in the mapping: `ambient = \"95 kPa abs\"`";
    (101.325, Some(note.into()))
}

/// Puts every pressure on the datum of its channel.
pub(super) fn settle(readers: &mut [Reader], ambient: f64) {
    for reader in readers {
        if let Some(datum) = reader.datum {
            reader.affine = pressure::shifted(reader.affine, reader.channel, datum, ambient);
        }
    }
}
