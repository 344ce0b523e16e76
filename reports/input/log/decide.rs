//! From header, units and the look of the numbers to what each column is.

use crate::log::head::Head;
use crate::log::reader::Reader;
use crate::log::survey::Survey;
use crate::log::thought::Thought;
use crate::log::unit::{Datum, affine};
use crate::log::values::by_value;
use crate::log::words::{Meaning, may_be_at_the_meter, stands_back};
use crate::log::{Mapped, Taken, pressure, short};
use sim::network::Reading;
use sim::study::knowing::log::Channel;
use sim::units::Dimension;

/// Decides every column; time columns are the caller's.
pub(super) fn decide(
    head: &Head,
    thoughts: &[Thought],
    survey: &Survey,
    stoichiometric: f64,
) -> (Vec<Mapped>, Vec<Reader>) {
    let mut all = Vec::new();
    let mut readers: Vec<Reader> = Vec::new();
    let thoughts = &airs(head, thoughts, survey)[..];
    // What a person has said comes first, so that a guess never takes its place; what others are
    // read by goes before them.
    let mut order: Vec<usize> = (0..thoughts.len()).collect();
    order.sort_by_key(|i| {
        let thought = &thoughts[*i];
        (!thought.sure, rank(thought), stands_back(&head.names[*i]))
    });
    for i in order {
        let mut mapped = Mapped {
            column: head.names[i].clone(),
            place: i,
            taken: Taken::LeftOut,
            unit: String::new(),
            why: String::new(),
        };
        let found = one(i, thoughts, survey, &readers, stoichiometric);
        match found {
            Err(why) => mapped.why = why,
            Ok((reader, unit, why)) => match readers.iter().find(|r| r.channel == reader.channel) {
                Some(other) => {
                    let other = &head.names[other.place];
                    let other = short(other);
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

/// Boost may be told by the barometer and the manifold pressure; what the computer aims at is read
/// as what it is compared with.
fn rank(thought: &Thought) -> usize {
    let first = [Channel::AmbientPressure, Channel::Read(Reading::Manifold)];
    let place = first.iter().position(|channel| thought.is_of(*channel));
    place.unwrap_or(first.len() + usize::from(thought.is_of(Channel::CommandedBoost)))
}

/// Tells the air at the meter from that in the manifold where names do not: where two columns
/// hold an air temperature, the one with a place in its name is there, the other elsewhere.
fn airs(head: &Head, thoughts: &[Thought], survey: &Survey) -> Vec<Thought> {
    let inside = Channel::Read(Reading::IntakeTemperature);
    let vague = |i: usize| !thoughts[i].sure && may_be_at_the_meter(&head.names[i]);
    let held = |channel: Channel, placed: bool| {
        (0..thoughts.len()).any(|i| {
            let numbers = survey.columns[i].within > 0;
            numbers && thoughts[i].is_of(channel) && (!placed || !vague(i))
        })
    };
    let elsewhere = held(inside, true);
    let at_the_meter = held(Channel::MeterTemperature, false);
    let mut all = thoughts.to_vec();
    for (i, thought) in all.iter_mut().enumerate() {
        let own = vague(i) && thought.is_of(inside);
        let Meaning::Signal(channel, _, why) = &mut thought.meaning else {
            continue;
        };
        match (own, elsewhere, at_the_meter) {
            (true, true, false) => {
                *channel = Channel::MeterTemperature;
                *why += "; another column holds that in the manifold";
            }
            (true, false, false) => {
                *why += "; taken for that in the manifold: where its sensor sits in the mass air \
                         flow sensor, say `meter_air_temp_c` in the mapping";
            }
            _ => {}
        }
    }
    all
}

fn one(
    place: usize,
    thoughts: &[Thought],
    survey: &Survey,
    readers: &[Reader],
    stoichiometric: f64,
) -> Result<(Reader, String, String), String> {
    let (thought, column) = (&thoughts[place], &survey.columns[place]);
    let (channel, given, why) = match &thought.meaning {
        Meaning::Signal(channel, given, why) => (*channel, *given, why.clone()),
        Meaning::Second(channel, _) => {
            return Err(format!("{} of a second bank", channel.label()));
        }
        Meaning::Time(_) => return Err("the time is taken from elsewhere".into()),
        Meaning::Unknown(why) => return Err(why.clone()),
    };
    if column.is_text() {
        return Err("holds words".into());
    }
    if column.numbers == 0 {
        return Err("holds no number".into());
    }
    if column.within == 0 {
        let label = channel.label();
        return Err(format!("all its values are outside what {label} can be"));
    }
    let of = channel.dimension();
    if matches!(
        of,
        Dimension::GaugePressure | Dimension::AbsolutePressure | Dimension::PressureDifference
    ) {
        let found = pressure::decide(channel, given, column, thought.sure);
        let found = found.or_else(|why| match channel {
            Channel::CommandedBoost => pressure::as_the_boost(given, readers).ok_or(why),
            Channel::Read(Reading::Boost | Reading::BoostSensor) => {
                let beside = pressure::beside(given, column, readers, survey);
                beside
                    .map(|found| pressure::Decided { channel, ..found })
                    .ok_or(why)
            }
            _ => Err(why),
        })?;
        let to =
            affine(found.scale, found.channel, stoichiometric).ok_or("its unit does not fit")?;
        let why = found
            .why
            .map_or(why.clone(), |more| format!("{why}; {more}"));
        let datum = (of != Dimension::PressureDifference).then_some(found.datum);
        let unit = datum.map_or(found.scale.words().into(), |datum| {
            format!("{} {}", found.scale.words(), pressure::words(datum))
        });
        let (to, datum) = match datum {
            Some(Datum::Vacuum) => (to.turned(), Some(Datum::Gauge)),
            datum => (to, datum),
        };
        let reader = Reader {
            place,
            channel: found.channel,
            affine: to,
            scale: found.scale,
            datum,
        };
        return Ok((reader, unit, why));
    }
    let (scale, more) = match given.scale {
        Some(scale) => (scale, String::new()),
        None => by_value(channel, column, thoughts, survey)?,
    };
    let to = affine(scale, channel, stoichiometric).ok_or("its unit does not fit")?;
    let why = match more.is_empty() {
        true => why,
        false => format!("{why}; {more}"),
    };
    let reader = Reader {
        place,
        channel,
        affine: to,
        scale,
        datum: None,
    };
    Ok((reader, scale.words().into(), why))
}
