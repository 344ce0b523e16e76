//! From header, units and the look of the numbers to what each column is.

use crate::log::head::Head;
use crate::log::survey::{Column, Survey};
use crate::log::unit::{Affine, Datum, Given, Scale, affine, fits, unit};
use crate::log::words::{Meaning, meaning};
use crate::log::{Mapped, Taken, pressure};
use crate::log::{Mapping, Said};
use sim::network::Reading;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;

/// What a column is thought to be before its numbers are looked at.
#[derive(Clone, Debug)]
pub(super) struct Thought {
    pub meaning: Meaning,
    /// A person has said so.
    pub sure: bool,
}

/// What the names say, and what a person says of them.
///
/// # Errors
/// A unit that is none, or does not fit the reading.
pub(super) fn thoughts(head: &Head, mapping: &Mapping) -> Result<Vec<Thought>, String> {
    let own_log = head.names.iter().any(|name| name == "time_s");
    let meaning = |name: &str, below: &str| meaning(name, below, own_log);
    let one = |(i, name): (usize, &String)| {
        let Some(said) = mapping.columns.get(name) else {
            return Ok(Thought {
                meaning: meaning(name, &head.units[i]),
                sure: false,
            });
        };
        let own = match meaning(name, &head.units[i]) {
            Meaning::Signal(_, given, _) => given,
            _ => unit(&head.units[i]),
        };
        let given = |text: &Option<String>| match text {
            None => Ok(own),
            Some(text) => match unit(text) {
                Given { scale: None, .. } => Err(format!("`{name}`: `{text}` is no unit")),
                given => Ok(given),
            },
        };
        let meaning = match said {
            Said::Ignore => Meaning::Unknown("left out as the mapping says".into()),
            Said::Time(None) => Meaning::Time(unit(&head.units[i]).scale),
            Said::Time(Some(text)) if text == "clock" => Meaning::Time(None),
            Said::Time(Some(text)) => match unit(text).scale {
                Some(scale) if scale.dimension() == Some(Dimension::Time) => {
                    Meaning::Time(Some(scale))
                }
                _ => {
                    return Err(format!(
                        "`{name}`: `{text}` is no unit of time: s, ms, clock"
                    ));
                }
            },
            Said::Reading(channel, text) => {
                let given = given(text)?;
                let wrong = given.scale.filter(|scale| !fits(*scale, *channel));
                if let (Some(_), Some(text)) = (wrong, text) {
                    let key = channel.key();
                    return Err(format!("`{name}`: `{text}` is no unit of `{key}`"));
                }
                let scale = given.scale.filter(|_| wrong.is_none());
                Meaning::Signal(
                    *channel,
                    Given { scale, ..given },
                    "as the mapping says".into(),
                )
            }
        };
        Ok(Thought {
            meaning,
            sure: true,
        })
    };
    head.names.iter().enumerate().map(one).collect()
}

/// The column that is taken for the engine's speed, and rpm per number of it.
pub(super) fn engine_speed(thoughts: &[Thought]) -> Option<(usize, f64)> {
    let speed = Channel::Read(Reading::EngineSpeed);
    first(thoughts, speed).map(|(i, given)| {
        let scaled = given.scale.and_then(|scale| affine(scale, speed, 1.0));
        (i, scaled.map_or(1.0, |affine| affine.factor))
    })
}

/// The column of a channel: the one a person names, or the first.
fn first(thoughts: &[Thought], wanted: Channel) -> Option<(usize, Given)> {
    let of = |(i, thought): (usize, &Thought)| match &thought.meaning {
        Meaning::Signal(channel, given, _) if *channel == wanted => Some((i, *given)),
        _ => None,
    };
    let sure = thoughts
        .iter()
        .enumerate()
        .filter(|(_, thought)| thought.sure);
    let mut sure = sure.filter_map(of);
    sure.next()
        .or_else(|| thoughts.iter().enumerate().find_map(of))
}

/// A column whose numbers are read, and what makes readings of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reader {
    pub place: usize,
    pub channel: Channel,
    pub affine: Affine,
    datum: Option<Datum>,
}

/// Decides every column; time columns are the caller's.
pub(super) fn decide(
    head: &Head,
    thoughts: &[Thought],
    survey: &Survey,
    stoichiometric: f64,
) -> (Vec<Mapped>, Vec<Reader>) {
    let mut all = Vec::new();
    let mut readers: Vec<Reader> = Vec::new();
    // What a person has said comes first, so that a guess never takes its place.
    let mut order: Vec<usize> = (0..thoughts.len()).collect();
    order.sort_by_key(|i| !thoughts[*i].sure);
    for i in order {
        let mut mapped = Mapped {
            column: head.names[i].clone(),
            place: i,
            taken: Taken::LeftOut,
            unit: String::new(),
            why: String::new(),
        };
        let found = one(
            &thoughts[i],
            i,
            &survey.columns[i],
            thoughts,
            survey,
            stoichiometric,
        );
        match found {
            Err(why) => mapped.why = why,
            Ok((reader, unit, why)) => match readers.iter().find(|r| r.channel == reader.channel) {
                Some(other) => {
                    let other = &head.names[other.place];
                    mapped.why = format!("{} is read from `{other}`", reader.channel.label());
                }
                None => {
                    mapped.taken = Taken::Reading(reader.channel);
                    (mapped.unit, mapped.why) = (unit, why);
                    readers.push(reader);
                }
            },
        }
        all.push(mapped);
    }
    all.sort_by_key(|mapped| mapped.place);
    readers.sort_by_key(|reader| reader.place);
    (all, readers)
}

fn one(
    thought: &Thought,
    place: usize,
    column: &Column,
    thoughts: &[Thought],
    survey: &Survey,
    stoichiometric: f64,
) -> Result<(Reader, String, String), String> {
    let (channel, given, why) = match &thought.meaning {
        Meaning::Signal(channel, given, why) => (*channel, *given, why.clone()),
        Meaning::Time(_) => return Err("another column holds the time".into()),
        Meaning::Unknown(why) => return Err(why.clone()),
    };
    if column.is_text() {
        return Err("holds words".into());
    }
    if column.numbers == 0 {
        return Err("holds no number".into());
    }
    let of = channel.dimension();
    if matches!(
        of,
        Dimension::GaugePressure | Dimension::AbsolutePressure | Dimension::PressureDifference
    ) {
        let found = pressure::decide(channel, given, column, thought.sure)?;
        let to =
            affine(found.scale, found.channel, stoichiometric).ok_or("its unit does not fit")?;
        let why = found
            .why
            .map_or(why.clone(), |more| format!("{why}; {more}"));
        let datum = (of != Dimension::PressureDifference).then_some(found.datum);
        let unit = datum.map_or(found.scale.words().into(), |datum| {
            format!("{} {}", found.scale.words(), pressure::words(datum))
        });
        let channel = found.channel;
        return Ok((
            Reader {
                place,
                channel,
                affine: to,
                datum,
            },
            unit,
            why,
        ));
    }
    let (scale, more) = match given.scale {
        Some(scale) => (scale, None),
        None => {
            let (scale, more) = by_value(channel, column, thoughts, survey)?;
            (scale, Some(more))
        }
    };
    let to = affine(scale, channel, stoichiometric).ok_or("its unit does not fit")?;
    let why = match more {
        Some(more) if !more.is_empty() => format!("{why}; {more}"),
        _ => why,
    };
    let reader = Reader {
        place,
        channel,
        affine: to,
        datum: None,
    };
    Ok((reader, scale.words().into(), why))
}

/// The unit of a column that names none, and how it is told (common practice, no source).
///
/// # Errors
/// Why it cannot be told.
fn by_value(
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
