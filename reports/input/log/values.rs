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
        ("gear", _) => Ok((Scale::Plain, String::new())),
        ("lambda" | "lambda_sensor" | "commanded_lambda", _) => match (low, high) {
            (low, _) if low >= 5.0 => Ok((Scale::AirFuelRatio, told("air/fuel", low, "at least"))),
            (_, high) if high <= 4.0 => Ok((Scale::Plain, told("lambda", high, "at most"))),
            _ => Err(unclear),
        },
        (key, Dimension::Ratio) if channel.unit() == "%" => {
            let share = high <= 1.0 && low >= -0.5 && high > 0.3 && !key.ends_with("trim_pct");
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
        let ends = survey.columns[reader.place].ends;
        return (reader.affine.of(0.5 * (ends[0] + ends[1])), None);
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
    let other = |reader: &Reader| {
        matches!(
            (reader.channel.dimension(), reader.datum),
            (Dimension::GaugePressure, Some(Datum::Absolute))
                | (Dimension::AbsolutePressure, Some(Datum::Gauge))
        )
    };
    let needed = readers.iter().any(other);
    let note = "the pressure of the air around the car is not logged: 101.325 kPa is taken to turn \
                absolute and gauge pressures into each other; say `ambient` where it was another";
    (101.325, needed.then(|| note.into()))
}

/// Puts every pressure on the datum of its channel.
pub(super) fn settle(readers: &mut [Reader], ambient: f64) {
    for reader in readers {
        if let Some(datum) = reader.datum {
            reader.affine = pressure::shifted(reader.affine, reader.channel, datum, ambient);
        }
    }
}
